//! How a test is drawn: a scale of positions, estimates and raw runs on it with what is known against them.

use crate::catalogue::{Better, Scale, Value};
use crate::records::{BlendCode, ResultSource, Role, RunResult};
use crate::standing::doubted::Doubted;
use crate::standing::evidence::{Evidence, observation};
use crate::standing::kernel::{CellSummary, PositionSummary, TestFit, Who};
use crate::standing::prepare::Test;
use crate::standing::{DoubtedBecause, Estimate};
use crate::stats::observation::Observation;
use crate::units::{Unit, position};
use serde::Serialize;
use std::collections::BTreeMap;

/// A mean with an interval, on the position scale.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Position {
    /// Mean.
    pub mean: f64,
    /// 5 % quantile.
    pub lo: f64,
    /// 95 % quantile.
    pub hi: f64,
}

impl From<PositionSummary> for Position {
    fn from(summary: PositionSummary) -> Self {
        let (lo, hi) = summary.interval;
        Self {
            mean: summary.mean,
            lo,
            hi,
        }
    }
}

/// What fixes the position scale of a test.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Anchored {
    /// Known poor at 0, known good at 1.
    Both,
    /// Known good at 1 only; 0 is twice the reproducibility away.
    Good,
    /// Known poor at 0 only; 1 is twice the reproducibility away.
    Poor,
    /// No reference: the scale spans the data and means nothing else.
    None,
}

/// One raw run as the plot shows it, on the position scale.
#[derive(Clone, Debug, PartialEq)]
pub struct RunMark {
    /// The blend.
    pub blend: BlendCode,
    /// Its role.
    pub role: Role,
    /// The value in the quantity's unit.
    pub value: Value,
    /// Position of the lower bound; equal to `hi` for a reading, `None` when unbounded.
    pub lo: Option<f64>,
    /// Position of the upper bound.
    pub hi: Option<f64>,
    /// Data-sheet values are drawn open and never weighed.
    pub source: ResultSource,
    /// What is known against it.
    pub mark: Option<RunFlag>,
}

/// How a test is drawn: the value `zero + x * per_position` on the working scale lies at the position of the ratio x
/// ([`position`]).
#[derive(Clone, Debug, PartialEq)]
pub struct Strip {
    /// What fixes the scale.
    pub anchored: Anchored,
    /// Working scale, with the steps at which a ladder has ticks.
    pub scale: Scale,
    /// Unit of the ticks.
    pub unit: Unit,
    /// Which way is better.
    pub better: Better,
    /// Working value at position 0.
    pub zero: f64,
    /// Working value of the way from 0 to 1; negative where lower is better.
    pub per_position: f64,
    /// How much counts beyond the reference oils; infinite where the scale means nothing else.
    pub head_room: f64,
    /// Position of the cap, where there is one.
    pub cap: Option<f64>,
    /// Half width, in ways from 0 to 1, of the band within which a single result cannot be told from a reference.
    pub band: Option<f64>,
    /// The position of each blend that counts, with what is open of it.
    pub marks: BTreeMap<BlendCode, Position>,
    /// Raw runs.
    pub runs: Vec<RunMark>,
}

impl Strip {
    /// The position of a value in the quantity's unit; `None` where the scale has no such value.
    pub fn position_of(&self, value: f64) -> Option<f64> {
        let working = self.scale.to_working(value)?;
        self.position_of_working(working)
    }

    fn position_of_working(&self, working: f64) -> Option<f64> {
        let ratio = (working - self.zero) / self.per_position;
        ratio.is_finite().then(|| position(ratio, self.head_room))
    }
}

/// What is known against a run.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, strum::IntoStaticStr)]
#[strum(serialize_all = "lowercase")]
pub enum RunFlag {
    /// It and its replicates lie further apart than the method lets expect.
    #[strum(serialize = "beyond the critical range")]
    BeyondCriticalRange,
    /// It was run under other conditions than those that count: shown, not pooled.
    #[strum(serialize = "other conditions")]
    OtherConditions,
    /// Its rig was out of control.
    #[strum(serialize = "rig out of control")]
    RigOutOfControl,
    /// Somebody marked it suspect.
    Suspect,
}

impl RunFlag {
    /// Its word.
    pub fn word(self) -> &'static str {
        self.into()
    }
}

/// Marks by result. Of several against one run the first holds: suspect, far apart, out of control.
pub(crate) struct RunMarks {
    /// By address: every result is one row of one records.
    by_result: BTreeMap<*const RunResult, RunFlag>,
}

