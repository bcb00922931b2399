//! What to run next: which test is advised, which is not, and what it would be worth. All data is invented.

#![expect(clippy::unwrap_used, reason = "what is not advised is a failed test")]

use crate::support::trials::a_against_b;
use crate::support::{FAST_MESH, SLOW_ROLLERS, TrialBuilder, code, trial_on};
use likewear::facade::records::{TestKey, TrialRecords};
use likewear::facade::standing::{
    Basis, FitCache, NextFinding, NextRun, Planned, RunNext, Standing, WhatIf, judge,
};

fn trial() -> TrialBuilder {
    a_against_b(&["rolling wear"], &["adhesive wear", "scuffing"]).wear_bench()
}

fn level() -> TrialBuilder {
    trial()
        .runs("A", "bench/wear", &["0.90"])
        .runs("B", "bench/wear", &["0.92"])
}

fn clear() -> TrialBuilder {
    trial().runs("A", "bench/wear", &["0.42", "0.44", "0.40"]).runs(
        "B",
        "bench/wear",
        &["1.30", "1.32", "1.28"],
    )
}

/// Every test of the trial costs the same and takes two days.
fn judged(records: &TrialRecords) -> Standing {
    let mut costed = records.clone();
    for test in &mut costed.trial.tests {
        (test.cost, test.days) = (Some(100.0), Some(2.0));
    }
    judge(&costed, &WhatIf::default(), &FitCache::default())
}

fn next(records: &TrialRecords) -> RunNext {
    judged(records).run_next
}

fn of_method<'a>(next: &'a RunNext, method: &str) -> Option<&'a NextRun> {
    let only =
        |run: &&NextRun| run.methods.len() == 1 && run.tests.iter().all(|key| key.method.as_str() == method);
    next.runs.iter().find(only)
}

#[test]
fn another_run_is_worth_more_between_level_candidates_than_behind_a_clear_lead() {
    let (level, clear) = (next(&level().build()), next(&clear().build()));
    let open = of_method(&level, "bench").unwrap();
    assert!(open.value > 0.005, "{open:?}");
    assert!(
        open.leader_changes > 0.15 && open.leader_changes < 0.75,
        "{open:?}"
    );
    let settled = of_method(&clear, "bench").map_or(0.0, |run| run.value);
    assert!(settled < 1e-6, "{settled}");
}

#[test]
fn none_is_worth_its_cost_behind_a_clear_lead_or_at_a_small_stake() {
    let standing = judged(&clear().build());
    let finding = |stake: f64| standing.run_next.finding(stake, &standing.no_leader_because);
    assert_eq!(finding(1.0), NextFinding::NoneIsWorthIt);
    let open = judged(&level().build());
    let finding = |stake: f64| open.run_next.finding(stake, &open.no_leader_because);
    assert_eq!(finding(1e-3), NextFinding::NoneIsWorthIt);
    assert_eq!(finding(1e9), NextFinding::SomeAreWorthIt);
}

#[test]
fn nothing_is_proposed_where_there_is_nobody_to_choose_from() {
    let alone = trial_on(SLOW_ROLLERS, &["rolling wear"], &[])
        .good("GOOD")
        .poor("POOR")
        .candidate("A")
        .own_bench("bench", "rolling wear")
        .runs("GOOD", "bench/wear", &["0.4"])
        .runs("POOR", "bench/wear", &["1.4"])
        .runs("A", "bench/wear", &["0.9"])
        .build();
    let standing = judged(&alone);
    assert!(standing.run_next.runs.is_empty());
    let finding = standing.run_next.finding(1e9, &standing.no_leader_because);
    assert_eq!(finding, NextFinding::NothingToChoose);
}

#[test]
fn a_test_that_does_not_sort_is_not_advised() {
    let with_second = |poor: &str| {
        level()
            .own_bench("second", "rolling wear")
            .runs("GOOD", "second/wear", &["0.5", "0.5"])
            .runs("POOR", "second/wear", &[poor, poor])
            .runs("A", "second/wear", &["0.6"])
            .runs("B", "second/wear", &["0.6"])
            .build()
    };
    let sorting = next(&with_second("1.4"));
    assert!(of_method(&sorting, "second").is_some() && sorting.not_advised.is_empty());
    let blind = next(&with_second("0.5"));
    assert!(of_method(&blind, "second").is_none());
    let named: Vec<String> = blind.not_advised.iter().map(ToString::to_string).collect();
    assert_eq!(named, ["second/wear"]);
}

