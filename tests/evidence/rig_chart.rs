//! The control chart of a rig from its results. All data is invented.

#![expect(clippy::unwrap_used, reason = "a chart that cannot be drawn is a failed test")]

use crate::support::{SLOW_ROLLERS, code, trial_on};
use jiff::civil::{Date, date};
use likewear::facade::catalogue::Value;
use likewear::facade::records::{
    BasePeriod, Purpose, ResultSource, ResultStatus, RigId, RunResult, TestKey, TrialRecords, TrialSlug,
};
use likewear::facade::standing::{RigChart, Watch, rig_chart};
use likewear::facade::stats::control::{Limits, Rule};

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
    let is_reference = |result: &RunResult| result.blend != code("A");
    rig_chart(
        &records.results,
        &is_reference,
        records.rigs.first()?,
        method,
        quantity,
    )
}

fn limits(chart: &RigChart) -> Limits {
    chart.limits().unwrap()
}

/// The same days in which the rig is known to be in order.
fn with_base(mut records: TrialRecords, first: i64, last: i64) -> TrialRecords {
    let base = BasePeriod::between(Some(week(first)), Some(week(last)));
    records.rigs[0].base_period = base.unwrap();
    records
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
    assert_eq!(chart.watch(), Watch::Settled);
    assert!(chart.spans.is_empty() && chart.changed_on.is_empty());
    let logs: Vec<f64> = STEADY
        .iter()
        .map(|value| value.parse::<f64>().unwrap().ln())
        .collect();
    let mut ranges: Vec<f64> = logs.windows(2).map(|pair| (pair[1] - pair[0]).abs()).collect();
    ranges.sort_by(f64::total_cmp);
    let median_range = 0.5 * (ranges[6] + ranges[7]);
    let limits = limits(&chart);
    assert!((limits.centre - 21f64.ln()).abs() < 1e-12);
    assert!((limits.upper() - limits.centre - 3.0 * median_range / 0.954).abs() < 1e-12);
    assert!((chart.points[3].value - 21.0).abs() < 1e-9);
}

#[test]
fn a_rig_with_few_runs_is_never_said_to_be_quiet() {
    let watch = |runs: usize| chart(&runs_of(KEY, &STEADY[..runs])).watch();
    let of = [1, 4, 5, 7, 8].map(watch);
    let (few, some) = (Watch::TooFew, Watch::Provisional);
    assert_eq!(of, [few, few, some, some, Watch::Settled]);
    // without a published precision the first limits are its own
    let key = "rb_oil/roller_wear";
    let unpublished = |runs: usize| chart_of(&runs_of(key, &STEADY[..runs]), key).unwrap().watch();
    assert_eq!([5, 7, 8].map(unpublished), [few, few, Watch::Settled]);
}

#[test]
fn an_outlier_is_a_reason_to_look_and_puts_no_result_in_doubt() {
    let chart = chart(&steady_and(&["80", "21", "20", "21", "20"]));
    assert!(chart.points[15].signals.contains(&Rule::BeyondLimits));
    assert!(chart.spans.is_empty() && chart.changed_on.is_empty());
}

/// Twenty readings of which the last five stand higher, none of them beyond the limits by much.
fn stepped() -> TrialRecords {
    steady_and(&["31", "34", "29", "33", "30"])
}

#[test]
fn results_since_a_change_of_level_are_in_doubt_from_the_last_run_before_it() {
    let chart = chart(&stepped());
    assert_eq!(
        (chart.changed_on.clone(), chart.cuts()),
        (vec![week(15)], vec![15])
    );
    let span = chart.spans[0];
    assert_eq!((span.after, span.first), (Some(week(14)), week(15)));
    assert_eq!((span.last, span.until), (week(19), None));
    let day_after = week(14).tomorrow().unwrap();
    let in_doubt = [week(14), day_after, week(15), week(40)].map(|day| chart.span_of(day).is_some());
    assert_eq!(in_doubt, [false, true, true, true]);
}