impl RunMarks {
    /// Marks of doubted runs and of runs in out-of-control spans, of all tests of a records.
    pub(crate) fn new(doubted: &[Doubted], out_of_control: &[&RunResult]) -> Self {
        let mut by_result = BTreeMap::new();
        for result in out_of_control {
            by_result.insert(std::ptr::from_ref(*result), RunFlag::RigOutOfControl);
        }
        let marked_last = |one: &&Doubted| matches!(one.because, DoubtedBecause::Marked { .. });
        let (marked, far_apart): (Vec<&Doubted>, Vec<&Doubted>) = doubted.iter().partition(marked_last);
        for (doubts, mark) in [
            (far_apart, RunFlag::BeyondCriticalRange),
            (marked, RunFlag::Suspect),
        ] {
            for result in doubts.iter().flat_map(|one| &one.results) {
                by_result.insert(std::ptr::from_ref(*result), mark);
            }
        }
        Self { by_result }
    }

    /// The mark of a result.
    pub(crate) fn of(&self, result: &RunResult) -> Option<RunFlag> {
        self.by_result.get(&std::ptr::from_ref(result)).copied()
    }
}

/// The cell of a blend of the trial in a fitted test.
pub(crate) fn who(evidence: &Evidence, candidates: &[&BlendCode], blend: &BlendCode) -> Option<Who> {
    if let Some(place) = candidates.iter().position(|candidate| *candidate == blend) {
        return Some(Who::Candidate(place));
    }
    let named = [
        (evidence.good, Who::Good),
        (evidence.poor, Who::Poor),
        (evidence.middle, Who::Middle),
        (evidence.control, Who::Control),
    ];
    named
        .into_iter()
        .find(|(code, _)| *code == Some(blend))
        .map(|(_, who)| who)
}

/// Estimates of every blend that was run, from a fitted test.
pub(crate) fn estimates(
    evidence: &Evidence,
    fit: &TestFit,
    candidates: &[&BlendCode],
) -> BTreeMap<BlendCode, Estimate> {
    let of_cell = |blend: &BlendCode| {
        let summary = fit.summary(who(evidence, candidates, blend)?)?;
        (summary.results > 0).then(|| estimate(&summary, evidence))
    };
    let cells = evidence.cells.iter().filter(|cell| cell.is_run());
    cells
        .filter_map(|cell| Some((cell.blend.clone(), of_cell(cell.blend)?)))
        .collect()
}

fn estimate(summary: &CellSummary, evidence: &Evidence) -> Estimate {
    let scale = &evidence.quantity.scale;
    let in_unit = |value: f64| scale.from_working(evidence.held_at_cap(value));
    let (a, b) = (in_unit(summary.interval.0), in_unit(summary.interval.1));
    Estimate {
        value: in_unit(summary.mean),
        lo: a.min(b),
        hi: a.max(b),
        capped: evidence.is_beyond_cap(summary.mean),
        runs: summary.results,
    }
}

/// Estimates where nothing could be fitted: the mean of readings, with the range of them as interval.
pub(crate) fn plain_estimates(evidence: &Evidence) -> BTreeMap<BlendCode, Estimate> {
    let of_cell = |results: &[&RunResult]| {
        let readings: Vec<f64> = results
            .iter()
            .filter_map(|result| reading(&result.value))
            .collect();
        let n = readings.len() as f64;
        (!readings.is_empty() && readings.len() == results.len()).then(|| Estimate {
            value: readings.iter().sum::<f64>() / n,
            lo: readings.iter().copied().fold(f64::INFINITY, f64::min),
            hi: readings.iter().copied().fold(f64::NEG_INFINITY, f64::max),
            capped: false,
            runs: readings.len(),
        })
    };
    let cells = evidence.cells.iter().filter(|cell| cell.is_run());
    cells
        .filter_map(|cell| Some((cell.blend.clone(), of_cell(&cell.results)?)))
        .collect()
}

fn reading(value: &Value) -> Option<f64> {
    match value {
        Value::Exact(reading) => Some(*reading),
        _ => None,
    }
}

/// Where positions 0 and 1 lie on the working scale, and what fixes them.
fn axis(test: &Test, fit: Option<&TestFit>) -> Option<(Anchored, f64, f64)> {
    let evidence = &test.evidence;
    let sign = evidence.quantity.better.sign();
    let mean = |who: Who| {
        fit.and_then(|fit| fit.summary(who))
            .map(|summary| evidence.held_at_cap(summary.mean))
    };
    match (mean(Who::Good), mean(Who::Poor)) {
        (Some(good), Some(poor)) => {
            let least = fit.and_then(TestFit::smallest_gap).unwrap_or(0.0);
            Some((Anchored::Both, poor, sign * (sign * (good - poor)).max(least)))
        }
        (Some(good), None) => {
            let gap = sign * 2.0 * test.spread.as_ref()?.reproducibility;
            Some((Anchored::Good, good - gap, gap))
        }
        (None, Some(poor)) => {
            let gap = sign * 2.0 * test.spread.as_ref()?.reproducibility;
            Some((Anchored::Poor, poor, gap))
        }
        (None, None) => own_axis(evidence, sign),
    }
}

