//! Limits that decide, by what they decide: just below, just above, and on them. All data is invented.

#![expect(
    clippy::unwrap_used,
    reason = "a trial that cannot be judged is a failed test"
)]

use crate::support::judged::{fired, fires, is_silent, standing};
use crate::support::trials::a_against_b;
use crate::support::{SLOW_ROLLERS, TrialBuilder, trial_on};
use likewear::facade::catalogue::{Value, Written, built_in_method};
use likewear::facade::contact::terms::{ContactTerms, Materials, Motion};
use likewear::facade::records::{Confidence, Purpose, TestKey, TrialRecords};
use likewear::facade::resemblance::{Beyond, Remark, Resemblance, Scales, Scores, Term, compare};
use likewear::facade::standing::{CautionKind, Finding, FitCache, Standing, WhatIf, judge};
use likewear::facade::stats::precision::DIFFERENCE_95;
use likewear::facade::stats::range::critical_range;
use likewear::facade::units::Interval;
use std::collections::BTreeMap;

fn key(text: &str) -> TestKey {
    TestKey::parse(text).unwrap()
}

/// ISO 20623 and ASTM D2783 step the load in kgf; a load within 0.5 % of a step is that step (ours: the steps' own loads
/// in N are rounded by less).
#[test]
fn a_load_within_half_a_per_cent_of_a_step_is_that_step() {
    let method = built_in_method("fb_ep_oil").unwrap();
    let weld = method
        .quantities
        .iter()
        .find(|quantity| quantity.id == "weld")
        .unwrap();
    for (load, on_step) in [
        (198.99, false),
        (199.0, true),
        (200.0, true),
        (201.0, true),
        (201.01, false),
    ] {
        let reading = weld.read(&Written::Number(load)).unwrap();
        assert_eq!(!reading.off_ladder, on_step, "{load}");
        if on_step {
            assert_eq!(reading.value, Value::Between { lo: 160.0, hi: 200.0 }, "{load}");
        }
    }
}

/// ASTM D5182 inspects the gears first after stage 4.
#[test]
fn a_failure_at_or_before_the_first_inspected_stage_may_have_happened_at_any_stage_before() {
    let method = built_in_method("gear_A8").unwrap();
    let stage = method
        .quantities
        .iter()
        .find(|quantity| quantity.id == "fail_stage")
        .unwrap();
    let read = |stage_number: f64| stage.read(&Written::Number(stage_number)).unwrap().value;
    assert_eq!(read(3.0), Value::Below(3.0));
    assert_eq!(read(4.0), Value::Below(4.0));
    assert_eq!(read(5.0), Value::Between { lo: 4.0, hi: 5.0 });
}

/// A bench of which A was run once and the known good three times, without a known poor.
fn one_reference() -> TrialBuilder {
    trial_on(SLOW_ROLLERS, &["rolling wear"], &[])
        .good("GOOD")
        .candidate("A")
        .own_bench("bench", "rolling wear")
        .runs("GOOD", "bench/wear", &["0.40", "0.40", "0.40"])
}

/// The bench has R 0.2 mm, so that without a known poor position 0 lies at 0.4 + 2 x 0.2 mm.
#[test]
fn a_run_stopped_for_cause_with_one_reference_lies_beyond_two_reproducibilities_from_it() {
    let stopped = one_reference()
        .runs("A", "bench/wear", &["0.5"])
        .each_result(|result| {
            if result.blend.to_string() == "A" {
                result.purpose = Purpose::Stopped;
                result.value = Value::Stopped;
            }
        });
    let standing = standing(&stopped.build());
    let estimate = standing.tests[0]
        .estimates
        .iter()
        .find(|(blend, _)| blend.to_string() == "A");
    let (_, estimate) = estimate.unwrap();
    assert!((0.78..0.84).contains(&estimate.lo), "{estimate:?}");
    assert!(estimate.value > 0.8, "{estimate:?}");
}

