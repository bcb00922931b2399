//! Laws that machine contacts from geometry keep whatever their duty.

#![expect(clippy::unwrap_used, reason = "a preset that cannot be read is a failed test")]

use crate::preset_kinds::{Duty, Parameters, kinds, parse, whole};
use likewear::facade::contact::elastic::STEEL;
use likewear::facade::contact::preset::{FormField, MachinePreset};
use likewear::facade::contact::terms::{ContactTerms, ShapeClass};
use likewear::facade::lubricant::Oil;
use likewear::facade::units::Interval;
use proptest::prelude::*;
use serde_json::{Value, json};

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

/// Every kind, and those by which one of them computes another contact.
fn every() -> Vec<(&'static str, Parameters, Duty)> {
    let other = |word: &str, key: &str, value: Value| {
        let mut kind = kinds().into_iter().find(|kind| kind.0 == word).unwrap();
        kind.1.insert(key.into(), value);
        kind
    };
    let mut every = kinds();
    every.push(other("tapered roller bearing", "at", json!("rib")));
    every
}

proptest! {
    #[test]
    fn a_duty_contains_every_term_of_every_duty_point_inside_it(
        kind in 0..every().len(),
        shares in prop::collection::vec(three_shares(), 8),
    ) {
        let (word, fixed, mut duty) = every().swap_remove(kind);
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
    fn more_load_never_lowers_pressure_and_more_speed_never_lowers_sliding(kind in 0..every().len(), factor in 1.0..3.0f64) {
        let (word, fixed, duty) = every().swap_remove(kind);
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

/// The pressure of a line goes with the root of its load, that of an ellipse with its cube root.
#[test]
fn pressure_grows_with_load_by_the_power_of_its_contact() {
    for (word, fixed, duty) in every() {
        let at = |factor: f64| {
            let mut parameters = fixed.clone();
            for (place, (key, [lo, hi])) in duty.iter().enumerate() {
                let value = match place {
                    0 => factor * lo,
                    _ if *key == "radial_load_n" => 0.0,
                    _ => *hi,
                };
                parameters.insert((*key).into(), json!(value));
            }
            parse(word, &parameters).unwrap().terms(None).unwrap()
        };
        let (one, eight) = (at(1.0), at(8.0));
        let power = match one.shape.unwrap() {
            ShapeClass::Line => 0.5,
            ShapeClass::Point | ShapeClass::Elliptical => 1.0 / 3.0,
            ShapeClass::Conformal => 1.0,
        };
        let ratio = eight.mean_pressure_pa.unwrap().lo() / one.mean_pressure_pa.unwrap().lo();
        assert!((ratio / 8f64.powf(power) - 1.0).abs() < 1e-9, "{word}: {ratio}");
    }
}

/// A contact twice as large in every length under the same pressure differs in speed alone.
#[test]
fn a_larger_contact_under_the_same_pressure_has_the_same_shape_and_slide_roll_ratio() {
    let size = 1.7f64;
    let factor = |key: &str| match key {
        key if key.ends_with("_rq_m") => 1.0,
        key if key.ends_with("_nm") => size.powi(3),
        key if key.ends_with("_m_s") || key.ends_with("_m") => size,
        key if key.ends_with("_n") => size.powi(2),
        _ => 1.0,
    };
    let scaled = |key: &str, value: &Value| match value {
        Value::Number(number) if factor(key) != 1.0 => json!(factor(key) * number.as_f64().unwrap()),
        other => other.clone(),
    };
    for (word, mut parameters, duty) in every() {
        for (key, [lo, hi]) in duty {
            parameters.insert(key.into(), json!(0.5 * (lo + hi)));
        }
        let larger = parameters
            .iter()
            .map(|(key, value)| (key.clone(), scaled(key, value)));
        let larger: Parameters = larger.collect();
        let terms = |parameters: &Parameters| parse(word, parameters).unwrap().terms(None).unwrap();
        let (small, large) = (terms(&parameters), terms(&larger));
        let same = [
            (small.mean_pressure_pa, large.mean_pressure_pa, 1.0),
            (small.max_pressure_pa, large.max_pressure_pa, 1.0),
            (small.ellipticity, large.ellipticity, 1.0),
            (small.slide_roll, large.slide_roll, 1.0),
            (small.time_share, large.time_share, 1.0),
            (small.sliding_m_s, large.sliding_m_s, size),
        ];
        for (small, large, factor) in same {
            assert_eq!(small.is_some(), large.is_some(), "{word}");
            let (Some(small), Some(large)) = (small, large) else {
                continue;
            };
            let near = (large.hi() - factor * small.hi()).abs() <= 1e-9 * large.hi().abs();
            assert!(near, "{word}: {small} and {large}");
        }
        assert_eq!(small.shape, large.shape);
    }
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

    let pair = |preset: &MachinePreset| {
        let mesh = preset.gears().unwrap();
        mesh.virtual_spur_pair([STEEL, STEEL]).unwrap()
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
fn a_centre_distance_and_its_profile_shifts_give_the_same_gears() {
    let without = |keys: &[&str]| {
        let mut parameters = whole("gear pair");
        // The sum for 129.5 mm, computed independently, is 0.4089.
        parameters.insert("pinion_profile_shift".into(), json!(0.3));
        parameters.insert("wheel_profile_shift".into(), json!(0.1089));
        for key in keys {
            parameters.remove(*key);
        }
        parse("gear pair", &parameters)
            .unwrap()
            .terms(Some(&oil()))
            .unwrap()
    };
    let (given, shifted) = (
        without(&["pinion_profile_shift", "wheel_profile_shift"]),
        without(&["centre_distance_m"]),
    );
    for ((name, a), (_, b)) in ranges(&given).into_iter().zip(ranges(&shifted)) {
        let (a, b) = (a.unwrap(), b.unwrap());
        assert!(
            (a.hi() - b.hi()).abs() <= 1e-3 * a.hi().abs(),
            "{name}: {a} and {b}"
        );
    }
    assert_eq!(given, without(&["pinion_profile_shift"]));
}

#[test]
fn exchanging_the_gears_of_a_bevel_pair_changes_no_term() {
    let ratio = 47.0 / 16.0;
    let pair = |changes: Value| {
        let mut parameters = whole("bevel gear pair");
        parameters.extend(changes.as_object().unwrap().clone());
        parse("bevel gear pair", &parameters)
            .unwrap()
            .terms(Some(&oil()))
            .unwrap()
    };
    let driving = json!({"pinion_torque_nm": [60.0, 300.0], "pinion_rpm": [100.0, 1500.0]});
    let driven = json!({"pinion_teeth": 47, "wheel_teeth": 16, "profile_shift": -0.2,
        "pinion_torque_nm": [60.0 * ratio, 300.0 * ratio], "pinion_rpm": [100.0 / ratio, 1500.0 / ratio]});
    same(&pair(driving), &pair(driven));
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
    assert!(!zero.notes.iter().any(|note| note.words().contains("helical")));
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
        let form = MachinePreset::form(word);
        let taken = |field: &&FormField| whole(word).contains_key(field.key) || field.usual.is_some();
        let mut known: Vec<_> = form.iter().filter(taken).map(|field| field.key).collect();
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
