//! The run log of a four-ball extreme-pressure test.

use crate::catalogue::four_ball_ep::{EpResult, Missing, Outcome, Run, RunFault, RunProblem, evaluate};
use crate::catalogue::readings::{ReadingsFault, ReadingsProblem};
use crate::intake::bench::compute::plain;
use crate::intake::bench::{BenchValue, FromBench};

/// What stands in the place of a scar where the balls welded.
pub(super) const WELDED: &str = "weld";

/// Weld load, last non-seizure load and load-wear index of a log of loads and scars; a weld is an infinite scar.
pub(super) fn results(rows: &[Vec<Vec<f64>>]) -> Result<FromBench, ReadingsFault> {
    let run = |row: &Vec<Vec<f64>>| Run {
        load_kgf: row[0][0],
        outcome: if row[1][0].is_infinite() {
            Outcome::Weld
        } else {
            Outcome::Scar(row[1][0])
        },
    };
    let runs: Vec<Run> = rows.iter().map(run).collect();
    let found = evaluate(&runs).map_err(|faults| first_of(&faults))?;
    Ok(as_values(&found))
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
    let mut out = FromBench::default();
    let mut add = |quantity, text: String| {
        out.values.push(BenchValue {
            quantity,
            text,
            unit: "kgf",
            specimen: 0,
        });
    };
    match &found.weld_kgf {
        Ok(load) => add("weld", plain(*load)),
        Err(Missing::NoWeld(highest)) => add("weld", format!(">{}", plain(*highest))),
        Err(_) => {}
    }
    if let Ok(load) = found.last_non_seizure_kgf {
        add("lnsl", plain(load));
    }
    match &found.load_wear_index_kgf {
        Ok(index) => add("lwi", plain(*index)),
        Err(missing) => out.remarks.push(format!("no load-wear index: {}", why(missing))),
    }
    out
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