/// One bench; A wears 0.05 mm less than B, and one of them was run once, the other twelve times.
fn narrowly(a: &[&str], b: &[&str]) -> TrialRecords {
    a_against_b(&["rolling wear"], &[])
        .wear_bench()
        .runs("A", "bench/wear", a)
        .runs("B", "bench/wear", b)
        .build()
}

#[test]
fn a_single_run_of_the_front_runner_is_moved_for_the_worse_and_one_of_its_rival_for_the_better() {
    let (a, b) = (["0.60"; 12], ["0.65"; 12]);
    let named = |records: &TrialRecords| match fires(records, CautionKind::SingleRun).finding {
        Finding::SingleRun { runs } => runs
            .iter()
            .map(|run| run.blend.to_string())
            .collect::<Vec<String>>(),
        other => panic!("{other:?}"),
    };
    assert_eq!(named(&narrowly(&a[..1], &b)), ["A"]);
    assert_eq!(named(&narrowly(&a, &b[..1])), ["B"]);
    is_silent(&narrowly(&a, &b), CautionKind::SingleRun);
}

/// Two runs of one blend lie too far apart beyond the range that equal runs exceed once in a hundred (ISO 5725-6, 5.2:
/// critical range), by the bench's r of 0.1 mm.
#[test]
fn two_runs_are_suspect_beyond_the_critical_range_at_one_per_cent() {
    let critical = 0.1 / DIFFERENCE_95 * critical_range(2, 0.01).unwrap();
    let apart = |by: f64| {
        let second = format!("{:.6}", 0.5 + by);
        one_reference_once()
            .runs("A", "bench/wear", &["0.5", &second])
            .build()
    };
    is_silent(&apart(critical - 1e-5), CautionKind::SuspectRun);
    assert_eq!(fired(&apart(critical + 1e-5), CautionKind::SuspectRun).len(), 1);
    assert!((critical - 0.1314).abs() < 1e-4, "{critical}");
}

/// The known good run once, so that A's runs are the only replicates.
fn one_reference_once() -> TrialBuilder {
    trial_on(SLOW_ROLLERS, &["rolling wear"], &[])
        .good("GOOD")
        .candidate("A")
        .own_bench("bench", "rolling wear")
        .runs("GOOD", "bench/wear", &["0.40"])
}

fn asked(records: &TrialRecords, weights: &[(&str, f64)]) -> Standing {
    let weights: BTreeMap<TestKey, f64> = weights
        .iter()
        .map(|(test, weight)| (key(test), *weight))
        .collect();
    let draws = 400;
    judge(
        records,
        &WhatIf {
            weights,
            draws,
            ..WhatIf::default()
        },
        &FitCache::default(),
    )
}

fn weight_of(standing: &Standing, test: &str) -> f64 {
    standing.test(&key(test)).unwrap().weight
}

