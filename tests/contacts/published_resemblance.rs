//! Worked pairs of a test contact and a machine contact, `tests/published/resemblance_examples.csv`: computed by hand
//! calculation apart from this program; importances and halving distances are ours, so this checks the arithmetic of
//! the comparison, and the whole chain from a method's data file to its resemblance.

#![expect(clippy::unwrap_used, reason = "a row that cannot be read is a failed test")]

use likewear::facade::catalogue::{Method, MethodContact, Mode, built_in_method};
use likewear::facade::contact::terms::{ContactTerms, ShapeClass};
use likewear::facade::lubricant::Oil;
use likewear::facade::resemblance::{Beyond, Decided, Resemblance, Scales, Scores, Term, compare, contacts};
use likewear::facade::units::Interval;
use std::collections::BTreeMap;

const SIMILARITY_TOLERANCE: f64 = 0.005;
const RESEMBLANCE_TOLERANCE: f64 = 0.01;

struct Row {
    test: (String, String),
    machine: (String, String),
    similarity: Option<f64>,
    source: String,
}

type Pair = BTreeMap<String, Row>;

fn pairs() -> BTreeMap<(String, String), Pair> {
    let mut reader = csv::Reader::from_path("tests/published/resemblance_examples.csv").unwrap();
    let mut pairs: BTreeMap<(String, String), Pair> = BTreeMap::new();
    for record in reader.records() {
        let record = record.unwrap();
        let field = |i: usize| record[i].to_string();
        let row = Row {
            test: (field(3), field(4)),
            machine: (field(5), field(6)),
            similarity: record[8].parse().ok(),
            source: field(9),
        };
        pairs
            .entry((field(0), field(1)))
            .or_default()
            .insert(field(2), row);
    }
    pairs
}

fn range(ends: &(String, String)) -> Option<Interval> {
    Interval::new(ends.0.parse().ok()?, ends.1.parse().ok()?)
}

fn product(a: Option<Interval>, b: Option<Interval>) -> Option<Interval> {
    let (a, b) = (a?, b?);
    Interval::new(a.lo() * b.lo(), a.hi() * b.hi())
}

/// One side of a pair from its rows; temperatures are bulk where the source says so.
fn terms(pair: &Pair, side: impl Fn(&Row) -> &(String, String)) -> ContactTerms {
    let number = |term: &str| range(side(&pair[term]));
    let word = |term: &str| side(&pair[term]).0.clone();
    let bulk_only = pair["contact_temperature"]
        .source
        .contains("bulk temperatures compared");
    let temperature = number("contact_temperature");
    let ellipticity = number("shape");
    ContactTerms {
        shape: ellipticity.map(|e| {
            if e.lo() > 40.0 {
                ShapeClass::Line
            } else {
                ShapeClass::Elliptical
            }
        }),
        ellipticity,
        max_pressure_pa: number("pressure"),
        sliding_m_s: number("sliding"),
        slide_roll: number("slide_roll"),
        motion: word("motion").parse().ok(),
        bulk_temperature_c: temperature,
        contact_temperature_c: if bulk_only { None } else { temperature },
        film_ratio: number("film_ratio"),
        materials: word("materials").parse().ok(),
        time_share: number("time_in_contact"),
        supply: word("supply").parse().ok(),
        friction_power_w_m2: product(number("pressure"), number("sliding")),
        ..ContactTerms::default()
    }
}

fn scores(test: &str) -> Scores {
    let (method, quantity) = test.split_once('/').unwrap();
    let method = built_in_method(method).unwrap();
    match method.quantity(quantity).unwrap().scores(Mode::Seizure) {
        true => Scores::Seizure,
        false => Scores::OtherModes,
    }
}

fn check(name: &str, pair: &Pair, found: &Resemblance) {
    for likeness in &found.terms {
        let expected = pair[likeness.term.word()].similarity;
        match (expected, likeness.similarity) {
            (None, None) => {}
            (Some(expected), Some(computed)) => {
                let off = (expected - computed).abs();
                assert!(
                    off <= SIMILARITY_TOLERANCE,
                    "{name} {}: {computed} for {expected}",
                    likeness.term
                );
            }
            other => panic!("{name} {}: {other:?}", likeness.term),
        }
    }
    let expected = pair["resemblance"].similarity.unwrap();
    let computed = found.value.unwrap();
    assert!(
        (expected - computed).abs() <= RESEMBLANCE_TOLERANCE,
        "{name}: resemblance {computed} for {expected}"
    );
    let beyond: Vec<&str> = found
        .beyond
        .iter()
        .map(|beyond| published_word(*beyond))
        .collect();
    let listed = pair["extreme"].source.rsplit(": ").next().unwrap();
    let listed: Vec<&str> = listed.split(' ').filter(|word| *word != "none").collect();
    assert_eq!(beyond, listed, "{name}: beyond the severe end");
    assert_eq!(
        found.is_extreme(),
        pair["extreme"].similarity == Some(1.0),
        "{name}: extreme"
    );
}

