//! What the parameters of machine contacts refuse: every refusal names its key.

use crate::preset_kinds::{kinds, parse, whole};
use likewear::facade::contact::ContactError;
use likewear::facade::contact::preset::{FieldKind, FieldNeed, FormField, MachinePreset};
use serde_json::{Value, json};

#[test]
fn an_unknown_preset_is_refused_with_the_list() {
    let fault = MachinePreset::parse("spindle", "{}").unwrap_err();
    assert_eq!(fault.key, "preset");
    let list = MachinePreset::WORDS.join(", ");
    assert!(list.starts_with("stated, gear pair, "));
    assert_eq!(
        fault.problem,
        format!("'spindle' is no preset; allowed are: {list}")
    );
}

#[test]
fn text_that_is_no_object_is_refused() {
    for word in MachinePreset::WORDS {
        for json in ["", "3", "[1,2]", "{\"length_m\":", "null"] {
            assert_eq!(
                MachinePreset::parse(word, json).unwrap_err().key,
                "parameters",
                "{word} {json}"
            );
        }
        let twice = r#"{"temperature_c":20,"temperature_c":30}"#;
        let fault = MachinePreset::parse(word, twice).unwrap_err();
        assert_eq!(
            (fault.key.as_str(), fault.problem.as_str()),
            ("temperature_c", "is given twice")
        );
    }
}

#[track_caller]
fn is_refused(word: &str, key: &str, value: &Value) {
    let mut parameters = whole(word);
    parameters.insert(key.into(), value.clone());
    match parse(word, &parameters) {
        Err(fault) => assert_eq!(fault.key, key, "{word}: {fault}"),
        Ok(_) => panic!("{word}: {key} = {value} was taken"),
    }
}

#[track_caller]
fn is_taken(word: &str, key: &str, value: &Value) {
    let mut parameters = whole(word);
    parameters.insert(key.into(), value.clone());
    if let Err(fault) = parse(word, &parameters) {
        panic!("{word}: {key} = {value}: {fault}");
    }
}

#[test]
fn every_key_refuses_a_wrong_type_and_every_needed_key_is_missed_by_name() {
    for (word, ..) in kinds() {
        for FormField { key, need, .. } in MachinePreset::form(word) {
            for wrong in [json!({}), json!(true), json!(null), json!([1, 2, 3]), json!("?")] {
                is_refused(word, key, &wrong);
            }
            let mut parameters = whole(word);
            parameters.remove(key);
            match parse(word, &parameters) {
                Err(fault) => {
                    assert_eq!(fault.key, key);
                    assert!(fault.problem.starts_with("is missing"), "{word}: {fault}");
                }
                Ok(_) => assert_eq!(need, FieldNeed::May, "{word} does without {key}"),
            }
        }
        is_refused(word, "colour", &json!(1));
    }
}

#[test]
fn every_number_refuses_what_has_no_meaning() {
    let may_be_negative = [
        "temperature_c",
        "inner_rpm",
        "outer_rpm",
        "pinion_profile_shift",
        "wheel_profile_shift",
        "profile_shift",
    ];
    let may_be_zero = [
        "helix_deg",
        "spiral_deg",
        "slip",
        "friction_coefficient",
        "roughness_rq_m",
        "relief",
        "swash_angle_deg",
    ];
    let besides = [
        ("angular contact ball bearing", "radial_load_n"),
        ("tapered roller bearing", "radial_load_n"),
        ("spherical roller bearing", "contact_angle_deg"),
    ];
    for (word, ..) in kinds() {
        let form = MachinePreset::form(word);
        let numbers = form
            .iter()
            .filter(|field| !matches!(field.kind, FieldKind::Words(_)));
        for key in numbers.map(|field| field.key) {
            let pair = |value: f64| {
                if key == "roughness_rq_m" {
                    json!([value, value])
                } else {
                    json!(value)
                }
            };
            is_refused(word, key, &pair(1e12));
            is_refused(word, key, &pair(-1e12));
            if !may_be_negative.contains(&key) {
                is_refused(word, key, &pair(-1.0));
                if !may_be_zero.contains(&key) && !besides.contains(&(word, key)) {
                    is_refused(word, key, &pair(0.0));
                }
            }
        }
    }
    for (word, _, duty) in kinds() {
        for (key, [lo, hi]) in duty {
            is_refused(word, key, &json!([hi, lo]));
        }
    }
}

