//! Contact and lubricant formulas against published and remembered numbers. Every row of the tables in
//! `tests/published/` carries its source and whether it was seen or is from memory.

#![expect(
    clippy::unwrap_used,
    reason = "a row that cannot be read or computed is a failed test"
)]

#[path = "../published/contact_rows.rs"]
mod contact_rows;
#[path = "../published/film_rows.rs"]
mod film_rows;
#[path = "../published/gear_rows.rs"]
mod gear_rows;
#[path = "../published/lubricant_rows.rs"]
mod lubricant_rows;

use likewear::facade::contact::elastic::STEEL;
use likewear::facade::contact::element::{Element, FourBall, Load};
use likewear::facade::contact::gear::{GearData, GearPair};
use likewear::facade::contact::kinematics::four_ball_standard_hertz_scar_m;
use likewear::facade::contact::terms::Materials;
use std::collections::BTreeMap;

/// One row of `contact_examples.csv`.
pub(crate) struct Example {
    /// Row id.
    pub(crate) id: String,
    quantity: String,
    inputs: BTreeMap<String, f64>,
    expected: f64,
    unit: String,
    tolerance: f64,
    source: String,
    mark: String,
}

impl Example {
    /// The number of one input.
    pub(crate) fn input(&self, name: &str) -> f64 {
        *self
            .inputs
            .get(name)
            .unwrap_or_else(|| panic!("{} has no number '{name}'", self.id))
    }
}

fn rows(text: &str) -> Vec<BTreeMap<String, String>> {
    csv::Reader::from_reader(text.as_bytes())
        .deserialize()
        .map(|row| row.unwrap())
        .collect()
}

fn number(row: &BTreeMap<String, String>, column: &str) -> Option<f64> {
    let cell = row.get(column).unwrap_or_else(|| panic!("no column '{column}'"));
    (!cell.is_empty()).then(|| cell.parse().unwrap())
}

fn examples() -> Vec<Example> {
    rows(include_str!("../published/contact_examples.csv"))
        .into_iter()
        .map(|row| Example {
            id: row["id"].clone(),
            quantity: row["expected quantity"].clone(),
            inputs: row["inputs"]
                .split(';')
                .filter_map(|pair| pair.split_once('='))
                .filter_map(|(name, value)| Some((name.to_string(), value.parse().ok()?)))
                .collect(),
            expected: row["expected value"].parse().unwrap(),
            unit: row["unit"].clone(),
            tolerance: row["tolerance"]
                .strip_suffix('%')
                .unwrap()
                .parse::<f64>()
                .unwrap()
                / 100.0,
            source: row["source"].clone(),
            mark: row["seen|memory"].clone(),
        })
        .collect()
}

/// How many SI units one printed unit is.
fn printed_unit(unit: &str) -> f64 {
    match unit {
        "" | "Pa" | "m" | "m/s" | "N" | "N*m" | "deg" | "degC" | "K" | "mm2/s" | "r/min" | "kgf*mm" => 1.0,
        "K*N^-3/4*s^1/2*m^-1/2*mm" => 1.0,
        "mm" | "mm/s" => 1e-3,
        "um" => 1e-6,
        "MPa" => 1e6,
        "GPa" => 1e9,
        "1/GPa" => 1e-9,
        other => panic!("unit '{other}' is not known to this test"),
    }
}

/// Rows of quantities that the program does not compute: fitted ellipses, the constant A and the short form of a
/// viscosity line, specific sliding, the greatest speed of a stroke, the thermo-elastic factor.
const NOT_COVERED: [&str; 13] = [
    "HZ-E-02", "HZ-E-03", "HZ-E-04", "HZ-E-05", "EH-K-01", "VT-01", "VT-20", "VT-21", "VT-22", "GR-A-11",
    "GR-A-12", "KN-RC-02", "SC-XM",
];
/// Rows of the table.
const ROWS: usize = 128;

#[test]
fn every_published_contact_example_is_met_within_its_own_tolerance() {
    let examples = examples();
    assert_eq!(examples.len(), ROWS);
    let mut failures = Vec::new();
    let mut covered = 0;
    for example in &examples {
        let computed = contact_rows::compute(example)
            .or_else(|| film_rows::compute(example))
            .or_else(|| gear_rows::compute(example))
            .or_else(|| lubricant_rows::compute(example));
        let is_listed = NOT_COVERED.contains(&example.id.as_str());
        let Some(computed) = computed else {
            if !is_listed {
                failures.push(format!("{}: {} is not computed", example.id, example.quantity));
            }
            continue;
        };
        assert!(!is_listed, "{} is covered after all", example.id);
        covered += 1;
        let computed = computed / printed_unit(&example.unit);
        let relative = (computed / example.expected - 1.0).abs();
        if relative.is_nan() || relative > example.tolerance {
            failures.push(format!(
                "{}: {} = {} {}, computed {computed}, off by {:.3} % of {} % [{}; {}]",
                example.id,
                example.quantity,
                example.expected,
                example.unit,
                relative * 100.0,
                example.tolerance * 100.0,
                example.source,
                example.mark,
            ));
        }
    }
    assert!(failures.is_empty(), "\n{}", failures.join("\n"));
    assert_eq!(covered, ROWS - NOT_COVERED.len());
}