#[test]
fn a_weight_set_by_hand_counts_up_to_one_vote() {
    let trial = a_against_b(&["adhesive wear"], &["scuffing", "seizure"])
        .a_wears_less()
        .weld_loads(&["200", "200"], &["160", "160"])
        .weigh("fb_ep_oil/lwi")
        .runs("GOOD", "fb_ep_oil/lwi", &["60", "60"])
        .runs("POOR", "fb_ep_oil/lwi", &["30", "30"])
        .runs("A", "fb_ep_oil/lwi", &["50", "50"])
        .runs("B", "fb_ep_oil/lwi", &["40", "40"])
        .build();
    for (by_hand, counts) in [(0.99, 0.99), (1.0, 1.0), (1.01, 1.0), (5.0, 1.0)] {
        let standing = asked(&trial, &[("bench/wear", by_hand)]);
        assert!(
            (weight_of(&standing, "bench/wear") - counts).abs() < 1e-12,
            "{by_hand}"
        );
    }
    for (by_hand, counts) in [(-0.01, 0.0), (0.0, 0.0), (0.01, 0.01)] {
        let standing = asked(&trial, &[("bench/wear", by_hand)]);
        assert_eq!(weight_of(&standing, "bench/wear"), counts, "{by_hand}");
    }
    for (each, counts) in [(0.49, 0.49), (0.5, 0.5), (0.51, 0.5), (1.0, 0.5)] {
        let standing = asked(&trial, &[("fb_ep_oil/weld", each), ("fb_ep_oil/lwi", each)]);
        for test in ["fb_ep_oil/weld", "fb_ep_oil/lwi"] {
            assert!(
                (weight_of(&standing, test) - counts).abs() < 1e-12,
                "{test} {each}"
            );
        }
    }
    // before its quantities share the one vote, a weight beyond it is a whole one
    for by_hand in [1.0, 1.01, 5.0] {
        let standing = asked(&trial, &[("fb_ep_oil/weld", by_hand), ("fb_ep_oil/lwi", 0.5)]);
        let weights = ["fb_ep_oil/weld", "fb_ep_oil/lwi"].map(|test| weight_of(&standing, test));
        assert!((weights[0] - 2.0 / 3.0).abs() < 1e-12, "{by_hand} {weights:?}");
        assert!((weights[1] - 1.0 / 3.0).abs() < 1e-12, "{by_hand} {weights:?}");
    }
}

/// Weights are drawn from a Beta distribution of mean m and concentration c, whose variance is m (1 - m) / (c + 1): with
/// tests that disagree, the score scatters the more the less the machine is known.
#[test]
fn the_less_a_machine_is_known_the_wider_are_the_scores() {
    let trial = a_against_b(&["rolling wear"], &["adhesive wear", "scuffing"])
        .a_wears_less()
        .other_bench(&["1.45", "1.47"], &["0.60", "0.62"]);
    let width = |confidence: Confidence| {
        let records = trial.clone().confidence(confidence).build();
        let standing = asked(&records, &[("bench/wear", 0.5), ("other/wear", 0.5)]);
        let a = standing
            .candidates
            .iter()
            .find(|one| one.blend.to_string() == "A")
            .unwrap();
        a.score_hi.unwrap() - a.score_lo.unwrap()
    };
    let widths = [Confidence::Low, Confidence::Medium, Confidence::High].map(width);
    assert!(
        widths[0] > 1.3 * widths[1] && widths[1] > 1.3 * widths[2],
        "{widths:?}"
    );
}

/// A steel line contact of moderate severity, everything known.
fn contact() -> ContactTerms {
    let point = |value: f64| Interval::new(value, value);
    ContactTerms {
        max_pressure_pa: point(1e9),
        mean_pressure_pa: point(0.8e9),
        sliding_m_s: point(0.1),
        entrainment_m_s: point(0.2),
        slide_roll: point(0.5),
        ellipticity: point(100.0),
        contact_temperature_c: point(100.0),
        bulk_temperature_c: point(80.0),
        film_ratio: point(1.0),
        materials: Some(Materials::HardSteelHardSteel),
        time_share: point(0.1),
        friction_power_w_m2: point(1e8),
        ..ContactTerms::default()
    }
}

fn beside(test: &ContactTerms, machine: &ContactTerms) -> Resemblance {
    compare(test, machine, Scores::OtherModes, &Scales::default())
}

fn similarity(found: &Resemblance, term: Term) -> Option<f64> {
    found
        .terms
        .iter()
        .find(|one| one.term == term)
        .unwrap()
        .similarity
}

#[test]
fn a_film_ratio_is_compared_up_to_3_5_gpa() {
    for (least, pressure, compared) in [
        (1e9, 3.5e9 - 1.0, true),
        (1e9, 3.5e9, true),
        (1e9, 3.5e9 + 1.0, false),
        (3.5e9 + 1.0, 3.5e9 + 1.0, false),
    ] {
        let test = ContactTerms {
            max_pressure_pa: Interval::new(least, pressure),
            ..contact()
        };
        let found = beside(&test, &contact());
        assert_eq!(
            similarity(&found, Term::FilmRatio).is_some(),
            compared,
            "{pressure}"
        );
    }
}

