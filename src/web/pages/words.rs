//! Words that more than one page says.

use crate::web::figures::count;

pub(super) const BETTER: &str = "better";
pub(super) const CANDIDATE: &str = "candidate";
pub(super) const CHOOSE: &str = "choose";
pub(super) const CONTROL_FLUID: &str = "control fluid";
pub(super) const FILM_RATIO: &str = "film ratio";
pub(super) const LEFT_OUT: &str = "left out";
pub(super) const LONGER_OVER_SHORTER_AXIS: &str = "longer over shorter axis";
pub(super) const MAIN: &str = "main";
pub(super) const MAXIMUM_PRESSURE: &str = "maximum pressure";
pub(super) const MEAN_PRESSURE: &str = "mean pressure";
pub(super) const MINOR: &str = "minor";
pub(super) const NOBODY: &str = "nobody";
pub(super) const NONE: &str = "none";
pub(super) const NOTE: &str = "Note";
pub(super) const NOT_KNOWN: &str = "not known";
pub(super) const NO_RIG: &str = "no rig";
pub(super) const NO_TRIAL_HAS_THIS_NAME: &str = "No trial has this name.";
pub(super) const REFERENCE_OIL: &str = "reference oil";
pub(super) const SECONDARY: &str = "secondary";
pub(super) const SLIDE_ROLL_RATIO: &str = "slide-roll ratio";
pub(super) const UNKNOWN: &str = "unknown";
pub(super) const WORSE: &str = "worse";

pub(super) fn blends(number: usize) -> String {
    count(number, "blend")
}

pub(super) fn candidates(number: usize) -> String {
    count(number, "candidate")
}

pub(super) fn cautions(number: usize) -> String {
    count(number, "caution")
}

pub(super) fn charts(number: usize) -> String {
    count(number, "chart")
}

pub(super) fn components(number: usize) -> String {
    count(number, "component")
}

pub(super) fn control_fluids(number: usize) -> String {
    count(number, "control fluid")
}

pub(super) fn days(number: usize) -> String {
    count(number, "day")
}

pub(super) fn gates(number: usize) -> String {
    count(number, "gate")
}

pub(super) fn others(number: usize) -> String {
    count(number, "other")
}

pub(super) fn reference_oils(number: usize) -> String {
    count(number, "reference oil")
}

pub(super) fn results(number: usize) -> String {
    count(number, "result")
}

pub(super) fn rows(number: usize) -> String {
    count(number, "row")
}

pub(super) fn runs(number: usize) -> String {
    count(number, "run")
}

pub(super) fn single_runs(number: usize) -> String {
    count(number, "single run")
}

pub(super) fn tests(number: usize) -> String {
    count(number, "test")
}

pub(super) fn trials(number: usize) -> String {
    count(number, "trial")
}

pub(super) fn range(lo: &str, hi: &str) -> String {
    format!("{lo} to {hi}")
}
