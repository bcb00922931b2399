//! Requirements: the published examples, and each limit of the rule just below, on it and just above. All data invented.

use crate::support::judged::{evidence, fires, is_silent, standing};
use crate::support::trials::a_against_b;
use crate::support::{TrialBuilder, code};
use likewear::facade::catalogue::Value;
use likewear::facade::prose::gates::{gate_reading, gate_results};
use likewear::facade::records::{
    GateOutcome, OwnQuantity, Purpose, ResultSource, ResultStatus, RigId, TestKey, TrialRecords,
};
use likewear::facade::standing::{CautionKind, Comparison, GateStanding, Severity, WhatIf};
use likewear::facade::wire::standing_json;
use std::sync::Arc;

const A_LITTLE: f64 = 1e-9;
const BENCH: &str = "bench/wear";

/// What the gate of a key says of A.
fn gate_of(records: &TrialRecords, key: &str) -> GateStanding {
    let gates = standing(records).gates;
    let of_a = |gate: &GateStanding| gate.key == TestKey::parse(key).unwrap() && gate.blend == code("A");
    gates.into_iter().find(of_a).unwrap()
}

fn outcome(records: &TrialRecords, key: &str) -> GateOutcome {
    gate_of(records, key).outcome
}

/// A's runs at a built-in gate.
fn at(key: &str, limit: &str, values: &[&str]) -> TrialBuilder {
    let trial = a_against_b(&["rolling wear"], &[]).gate(key, limit);
    trial.runs("A", key, values)
}

/// A bench as a gate: r 0.1 mm, R 0.2 mm or as changed, and A's readings, one after the other on the rigs named.
fn bench(limit: &str, readings: &[(f64, &str)], change: impl FnOnce(&mut OwnQuantity)) -> TrialRecords {
    let mut row = OwnQuantity {
        quantity: "wear".into(),
        label: "Wear".into(),
        unit: "mm".into(),
        better: "lower".into(),
        scale: "identity".into(),
        plain_number_is: "exact".into(),
        repeatability: Some(0.1),
        reproducibility: Some(0.2),
        precision_kind: "constant".into(),
        mark: "invented".into(),
        ..OwnQuantity::default()
    };
    change(&mut row);
    let mut trial = a_against_b(&["rolling wear"], &[])
        .bench_of("bench", row)
        .gate(BENCH, limit);
    for (_, rig) in readings {
        trial = trial.runs_on("A", BENCH, &["1"], rig, "first");
    }
    let mut records = trial.build();
    for (result, (reading, rig)) in records.results.iter_mut().zip(readings) {
        result.value = Value::Exact(*reading);
        let known = records.rigs.iter_mut().find(|known| known.id.as_str() == *rig);
        known.unwrap().lab = rig.split('-').next().unwrap().into();
    }
    records
}

fn without_precision(row: &mut OwnQuantity) {
    row.repeatability = None;
    row.reproducibility = None;
}

#[test]
fn the_worked_examples_of_a_gate_come_out() {
    let published: serde_json::Value =
        serde_json::from_str(include_str!("../published/worked_case.json")).unwrap();
    let examples = published["examples"]["gates"].as_array().unwrap();
    assert_eq!(examples.len(), 12);
    for example in examples {
        let limit = example["limit"].as_str().unwrap();
        let key = match (limit, example["R"].as_f64()) {
            (">= 2000", Some(66.4)) => "ox_d943/life",
            (">= 300", Some(22.0)) => "ox_d2272/time",
            ("<= 1b", None) => "cu_d130/class",
            ("<= 6 %", None) => "ox_d2893/kv100_increase",
            ("pass", None) => "rust_d665/rating",
            other => panic!("{other:?}"),
        };
        let values: Vec<&str> = example["values"]
            .as_array()
            .unwrap()
            .iter()
            .map(|v| v.as_str().unwrap())
            .collect();
        let mut trial = at(key, limit, &values);
        if let Some(sd) = example["scatter"].as_f64() {
            // with A's own pair three degrees of freedom
            let squares = 3.0 * sd * sd - 0.18;
            let apart = squares.sqrt();
            let pair = ["4".to_string(), format!("{}", 4.0 + apart)];
            let pair: Vec<&str> = pair.iter().map(String::as_str).collect();
            trial = trial.runs("GOOD", key, &pair).runs("POOR", key, &pair);
        }
        let gate = gate_of(&trial.build(), key);
        let expected = match example["outcome"].as_str().unwrap() {
            "meets" => GateOutcome::Pass,
            "fails" => GateOutcome::Fail,
            "in doubt" => GateOutcome::InDoubt,
            other => panic!("{other}"),
        };
        assert_eq!(gate.outcome, expected, "{example}");
        assert_eq!(gate.runs.len(), values.len(), "{example}: none merged");
    }
}