#[test]
fn sliding_below_a_millimetre_a_second_is_all_alike() {
    let slow = |speed: f64| ContactTerms {
        sliding_m_s: Interval::new(speed, speed),
        ..contact()
    };
    let of =
        |test: f64, machine: f64| similarity(&beside(&slow(test), &slow(machine)), Term::Sliding).unwrap();
    assert_eq!(of(0.0, 0.001), 1.0);
    assert_eq!(of(0.001, 0.000_1), 1.0);
    assert!(of(0.001_1, 0.000_1) < 1.0);
}

#[test]
fn rolling_below_a_millimetre_a_second_is_all_alike() {
    let slow = |speed: f64| ContactTerms {
        entrainment_m_s: Interval::new(speed, speed),
        ..contact()
    };
    let of = |test: f64, machine: f64| {
        similarity(&beside(&slow(test), &slow(machine)), Term::Entrainment).unwrap()
    };
    assert_eq!(of(0.0, 0.001), 1.0);
    assert_eq!(of(0.001, 0.000_1), 1.0);
    assert!(of(0.001_1, 0.000_1) < 1.0);
}

#[test]
fn films_below_0_3_are_boundary_all_the_same_and_above_4_full_all_the_same() {
    let film = |ratio: f64| ContactTerms {
        film_ratio: Interval::new(ratio, ratio),
        ..contact()
    };
    let of =
        |test: f64, machine: f64| similarity(&beside(&film(test), &film(machine)), Term::FilmRatio).unwrap();
    assert_eq!(of(0.01, 0.3), 1.0);
    assert_eq!(of(0.299, 0.01), 1.0);
    assert!(of(0.301, 0.01) < 1.0);
    assert_eq!(of(40.0, 4.0), 1.0);
    assert_eq!(of(4.01, 40.0), 1.0);
    assert!(of(3.99, 40.0) < 1.0);
}

#[test]
fn slide_roll_ratios_above_2_are_all_that_of_a_body_that_stands_still() {
    let with = |ratio: f64| ContactTerms {
        slide_roll: Interval::new(ratio, ratio),
        ..contact()
    };
    let of = |test: f64| beside(&with(test), &with(2.0));
    for (ratio, alike) in [(1.99, false), (2.0, true), (2.01, true), (500.0, true)] {
        let found = of(ratio);
        assert_eq!(similarity(&found, Term::SlideRoll) == Some(1.0), alike, "{ratio}");
        assert_eq!(found.beyond, [], "{ratio}");
    }
}

#[test]
fn motion_is_of_the_first_order_where_one_side_frets_and_the_film_always() {
    let moving = |motion: Motion| ContactTerms {
        motion: Some(motion),
        ..contact()
    };
    let decides = |test: Motion, machine: Motion| beside(&moving(test), &moving(machine)).decides_f();
    assert_eq!(decides(Motion::OneWay, Motion::Reversing), None);
    assert_eq!(decides(Motion::Fretting, Motion::Fretting), None);
    assert_eq!(decides(Motion::OneWay, Motion::Fretting), Some(Term::Motion));
    assert_eq!(decides(Motion::Fretting, Motion::Reversing), Some(Term::Motion));
    let thick = ContactTerms {
        film_ratio: Interval::new(4.0, 4.0),
        ..contact()
    };
    assert_eq!(beside(&thick, &contact()).decides_f(), Some(Term::FilmRatio));
}

