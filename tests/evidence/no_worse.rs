//! Trials that ask whether candidates are no worse than one blend: what may be said, and what never is. All data invented.

use crate::support::judged::standing;
use crate::support::trials::a_against_b;
use crate::support::{TrialBuilder, code};
use likewear::facade::catalogue::Value;
use likewear::facade::prose::standing::sentence;
use likewear::facade::records::{Purpose, TrialRecords};
use likewear::facade::standing::{
    Answer, CautionKind, Comparison, FitCache, NoWorse, NotTold, Severity, Told, WhatIf, Within, judge,
};
use likewear::facade::stats::draws::Stream;
use likewear::facade::wire::standing_json;
use serde_json::Value as Json;
use std::sync::Arc;

const BENCH: &str = "bench/wear";

/// B against A on a bench with r 0.1 mm and R 0.2 mm beside its reference oils, lower is better.
fn bench(main: &[&str], a: &[f64], b: &[f64], margin: Option<f64>) -> TrialRecords {
    let trial = a_against_b(main, &[]).wear_bench().no_worse_than("A", margin);
    with_readings(trial, a, b).build()
}

fn with_readings(trial: TrialBuilder, a: &[f64], b: &[f64]) -> TrialBuilder {
    let words = |readings: &[f64]| -> Vec<String> { readings.iter().map(ToString::to_string).collect() };
    let (a, b) = (words(a), words(b));
    trial.runs("A", BENCH, &texts(&a)).runs("B", BENCH, &texts(&b))
}

fn texts(words: &[String]) -> Vec<&str> {
    words.iter().map(String::as_str).collect()
}

fn of_b(records: &TrialRecords) -> NoWorse {
    let equivalence = standing(records).equivalence.unwrap();
    assert_eq!(equivalence.against, code("A"));
    let [one] = equivalence.candidates.as_slice() else {
        panic!("A is held against itself")
    };
    assert_eq!(one.blend, code("B"));
    one.clone()
}

fn told(records: &TrialRecords) -> Told {
    of_b(records).tests[0].told.clone().unwrap()
}

fn said(records: &TrialRecords) -> String {
    sentence(records, &standing(records), Default::default())
}

#[test]
fn identical_runs_differ_by_nothing_and_lie_inside_a_margin_only_with_enough_of_them() {
    for (runs, margin, within) in [
        (1, 0.5, Within::Open),
        (2, 0.5, Within::Open),
        (4, 0.5, Within::Inside),
        (1, 0.8, Within::Open),
        (1, 1.0, Within::Inside),
    ] {
        let records = bench(
            &["rolling wear"],
            &vec![0.5; runs],
            &vec![0.5; runs],
            Some(margin),
        );
        let told = told(&records);
        assert_eq!(told.difference, 0.0);
        assert!((told.lo + told.hi).abs() < 1e-9 && told.lo < 0.0, "{told:?}");
        assert_eq!(told.within, within, "{runs} runs, margin {margin}: {told:?}");
    }
    let one = told(&bench(&["rolling wear"], &[0.5], &[0.5], None));
    let four = told(&bench(&["rolling wear"], &[0.5; 4], &[0.5; 4], None));
    assert!(four.worst() < 0.55 * one.worst() && four.worst() > 0.0);
    assert!(one.worst() > 0.8, "one run on each leaves much open");
}

#[test]
fn a_far_worse_blend_is_outside_and_a_far_better_one_is_no_worse() {
    let worse = bench(&["rolling wear"], &[0.5, 0.52], &[1.2, 1.22], None);
    assert_eq!(told(&worse).within, Within::Worse);
    assert_eq!(of_b(&worse).answer, Answer::No);
    assert!(
        said(&worse).starts_with("No: B is worse than A by at least"),
        "{}",
        said(&worse)
    );
    let better = bench(&["rolling wear"], &[1.2, 1.22], &[0.5, 0.52], None);
    assert_eq!(told(&better).within, Within::Inside);
    assert_eq!((told(&better).worst(), of_b(&better).answer), (0.0, Answer::Yes));
}

#[test]
fn a_blend_worse_by_half_the_margin_is_inside_with_many_runs_and_open_with_one() {
    // half of the critical difference of one run each, about 0.048 mm
    let critical = told(&bench(&["rolling wear"], &[0.5], &[0.5], None)).critical;
    let of = |runs: usize| {
        let half = 0.5 + 0.5 * critical;
        told(&bench(
            &["rolling wear"],
            &vec![0.5; runs],
            &vec![half; runs],
            None,
        ))
    };
    assert_eq!(of(1).within, Within::Open);
    let many = of(8);
    assert_eq!(many.within, Within::Inside);
    // readings that are all alike narrow the critical difference a little
    assert!(
        (-0.65..-0.45).contains(&(many.difference / many.critical)),
        "{many:?}"
    );
}