#[test]
fn geometry_that_cannot_be_built_names_its_key() {
    is_refused("gear pair", "pinion_tip_diameter_m", &json!(0.05));
    is_refused("gear pair", "wheel_tip_diameter_m", &json!(0.15));
    is_refused("gear pair", "wheel_tip_diameter_m", &json!(0.3));
    is_refused("gear pair", "centre_distance_m", &json!(0.11));
    is_refused("gear pair", "pinion_teeth", &json!(20.5));
    is_refused("gear pair", "roughness_rq_m", &json!([0.4, 0.4]));
    is_refused("cylindrical roller bearing", "pitch_diameter_m", &json!(0.015));
    is_refused("cylindrical roller bearing", "rollers", &json!(16));
    is_refused("cylindrical roller bearing", "inner_rpm", &json!([0, 200]));
    is_refused("bevel gear pair", "face_width_m", &json!(0.07));
    is_refused("bevel gear pair", "shaft_angle_deg", &json!(110));
    is_refused("bevel gear pair", "addendum", &json!(0.3));
    is_refused("deep groove ball bearing", "balls", &json!(17));
    is_refused("deep groove ball bearing", "pitch_diameter_m", &json!(0.0127));
    is_refused("deep groove ball bearing", "inner_conformity", &json!(0.5));
    is_refused("angular contact ball bearing", "contact_angle_deg", &json!(80));
    is_refused("spherical roller bearing", "rollers", &json!(34));
    is_refused(
        "spherical roller bearing",
        "raceway_profile_radius_m",
        &json!(0.0635),
    );
    is_refused(
        "spherical roller bearing",
        "roller_profile_radius_m",
        &json!(0.01),
    );
    is_refused("tapered roller bearing", "rollers", &json!(20));
    is_refused("tapered roller bearing", "effective_length_m", &json!(0.3));
    is_refused("tapered roller bearing", "at", &json!("cage"));
    is_refused("thrust roller bearing", "effective_length_m", &json!(0.08));
    is_refused("thrust roller bearing", "rollers", &json!(23));
    is_refused("pin in bush", "roughness_rq_m", &json!([1e-7, 1e-7]));
    let mut still = whole("cylindrical roller bearing");
    still.insert("inner_rpm".into(), json!(30));
    still.insert("outer_rpm".into(), json!(30));
    assert_eq!(
        parse("cylindrical roller bearing", &still).unwrap_err().key,
        "inner_rpm"
    );
}

#[test]
fn a_centre_distance_and_profile_shifts_must_agree_and_one_of_them_be_given() {
    let refused = |remove: &[&str], key: &str, value: f64| {
        let mut parameters = whole("gear pair");
        parameters.insert("pinion_profile_shift".into(), json!(0.3));
        parameters.insert("wheel_profile_shift".into(), json!(0.1089));
        parameters.insert(key.into(), json!(value));
        for key in remove {
            parameters.remove(*key);
        }
        parse("gear pair", &parameters).unwrap_err().to_string()
    };
    let apart = refused(&[], "pinion_profile_shift", 0.5);
    assert!(
        apart.contains("centre_distance_m: does not agree with the profile shifts"),
        "{apart}"
    );
    let neither = refused(
        &["centre_distance_m", "pinion_profile_shift"],
        "wheel_profile_shift",
        0.1,
    );
    assert!(
        neither.contains("centre_distance_m: is missing: give the centre distance, or"),
        "{neither}"
    );
    let negative = refused(&["centre_distance_m"], "pinion_profile_shift", -3.0);
    assert!(
        negative.contains("pinion_profile_shift: is too negative"),
        "{negative}"
    );
}

#[test]
fn a_roller_end_must_fit_its_rib_where_that_is_the_contact() {
    let refused = |changes: Value| {
        let mut parameters = whole("tapered roller bearing");
        parameters.insert("at".into(), json!("rib"));
        for (key, value) in changes.as_object().into_iter().flatten() {
            if value.is_null() {
                parameters.remove(key);
            } else {
                parameters.insert(key.clone(), value.clone());
            }
        }
        parse("tapered roller bearing", &parameters)
            .map_or_else(|fault| fault.to_string(), |_| "taken".to_string())
    };
    assert_eq!(refused(json!({})), "taken");
    assert_eq!(
        refused(json!({"roller_end_radius_m": null})),
        "roller_end_radius_m: is missing"
    );
    assert_eq!(refused(json!({"rib_height_m": null})), "rib_height_m: is missing");
    let flat = refused(json!({"roller_end_radius_m": 0.2}));
    assert!(
        flat.contains("roller_end_radius_m: must be above 2.715 mm") && flat.contains("117.583 mm"),
        "{flat}"
    );
    let small = refused(json!({"roller_end_radius_m": 0.002}));
    assert!(small.contains("above 2.715 mm"), "{small}");
    let high = refused(json!({"rib_height_m": 0.005}));
    assert!(
        high.contains("rib_height_m: must be below") && high.contains("4.215 mm"),
        "{high}"
    );
}