#[test]
fn the_level_of_the_base_period_is_the_one_that_is_in_control() {
    let base = with_base(stepped(), 15, 19);
    let chart = chart(&base);
    let span = chart.spans[0];
    assert_eq!((span.after, span.first, span.last), (None, week(0), week(14)));
    assert_eq!(span.until, Some(week(15)));
    assert_eq!(chart.watch(), Watch::Provisional, "five runs in the base period");
    // a period without runs, or one that holds the first level, states nothing new
    for (first, last) in [(60, 70), (0, 9), (3, 17)] {
        let base = with_base(stepped(), first, last);
        assert_eq!(self::chart(&base).spans, self::chart(&stepped()).spans, "{first}");
    }
}

#[test]
fn every_reference_oil_tells_of_the_level_and_the_rigs_own_is_drawn() {
    let mut records = stepped();
    // every other run is of another oil, which reads ten times as much
    for result in records.results.iter_mut().skip(1).step_by(2) {
        result.blend = code("MID");
        if let Value::Exact(value) = &mut result.value {
            *value *= 10.0;
        }
    }
    let drawn = |records: &TrialRecords| {
        let chart = chart(records);
        (chart.reference.to_string(), chart.points.len(), chart.other_runs)
    };
    assert_eq!(drawn(&records), ("MID".to_string(), 10, 10));
    assert_eq!(chart(&records).changed_on, [week(15)]);
    records.rigs[0].reference_blend = Some(code("REF"));
    assert_eq!(drawn(&records), ("REF".to_string(), 10, 10));
    assert_eq!(chart(&records).changed_on, [week(15)]);
    assert_eq!(
        chart(&records).cuts(),
        [8],
        "before the first run of its own since"
    );
}

#[test]
fn what_is_no_reference_oil_tells_nothing_unless_the_rig_names_it() {
    let mut records = stepped();
    for result in &mut records.results {
        result.blend = code("A");
    }
    assert!(chart_of(&records, KEY).is_none());
    records.rigs[0].reference_blend = Some(code("A"));
    assert_eq!(chart(&records).changed_on, [week(15)]);
}

#[test]
fn what_is_said_to_be_new_starts_another_stretch() {
    for phrase in ["New specimen lot D-18", "new drum of the oil", "after overhaul"] {
        let mut records = steady_and(&["60", "66", "58"]);
        records.results[15].conditions = phrase.to_string();
        let chart = chart(&records);
        assert_eq!(chart.stretches.len(), 2, "{phrase}");
        assert_eq!((chart.stretches[1].first, chart.stretches[1].points), (15, 3));
        assert!(
            chart.watch() == Watch::TooFew && chart.spans.is_empty(),
            "{phrase}"
        );
        // a drum changes what its oil reads, not the rig
        assert_eq!(chart.changed_on.is_empty(), phrase.contains("drum"), "{phrase}");
    }
    // a word that is none of the three phrases starts nothing
    let mut records = steady_and(&["60", "66", "58"]);
    records.results[15].conditions = "specimen lot D-18".to_string();
    assert_eq!(chart(&records).stretches.len(), 1);
    assert_eq!(chart(&records).spans.len(), 1);
}

#[test]
fn a_change_of_level_since_the_overhaul_is_told_from_that_at_the_overhaul() {
    let mut records = steady_and(&["60", "66", "58", "62", "59", "90", "97", "88", "94", "91"]);
    records.results[15].conditions = "after overhaul".to_string();
    let of = |records: &TrialRecords| {
        let chart = chart(records);
        let spans: Vec<Date> = chart.spans.iter().map(|span| span.first).collect();
        (chart.changed_on, spans)
    };
    assert_eq!(of(&records), (vec![week(15), week(20)], vec![week(20)]));
    records.results[15].conditions = String::new();
    assert_eq!(of(&records).1, [week(15), week(20)]);
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
    assert_eq!(chart.watch(), Watch::Settled);
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