#[test]
fn a_mean_passes_and_fails_from_0_59_r1() {
    for (runs, r1) in [(1_usize, 0.2), (2, 0.035f64.sqrt()), (4, 0.0325f64.sqrt())] {
        let margin = 0.59 * r1;
        for (from_limit, at_most) in [
            (-margin - A_LITTLE, GateOutcome::Pass),
            (-margin + A_LITTLE, GateOutcome::InDoubt),
            (0.0, GateOutcome::InDoubt),
            (margin - A_LITTLE, GateOutcome::InDoubt),
            (margin + A_LITTLE, GateOutcome::Fail),
        ] {
            let readings = |mean: f64| vec![(mean, "A-1"); runs];
            let most = bench("<= 1", &readings(1.0 + from_limit), |_| ());
            assert_eq!(outcome(&most, BENCH), at_most, "{runs} runs at {from_limit}");
            let least = bench(">= 1", &readings(1.0 - from_limit), |_| ());
            assert_eq!(
                outcome(&least, BENCH),
                at_most,
                "{runs} runs at {from_limit}, at least"
            );
        }
        let gate = gate_of(&bench("<= 1", &vec![(0.5, "A-1"); runs], |_| ()), BENCH);
        assert!((gate.margin.unwrap() - margin).abs() < 1e-12);
        assert_eq!((gate.mean, gate.inside_by), (Some(0.5), Some(0.5)));
    }
}

#[test]
fn one_run_that_passes_rescues_no_others_and_one_that_fails_condemns_none() {
    let of = |readings: &[f64]| {
        let readings: Vec<(f64, &str)> = readings.iter().map(|one| (*one, "A-1")).collect();
        outcome(&bench("<= 1", &readings, |_| ()), BENCH)
    };
    assert_eq!(of(&[0.5, 1.6, 1.6, 1.6]), GateOutcome::Fail);
    assert_eq!(of(&[0.6, 0.6, 0.6, 1.1]), GateOutcome::Pass);
}

#[test]
fn a_reproducibility_that_is_not_stated_is_twice_the_repeatability() {
    let r_alone = bench("<= 1", &[(0.8, "A-1")], |row| row.reproducibility = None);
    assert!((gate_of(&r_alone, BENCH).margin.unwrap() - 0.59 * 0.2).abs() < 1e-12);
}

#[test]
fn per_cent_and_steps_are_taken_at_the_limit() {
    let margin = |limit: &str, change: &dyn Fn(&mut OwnQuantity)| {
        gate_of(&bench(limit, &[(8.0, "A-1")], |row| change(row)), BENCH).margin
    };
    let near = |found: Option<f64>, expected: f64| (found.unwrap() - expected).abs() < 1e-12;
    let percent = |row: &mut OwnQuantity| {
        row.precision_kind = "percent".into();
        row.repeatability = Some(10.0);
        row.reproducibility = Some(50.0);
    };
    assert!(near(margin("<= 6", &percent), 0.59 * 3.0));
    let near_a_level = |row: &mut OwnQuantity| {
        row.scale = "ln".into();
        row.level = Some(25.0);
    };
    assert!(near(margin("<= 5", &near_a_level), 0.59 * 0.2 * 5.0 / 25.0));
    let ladder = |row: &mut OwnQuantity| {
        row.scale = "ladder".into();
        row.steps = "4; 5; 8; 10; 20".into();
        row.precision_kind = "steps".into();
        row.repeatability = Some(1.0);
        row.reproducibility = Some(2.0);
    };
    assert!(near(margin(">= 9", &ladder), 0.59 * 2.0 * 2.0));
    assert!(near(margin(">= 18", &ladder), 0.59 * 2.0 * 10.0));
}

