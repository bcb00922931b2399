//! What is wrong with readings at the bench, with the mend.

use crate::catalogue::four_ball_ep::{BALL_MM, LOADS_KGF, RunProblem};
use crate::catalogue::readings::ReadingsProblem;
use crate::catalogue::slip;
use crate::prose::faults::slip_words;
use crate::units::Interval;

/// A reading that cannot stand.
pub(super) fn reading_problem(problem: ReadingsProblem) -> String {
    match problem {
        ReadingsProblem::Nothing => "nothing is given; enter at least one reading".to_string(),
        ReadingsProblem::One => "one reading is no course; enter at least two".to_string(),
        ReadingsProblem::NotLater => {
            "does not come after the reading before it; put them in order".to_string()
        }
        ReadingsProblem::OutOfBounds(value, [least, most], unit) => {
            let in_range = || {
                let (unit, range) = (unit.parse().ok()?, Interval::new(least, most)?);
                Some(slip_words(slip(value, unit, range, unit), unit))
            };
            let slip = in_range().unwrap_or_default();
            format!("{value} {unit} is not between {least} and {most} {unit}{slip}; read it again")
        }
        ReadingsProblem::AtTheLimit(reading, limit) => {
            format!("the first reading is at {reading} already, the limit is {limit}")
        }
        ReadingsProblem::NoStage(stage) => {
            format!("{stage} is not a load stage; write a whole number from 1 to 20")
        }
        ReadingsProblem::StageTwice(stage) => format!("stage {stage} stands twice; leave one out"),
        ReadingsProblem::Heals([(after_mm, after), (before_mm, before)]) => format!(
            "{after_mm} mm at stage {after} after {before_mm} mm at stage {before}: damage does not heal; look at \
             both again"
        ),
        ReadingsProblem::MoreThanTeeth(widths, teeth) => {
            format!("{widths} widths on a pinion with {teeth} teeth")
        }
        ReadingsProblem::NoWidth(width, face) => format!("{width} mm is no width on a tooth {face} mm wide"),
        ReadingsProblem::NoLoad(load) => format!("{load} is not a load"),
        ReadingsProblem::PassedAbove(passed, failed) => format!(
            "{passed} passed although the smaller load {failed} failed; look at both again, or leave the misread \
             one out"
        ),
        ReadingsProblem::AfterTheEnd => {
            "the run ended at its first failing load; leave this one out".to_string()
        }
        ReadingsProblem::Heavier(mg) => {
            format!("{mg:.2} mg heavier after the run; clean and weigh it again")
        }
        ReadingsProblem::Run(problem) => run_problem(problem),
    }
}

/// A run of the four-ball extreme-pressure test that cannot stand.
pub(crate) fn run_problem(problem: RunProblem) -> String {
    match problem {
        RunProblem::Load => {
            let [least, most] = LOADS_KGF;
            format!("must lie between {least} and {most} kgf")
        }
        RunProblem::Scar => format!("must be above zero and at most {BALL_MM} mm"),
        RunProblem::BelowUnworn(unworn) => {
            format!("is smaller than the unworn contact at this load, {unworn:.3} mm")
        }
        RunProblem::Welded => "a lower load welded: a scar cannot stand here".to_string(),
        RunProblem::SameLoad(first) => {
            format!(
                "run {} has this load already: give the mean scar of both",
                first + 1
            )
        }
    }
}
