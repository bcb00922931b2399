//! What makes the weight of a test besides its likeness: the family of its apparatus, and the machine's contact that every
//! threshold judges. All data is invented.

#![expect(
    clippy::unwrap_used,
    reason = "a trial that cannot be judged is a failed test"
)]

use crate::support::judged::{fires, is_silent, standing};
use crate::support::trials::a_against_b;
use crate::support::{FAST_MESH, SLOW_ROLLERS, TrialBuilder, contact, trial_on};
use likewear::facade::records::TestKey;
use likewear::facade::standing::{CautionKind, Standing, TestStanding};

fn test<'s>(standing: &'s Standing, key: &str) -> &'s TestStanding {
    standing.test(&TestKey::parse(key).unwrap()).unwrap()
}

/// Weight before grouping, of a machine with one contact.
fn raw(test: &TestStanding) -> f64 {
    test.resemblance.unwrap() * test.relevance.unwrap()
}

fn scars(trial: TrialBuilder, key: &str) -> TrialBuilder {
    trial
        .weigh(key)
        .runs("GOOD", key, &["0.40", "0.41"])
        .runs("POOR", key, &["0.90", "0.91"])
        .runs("A", key, &["0.45", "0.46"])
        .runs("B", key, &["0.70", "0.71"])
}

fn on_fast_mesh() -> TrialBuilder {
    let references = trial_on(FAST_MESH, &["adhesive wear"], &[]);
    let references = references.good("GOOD").poor("POOR");
    references.candidate("A").candidate("B")
}

#[test]
fn two_conditions_of_one_apparatus_weigh_a_ninth_more_than_the_heavier_and_count_as_little_more_than_one() {
    let keys = ["fb_wear_oil_A/scar", "fb_wear_oil_B/scar"];
    let both = standing(&keys.into_iter().fold(on_fast_mesh(), scars).build());
    let weights = keys.map(|key| test(&both, key).weight);
    let raws = keys.map(|key| raw(test(&both, key)));
    let heaviest = raws[0].max(raws[1]);
    let together = heaviest * 2.0 / 1.8;
    assert!(together < raws[0] + raws[1]);
    let sum: f64 = weights.iter().sum();
    assert!((sum - together).abs() < 1e-9, "{weights:?} {raws:?}");
    assert!((weights[0] / weights[1] - raws[0] / raws[1]).abs() < 1e-9);
    let squares = weights[0].powi(2) + weights[1].powi(2) + 1.6 * weights[0] * weights[1];
    let effective = both.effective_tests.unwrap();
    assert!((effective - sum * sum / squares).abs() < 1e-9, "{effective}");
    for key in keys {
        let alone = standing(&scars(on_fast_mesh(), key).build());
        let one = test(&alone, key);
        assert!((one.weight - raw(one)).abs() < 1e-9, "{key}");
    }
}

#[test]
fn methods_of_two_apparatus_keep_their_weights() {
    let keys = ["fb_wear_oil_B/scar", "lo_oil_wear/scar"];
    let both = standing(&keys.into_iter().fold(on_fast_mesh(), scars).build());
    for key in keys {
        let one = test(&both, key);
        assert!((one.weight - raw(one)).abs() < 1e-9, "{key}");
    }
}

#[test]
fn a_test_on_components_goes_beyond_the_machine_without_being_a_screen() {
    let gears = a_against_b(&["scuffing"], &[])
        .weigh("gear_A8/fail_stage")
        .runs("GOOD", "gear_A8/fail_stage", &["12", "12"])
        .runs("POOR", "gear_A8/fail_stage", &["6", "6"])
        .runs("A", "gear_A8/fail_stage", &["11", "11"])
        .runs("B", "gear_A8/fail_stage", &["7", "7"]);
    let records = gears.clone().build();
    let judged = standing(&records);
    let gear = test(&judged, "gear_A8/fail_stage");
    assert!(gear.beyond_machine && !gear.extreme, "{:?}", gear.contacts);
    assert_eq!(judged.front_runner.as_ref().unwrap().to_string(), "A");
    is_silent(&records, CautionKind::RestsOnOneExtremeScreen);
    let balls = a_against_b(&["scuffing"], &[])
        .weld_loads(&["200", "200"], &["160", "160"])
        .build();
    let judged = standing(&balls);
    let weld = test(&judged, "fb_ep_oil/weld");
    assert!(weld.extreme && !weld.beyond_machine);
    fires(&balls, CautionKind::RestsOnOneExtremeScreen);
}

