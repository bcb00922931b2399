//! What a form for a machine's contact asks for is what reading its parameters takes.

use crate::preset_kinds::{kinds, parse, whole};
use likewear::facade::contact::preset::{FieldKind, FieldNeed, MachinePreset};
use likewear::facade::lubricant::Oil;
use serde_json::json;
use std::collections::BTreeSet;

#[test]
fn every_value_that_has_words_is_computed_for_some_contact() {
    let words: toml::Table = toml::from_str(include_str!("../../src/contact/words.toml")).unwrap();
    let labels = words["values"].as_table().unwrap().values();
    let labels = labels.map(|value| value["label"].as_str().unwrap().to_string());
    let oil = Oil::new(220.0, 19.0, None, None).unwrap();
    let computed = kinds().into_iter().flat_map(|(word, ..)| {
        let contact = parse(word, &whole(word)).unwrap();
        contact.computed(Some(&oil)).unwrap()
    });
    let computed = computed.map(|(label, ..)| label.to_string());
    assert_eq!(labels.collect::<BTreeSet<_>>(), computed.collect());
}

#[test]
fn every_preset_has_a_form_with_a_label_for_each_key() {
    for word in MachinePreset::WORDS {
        let form = MachinePreset::form(word);
        assert!(form.len() > 5, "{word}");
        for (place, field) in form.iter().enumerate() {
            assert!(!field.label.is_empty(), "{word}: {}", field.key);
            let twice = |other: &likewear::facade::contact::preset::FormField| {
                other.key == field.key || other.label == field.label
            };
            assert!(!form[..place].iter().any(twice), "{word}: {}", field.key);
        }
    }
    assert!(MachinePreset::form("spindle").is_empty());
}

#[test]
fn a_form_says_what_must_be_given_and_what_is_taken_otherwise() {
    for (word, ..) in kinds() {
        for field in MachinePreset::form(word) {
            let mut parameters = whole(word);
            parameters.remove(field.key);
            let read = parse(word, &parameters);
            if field.need == FieldNeed::Must {
                assert_eq!(
                    read.unwrap_err().to_string(),
                    format!("{}: is missing", field.key)
                );
                assert_eq!(field.usual, None);
                continue;
            }
            let read = match read {
                Ok(read) => read,
                // Another key must stand in for it, as its note says.
                Err(fault) => {
                    assert_eq!(fault.key, field.key);
                    assert!(fault.problem.starts_with("is missing: ") && !field.note.is_empty());
                    continue;
                }
            };
            let shown = read.inputs();
            let shown = shown.iter().find(|(label, _)| *label == field.label);
            let usual = field
                .usual
                .map(|usual| format!("{usual} {}", field.unit).trim_end().to_string());
            assert_eq!(
                shown.map(|(_, text)| text.clone()),
                usual,
                "{word}: {}",
                field.key
            );
        }
    }
    let stated = MachinePreset::form("stated");
    assert!(stated.iter().all(|field| field.need == FieldNeed::May));
}

#[test]
fn a_field_takes_the_kind_of_value_it_names_and_no_other() {
    for (word, ..) in kinds() {
        for field in MachinePreset::form(word) {
            let given = whole(word).get(field.key).cloned();
            let taken = |value: &serde_json::Value| {
                let mut parameters = whole(word);
                parameters.insert(field.key.into(), value.clone());
                parse(word, &parameters).map_err(|fault| fault.key)
            };
            match &field.kind {
                FieldKind::Words(words) => {
                    for known in *words {
                        assert!(taken(&json!(known)).is_ok(), "{word}: {} {known}", field.key);
                    }
                    assert_eq!(taken(&json!("sideways")).unwrap_err(), field.key);
                }
                FieldKind::Count => assert_eq!(taken(&json!(20.5)).unwrap_err(), field.key),
                FieldKind::Number => {
                    let number = given.and_then(|value| value.as_f64());
                    let pair = json!([number.unwrap_or(1.0), number.unwrap_or(1.0)]);
                    assert_eq!(taken(&pair).unwrap_err(), field.key, "{word}");
                }
                FieldKind::TwoBodies => assert_eq!(taken(&json!(1e-7)).unwrap_err(), field.key),
                FieldKind::Range => {
                    let range = given.unwrap();
                    let end = range.as_array().map_or(range.clone(), |pair| pair[1].clone());
                    assert!(taken(&json!([end, end])).is_ok(), "{word}: {}", field.key);
                }
            }
        }
    }
}

#[test]
fn lengths_are_asked_for_in_mm_and_roughness_in_micrometres() {
    let form = MachinePreset::form("gear pair");
    let unit = |key: &str| {
        let field = form.iter().find(|field| field.key == key).unwrap();
        (field.unit, field.shown_per_si)
    };
    assert_eq!(unit("centre_distance_m"), ("mm", 1e3));
    assert_eq!(unit("roughness_rq_m"), ("µm", 1e6));
    assert_eq!(unit("pinion_torque_nm"), ("N m", 1.0));
    assert_eq!(unit("pinion_teeth"), ("", 1.0));
}