#[test]
fn sliding_geometry_that_cannot_be_built_names_its_key_and_the_mend() {
    is_refused("cam with flat follower", "nose_radius_m", &json!(0.019));
    is_refused("cam with flat follower", "half_event_deg", &json!(30));
    is_refused("cam with roller follower", "half_event_deg", &json!(30));
    for (hardness, taken) in [
        (0.99e7, false),
        (1e7, true),
        (1.01e7, true),
        (4.99e10, true),
        (5e10, true),
    ] {
        match taken {
            true => is_taken("vane on ring", "hardness_pa", &json!(hardness)),
            false => is_refused("vane on ring", "hardness_pa", &json!(hardness)),
        }
    }
    is_refused("vane on ring", "hardness_pa", &json!(5.01e10));
    is_refused("vane on ring", "tip_radius_m", &json!(0.04));
    is_refused("slipper on swash plate", "land_inner_diameter_m", &json!(0.028));
    is_refused("slipper on swash plate", "relief", &json!(1));
    is_refused("chain pin", "sprocket_teeth", &json!(3));
    is_taken("chain pin", "sprocket_teeth", &json!(4));
    is_taken("chain pin", "sprocket_teeth", &json!(5));
    is_refused("journal bearing", "radial_clearance_m", &json!(0.003));
    is_refused("wires in a rope", "layer_diameter_m", &json!(0.001));
    is_refused("wires in a rope", "sheave_diameter_m", &json!(0.008));
    is_refused("wires in a rope", "crossing_deg", &json!(91));
    is_refused("oscillating ball bearing", "groove_radius_m", &json!(0.006));
    is_refused("oscillating ball bearing", "balls", &json!(14));
    is_refused("oscillating roller bearing", "pitch_diameter_m", &json!(0.008));
    is_refused("oscillating roller bearing", "rollers", &json!(20));
    let mut hollow = whole("cam with flat follower");
    hollow.insert("half_event_deg".into(), json!(30));
    let problem = parse("cam with flat follower", &hollow).unwrap_err().problem;
    assert!(
        problem.contains("give more, or a smaller nose radius"),
        "{problem}"
    );
}

#[test]
fn a_stated_contact_names_its_key_as_well() {
    let refused = |json: &str| MachinePreset::parse("stated", json).unwrap_err();
    assert_eq!(refused(r#"{"pressure":1}"#).key, "pressure");
    assert_eq!(
        refused(r#"{"shape":"line","sliding_m_s":[2,1]}"#).to_string(),
        "sliding_m_s: reversed: 2 is above 1"
    );
    assert_eq!(refused(r#"{"time_share":1.5}"#).key, "time_share");
    assert_eq!(refused(r#"{"supply":"by hand"}"#).key, "supply");
    assert_eq!(refused(r#"{"motion":3}"#).key, "motion");
}

#[test]
fn materials_without_moduli_give_no_terms_but_keep_their_inputs() {
    for (word, ..) in kinds() {
        let mut parameters = whole(word);
        parameters.insert("materials".into(), json!("hard steel/polymer"));
        let preset = parse(word, &parameters).unwrap();
        let conformal = [
            "pin in bush",
            "slideway",
            "slipper on swash plate",
            "journal bearing",
            "chain pin",
        ]
        .contains(&word);
        match preset.terms(None) {
            Ok(_) => assert!(conformal, "{word}"),
            Err(error) => assert!(
                !conformal && matches!(error, ContactError::NoModuli { .. }),
                "{word}"
            ),
        }
        assert!(preset.computed(None).is_ok() == conformal);
        assert!(preset.footprint().is_some() == conformal);
        assert!(!preset.inputs().is_empty());
    }
}

/// 0.05 of the module of 3 mm: 0.15 mm about the distance without backlash, which the refusal says to a tenth of a
/// micrometre.
#[test]
fn a_centre_distance_agrees_with_the_profile_shifts_within_a_twentieth_of_the_module() {
    let at = |distance_m: f64| {
        let mut parameters = whole("gear pair");
        parameters.insert("pinion_profile_shift".into(), json!(0.3));
        parameters.insert("wheel_profile_shift".into(), json!(0.1089));
        parameters.insert("centre_distance_m".into(), json!(distance_m));
        parse("gear pair", &parameters).map_err(|fault| fault.to_string())
    };
    let refusal = at(0.131).unwrap_err();
    let said_mm = refusal
        .split("which give ")
        .nth(1)
        .and_then(|rest| rest.split(' ').next());
    let shifted_m = 1e-3 * said_mm.unwrap().parse::<f64>().unwrap();
    for sign in [-1.0, 1.0] {
        for (by_m, agrees) in [(0.1499e-3, true), (0.1501e-3, false)] {
            let read = at(shifted_m + sign * by_m);
            assert_eq!(read.is_ok(), agrees, "{sign} {by_m}: {:?}", read.err());
        }
    }
}