/// Without a scale of its own a test spans its data, worst at 0 and best at 1.
fn own_axis(evidence: &Evidence, sign: f64) -> Option<(Anchored, f64, f64)> {
    let ends = evidence.runs().map(|(_, run)| run.observation.ends());
    let (lo, hi) = ends.fold((f64::INFINITY, f64::NEG_INFINITY), |(lo, hi), (a, b)| {
        (lo.min(a), hi.max(b))
    });
    if !lo.is_finite() || !hi.is_finite() {
        return None;
    }
    let span = if hi > lo { hi - lo } else { hi.abs().max(1.0) * 0.1 };
    let worst = if sign > 0.0 { lo } else { hi };
    Some((Anchored::None, worst, sign * span))
}

/// How a test is drawn; `None` where nothing was run.
pub(crate) fn strip(
    test: &Test,
    fit: Option<&TestFit>,
    candidates: &[&BlendCode],
    estimates: &BTreeMap<BlendCode, Estimate>,
    marks: &RunMarks,
) -> Option<Strip> {
    let evidence = &test.evidence;
    let quantity = evidence.quantity;
    let (anchored, zero, per_position) = axis(test, fit)?;
    let band = test
        .spread
        .as_ref()
        .map(|spread| (spread.reproducibility / per_position).abs());
    let mut strip = Strip {
        anchored,
        scale: quantity.scale.clone(),
        unit: quantity.unit,
        better: quantity.better,
        zero,
        per_position,
        head_room: fit.map_or(f64::INFINITY, TestFit::head_room),
        cap: None,
        band: band.filter(|band| band.is_finite()),
        marks: BTreeMap::new(),
        runs: Vec::new(),
    };
    strip.cap = evidence.cap.and_then(|cap| strip.position_of(cap));
    strip.marks = estimates
        .iter()
        .filter_map(|(blend, estimate)| {
            let counts = fit.and_then(|fit| fit.position(who(evidence, candidates, blend)?));
            let drawn = counts.map(Position::from).or_else(|| mark(&strip, estimate))?;
            Some((blend.clone(), drawn))
        })
        .collect();
    for cell in &evidence.cells {
        let counted = cell.results.iter().map(|result| (*result, marks.of(result)));
        let data_sheet = cell.data_sheet.iter().map(|result| (*result, None));
        let apart = cell
            .apart
            .iter()
            .map(|(result, _)| (*result, Some(RunFlag::OtherConditions)));
        let shown = counted.chain(data_sheet).chain(apart);
        let runs: Vec<RunMark> = shown
            .filter_map(|(result, mark)| run_mark(&strip, result, cell.role, mark))
            .collect();
        strip.runs.extend(runs);
    }
    Some(strip)
}

/// Where no position counts, an estimate is drawn where it lies.
fn mark(strip: &Strip, estimate: &Estimate) -> Option<Position> {
    let (a, b) = (strip.position_of(estimate.lo)?, strip.position_of(estimate.hi)?);
    Some(Position {
        mean: strip.position_of(estimate.value)?,
        lo: a.min(b),
        hi: a.max(b),
    })
}

fn run_mark(strip: &Strip, result: &RunResult, role: Role, mark: Option<RunFlag>) -> Option<RunMark> {
    let (lo, hi) = bounds(strip, &result.value)?;
    Some(RunMark {
        blend: result.blend.clone(),
        role,
        value: result.value.clone(),
        lo,
        hi,
        source: result.source,
        mark,
    })
}

/// Positions of a value's bounds, the worse first; `None` for a side without a bound.
fn bounds(strip: &Strip, value: &Value) -> Option<(Option<f64>, Option<f64>)> {
    let at = |working: f64| strip.position_of_working(working);
    let higher_is_better = strip.better == Better::Higher;
    Some(match observation(value, &strip.scale)? {
        Observation::Exact(value) => (at(value), at(value)),
        Observation::Between { lo, hi } if higher_is_better => (at(lo), at(hi)),
        Observation::Between { lo, hi } => (at(hi), at(lo)),
        Observation::Above(value) if higher_is_better => (at(value), None),
        Observation::Above(value) => (None, at(value)),
        Observation::Below(value) if higher_is_better => (None, at(value)),
        Observation::Below(value) => (at(value), None),
    })
}
