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
/// Two tests closer than this resemble a machine alike: the file rounds what it takes over by hand.
const TIE: f64 = 0.002;

struct Row {
    test: (String, String),
    machine: (String, String),
    similarity: Option<f64>,
    source: String,
    decides_f: String,
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
            decides_f: field(10),
        };
        pairs
            .entry((field(0), field(1)))
            .or_default()
            .insert(field(2), row);
    }
    pairs
}

/// The name of a term in the file.
fn published_term(term: Term) -> &'static str {
    match term {
        Term::Entrainment => "rolling",
        other => other.word(),
    }
}

fn range(ends: &(String, String)) -> Option<Interval> {
    Interval::new(ends.0.parse().ok()?, ends.1.parse().ok()?)
}

fn product(a: Option<Interval>, b: Option<Interval>) -> Option<Interval> {
    let (a, b) = (a?, b?);
    Interval::new(a.lo() * b.lo(), a.hi() * b.hi())
}

/// One side of a pair from its rows.
fn terms(pair: &Pair, side: impl Fn(&Row) -> &(String, String)) -> ContactTerms {
    let number = |term: &str| range(side(&pair[term]));
    let word = |term: &str| side(&pair[term]).0.clone();
    let ellipticity = number("shape");
    let shape = word("shape")
        .parse()
        .ok()
        .or(ellipticity.map(|e| match e.lo() > 40.0 {
            true => ShapeClass::Line,
            false => ShapeClass::Elliptical,
        }));
    let conformal = shape == Some(ShapeClass::Conformal);
    let pressure = number("pressure");
    ContactTerms {
        shape,
        ellipticity,
        max_pressure_pa: pressure.filter(|_| !conformal),
        mean_pressure_pa: pressure.filter(|_| conformal),
        sliding_m_s: number("sliding"),
        entrainment_m_s: number("rolling"),
        slide_roll: number("slide_roll"),
        motion: word("motion").parse().ok(),
        contact_temperature_c: number("contact_temperature"),
        film_ratio: number("film_ratio"),
        materials: word("materials").parse().ok(),
        time_share: number("time_in_contact"),
        supply: word("supply").parse().ok(),
        friction_power_w_m2: product(pressure, number("sliding")),
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
    assert_eq!(found.terms.len(), 11, "{name}");
    for likeness in &found.terms {
        let expected = pair[published_term(likeness.term)].similarity;
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
    let row = &pair["resemblance"];
    let (expected, computed) = (row.similarity.unwrap(), found.value.unwrap());
    assert!(
        (expected - computed).abs() <= RESEMBLANCE_TOLERANCE,
        "{name}: resemblance {computed} for {expected}"
    );
    let decides = found.decides_f().map_or("none", published_term);
    assert_eq!(decides, row.decides_f, "{name}: what decides F");
    check_beyond(name, &pair["extreme"], found);
}

/// Where the test lies beyond the machine; the file lists it where there are two such respects or more.
fn check_beyond(name: &str, row: &Row, found: &Resemblance) {
    assert_eq!(found.is_beyond(), row.similarity == Some(1.0), "{name}: beyond");
    if !found.is_beyond() {
        return;
    }
    let beyond: Vec<&str> = found
        .beyond
        .iter()
        .map(|beyond| published_word(*beyond))
        .collect();
    let listed = row.source.rsplit(": ").next().unwrap();
    assert_eq!(beyond, listed.split(' ').collect::<Vec<_>>(), "{name}: beyond");
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
fn all_78_worked_pairs_compare_as_published() {
    let pairs = pairs();
    assert_eq!(pairs.len(), 78);
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

/// The load or scar that decided each test in the examples.
fn decided(test: &str) -> Decided {
    let (step, scar_m) = match test {
        "fb_ep_oil/weld" | "fb_ep_grease/weld" => (Some(250.0), None),
        "bor_oil/ok_load" => (Some(60.0), None),
        "gear_A8/fail_stage" => (Some(12.0), None),
        "gear_A10/fail_stage" | "gear_micropit/fail_stage" => (Some(10.0), None),
        "fb_wear_oil_A/scar" | "fb_wear_oil_B/scar" => (None, Some(0.45e-3)),
        "lo_oil_wear/scar" | "lo_grease_wear/scar" => (None, Some(0.55e-3)),
        _ => (None, None),
    };
    Decided { step, scar_m }
}

/// The examples start tests at one temperature; the methods say from where to where, and their files keep that interval.
fn as_in_the_examples(method: &Method) -> Method {
    let mut method = method.clone();
    let start = match method.id.as_str() {
        "fb_ep_oil" | "fb_ep_grease" => 27.0,
        _ => return method,
    };
    if let MethodContact::Rig { surroundings, .. } = &mut method.contacts[0].contact {
        surroundings.bulk_temperature_c = Interval::point(start).unwrap();
    }
    method
}

/// The oil of a pair, `oil 220 and 19 mm2/s at 40 and 100 C`.
fn oil(pair: &Pair) -> Oil {
    let words = pair["resemblance"].source.rsplit("; oil ").next().unwrap();
    let numbers: Vec<f64> = words.split(' ').filter_map(|word| word.parse().ok()).collect();
    Oil::new(numbers[0], numbers[1], Some(880.0), None).unwrap()
}

#[test]
fn the_chain_from_a_method_file_to_its_resemblance_gives_the_published_pairs() {
    for ((machine, test), pair) in &pairs() {
        let (method, quantity) = test.split_once('/').unwrap();
        let method = as_in_the_examples(built_in_method(method).unwrap());
        let quantity = method.quantity(quantity).unwrap();
        let sides = contacts(&method, quantity, decided(test), Some(&oil(pair))).unwrap();
        assert_eq!(sides.len(), 1, "{test}");
        let found = compare(
            &sides[0],
            &terms(pair, |row| &row.machine),
            scores(test),
            &Scales::default(),
        );
        check(&format!("{machine} / {test}"), pair, &found);
    }
}

/// What a practitioner expects of fourteen machines of ten kinds, the closest test first: the order of the worked pairs.
const EXPECTED: [(&str, &[&str]); 14] = [
    (
        "gear mesh",
        &[
            "gear_lowspeed_wear/mass_loss",
            "gear_A8/fail_stage",
            "bor_oil/ok_load",
            "fb_wear_oil_B/scar",
            "lo_oil_wear/scar",
            "fb_ep_oil/weld",
            "rb_oil/roller_wear",
        ],
    ),
    (
        "slow roller bearing",
        &[
            "rb_oil/roller_wear",
            "gear_lowspeed_wear/mass_loss",
            "lo_oil_wear/scar",
            "fb_wear_oil_B/scar",
            "bor_oil/ok_load",
            "gear_A8/fail_stage",
            "fb_ep_oil/weld",
        ],
    ),
    (
        "worm mesh steel/bronze",
        &[
            "bor_oil/ok_load",
            "pvb_wear/teeth",
            "fb_wear_oil_B/scar",
            "gear_lowspeed_wear/mass_loss",
            "lo_oil_wear/scar",
            "gear_A8/fail_stage",
            "rb_oil/roller_wear",
            "fb_ep_oil/weld",
        ],
    ),
    (
        "oscillating chain pin",
        &[
            "lo_oil_wear/scar",
            "fb_wear_oil_B/scar",
            "bor_oil/ok_load",
            "gear_lowspeed_wear/mass_loss",
            "gear_A8/fail_stage",
            "rb_oil/roller_wear",
            "fb_ep_oil/weld",
        ],
    ),
    (
        "spherical roller bearing in grease",
        &[
            "rb_oil/roller_wear",
            "gear_lowspeed_wear/mass_loss",
            "lo_oil_wear/scar",
            "fb_wear_oil_B/scar",
            "bor_oil/ok_load",
            "gear_A8/fail_stage",
            "fb_ep_oil/weld",
        ],
    ),
    (
        "fast ball bearing",
        &[
            "gear_pit/life",
            "gear_lowspeed_wear/mass_loss",
            "rb_oil/roller_wear",
            "gear_A8/fail_stage",
            "fb_wear_oil_B/scar",
            "fb_ep_oil/weld",
        ],
    ),
    (
        "journal bearing",
        &[
            "pvb_wear/teeth",
            "bor_oil/ok_load",
            "fb_wear_oil_B/scar",
            "gear_lowspeed_wear/mass_loss",
            "fb_ep_oil/weld",
            "rb_oil/roller_wear",
        ],
    ),
    (
        "vane tip",
        &[
            "bor_oil/ok_load",
            "fb_wear_oil_A/scar",
            "gear_A8/fail_stage",
            "fb_ep_oil/weld",
        ],
    ),
    (
        "cam nose",
        &[
            "bor_oil/ok_load",
            "fb_wear_oil_B/scar",
            "lo_oil_wear/scar",
            "fb_ep_oil/weld",
        ],
    ),
    (
        "chain pin in its bush",
        &["pvb_wear/teeth", "lo_oil_wear/scar", "fb_ep_oil/weld"],
    ),
    (
        "wires in a rope",
        &["fretting/mass_loss", "lo_grease_wear/scar", "fb_ep_grease/weld"],
    ),
    (
        "bearing at standstill, shaken",
        &[
            "fretting/mass_loss",
            "rb_grease/roller_wear",
            "lo_grease_wear/scar",
            "fb_ep_grease/weld",
        ],
    ),
    (
        "slow gear pair",
        &[
            "gear_lowspeed_wear/mass_loss",
            "rb_oil/roller_wear",
            "fb_wear_oil_B/scar",
            "gear_A8/fail_stage",
            "fb_ep_oil/weld",
        ],
    ),
    (
        "fast gear pair",
        &[
            "gear_micropit/fail_stage",
            "gear_A8/fail_stage",
            "bor_oil/ok_load",
            "gear_A10/fail_stage",
            "fb_wear_oil_B/scar",
            "fb_ep_oil/weld",
            "rb_oil/roller_wear",
        ],
    ),
];

#[test]
fn machines_of_fourteen_kinds_see_the_tests_in_the_order_that_a_practitioner_expects() {
    let pairs = pairs();
    for (machine, tests) in EXPECTED {
        let of_machine = pairs.keys().filter(|(name, _)| name == machine);
        assert_eq!(of_machine.count(), tests.len(), "{machine}");
        let resemblance = |test: &&str| {
            let pair = &pairs[&(machine.to_string(), test.to_string())];
            let (method, quantity) = test.split_once('/').unwrap();
            let method = as_in_the_examples(built_in_method(method).unwrap());
            let quantity = method.quantity(quantity).unwrap();
            let sides = contacts(&method, quantity, decided(test), Some(&oil(pair))).unwrap();
            let machine = terms(pair, |row| &row.machine);
            compare(&sides[0], &machine, scores(test), &Scales::default())
                .value
                .unwrap()
        };
        let found: Vec<f64> = tests.iter().map(resemblance).collect();
        assert!(found.is_sorted_by(|a, b| *a >= *b - TIE), "{machine}: {found:?}");
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
    assert_eq!(checked, 2 * (10 + 55 + 21 + 4));
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
