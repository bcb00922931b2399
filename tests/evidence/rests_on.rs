//! Verdicts against the reference oils, and what a place in front rests on. All data is invented.

#![expect(
    clippy::unwrap_used,
    reason = "a trial that cannot be judged is a failed test"
)]

use crate::support::explained::compared;
use crate::support::judged::{evidence, fired, standing};
use crate::support::trials::a_against_b;
use crate::support::{FAST_MESH, SLOW_ROLLERS, TrialBuilder, code, trial_on};
use jiff::civil::date;
use likewear::facade::prose::reasons::left_out_id;
use likewear::facade::records::{BasePeriod, TestKey, TrialRecords};
use likewear::facade::standing::{
    Apart, CautionKind, FitCache, LeaveOut, LeftOutKind, Standing, TestStanding, Verdict, WhatIf, judge,
};
use likewear::facade::stats::precision::DIFFERENCE_95;
use likewear::facade::wire::standing_json;

/// An own bench on which less wear is better: r 0.1 mm, R 0.2 mm.
fn bench(a: &[&str], b: &[&str]) -> TrialBuilder {
    a_against_b(&["rolling wear"], &["adhesive wear", "scuffing"])
        .wear_bench()
        .runs("A", "bench/wear", a)
        .runs("B", "bench/wear", b)
}

/// A second bench, so that neither is the only one.
fn other_bench(trial: TrialBuilder, a: &str, b: &str) -> TrialBuilder {
    trial.other_bench(&[a, a], &[b, b])
}

fn test<'s>(standing: &'s Standing, key: &str) -> &'s TestStanding {
    standing.test(&TestKey::parse(key).unwrap()).unwrap()
}

fn verdict<'t>(test: &'t TestStanding, blend: &str, reference: &str) -> &'t Verdict {
    let is_of = |one: &&Verdict| one.blend == code(blend) && one.reference == code(reference);
    test.verdicts.iter().find(is_of).unwrap()
}

fn without(standing: &Standing, kind: LeftOutKind) -> Vec<&LeaveOut> {
    standing
        .leave_outs
        .iter()
        .filter(|out| out.left_out.kind() == kind)
        .collect()
}

#[test]
fn less_wear_is_better_than_the_reference_oil_and_more_is_worse() {
    let judged = standing(&bench(&["0.42", "0.43", "0.41"], &["0.90", "0.92", "0.91"]).build());
    let bench = test(&judged, "bench/wear");
    assert_eq!(verdict(bench, "A", "GOOD").apart, Apart::Alike);
    assert_eq!(verdict(bench, "A", "POOR").apart, Apart::Better);
    assert_eq!(verdict(bench, "B", "GOOD").apart, Apart::Worse);
    assert_eq!(verdict(bench, "B", "POOR").apart, Apart::Better);
    let difference = verdict(bench, "B", "GOOD").difference.unwrap();
    assert!((difference.by - -0.51).abs() < 1e-9 && difference.share_a_block);
    // r sqrt((1/3 + 1/3) / 2), worked by hand; r is that of the bench, moved a little by the replicates
    let of_r = bench.scatter.unwrap().repeatability / 3f64.sqrt();
    assert!((difference.critical - of_r).abs() < 1e-12);
    let limits = difference.simultaneous.unwrap();
    assert!(limits.lo < difference.by && difference.by < limits.hi && limits.adjusted_p < 1e-6);
    // Two means beside one, equal numbers; the published scatter counts as 30 degrees of freedom and four blends of three
    // runs add 8: 2.2971 standard errors by a quadrature apart from the program (Dunnett's table, from memory, has 2.32
    // at 30 and 2.29 at 40), where r is 2.77 sd.
    let half = 2.297_097 * (2.0f64 / 3.0).sqrt() * bench.scatter.unwrap().repeatability / DIFFERENCE_95;
    assert!((0.5 * (limits.hi - limits.lo) / half - 1.0).abs() < 1e-5);
}

