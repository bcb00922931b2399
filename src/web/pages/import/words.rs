//! Every word that code puts on the pages of an import; what stands whatever the numbers are is in the template.

use crate::web::pages::words as shared;
pub(super) use crate::web::pages::words::{NO_RIG, NO_TRIAL_HAS_THIS_NAME};
use std::fmt::Display;

pub(super) const IMPORT_RESULTS: &str = "Import results";
pub(super) const CHOOSE_A_FILE_OR_PASTE_ROWS: &str = "Choose a file, or paste rows with their header.";
pub(super) const A_FILE_AND_ROWS: &str = "A file is chosen and rows are pasted: leave one of the two out.";
pub(super) const PASTED_TEXT: &str = "pasted text";
pub(super) const PREVIEW_IS_TOO_OLD: &str =
    "The preview is older than 30 minutes, or the program was started anew: look at the file again.";

pub(super) const PREVIEW_OF_AN_IMPORT: &str = "Preview of an import";

pub(super) fn summary(
    rows: usize,
    new: usize,
    there: usize,
    changing: usize,
    refused: usize,
    not_run: usize,
) -> String {
    format!(
        "{}: {new} new, {there} already there, {changing} would change what is there, {refused} refused, {not_run} not run.",
        shared::rows(rows)
    )
}

pub(super) const NOTHING_IS_NEW: &str = "Nothing is new: there is nothing to write.";
pub(super) const NOTHING_IS_WRITTEN_YET: &str = "Nothing is written yet.";
pub(super) const NOTHING_CAN_BE_WRITTEN: &str = "Nothing can be written while a row is refused or would change what is there. Mend the file, or leave those rows out.";
pub(super) const DECIMAL_POINT: &str = "decimal point";
pub(super) const DECIMAL_COMMA: &str = "decimal comma";
pub(super) const DECIMAL_SIGN_NOT_SETTLED: &str = "decimal sign not settled by the file";
pub(super) const DAY_FIRST: &str = "; dates with slashes have the day first";
pub(super) const MONTH_FIRST: &str = "; dates with slashes have the month first";

pub(super) fn understood(encoding: &str, separator: &str, decimal: &str, order: &str) -> String {
    format!("{encoding}; cells separated by {separator}; {decimal}{order}.")
}

pub(super) fn condition(name: &str) -> String {
    format!("condition: {name}")
}

pub(super) const NOT_READ: &str = "not read";

pub(super) fn run_is_there_with(there: &str, given: &str) -> String {
    format!(
        "this run is there with {there}, and the file gives {given}; correct the result on purpose instead"
    )
}

pub(super) fn row(key: impl Display, value: &str, rig: &str, date: &str, run: u32) -> String {
    format!("{key} {value}, {rig}, {date}, run {run}")
}
