//! Every word that code puts on the page that explains one number; what stands whatever the numbers are is in the template.

use crate::web::pages::words as shared;
pub(super) use crate::web::pages::words::{LEFT_OUT, NOT_KNOWN, range};

pub(super) const NO_TEST_OF_A_TRIAL_HAS_THIS_ADDRESS: &str = "No test of a trial has this address.";

pub(super) fn on_one_contact(load: &str) -> String {
    format!("{load} on one contact")
}

pub(super) fn and_the_machines_to_scale(size: &str) -> String {
    format!("; the machine's: {size}, to the same scale")
}

pub(super) fn contact_area_of_the_test(size: &str, beside: &str) -> String {
    format!("Contact area of the test: {size}{beside}")
}

pub(super) fn bearings_and_bounded(measured: usize, bounded: usize) -> String {
    format!("{measured} and {bounded} only bounded")
}

pub(super) const NONE_A_LOSS_IS_ONLY_BOUNDED: &str = "none: a loss is only bounded";
pub(super) const NONE_FEWER_THAN_THREE_BEARINGS: &str = "none: fewer than three bearings";
pub(super) const NONE_THE_LOSSES_DO_NOT_SCATTER: &str = "none: the losses do not scatter";

pub(super) fn finding_with_what_was_said(finding: &str, oil: &str, number: &str) -> String {
    format!("{finding}; {oil} {number}, as said")
}

pub(super) fn said_and_never_weighed(oil: &str, number: &str) -> String {
    format!("{oil}: {number}, as said; never weighed")
}

pub(super) fn ladder(term: &str, machine: &str, test: &str, gap: &str) -> String {
    format!("{term}: machine {machine}, test {test}; {gap}")
}

pub(super) fn pressure_on_the_scar(blend: &str, scar_mm: &str, pressure: &str, runs: usize) -> String {
    format!(
        "On the scar of {blend}, {scar_mm} mm, it is {pressure} in the mean, from {}.",
        shared::runs(runs)
    )
}

pub(super) fn pressure_before_any_wear(load: &str, mean: &str, most: &str) -> String {
    format!("Before any wear, {load} on one contact press with {mean} in the mean and {most} at most.")
}