fn published_word(beyond: Beyond) -> &'static str {
    match beyond {
        Beyond::Pressure => "pressure",
        Beyond::Sliding => "sliding",
        Beyond::SlideRoll => "slide_roll",
        Beyond::ContactTemperature => "contact_temperature",
        Beyond::FrictionPower => "friction_power",
    }
}

#[test]
fn all_35_worked_pairs_compare_as_published() {
    let pairs = pairs();
    assert_eq!(pairs.len(), 35);
    for ((machine, test), pair) in &pairs {
        let found = compare(
            &terms(pair, |row| &row.test),
            &terms(pair, |row| &row.machine),
            scores(test),
            &Scales::default(),
        );
        check(&format!("{machine} / {test}"), pair, &found);
    }
}

/// The load or scar that decided each test in the examples, as their source column says.
fn decided(test: &str) -> Decided {
    match test {
        "fb_ep_oil/weld" => Decided {
            step: Some(250.0),
            scar_m: None,
        },
        "fb_wear_oil_B/scar" => Decided {
            step: None,
            scar_m: Some(0.45e-3),
        },
        "lo_oil_wear/scar" => Decided {
            step: None,
            scar_m: Some(0.55e-3),
        },
        "bor_oil/ok_load" => Decided {
            step: Some(60.0),
            scar_m: None,
        },
        "gear_A8/fail_stage" => Decided {
            step: Some(12.0),
            scar_m: None,
        },
        _ => Decided::default(),
    }
}

/// The examples start the weld test at 27 °C; the method says 18 to 35 °C, and its file keeps that interval.
fn as_in_the_examples(method: &Method) -> Method {
    let mut method = method.clone();
    if method.id.as_str() == "fb_ep_oil"
        && let MethodContact::Rig { surroundings, .. } = &mut method.contacts[0]
    {
        surroundings.bulk_temperature_c = Interval::point(27.0).unwrap();
    }
    method
}

#[test]
fn the_chain_from_a_method_file_to_its_resemblance_gives_the_published_pairs() {
    let oil = Oil::new(220.0, 19.0, Some(880.0), None).unwrap();
    for ((machine, test), pair) in &pairs() {
        let (method, quantity) = test.split_once('/').unwrap();
        let method = as_in_the_examples(built_in_method(method).unwrap());
        let quantity = method.quantity(quantity).unwrap();
        let sides = contacts(&method, quantity, decided(test), Some(&oil)).unwrap();
        let found = compare(
            &sides[0],
            &terms(pair, |row| &row.machine),
            scores(test),
            &Scales::default(),
        );
        check(&format!("{machine} / {test}"), pair, &found);
    }
}

/// Motion, materials and supply against `tests/published/term_tables.csv` (ours, no source exists).
#[test]
fn every_pair_of_words_has_the_similarity_of_the_table() {
    let mut reader = csv::Reader::from_path("tests/published/term_tables.csv").unwrap();
    let mut checked = 0;
    for record in reader.records() {
        let record = record.unwrap();
        let Ok(expected) = record[3].parse::<f64>() else {
            continue;
        };
        let side = |word: &str| with_word(&record[0], word);
        for (a, b) in [(&record[1], &record[2]), (&record[2], &record[1])] {
            let found = compare(&side(a), &side(b), Scores::OtherModes, &Scales::default());
            let term = term_of(&record[0]);
            let likeness = found.terms.iter().find(|likeness| likeness.term == term).unwrap();
            assert_eq!(likeness.similarity, Some(expected), "{} {a} {b}", &record[0]);
            checked += 1;
        }
    }
    assert_eq!(checked, 2 * (10 + 21 + 21 + 4));
}

fn term_of(table: &str) -> Term {
    match table {
        "motion" => Term::Motion,
        "materials" => Term::Materials,
        "supply" => Term::Supply,
        _ => Term::Shape,
    }
}

fn with_word(table: &str, word: &str) -> ContactTerms {
    let mut terms = ContactTerms::default();
    match table {
        "motion" => terms.motion = Some(word.parse().unwrap()),
        "materials" => terms.materials = Some(word.parse().unwrap()),
        "supply" => terms.supply = Some(word.parse().unwrap()),
        _ => terms.shape = Some(word.parse().unwrap()),
    }
    terms
}