#[test]
fn a_planned_test_that_was_never_run_is_marked_and_its_scale_is_assumed() {
    let planned = next(&level().own_bench("second", "rolling wear").build());
    let second = of_method(&planned, "second").unwrap();
    assert_eq!((second.planned, second.basis), (Planned::InTrial, Basis::Assumed));
    let first = of_method(&planned, "bench").unwrap();
    assert_eq!((first.planned, first.basis), (Planned::InTrial, Basis::Measured));
    let others = planned
        .runs
        .iter()
        .filter(|run| run.planned == Planned::NotInTrial);
    assert!(others.clone().count() > 0 && others.clone().all(|run| run.basis == Basis::Assumed));
}

#[test]
fn a_blend_that_was_not_run_is_the_one_to_run() {
    let gap = trial().runs("A", "bench/wear", &["0.80", "0.82", "0.81"]).build();
    let next = next(&gap);
    let best = of_method(&next, "bench").unwrap();
    let blends: Vec<String> = best.blends.iter().map(ToString::to_string).collect();
    assert_eq!(blends, ["B"]);
    assert!(best.leader_changes > 0.1, "{best:?}");
}

#[test]
fn a_pair_of_methods_is_worth_no_less_than_either_and_costs_both() {
    let two = level()
        .own_bench("second", "rolling wear")
        .runs("GOOD", "second/wear", &["0.4", "0.4"])
        .runs("POOR", "second/wear", &["1.4", "1.4"])
        .runs("A", "second/wear", &["0.9"])
        .runs("B", "second/wear", &["0.9"])
        .build();
    let next = next(&two);
    let pair = next.runs.iter().find(|run| run.methods.len() == 2);
    let single = of_method(&next, "bench").unwrap();
    assert!(pair.is_some());
    assert!(next.runs.iter().all(|run| run.closes.is_none()));
    for run in next.runs.iter().filter(|run| run.planned == Planned::InTrial) {
        let runs = (run.methods.len() * run.blends.len()) as f64;
        assert_eq!(run.cost, Some(100.0 * runs), "{run:?}");
    }
    let best_pair = next
        .runs
        .iter()
        .filter(|run| run.methods.len() == 2)
        .map(|run| run.value);
    assert!(best_pair.fold(0.0, f64::max) > single.value);
}

/// What closes a gap: mode, method, reference runs.
fn gaps(records: &TrialRecords) -> Vec<(&'static str, String, usize)> {
    let next = next(records);
    let closing = next.runs.iter().take_while(|run| run.closes.is_some());
    let closing: Vec<_> = closing
        .map(|run| {
            let method = run.tests[0].method.to_string();
            assert_eq!(run.blends.len(), 2, "on both");
            (run.closes.unwrap().word(), method, run.reference_runs)
        })
        .collect();
    let all = next.runs.iter().filter(|run| run.closes.is_some()).count();
    assert_eq!(all, closing.len(), "gaps stand first");
    closing
}