#[test]
fn blends_of_different_campaigns_are_told_apart_by_reproducibility() {
    let one = bench(&["0.42", "0.43", "0.41"], &["0.90", "0.92", "0.91"])
        .candidate("C")
        .runs_on("C", "bench/wear", &["0.62"], "rig-bench", "second")
        .build();
    let judged = standing(&one);
    let difference = verdict(test(&judged, "bench/wear"), "C", "GOOD")
        .difference
        .unwrap();
    let scatter = test(&judged, "bench/wear").scatter.unwrap();
    let (r, big_r) = (scatter.repeatability, scatter.reproducibility);
    // ISO 5725-6 (from memory): sqrt(R^2 - r^2 (1 - 1/(2 n_a) - 1/(2 n_b))) with 1 and 3 runs
    let expected = (big_r * big_r - r * r * (1.0 - 0.5 - 1.0 / 6.0)).sqrt();
    assert!(!difference.share_a_block && (difference.critical - expected).abs() < 1e-12);
}

#[test]
fn stages_are_told_apart_by_probability_and_two_at_the_cap_are_not() {
    let stages = trial_on(FAST_MESH, &["scuffing"], &[])
        .good("GOOD")
        .poor("POOR")
        .candidate("A")
        .candidate("B")
        .weigh("gear_A8/fail_stage")
        .runs("GOOD", "gear_A8/fail_stage", &[">12", ">12"])
        .runs("POOR", "gear_A8/fail_stage", &["6", "7"])
        .runs("A", "gear_A8/fail_stage", &[">12", ">12"])
        .runs("B", "gear_A8/fail_stage", &["6", "6"])
        .build();
    let judged = standing(&stages);
    let stages = test(&judged, "gear_A8/fail_stage");
    assert_eq!(verdict(stages, "A", "GOOD").apart, Apart::Alike);
    assert_eq!(verdict(stages, "B", "GOOD").apart, Apart::Worse);
    assert_eq!(verdict(stages, "A", "POOR").apart, Apart::Better);
    assert!(
        stages
            .verdicts
            .iter()
            .all(|one| one.difference.is_none() && one.p_better.is_some())
    );
}

/// GOOD reads 0.40 on eight days of March and twice as much then; the first and last day on which the rig is said to be in
/// order.
fn drifting_rig(base: Option<(i8, i8)>) -> Standing {
    let trial = trial_on(SLOW_ROLLERS, &["rolling wear"], &[])
        .good("GOOD")
        .poor("POOR")
        .candidate("A")
        .candidate("B")
        .own_bench("bench", "rolling wear")
        .runs_on(
            "GOOD",
            "bench/wear",
            &["0.40", "0.41", "0.40", "0.41"],
            "R-1",
            "spring",
        )
        .runs_on("POOR", "bench/wear", &["1.40", "1.41"], "R-1", "spring")
        .runs_on("A", "bench/wear", &["0.60"], "R-1", "spring")
        .runs_on("GOOD", "bench/wear", &["0.41"], "R-1", "spring")
        .runs_on("GOOD", "bench/wear", &["0.80"], "R-1", "summer")
        .runs_on("B", "bench/wear", &["1.00"], "R-1", "summer")
        .runs_on("GOOD", "bench/wear", &["0.82", "0.81"], "R-1", "autumn");
    let mut records = trial.build();
    for (day, result) in records.results.iter_mut().enumerate() {
        result.date = Some(date(2025, 3, day as i8 + 1));
    }
    let day = |day: i8| date(2025, 3, day);
    let (from, to) = base.unzip();
    records.rigs[0].base_period = BasePeriod::between(from.map(day), to.map(day)).unwrap();
    standing(&records)
}

#[test]
fn what_a_reference_oil_usually_reads_is_taken_from_blocks_in_control() {
    let b = |judged: &Standing| {
        let bench = test(judged, "bench/wear");
        (
            bench.estimates[&code("B")].value,
            bench.raw_estimates[&code("B")].value,
        )
    };
    // the first level is in control: 0.41 is usual, so that B was read about 0.4 too high
    let (adjusted, raw) = b(&drifting_rig(None));
    assert!(raw - adjusted > 0.3, "{raw} {adjusted}");
    // the owner of the rig knows that it is in order since: 0.81 is usual
    let (since, raw_too) = b(&drifting_rig(Some((9, 12))));
    assert!((raw_too - since).abs() < 0.02, "{raw_too} {since}");
}

