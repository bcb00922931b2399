//! Every word that code puts on the page of a decision; what stands whatever the numbers are is in the template.

pub(super) use crate::web::pages::words::{CHOOSE, NOBODY, NONE, range, results};
use std::fmt::Display;

pub(super) fn decision_on(trial: &str) -> String {
    format!("Decision on {trial}")
}

pub(super) const NOTHING_SIGNED_SEE_THE_FIELDS: &str =
    "Nothing was signed yet: see the fields that are marked.";
pub(super) const NOTHING_SIGNED_THE_EVIDENCE_CHANGED: &str = "Nothing was signed: the evidence or the decisions of this trial have changed since this form was opened. Look at what stands now; what you typed is still here.";

pub(super) const CHOSEN_BLEND: &str = "Chosen blend";
pub(super) const REASON: &str = "Reason";
pub(super) const WHAT_A_REASON_SAYS: &str =
    "Who decided by role, what would reverse it, and when it is looked at again belong here too.";
pub(super) const DISSENT: &str = "Dissent";
pub(super) const WHAT_DISSENT_SAYS: &str = "Who disagreed, and why: it stays beside the decision.";
pub(super) const DATE_OF_THE_DECISION: &str = "Date of the decision";
pub(super) const WHAT_THE_MEETING_MAKES_OF_IT: &str = "What the meeting makes of it, in a sentence";

pub(super) fn out(reason: impl Display) -> String {
    format!("out: {reason}")
}

pub(super) const NONE_OF_THEM_THE_TRIAL_STAYS_OPEN: &str = "none of them; the trial stays open";

pub(super) const NO_BLEND_CHOSEN: &str = "no blend chosen";

pub(super) fn decided_on(date: &str, chosen: &str) -> String {
    format!("Decided on {date}: {chosen}")
}

pub(super) fn decided(chosen: &str) -> String {
    format!("Decided: {chosen}")
}

pub(super) fn dated_without_a_blend(date: &str) -> String {
    format!("{date}: no blend chosen")
}

pub(super) fn without_a_date(blend: &str) -> String {
    format!("Without a date: {blend}")
}

pub(super) const WITHOUT_A_DATE_NO_BLEND_CHOSEN: &str = "Without a date: no blend chosen";

pub(super) fn chosen_was_another(chosen: impl Display, front: impl Display) -> String {
    format!("Chosen was {chosen}; in front stood {front}.")
}

pub(super) fn machine_version(version: &str) -> String {
    format!("machine version {version}")
}

pub(super) fn draws(number: u64) -> String {
    format!("{number} draws")
}

pub(super) fn seed(number: u64) -> String {
    format!("seed {number}")
}

pub(super) const AT: &str = " at ";
pub(super) const AN_ENGINE_THAT_IS_NOT_NAMED: &str = "an engine that is not named";

pub(super) fn engine(version: &str) -> String {
    format!("engine {version}")
}

pub(super) fn frozen(when: &str, engine: &str) -> String {
    format!("Frozen{when} by {engine}; what it was computed from is not recorded.")
}

pub(super) fn frozen_from(when: &str, engine: &str, parts: &str) -> String {
    format!("Frozen{when} by {engine} from {parts}.")
}

pub(super) const NOT_FROZEN_CHANGES_CANNOT_BE_TOLD: &str =
    "What this decision rested on was not frozen: what has changed since cannot be told.";
pub(super) const EVIDENCE_IS_THE_SAME: &str = "The evidence is the one this was signed on.";
pub(super) const EVIDENCE_HAS_CHANGED_SINCE: &str = "Evidence has changed since.";

pub(super) fn was_in_front_and_is(blend: &str) -> String {
    format!("{blend} was in front and still is.")
}

pub(super) fn another_is_in_front(then: &str, now: &str) -> String {
    format!("{then} was in front; now {now} is.")
}

pub(super) fn computed_by_another_engine(then: &str, now: &str) -> String {
    format!("Then computed by {then}, now by engine {now}: numbers may differ for that reason alone.")
}

pub(super) const NOT_RANKED: &str = "not ranked";
