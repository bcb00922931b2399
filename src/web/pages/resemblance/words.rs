//! Every word that code puts on the page of the resemblance in a trial; what stands whatever the numbers are is in the template.

pub(super) use crate::web::pages::words::{NOBODY, UNKNOWN, range};
use std::fmt::Display;

pub(super) fn resemblance_in(trial: &str) -> String {
    format!("Resemblance in {trial}")
}

pub(super) const THE_CHANGE_IS_NOT_KEPT_YET_SEE_THE: &str =
    "The change is not kept yet: see the field below.";

pub(super) const NO_LEADER_CAN_BE_NAMED: &str = "no leader can be named";

pub(super) fn may_be_called_the_leader(leader: impl Display) -> String {
    format!("{leader} may be called the leader")
}

pub(super) const A_TABLE_OF_PAIRS: &str = "a table of pairs";

pub(super) fn instead_of(term: &str, now: &str, then: &str) -> String {
    format!("{term} {now} instead of {then}")
}
