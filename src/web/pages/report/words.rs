//! Every word that code puts on the report; what stands whatever the numbers are is in the template.

pub(super) const LESS: &str = "; less: ";
pub(super) const THE_LABORATORYS_OWN: &str = "the laboratory's own";
pub(super) const NOTHING: &str = "nothing";
