//! One line on the newest decision, for the other pages of a trial.

use crate::app::{EvidenceIs, newest_decision};
use crate::records::TrialRecords;
use crate::web::figures;

/// What was decided last, and whether the evidence is still the one it was signed on.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct DecisionLine {
    /// `Decided on 24 November 2026: K-14`; empty where nothing was decided.
    pub(crate) words: String,
    pub(crate) has_changed: bool,
}

impl DecisionLine {
    /// The line of a trial.
    pub(crate) fn of(records: &TrialRecords) -> Self {
        let newest = newest_decision(records);
        Self {
            words: newest.map_or_else(String::new, |(decision, _)| {
                let chosen = decision.chosen_blend().unwrap_or("no blend chosen");
                match decision.date {
                    Some(_) => format!("Decided on {}: {chosen}", figures::date(decision.date)),
                    None => format!("Decided: {chosen}"),
                }
            }),
            has_changed: newest.is_some_and(|(_, evidence)| evidence == EvidenceIs::Changed),
        }
    }
}