#[test]
fn thresholds_judge_the_contact_that_a_test_resembles_most_among_those_for_which_it_has_relevance() {
    let wear = |rollers: &[&str], mesh: &[&str]| {
        let mut records = a_against_b(rollers, &[])
            .weigh("rb_oil/roller_wear")
            .runs("GOOD", "rb_oil/roller_wear", &["5", "6", "5"])
            .runs("POOR", "rb_oil/roller_wear", &["50", "60", "50"])
            .runs("A", "rb_oil/roller_wear", &["9", "10", "9"])
            .runs("B", "rb_oil/roller_wear", &["30", "31", "30"])
            .build();
        records.machine.contacts[0].share = 0.5;
        let second = contact("mesh", FAST_MESH, 0.5, mesh, &[]);
        records.machine.contacts.push(second);
        let judged = standing(&records);
        test(&judged, "rb_oil/roller_wear").clone()
    };
    let value = |test: &TestStanding, place: usize| test.contacts[place].resemblance.value.unwrap();
    let speaks = wear(&["rolling wear"], &["scuffing"]);
    assert!(value(&speaks, 0) > 0.9 && value(&speaks, 1) < 0.3);
    assert_eq!(speaks.resemblance_best, Some(value(&speaks, 0)));
    let sum = 0.5 * (value(&speaks, 0) + value(&speaks, 1));
    assert!((speaks.resemblance.unwrap() - sum).abs() < 1e-12);
    let elsewhere = wear(&["scuffing"], &["rolling wear"]);
    assert_eq!(elsewhere.resemblance_best, Some(value(&elsewhere, 1)));
    assert_eq!(
        elsewhere.decides_f(),
        elsewhere.contacts[1].resemblance.decides_f()
    );
    let nowhere = wear(&["scuffing"], &["scuffing"]);
    assert_eq!(nowhere.resemblance_best, None);
    let nearest = nowhere.contacts[0].resemblance.decides_f();
    assert_eq!(nowhere.decides_f(), nearest);
}

#[test]
fn a_quantity_whose_contact_has_no_pressure_resembles_nothing_beside_one_of_the_same_run_that_does() {
    let records = trial_on(SLOW_ROLLERS, &["rolling wear"], &["cage wear"])
        .good("GOOD")
        .poor("POOR")
        .candidate("A")
        .candidate("B");
    let records = ["rb_oil/roller_wear", "rb_oil/cage_wear"]
        .into_iter()
        .fold(records, |trial, key| {
            trial
                .weigh(key)
                .runs("GOOD", key, &["5", "6", "5"])
                .runs("POOR", key, &["50", "60", "50"])
                .runs("A", key, &["9", "10", "9"])
                .runs("B", key, &["30", "31", "30"])
        });
    let judged = standing(&records.build());
    let rollers = test(&judged, "rb_oil/roller_wear");
    assert!(rollers.resemblance > Some(0.9), "{:?}", rollers.resemblance);
    let cage = test(&judged, "rb_oil/cage_wear");
    assert_eq!(
        (cage.weight, cage.resemblance, cage.resemblance_best),
        (0.0, None, None)
    );
}

#[test]
fn a_test_like_a_contact_whose_failure_modes_it_does_not_score_leaves_it_without_one_that_resembles_it() {
    let worn = |modes: &[&str]| {
        a_against_b(modes, &[])
            .weld_loads(&["200", "200"], &["160", "160"])
            .own_bench("bench", "rolling wear")
            .runs("GOOD", "bench/wear", &["0.40", "0.42"])
            .runs("POOR", "bench/wear", &["1.00", "1.02"])
            .runs("A", "bench/wear", &["0.50"])
            .runs("B", "bench/wear", &["0.80"])
            .build()
    };
    fires(&worn(&["scuffing"]), CautionKind::NothingResembles);
    is_silent(
        &worn(&["scuffing", "rolling wear"]),
        CautionKind::NothingResembles,
    );
}
