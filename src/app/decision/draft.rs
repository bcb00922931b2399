//! A decision as it is typed, read into what is recorded or into every fault.

use crate::app::DraftFault;
use crate::app::corrections::kept_text;
use crate::intake::read_date;
use crate::prose::decisions::blend_fault;
use crate::prose::standing as words;
use crate::records::{Decision, DecisionKind, Role, TrialRecords, Word};
use crate::standing::{Severity, Standing};
use crate::units::DisplayPreferences;
use jiff::civil::Date;
use std::collections::BTreeMap;

/// The most characters of a reason, a dissent, a next action or a sentence.
const LONGEST_TEXT: usize = 4000;
/// The most characters of a signer's name or role.
const LONGEST_NAME: usize = 120;
/// Fewer words are no sentence (ours).
const FEWEST_WORDS: usize = 3;

/// What is typed for a decision.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct DecisionDraft {
    /// The word of what was decided.
    pub kind: String,
    /// The code of the blend that it is about; `none` or nothing where it is about none.
    pub chosen: String,
    /// Why.
    pub reason: String,
    /// Who disagreed, and why.
    pub dissent: String,
    /// What is done next.
    pub next: String,
    /// When it is looked at again.
    pub review_on: String,
    /// Who signs, by name or role.
    pub signed_by: String,
    /// Date of the decision.
    pub date: String,
    /// A sentence on each caution, by its id.
    pub sentences: BTreeMap<String, String>,
    /// Which state of the evidence the form showed.
    pub seen: String,
}

/// A caution that a signature must take up.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct GraveCaution {
    /// Its id in the form: kind, test, and which of several of that kind and test.
    pub id: String,
    /// Its kind.
    pub kind: &'static str,
    /// Its test, `method/quantity`; empty where it has none.
    pub test: String,
    /// How serious it is.
    pub severity: Severity,
    /// Its heading.
    pub heading: String,
    /// Its words.
    pub text: String,
}

/// The cautions of severity stop and high, in the order of the standing.
pub fn grave_cautions(standing: &Standing) -> Vec<GraveCaution> {
    let mut met: BTreeMap<String, usize> = BTreeMap::new();
    let grave = standing.cautions.iter();
    let grave = grave.filter(|caution| matches!(caution.severity, Severity::Stop | Severity::High));
    grave
        .map(|caution| {
            let test = caution.test.as_ref().map(ToString::to_string).unwrap_or_default();
            let name = format!(
                "{}.{}",
                caution.kind().word(),
                if test.is_empty() { "-" } else { &test }
            );
            let place = met.entry(name.clone()).or_default();
            *place += 1;
            let (heading, text) = words::caution(caution, standing, DisplayPreferences::default());
            GraveCaution {
                id: format!("{name}.{place}"),
                kind: caution.kind().word(),
                test,
                severity: caution.severity,
                heading: heading.to_string(),
                text,
            }
        })
        .collect()
}

/// Reads a draft against the trial and its cautions; nothing stops at the first fault. The decision has no snapshot yet.
///
/// # Errors
/// Every fault, in the order of the form.
pub(crate) fn read_draft(
    draft: &DecisionDraft,
    records: &TrialRecords,
    grave: &[GraveCaution],
    today: Date,
) -> Result<Decision, Vec<DraftFault>> {
    let mut faults = Vec::new();
    let kind = kind(&draft.kind).map_err(|fault| faults.push(fault)).ok();
    let mut noted = |read: Result<String, DraftFault>| read.map_err(|fault| faults.push(fault)).ok();
    let chosen = noted(chosen(&draft.chosen, kind, records));
    let reason = noted(text("reason", &draft.reason).and_then(|reason| needed("reason", reason)));
    let dissent = noted(text("dissent", &draft.dissent));
    let mut lines = Vec::new();
    for caution in grave {
        let line = noted(sentence(draft, caution));
        lines.extend(line.map(|said| format!("[{}] {}: {said}", caution.severity.word(), caution.heading)));
    }
    let next = noted(text("next", &draft.next));
    let signed_by = noted(signer(&draft.signed_by));
    let date = day(&draft.date, today).map_err(|fault| faults.push(fault)).ok();
    let review_on = review(&draft.review_on, date);
    let review_on = review_on.map_err(|fault| faults.push(fault)).ok();
    let texts = chosen.zip(reason).zip(dissent).zip(next).zip(signed_by);
    match (texts, kind, date, review_on) {
        (Some(texts), Some(kind), Some(date), Some(review_on)) if faults.is_empty() => {
            let ((((chosen, reason), dissent), next), signed_by) = texts;
            Ok(Decision {
                trial: records.trial.slug.clone(),
                date: Some(date),
                chosen,
                reason,
                dissent,
                acknowledged: lines.join("\n"),
                snapshot: String::new(),
                kind: Some(kind),
                signed_by,
                review_on,
                next,
            })
        }
        _ => Err(faults),
    }
}

