//! Laws of a standing: what must not matter, and what must mirror. All data is invented.

#![expect(clippy::unwrap_used, reason = "a trial that cannot be built is a failed test")]

use crate::support::{FAST_MESH, SLOW_ROLLERS, TrialBuilder, code, trial_on};
use likewear::facade::catalogue::{MethodId, Use, Value};
use likewear::facade::records::{
    OwnMethod, OwnQuantity, ResultStatus, RunResult, TestKey, TrialRecords, method_of,
};
use likewear::facade::standing::{FitCache, Standing, WhatIf, Without, judge};
use proptest::prelude::*;

fn standing(records: &TrialRecords) -> Standing {
    judge(
        records,
        &WhatIf {
            draws: 5_000,
            ..WhatIf::default()
        },
        &FitCache::default(),
    )
}

/// A trial with ladders, caps, several rigs, a missing cell and a control fluid.
fn mixed() -> TrialBuilder {
    trial_on(
        SLOW_ROLLERS,
        &["rolling wear", "slow-speed wear"],
        &["scuffing", "adhesive wear"],
    )
    .good("GOOD")
    .poor("POOR")
    .middle("MIDDLE")
    .control("SYRUP")
    .candidate("A")
    .candidate("B")
    .candidate("C")
    .weigh("rb_oil/roller_wear")
    .weigh("fb_ep_oil/weld")
    .weigh("fb_wear_oil_B/scar")
    .weigh("gear_A8/fail_stage")
    .runs_on(
        "GOOD",
        "rb_oil/roller_wear",
        &["5", "6", "5", "7"],
        "RB-1",
        "spring",
    )
    .runs_on(
        "POOR",
        "rb_oil/roller_wear",
        &["210", "250", "260"],
        "RB-1",
        "spring",
    )
    .runs_on("MIDDLE", "rb_oil/roller_wear", &["17", "20"], "RB-1", "spring")
    .runs_on("MIDDLE", "rb_oil/roller_wear", &["25", "28"], "RB-2", "summer")
    .runs_on("A", "rb_oil/roller_wear", &["9", "12"], "RB-1", "spring")
    .runs_on("B", "rb_oil/roller_wear", &["14", "11"], "RB-2", "summer")
    .runs_on("C", "rb_oil/roller_wear", &["60", "80"], "RB-1", "spring")
    .runs("GOOD", "fb_ep_oil/weld", &["250", "250"])
    .runs("POOR", "fb_ep_oil/weld", &["126", "160"])
    .runs("A", "fb_ep_oil/weld", &["200"])
    .runs("B", "fb_ep_oil/weld", &["250", "200"])
    .runs("C", "fb_ep_oil/weld", &["620", "800"])
    .runs("SYRUP", "fb_ep_oil/weld", &["80"])
    .runs("GOOD", "fb_wear_oil_B/scar", &["0.38", "0.40"])
    .runs("POOR", "fb_wear_oil_B/scar", &["0.70", "0.72"])
    .runs("A", "fb_wear_oil_B/scar", &["0.45"])
    .runs("B", "fb_wear_oil_B/scar", &["0.41", "0.44"])
    .runs("GOOD", "gear_A8/fail_stage", &[">12"])
    .runs("POOR", "gear_A8/fail_stage", &["7", "6"])
    .runs("A", "gear_A8/fail_stage", &["12"])
    .runs("B", "gear_A8/fail_stage", &[">12"])
    .runs("C", "gear_A8/fail_stage", &[">12"])
}

/// Blend, P(best), score and the low end of its interval.
type Numbers = (String, Option<f64>, Option<f64>, Option<f64>);

fn numbers(standing: &Standing) -> Vec<Numbers> {
    let of = |c: &likewear::facade::standing::CandidateStanding| {
        (c.blend.to_string(), c.p_best, c.score, c.score_lo)
    };
    standing.candidates.iter().map(of).collect()
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 12, ..ProptestConfig::default() })]

    #[test]
    fn the_order_of_rows_does_not_matter(seed in any::<u64>()) {
        let records = mixed().build();
        let mut shuffled = records.clone();
        let key = |result: &RunResult| result.id.unwrap_or(0).wrapping_mul(seed as i64 | 1).rotate_left(17);
        shuffled.results.sort_by_key(key);
        prop_assert_eq!(standing(&records), standing(&shuffled).with_runs_like(&standing(&records)));
    }
}

