//! Every word that code puts on the calculator of a median life; what stands whatever the numbers are is in the template.

use std::fmt::Display;

pub(super) const TIMES_OR_MASSES: &str =
    "Times or masses, one per line or parted by blanks; 25+ or >25 for a run that was stopped before failure";
pub(super) const SHAPE_WHERE_KNOWN: &str = "Shape, where it is known (may stay empty)";
pub(super) const MEDIAN_LIFE_BY_A_WEIBULL_DISTRIBUTION: &str = "Median life by a Weibull distribution";

pub(super) fn row(number: usize, written: &str, fault: impl Display) -> String {
    format!("row {number}: '{written}' {fault}")
}

pub(super) const MEDIAN: &str = "median";
pub(super) const LOWER_END_OF_INTERVAL: &str = "90 % interval, lower end";
pub(super) const UPPER_END_OF_INTERVAL: &str = "90 % interval, upper end";
pub(super) const SHAPE: &str = "shape";
pub(super) const AS_GIVEN: &str = "as given";
pub(super) const ESTIMATED: &str = "estimated";
pub(super) const SCALE: &str = "scale";
pub(super) const WHAT_THE_SCALE_IS: &str = "63.2 % do not survive it";

pub(super) fn failed_and_stopped(failed: usize, stopped: usize) -> String {
    format!("{failed} failed, {stopped} stopped before failure")
}

pub(super) const TIME_OR_MASS: &str = "time or mass";
pub(super) const SHARE_THAT_FAILED: &str = "share that failed";

pub(super) fn weibull_line(shape: &str, median: &str) -> String {
    format!("Weibull line of shape {shape} with median {median}")
}