fn kind(typed: &str) -> Result<DecisionKind, DraftFault> {
    let kinds = DecisionKind::allowed();
    if typed.trim().is_empty() {
        return Err(DraftFault::missing(
            "kind",
            format!("is empty; choose one of: {kinds}"),
        ));
    }
    DecisionKind::from_word(typed).ok_or_else(|| {
        let problem = format!(
            "'{}' is no kind of decision; choose one of: {kinds}",
            typed.trim()
        );
        DraftFault::wrong("kind", problem)
    })
}

/// The sentence on a caution as it is kept.
pub(crate) fn sentence(draft: &DecisionDraft, caution: &GraveCaution) -> Result<String, DraftFault> {
    let field = format!("said.{}", caution.id);
    let typed = draft.sentences.get(&caution.id).map_or("", String::as_str);
    let said = text(&field, typed)?;
    match said.split_whitespace().count() {
        0 => {
            let problem = "is empty; say in a sentence what the meeting makes of this caution";
            Err(DraftFault::missing(field, problem))
        }
        few if few < FEWEST_WORDS => {
            let problem = "is no sentence yet; say in three words or more what it means for this choice";
            Err(DraftFault::wrong(field, problem))
        }
        _ => Ok(said),
    }
}

/// The code of the blend that a decision is about, or `none`.
fn chosen(typed: &str, kind: Option<DecisionKind>, records: &TrialRecords) -> Result<String, DraftFault> {
    let typed = Some(typed.trim()).filter(|typed| !typed.is_empty());
    let typed = typed.unwrap_or(Decision::NONE);
    let candidates: Vec<String> = records
        .with_role(Role::Candidate)
        .map(ToString::to_string)
        .collect();
    let mend = match candidates.as_slice() {
        [] => "it has no candidate".to_string(),
        some => format!("choose one of its candidates ({})", some.join(", ")),
    };
    let names_one = typed != Decision::NONE;
    if let Some(fault) = kind.and_then(|kind| blend_fault(kind, names_one)) {
        return Err(match names_one {
            true => DraftFault::wrong("chosen", format!("{fault}; choose no blend, or another kind")),
            false => DraftFault::missing("chosen", format!("{fault}; {mend}, or another kind")),
        });
    }
    if !names_one {
        return Ok(typed.to_string());
    }
    let part = records
        .trial
        .blends
        .iter()
        .find(|part| part.blend.as_str() == typed);
    let problem = match part.map(|part| part.role) {
        Some(Role::Candidate) => return Ok(typed.to_string()),
        Some(Role::Reference) => {
            format!("'{typed}' is a reference oil of this trial, not under judgement; {mend}")
        }
        Some(Role::Control) => {
            format!("'{typed}' is a control fluid: it is run in test rigs only, never in a machine; {mend}")
        }
        None => format!("'{typed}' is not a blend of this trial; {mend}"),
    };
    Err(DraftFault::wrong("chosen", problem))
}

fn text(field: &str, typed: &str) -> Result<String, DraftFault> {
    kept_text(typed, LONGEST_TEXT).map_err(|problem| DraftFault::wrong(field, problem))
}

fn signer(typed: &str) -> Result<String, DraftFault> {
    let name = kept_text(typed, LONGEST_NAME).map_err(|problem| DraftFault::wrong("signed_by", problem))?;
    if name.is_empty() {
        let problem = "is empty; write a name or a role";
        return Err(DraftFault::missing("signed_by", problem));
    }
    Ok(name)
}

/// The day of a review; `None` where none is typed.
fn review(typed: &str, decided_on: Option<Date>) -> Result<Option<Date>, DraftFault> {
    if typed.trim().is_empty() {
        return Ok(None);
    }
    let date = read_date(typed).map_err(|fault| DraftFault::wrong("review_on", fault.to_string()))?;
    match decided_on {
        Some(decided_on) if date < decided_on => {
            let problem = format!("lies before the decision; write {decided_on} or a later day");
            Err(DraftFault::wrong("review_on", problem))
        }
        _ => Ok(Some(date)),
    }
}

fn needed(field: &str, text: String) -> Result<String, DraftFault> {
    if text.is_empty() {
        return Err(DraftFault::missing(field, "is empty; say why"));
    }
    Ok(text)
}

fn day(typed: &str, today: Date) -> Result<Date, DraftFault> {
    if typed.trim().is_empty() {
        return Err(DraftFault::missing(
            "date",
            format!("is empty; write {today} for today"),
        ));
    }
    let date = read_date(typed).map_err(|fault| DraftFault::wrong("date", fault.to_string()))?;
    if date > today {
        let problem = format!("lies ahead; write the day on which it was decided, {today} at the latest");
        return Err(DraftFault::wrong("date", problem));
    }
    Ok(date)
}
