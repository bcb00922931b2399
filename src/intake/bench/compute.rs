//! From the numbers of a table to results.

use crate::catalogue::Readings;
use crate::catalogue::four_ball_ep::{
    EpResult, Missing, Outcome, Run, RunFault, RunProblem, WELD_SCAR_MM, evaluate,
};
use crate::catalogue::readings::{
    AcidReading, BallScar, LoadStep, PressureReading, ReadingsFault, ReadingsProblem, Specimen,
    StageInspection, StepBounds, StepOutcome, failing_stage, life_to_acid_number_h, mass_losses_mg,
    mean_scar_mm, minutes_to_pressure_drop, ok_load, passed_load, viscosity_increase_percent,
};
use crate::intake::bench::{BenchValue, FromBench, Row};

/// Largest departure of one ball from the mean of all, mm (four-ball wear method for oils, from memory).
const BALLS_APART_MM: f64 = 0.04;
/// Face width of the scuffing gears, mm (ISO 14635-1, from memory), and the teeth of their pinion.
const GEAR: (f64, usize) = (20.0, 16);
/// Below this a balance tells no loss, mg (ours).
const BALANCE_MG: f64 = 1.0;
/// Acid number that ends the life of an oil, mg KOH/g (ASTM D943).
const END_OF_LIFE: f64 = 2.0;
/// Pressure drop that ends the test, kPa (ASTM D2272).
const PRESSURE_DROP_KPA: f64 = 175.0;

/// `ladder` are the steps of the loads, ascending; nothing to readings that are no loads.
pub(super) fn compute(readings: Readings, ladder: &[f64], rows: &[Row]) -> Result<FromBench, ReadingsFault> {
    let pair = |row: &Row| (row[0][0], row[1][0]);
    match readings {
        Readings::FourBallRunLog => run_log(rows),
        Readings::LoadStepsLb => ok_load(&steps(rows), ladder).map(|found| between("ok_load", "lb", found)),
        Readings::LoadStepsN => {
            passed_load(&steps(rows), ladder).map(|found| between("pass_load", "N", found))
        }
        Readings::GearStages => stages(rows),
        Readings::BearingMasses => bearings(rows, &[("roller_wear", 0), ("cage_wear", 2)]),
        Readings::RollerMasses => bearings(rows, &[("roller_wear", 0)]),
        Readings::AcidNumbers => {
            let read = |row: &Row| AcidReading {
                hours: pair(row).0,
                acid_number: pair(row).1,
            };
            let readings: Vec<AcidReading> = rows.iter().map(read).collect();
            life_to_acid_number_h(&readings, END_OF_LIFE).map(|life| bounded("life", "h", life))
        }
        Readings::Pressures => {
            let read = |row: &Row| PressureReading {
                minutes: pair(row).0,
                pressure_kpa: pair(row).1,
            };
            let readings: Vec<PressureReading> = rows.iter().map(read).collect();
            minutes_to_pressure_drop(&readings, PRESSURE_DROP_KPA).map(|time| bounded("time", "min", time))
        }
        Readings::Viscosities => {
            let (before, after) = pair(&rows[0]);
            viscosity_increase_percent(before, after).map(|rise| one("kv100_increase", "%", &plain(rise)))
        }
        Readings::FourBallWear | Readings::BallOnDiscScar => scars(rows),
    }
}

fn scars(rows: &[Row]) -> Result<FromBench, ReadingsFault> {
    let balls: Vec<BallScar> = rows
        .iter()
        .map(|row| BallScar {
            along_mm: row[0][0],
            across_mm: row[1][0],
        })
        .collect();
    let result = mean_scar_mm(&balls, BALLS_APART_MM)?;
    let remarks = result.apart.iter().map(|ball| {
        format!(
            "ball {} reads {} mm, more than {BALLS_APART_MM} mm from the mean: look at the alignment of the machine",
            ball + 1,
            plain(balls[*ball].mean_mm())
        )
    });
    Ok(FromBench {
        remarks: remarks.collect(),
        ..one("scar", "mm", &plain(result.mean_mm))
    })
}

