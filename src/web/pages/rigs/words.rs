//! Every word that code puts on the pages of rigs; what stands whatever the numbers are is in the template.

use crate::web::pages::words as shared;
pub(super) use crate::web::pages::words::runs;
use std::fmt::Display;

pub(super) const RIGS: &str = "Rigs";
pub(super) const NO_REFERENCE_OIL_NAMED: &str = "no reference oil named";
pub(super) const TOO_FEW_RUNS_OF_THE_REFERENCE_OIL: &str = "too few runs of the reference oil";

pub(super) fn without_alarm(charts: usize) -> String {
    format!("{} without alarm", shared::charts(charts))
}

pub(super) fn with_an_alarm_and_in_doubt(warned: usize, charts: usize, results: usize) -> String {
    format!(
        "{warned} of {} with an alarm; {} in doubt",
        shared::charts(charts),
        shared::results(results)
    )
}

pub(super) fn rig_of_id(id: impl Display) -> String {
    format!("Rig {id}")
}

pub(super) const THE_LIMITS_ARE_PROVISIONAL: &str = "; the limits are provisional";
pub(super) const NO_RULE_SAYS_THAT_THE_LEVEL_HAS_MOVED: &str = "no rule says that the level has moved";

pub(super) fn alarms_and_the_last(runs: usize, date: &str) -> String {
    format!("{} with an alarm, the last on {date}", shared::runs(runs))
}

pub(super) fn with_an_alarm(runs: usize) -> String {
    format!("{} with an alarm", shared::runs(runs))
}

pub(super) fn runs_of_reference(
    runs: &str,
    reference: impl Display,
    what: &str,
    provisional: &str,
) -> String {
    format!("{runs} of {reference}: {what}{provisional}.")
}

pub(super) const NO_LIMITS_TOO_FEW_RUNS: &str = "no limits: too few runs";
pub(super) const PROVISIONAL: &str = "provisional";
pub(super) const FROM_ITS_OWN_RUNS: &str = "from its own runs";
pub(super) const FROM_THE_FIRST_RUN: &str = "from the first run";

pub(super) fn after(date: &str) -> String {
    format!("after {date}")
}

pub(super) const UP_TO_NOW: &str = "up to now";

pub(super) fn until(date: &str) -> String {
    format!("until {date}")
}

pub(super) fn alarm_on(date: &str) -> String {
    format!("alarm on {date}")
}

pub(super) fn alarms_between(first: &str, last: &str) -> String {
    format!("alarms from {first} to {last}")
}
