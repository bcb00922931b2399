//! A laboratory's own method as a changed copy of another one: typed fields, read into its rows or into every fault.

mod contact;
mod quantity;

use crate::catalogue::{Condition, Method, MethodId, Origin, conditions_to_json};
use crate::intake::form::{DraftFault, Faults};
use crate::prose::faults::own_method_fault;
use crate::records::{OwnMethod, method_of, old_words};
use std::collections::BTreeMap;

pub use contact::{ContactFields, contact_fields};
pub use quantity::QuantityDraft;

/// What is typed for a copy.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct MethodDraft {
    /// Id.
    pub id: String,
    /// Title.
    pub title: String,
    /// Note.
    pub note: String,
    /// Caution.
    pub caution: String,
    /// Rig safety.
    pub safety: String,
    /// Values of the listed conditions, in the order of the original's.
    pub conditions: Vec<String>,
    /// Per contact, the fields by input.
    pub contacts: Vec<BTreeMap<String, String>>,
    /// Per quantity.
    pub quantities: Vec<QuantityDraft>,
}

/// What a draft comes to.
#[derive(Clone, Debug, PartialEq)]
pub struct MethodReading {
    /// Its rows; `None` where there is a fault.
    pub rows: Option<OwnMethod>,
    /// The method as far as its conditions can be read, to compute what they change.
    pub method: Option<Method>,
    /// Whether any condition differs from the original's: then its precision does not apply.
    pub conditions: Conditions,
    /// Every fault, in the order of the form.
    pub faults: Vec<DraftFault>,
}

/// Whether the conditions of a copy are those of the original.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Conditions {
    /// All are the same: the original's precision holds.
    Same,
    /// These differ, in words.
    Changed(Vec<String>),
}

/// What would be typed to get a copy that changes nothing.
pub fn copy_of(original: &Method) -> MethodDraft {
    let contacts = original.contacts.iter();
    MethodDraft {
        id: String::new(),
        title: String::new(),
        note: original.note.clone(),
        caution: original.caution.clone(),
        safety: original.safety.clone(),
        conditions: original.conditions.iter().map(|c| c.value.clone()).collect(),
        contacts: contacts
            .map(|contact| contact::typed(&contact_fields(contact)))
            .collect(),
        quantities: original
            .quantities
            .iter()
            .map(|it| quantity::draft(original, it))
            .collect(),
    }
}

/// Reads a copy; nothing stops at the first fault. `based_on` is the built-in method from which the original comes.
pub fn read_copy(draft: &MethodDraft, original: &Method, based_on: &str) -> MethodReading {
    let mut faults = Faults::default();
    let id = id(&draft.id, original, &mut faults);
    let title = faults.line("title", "a name of its own", &draft.title);
    if !title.is_empty() && title == original.title {
        let problem = "is the name of the original; say what is different";
        faults.wrong("title", problem);
    }
    let note = faults.text("note", &draft.note);
    let caution = faults.text("caution", &draft.caution);
    let safety = faults.text("safety", &draft.safety);
    let before = faults.len();
    let names = contact::names(draft, original, &mut faults);
    let (contacts_json, mut differing) = contact::read_all(draft, original, &names, &mut faults);
    let conditions = listed(draft, original, &mut faults, &mut differing);
    let steps = quantity::differing_steps(draft, original);
    differing.extend(steps);
    differing.dedup();
    let conditions_are = if differing.is_empty() {
        Conditions::Same
    } else {
        Conditions::Changed(differing)
    };
    let sound_conditions = faults.len() == before;
    let quantities = quantity::read_all(draft, original, &names, &conditions_are, &mut faults);
    let rows = OwnMethod {
        id,
        title,
        standard: standard(original),
        based_on: based_on.to_string(),
        lubricant: original.lubricant.word().to_string(),
        category: original.category.word().to_string(),
        contacts_json,
        cost: original.cost,
        days: original.days,
        caution,
        note,
        conditions_json: conditions_to_json(&conditions),
        apparatus: original.apparatus.clone(),
        safety,
        quantities,
    };
    let built = method_of(&rows);
    if sound_conditions && let Ok(built) = &built {
        refuse_old_words(&rows, &conditions, built, original, &mut faults);
    }
    if let (Err(fault), true) = (&built, faults.is_empty()) {
        let field = fault.quantity.clone().unwrap_or_else(|| "title".to_string());
        faults.wrong(field, own_method_fault(fault));
    }
    MethodReading {
        method: built.ok().filter(|_| sound_conditions),
        rows: faults.is_empty().then_some(rows),
        conditions: conditions_are,
        faults: faults.0,
    }
}

/// Notes every field whose words are the original's and state a condition that the copy has otherwise.
fn refuse_old_words(
    rows: &OwnMethod,
    conditions: &[Condition],
    built: &Method,
    original: &Method,
    faults: &mut Faults,
) {
    // With the conditions as listed: what the method itself does without is what is asked for here.
    let listed = Method {
        conditions: conditions.to_vec(),
        ..built.clone()
    };
    let old = old_words(&listed, original);
    for (place, condition) in conditions.iter().enumerate() {
        if old.is_out_of_date(condition) {
            let problem =
                "is still that of the original, which the contact above has otherwise; write the copy's own";
            faults.wrong(format!("cond{place}"), problem);
        }
    }
    let texts = [
        ("note".to_string(), rows.note.as_str(), original.note.as_str()),
        ("caution".to_string(), &rows.caution, &original.caution),
        ("safety".to_string(), &rows.safety, &original.safety),
    ];
    let labels = rows.quantities.iter().zip(&original.quantities).enumerate();
    let labels =
        labels.map(|(place, (row, of))| (format!("q{place}.label"), row.label.as_str(), of.label.as_str()));
    for (field, text, of_original) in texts.into_iter().chain(labels) {
        if let Some(sentence) = old.still_says(text, of_original) {
            let problem =
                format!("still states a condition of the original: '{sentence}'; write the copy's own");
            faults.wrong(field, problem);
        }
    }
}

/// `in-house, after ASTM D2783`; a copy of a copy names the standard once.
fn standard(original: &Method) -> String {
    match original.origin {
        Origin::BuiltIn => format!("in-house, after {}", original.standard),
        Origin::Own => original.standard.clone(),
    }
}

/// The id; that of the original stands in for one that is refused, so that the copy is computed all the same.
fn id(typed: &str, original: &Method, faults: &mut Faults) -> MethodId {
    let typed = typed.trim();
    let usable = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '_' || c == '-';
    if typed.is_empty() {
        let problem = "is empty; a short name for files and addresses belongs here, such as own_wear_slow";
        faults.missing("id", problem);
    } else if !typed.chars().all(usable) || typed.len() > 60 {
        faults.wrong("id", "takes up to 60 small letters, digits, '_' and '-'");
    }
    MethodId::new(typed).unwrap_or_else(|| original.id.clone())
}

fn listed(
    draft: &MethodDraft,
    original: &Method,
    faults: &mut Faults,
    differing: &mut Vec<String>,
) -> Vec<Condition> {
    let mut list = Vec::new();
    for (place, condition) in original.conditions.iter().enumerate() {
        let typed = draft
            .conditions
            .get(place)
            .map_or(condition.value.as_str(), String::as_str);
        let value = faults.line(&format!("cond{place}"), "the condition", typed);
        if value != condition.value.trim() {
            differing.push(condition.name.clone());
        }
        list.push(Condition {
            name: condition.name.clone(),
            value,
        });
    }
    list
}