#[test]
fn of_several_laboratories_the_mean_of_their_means_is_held_against_the_limit() {
    let readings = [(0.4, "A-1"), (0.4, "A-2"), (0.4, "A-1"), (1.0, "B-1")];
    let two = gate_of(&bench("<= 1", &readings, |_| ()), BENCH);
    assert!((two.mean.unwrap() - 0.7).abs() < 1e-12);
    // R1^2: 0.04 - 0.01 x 2/3 and 0.04
    let r1 = ((0.04 - 0.02 / 3.0) + 0.04f64).sqrt() / 2.0;
    assert!((two.margin.unwrap() - 0.59 * r1).abs() < 1e-12);
    // a rig of no known laboratory: all count as of one
    let mut unknown = bench("<= 1", &readings, |_| ());
    unknown.rigs.retain(|rig| rig.id != RigId::new("B-1").unwrap());
    let one = gate_of(&unknown, BENCH);
    assert!((one.mean.unwrap() - 0.55).abs() < 1e-12);
    assert!((one.margin.unwrap() - 0.59 * 0.0325f64.sqrt()).abs() < 1e-12);
}

/// A bench without precision: A's readings, and pairs of the reference oils with so many degrees of freedom, s = 0.1.
fn scattering(a: &[f64], freedom: usize) -> TrialRecords {
    let readings: Vec<(f64, &str)> = a.iter().map(|one| (*one, "A-1")).collect();
    let mut records = bench("<= 1", &readings, without_precision);
    let template = records.results[0].clone();
    for pair in 0..freedom {
        for (place, off) in [(0, 0.0), (1, 0.1 * 2f64.sqrt())] {
            let mut result = template.clone();
            result.blend = code(if pair % 2 == 0 { "GOOD" } else { "POOR" });
            result.campaign = format!("pair {pair}");
            result.value = Value::Exact(5.0 + off);
            result.id = Some(100 + 2 * pair as i64 + place);
            result.replicate = 100 + 2 * pair as u32 + place as u32;
            records.results.push(result);
        }
    }
    records
}

#[test]
fn without_a_precision_a_mean_within_1_645_s_of_the_limit_is_in_doubt_from_3_degrees_of_freedom() {
    for runs in [1_usize, 4] {
        let margin = 1.645 * 0.1 / (runs as f64).sqrt();
        // equal runs of A add degrees of freedom without squares: the sum of squares is made up for them
        let freedom = 4;
        let squares = freedom as f64 * 0.01;
        let sd = (squares / (freedom + runs - 1) as f64).sqrt();
        let margin = margin * sd / 0.1;
        for (from_limit, expected) in [
            (-margin - A_LITTLE, GateOutcome::Pass),
            (-margin + A_LITTLE, GateOutcome::InDoubt),
            (margin - A_LITTLE, GateOutcome::InDoubt),
            (margin + A_LITTLE, GateOutcome::Fail),
        ] {
            let records = scattering(&vec![1.0 + from_limit; runs], freedom);
            assert_eq!(outcome(&records, BENCH), expected, "{runs} runs at {from_limit}");
        }
    }
    let near_the_limit = [0.99];
    let two = gate_of(&scattering(&near_the_limit, 2), BENCH);
    assert_eq!(
        (two.outcome, two.margin),
        (GateOutcome::Pass, None),
        "2 degrees of freedom"
    );
    assert_eq!(
        outcome(&scattering(&near_the_limit, 3), BENCH),
        GateOutcome::InDoubt
    );
    assert_eq!(
        outcome(&scattering(&near_the_limit, 4), BENCH),
        GateOutcome::InDoubt
    );
}

