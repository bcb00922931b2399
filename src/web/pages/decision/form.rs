//! The form that signs: what is decided and why, and a sentence on each grave caution.

use crate::app::{DecisionDraft, DecisionView, GraveCaution};
use crate::prose::decisions::{kind_means, kind_words};
use crate::prose::gates::failed_gates;
use crate::records::{DecisionKind, Role, TrialRecords};
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
    /// What is decided, and on which blend.
    pub(super) decided: Vec<Field>,
    pub(super) cautions: Vec<CautionField>,
    /// Why, who dissents, what is next, when it is looked at again, who signs, when.
    pub(super) said: Vec<Field>,
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
        let chosen = Field::choices("Blend", "chosen", &draft.chosen, choices)
            .noted("Needed to scale up, hold or drop; to iterate it is the one that is changed.")
            .optional();
        let reason = Field::text("Reason", "reason", &draft.reason)
            .noted("What would reverse it belongs here too.")
            .needed();
        let dissent = Field::text("Dissent", "dissent", &draft.dissent)
            .noted("Who disagreed, and why: it stays beside the decision.");
        let next = Field::text("Next action", "next", &draft.next).noted("Who does what, and until when.");
        let review_on = Field::line("Review on", "review_on", &draft.review_on)
            .noted("The day on which it is looked at again.")
            .optional();
        let signed_by = Field::line("Signed by", "signed_by", &draft.signed_by)
            .noted("A name or a role, such as lubrication engineer.");
        let date = Field::line("Date of the decision", "date", &draft.date);
        Self {
            seen: view.seen.clone(),
            decided: faults.beside([kind(&draft.kind), chosen]),
            cautions: view
                .grave
                .iter()
                .map(|caution| caution_field(caution, draft, faults))
                .collect(),
            said: faults.beside([reason, dissent, next, review_on, signed_by, date]),
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

fn kind(typed: &str) -> Field {
    let of = |kind: &DecisionKind| format!("{}: {}", kind_words(*kind), kind_means(*kind));
    let kinds: Vec<(&str, String)> = DecisionKind::ALL
        .iter()
        .map(|kind| (kind.word(), of(kind)))
        .collect();
    let kinds = kinds.iter().map(|(word, words)| (*word, words.as_str()));
    Field::choices(
        "What is decided",
        "kind",
        typed,
        [("", "choose")].into_iter().chain(kinds),
    )
}

/// None, and each candidate with what is to be known before it is chosen.
fn choices(records: &TrialRecords, standing: &Standing) -> Vec<(String, String)> {
    let mut choices = vec![(String::new(), "no blend".to_string())];
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
    choices
}

fn left_over(view: &DecisionView, draft: &DecisionDraft) -> Vec<String> {
    let is_asked = |id: &str| view.grave.iter().any(|caution| caution.id == id);
    let typed = draft.sentences.iter().filter(|(id, _)| !is_asked(id));
    let typed = typed.map(|(_, sentence)| sentence.trim().to_string());
    typed.filter(|sentence| !sentence.is_empty()).collect()
}