#[test]
fn the_yardstick_is_r_within_one_campaign_and_capital_r_between_two() {
    let trial = || {
        a_against_b(&["rolling wear"], &[])
            .wear_bench()
            .no_worse_than("A", None)
    };
    let same = trial()
        .runs("A", BENCH, &["0.5"])
        .runs("B", BENCH, &["0.5"])
        .build();
    let apart = trial()
        .runs("A", BENCH, &["0.5"])
        .runs_on("B", BENCH, &["0.5"], "rig-other", "second")
        .build();
    let (same, apart) = (told(&same), told(&apart));
    assert!((apart.critical / same.critical - 2.0).abs() < 1e-9);
    assert!(
        apart.hi - apart.lo > 1.5 * (same.hi - same.lo),
        "what blocks differ by is open too"
    );
}

#[test]
fn yes_is_not_said_where_a_main_mode_is_untested_or_a_requirement_not_met() {
    let alike = |gate: Option<&[&str]>| {
        let trial = a_against_b(&["rolling wear", "copper corrosion"], &[])
            .wear_bench()
            .no_worse_than("A", None);
        let trial = with_readings(trial, &[0.5; 6], &[0.5; 6]);
        match gate {
            None => trial.build(),
            Some(runs) => trial
                .gate("cu_d130/class", "<= 1b")
                .runs("B", "cu_d130/class", runs)
                .build(),
        }
    };
    let untested = alike(None);
    assert_eq!(of_b(&untested).answer, Answer::Open);
    assert!(
        said(&untested).contains("No test covers copper corrosion"),
        "{}",
        said(&untested)
    );
    assert!(!said(&untested).contains("Yes"));
    let met = alike(Some(&["1a", "1b"]));
    assert_eq!(
        (of_b(&met).answer, of_b(&met).untested),
        (Answer::Yes, Vec::new())
    );
    assert!(
        said(&met).starts_with("Yes: B is no worse than A within the margin of 1; the runs leave at most 0."),
        "{}",
        said(&met)
    );
    assert!(said(&met).contains("critical differences to the worse open, in wear"));
    for (runs, answer) in [
        (&["3b"][..], Answer::No),
        (&["1b", "1b", "3b"], Answer::Open),
        (&[], Answer::Open),
    ] {
        assert_eq!(of_b(&alike(Some(runs))).answer, answer, "{runs:?}");
    }
    let caution = standing(&alike(Some(&[]))).cautions;
    let not_run = caution
        .iter()
        .find(|one| one.kind() == CautionKind::GateNotRun)
        .unwrap();
    assert_eq!(not_run.severity, Severity::High, "each candidate is asked about");
}

#[test]
fn nothing_is_said_by_a_test_that_was_not_run_on_both_was_stopped_does_not_sort_or_has_no_precision() {
    let why = |records: &TrialRecords| of_b(records).tests[0].told.clone().unwrap_err();
    let only_a = bench(&["rolling wear"], &[0.5], &[], None);
    assert_eq!(why(&only_a), NotTold::NotRun(vec![code("B")]));
    assert_eq!(of_b(&only_a).answer, Answer::Open);
    assert!(said(&only_a).contains("not run on B"), "{}", said(&only_a));
    let mut stopped = bench(&["rolling wear"], &[0.5], &[0.5, 0.5], None);
    let last = stopped.results.last_mut().unwrap();
    (last.purpose, last.value) = (Purpose::Stopped, Value::Stopped);
    assert_eq!(why(&stopped), NotTold::Stopped(code("B")));
    let alike = a_against_b(&["rolling wear"], &[])
        .own_bench("bench", "rolling wear")
        .no_worse_than("A", None);
    let alike = alike
        .runs("GOOD", BENCH, &["0.5", "0.52"])
        .runs("POOR", BENCH, &["0.5", "0.51"]);
    let idle = with_readings(alike, &[0.5; 6], &[0.5; 6]).build();
    assert!(matches!(why(&idle), NotTold::DoesNotSort(_)));
    assert_eq!(of_b(&idle).answer, Answer::Open, "a blind test shows nothing");
    let mut bare = bench(&["rolling wear"], &[0.5], &[0.5], None);
    let method = bare
        .methods
        .iter_mut()
        .find(|method| method.id.as_str() == "bench")
        .unwrap();
    method.quantities[0].precision = None;
    let few = |result: &likewear::facade::records::RunResult| {
        result.blend == code("A")
            || result.blend == code("B")
            || result.replicate == 1
            || result.replicate == 4
    };
    bare.results.retain(few);
    assert_eq!(why(&bare), NotTold::NoPrecision);
}