fn steps(rows: &[Row]) -> Vec<LoadStep> {
    let step = |row: &Row| LoadStep {
        load: row[0][0],
        outcome: if row[1][0] == 0.0 {
            StepOutcome::Passed
        } else {
            StepOutcome::Failed
        },
    };
    rows.iter().map(step).collect()
}

/// The bounds of a load as an import has them, with what should be known of them.
fn between(quantity: &'static str, unit: &'static str, found: StepBounds) -> FromBench {
    let mut from_bench = match (found.passed, found.failed) {
        (Some(passed), Some(failed)) => one(
            quantity,
            unit,
            &format!("pass {} / fail {}", plain(passed), plain(failed)),
        ),
        (Some(passed), None) => FromBench {
            remarks: vec![format!(
                "no load failed: the result is a bound, above {} {unit}",
                plain(passed)
            )],
            ..one(quantity, unit, &format!(">{}", plain(passed)))
        },
        (None, Some(failed)) => one(quantity, unit, &format!("<{}", plain(failed))),
        (None, None) => FromBench::default(),
    };
    if let Some(load) = found.disagree_at {
        from_bench.remarks = vec![format!(
            "two runs disagree at {} {unit}: the result reaches to the loads next to it",
            plain(load)
        )];
    }
    from_bench
}

fn stages(rows: &[Row]) -> Result<FromBench, ReadingsFault> {
    let mut inspections = Vec::new();
    for (place, row) in rows.iter().enumerate() {
        let stage = row[0][0];
        if stage.fract() != 0.0 || !(1.0..=20.0).contains(&stage) {
            return Err(ReadingsFault {
                row: place,
                field: "stage",
                problem: ReadingsProblem::NoStage(stage),
            });
        }
        inspections.push(StageInspection {
            stage: stage as u32,
            widths_mm: row[1].clone(),
        });
    }
    let (failing, passed) = failing_stage(&inspections, GEAR.0, GEAR.1)?;
    Ok(match (failing, passed) {
        (Some(stage), Some(passed)) => one("fail_stage", "stage", &format!("pass {passed} / fail {stage}")),
        (Some(stage), None) => one("fail_stage", "stage", &format!("<{stage}")),
        (None, Some(stage)) => FromBench {
            remarks: vec![format!(
                "no stage failed: the result is a bound, above stage {stage}"
            )],
            ..one("fail_stage", "stage", &format!(">{stage}"))
        },
        (None, None) => FromBench::default(),
    })
}

