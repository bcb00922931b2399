//! The control chart of one rig: where its reference oil reads, run after run, where its level changed, and which results
//! fall into a time at which the rig did not hold the level that it should.
//!
//! Charted are the runs of one oil (see [`crate::standing::reference_runs`]); whether the level changed is told by the runs
//! of every reference oil together. A stretch ends where something is new that may move the level. The rules of the chart
//! are reasons to look; whether results are in doubt is the level's to say.

use crate::catalogue::{Method, Quantity};
use crate::records::{BasePeriod, BlendCode, Rig, RigId, RunResult, TestKey};
use crate::standing::levels::{OutOfControlSpan, RigLevels};
use crate::standing::reference_runs::{Reading, ReferenceRuns};
use crate::standing::spread::published;
use crate::stats::control;
use crate::stats::control::{Chart, Limits, MethodScatter, Rule};
use jiff::civil::Date;
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

/// How well a rig is watched now.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Watch {
    /// Too few runs since something was new: nothing can be warned of.
    TooFew,
    /// By the method's scatter.
    Provisional,
    /// By limits of its own.
    Settled,
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
    /// When the level changed: first run of any reference oil at each level but the first.
    pub changed_on: Vec<Date>,
    /// Where the rig was out of control.
    pub spans: Vec<OutOfControlSpan>,
    /// Runs of other reference oils, by which the level is told too.
    pub other_runs: usize,
    /// Runs of the reference oil that could not be charted.
    pub left_out: usize,
}

impl RigChart {
    /// The out-of-control span in which a result of a date lies.
    pub fn span_of(&self, date: Date) -> Option<&OutOfControlSpan> {
        self.spans.iter().find(|span| span.contains(date))
    }

    /// The limits that hold now.
    pub fn limits(&self) -> Option<Limits> {
        self.stretches.last()?.limits
    }

    /// How well the rig is watched now.
    pub fn watch(&self) -> Watch {
        match self.limits() {
            None => Watch::TooFew,
            Some(limits) if limits.provisional => Watch::Provisional,
            Some(_) => Watch::Settled,
        }
    }

    /// The points before which the level changed; one beyond the last where the oil was not run since.
    pub fn cuts(&self) -> Vec<usize> {
        let place = |date: &Date| self.points.partition_point(|point| point.date < *date);
        self.changed_on.iter().map(place).collect()
    }
}

/// The chart of a rig for one quantity of a method, from results of any number of trials; `None` where no run of a
/// reference oil can be charted. `is_reference` says of which results a reference oil was run; the oil that the rig names is
/// one too.
pub fn rig_chart(
    results: &[RunResult],
    is_reference: &dyn Fn(&RunResult) -> bool,
    rig: &Rig,
    method: &Method,
    quantity: &Quantity,
) -> Option<RigChart> {
    let runs = ReferenceRuns::of(&current(results), is_reference, rig, method, quantity);
    let levels = RigLevels::of(&runs, rig)?;
    let of_oil = |reading: &&Reading| reading.oil == levels.oil;
    let readings: Vec<Reading> = runs.readings.iter().filter(of_oil).cloned().collect();
    let mut points = Vec::new();
    let mut stretches: Vec<ChartStretch> = Vec::new();
    for stretch in split_at(&readings, &runs.changes_of(&levels.oil)) {
        let chart = chart_stretch(stretch, rig.base_period, method, quantity);
        stretches.push(ChartStretch {
            first: points.len(),
            points: stretch.len(),
            limits: chart.as_ref().map(|chart| chart.limits),
        });
        points.extend(chart_points(stretch, chart.as_ref()));
    }
    Some(RigChart {
        rig: rig.id.clone(),
        key: TestKey::new(&method.id, &quantity.id),
        changed_on: levels.changed_on().collect(),
        spans: levels.spans,
        other_runs: runs.readings.len() - points.len(),
        points,
        stretches,
        left_out: runs.left_out.get(&levels.oil).copied().unwrap_or(0),
        reference: levels.oil,
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

/// Limits from the runs of the base period where it lies in the stretch, else from the first ones.
fn chart_stretch(
    stretch: &[Reading],
    base: Option<BasePeriod>,
    method: &Method,
    quantity: &Quantity,
) -> Option<Chart> {
    let series: Vec<f64> = stretch.iter().map(|reading| reading.working).collect();
    let in_base = |reading: &&Reading| base.is_some_and(|base| base.contains(reading.date));
    let of_base: Vec<f64> = stretch
        .iter()
        .filter(in_base)
        .map(|reading| reading.working)
        .collect();
    let middle = crate::resemblance::median(series.clone());
    let scatter = published(quantity, method.origin, middle).map(|known| MethodScatter {
        within_sd: known.within_sd,
        least_sd: if quantity.scale.is_stepped() {
            known.within_sd
        } else {
            0.0
        },
    });
    let base = (!of_base.is_empty()).then_some(of_base.as_slice());
    control::chart(&series, base, scatter)
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