trait WithRunsLike {
    fn with_runs_like(self, other: &Standing) -> Standing;
}

impl WithRunsLike for Standing {
    /// Raw runs are drawn in the order of the rows: only that may differ.
    fn with_runs_like(mut self, other: &Standing) -> Standing {
        for (test, same) in self.tests.iter_mut().zip(&other.tests) {
            if let (Some(strip), Some(as_there)) = (test.strip.as_mut(), same.strip.as_ref()) {
                assert_eq!(strip.runs.len(), as_there.runs.len());
                strip.runs = as_there.runs.clone();
            }
        }
        self
    }
}

#[test]
fn the_names_of_blends_do_not_matter() {
    let renamed = |a: &str, b: &str, c: &str| {
        let mut records = mixed().build();
        let name = |old: &str| match old {
            "A" => code(a),
            "B" => code(b),
            "C" => code(c),
            other => code(other),
        };
        records
            .trial
            .blends
            .iter_mut()
            .for_each(|part| part.blend = name(part.blend.as_str()));
        records
            .blends
            .iter_mut()
            .for_each(|blend| blend.code = name(blend.code.as_str()));
        records
            .results
            .iter_mut()
            .for_each(|result| result.blend = name(result.blend.as_str()));
        standing(&records)
    };
    let (plain, strange) = (renamed("A", "B", "C"), renamed("zz", "a", "m"));
    let only_numbers = |standing: &Standing| {
        numbers(standing)
            .into_iter()
            .map(|(_, p, score, lo)| (p, score, lo))
            .collect::<Vec<_>>()
    };
    assert_eq!(only_numbers(&plain), only_numbers(&strange));
}

/// Exact factors: 1 kgf = 9.80665 N (CGPM 1901), 1 lbf = 4.4482216152605 N (NIST SP 811).
#[test]
fn kgf_newton_and_pound_force_give_one_answer() {
    use likewear::facade::catalogue::{Written, built_in_method};
    use likewear::facade::units::Unit;
    let weld = built_in_method("fb_ep_oil").unwrap().quantity("weld").unwrap();
    for step in weld.scale.steps() {
        let plain = weld.read(&Written::Number(*step)).unwrap();
        for unit in [Unit::Newton, Unit::PoundForce] {
            let written = Unit::KilogramForce.convert(*step, unit).unwrap();
            let rounded = (written * 10.0).round() / 10.0;
            let back = unit.convert(rounded, Unit::KilogramForce).unwrap();
            assert_eq!(
                weld.read(&Written::Number(back)).unwrap(),
                plain,
                "{step} kgf as {rounded} {unit}"
            );
        }
    }
}

fn bench(better: &str, flip: f64) -> TrialRecords {
    let rows = OwnMethod {
        id: MethodId::new("mirror").unwrap(),
        title: "Mirror".into(),
        standard: "in-house".into(),
        based_on: String::new(),
        lubricant: "oil".into(),
        category: "II".into(),
        conditions_json: String::new(),
        apparatus: String::new(),
        safety: String::new(),
        contacts_json: format!("[{SLOW_ROLLERS}]"),
        cost: None,
        days: None,
        caution: "none".into(),
        note: String::new(),
        quantities: vec![OwnQuantity {
            quantity: "value".into(),
            label: "Value".into(),
            unit: "mm".into(),
            better: better.into(),
            scale: "identity".into(),
            plain_number_is: "exact".into(),
            modes: "rolling wear=1".into(),
            repeatability: Some(0.1),
            reproducibility: Some(0.2),
            precision_kind: "constant".into(),
            mark: "invented".into(),
            ..OwnQuantity::default()
        }],
    };
    let mut records = mixed().weigh("mirror/value").build();
    records.methods.push(method_of(&rows).unwrap());
    let template = records.results[0].clone();
    for (blend, value) in [
        ("GOOD", 1.0),
        ("GOOD", 1.05),
        ("POOR", 0.0),
        ("POOR", 0.04),
        ("A", 0.8),
        ("B", 0.3),
        ("C", 0.9),
    ] {
        let run = RunResult {
            blend: code(blend),
            key: TestKey::parse("mirror/value").unwrap(),
            value: Value::Exact(flip * value),
            replicate: records.results.len() as u32,
            id: Some(records.results.len() as i64 + 1000),
            ..template.clone()
        };
        records.results.push(run);
    }
    records
}