/// Two laboratories: `North` runs the bench, on which A leads, `South` the other, on which B leads by less.
fn two_laboratories() -> TrialRecords {
    let trial = other_bench(
        bench(&["0.42", "0.43", "0.41"], &["1.00", "1.02", "1.01"]),
        "0.90",
        "0.70",
    );
    let mut records = trial.build();
    for rig in &mut records.rigs {
        rig.lab = if rig.id.as_str() == "rig-bench" {
            "North"
        } else {
            "South"
        }
        .into();
    }
    records
}

#[test]
fn each_laboratory_is_left_out_where_there_are_several() {
    let judged = standing(&two_laboratories());
    assert_eq!(judged.front_runner, Some(code("A")));
    let labs = without(&judged, LeftOutKind::Laboratory);
    assert_eq!(
        labs.iter()
            .map(|out| left_out_id(&out.left_out))
            .collect::<Vec<_>>(),
        ["North", "South"]
    );
    assert_eq!((labs[0].changes, &labs[0].front_runner), (true, &Some(code("B"))));
    assert!(!labs[1].changes && labs[1].p_best.unwrap() > 0.9);
    // one laboratory says what the trial says
    let mut one = two_laboratories();
    one.rigs.iter_mut().for_each(|rig| rig.lab = "North".into());
    assert!(without(&standing(&one), LeftOutKind::Laboratory).is_empty());
}

#[test]
fn a_laboratory_that_decides_with_two_methods_is_a_hinge() {
    // North runs two benches, on each of which A leads; one of them is enough, both are not there without North
    let trial = other_bench(
        bench(&["0.42", "0.43", "0.41"], &["0.80", "0.82", "0.81"]),
        "0.52",
        "0.90",
    );
    let trial = trial
        .own_bench("third", "rolling wear")
        .runs("GOOD", "third/wear", &["0.50", "0.52"])
        .runs("POOR", "third/wear", &["1.50", "1.52"])
        .runs("A", "third/wear", &["0.90", "0.90"])
        .runs("B", "third/wear", &["0.60", "0.60"]);
    let mut records = trial.build();
    for rig in &mut records.rigs {
        rig.lab = if rig.id.as_str() == "rig-third" {
            "South"
        } else {
            "North"
        }
        .into();
    }
    let hinges = fired(&records, CautionKind::HingesOnOneTest);
    assert_eq!(hinges.len(), 1, "{hinges:?}");
    assert_eq!(evidence(&hinges[0])["without"], "North");
    let (heading, words) =
        likewear::facade::prose::standing::caution(&hinges[0], &standing(&records), Default::default());
    assert_eq!(heading, "Hinges on one laboratory");
    assert!(words.ends_with("in another laboratory."), "{words}");
    records.rigs.iter_mut().for_each(|rig| rig.lab = "North".into());
    assert!(fired(&records, CautionKind::HingesOnOneTest).is_empty());
}

#[test]
fn a_block_is_left_out_where_its_rig_had_several() {
    let trial = bench(&["0.42", "0.43"], &["0.90", "0.92"])
        .runs_on(
            "B",
            "bench/wear",
            &["0.20", "0.20", "0.20"],
            "rig-bench",
            "second",
        )
        .runs_on("GOOD", "bench/wear", &["0.41"], "rig-bench", "second");
    let judged = standing(&trial.build());
    let campaigns = without(&judged, LeftOutKind::Block);
    assert_eq!(campaigns.len(), 2);
    let second = campaigns
        .iter()
        .find(|out| left_out_id(&out.left_out) == "rig-bench, second")
        .unwrap();
    assert_eq!(second.front_runner, Some(code("A")));
    let one = standing(&bench(&["0.42"], &["0.90"]).build());
    assert!(without(&one, LeftOutKind::Block).is_empty());
}

