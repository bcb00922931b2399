//! Words that more than one page says.

use crate::web::figures::count;

pub(super) const MAIN: &str = "main";
pub(super) const MINOR: &str = "minor";
pub(super) const NOBODY: &str = "nobody";
pub(super) const NOT_KNOWN: &str = "not known";
pub(super) const NO_RIG: &str = "no rig";
pub(super) const NO_TRIAL_HAS_THIS_NAME: &str = "No trial has this name.";
pub(super) const SECONDARY: &str = "secondary";
pub(super) const UNKNOWN: &str = "unknown";

pub(super) fn cautions(number: usize) -> String {
    count(number, "caution")
}

pub(super) fn charts(number: usize) -> String {
    count(number, "chart")
}

pub(super) fn days(number: usize) -> String {
    count(number, "day")
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

pub(super) fn trials(number: usize) -> String {
    count(number, "trial")
}

pub(super) fn range(lo: &str, hi: &str) -> String {
    format!("{lo} to {hi}")
}
