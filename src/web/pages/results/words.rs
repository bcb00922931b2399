//! Every word that code puts on the pages of results; what stands whatever the numbers are is in the template.

pub(super) use crate::web::pages::words::NO_RIG;
use std::fmt::Display;

pub(super) const CORRECT: &str = "Correct";
pub(super) const VOID: &str = "Void";

pub(super) fn do_to_a_result(verb: &str) -> String {
    format!("{verb} a result")
}

pub(super) fn do_to_the_result_of(verb: &str, blend: impl Display, quantity: &str) -> String {
    format!("{verb} the result of {blend}, {quantity}")
}

pub(super) fn run(rig: &str, date: &str, run: u32) -> String {
    format!("{rig}, {date}, run {run}")
}

pub(super) fn written_and_read_as(written: &str, value: &str) -> String {
    format!("{written} (read as {value})")
}

pub(super) fn results_of(trial: &str) -> String {
    format!("Results of {trial}")
}
