//! The contacts of the method files against the terms of the worked resemblance examples
//! (`tests/published/resemblance_examples.csv`, computed apart from this program).

use crate::catalogue::{MethodContact, PressureFrom, built_in_method};
use crate::contact::element::Loading;
use crate::contact::terms::ContactTerms;
use crate::lubricant::Oil;
use crate::units::Interval;
use std::collections::BTreeMap;

type Row = BTreeMap<String, String>;

const EXAMPLES: &str = include_str!("../../tests/published/resemblance_examples.csv");

/// The examples take the block-on-ring test at 60 lb on the pan, every other test at its nominal load.
fn load_step(test: &str, nominal: Option<f64>) -> Option<f64> {
    if test == "bor_oil/ok_load" {
        Some(60.0)
    } else {
        nominal
    }
}

/// Terms of the first contact of `method/quantity` with the oil of the examples: ISO VG 220, 220 and 19 mm2/s,
/// 880 kg/m3.
fn terms_of(test: &str) -> ContactTerms {
    let (method, quantity) = test.split_once('/').unwrap();
    let method = built_in_method(method).unwrap();
    let quantity = method.quantity(quantity).unwrap();
    let MethodContact::Rig {
        element,
        surroundings,
        load,
    } = &method.contacts[0].contact
    else {
        panic!("{test}: no geometry")
    };
    let is_worn = quantity.pressure_from == PressureFrom::WornToFresh;
    let loading = Loading {
        load: load.load(load_step(test, quantity.nominal)).unwrap(),
        worn_scar_m: is_worn.then(|| quantity.nominal.unwrap() * 1e-3),
    };
    let oil = Oil::new(220.0, 19.0, Some(880.0), None).unwrap();
    element.terms(&loading, surroundings, Some(&oil)).unwrap()
}

/// The term of a row, and how far it may lie from the example: relative, and absolute for temperatures, where the
/// four-ball pot is entered as a range of temperatures and the example takes a value within it. Sliding and
/// slide-roll ratio of the roller are rounded in the examples; the film follows the temperature.
fn term(terms: &ContactTerms, name: &str) -> Option<(Interval, f64, f64)> {
    let (value, relative, absolute) = match name {
        "pressure" => (terms.max_pressure_pa, 0.002, 0.0),
        "sliding" => (terms.sliding_m_s, 0.02, 0.0),
        "slide_roll" => (terms.slide_roll, 0.08, 0.0),
        "contact_temperature" => (terms.contact_temperature_c, 0.001, 10.0),
        "film_ratio" => (terms.film_ratio, 0.03, 0.0),
        "time_in_contact" => (terms.time_share, 0.002, 0.0),
        _ => return None,
    };
    value.map(|value| (value, relative, absolute))
}

#[test]
fn the_files_give_the_terms_of_the_worked_examples() {
    let mut reader = csv::Reader::from_reader(EXAMPLES.as_bytes());
    let rows = reader.deserialize::<Row>().map(Result::unwrap);
    let (mut numbers, mut words) = (0, 0);
    for row in rows.filter(|row| row["machine"] == "gear mesh") {
        let (test, name) = (&row["test"], row["term"].as_str());
        let terms = terms_of(test);
        if let Some((found, relative, absolute)) = term(&terms, name) {
            for (end, written) in [(found.lo(), &row["test_lo"]), (found.hi(), &row["test_hi"])] {
                let wanted: f64 = written.parse().unwrap();
                let apart = (end - wanted).abs();
                assert!(
                    apart <= relative * wanted.abs() + absolute,
                    "{test} {name}: {end}, {wanted}"
                );
            }
            numbers += 1;
        }
        let word = match name {
            "motion" => terms.motion.unwrap().word(),
            "materials" => terms.materials.unwrap().word(),
            "supply" => terms.supply.unwrap().word(),
            _ => continue,
        };
        assert_eq!(word, row["test_lo"], "{test} {name}");
        words += 1;
    }
    assert_eq!((numbers, words), (7 * 6, 7 * 3));
}
