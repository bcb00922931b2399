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

/// The greatest load that passed and the smallest that failed: the result of block and ring (OK and score load).
///
/// A load run twice with both outcomes counts as failed. Either is `None` where no load had that outcome.
///
/// # Errors
/// No load; a load that is none; a load that passed above one that failed, which says that one of the two was misread.
pub fn ok_load(steps: &[LoadStep]) -> Result<(Option<f64>, Option<f64>), ReadingsFault> {
    if steps.is_empty() {
        return refused(0, "load", ReadingsProblem::Nothing);
    }
    for (row, step) in steps.iter().enumerate() {
        if !(step.load > 0.0 && step.load < 1e6) {
            return refused(row, "load", ReadingsProblem::NoLoad(step.load));
        }
    }
    let failed = steps.iter().filter(|step| step.outcome == StepOutcome::Failed);
    let failing = failed.map(|step| step.load).reduce(f64::min);
    let above =
        |step: &LoadStep| step.outcome == StepOutcome::Passed && failing.is_some_and(|load| step.load > load);
    if let Some(row) = steps.iter().position(above) {
        let problem = ReadingsProblem::PassedAbove(steps[row].load, failing.unwrap_or_default());
        return refused(row, "load", problem);
    }
    let passed = steps
        .iter()
        .filter(|step| step.outcome == StepOutcome::Passed && failing.is_none_or(|load| step.load < load));
    Ok((passed.map(|step| step.load).reduce(f64::max), failing))
}

/// The greatest load that passed of a run whose load rises while it runs: one run, one failing load at most.
///
/// # Errors
/// As for [`ok_load`]; more than one failing load, since the run ends at the first.
pub fn passed_load(steps: &[LoadStep]) -> Result<(Option<f64>, Option<f64>), ReadingsFault> {
    let failed = |step: &LoadStep| step.outcome == StepOutcome::Failed;
    let mut failures = steps.iter().enumerate().filter(|(_, step)| failed(step));
    if let (Some(_), Some((row, _))) = (failures.next(), failures.next()) {
        return refused(row, "load", ReadingsProblem::AfterTheEnd);
    }
    ok_load(steps)
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

    #[test]
    fn the_ok_load_is_the_greatest_that_passed_below_the_score_load_in_any_order() {
        let log = steps(&[(30.0, true), (60.0, false), (45.0, true), (50.0, false)]);
        assert_eq!(ok_load(&log), Ok((Some(45.0), Some(50.0))));
        assert_eq!(
            ok_load(&steps(&[(30.0, true), (40.0, true)])),
            Ok((Some(40.0), None))
        );
        assert_eq!(ok_load(&steps(&[(30.0, false)])), Ok((None, Some(30.0))));
    }

    #[test]
    fn a_load_with_both_outcomes_failed() {
        assert_eq!(
            ok_load(&steps(&[(30.0, true), (40.0, true), (40.0, false)])),
            Ok((Some(30.0), Some(40.0)))
        );
    }

    #[test]
    fn a_pass_above_a_failure_is_refused_and_named() {
        let fault = ok_load(&steps(&[(40.0, false), (50.0, true)])).unwrap_err();
        assert_eq!(fault.row, 1);
        assert!(ok_load(&[]).is_err() && ok_load(&steps(&[(-3.0, true)])).is_err());
    }

    #[test]
    fn a_run_with_rising_load_fails_once() {
        assert_eq!(
            passed_load(&steps(&[(100.0, true), (200.0, false)])),
            Ok((Some(100.0), Some(200.0)))
        );
        assert_eq!(
            passed_load(&steps(&[(100.0, false), (200.0, false)]))
                .unwrap_err()
                .row,
            1
        );
    }
}
