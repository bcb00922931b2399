//! The control chart of one rig: where its reference oil reads, run after run, and which results fall in between two
//! runs that show the rig out of control.
//!
//! Charted are the reference oil's valid, measured runs (to test, or to check the rig) in order of date, over all
//! results given, on the working scale of the quantity: the logarithm for masses. Not charted, and counted in
//! [`RigChart::left_out`]: runs without a date, bounds (a cap is not a number), and runs under other conditions than
//! most of the oil's runs. A reading between two steps stands at the middle of the step.
//!
//! A stretch ends where something changes that may move the level. Records do not say so reliably, so only three
//! explicit phrases count, in the `conditions` of the first run after the change (not of every run that follows):
//! `overhaul` in any result of the rig, `new specimen lot` in any result of the method on the rig, and `new drum` in
//! one of the reference oil itself.

use crate::catalogue::{Method, MethodId, Quantity};
use crate::records::{BlendCode, Purpose, ResultSource, ResultStatus, RigId, RunResult, TestKey};
use crate::standing::conditions::{Variant, variants};
use crate::standing::evidence::{central, observation};
use crate::standing::spread::published;
use crate::stats::control;
use crate::stats::control::{Chart, Limits, MethodScatter, Rule};
use crate::stats::precision::DIFFERENCE_95;
use jiff::civil::Date;
use std::collections::{BTreeMap, BTreeSet};

/// One run of the reference oil.
#[derive(Clone, Debug, PartialEq)]
pub struct ChartPoint {
    /// Start of the run.
    pub date: Date,
    /// Its replicate number; of several specimens of one run, the first.
    pub replicate: u32,
    /// What it read, in the quantity's unit; of several specimens of one run, their mean on the working scale.
    pub value: f64,
    /// The same on the working scale.
    pub working: f64,
    /// Exponentially weighted mean after this run, on the working scale.
    pub ewma: f64,
    /// Rules that fired at this run.
    pub signals: Vec<Rule>,
}

impl ChartPoint {
    /// Whether a rule says at this run that the level has moved.
    pub fn is_alarm(&self) -> bool {
        self.signals.iter().any(|rule| rule.is_alarm())
    }
}

/// Runs between two changes of what they were run with.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ChartStretch {
    /// Place of its first point.
    pub first: usize,
    /// Number of points.
    pub points: usize,
    /// Its limits on the working scale; `None` where nothing says how far its runs may scatter.
    pub limits: Option<Limits>,
}

/// The control chart of one rig, one quantity and one reference oil.
#[derive(Clone, Debug, PartialEq)]
pub struct RigChart {
    /// The rig.
    pub rig: RigId,
    /// Method and quantity.
    pub key: TestKey,
    /// The reference oil.
    pub reference: BlendCode,
    /// Its runs in order of date.
    pub points: Vec<ChartPoint>,
    /// Stretches, in order; together they hold every point.
    pub stretches: Vec<ChartStretch>,
    /// Centre of the last stretch that has limits, on the working scale.
    pub centre: f64,
    /// Lower limit of a run in that stretch, on the working scale.
    pub lower: f64,
    /// Upper limit of a run in that stretch, on the working scale.
    pub upper: f64,
    /// Whether those limits are provisional.
    pub provisional: bool,
    /// Where the rig was out of control.
    pub spans: Vec<OutOfControlSpan>,
    /// Runs of the reference oil that could not be charted.
    pub left_out: usize,
}

impl RigChart {
    /// The out-of-control span in which a result of a date lies.
    pub fn span_of(&self, date: Date) -> Option<&OutOfControlSpan> {
        self.spans.iter().find(|span| span.contains(date))
    }
}