#[test]
fn classes_pass_with_all_runs_inside_and_fail_with_half_of_them_outside() {
    for (classes, expected) in [
        (&["1b"][..], GateOutcome::Pass),
        (&["1b", "1a", "1b"], GateOutcome::Pass),
        (&["1b", "1b", "2a"], GateOutcome::InDoubt),
        (&["1b", "1b", "1a", "4c", "4c"], GateOutcome::InDoubt),
        (&["1b", "2a"], GateOutcome::Fail),
        (&["1b", "2a", "4c"], GateOutcome::Fail),
        (&["2a"], GateOutcome::Fail),
    ] {
        let gate = gate_of(&at("cu_d130/class", "<= 1b", classes).build(), "cu_d130/class");
        assert_eq!(gate.outcome, expected, "{classes:?}");
        assert_eq!((gate.mean, gate.margin), (None, None));
    }
}

#[test]
fn a_bound_passes_or_fails_by_what_it_says_and_is_never_a_number() {
    let of =
        |limit: &str, values: &[&str]| gate_of(&at("ox_d943/life", limit, values).build(), "ox_d943/life");
    // R1 66.4 % of 2000 h: margin 783.5 h
    for (values, expected) in [
        (&[">2784"][..], GateOutcome::Pass),
        (&[">2783"], GateOutcome::InDoubt),
        (&[">1000"], GateOutcome::InDoubt),
        (&["<1216"], GateOutcome::Fail),
        (&["<1217"], GateOutcome::InDoubt),
    ] {
        let gate = of(">= 2000", values);
        assert_eq!((gate.outcome, gate.mean), (expected, None), "{values:?}");
        assert!(gate.margin.is_some());
    }
    let stages = |values: &[&str]| {
        outcome(
            &at("demul_d1401/time_to_3mL", "<= 30", values).build(),
            "demul_d1401/time_to_3mL",
        )
    };
    assert_eq!(stages(&[">30"]), GateOutcome::Fail);
    assert_eq!(stages(&["30"]), GateOutcome::Pass);
    assert_eq!(stages(&["20", "20", ">30"]), GateOutcome::InDoubt);
    assert_eq!(stages(&["20", ">30"]), GateOutcome::Fail);
    assert_eq!(
        stages(&["20", "<40"]),
        GateOutcome::InDoubt,
        "a run that may lie on either side"
    );
}

#[test]
fn a_stopped_run_fails_and_void_runs_and_data_sheets_do_not_count() {
    let copper = || at("cu_d130/class", "<= 1b", &["1a", "1a", "4c"]);
    let last = |change: &dyn Fn(&mut likewear::facade::records::RunResult)| {
        let changed = copper().each_result(|result| {
            if result.replicate == 3 {
                change(result);
            }
        });
        gate_of(&changed.build(), "cu_d130/class")
    };
    assert_eq!(last(&|_| ()).outcome, GateOutcome::InDoubt);
    let void = last(&|result| result.status = ResultStatus::Void);
    assert_eq!((void.outcome, void.runs.len()), (GateOutcome::Pass, 2));
    let quoted = last(&|result| result.source = ResultSource::DataSheet);
    assert_eq!((quoted.outcome, quoted.runs.len()), (GateOutcome::Pass, 2));
    let stopped = last(&|result| {
        result.purpose = Purpose::Stopped;
        result.value = Value::Stopped;
    });
    assert_eq!((stopped.outcome, stopped.runs.len()), (GateOutcome::Fail, 3));
    assert_eq!(
        gate_reading(&stopped, Default::default()),
        "a run was stopped for cause"
    );
    assert_eq!(gate_results(&stopped, Default::default()), "1a, 1a, stopped");
    let none = gate_of(&at("cu_d130/class", "<= 1b", &[]).build(), "cu_d130/class");
    assert_eq!((none.outcome, none.runs.len()), (GateOutcome::NotRun, 0));
}

