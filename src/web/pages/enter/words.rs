//! Every word that code puts on the page where a run is entered; what stands whatever the numbers are is in the template.

pub(super) const ENTER_A_RUN: &str = "Enter a run";

pub(super) fn result_of_run(label: &str, run: u32) -> String {
    format!("{label}, run {run}")
}
