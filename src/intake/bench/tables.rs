//! Which readings each method takes.

use crate::intake::bench::run_log::WELDED;
use crate::intake::bench::{BenchColumn, BenchTable, CellKind};

const fn number(name: &'static str, label: &'static str, unit: &'static str) -> BenchColumn {
    BenchColumn {
        name,
        label,
        unit,
        kind: CellKind::Number,
    }
}

const SCARS: &[BenchColumn] = &[
    number("along", "Along the striations", "mm"),
    number("across", "Across them", "mm"),
];
const RUN_LOG: &[BenchColumn] = &[
    number("load", "Load", "kgf"),
    BenchColumn {
        name: "scar",
        label: "Mean scar, or weld",
        unit: "mm",
        kind: CellKind::NumberOr(WELDED),
    },
];
const OUTCOMES: &[&str] = &["passed", "failed"];
const STEPS_LB: &[BenchColumn] = &[
    number("load", "Load", "lb"),
    BenchColumn {
        name: "outcome",
        label: "Score or seizure",
        unit: "",
        kind: CellKind::Word(OUTCOMES),
    },
];
const STEPS_N: &[BenchColumn] = &[
    number("load", "Load", "N"),
    BenchColumn {
        name: "outcome",
        label: "Seizure",
        unit: "",
        kind: CellKind::Word(OUTCOMES),
    },
];
const STAGES: &[BenchColumn] = &[
    number("stage", "Load stage", ""),
    BenchColumn {
        name: "widths",
        label: "Damaged widths, one for each tooth that has some, with ; between",
        unit: "mm",
        kind: CellKind::Numbers,
    },
];
const BEARINGS: &[BenchColumn] = &[
    number("roller_before", "Rollers before", "g"),
    number("roller_after", "Rollers after", "g"),
    number("cage_before", "Cage before", "g"),
    number("cage_after", "Cage after", "g"),
];
const ACID: &[BenchColumn] = &[
    number("hours", "Hours", "h"),
    number("acid", "Acid number", "mg KOH/g"),
];
const PRESSURE: &[BenchColumn] = &[
    number("minutes", "Minutes", "min"),
    number("pressure", "Pressure", "kPa"),
];
const VISCOSITY: &[BenchColumn] = &[
    number("before", "Viscosity at 100 °C before", "mm2/s"),
    number("after", "Viscosity at 100 °C after", "mm2/s"),
];

/// The table of a method's readings; `None` where the result itself is what is read.
pub fn table_of(method: &str) -> Option<BenchTable> {
    let table = |row, columns, rows, rule| {
        Some(BenchTable {
            row,
            columns,
            rows,
            rule,
        })
    };
    match method {
        "fb_wear_oil_A" | "fb_wear_oil_B" | "fb_wear_grease" | "fb_din_wear_oil" | "fb_din_wear_grease" => {
            table(
                "ball",
                SCARS,
                3,
                "Mean of the three lower balls, two directions each. A ball whose own mean departs by more than 0.04 mm is named: look at the alignment of the machine.",
            )
        }
        "fb_ep_oil" | "fb_ep_grease" => table(
            "run",
            RUN_LOG,
            24,
            "Weld load: the lowest that welded. Last non-seizure load: up to it every scar lies within 5 % of the compensation line. Load-wear index: mean of the ten corrected loads below the weld.",
        ),
        "lo_oil_wear" | "lo_grease_wear" => table("ball", SCARS, 1, "Mean of the two directions."),
        "bor_oil" | "bor_grease" => table(
            "load",
            STEPS_LB,
            14,
            "OK load: the greatest that passed below the smallest that failed.",
        ),
        "lo_oil_ep" | "lo_grease_ep" => table(
            "load",
            STEPS_N,
            16,
            "The greatest load that passed; the run ends at the first that fails.",
        ),
        "gear_A8" | "gear_A10" | "gear_A28_grease" => table(
            "stage",
            STAGES,
            14,
            "A stage fails when the widths summed over the pinion's teeth reach the face width, 20 mm.",
        ),
        "rb_oil" | "rb_grease" => table(
            "bearing",
            BEARINGS,
            4,
            "Mass loss of the rollers and of the cage of each bearing; each bearing of a run is kept.",
        ),
        "ox_d943" => table(
            "reading",
            ACID,
            16,
            "Hours at which the acid number reached 2.0 mg KOH/g, straight between two readings.",
        ),
        "ox_d2272" => table(
            "reading",
            PRESSURE,
            24,
            "Minutes until the pressure had fallen by 175 kPa from its greatest value.",
        ),
        "ox_d2893" => table(
            "oil",
            VISCOSITY,
            1,
            "Rise of the viscosity at 100 °C in per cent of what it was.",
        ),
        _ => None,
    }
}