#[test]
fn without_a_contact_temperature_bulk_temperatures_are_compared_and_for_seizure_nothing() {
    let by_bulk = ContactTerms {
        contact_temperature_c: None,
        bulk_temperature_c: Interval::new(140.0, 140.0),
        ..contact()
    };
    for (test, machine) in [(&by_bulk, &contact()), (&contact(), &by_bulk)] {
        let other = compare(test, machine, Scores::OtherModes, &Scales::default());
        assert!((similarity(&other, Term::ContactTemperature).unwrap() - 0.5).abs() < 1e-12);
        let seizure = compare(test, machine, Scores::Seizure, &Scales::default());
        let term = seizure
            .terms
            .iter()
            .find(|one| one.term == Term::ContactTemperature);
        let term = term.unwrap();
        assert_eq!((term.similarity, term.remark), (Some(0.5), Some(Remark::Unknown)));
    }
}

#[test]
fn an_unknown_term_counts_one_half_and_a_mismatch_never_less_than_0_002() {
    let unknown = ContactTerms {
        time_share: None,
        ..contact()
    };
    assert_eq!(
        similarity(&beside(&unknown, &contact()), Term::TimeInContact),
        Some(0.5)
    );
    // 2^-(x^2) = 0.02 at x = sqrt(log2 50) = 2.3757 halving distances, here of a factor of two in pressure
    let harder = |by: f64| {
        let pressure = 1e9 * 2f64.powf(by);
        let test = ContactTerms {
            max_pressure_pa: Interval::new(pressure, pressure),
            ..contact()
        };
        similarity(&beside(&test, &contact()), Term::Pressure).unwrap()
    };
    let near = |by: f64, similarity: f64| (harder(by) - similarity).abs() < 1e-4;
    assert!(harder(2.37) > 0.02 && near(2.3757, 0.02) && harder(2.38) < 0.02);
    // beyond, with the square of the distance, down to 0.002
    assert!(near(2.0 * 2.3757, 0.005));
    let last = 10f64.sqrt() * 2.3757;
    assert!(harder(0.99 * last) > 0.002 && near(last, 0.002));
    assert_eq!(harder(1.01 * last), 0.002);
}

#[test]
fn a_test_is_more_severe_in_kind_beyond_the_halving_distance_and_a_factor_of_ten_in_friction_power() {
    let test_with = |change: fn(&mut ContactTerms, f64), by: f64| {
        let mut test = contact();
        change(&mut test, by);
        beside(&test, &contact()).beyond
    };
    type Change = fn(&mut ContactTerms, f64);
    let cases: [(Beyond, Change, f64); 5] = [
        (
            Beyond::Pressure,
            |test, by| test.max_pressure_pa = Interval::new(1e9 * by, 1e9 * by),
            2.0,
        ),
        (
            Beyond::Sliding,
            |test, by| test.sliding_m_s = Interval::new(0.1 * by, 0.1 * by),
            5.0,
        ),
        (
            Beyond::SlideRoll,
            |test, by| test.slide_roll = Interval::new(0.5 + by, 0.5 + by),
            0.8,
        ),
        (
            Beyond::ContactTemperature,
            |test, by| test.contact_temperature_c = Interval::new(100.0 + by, 100.0 + by),
            60.0,
        ),
        (
            Beyond::FrictionPower,
            |test, by| test.friction_power_w_m2 = Interval::new(1e8 * by, 1e8 * by),
            10.0,
        ),
    ];
    for (respect, change, limit) in cases {
        assert_eq!(test_with(change, limit * 0.999), [], "{respect:?}");
        assert_eq!(test_with(change, limit * 1.001), [respect], "{respect:?}");
    }
}

#[test]
fn a_test_goes_beyond_the_machine_from_two_respects_in_which_it_is_more_severe() {
    let mut test = contact();
    assert!(!beside(&test, &contact()).is_beyond());
    test.max_pressure_pa = Interval::new(4e9, 4e9);
    assert!(!beside(&test, &contact()).is_beyond(), "pressure alone");
    test.sliding_m_s = Interval::new(1.0, 1.0);
    assert!(beside(&test, &contact()).is_beyond(), "pressure and sliding");
}
