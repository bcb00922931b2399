//! Laws that machine contacts from geometry keep whatever their duty, and what their parameters refuse.

#![expect(clippy::unwrap_used, reason = "a preset that cannot be read is a failed test")]

use likewear::contact::ContactError;
use likewear::contact::elastic::STEEL;
use likewear::contact::preset::{MachinePreset, PresetFault};
use likewear::contact::terms::ContactTerms;
use likewear::lubricant::Oil;
use likewear::units::Interval;
use proptest::prelude::*;
use serde_json::{Map, Value, json};

type Parameters = Map<String, Value>;

/// One contact of each computed kind, with the keys of its duty and their ranges.
fn kinds() -> Vec<(&'static str, Parameters, Vec<(&'static str, [f64; 2])>)> {
    let around = |materials: &str| json!({"temperature_c": 60, "supply": "splash", "materials": materials, "roughness_rq_m": [4e-7, 2e-7]});
    let steel = || around("hard steel/hard steel");
    let with = |mut around: Value, own: Value| {
        around
            .as_object_mut()
            .unwrap()
            .extend(own.as_object().unwrap().clone());
        around.as_object().unwrap().clone()
    };
    let mut bronze = around("hard steel/bronze");
    bronze.as_object_mut().unwrap().remove("roughness_rq_m");
    vec![
        (
            "gear pair",
            with(
                steel(),
                json!({"pinion_teeth": 21, "wheel_teeth": 62, "normal_module_m": 3e-3,
                "pressure_angle_deg": 20, "helix_deg": 14, "centre_distance_m": 0.1295, "face_width_m": 0.04,
                "pinion_tip_diameter_m": 0.072, "wheel_tip_diameter_m": 0.1985}),
            ),
            vec![("pinion_torque_nm", [20.0, 600.0]), ("pinion_rpm", [0.0, 3000.0])],
        ),
        (
            "cylindrical roller bearing",
            with(
                steel(),
                json!({"roller_diameter_m": 0.016, "effective_length_m": 0.016, "rollers": 9,
                "pitch_diameter_m": 0.08}),
            ),
            vec![
                ("radial_load_n", [500.0, 20_000.0]),
                ("inner_rpm", [100.0, 5000.0]),
                ("outer_rpm", [-500.0, 100.0]),
                ("slip", [0.0, 0.3]),
            ],
        ),
        (
            "thrust roller bearing",
            with(
                steel(),
                json!({"roller_diameter_m": 0.011, "effective_length_m": 0.011, "rollers": 15,
                "mean_diameter_m": 0.0775}),
            ),
            vec![
                ("axial_load_n", [1000.0, 100_000.0]),
                ("speed_rpm", [0.0, 2000.0]),
            ],
        ),
        (
            "worm throat",
            with(
                around("hard steel/bronze"),
                json!({"worm_pitch_diameter_m": 0.05, "lead_angle_deg": 22,
                "wheel_pitch_diameter_m": 0.15, "wheel_face_width_m": 0.035, "normal_pressure_angle_deg": 20}),
            ),
            vec![
                ("wheel_torque_nm", [50.0, 900.0]),
                ("worm_rpm", [0.0, 1500.0]),
                ("lines_in_contact", [1.0, 3.0]),
            ],
        ),
        (
            "pin in bush",
            with(bronze.clone(), json!({"pin_diameter_m": 0.06, "length_m": 0.05})),
            vec![
                ("load_n", [100.0, 90_000.0]),
                ("amplitude_deg", [1.0, 90.0]),
                ("frequency_hz", [0.0, 3.0]),
            ],
        ),
        (
            "slideway",
            with(bronze, json!({"length_m": 0.4, "width_m": 0.05})),
            vec![("load_n", [100.0, 9000.0]), ("speed_m_s", [0.0, 2.0])],
        ),
    ]
}

fn parse(word: &str, parameters: &Parameters) -> Result<MachinePreset, PresetFault> {
    MachinePreset::parse(word, &Value::Object(parameters.clone()).to_string())
}

fn oil() -> Oil {
    Oil::new(220.0, 19.0, Some(880.0), None).unwrap()
}

