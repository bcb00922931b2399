//! Every word that code puts on the page that says how every number is computed; what stands whatever the numbers are is in the template.

pub(super) const HOW_EVERY_NUMBER_IS_COMPUTED: &str = "How every number is computed";

pub(super) fn per_cent_range(lo: usize, hi: usize) -> String {
    format!("{lo} to {hi} %")
}

pub(super) const BY_RATIO: &str = "by ratio";
pub(super) const BY_DIFFERENCE: &str = "by difference";
pub(super) const BY_DECADES_OF_THE_AXIS_RATIO: &str =
    "by decades of the axis ratio; conformal contacts by a table";
pub(super) const BY_A_TABLE_OF_PAIRS: &str = "by a table of pairs";