#[test]
fn higher_is_better_and_lower_is_better_mirror_each_other() {
    let (higher, lower) = (standing(&bench("higher", 1.0)), standing(&bench("lower", -1.0)));
    assert_eq!(numbers(&higher), numbers(&lower));
    assert!(higher.front_runner.is_some());
}

#[test]
fn a_copy_of_a_candidate_splits_its_first_places() {
    let alone = standing(&mixed().build());
    let mut records = mixed().candidate("COPY").build();
    let copies: Vec<RunResult> = records
        .results
        .iter()
        .filter(|r| r.blend == code("A"))
        .cloned()
        .collect();
    for (i, copy) in copies.into_iter().enumerate() {
        records.results.push(RunResult {
            blend: code("COPY"),
            id: Some(5000 + i as i64),
            ..copy
        });
    }
    let both = standing(&records);
    let p = |standing: &Standing, name: &str| standing.candidate(&code(name)).unwrap().p_best.unwrap();
    // The best of two independent draws wins a little more often than one; Monte Carlo error of 5 000 draws is 0.007.
    assert!(
        (p(&both, "A") - p(&both, "COPY")).abs() < 0.03,
        "{} {}",
        p(&both, "A"),
        p(&both, "COPY")
    );
    assert!(p(&both, "A") < p(&alone, "A"));
    assert!(p(&both, "A") + p(&both, "COPY") >= p(&alone, "A") - 0.03);
}

#[test]
fn a_capped_test_on_which_all_tie_does_not_move_the_front() {
    let without = trial_on(FAST_MESH, &["scuffing", "adhesive wear"], &[])
        .good("GOOD")
        .poor("POOR")
        .candidate("A")
        .candidate("B")
        .weigh("fb_wear_oil_B/scar")
        .runs("GOOD", "fb_wear_oil_B/scar", &["0.38", "0.40"])
        .runs("POOR", "fb_wear_oil_B/scar", &["0.70", "0.72"])
        .runs("A", "fb_wear_oil_B/scar", &["0.45", "0.46"])
        .runs("B", "fb_wear_oil_B/scar", &["0.50", "0.52"]);
    let with = without
        .clone()
        .weigh("gear_A8/fail_stage")
        .runs("GOOD", "gear_A8/fail_stage", &[">12", ">12"])
        .runs("POOR", "gear_A8/fail_stage", &["7", "6"])
        .runs("A", "gear_A8/fail_stage", &[">12"])
        .runs("B", "gear_A8/fail_stage", &[">12"]);
    let (without, with) = (standing(&without.build()), standing(&with.build()));
    assert!(
        with.tests
            .iter()
            .any(|test| test.key.method.as_str() == "gear_A8" && test.weight > 0.1)
    );
    assert_eq!(without.front_runner, with.front_runner);
}

#[test]
fn leaving_a_method_out_equals_weight_0_for_it() {
    let records = mixed().build();
    for method in ["rb_oil", "fb_ep_oil", "fb_wear_oil_B"] {
        let without = WhatIf {
            without: vec![Without::Method(MethodId::new(method).unwrap())],
            draws: 5_000,
            ..WhatIf::default()
        };
        let keys = records
            .trial
            .tests
            .iter()
            .filter(|test| test.key.method.as_str() == method);
        let zero = WhatIf {
            weights: keys.map(|test| (test.key.clone(), 0.0)).collect(),
            draws: 5_000,
            ..WhatIf::default()
        };
        assert_eq!(
            numbers(&judge(&records, &without, &FitCache::default())),
            numbers(&judge(&records, &zero, &FitCache::default())),
            "{method}"
        );
    }
}