#[test]
fn two_blends_beyond_the_end_of_a_scale_are_told_as_such() {
    let gears = |b: &[&str]| {
        let trial = a_against_b(&["scuffing"], &[])
            .weigh("gear_A8/fail_stage")
            .no_worse_than("A", None);
        let trial = trial.runs("GOOD", "gear_A8/fail_stage", &[">12", ">12"]).runs(
            "POOR",
            "gear_A8/fail_stage",
            &["5", "6"],
        );
        trial
            .runs("A", "gear_A8/fail_stage", &[">12", ">12"])
            .runs("B", "gear_A8/fail_stage", b)
            .build()
    };
    let both = told(&gears(&[">12", ">12"]));
    assert!(both.both_capped && both.difference.abs() < 0.1, "{both:?}");
    assert_eq!(both.within, Within::Inside);
    assert!(said(&gears(&[">12", ">12"])).contains("both ended beyond its scale"));
    let early = told(&gears(&["7", "7"]));
    assert!(!early.both_capped && early.within == Within::Worse, "{early:?}");
}

#[test]
fn nobody_leads_and_nobody_is_in_front_where_no_choice_is_asked() {
    let records = Arc::new(bench(&["rolling wear"], &[0.5, 0.52], &[0.9, 0.92], None));
    let judged = standing(&records);
    assert_eq!(
        (
            judged.leader.clone(),
            judged.front_runner.clone(),
            judged.runner_up.clone()
        ),
        (None, None, None)
    );
    assert!(
        judged
            .candidates
            .iter()
            .all(|one| one.p_best.is_none() && one.ranks.is_empty())
    );
    assert!(
        judged.leave_outs.is_empty() && judged.alternatives.is_empty() && judged.run_next.runs.is_empty()
    );
    for word in ["leader", "in front", "favoured", "ranks first"] {
        assert!(!said(&records).contains(word), "{}", said(&records));
    }
    let json = |records: &Arc<TrialRecords>| {
        standing_json(&Comparison {
            standing: standing(records),
            records: records.clone(),
            what_if: WhatIf::default(),
            duty: Vec::new(),
            as_it_is: None,
        })
    };
    let told = json(&records);
    let one = &told["equivalence"][0];
    assert_eq!(
        (&one["key"], &one["blend"], &one["against"]),
        (&BENCH.into(), &"B".into(), &"A".into())
    );
    assert_eq!(one["inside_margin"], false);
    for number in ["difference", "lo", "hi", "critical_difference"] {
        assert!(one[number].is_f64(), "{number}");
    }
    assert_eq!(told["no_worse"][0]["answer"], "no");
    assert_eq!(told["leader"], Json::Null);
    let mut choose = (*records).clone();
    choose.trial.asks = None;
    let chosen = json(&Arc::new(choose));
    assert_eq!(chosen["front_runner"], "A");
    assert!(chosen.get("equivalence").is_none() && chosen.get("no_worse").is_none());
}

#[test]
fn turning_the_question_round_turns_the_difference_round() {
    let there = told(&bench(&["rolling wear"], &[0.5, 0.55], &[0.6, 0.58, 0.61], None));
    let mut records = bench(&["rolling wear"], &[0.5, 0.55], &[0.6, 0.58, 0.61], None);
    records.trial.against = Some(code("B"));
    let back = standing(&records).equivalence.unwrap().candidates[0].tests[0]
        .told
        .clone()
        .unwrap();
    assert!((there.difference + back.difference).abs() < 1e-12 && (there.lo + back.hi).abs() < 1e-9);
    let mut reversed = bench(&["rolling wear"], &[0.5, 0.55], &[0.6, 0.58, 0.61], None);
    reversed.results.reverse();
    assert_eq!(told(&reversed), there, "the order of rows changes nothing");
}

#[test]
fn what_is_left_open_holds_the_truth_about_nine_times_in_ten() {
    let mut random = Stream::new(5, 9);
    let sd = 0.1 / 2.77;
    let (mut held, trials) = (0, 300);
    for _ in 0..trials {
        let truth = 0.05 * random.normal();
        let mut read = |level: f64| (0..2).map(|_| level + sd * random.normal()).collect::<Vec<f64>>();
        let (a, b) = (read(0.6), read(0.6 + truth));
        let what_if = WhatIf {
            draws: 100,
            ..WhatIf::default()
        };
        let judged = judge(
            &bench(&["rolling wear"], &a, &b, None),
            &what_if,
            &FitCache::default(),
        );
        let told = judged.equivalence.unwrap().candidates[0].tests[0]
            .told
            .clone()
            .unwrap();
        held += usize::from(told.lo <= -truth && -truth <= told.hi);
    }
    let share = f64::from(held as u32) / f64::from(trials);
    assert!((0.85..0.95).contains(&share), "{share}");
}