/// Mass loss of each part of each bearing: its quantity, and the place of its mass before, which the one after follows.
fn bearings(rows: &[Row], parts: &[(&'static str, usize)]) -> Result<FromBench, ReadingsFault> {
    let mut found = FromBench::default();
    for &(quantity, at) in parts {
        let specimens: Vec<Specimen> = rows
            .iter()
            .map(|row| Specimen {
                before_g: row[at][0],
                after_g: row[at + 1][0],
            })
            .collect();
        let losses = mass_losses_mg(&specimens, BALANCE_MG).map_err(|fault| in_column(quantity, fault))?;
        for (specimen, loss) in losses.into_iter().enumerate() {
            found.values.push(BenchValue {
                quantity,
                text: if loss < BALANCE_MG {
                    format!("<{}", plain(BALANCE_MG))
                } else {
                    plain(loss)
                },
                unit: "mg",
                specimen: specimen as u32,
            });
        }
    }
    Ok(found)
}

/// Weld load, last non-seizure load and load-wear index of a log of loads and scars; a weld is an infinite scar.
fn run_log(rows: &[Row]) -> Result<FromBench, ReadingsFault> {
    let run = |row: &Row| Run {
        load_kgf: row[0][0],
        outcome: if row[1][0].is_infinite() {
            Outcome::Weld
        } else {
            Outcome::Scar(row[1][0])
        },
    };
    let runs: Vec<Run> = rows.iter().map(run).collect();
    let found = evaluate(&runs).map_err(|faults| first_of(&faults))?;
    let mut from_bench = as_values(&found);
    let is_weld_by_scar = |run: &&Run| {
        found.weld_kgf == Ok(run.load_kgf) && matches!(run.outcome, Outcome::Scar(mm) if mm >= WELD_SCAR_MM)
    };
    if let Some(run) = runs.iter().find(is_weld_by_scar) {
        from_bench.remarks.push(format!(
            "the scar at {} kgf is {WELD_SCAR_MM} mm wide or more and counts as the weld point",
            plain(run.load_kgf)
        ));
    }
    Ok(from_bench)
}

/// The first of the faults; `evaluate` refuses with at least one.
fn first_of(faults: &[RunFault]) -> ReadingsFault {
    let first = faults[0];
    ReadingsFault {
        row: first.row,
        field: match first.problem {
            RunProblem::Load | RunProblem::SameLoad(_) => "load",
            RunProblem::Scar | RunProblem::BelowUnworn(_) | RunProblem::Welded => "scar",
        },
        problem: ReadingsProblem::Run(first.problem),
    }
}

fn as_values(found: &EpResult) -> FromBench {
    let weld = between("weld", "kgf", found.weld_bounds);
    let lnsl = match &found.last_non_seizure_kgf {
        Ok(load) => between(
            "lnsl",
            "kgf",
            StepBounds {
                passed: Some(*load),
                failed: found.seized_at_kgf,
                disagree_at: None,
            },
        ),
        Err(Missing::SeizedFromTheStart(load)) => one("lnsl", "kgf", &format!("<{}", plain(*load))),
        Err(_) => FromBench::default(),
    };
    let lwi = match &found.load_wear_index_kgf {
        Ok(index) => one("lwi", "kgf", &plain(*index)),
        Err(missing) => FromBench {
            remarks: vec![format!("no load-wear index: {}", why(missing))],
            values: Vec::new(),
        },
    };
    let parts = [weld, lnsl, lwi];
    FromBench {
        remarks: parts.iter().flat_map(|part| part.remarks.clone()).collect(),
        values: parts.into_iter().flat_map(|part| part.values).collect(),
    }
}

fn why(missing: &Missing) -> String {
    match missing {
        Missing::NoWeld(highest) => format!("no run welded, up to {} kgf", plain(*highest)),
        Missing::FewSteps(steps) => format!("the ladder has only {steps} steps below the weld load"),
        Missing::NotRun(loads) => {
            let loads: Vec<String> = loads.iter().map(|load| plain(*load)).collect();
            format!("{} kgf were not run", loads.join(", "))
        }
        Missing::SeizedFromTheStart(_) | Missing::NoScar => {
            "the log holds no scar without seizure".to_string()
        }
    }
}

/// The column of a mass that cannot be used.
fn in_column(quantity: &str, fault: ReadingsFault) -> ReadingsFault {
    let field = match (quantity, fault.field) {
        ("roller_wear", "after") => "roller_after",
        ("roller_wear", _) => "roller_before",
        (_, "after") => "cage_after",
        _ => "cage_before",
    };
    ReadingsFault { field, ..fault }
}

fn bounded(quantity: &'static str, unit: &'static str, found: Result<f64, f64>) -> FromBench {
    match found {
        Ok(value) => one(quantity, unit, &plain(value)),
        Err(run) => FromBench {
            remarks: vec![format!(
                "the limit was not reached: the result is a bound, above {} {unit}",
                plain(run)
            )],
            ..one(quantity, unit, &format!(">{}", plain(run)))
        },
    }
}

fn one(quantity: &'static str, unit: &'static str, text: &str) -> FromBench {
    FromBench {
        values: vec![BenchValue {
            quantity,
            text: text.to_string(),
            unit,
            specimen: 0,
        }],
        remarks: Vec::new(),
    }
}

/// A number to a tenth of the last digit that any of these readings has.
fn plain(number: f64) -> String {
    let text = format!("{number:.4}");
    text.trim_end_matches('0').trim_end_matches('.').to_string()
}