/// The chart of a rig for one quantity of a method, from results of any number of trials; `None` where no run of the
/// reference oil can be charted, or where nothing says how far its runs may scatter.
pub fn rig_chart(
    results: &[RunResult],
    rig: &RigId,
    reference: &BlendCode,
    method: &Method,
    quantity: &Quantity,
) -> Option<RigChart> {
    let key = TestKey::new(&method.id, &quantity.id);
    let of_rig: Vec<&RunResult> = current(results)
        .into_iter()
        .filter(|result| result.rig.as_ref() == Some(rig))
        .collect();
    let (readings, left_out) = readings(&of_rig, &key, reference, method, quantity);
    let changes = changes(&of_rig, &method.id, reference);
    let mut points = Vec::new();
    let mut stretches: Vec<ChartStretch> = Vec::new();
    for stretch in split_at(&readings, &changes) {
        let chart = chart_stretch(stretch, method, quantity);
        stretches.push(ChartStretch {
            first: points.len(),
            points: stretch.len(),
            limits: chart.as_ref().map(|chart| chart.limits),
        });
        points.extend(chart_points(stretch, chart.as_ref()));
    }
    let last = stretches.iter().rev().find_map(|stretch| stretch.limits)?;
    Some(RigChart {
        rig: rig.clone(),
        key,
        reference: reference.clone(),
        spans: out_of_control_spans(&points),
        points,
        stretches,
        centre: last.centre,
        lower: last.lower(),
        upper: last.upper(),
        provisional: last.provisional,
        left_out,
    })
}

/// The latest revision of each result.
fn current(results: &[RunResult]) -> Vec<&RunResult> {
    let corrected: BTreeSet<i64> = results.iter().filter_map(|result| result.supersedes).collect();
    let is_current = |result: &&RunResult| result.id.is_none_or(|id| !corrected.contains(&id));
    results.iter().filter(is_current).collect()
}

/// Readings between the dates on which something changed.
fn split_at<'r>(readings: &'r [Reading], changes: &[Date]) -> Vec<&'r [Reading]> {
    let mut stretches = Vec::new();
    let mut rest = readings;
    for change in changes {
        let (before, after) = rest.split_at(rest.partition_point(|reading| reading.date < *change));
        stretches.push(before);
        rest = after;
    }
    stretches.push(rest);
    stretches.retain(|stretch| !stretch.is_empty());
    stretches
}

fn chart_stretch(stretch: &[Reading], method: &Method, quantity: &Quantity) -> Option<Chart> {
    let series: Vec<f64> = stretch.iter().map(|reading| reading.working).collect();
    let middle = crate::resemblance::median(series.clone());
    let scatter = published(quantity, method.origin, middle).map(|known| {
        let total = known.within_sd.powi(2) + known.between_variance;
        MethodScatter {
            // R itself, except for steps, where "R = m steps" is more scatter than R / 2.77.
            reproducibility: DIFFERENCE_95 * total.sqrt(),
            least_sd: if quantity.scale.is_stepped() {
                known.within_sd
            } else {
                0.0
            },
        }
    });
    control::chart(&series, scatter)
}

/// Points of a stretch; without limits there is no signal, and the weighted mean starts at the first run.
fn chart_points(stretch: &[Reading], chart: Option<&Chart>) -> Vec<ChartPoint> {
    let series: Vec<f64> = stretch.iter().map(|reading| reading.working).collect();
    let start = series.first().copied().unwrap_or(0.0);
    let means = chart.map_or_else(
        || control::ewma(&series, control::EWMA_LAMBDA, start),
        |chart| chart.ewma.clone(),
    );
    let fired = |place: usize| {
        let signals = chart.iter().flat_map(|chart| &chart.signals);
        let here = signals.filter(|signal| signal.index == place);
        here.map(|signal| signal.rule).collect()
    };
    let point = |(place, (reading, ewma)): (usize, (&Reading, f64))| ChartPoint {
        date: reading.date,
        replicate: reading.replicate,
        value: reading.value,
        working: reading.working,
        ewma,
        signals: fired(place),
    };
    stretch.iter().zip(means).enumerate().map(point).collect()
}

