//! The form that signs: what is chosen and why, and a sentence on each grave caution.

use crate::app::{DecisionDraft, DecisionView, GraveCaution};
use crate::prose::gates::failed_gates;
use crate::records::{Decision, Role, TrialRecords};
use crate::standing::Standing;
use crate::units::DisplayPreferences;
use crate::web::pages::form::{Faults, Field};

/// A caution with the field for its sentence.
pub(super) struct CautionField {
    pub(super) severity: &'static str,
    pub(super) kind: &'static str,
    pub(super) heading: String,
    pub(super) words: String,
    pub(super) field: Field,
}

/// The form.
pub(super) struct SignForm {
    pub(super) seen: String,
    pub(super) chosen: Field,
    pub(super) cautions: Vec<CautionField>,
    pub(super) reason: Field,
    pub(super) dissent: Field,
    pub(super) date: Field,
    /// Sentences that were typed on cautions that do not stand any more.
    pub(super) left_over: Vec<String>,
    /// Whether no leader is named.
    pub(super) without_leader: bool,
}

impl SignForm {
    /// The form as it is typed, with what is wrong with it.
    pub(super) fn new(view: &DecisionView, draft: &DecisionDraft, faults: &Faults) -> Self {
        let (records, standing) = (&view.comparison.records, &view.comparison.standing);
        let choices = choices(records, standing);
        let choices = choices
            .iter()
            .map(|(value, words)| (value.as_str(), words.as_str()));
        let chosen = Field::choices("Chosen blend", "chosen", &draft.chosen, choices);
        let reason = Field::text("Reason", "reason", &draft.reason).noted(
            "Who decided by role, what would reverse it, and when it is looked at again belong here too.",
        );
        let dissent = Field::text("Dissent", "dissent", &draft.dissent)
            .noted("Who disagreed, and why: it stays beside the decision.");
        let date = Field::line("Date of the decision", "date", &draft.date);
        Self {
            seen: view.seen.clone(),
            chosen: chosen.faulted(faults),
            cautions: view
                .grave
                .iter()
                .map(|caution| caution_field(caution, draft, faults))
                .collect(),
            reason: reason.needed().faulted(faults),
            dissent: dissent.faulted(faults),
            date: date.faulted(faults),
            left_over: left_over(view, draft),
            without_leader: standing.leader.is_none() && standing.equivalence.is_none(),
        }
    }
}

fn caution_field(caution: &GraveCaution, draft: &DecisionDraft, faults: &Faults) -> CautionField {
    let typed = draft.sentences.get(&caution.id).map_or("", String::as_str);
    let name = format!("said.{}", caution.id);
    let field = Field::text("What the meeting makes of it, in a sentence", name, typed);
    CautionField {
        severity: caution.severity.word(),
        kind: caution.kind,
        heading: caution.heading.clone(),
        words: caution.text.clone(),
        field: field.needed().faulted(faults),
    }
}

/// Nothing, each candidate with what is to be known before it is chosen, none.
fn choices(records: &TrialRecords, standing: &Standing) -> Vec<(String, String)> {
    let mut choices = vec![(String::new(), "choose".to_string())];
    for blend in records.with_role(Role::Candidate) {
        let name = records.blend(blend).map(|record| record.name.as_str());
        let name = name.filter(|name| !name.is_empty() && *name != blend.as_str());
        let out = standing.candidate(blend).filter(|candidate| candidate.is_out());
        let out = out.map(|candidate| failed_gates(&candidate.failed, DisplayPreferences::default()));
        let words = [
            Some(blend.to_string()),
            name.map(ToString::to_string),
            out.map(|reason| format!("out: {reason}")),
        ];
        let words: Vec<String> = words.into_iter().flatten().collect();
        choices.push((blend.to_string(), words.join(", ")));
    }
    choices.push((
        Decision::NONE.to_string(),
        "none of them; the trial stays open".to_string(),
    ));
    choices
}

fn left_over(view: &DecisionView, draft: &DecisionDraft) -> Vec<String> {
    let is_asked = |id: &str| view.grave.iter().any(|caution| caution.id == id);
    let typed = draft.sentences.iter().filter(|(id, _)| !is_asked(id));
    let typed = typed.map(|(_, sentence)| sentence.trim().to_string());
    typed.filter(|sentence| !sentence.is_empty()).collect()
}
