//! The parameters of a contact's preset as they are typed, each in the unit of its field or in one written beside it.

use crate::intake::machine_form::asked::{inputs, read_fields, typed_fields};
use crate::intake::machine_form::{ContactDraft, DraftFault};
use crate::records::Preset;
use serde_json::{Map, Value};
use std::collections::BTreeMap;

/// The preset of a contact with its parameters as JSON in SI; `None` where a fault was noted.
pub(super) fn read(
    place: usize,
    typed: &ContactDraft,
    faults: &mut Vec<DraftFault>,
) -> Option<(Preset, String)> {
    let word = typed.preset.trim();
    if word.is_empty() {
        let problem = "is not chosen yet; choose how the contact is given";
        faults.push(DraftFault::missing(format!("c{place}.preset"), problem));
        return None;
    }
    let before = faults.len();
    let parameters = read_fields(
        &Preset::form(word),
        &typed.values,
        &format!("c{place}.p."),
        faults,
    );
    let json = Value::Object(parameters).to_string();
    let typed_soundly = faults.len() == before;
    // What is not typed soundly is left out of the JSON, hence missing there; it was reported already.
    for fault in Preset::faults(word, &json) {
        let field = field_name(place, word, &fault.key);
        let known = faults[before..]
            .iter()
            .any(|known| known.field.starts_with(&field));
        if !known && (typed_soundly || !fault.is_missing()) {
            faults.push(DraftFault::wrong(field, fault.problem));
        }
    }
    if faults.len() > before {
        return None;
    }
    Preset::parse(word, &json).ok().map(|preset| (preset, json))
}

/// The name of the first input of a key.
fn field_name(place: usize, word: &str, key: &str) -> String {
    if key == "preset" || key == "parameters" {
        return format!("c{place}.preset");
    }
    let form = Preset::form(word);
    let field = form.iter().find(|field| field.key == key);
    let name = field.map_or(key.to_string(), |field| inputs(field).remove(0));
    format!("c{place}.p.{name}")
}

/// What would be typed, in the units of the fields, to get parameters as they are.
pub fn typed_values(preset_word: &str, parameters_json: &str) -> BTreeMap<String, String> {
    let parameters: Map<String, Value> = serde_json::from_str(parameters_json).unwrap_or_default();
    typed_fields(&Preset::form(preset_word), &parameters)
}
