//! Requirements that are not weighed but must be met, by ISO 4259-2 where a precision is stated.

use crate::catalogue::{PrecisionKind, Quantity, Use, step_around};
use crate::records::{GateOutcome, Limit, Place, Purpose, Role, RunResult, Span, TrialRecords};
use crate::standing::evidence::Cell;
use crate::standing::prepare::Test;
use crate::standing::{GateCount, GateRun, GateStanding};
use crate::stats::requirement::{margin, margin_of_scatter};
use std::collections::{BTreeMap, BTreeSet};

/// What each gate says of each candidate.
pub(crate) fn judge(records: &TrialRecords, tests: &[Test]) -> Vec<GateStanding> {
    let gates = tests
        .iter()
        .filter(|test| test.evidence.test.used_to == Use::Gate);
    gates.flat_map(|test| of_test(records, test)).collect()
}

fn of_test(records: &TrialRecords, test: &Test) -> Vec<GateStanding> {
    let evidence = &test.evidence;
    let limit = Limit::parse(&evidence.test.limit, evidence.quantity).ok();
    let candidates = evidence.cells.iter().filter(|cell| cell.role == Role::Candidate);
    let of_cell = |cell: &Cell| {
        let found = limit.map_or(Found::NOTHING, |limit| found(records, test, cell, &limit));
        GateStanding {
            key: evidence.key().clone(),
            label: evidence.quantity.label.clone(),
            standard: evidence.method.standard.clone(),
            limit: evidence.test.limit.clone(),
            blend: cell.blend.clone(),
            runs: in_order(cell).into_iter().map(run).collect(),
            unit: evidence.quantity.unit,
            mean: found.mean,
            inside_by: found.inside_by,
            margin: found.margin,
            count: found.count,
            on_the_wrong_side: found.on_the_wrong_side,
            outcome: found.outcome,
        }
    };
    candidates.map(of_cell).collect()
}

/// What the runs of one candidate say of a limit.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Found {
    mean: Option<f64>,
    inside_by: Option<f64>,
    margin: Option<f64>,
    count: GateCount,
    on_the_wrong_side: bool,
    outcome: GateOutcome,
}

impl Found {
    const NOTHING: Self = Self {
        mean: None,
        inside_by: None,
        margin: None,
        count: GateCount {
            inside: 0,
            outside: 0,
            runs: 0,
        },
        on_the_wrong_side: false,
        outcome: GateOutcome::NotRun,
    };
}

fn found(records: &TrialRecords, test: &Test, cell: &Cell, limit: &Limit) -> Found {
    if !cell.stopped.is_empty() {
        return Found {
            outcome: GateOutcome::Fail,
            on_the_wrong_side: true,
            ..Found::NOTHING
        };
    }
    let laboratories = by_laboratory(records, test, cell);
    let spans: Vec<Span> = laboratories.concat();
    let count = counted(&spans, limit);
    let quantity = test.evidence.quantity;
    if !quantity.scale.classes().is_empty() {
        return Found {
            count,
            on_the_wrong_side: count.outside > 0,
            outcome: by_count(count),
            ..Found::NOTHING
        };
    }
    let means: Vec<Span> = laboratories.iter().filter_map(|runs| Span::mean(runs)).collect();
    let Some(mean) = Span::mean(&means) else {
        return Found::NOTHING;
    };
    let runs: Vec<usize> = laboratories.iter().map(Vec::len).collect();
    let stated = precision_at(limit, quantity).and_then(|(r, big_r)| margin(r, big_r, &runs));
    let scatter = || margin_of_scatter(sd_at(limit, test, cell)?, &runs);
    let outcome = match (stated, scatter()) {
        (Some(margin), _) => by_place(limit.place(mean, margin)),
        (None, Some(margin)) if limit.place(mean, margin) == Place::Open => GateOutcome::InDoubt,
        (None, _) => by_count(count),
    };
    Found {
        mean: mean.number(),
        inside_by: mean.number().map(|mean| limit.inside_by(mean)),
        margin: stated.or_else(scatter),
        count,
        on_the_wrong_side: limit.place(mean, 0.0) == Place::Outside,
        outcome,
    }
}

fn by_place(place: Place) -> GateOutcome {
    match place {
        Place::Inside => GateOutcome::Pass,
        Place::Open => GateOutcome::InDoubt,
        Place::Outside => GateOutcome::Fail,
    }
}

