//! The contacts of a copied method: the fields by which a form asks for them, and what is typed there.

use crate::catalogue::{Method, NamedContact, alike, contact_from_json, contact_to_json};
use crate::intake::form::Faults;
use crate::intake::machine_form::{read_fields, typed_fields};
use crate::intake::method_form::MethodDraft;
use crate::prose::faults::contact_fault;
use crate::records::{FieldKind, FieldNeed, FormField, Preset, words_of_surroundings};
use crate::units::Measure;
use serde_json::{Map, Value, json};
use std::collections::BTreeMap;

/// Under this key the torques of the stages are typed, `;` between them.
const STAGE_TORQUES: &str = "stage_torques_nm";

fn field(key: &'static str, label: &'static str, kind: FieldKind) -> FormField {
    let unit = if key.ends_with("_rq_m") {
        "µm"
    } else {
        Measure::of_key(key).usual_unit()
    };
    FormField {
        key,
        label,
        unit,
        shown_per_si: Measure::of_key(key).from_si(1.0, unit).unwrap_or(1.0),
        kind,
        need: FieldNeed::Must,
        usual: None,
        note: "",
    }
}

fn number(key: &'static str, label: &'static str) -> FormField {
    field(key, label, FieldKind::Number)
}

fn count(key: &'static str, label: &'static str) -> FormField {
    field(key, label, FieldKind::Count)
}

/// Labels of the numbers of an element, by its kind as JSON names it.
fn element(kind: &str) -> Vec<FormField> {
    match kind {
        "four_ball" => vec![
            number("ball_diameter_m", "Ball diameter"),
            number("speed_rpm", "Speed of the upper ball"),
        ],
        "block_on_ring" => vec![
            number("ring_diameter_m", "Ring diameter"),
            number("contact_length_m", "Length of the contact"),
            number("speed_rpm", "Speed of the ring"),
        ],
        "ball_on_disc_stroke" => vec![
            number("ball_diameter_m", "Ball diameter"),
            number("stroke_m", "Stroke from end to end"),
            number("frequency_hz", "Frequency of the full cycle"),
        ],
        "gear_rig" => vec![
            count("pinion_teeth", "Teeth of the pinion"),
            count("wheel_teeth", "Teeth of the wheel"),
            number("module_m", "Module"),
            number("pressure_angle_deg", "Pressure angle"),
            number("centre_distance_m", "Centre distance"),
            number("pinion_tip_diameter_m", "Tip diameter of the pinion"),
            number("wheel_tip_diameter_m", "Tip diameter of the wheel"),
            number("face_width_m", "Face width in mesh"),
            number("pinion_rpm", "Speed of the pinion"),
        ],
        "thrust_roller" => vec![
            number("roller_diameter_m", "Roller diameter"),
            number("effective_length_m", "Loaded length of a roller"),
            count("rollers", "Rollers"),
            number("mean_diameter_m", "Mean diameter of their track"),
            number("speed_rpm", "Speed of the turning washer"),
        ],
        "two_disc" => vec![
            number("first_radius_m", "Radius of the first disc"),
            number("second_radius_m", "Radius of the second disc"),
            number("contact_length_m", "Length of the contact"),
            number("first_rpm", "Speed of the first disc"),
            number("second_rpm", "Speed of the second disc"),
        ],
        _ => Vec::new(),
    }
}

fn load(key: &str) -> Option<FormField> {
    Some(match key {
        "fixed_force_n" => number("fixed_force_n", "Load in all"),
        "fixed_torque_nm" => number("fixed_torque_nm", "Torque at the pinion"),
        "newton_per_unit" => FormField {
            note: "In newton per unit of the result: 9.80665 where a load in kgf presses directly. A lever multiplies it.",
            ..number("newton_per_unit", "Force on the contact per unit of the result")
        },
        _ => return None,
    })
}

fn surroundings() -> Vec<FormField> {
    let [motions, materials, supplies] = words_of_surroundings();
    vec![
        field("bulk_temperature_c", "Bulk temperature", FieldKind::Range),
        field("motion", "Motion", FieldKind::Words(motions)),
        field("materials", "Materials", FieldKind::Words(materials)),
        field("supply", "Supply", FieldKind::Words(supplies)),
        FormField {
            need: FieldNeed::May,
            note: "Without it the film ratio is not known.",
            ..field(
                "roughness_rq_m",
                "Roughness Rq of the two bodies",
                FieldKind::TwoBodies,
            )
        },
        FormField {
            need: FieldNeed::May,
            note: "Where it is not that of its kind; no pressure is compared above it.",
            ..number("hardness_pa", "Hardness of the softer body")
        },
        number("friction_coefficient", "Friction coefficient"),
    ]
}

/// A contact's JSON with the fields by which it is changed.
#[derive(Clone, Debug)]
pub struct ContactFields {
    /// The contact as it is.
    json: Value,
    /// Its fields, without the torques of stages.
    pub fields: Vec<FormField>,
    /// Whether it is loaded by a torque per stage.
    pub has_stages: bool,
}

