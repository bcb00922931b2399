//! A decision as it is typed, read into what is recorded or into every fault.

use crate::app::DraftFault;
use crate::app::corrections::kept_text;
use crate::intake::read_date;
use crate::prose::standing as words;
use crate::records::{Decision, Role, TrialRecords};
use crate::standing::{Severity, Standing};
use crate::units::DisplayPreferences;
use jiff::civil::Date;
use std::collections::BTreeMap;

/// The most characters of a reason, a dissent or a sentence.
const LONGEST_TEXT: usize = 4000;
/// Fewer words are no sentence (ours).
const FEWEST_WORDS: usize = 3;

/// What is typed for a decision.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct DecisionDraft {
    /// The chosen blend's code, or `none`.
    pub chosen: String,
    /// Why.
    pub reason: String,
    /// Who disagreed, and why.
    pub dissent: String,
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
    let mut noted = |read: Result<String, DraftFault>| read.map_err(|fault| faults.push(fault)).ok();
    let chosen = noted(chosen(&draft.chosen, records));
    let reason = noted(text("reason", &draft.reason).and_then(|reason| needed("reason", reason)));
    let dissent = noted(text("dissent", &draft.dissent));
    let mut lines = Vec::new();
    for caution in grave {
        let line = noted(sentence(draft, caution));
        lines.extend(line.map(|said| format!("[{}] {}: {said}", caution.severity.word(), caution.heading)));
    }
    let date = day(&draft.date, today).map_err(|fault| faults.push(fault)).ok();
    match (chosen, reason, dissent, date) {
        (Some(chosen), Some(reason), Some(dissent), Some(date)) if faults.is_empty() => Ok(Decision {
            trial: records.trial.slug.clone(),
            date: Some(date),
            chosen,
            reason,
            dissent,
            acknowledged: lines.join("\n"),
            snapshot: String::new(),
        }),
        _ => Err(faults),
    }
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

fn chosen(typed: &str, records: &TrialRecords) -> Result<String, DraftFault> {
    let typed = typed.trim();
    let candidates: Vec<String> = records
        .with_role(Role::Candidate)
        .map(ToString::to_string)
        .collect();
    let mend = match candidates.as_slice() {
        [] => "it has no candidate; choose 'none'".to_string(),
        some => format!("choose one of its candidates ({}) or 'none'", some.join(", ")),
    };
    if typed.is_empty() {
        return Err(DraftFault::missing("chosen", format!("is empty; {mend}")));
    }
    if typed == Decision::NONE {
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
