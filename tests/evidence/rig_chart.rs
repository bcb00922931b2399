//! The control chart of a rig from its results. All data is invented.

#![expect(clippy::unwrap_used, reason = "a chart that cannot be drawn is a failed test")]

use crate::support::{SLOW_ROLLERS, code, trial_on};
use jiff::civil::{Date, date};
use likewear::facade::catalogue::Value;
use likewear::facade::records::{
    Purpose, ResultSource, ResultStatus, RigId, RunResult, TestKey, TrialRecords, TrialSlug,
};
use likewear::facade::standing::{RigChart, rig_chart};
use likewear::facade::stats::control::Rule;

const KEY: &str = "gear_lowspeed_wear/mass_loss";

/// What is changed in a result, in words, and how.
type Change = (&'static str, fn(&mut RunResult));

/// Fifteen readings of a rig that holds its level, mg.
const STEADY: [&str; 15] = [
    "20", "24", "18", "21", "25", "19", "22", "20", "17", "23", "21", "19", "24", "20", "22",
];

/// Runs of the reference oil on R-1, one a week from the start of 2025.
fn runs_of(key: &str, values: &[&str]) -> TrialRecords {
    let trial = trial_on(SLOW_ROLLERS, &["slow-speed wear"], &[])
        .good("REF")
        .candidate("A")
        .weigh(key)
        .runs_on("REF", key, values, "R-1", "first");
    let mut records = trial.build();
    for (at, result) in records.results.iter_mut().enumerate() {
        result.date = Some(week(at as i64));
    }
    records
}

fn week(number: i64) -> Date {
    use jiff::ToSpan;
    date(2025, 1, 6).checked_add((7 * number).days()).unwrap()
}

fn chart_of(records: &TrialRecords, key: &str) -> Option<RigChart> {
    let (method, quantity) = records.test(&TestKey::parse(key).unwrap())?;
    let rig = RigId::new("R-1").unwrap();
    rig_chart(&records.results, &rig, &code("REF"), method, quantity)
}

fn chart(records: &TrialRecords) -> RigChart {
    chart_of(records, KEY).unwrap()
}

fn steady_and(more: &[&str]) -> TrialRecords {
    let values: Vec<&str> = STEADY.iter().chain(more).copied().collect();
    runs_of(KEY, &values)
}

#[test]
fn masses_are_charted_as_logarithms_with_limits_of_their_own_from_fifteen_runs_on() {
    let chart = chart(&steady_and(&[]));
    assert_eq!(chart.points.len(), 15);
    assert!(!chart.provisional && chart.spans.is_empty());
    let logs: Vec<f64> = STEADY
        .iter()
        .map(|value| value.parse::<f64>().unwrap().ln())
        .collect();
    let mean_range = logs.windows(2).map(|pair| (pair[1] - pair[0]).abs()).sum::<f64>() / 14.0;
    assert!((chart.centre - logs.iter().sum::<f64>() / 15.0).abs() < 1e-12);
    assert!((chart.upper - chart.centre - 2.66 * mean_range).abs() < 1e-12);
    assert!((chart.points[3].value - 21.0).abs() < 1e-9);
}

#[test]
fn a_short_series_takes_provisional_limits_from_the_methods_reproducibility() {
    let chart = chart(&runs_of(KEY, &["20", "24", "18"]));
    assert!(chart.provisional);
    assert!((chart.centre - 20f64.ln()).abs() < 1e-12);
}

#[test]
fn without_a_published_precision_four_runs_are_needed() {
    let key = "rb_oil/roller_wear";
    assert!(chart_of(&runs_of(key, &["20", "24", "18"]), key).is_none());
    let chart = chart_of(&runs_of(key, &["20", "24", "18", "21"]), key).unwrap();
    assert!(chart.provisional && chart.lower < 18f64.ln());
}

#[test]
fn an_alarm_opens_a_span_from_the_last_run_in_control_to_the_next() {
    let chart = chart(&steady_and(&["80", "21", "20", "21", "20"]));
    let alarms: Vec<usize> = (0..20).filter(|at| chart.points[*at].is_alarm()).collect();
    assert!(alarms.contains(&15) && !alarms.contains(&14));
    assert!(chart.points[15].signals.contains(&Rule::BeyondLimits));
    let span = chart.spans[0];
    assert_eq!((span.after, span.first_alarm), (Some(week(14)), week(15)));
    assert!(chart.span_of(week(15)).is_some() && chart.span_of(week(14)).is_none());
    // a result between the last run in control and the alarm is marked too
    let day_after = week(14).tomorrow().unwrap();
    assert!(chart.span_of(day_after).is_some());
    assert!(chart.span_of(week(19)).is_none());
}

#[test]
fn what_is_said_to_be_new_starts_another_stretch() {
    for phrase in ["New specimen lot D-18", "new drum of the oil", "after overhaul"] {
        let mut records = steady_and(&["60", "66", "58"]);
        records.results[15].conditions = phrase.to_string();
        let chart = chart(&records);
        assert_eq!(chart.stretches.len(), 2, "{phrase}");
        assert_eq!((chart.stretches[1].first, chart.stretches[1].points), (15, 3));
        assert!(chart.provisional && chart.spans.is_empty(), "{phrase}");
        assert!((chart.centre - 60f64.ln()).abs() < 1e-12);
    }
    // a word that is none of the three phrases starts nothing
    let mut records = steady_and(&["60", "66", "58"]);
    records.results[15].conditions = "specimen lot D-18".to_string();
    assert_eq!(chart(&records).stretches.len(), 1);
}

#[test]
fn another_blends_new_drum_is_no_change_but_its_overhaul_is() {
    let with_run_of_a = |conditions: &str| {
        let mut records = steady_and(&["60", "66", "58"]);
        let mut other = records.results[15].clone();
        other.blend = code("A");
        other.replicate = 900;
        other.id = Some(900);
        other.conditions = conditions.to_string();
        records.results.push(other);
        chart(&records).stretches.len()
    };
    assert_eq!(with_run_of_a("new drum"), 1);
    assert_eq!(with_run_of_a("first run after overhaul"), 2);
}

#[test]
fn runs_that_say_nothing_of_the_rigs_place_are_left_out_and_counted() {
    let changes: [Change; 3] = [
        ("no date", |result| result.date = None),
        ("a bound", |result| result.value = Value::Below(1.0)),
        ("other conditions", |result| {
            result.conditions = "60 C".to_string()
        }),
    ];
    for (what, change) in changes {
        let mut records = steady_and(&["21"]);
        change(&mut records.results[15]);
        let chart = chart(&records);
        assert_eq!((chart.points.len(), chart.left_out), (15, 1), "{what}");
    }
}

#[test]
fn runs_that_do_not_count_are_no_part_of_the_chart() {
    let changes: [Change; 6] = [
        ("void", |result| result.status = ResultStatus::Void),
        ("suspect", |result| result.status = ResultStatus::Suspect),
        ("stopped", |result| result.purpose = Purpose::Stopped),
        ("data sheet", |result| result.source = ResultSource::DataSheet),
        ("other rig", |result| result.rig = RigId::new("R-2")),
        ("other oil", |result| result.blend = code("A")),
    ];
    for (what, change) in changes {
        let mut records = steady_and(&["21"]);
        change(&mut records.results[15]);
        let chart = chart(&records);
        assert_eq!((chart.points.len(), chart.left_out), (15, 0), "{what}");
    }
}

#[test]
fn a_corrected_run_stands_at_its_corrected_value_once() {
    let mut records = steady_and(&["90"]);
    let mut correction = records.results[15].clone();
    correction.supersedes = correction.id;
    correction.id = Some(500);
    correction.value = Value::Exact(21.0);
    records.results.push(correction);
    let chart = chart(&records);
    assert_eq!(chart.points.len(), 16);
    assert!((chart.points[15].value - 21.0).abs() < 1e-9);
}

#[test]
fn several_trials_and_any_order_of_rows_give_one_chart() {
    let ordered = steady_and(&["80", "21"]);
    let mut mixed = ordered.clone();
    mixed.results.reverse();
    for result in mixed.results.iter_mut().step_by(2) {
        result.trial = TrialSlug::new("another-trial").unwrap();
        result.purpose = Purpose::ReferenceCheck;
    }
    assert_eq!(chart(&ordered), chart(&mixed));
}

#[test]
fn readings_in_steps_that_repeat_exactly_do_not_make_the_next_step_an_alarm() {
    let key = "fb_ep_oil/weld";
    let mut values = vec!["200"; 15];
    values.extend(["250", "200", "500"]);
    let chart = chart_of(&runs_of(key, &values), key).unwrap();
    assert!(!chart.provisional);
    assert!(!chart.points[15].is_alarm(), "{:?}", chart.points[15].signals);
    assert!(chart.points[17].signals.contains(&Rule::BeyondLimits));
}

#[test]
fn a_rig_without_a_run_of_its_reference_has_no_chart() {
    assert!(chart_of(&runs_of(KEY, &[]), KEY).is_none());
    let mut other = steady_and(&[]);
    for result in &mut other.results {
        result.rig = None;
    }
    assert!(chart_of(&other, KEY).is_none());
}