fn counted(spans: &[Span], limit: &Limit) -> GateCount {
    let at = |place: Place| {
        spans
            .iter()
            .filter(|span| limit.place(**span, 0.0) == place)
            .count()
    };
    GateCount {
        inside: at(Place::Inside),
        outside: at(Place::Outside),
        runs: spans.len(),
    }
}

/// Where no precision is stated: every run inside passes, half of them or more outside fails.
fn by_count(count: GateCount) -> GateOutcome {
    match count {
        GateCount { runs: 0, .. } => GateOutcome::NotRun,
        GateCount { inside, runs, .. } if inside == runs => GateOutcome::Pass,
        GateCount { outside, runs, .. } if 2 * outside >= runs => GateOutcome::Fail,
        GateCount { .. } => GateOutcome::InDoubt,
    }
}

/// r and R of a quantity at a limit, in the quantity's unit: per cent are taken of the limit, steps at the limit, and of a
/// quantity that spans decades what is stated near one level in proportion. `None` where no precision is stated.
fn precision_at(limit: &Limit, quantity: &Quantity) -> Option<(f64, f64)> {
    let precision = quantity.precision.as_ref()?;
    let bound = limit.bound();
    let unit = match (precision.kind, precision.level) {
        (PrecisionKind::PerCent, _) => bound.abs() / 100.0,
        (PrecisionKind::Steps, _) => step_around(quantity.scale.steps(), bound)?,
        (PrecisionKind::Constant, Some(level)) if quantity.scale.is_logarithmic() => bound.abs() / level,
        (PrecisionKind::Constant, _) => 1.0,
    };
    Some((
        precision.repeatability * unit,
        precision.reproducibility_or_twice() * unit,
    ))
}

/// Standard deviation of one run by the replicates of all blends, in the quantity's unit at the limit; `None` with fewer
/// than 3 degrees of freedom, and where results lie between steps.
fn sd_at(limit: &Limit, test: &Test, cell: &Cell) -> Option<f64> {
    let sd = test.spread.as_ref()?.sd_of(cell.blend);
    Some(if test.evidence.quantity.scale.is_logarithmic() {
        sd * limit.bound().abs()
    } else {
        sd
    })
}

/// What the runs say, by laboratory. Where the laboratory of one is not known all count as of one: several would be
/// claimed to agree more closely than anybody has shown.
fn by_laboratory(records: &TrialRecords, test: &Test, cell: &Cell) -> Vec<Vec<Span>> {
    let runs = runs(test, cell);
    let known: BTreeSet<Option<&str>> = runs.iter().map(|(rig, _)| records.laboratory_of(rig)).collect();
    if known.contains(&None) {
        return vec![runs.into_iter().map(|(_, span)| span).collect()];
    }
    let mut by_laboratory: BTreeMap<Option<&str>, Vec<Span>> = BTreeMap::new();
    for (rig, span) in runs {
        let of_laboratory = by_laboratory.entry(records.laboratory_of(rig)).or_default();
        of_laboratory.push(span);
    }
    by_laboratory.into_values().collect()
}

/// The rig of each run with what it says; several specimens of one run are one, by their mean.
fn runs<'c>(test: &Test, cell: &'c Cell) -> Vec<(&'c str, Span)> {
    let levels = &test.evidence.levels;
    let mut runs: Vec<(&RunResult, Vec<Span>)> = Vec::new();
    for result in in_order(cell) {
        let span = Span::of(&result.value, test.evidence.quantity);
        let same_run = |(first, _): &&mut (&RunResult, Vec<Span>)| {
            test.evidence.method.several_specimens_per_run
                && levels.block_of(first) == levels.block_of(result)
                && first.date == result.date
        };
        match runs.iter_mut().find(same_run) {
            Some((_, specimens)) => specimens.extend(span),
            None => runs.push((result, span.into_iter().collect())),
        }
    }
    let one = |(first, specimens): (&'c RunResult, Vec<Span>)| {
        let rig = first.rig.as_ref().map_or("", |rig| rig.as_str());
        Some((rig, Span::mean(&specimens)?))
    };
    runs.into_iter().filter_map(one).collect()
}

/// The results of a cell by date, then rig and replicate, so that the order of rows does not matter.
fn in_order<'a>(cell: &Cell<'a>) -> Vec<&'a RunResult> {
    let mut results = cell.results.clone();
    results.sort_by_key(|result| (result.date, result.rig.clone(), result.replicate, result.id));
    results
}

fn run(result: &RunResult) -> GateRun {
    GateRun {
        value: result.value.clone(),
        stopped: result.purpose == Purpose::Stopped,
    }
}
