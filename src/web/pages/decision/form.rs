//! The form that signs: what is chosen and why, and a sentence on each grave caution.

use crate::app::{DecisionDraft, DecisionView, DraftFault, GraveCaution};
use crate::records::{Decision, Role, TrialRecords};
use crate::standing::Standing;
use crate::web::pages::decision::words;
use crate::web::pages::machines::field::{Field, Input};

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
    pub(super) fn new(view: &DecisionView, draft: &DecisionDraft, faults: &[DraftFault]) -> Self {
        let fault_of = |name: &str| {
            let fault = faults.iter().find(|fault| fault.field == name);
            fault.map(|fault| fault.problem.clone())
        };
        let must = |mut field: Field| {
            field.need = "must";
            field
        };
        let (records, standing) = (&view.comparison.records, &view.comparison.standing);
        let choices = choices(records, standing);
        let choices = choices
            .iter()
            .map(|(value, words)| (value.as_str(), words.as_str()));
        let chosen = Field::choices(
            words::CHOSEN_BLEND,
            Input::new("chosen", draft.chosen.as_str()),
            choices,
        );
        let reason = Field::text(words::REASON, Input::new("reason", draft.reason.as_str()))
            .noted(words::WHAT_A_REASON_SAYS);
        let dissent = Field::text(words::DISSENT, Input::new("dissent", draft.dissent.as_str()))
            .noted(words::WHAT_DISSENT_SAYS);
        let date = Field::line(
            words::DATE_OF_THE_DECISION,
            Input::new("date", draft.date.as_str()),
        );
        Self {
            seen: view.seen.clone(),
            chosen: chosen.faulted(fault_of),
            cautions: view
                .grave
                .iter()
                .map(|caution| caution_field(caution, draft, &must).faulted(&fault_of))
                .collect(),
            reason: must(reason).faulted(fault_of),
            dissent: dissent.faulted(fault_of),
            date: date.faulted(fault_of),
            left_over: left_over(view, draft),
            without_leader: standing.leader.is_none(),
        }
    }
}

impl CautionField {
    fn faulted(mut self, fault_of: &impl Fn(&str) -> Option<String>) -> Self {
        self.field = self.field.faulted(fault_of);
        self
    }
}

fn caution_field(
    caution: &GraveCaution,
    draft: &DecisionDraft,
    must: &impl Fn(Field) -> Field,
) -> CautionField {
    let typed = draft.sentences.get(&caution.id).map_or("", String::as_str);
    let input = Input::new(format!("said.{}", caution.id), typed);
    CautionField {
        severity: caution.severity.word(),
        kind: caution.kind,
        heading: caution.heading.clone(),
        words: caution.text.clone(),
        field: must(Field::text(words::WHAT_THE_MEETING_MAKES_OF_IT, input)),
    }
}

/// Nothing, each candidate with what is to be known before it is chosen, none.
fn choices(records: &TrialRecords, standing: &Standing) -> Vec<(String, String)> {
    let mut choices = vec![(String::new(), words::CHOOSE.to_string())];
    for blend in records.with_role(Role::Candidate) {
        let name = records.blend(blend).map(|record| record.name.as_str());
        let name = name.filter(|name| !name.is_empty() && *name != blend.as_str());
        let out = standing
            .candidate(blend)
            .and_then(|candidate| candidate.out.as_ref());
        let words = [
            Some(blend.to_string()),
            name.map(ToString::to_string),
            out.map(words::out),
        ];
        let words: Vec<String> = words.into_iter().flatten().collect();
        choices.push((blend.to_string(), words.join(", ")));
    }
    choices.push((
        Decision::NONE.to_string(),
        words::NONE_OF_THEM_THE_TRIAL_STAYS_OPEN.to_string(),
    ));
    choices
}

fn left_over(view: &DecisionView, draft: &DecisionDraft) -> Vec<String> {
    let is_asked = |id: &str| view.grave.iter().any(|caution| caution.id == id);
    let typed = draft.sentences.iter().filter(|(id, _)| !is_asked(id));
    let typed = typed.map(|(_, sentence)| sentence.trim().to_string());
    typed.filter(|sentence| !sentence.is_empty()).collect()
}
