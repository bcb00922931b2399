//! Every word that code puts on the calculator of a four-ball extreme-pressure run log; what stands whatever the numbers are is in the template.

pub(super) use crate::web::pages::words::NONE;

pub(super) const RUN_LOG: &str =
    "Run log: a line per run, load in kgf, then mean scar in mm or the word weld";
pub(super) const FOUR_BALL_EXTREME_PRESSURE_RUN_LOG: &str = "Four-ball extreme-pressure run log";

pub(super) fn row(number: usize, why: &str) -> String {
    format!("row {number}: {why}")
}

pub(super) const HOW_A_ROW_IS_WRITTEN: &str = "write a load and then a scar or the word weld";
pub(super) const LAST_NON_SEIZURE_LOAD: &str = "last non-seizure load";
pub(super) const WELD_POINT: &str = "weld point";
pub(super) const LOAD_WEAR_INDEX: &str = "load-wear index";
pub(super) const MEASURED: &str = "measured";
pub(super) const NOT_RUN_COMPENSATION_LINE: &str = "not run: compensation line";
pub(super) const NOT_RUN_STAND_IN_FOR_THE_LINE: &str = "not run: stand-in for the line";
pub(super) const NO: &str = "no";
pub(super) const YES: &str = "yes";
pub(super) const LOAD: &str = "load";
pub(super) const SCAR: &str = "scar";
pub(super) const WELD: &str = "weld";

pub(super) fn scar_over_load(last: &str, index: &str) -> String {
    format!("Scar over load; last non-seizure load {last}, load-wear index {index}")
}