/// Which part of a contact's JSON a key stands in; `None` for a stated contact, whose keys stand in it directly.
fn part_of(fields: &ContactFields, key: &str) -> Option<&'static str> {
    fields.json.get("element")?;
    let holds = |part: &str| fields.json[part].get(key).is_some();
    if surroundings().iter().any(|field| field.key == key) {
        return Some("surroundings");
    }
    Some(if holds("load") { "load" } else { "element" })
}

/// The fields of a method's contact.
pub fn contact_fields(contact: &NamedContact) -> ContactFields {
    let json = contact_to_json(contact).unwrap_or(Value::Null);
    let mut fields = match json.get("element") {
        Some(body) => {
            let kind = body.get("kind").and_then(Value::as_str).unwrap_or_default();
            let mut fields = element(kind);
            fields.extend(surroundings());
            fields
        }
        None => Preset::form("stated"),
    };
    let keys = json.get("load").and_then(Value::as_object);
    let keys: Vec<&String> = keys.map(|object| object.keys().collect()).unwrap_or_default();
    let has_stages = keys.iter().any(|key| *key == STAGE_TORQUES);
    fields.extend(keys.into_iter().filter_map(|key| load(key)));
    ContactFields {
        json,
        fields,
        has_stages,
    }
}

/// What would be typed to get a contact as it is.
pub(super) fn typed(contact: &ContactFields) -> BTreeMap<String, String> {
    let mut flat = Map::new();
    let parts = ["element", "surroundings", "load"];
    let objects = parts.iter().filter_map(|part| contact.json.get(part));
    let objects: Vec<&Value> = if contact.json.get("element").is_some() {
        objects.collect()
    } else {
        vec![&contact.json]
    };
    for object in objects.into_iter().filter_map(Value::as_object) {
        flat.extend(object.iter().map(|(key, value)| (key.clone(), value.clone())));
    }
    let mut values = typed_fields(&contact.fields, &flat);
    if let Some(name) = contact.json.get(NAME).and_then(Value::as_str) {
        values.insert(NAME.to_string(), name.to_string());
    }
    if let Some(torques) = flat.get(STAGE_TORQUES).and_then(Value::as_array) {
        let list: Vec<String> = torques.iter().map(ToString::to_string).collect();
        values.insert(STAGE_TORQUES.to_string(), list.join("; "));
    }
    values
}

/// Under this key the name of a contact is typed.
pub(super) const NAME: &str = "name";

/// The names of all contacts, which the form asks for where there are several.
pub(super) fn names(draft: &MethodDraft, original: &Method, faults: &mut Faults) -> Vec<String> {
    let contacts = original.contacts.iter();
    if original.contacts.len() < 2 {
        return contacts.map(|named| named.name.clone()).collect();
    }
    let mut names: Vec<String> = Vec::new();
    for (place, named) in contacts.enumerate() {
        let typed = draft.contacts.get(place).and_then(|fields| fields.get(NAME));
        let typed = typed.map_or(named.name.as_str(), String::as_str);
        let field = format!("k{place}.p.{NAME}");
        let name = faults.line(&field, "a name of this contact", typed);
        if name.contains(';') {
            faults.wrong(&field, "takes no ';', which stands between names");
        } else if !name.is_empty() && names.contains(&name) {
            faults.wrong(
                &field,
                "is the name of another contact; give each a name of its own",
            );
        }
        names.push(name);
    }
    names
}

/// All contacts as JSON, and the labels of what differs from the original.
pub(super) fn read_all(
    draft: &MethodDraft,
    original: &Method,
    names: &[String],
    faults: &mut Faults,
) -> (String, Vec<String>) {
    let mut list = Vec::new();
    let mut differing = Vec::new();
    let nothing = BTreeMap::new();
    for (place, contact) in original.contacts.iter().enumerate() {
        let fields = contact_fields(contact);
        let given = draft.contacts.get(place).unwrap_or(&nothing);
        let before = faults.len();
        let mut json = read(place, &fields, given, faults);
        if let Some(name) = names.get(place).filter(|name| !name.is_empty()) {
            json["name"] = json!(name);
        }
        if faults.len() == before
            && let Err(fault) = contact_from_json(json.clone())
        {
            // The words begin with the key at fault.
            let words = contact_fault(&fault);
            let named = fields.fields.iter().find(|field| words.contains(field.key));
            let input = named.map_or("", |field| field.key);
            faults.wrong(format!("k{place}.p.{input}"), words);
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

fn read(
    place: usize,
    fields: &ContactFields,
    given: &BTreeMap<String, String>,
    faults: &mut Faults,
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
        let when_empty = "is empty; the torque of each stage belongs here, in N m with ';' between";
        let field = format!("{prefix}{STAGE_TORQUES}");
        let torques = faults.numbers(&field, text, when_empty, |_, torque| {
            (torque <= 0.0).then_some(": a torque is above 0")
        });
        if !torques.is_empty() {
            json["load"] = json!({ STAGE_TORQUES: torques });
        }
    }
    json
}