#[test]
fn every_single_run_is_left_out_and_the_one_that_decides_is_told() {
    // B reads 0.50 but for one run of 1.30
    let judged = standing(&bench(&["0.55", "0.56", "0.57"], &["0.50", "0.51", "1.30"]).build());
    assert_eq!(judged.front_runner, Some(code("A")));
    assert_eq!(judged.runs_left_out, 12);
    let runs = without(&judged, LeftOutKind::Run);
    let changing: Vec<&&LeaveOut> = runs.iter().filter(|out| out.changes).collect();
    assert_eq!(changing.len(), 1, "{changing:?}");
    assert_eq!(changing[0].front_runner, Some(code("B")));
    assert!(left_out_id(&changing[0].left_out).starts_with("B, run"));
    // far apart: also doubted, and shown with and without
    let doubted = without(&judged, LeftOutKind::DoubtedRuns);
    assert_eq!(doubted.iter().filter(|out| out.changes).count(), 1);
    assert!(doubted.iter().all(|out| out.p_best.is_some()));
}

#[test]
fn every_rival_has_the_weights_that_would_level_it() {
    let trial = other_bench(
        bench(&["0.42", "0.43", "0.41"], &["0.80", "0.82", "0.81"]),
        "0.95",
        "0.75",
    )
    .candidate("C")
    .runs("C", "bench/wear", &["1.30"])
    .runs("C", "other/wear", &["1.40"]);
    let records = trial.build();
    let judged = standing(&records);
    assert_eq!(judged.front_runner, Some(code("A")));
    let rivals: Vec<String> = judged.rivals.iter().map(|one| one.blend.to_string()).collect();
    assert_eq!(rivals, ["B", "C"]);
    let change = judged.rivals[0].change.as_ref().unwrap();
    assert_eq!(change.lower, [TestKey::parse("bench/wear").unwrap()]);
    assert_eq!(change.raise, [TestKey::parse("other/wear").unwrap()]);
    // C is behind on every test: no weights put it in front
    assert_eq!(judged.rivals[1].change, None);
    // the changed weights do level the two; both are halved, since a weight does not exceed 1
    let mut asked = WhatIf {
        draws: 4_000,
        ..WhatIf::default()
    };
    for test in &judged.tests {
        let raised = change.raise.contains(&test.key);
        let factor = if raised {
            change.factor
        } else {
            1.0 / change.factor
        };
        asked.weights.insert(test.key.clone(), 0.1 * test.weight * factor);
    }
    let level = judge(&records, &asked, &FitCache::default());
    let score = |blend: &str| level.candidate(&code(blend)).unwrap().score.unwrap();
    assert!((score("A") - score("B")).abs() < 1e-9);
    // one weight alone does too
    let (key, factor) = judged.rivals[0].tips.iter().next().unwrap();
    let mut alone = WhatIf {
        draws: 4_000,
        ..WhatIf::default()
    };
    for test in &judged.tests {
        let factor = if &test.key == key { *factor } else { 1.0 };
        alone.weights.insert(test.key.clone(), 0.1 * test.weight * factor);
    }
    let level = judge(&records, &alone, &FitCache::default());
    let score = |blend: &str| level.candidate(&code(blend)).unwrap().score.unwrap();
    assert!((score("A") - score("B")).abs() < 1e-9);
}

#[test]
fn wins_and_ranks_add_up() {
    let judged = standing(&bench(&["0.55", "0.56"], &["0.50", "0.60"]).build());
    let [one, other] = &judged.candidates[..] else {
        panic!("two candidates")
    };
    assert!((one.wins[&other.blend] + other.wins[&one.blend] - 1.0).abs() < 1e-12);
    assert!((one.ranks.iter().sum::<f64>() - 1.0).abs() < 1e-9);
    // binomial, from 4 000 draws
    let p = one.p_best.unwrap();
    let expected = (p * (1.0 - p) / 4_000.0).sqrt();
    assert!((judged.monte_carlo_error.unwrap() - expected).abs() < 1e-9);
}

#[test]
fn the_same_records_give_the_same_bytes_on_one_thread_and_on_three() {
    let bytes = |threads: usize| {
        let pool = rayon::ThreadPoolBuilder::new()
            .num_threads(threads)
            .build()
            .unwrap();
        pool.install(|| standing_json(&compared(two_laboratories(), 4_000)).to_string())
    };
    assert_eq!(bytes(1), bytes(3));
}