#[test]
fn first_comes_what_nobody_tests_with_the_method_that_closes_it_best() {
    let open = |main: &[&str]| {
        a_against_b(main, &["adhesive wear"])
            .own_bench("bench", "adhesive wear")
            .runs("GOOD", "bench/wear", &["0.40", "0.42"])
            .runs("POOR", "bench/wear", &["1.40", "1.42"])
            .runs("A", "bench/wear", &["0.90"])
            .runs("B", "bench/wear", &["0.92"])
    };
    let rolling = ("rolling wear", "rb_oil".to_string(), 2);
    assert_eq!(
        gaps(&open(&["rolling wear"]).build()),
        std::slice::from_ref(&rolling)
    );
    // what the oil does by itself needs no reference oil
    let with_corrosion = gaps(&open(&["rolling wear", "copper corrosion"]).build());
    assert_eq!(with_corrosion[0], rolling);
    assert_eq!(
        (with_corrosion[1].0, with_corrosion[1].2),
        ("copper corrosion", 0)
    );
    // a test that stands in the trial, and nobody has run, may be the one that closes it best
    let planned = open(&["rolling wear"]).own_bench("later", "rolling wear").build();
    assert_eq!(gaps(&planned), [("rolling wear", "later".to_string(), 2)]);
    // once somebody has run it, there is no gap
    let run = open(&["rolling wear"])
        .own_bench("later", "rolling wear")
        .runs("A", "later/wear", &["0.8"]);
    assert_eq!(gaps(&run.build()), []);
    assert_eq!(gaps(&level().build()), []);
    // what scores the mode and resembles nothing of the machine closes nothing
    let unlike = open(&["rolling wear"]).own_bench_with("fast", "rolling wear", FAST_MESH, "wear");
    assert_eq!(gaps(&unlike.runs("A", "fast/wear", &["0.8"]).build()), [rolling]);
}

#[test]
fn a_gap_is_closed_first_by_a_method_whose_scatter_is_known() {
    let chosen = |without_precision: &[&str]| {
        let open = a_against_b(&["rolling wear"], &["adhesive wear"])
            .own_bench("bench", "adhesive wear")
            .runs("GOOD", "bench/wear", &["0.40", "0.42"])
            .runs("POOR", "bench/wear", &["1.40", "1.42"])
            .runs("A", "bench/wear", &["0.90"])
            .runs("B", "bench/wear", &["0.92"]);
        let offered = open
            .own_bench("another", "rolling wear")
            .own_bench("later", "rolling wear");
        let mut records = offered.build();
        for method in &mut records.methods {
            if without_precision.contains(&method.id.as_str()) {
                method.quantities[0].precision = None;
            }
        }
        gaps(&records)[0].1.clone()
    };
    assert_eq!(chosen(&[]), "another");
    assert_eq!(chosen(&["another"]), "later");
    assert_eq!(chosen(&["another", "later"]), "another");
}

#[test]
fn a_gap_that_no_method_of_the_catalogue_closes_is_told_as_such() {
    let of = |main: &[&str]| {
        let level = a_against_b(main, &[]).wear_bench();
        let level = level
            .runs("A", "bench/wear", &["0.90"])
            .runs("B", "bench/wear", &["0.92"]);
        let next = next(&level.build());
        let open: Vec<&str> = next.stay_open.iter().map(|mode| mode.word()).collect();
        (open, next.runs.iter().filter(|run| run.closes.is_some()).count())
    };
    assert_eq!(of(&["rolling wear"]), (vec![], 0));
    assert_eq!(of(&["rolling wear", "bronze wear"]), (vec!["bronze wear"], 0));
    assert_eq!(of(&["rolling wear", "copper corrosion"]), (vec![], 1));
}

#[test]
fn json_says_what_closes_a_gap_and_how_many_reference_runs_come_with_it() {
    let standing = judged(
        &a_against_b(&["rolling wear"], &["adhesive wear"])
            .own_bench("bench", "adhesive wear")
            .runs("GOOD", "bench/wear", &["0.40", "0.42"])
            .runs("POOR", "bench/wear", &["1.40", "1.42"])
            .runs("A", "bench/wear", &["0.90"])
            .runs("B", "bench/wear", &["0.92"])
            .build(),
    );
    let runs: Vec<serde_json::Value> = standing
        .run_next
        .runs
        .iter()
        .map(|run| serde_json::to_value(run).unwrap())
        .collect();
    assert_eq!(runs[0]["closes"], "rolling wear");
    assert_eq!(runs[0]["reference_runs"], 2);
    let bench = runs.iter().find(|run| run["tests"][0] == "bench/wear").unwrap();
    assert!(bench["closes"].is_null());
    assert_eq!(bench["reference_runs"], 0);
}