#[test]
fn what_was_asked_before_changes_no_bit_of_an_answer() {
    let few = || WhatIf {
        draws: 2_000,
        ..WhatIf::default()
    };
    let known = FitCache::default();
    let records = mixed().build();
    let mut corrected = records.clone();
    corrected.results[0].value = Value::Exact(6.0);
    let questions = [
        few(),
        WhatIf {
            without: vec![Without::Method(MethodId::new("fb_ep_oil").unwrap())],
            ..few()
        },
        WhatIf {
            head_room: 0.1,
            ..few()
        },
        WhatIf { seed: 3, ..few() },
        few(),
    ];
    for what_if in &questions {
        for records in [&records, &corrected] {
            assert_eq!(
                judge(records, what_if, &known),
                judge(records, what_if, &FitCache::default())
            );
        }
    }
}

#[test]
fn the_same_question_gives_the_same_answer_on_one_thread_and_on_four() {
    let records = mixed().build();
    let on = |threads: usize| {
        let pool = rayon::ThreadPoolBuilder::new()
            .num_threads(threads)
            .build()
            .unwrap();
        pool.install(|| standing(&records))
    };
    assert_eq!(on(1), on(4));
}

#[test]
fn every_empty_or_absurd_trial_has_a_standing() {
    let no_candidate = trial_on(SLOW_ROLLERS, &["rolling wear"], &[])
        .good("GOOD")
        .weigh("rb_oil/roller_wear")
        .build();
    let one = trial_on(SLOW_ROLLERS, &["rolling wear"], &[])
        .good("GOOD")
        .poor("POOR")
        .candidate("A")
        .own_bench("bench", "rolling wear")
        .runs("GOOD", "bench/wear", &["0.4", "0.4"])
        .runs("POOR", "bench/wear", &["1.4", "1.4"])
        .runs("A", "bench/wear", &["0.5"])
        .build();
    let no_results = trial_on(SLOW_ROLLERS, &["rolling wear"], &[])
        .candidate("A")
        .candidate("B")
        .weigh("rb_oil/roller_wear")
        .build();
    let no_tests = trial_on(SLOW_ROLLERS, &["rolling wear"], &[])
        .candidate("A")
        .candidate("B")
        .build();
    let mut no_contacts = mixed().build();
    no_contacts.machine.contacts.clear();
    let all_capped = mixed()
        .each_result(|result| result.value = Value::Above(12.0))
        .build();
    let all_void = mixed()
        .each_result(|result| result.status = ResultStatus::Void)
        .build();
    let huge = mixed()
        .each_result(|result| result.value = Value::Exact(9e11))
        .build();
    let mut shown = mixed().build();
    shown
        .trial
        .tests
        .iter_mut()
        .for_each(|test| test.used_to = Use::Show);
    let trials = [no_candidate, no_results, no_tests, no_contacts, all_void, shown];
    for records in &trials {
        let standing = standing(records);
        assert_eq!((standing.leader, standing.front_runner), (None, None));
    }
    for records in [&one, &all_capped, &huge] {
        let standing = standing(records);
        assert!(
            standing
                .candidates
                .iter()
                .all(|c| c.score.is_none_or(f64::is_finite) && c.p_best.is_none_or(f64::is_finite))
        );
    }
    assert_eq!(standing(&one).front_runner, Some(code("A")));
    assert_eq!(standing(&one).leader, None);
}

#[test]
fn weights_set_by_hand_can_be_anything_between_0_and_1_and_more_is_held() {
    let records = mixed().build();
    let all = |weight: f64| {
        let weights = records
            .trial
            .tests
            .iter()
            .map(|test| (test.key.clone(), weight))
            .collect();
        judge(
            &records,
            &WhatIf {
                weights,
                draws: 1_000,
                ..WhatIf::default()
            },
            &FitCache::default(),
        )
    };
    assert_eq!(all(0.0).front_runner, None);
    assert!(all(1.0).front_runner.is_some());
    assert_eq!(numbers(&all(1.0)), numbers(&all(1e308)));
    assert_eq!(numbers(&all(0.0)), numbers(&all(-1.0)));
}