#[test]
fn the_runs_stand_as_read_with_mean_and_margin_in_words_and_in_json() {
    let words = |gate: &GateStanding| {
        (
            gate_results(gate, Default::default()),
            gate_reading(gate, Default::default()),
        )
    };
    let pair = scattering(&[0.5, 0.4], 3);
    let (runs, reading) = words(&gate_of(&pair, BENCH));
    assert_eq!(runs, "0.5, 0.4 mm");
    assert_eq!(reading, "mean 0.45 mm, inside the limit by 0.55, margin 0.109");
    let far = gate_of(&at("ox_d943/life", ">= 2000", &["900"]).build(), "ox_d943/life");
    assert_eq!(
        words(&far),
        ("900 h".into(), "outside the limit by 1100, margin 784".into())
    );
    let open = gate_of(
        &at("ox_d943/life", ">= 2000", &["> 1000", "1800"]).build(),
        "ox_d943/life",
    );
    assert_eq!(words(&open).0, "> 1000, 1800 h");
    assert_eq!(
        words(&open).1,
        "mean known as a bound only, margin 767, 1 of 2 runs outside, 1 open"
    );
    let split = gate_of(
        &at("cu_d130/class", "<= 1b", &["1b", "1b", "4c"]).build(),
        "cu_d130/class",
    );
    assert_eq!(words(&split), ("1b, 1b, 4c".into(), "1 of 3 runs outside".into()));

    let records = Arc::new(
        at("ox_d2893/kv100_increase", "<= 6 %", &["5.4", "6"])
            .gate("cu_d130/class", "<= 1b")
            .build(),
    );
    let json = standing_json(&Comparison {
        standing: standing(&records),
        records,
        what_if: WhatIf::default(),
        duty: Vec::new(),
        as_it_is: None,
    });
    let gates = json["gates"].as_array().unwrap();
    let rise = gates
        .iter()
        .find(|g| g["method"] == "ox_d2893" && g["blend"] == "A")
        .unwrap();
    assert_eq!(rise["runs"], serde_json::json!(["5.4", "6.0"]));
    assert_eq!(
        (&rise["margin"], &rise["outcome"]),
        (&serde_json::Value::Null, &"pass".into())
    );
    assert!((rise["mean"].as_f64().unwrap() - 5.7).abs() < 1e-9);
    let copper = gates
        .iter()
        .find(|g| g["method"] == "cu_d130" && g["blend"] == "A")
        .unwrap();
    assert_eq!(copper["runs"], serde_json::json!([]));
    assert_eq!(
        (&copper["mean"], &copper["outcome"]),
        (&serde_json::Value::Null, &"not run".into())
    );
}

#[test]
fn a_gate_in_doubt_on_the_wrong_side_lets_nobody_lead_and_one_on_the_right_side_does() {
    let led = |hours: &str| {
        let trial = a_against_b(&["rolling wear"], &[])
            .a_wears_less()
            .other_bench(&["0.52", "0.5"], &["1.2", "1.3"]);
        let records = trial
            .gate("ox_d943/life", ">= 2000")
            .runs("A", "ox_d943/life", &[hours])
            .build();
        assert_eq!(
            fires(&records, CautionKind::GateBorderline).severity,
            Severity::Medium
        );
        standing(&records).leader
    };
    assert_eq!(led("2001"), Some(code("A")));
    assert_eq!(led("1999"), None);
}

#[test]
fn suspect_run_fires_without_a_published_precision_by_the_scatter_without_it() {
    let runs = |a: &[f64]| {
        let mut records = scattering(a, 4);
        records.trial.tests[0].used_to = likewear::facade::catalogue::Use::Show;
        records
    };
    let caution = fires(&runs(&[0.5, 2.5, 0.55]), CautionKind::SuspectRun);
    assert_eq!(evidence(&caution)["runs"], 1.0);
    assert_eq!(evidence(&caution)["of"], 3.0);
    assert_eq!(evidence(&caution)["freedom"], 5.0);
    let both = fires(&runs(&[0.5, 2.5, 2.4, 0.55, 0.52]), CautionKind::SuspectRun);
    assert_eq!(evidence(&both)["runs"], 2.0, "two strays of one cell");
    is_silent(&runs(&[0.5, 0.7, 0.55]), CautionKind::SuspectRun);
    // one pair alone: without one of it nothing is left to judge by
    let mut alone = scattering(&[0.5, 9.0], 2);
    alone.trial.tests[0].used_to = likewear::facade::catalogue::Use::Show;
    is_silent(&alone, CautionKind::SuspectRun);
}