/// An alarm marks every result since the last reference run in control, and goes on marking until the next one.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct OutOfControlSpan {
    /// Date of the last run in control before it; `None` where there was none.
    pub after: Option<Date>,
    /// Date of the first alarm.
    pub first_alarm: Date,
    /// Date of the last alarm.
    pub last_alarm: Date,
    /// Date of the first run in control after it; `None` while there is none.
    pub until: Option<Date>,
}

impl OutOfControlSpan {
    /// Whether a result of a date is marked. On the day of a run in control it is not, unless an alarm fell on that day
    /// too: records do not say which came first.
    pub fn contains(&self, date: Date) -> bool {
        let between =
            self.after.is_none_or(|after| after < date) && self.until.is_none_or(|until| date < until);
        between || (self.first_alarm <= date && date <= self.last_alarm)
    }
}

/// The spans of a chart, from its points in order of time.
fn out_of_control_spans(points: &[ChartPoint]) -> Vec<OutOfControlSpan> {
    let mut spans: Vec<OutOfControlSpan> = Vec::new();
    let mut after = None;
    let mut open = false;
    for point in points {
        match (point.is_alarm(), spans.last_mut().filter(|_| open)) {
            (true, Some(span)) => span.last_alarm = point.date,
            (true, None) => {
                open = true;
                spans.push(OutOfControlSpan {
                    after,
                    first_alarm: point.date,
                    last_alarm: point.date,
                    until: None,
                });
            }
            (false, span) => {
                if let Some(span) = span {
                    span.until = Some(point.date);
                }
                open = false;
                after = Some(point.date);
            }
        }
    }
    spans
}

/// One charted run.
#[derive(Clone, Debug, PartialEq)]
struct Reading {
    date: Date,
    replicate: u32,
    /// In the quantity's unit.
    value: f64,
    working: f64,
}

/// The readings of a reference oil on one rig in order of time, and how many of its runs could not be charted.
fn readings(
    of_rig: &[&RunResult],
    key: &TestKey,
    reference: &BlendCode,
    method: &Method,
    quantity: &Quantity,
) -> (Vec<Reading>, usize) {
    let charted = |result: &&&RunResult| {
        &result.key == key
            && &result.blend == reference
            && result.status == ResultStatus::Valid
            && result.source == ResultSource::Measured
            && result.purpose != Purpose::Stopped
    };
    let runs: Vec<&RunResult> = of_rig.iter().filter(charted).copied().collect();
    let number = runs.len();
    let mut placed: Vec<Placed> = usual_variant(runs, method, quantity)
        .into_iter()
        .filter_map(|result| Placed::of(result, quantity))
        .collect();
    let left_out = number - placed.len();
    placed.sort_by_key(|one| (one.date, one.replicate, one.id));
    let runs = if method.several_specimens_per_run {
        specimens_of_one_run(placed)
    } else {
        placed.into_iter().map(|one| vec![one]).collect()
    };
    let readings = runs.iter().filter_map(|run| reading(run, quantity)).collect();
    (readings, left_out)
}

/// The runs under the conditions that most of them share; between equal numbers, the method's own.
fn usual_variant<'a>(runs: Vec<&'a RunResult>, method: &Method, quantity: &Quantity) -> Vec<&'a RunResult> {
    let mut by_variant: BTreeMap<Variant, Vec<&RunResult>> = BTreeMap::new();
    for (result, variant) in runs.iter().zip(variants(method, quantity, &runs)) {
        by_variant.entry(variant).or_default().push(result);
    }
    let most = by_variant.into_iter().rev().max_by_key(|(_, runs)| runs.len());
    most.map(|(_, runs)| runs).unwrap_or_default()
}

/// A run that has a place in time and on the scale.
struct Placed {
    date: Date,
    replicate: u32,
    id: Option<i64>,
    campaign: String,
    working: f64,
}