#[test]
fn a_method_that_is_new_costs_its_reference_runs_too() {
    let planned = next(&level().own_bench("second", "rolling wear").build());
    let new = of_method(&planned, "second").unwrap();
    assert_eq!(new.reference_runs, 2);
    let runs = (new.blends.len() + 2) as f64;
    assert_eq!((new.cost, new.days), (Some(100.0 * runs), Some(2.0 * runs)));
    let known = of_method(&planned, "bench").unwrap();
    assert_eq!(known.reference_runs, 0);
    assert_eq!(known.cost, Some(100.0 * known.blends.len() as f64));
    // of a trial with one reference oil there is one run
    let one = trial_on(SLOW_ROLLERS, &["rolling wear"], &[])
        .good("GOOD")
        .candidate("A")
        .candidate("B")
        .own_bench("bench", "rolling wear")
        .runs("GOOD", "bench/wear", &["0.4"])
        .runs("A", "bench/wear", &["0.90"])
        .runs("B", "bench/wear", &["0.92"])
        .own_bench("second", "rolling wear");
    assert_eq!(
        of_method(&next(&one.build()), "second").unwrap().reference_runs,
        1
    );
}

#[test]
fn another_method_on_the_same_apparatus_is_worth_less_than_one_of_its_own() {
    let value = |apparatus: &str| {
        let third = level().other_bench(&["0.9"], &["0.9"]);
        let mut records = third.own_bench("second", "rolling wear").build();
        for method in &mut records.methods {
            match method.id.as_str() {
                "bench" => method.apparatus = "wear bench".into(),
                "second" => method.apparatus = apparatus.into(),
                _ => {}
            }
        }
        of_method(&next(&records), "second").unwrap().value
    };
    let (same, other) = (value("wear bench"), value("another"));
    assert!(same < 0.9 * other, "{same} {other}");
    assert!(same > 0.0);
}

/// A bench of real components on which A is a little better, and a weld load set to weigh much.
fn with_weld(a: &str, b: &str) -> Standing {
    let records = trial()
        .runs("A", "bench/wear", &["0.80", "0.82"])
        .runs("B", "bench/wear", &["0.95", "0.97"])
        .weld_loads(&[a], &[b])
        .build();
    let weld = TestKey::parse("fb_ep_oil/weld").unwrap();
    let mut what_if = WhatIf::default();
    what_if.weights.insert(weld, 0.9);
    judge(&records, &what_if, &FitCache::default())
}

#[test]
fn no_extreme_screen_is_advised_while_the_standing_rests_on_screens() {
    let advised = |standing: &Standing| {
        let mut runs = standing.run_next.runs.iter().flat_map(|run| &run.tests);
        runs.any(|key| key.method.as_str() == "fb_ep_oil")
    };
    let not_advised = |standing: &Standing| standing.run_next.screens_not_advised.len();
    let rests = with_weld("160", "200");
    assert_eq!(rests.front_runner, Some(code("B")));
    assert!(
        rests
            .test(&TestKey::parse("fb_ep_oil/weld").unwrap())
            .unwrap()
            .extreme
    );
    assert!(!advised(&rests), "{:?}", rests.run_next.runs);
    assert_eq!(not_advised(&rests), 1);
    // where the bench alone says the same, more weld loads may be run
    let agrees = with_weld("160", "160");
    assert_eq!(agrees.front_runner, Some(code("A")));
    assert!(advised(&agrees), "{:?}", agrees.cautions);
    assert_eq!(not_advised(&agrees), 0);
}

#[test]
fn the_order_of_rows_changes_no_proposal() {
    let records = level().own_bench("second", "rolling wear").build();
    let mut turned = records.clone();
    turned.results.reverse();
    turned.trial.tests.reverse();
    assert_eq!(next(&records), next(&turned));
}

#[test]
fn weights_that_cannot_matter_leave_all_the_doubt_to_the_results() {
    // One test only: its weight falls out of the score.
    let standing = judged(&level().build());
    let doubt = standing.run_next.doubt.unwrap();
    assert_eq!(doubt.results_known, 1.0);
    assert_eq!(doubt.as_it_is, doubt.weights_known);
    let front = standing
        .candidate(standing.front_runner.as_ref().unwrap())
        .unwrap();
    assert_eq!(Some(doubt.as_it_is), front.p_best);
}
