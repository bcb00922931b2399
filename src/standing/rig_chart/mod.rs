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

mod points;
mod spans;

pub use spans::OutOfControlSpan;

use crate::catalogue::{Method, Quantity};
use crate::records::{BlendCode, RigId, RunResult, TestKey};
use crate::standing::spread::published;
use crate::stats::control::{self, Chart, Limits, MethodScatter, Rule};
use crate::stats::precision::DIFFERENCE_95;
use jiff::civil::Date;
use points::{Reading, changes, readings};
use spans::out_of_control_spans;
use std::collections::BTreeSet;

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
    let results: Vec<&RunResult> = results.iter().collect();
    chart_of(&results, rig, reference, method, quantity)
}

/// The same, from borrowed results.
pub(crate) fn chart_of(
    results: &[&RunResult],
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
fn current<'a>(results: &[&'a RunResult]) -> Vec<&'a RunResult> {
    let corrected: BTreeSet<i64> = results.iter().filter_map(|result| result.supersedes).collect();
    let is_current = |result: &&&RunResult| result.id.is_none_or(|id| !corrected.contains(&id));
    results.iter().filter(is_current).copied().collect()
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
