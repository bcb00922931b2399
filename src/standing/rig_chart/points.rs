//! Which runs of a reference oil are charted, in which order, and when something changed.

use crate::catalogue::{Method, Quantity};
use crate::records::{BlendCode, Purpose, ResultSource, ResultStatus, RunResult, TestKey};
use crate::standing::conditions::variants;
use crate::standing::evidence::{central, observation};
use jiff::civil::Date;
use std::collections::BTreeMap;

/// One charted run.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Reading {
    pub(super) date: Date,
    pub(super) replicate: u32,
    /// In the quantity's unit.
    pub(super) value: f64,
    pub(super) working: f64,
}

/// The readings of a reference oil on one rig in order of time, and how many of its runs could not be charted.
pub(super) fn readings(
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
    let mut by_variant: BTreeMap<String, Vec<&RunResult>> = BTreeMap::new();
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
            working: central(observation(&result.value, quantity.scale)?)?,
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
pub(super) fn changes(of_rig: &[&RunResult], method: &str, reference: &BlendCode) -> Vec<Date> {
    let is_change = |result: &&&RunResult| {
        let says = |phrase: &str| result.conditions.to_lowercase().contains(phrase);
        let of_method = result.key.method == method;
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
