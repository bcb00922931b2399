//! Every word that code puts on the page of units and numbers; what stands whatever the numbers are is in the template.

pub(super) const UNITS_AND_NUMBERS: &str = "Units and numbers";
pub(super) const IS_NONE_OF_ITS_LIST_CHOOSE_ONE: &str = "is none of its list; choose one";
pub(super) const FORCES_AND_LOADS: &str = "Forces and loads";
pub(super) const PRESSURES: &str = "Pressures";
pub(super) const TEMPERATURES: &str = "Temperatures";
pub(super) const BEFORE_THE_DECIMALS: &str = "Before the decimals";
pub(super) const BETWEEN_THOUSANDS: &str = "Between thousands, from 10 000 on";