fn ranges(terms: &ContactTerms) -> [(&'static str, Option<Interval>); 9] {
    [
        ("maximum pressure", terms.max_pressure_pa),
        ("mean pressure", terms.mean_pressure_pa),
        ("sliding", terms.sliding_m_s),
        ("slide-roll", terms.slide_roll),
        ("bulk temperature", terms.bulk_temperature_c),
        ("contact temperature", terms.contact_temperature_c),
        ("film ratio", terms.film_ratio),
        ("time share", terms.time_share),
        ("friction power", terms.friction_power_w_m2),
    ]
}

/// A place between two ends: three shares of the way, the middle one inside the other two.
fn three_shares() -> impl Strategy<Value = [f64; 3]> {
    [0.001..0.999f64, 0.001..0.999f64, 0.001..0.999f64].prop_map(|mut shares| {
        shares.sort_by(f64::total_cmp);
        shares
    })
}

proptest! {
    #[test]
    fn a_duty_contains_every_term_of_every_duty_point_inside_it(
        kind in 0..6usize,
        shares in prop::collection::vec(three_shares(), 5),
    ) {
        let (word, fixed, mut duty) = kinds().swap_remove(kind);
        duty.push(("temperature_c", [-10.0, 120.0]));
        let (mut whole, mut inner) = (fixed.clone(), fixed);
        for ((key, [lo, hi]), [from, at, to]) in duty.into_iter().zip(shares) {
            let place = |share: f64| lo + share * (hi - lo);
            whole.insert(key.into(), json!([place(from), place(to)]));
            inner.insert(key.into(), json!(place(at)));
        }
        let whole = parse(word, &whole).unwrap().terms(Some(&oil())).unwrap();
        let inner = parse(word, &inner).unwrap().terms(Some(&oil())).unwrap();
        for ((name, whole), (_, inner)) in ranges(&whole).into_iter().zip(ranges(&inner)) {
            prop_assert_eq!(whole.is_some(), inner.is_some(), "{}", name);
            let (Some(whole), Some(inner)) = (whole, inner) else { continue };
            let room = 1e-9 * whole.hi().abs();
            prop_assert!(
                whole.lo() <= inner.lo() + room && inner.hi() <= whole.hi() + room,
                "{word}, {name}: {inner} is not within {whole}"
            );
        }
    }

    #[test]
    fn more_load_never_lowers_pressure_and_more_speed_never_lowers_sliding(kind in 0..6usize, factor in 1.0..3.0f64) {
        let (word, fixed, duty) = kinds().swap_remove(kind);
        let at = |load: f64, speed: f64| {
            let mut parameters = fixed.clone();
            for (place, (key, [lo, hi])) in duty.iter().enumerate() {
                let middle = 0.5 * (lo + hi);
                let value = match place {
                    0 => load * middle,
                    1 => speed * middle,
                    _ => middle,
                };
                // Outer ring at rest, so that any inner speed is allowed.
                let value = if *key == "outer_rpm" { 0.0 } else { value };
                parameters.insert((*key).into(), json!(value));
            }
            parse(word, &parameters).unwrap().terms(None).unwrap()
        };
        let base = at(1.0, 1.0);
        let (loaded, faster) = (at(factor, 1.0), at(1.0, factor));
        prop_assert!(loaded.mean_pressure_pa.unwrap().lo() >= base.mean_pressure_pa.unwrap().lo());
        prop_assert!(faster.sliding_m_s.unwrap().lo() >= base.sliding_m_s.unwrap().lo());
    }
}

fn whole(word: &str) -> Parameters {
    let (_, mut parameters, duty) = kinds().into_iter().find(|kind| kind.0 == word).unwrap();
    for (key, range) in duty {
        parameters.insert(key.into(), json!(range));
    }
    parameters
}

fn gears(changes: Value) -> MachinePreset {
    let mut parameters = whole("gear pair");
    parameters.extend(changes.as_object().unwrap().clone());
    parse("gear pair", &parameters).unwrap()
}

#[track_caller]
fn same(a: &ContactTerms, b: &ContactTerms) {
    for ((name, a), (_, b)) in ranges(a).into_iter().zip(ranges(b)) {
        let (a, b) = (a.unwrap(), b.unwrap());
        let near = |a: f64, b: f64| (a - b).abs() <= 1e-9 * a.abs().max(b.abs());
        assert!(
            near(a.lo(), b.lo()) && near(a.hi(), b.hi()),
            "{name}: {a} and {b}"
        );
    }
}

#[test]
fn exchanging_pinion_and_wheel_reverses_the_path_and_changes_no_term() {
    let ratio = 62.0 / 21.0;
    let driving = json!({"pinion_torque_nm": [60.0, 300.0], "pinion_rpm": [100.0, 1500.0]});
    let driven = json!({"pinion_teeth": 62, "wheel_teeth": 21, "pinion_tip_diameter_m": 0.1985,
        "wheel_tip_diameter_m": 0.072, "pinion_torque_nm": [60.0 * ratio, 300.0 * ratio],
        "pinion_rpm": [100.0 / ratio, 1500.0 / ratio]});
    let (one, other) = (gears(driving), gears(driven));
    same(
        &one.terms(Some(&oil())).unwrap(),
        &other.terms(Some(&oil())).unwrap(),
    );

    let pair = |preset: &MachinePreset| match preset {
        MachinePreset::GearPair(mesh) => mesh.virtual_spur_pair([STEEL, STEEL]).unwrap(),
        other => panic!("{}", other.word()),
    };
    let (forward, back) = (pair(&one), pair(&other));
    let forward: Vec<_> = forward.path(1000.0, 100.0, 21).unwrap().collect();
    let mut back: Vec<_> = back.path(1000.0 / ratio, 100.0 * ratio, 21).unwrap().collect();
    back.reverse();
    for (a, b) in forward.iter().zip(&back) {
        assert!((a.sliding_m_s() + b.sliding_m_s()).abs() < 1e-9);
        assert!((a.max_pressure_pa / b.max_pressure_pa - 1.0).abs() < 1e-9);
    }
}

#[test]
fn a_helix_of_zero_is_a_spur_pair_and_a_small_helix_is_near_it() {
    let spur = |helix: Value| {
        let mut parameters = whole("gear pair");
        parameters.remove("helix_deg");
        parameters.insert("centre_distance_m".into(), json!(0.126));
        parameters.insert("pinion_tip_diameter_m".into(), json!(0.07));
        parameters.insert("wheel_tip_diameter_m".into(), json!(0.193));
        if !helix.is_null() {
            parameters.insert("helix_deg".into(), helix);
        }
        parse("gear pair", &parameters)
            .unwrap()
            .terms(Some(&oil()))
            .unwrap()
    };
    let (without, zero, small) = (spur(Value::Null), spur(json!(0)), spur(json!(0.5)));
    assert_eq!(without, zero);
    assert!(!zero.notes.iter().any(|note| note.contains("helical")));
    for ((name, zero), (_, small)) in ranges(&zero).into_iter().zip(ranges(&small)) {
        let (zero, small) = (zero.unwrap(), small.unwrap());
        let near = |a: f64, b: f64| (a - b).abs() <= 0.01 * a.abs().max(b.abs());
        assert!(
            near(zero.lo(), small.lo()) && near(zero.hi(), small.hi()),
            "{name}"
        );
    }
}

#[test]
fn parameters_read_back_as_the_same_contact_with_every_key_of_their_kind() {
    for (word, ..) in kinds() {
        let read = parse(word, &whole(word)).unwrap();
        assert_eq!(read.word(), word);
        let written = read.parameters_json();
        let again = MachinePreset::parse(word, &written).unwrap();
        assert_eq!(again, read, "{word}");
        assert_eq!(again.parameters_json(), written);
        let keys: Parameters = serde_json::from_str(&written).unwrap();
        let mut known = MachinePreset::keys(word);
        known.sort_unstable();
        assert_eq!(keys.keys().collect::<Vec<_>>(), known, "{word}");
        assert_eq!(read.inputs().len(), known.len());
        assert!(!read.computed(Some(&oil())).unwrap().is_empty());
    }
    assert_eq!(kinds().len() + 1, MachinePreset::WORDS.len());
}

#[test]
fn a_stated_contact_reads_back_too_and_has_no_footprint() {
    let json = r#"{"shape":"line","max_pressure_pa":[7e8,1.5e9],"sliding_m_s":0.1,"motion":"reversing"}"#;
    let stated = MachinePreset::parse("stated", json).unwrap();
    let again = MachinePreset::parse(" stated ", &stated.parameters_json()).unwrap();
    assert_eq!(stated, again);
    assert_eq!(stated.footprint(), None);
    assert!(
        stated
            .inputs()
            .contains(&("Maximum pressure", "700 to 1500 MPa".to_string()))
    );
}

#[test]
fn an_unknown_preset_is_refused_with_the_list() {
    let fault = MachinePreset::parse("spindle", "{}").unwrap_err();
    assert_eq!(fault.key, "preset");
    assert_eq!(
        fault.problem,
        "'spindle' is no preset; allowed are: stated, gear pair, cylindrical roller bearing, thrust roller bearing, \
         worm throat, pin in bush, slideway"
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

#[test]
fn every_key_refuses_a_wrong_type_and_every_needed_key_is_missed_by_name() {
    let optional = [
        "helix_deg",
        "motion",
        "friction_coefficient",
        "roughness_rq_m",
        "outer_rpm",
        "slip",
        "load_factor",
        "lines_in_contact",
    ];
    for (word, ..) in kinds() {
        for key in MachinePreset::keys(word) {
            for wrong in [json!({}), json!(true), json!(null), json!([1, 2, 3]), json!("?")] {
                is_refused(word, key, &wrong);
            }
            let mut parameters = whole(word);
            parameters.remove(key);
            match parse(word, &parameters) {
                Err(fault) => assert_eq!((fault.key.as_str(), fault.problem.as_str()), (key, "is missing")),
                Ok(_) => assert!(optional.contains(&key), "{word} does without {key}"),
            }
        }
        is_refused(word, "colour", &json!(1));
    }
}

#[test]
fn every_number_refuses_what_has_no_meaning() {
    let words = ["supply", "motion", "materials"];
    let may_be_negative = ["temperature_c", "inner_rpm", "outer_rpm"];
    let may_be_zero = ["helix_deg", "slip", "friction_coefficient", "roughness_rq_m"];
    for (word, ..) in kinds() {
        for key in MachinePreset::keys(word)
            .into_iter()
            .filter(|key| !words.contains(key))
        {
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
                if !may_be_zero.contains(&key) {
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
        let conformal = ["pin in bush", "slideway"].contains(&word);
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
