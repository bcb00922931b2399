//! The contacts of a copied method.

use crate::catalogue::{Method, contact_from_json};
use crate::intake::machine_form::{DraftFault, read_fields};
use crate::intake::method_form::MethodDraft;
use crate::intake::method_form::fields::{ContactFields, STAGE_TORQUES, contact_fields, part_of};
use crate::intake::read_number;
use serde_json::{Value, json};
use std::collections::BTreeMap;

/// All contacts as JSON, and the labels of what differs from the original.
pub(super) fn read_all(
    draft: &MethodDraft,
    original: &Method,
    faults: &mut Vec<DraftFault>,
) -> (String, Vec<String>) {
    let mut list = Vec::new();
    let mut differing = Vec::new();
    let nothing = BTreeMap::new();
    for (place, contact) in original.contacts.iter().enumerate() {
        let fields = contact_fields(contact);
        let given = draft.contacts.get(place).unwrap_or(&nothing);
        let before = faults.len();
        let json = read(place, &fields, given, faults);
        if faults.len() == before
            && let Err(fault) = contact_from_json(json.clone())
        {
            // The words begin with the key at fault.
            let words = fault.to_string();
            let named = fields.fields.iter().find(|field| words.contains(field.key));
            let input = named.map_or("", |field| field.key);
            faults.push(DraftFault::wrong(format!("k{place}.p.{input}"), words));
        }
        differing.extend(changed(&fields, &json));
        list.push(json);
    }
    (
        if list.is_empty() {
            String::new()
        } else {
            Value::Array(list).to_string()
        },
        differing,
    )
}

/// Labels of the fields whose value is another one than the original's, in whatever unit it is typed.
fn changed(fields: &ContactFields, json: &Value) -> Vec<String> {
    let value = |json: &Value, key: &str| match part_of(fields, key) {
        Some(part) => json[part].get(key).cloned(),
        None => json.get(key).cloned(),
    };
    let differs = |key: &str| match (value(&fields.json, key), value(json, key)) {
        (Some(before), Some(after)) => !alike(&before, &after),
        (before, after) => before.is_some() != after.is_some(),
    };
    let labels = fields.fields.iter().filter(|field| differs(field.key));
    let mut labels: Vec<String> = labels.map(|field| field.label.to_lowercase()).collect();
    if fields.has_stages && !alike(&fields.json["load"], &json["load"]) {
        labels.push("torque of the stages".to_string());
    }
    labels
}

/// Whether two values are the same but for what a change of unit leaves in the last digits; a pair of two equal numbers
/// is that number.
fn alike(before: &Value, after: &Value) -> bool {
    match (before, after) {
        (Value::Array(a), Value::Array(b)) => a.len() == b.len() && a.iter().zip(b).all(|(a, b)| alike(a, b)),
        (Value::Array(pair), one) | (one, Value::Array(pair)) => pair.iter().all(|end| alike(end, one)),
        (Value::Object(a), Value::Object(b)) => {
            a.len() == b.len()
                && a.iter()
                    .all(|(key, value)| b.get(key).is_some_and(|other| alike(value, other)))
        }
        _ => match (before.as_f64(), after.as_f64()) {
            (Some(a), Some(b)) => (a - b).abs() <= 1e-9 * a.abs().max(b.abs()),
            _ => before == after,
        },
    }
}

fn read(
    place: usize,
    fields: &ContactFields,
    given: &BTreeMap<String, String>,
    faults: &mut Vec<DraftFault>,
) -> Value {
    let prefix = format!("k{place}.p.");
    let values = read_fields(&fields.fields, given, &prefix, faults);
    let mut json = fields.json.clone();
    for field in &fields.fields {
        let value = values.get(field.key).cloned();
        let target = match part_of(fields, field.key) {
            Some(part) => json.get_mut(part),
            None => Some(&mut json),
        };
        let Some(object) = target.and_then(Value::as_object_mut) else {
            continue;
        };
        match value {
            Some(value) => object.insert(field.key.to_string(), value),
            None => object.remove(field.key),
        };
    }
    if fields.has_stages {
        let text = given.get(STAGE_TORQUES).map_or("", String::as_str);
        match torques(text) {
            Ok(torques) => json["load"] = json!({ STAGE_TORQUES: torques }),
            Err(problem) => faults.push(DraftFault::wrong(format!("{prefix}{STAGE_TORQUES}"), problem)),
        }
    }
    json
}

fn torques(text: &str) -> Result<Vec<f64>, String> {
    let items = text.split(';').map(str::trim).filter(|item| !item.is_empty());
    let mut list = Vec::new();
    for item in items {
        let torque = read_number(item).map_err(|problem| format!("'{item}' {problem}"))?;
        if torque <= 0.0 {
            return Err(format!("'{item}': a torque is above 0"));
        }
        list.push(torque);
    }
    if list.is_empty() {
        return Err("is empty; the torque of each stage belongs here, in N m with ';' between".to_string());
    }
    Ok(list)
}
