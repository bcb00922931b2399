//! Results of a four-ball extreme-pressure run log.

use crate::calculate::{Answered, Refusal, refusal};
use crate::catalogue::four_ball_ep::{
    EpResult, Level, Missing, Outcome, Run, RunProblem, compensation_scar_mm, evaluate, hertz_scar_mm,
    ladder_kgf,
};
use crate::intake::bench::run_problem;

/// Most runs of a log.
const MOST_RUNS: usize = 200;

/// One row of a log as it was written.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FourBallRun {
    /// Load, kgf.
    pub load_kgf: f64,
    /// Mean scar, mm.
    pub scar_mm: Option<f64>,
    /// Whether the balls welded; a scar beside it is not used.
    pub weld: bool,
}

/// Results of the log, with the lines to draw them against.
#[derive(Clone, Debug, PartialEq)]
pub struct FourBallAnswer {
    /// Last non-seizure load, weld point, load-wear index, every load.
    pub result: EpResult,
    /// Load in kgf, unworn scar in mm, compensation scar in mm, for every step of the ladder.
    pub ladder: Vec<(f64, f64, f64)>,
}

impl FourBallAnswer {
    /// The corrected loads: those of the ten steps of the index, or of every run with a scar where there is no index.
    pub fn corrected_kgf(&self) -> Vec<f64> {
        let has_index = self.result.load_wear_index_kgf.is_ok();
        let counted = |level: &&Level| !has_index || level.in_index.is_some();
        let levels = self.result.levels.iter().filter(counted);
        levels.map(|level| level.corrected_kgf).collect()
    }
}

/// Last non-seizure load, weld point and load-wear index (ASTM D2783).
///
/// # Errors
/// No run, or more than 200; every run that cannot stand, by row and field.
pub fn calculate_four_ball_ep(runs: &[FourBallRun]) -> Answered<FourBallAnswer> {
    if runs.is_empty() || runs.len() > MOST_RUNS {
        return Err(vec![refusal("runs", format!("give 1 to {MOST_RUNS} runs"))]);
    }
    let read: Vec<Result<Run, Refusal>> = runs
        .iter()
        .enumerate()
        .map(|(row, run)| outcome(row, run))
        .collect();
    let faults: Vec<Refusal> = read.iter().filter_map(|run| run.clone().err()).collect();
    if !faults.is_empty() {
        return Err(faults);
    }
    let read: Vec<Run> = read.into_iter().flatten().collect();
    let result = evaluate(&read).map_err(|faults| {
        let named = faults.into_iter();
        named
            .map(|fault| {
                let field = match fault.problem {
                    RunProblem::Load | RunProblem::SameLoad(_) => "load_kgf",
                    RunProblem::Scar | RunProblem::BelowUnworn(_) | RunProblem::Welded => "scar_mm",
                };
                refusal(format!("runs[{}].{field}", fault.row), run_problem(fault.problem))
            })
            .collect::<Vec<_>>()
    })?;
    let step = |load: f64| (load, hertz_scar_mm(load), compensation_scar_mm(load).0);
    Ok(FourBallAnswer {
        result,
        ladder: ladder_kgf().map(step).collect(),
    })
}

fn outcome(row: usize, run: &FourBallRun) -> Result<Run, Refusal> {
    let outcome = match (run.weld, run.scar_mm) {
        (true, _) => Outcome::Weld,
        (false, Some(scar)) => Outcome::Scar(scar),
        (false, None) => {
            let problem = "give the scar, or say that the balls welded";
            return Err(refusal(format!("runs[{row}].scar_mm"), problem));
        }
    };
    Ok(Run {
        load_kgf: run.load_kgf,
        outcome,
    })
}

/// Why a result is missing, in words.
pub(crate) fn missing_words(missing: &Missing) -> String {
    let list = |loads: &[f64]| loads.iter().map(f64::to_string).collect::<Vec<_>>().join(", ");
    match missing {
        Missing::NoWeld(highest) => format!("no run welded, up to {highest} kgf"),
        Missing::SeizedFromTheStart(lowest) => {
            format!("the lowest run, at {lowest} kgf, is already more than 5 % over the compensation line")
        }
        Missing::NoScar => "no run left a scar".to_string(),
        Missing::FewSteps(steps) => format!("the ladder has only {steps} of ten steps below the weld point"),
        Missing::NotRun(loads) => format!(
            "not run, and not below the last non-seizure load: {} kgf",
            list(loads)
        ),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn run(load_kgf: f64, scar_mm: Option<f64>) -> FourBallRun {
        FourBallRun {
            load_kgf,
            scar_mm,
            weld: false,
        }
    }

    #[test]
    fn a_run_without_scar_and_weld_is_named_by_its_row() {
        let refused = calculate_four_ball_ep(&[run(40.0, Some(0.33)), run(50.0, None)]).unwrap_err();
        assert_eq!(refused[0].field, "runs[1].scar_mm");
        let refused = calculate_four_ball_ep(&[run(40.0, Some(-1.0)), run(-5.0, Some(1.0))]).unwrap_err();
        let fields: Vec<&str> = refused.iter().map(|fault| fault.field.as_str()).collect();
        assert_eq!(fields, ["runs[0].scar_mm", "runs[1].load_kgf"]);
        assert_eq!(calculate_four_ball_ep(&[]).unwrap_err()[0].field, "runs");
    }

    #[test]
    fn without_an_index_every_measured_run_has_its_corrected_load() {
        let answer = calculate_four_ball_ep(&[run(40.0, Some(0.33)), run(50.0, Some(0.36))]).unwrap();
        assert_eq!(answer.corrected_kgf().len(), 2);
        assert!(answer.result.load_wear_index_kgf.is_err());
    }
}