impl Placed {
    fn of(result: &RunResult, quantity: &Quantity) -> Option<Self> {
        Some(Self {
            date: result.date?,
            replicate: result.replicate,
            id: result.id,
            campaign: result.campaign.clone(),
            working: central(observation(&result.value, &quantity.scale)?)?,
        })
    }
}

/// Specimens of one run (same day, same campaign) are one reading.
fn specimens_of_one_run(placed: Vec<Placed>) -> Vec<Vec<Placed>> {
    let mut runs: Vec<Vec<Placed>> = Vec::new();
    for one in placed {
        let same = |run: &&mut Vec<Placed>| {
            let first = run.first();
            first.is_some_and(|first| first.date == one.date && first.campaign == one.campaign)
        };
        match runs.iter_mut().find(same) {
            Some(run) => run.push(one),
            None => runs.push(vec![one]),
        }
    }
    runs
}

fn reading(specimens: &[Placed], quantity: &Quantity) -> Option<Reading> {
    let first = specimens.first()?;
    let working = specimens.iter().map(|one| one.working).sum::<f64>() / specimens.len() as f64;
    Some(Reading {
        date: first.date,
        replicate: first.replicate,
        value: quantity.scale.from_working(working),
        working,
    })
}

/// Dates from which something is new, in order.
fn changes(of_rig: &[&RunResult], method: &MethodId, reference: &BlendCode) -> Vec<Date> {
    let is_change = |result: &&&RunResult| {
        let says = |phrase: &str| result.conditions.to_lowercase().contains(phrase);
        let of_method = &result.key.method == method;
        says("overhaul")
            || (of_method && says("new specimen lot"))
            || (&result.blend == reference && says("new drum"))
    };
    let counts = of_rig.iter().filter(|result| result.status != ResultStatus::Void);
    let mut dates: Vec<Date> = counts
        .filter(is_change)
        .filter_map(|result| result.date)
        .collect();
    dates.sort();
    dates.dedup();
    dates
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::stats::control::Rule;

    fn day(day: i8) -> Date {
        Date::new(2025, 3, day).unwrap()
    }

    fn point(on: i8, signals: &[Rule]) -> ChartPoint {
        ChartPoint {
            date: day(on),
            replicate: 1,
            value: 1.0,
            working: 0.0,
            ewma: 0.0,
            signals: signals.to_vec(),
        }
    }

    #[test]
    fn an_alarm_marks_back_to_the_last_run_in_control_and_on_to_the_next() {
        let alarm = [Rule::BeyondLimits];
        let points = [point(1, &[]), point(5, &alarm), point(9, &alarm), point(12, &[])];
        let spans = out_of_control_spans(&points);
        assert_eq!(spans.len(), 1);
        let marked: Vec<i8> = (1..=14).filter(|on| spans[0].contains(day(*on))).collect();
        assert_eq!(marked, (2..=11).collect::<Vec<i8>>());
    }

    #[test]
    fn an_alarm_at_either_end_is_open_there() {
        let alarm = [Rule::EightOnOneSide];
        let spans = out_of_control_spans(&[point(5, &alarm), point(8, &[]), point(10, &alarm)]);
        assert_eq!((spans[0].after, spans[0].until), (None, Some(day(8))));
        assert_eq!((spans[1].after, spans[1].until), (Some(day(8)), None));
        assert!(spans[1].contains(day(28)) && !spans[0].contains(day(8)));
    }

    #[test]
    fn the_day_of_an_alarm_is_marked_even_where_a_run_in_control_fell_on_it_too() {
        let spans = out_of_control_spans(&[point(5, &[]), point(5, &[Rule::WeightedMean]), point(9, &[])]);
        assert!(spans[0].contains(day(5)) && !spans[0].contains(day(9)));
    }

    #[test]
    fn a_jump_alone_marks_nothing() {
        assert!(out_of_control_spans(&[point(1, &[]), point(2, &[Rule::MovingRange])]).is_empty());
    }
}
