//! Loads put on step by step until the specimens score or seize.

use crate::catalogue::readings::{ReadingsFault, ReadingsProblem, refused};

/// What one load did.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum StepOutcome {
    /// No score, no seizure.
    Passed,
    /// Score or seizure.
    Failed,
}

/// One load that was run, in the unit of the ladder.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LoadStep {
    /// The load.
    pub load: f64,
    /// What it did.
    pub outcome: StepOutcome,
}

/// Between which loads specimens score or seize.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct StepBounds {
    /// The greatest load that passed; `None` where none did.
    pub passed: Option<f64>,
    /// The smallest load that failed; `None` where none did.
    pub failed: Option<f64>,
    /// A load that passed in one run and failed in another: the bounds are those next to it.
    pub disagree_at: Option<f64>,
}

/// The greatest load that passed and the smallest that failed: the result of block and ring (OK and score load).
///
/// Where two runs disagree at one load, the bounds widen to its neighbours: the greatest load below it that passed and the
/// smallest above it that failed, or the step above it where none was run. `ladder` are the steps, ascending.
///
/// # Errors
/// No load; a load that is none; a load that passed above one that failed, which says that one of the two was misread.
pub fn ok_load(steps: &[LoadStep], ladder: &[f64]) -> Result<StepBounds, ReadingsFault> {
    if steps.is_empty() {
        return refused(0, "load", ReadingsProblem::Nothing);
    }
    for (row, step) in steps.iter().enumerate() {
        if !(step.load > 0.0 && step.load < 1e6) {
            return refused(row, "load", ReadingsProblem::NoLoad(step.load));
        }
    }
    let loads = |outcome: StepOutcome| {
        let of_outcome = steps.iter().filter(move |step| step.outcome == outcome);
        of_outcome.map(|step| step.load)
    };
    let failed = loads(StepOutcome::Failed).reduce(f64::min);
    let above =
        |step: &LoadStep| step.outcome == StepOutcome::Passed && failed.is_some_and(|load| step.load > load);
    if let Some(row) = steps.iter().position(above) {
        let problem = ReadingsProblem::PassedAbove(steps[row].load, failed.unwrap_or_default());
        return refused(row, "load", problem);
    }
    let passed = loads(StepOutcome::Passed).reduce(f64::max);
    let disagree_at = failed.filter(|load| passed == Some(*load));
    let Some(at) = disagree_at else {
        return Ok(StepBounds {
            passed,
            failed,
            disagree_at,
        });
    };
    let step_above = || ladder.iter().copied().find(|step| *step > at);
    let failed_above = loads(StepOutcome::Failed)
        .filter(|load| *load > at)
        .reduce(f64::min);
    Ok(StepBounds {
        passed: loads(StepOutcome::Passed)
            .filter(|load| *load < at)
            .reduce(f64::max),
        failed: failed_above.or_else(step_above),
        disagree_at,
    })
}

/// The greatest load that passed of a run whose load rises while it runs: one run, one failing load at most.
///
/// # Errors
/// As for [`ok_load`]; more than one failing load, since the run ends at the first.
pub fn passed_load(steps: &[LoadStep], ladder: &[f64]) -> Result<StepBounds, ReadingsFault> {
    let failed = |step: &LoadStep| step.outcome == StepOutcome::Failed;
    let mut failures = steps.iter().enumerate().filter(|(_, step)| failed(step));
    if let (Some(_), Some((row, _))) = (failures.next(), failures.next()) {
        return refused(row, "load", ReadingsProblem::AfterTheEnd);
    }
    ok_load(steps, ladder)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn steps(loads: &[(f64, bool)]) -> Vec<LoadStep> {
        let step = |&(load, passed): &(f64, bool)| LoadStep {
            load,
            outcome: if passed {
                StepOutcome::Passed
            } else {
                StepOutcome::Failed
            },
        };
        loads.iter().map(step).collect()
    }

    const LADDER: [f64; 4] = [30.0, 40.0, 50.0, 60.0];

    /// The greatest load that passed and the smallest that failed.
    fn between(loads: &[(f64, bool)]) -> (Option<f64>, Option<f64>) {
        let found = ok_load(&steps(loads), &LADDER).unwrap();
        (found.passed, found.failed)
    }

    #[test]
    fn the_ok_load_is_the_greatest_that_passed_below_the_score_load_in_any_order() {
        let log = [(30.0, true), (60.0, false), (45.0, true), (50.0, false)];
        assert_eq!(between(&log), (Some(45.0), Some(50.0)));
        assert_eq!(between(&[(30.0, true), (40.0, true)]), (Some(40.0), None));
        assert_eq!(between(&[(30.0, false)]), (None, Some(30.0)));
        assert_eq!(ok_load(&steps(&log), &LADDER).unwrap().disagree_at, None);
    }

    #[test]
    fn two_runs_that_disagree_at_one_load_widen_to_its_neighbours() {
        let twice = [(30.0, true), (40.0, true), (40.0, false)];
        // nothing was run above: the step above stands for it
        assert_eq!(between(&twice), (Some(30.0), Some(50.0)));
        assert_eq!(ok_load(&steps(&twice), &LADDER).unwrap().disagree_at, Some(40.0));
        let run_above = [&twice[..], &[(60.0, false)]].concat();
        assert_eq!(between(&run_above), (Some(30.0), Some(60.0)));
        assert_eq!(between(&twice[1..]), (None, Some(50.0)));
        let at_the_end = [(50.0, true), (60.0, true), (60.0, false)];
        assert_eq!(between(&at_the_end), (Some(50.0), None));
        // both runs failed: nothing disagrees
        assert_eq!(
            between(&[(30.0, true), (40.0, false), (40.0, false)]),
            (Some(30.0), Some(40.0))
        );
    }

    #[test]
    fn a_pass_above_a_failure_is_refused_and_named() {
        let fault = ok_load(&steps(&[(40.0, false), (50.0, true)]), &LADDER).unwrap_err();
        assert_eq!(fault.row, 1);
        assert!(ok_load(&[], &LADDER).is_err() && ok_load(&steps(&[(-3.0, true)]), &LADDER).is_err());
    }

    #[test]
    fn a_run_with_rising_load_fails_once() {
        let found = passed_load(&steps(&[(100.0, true), (200.0, false)]), &[]).unwrap();
        assert_eq!((found.passed, found.failed), (Some(100.0), Some(200.0)));
        let twice = passed_load(&steps(&[(100.0, false), (200.0, false)]), &[]);
        assert_eq!(twice.unwrap_err().row, 1);
    }
}
