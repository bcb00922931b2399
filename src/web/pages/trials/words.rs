//! Every word that code puts on the list of trials; what stands whatever the numbers are is in the template.

pub(super) use crate::web::pages::words::{cautions, trials};
use std::fmt::Display;

pub(super) const TRIALS: &str = "Trials";
pub(super) const NO_TRIAL_MATCHES: &str = "No trial matches";
pub(super) const ONE_TRIAL_MATCHES: &str = "1 trial matches";

pub(super) fn trials_match(total: usize) -> String {
    format!("{total} trials match")
}

pub(super) fn any(facet: &str) -> String {
    format!("any {facet}")
}

pub(super) const MACHINE: &str = "Machine";
pub(super) const ANY_MACHINE: &str = "any machine";

pub(super) fn leader_leads(leader: impl Display) -> String {
    format!("{leader} leads")
}

pub(super) fn no_leader_but_in_front(blend: impl Display) -> String {
    format!("no leader; {blend} in front")
}

pub(super) const NOTHING_WEIGHED_YET: &str = "nothing weighed yet";

pub(super) fn ranks_first_in(share: &str) -> String {
    format!("ranks first in {share} of draws")
}

pub(super) const DONE: &str = "done";
pub(super) const TO_DO: &str = "to do";
pub(super) const DESCRIBE_THE_MACHINE: &str = "Describe the machine";
pub(super) const WHY_DESCRIBE_THE_MACHINE: &str =
    "Its contacts, with load, speed and temperature. Tests are weighed by how much they resemble it.";
pub(super) const GO_ENTER_A_MACHINE: &str = "enter a machine";
pub(super) const ENTER_THE_BLENDS: &str = "Enter the blends";
pub(super) const WHY_ENTER_THE_BLENDS: &str =
    "The candidates, and oils of known behaviour between which they are placed.";
pub(super) const GO_ENTER_A_BLEND: &str = "enter a blend";
pub(super) const SET_UP_A_TRIAL: &str = "Set up a trial";
pub(super) const WHY_SET_UP_A_TRIAL: &str =
    "The question, which blend has which role, and the test methods with what each is used for.";
pub(super) const GO_SET_UP_A_TRIAL: &str = "set up a trial";
pub(super) const ENTER_RESULTS: &str = "Enter results";
pub(super) const HOW_RESULTS_ARE_ENTERED: &str =
    "Typed on the page of the trial, or taken in from a file or a spreadsheet.";
pub(super) const GO_TAKE_RESULTS_IN: &str = "take results in";

pub(super) const LEADS: &str = "leads";
pub(super) const IN_FRONT_NO_LEADER: &str = "in front, no leader";
pub(super) const OUT_BY_A_GATE: &str = "out by a gate";

pub(super) fn scores(listed: &str) -> String {
    format!("Scores, known poor 0, known good 1: {listed}")
}