/// Gear data: Hoehn, Oster, Tobie, Michaelis, goriva i maziva 47(2) 2008 (seen); type A tip of the wheel and all of
/// type C likewise.
fn gears(pinion_tip_mm: f64, wheel_tip_mm: f64, face_width_mm: f64) -> GearPair {
    GearPair::new(GearData {
        pinion_teeth: 16.0,
        wheel_teeth: 24.0,
        module_m: 4.5e-3,
        pressure_angle_deg: 20.0,
        centre_distance_m: 91.5e-3,
        pinion_tip_diameter_m: pinion_tip_mm * 1e-3,
        wheel_tip_diameter_m: wheel_tip_mm * 1e-3,
        face_width_m: face_width_mm * 1e-3,
        elastic: [STEEL, STEEL],
    })
    .unwrap()
}

#[test]
fn pitch_pressures_of_all_gear_load_stages_are_met_within_one_per_cent() {
    let stages = rows(include_str!("../published/gear_load_stages.csv"));
    assert_eq!(stages.len(), 14);
    let (a20, a10, c14) = (
        gears(88.8, 112.5, 20.0),
        gears(88.8, 112.5, 10.0),
        gears(82.5, 118.4, 14.0),
    );
    let columns = [
        (
            &a20,
            "pinion_torque_Nm_arm_0_50m",
            "hertz_pitch_MPa_A_b20_computed",
        ),
        (
            &a20,
            "pinion_torque_Nm_arm_0_50m",
            "hertz_pitch_MPa_A_b20_remembered",
        ),
        (&a20, "pinion_torque_Nm_arm_0_50m", "hertz_pitch_MPa_A_b20_seen"),
        (
            &a10,
            "pinion_torque_Nm_arm_0_50m",
            "hertz_pitch_MPa_A10_b10_computed",
        ),
        (
            &c14,
            "pinion_torque_Nm_arm_0_50m",
            "hertz_pitch_MPa_C_b14_computed",
        ),
        (
            &c14,
            "pinion_torque_Nm_arm_0_35m",
            "hertz_pitch_MPa_C_b14_arm_0_35m_computed",
        ),
        (
            &c14,
            "pinion_torque_Nm_arm_0_35m",
            "hertz_pitch_MPa_C_b14_arm_0_35m_remembered",
        ),
    ];
    let mut compared = 0;
    for stage in &stages {
        for (pair, torque, pressure) in &columns {
            let Some(expected) = number(stage, pressure) else {
                continue;
            };
            let torque = number(stage, torque).unwrap();
            let computed = pair.pitch_point_pressure_pa(torque).unwrap() * 1e-6;
            let off = (computed / expected - 1.0).abs();
            assert!(off < 0.01, "stage {}: {pressure} {computed}", stage["load_stage"]);
            compared += 1;
        }
        let force = a20.tooth_normal_force_n(number(stage, columns[0].1).unwrap());
        let printed = number(stage, "tooth_normal_force_N_computed").unwrap();
        assert!((force / printed - 1.0).abs() < 0.01);
    }
    assert_eq!(compared, 4 * 14 + 12 + 1 + 7);
}

#[test]
fn hertz_scars_and_load_factors_of_all_four_ball_steps_are_met() {
    let steps = rows(include_str!("../published/astm_d2783_table_1.csv"));
    assert_eq!(steps.len(), 22);
    let balls = Element::FourBall(FourBall {
        ball_diameter_m: 12.7e-3,
        speed_rpm: 1760.0,
    });
    for step in &steps {
        let kgf = number(step, "applied_load_kgf").unwrap();
        let load = Load::TotalForceN(kgf * 9.806_65);
        let fresh = balls.fresh_contact(&load, Materials::HardSteelHardSteel).unwrap();
        let scar_mm = 2.0 * fresh.half_width_m() * 1e3;
        let standard_mm = four_ball_standard_hertz_scar_m(kgf * 9.806_65) * 1e3;
        let met = |computed: f64, column: &str, tolerance: f64| {
            let expected = number(step, column).unwrap();
            let off = (computed / expected - 1.0).abs();
            assert!(off < tolerance, "{kgf} kgf: {column} {computed}");
        };
        met(scar_mm, "hertz_scar_mm_formula", 0.006);
        met(scar_mm, "hertz_scar_mm_from_E206_nu03", 0.006);
        met(standard_mm, "hertz_scar_mm_formula", 0.006);
        met(kgf * standard_mm, "ldh_factor_remembered", 0.006);
        met(kgf * standard_mm, "ldh_factor_computed", 0.006);
        met(
            fresh.max_pressure_pa() * 1e-6,
            "nominal_max_hertz_pressure_MPa",
            0.006,
        );
        met(fresh.load_n(), "normal_force_per_contact_N", 0.006);
    }
}
