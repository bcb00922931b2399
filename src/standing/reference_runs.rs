//! What the reference oils of a rig read in one quantity, run after run, and when something was new.
//!
//! Counted are valid, measured runs (to test, or to check the rig), on the working scale of the quantity: the logarithm
//! for masses. Not counted, and told of in [`ReferenceRuns::left_out`]: runs without a date, bounds (a cap is not a
//! number), and runs under other conditions than most of the oil's runs. A reading between two steps stands at the middle
//! of the step.
//!
//! Records do not say reliably when something was new, so only three explicit phrases count, in the `conditions` of the
//! first run after the change (not of every run that follows): `overhaul` in any result of the rig, `new specimen lot` in
//! any result of the method on the rig, and `new drum` in one of a reference oil.

use crate::catalogue::{Method, Quantity};
use crate::records::{BlendCode, Purpose, ResultSource, ResultStatus, Rig, RunResult, TestKey};
use crate::standing::conditions::{Variant, variants};
use crate::standing::evidence::{central, observation};
use jiff::civil::Date;
use std::collections::BTreeMap;

/// One run of a reference oil.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Reading {
    /// The oil.
    pub(crate) oil: BlendCode,
    /// Start of the run.
    pub(crate) date: Date,
    /// Its replicate number; of several specimens of one run, the first.
    pub(crate) replicate: u32,
    /// In the quantity's unit; of several specimens of one run, their mean on the working scale.
    pub(crate) value: f64,
    /// The same on the working scale.
    pub(crate) working: f64,
}

/// The runs of all reference oils on one rig in one quantity.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct ReferenceRuns {
    /// In order of date.
    pub(crate) readings: Vec<Reading>,
    /// Runs that could not be placed, by oil.
    pub(crate) left_out: BTreeMap<BlendCode, usize>,
    /// Dates of an overhaul or a new specimen lot, in order.
    changes: Vec<Date>,
    /// Dates of a new drum, by oil.
    drums: BTreeMap<BlendCode, Vec<Date>>,
}

impl ReferenceRuns {
    /// From current results, of any method and rig; `is_reference` says of which a reference oil was run, and the oil that
    /// the rig names is one too.
    pub(crate) fn of(
        results: &[&RunResult],
        is_reference: &dyn Fn(&RunResult) -> bool,
        rig: &Rig,
        method: &Method,
        quantity: &Quantity,
    ) -> Self {
        let of_rig = results
            .iter()
            .filter(|result| result.rig.as_ref() == Some(&rig.id));
        let of_rig: Vec<&RunResult> = of_rig.copied().collect();
        let is_reference =
            |result: &RunResult| rig.reference_blend.as_ref() == Some(&result.blend) || is_reference(result);
        let key = TestKey::new(&method.id, &quantity.id);
        let charted = |result: &&&RunResult| {
            result.key == key
                && is_reference(result)
                && result.status == ResultStatus::Valid
                && result.source == ResultSource::Measured
                && result.purpose != Purpose::Stopped
        };
        let mut by_oil: BTreeMap<&BlendCode, Vec<&RunResult>> = BTreeMap::new();
        for result in of_rig.iter().filter(charted) {
            by_oil.entry(&result.blend).or_default().push(result);
        }
        let mut runs = Self::default();
        for (oil, results) in by_oil {
            let (readings, left_out) = readings(oil, results, method, quantity);
            runs.readings.extend(readings);
            runs.left_out.insert(oil.clone(), left_out);
        }
        runs.readings
            .sort_by(|a, b| (a.date, a.replicate, &a.oil).cmp(&(b.date, b.replicate, &b.oil)));
        let says = |result: &RunResult, phrase: &str| result.conditions.to_lowercase().contains(phrase);
        for result in of_rig.iter().filter(|result| result.status != ResultStatus::Void) {
            let Some(date) = result.date else { continue };
            let new_lot = result.key.method == method.id && says(result, "new specimen lot");
            if says(result, "overhaul") || new_lot {
                runs.changes.push(date);
            }
            if is_reference(result) && says(result, "new drum") {
                runs.drums.entry(result.blend.clone()).or_default().push(date);
            }
        }
        runs.changes.sort();
        runs
    }

    /// Number of runs of each oil.
    fn counts(&self) -> BTreeMap<&BlendCode, usize> {
        let mut counts = BTreeMap::new();
        for reading in &self.readings {
            *counts.entry(&reading.oil).or_default() += 1;
        }
        counts
    }

    /// Number of runs of the oil that was run most often.
    pub(crate) fn most_of_one_oil(&self) -> usize {
        self.counts().into_values().max().unwrap_or(0)
    }

    /// The oil that stands for the rig: the declared one where it was run, else the one that was run most often.
    pub(crate) fn main_oil(&self, declared: Option<&BlendCode>) -> Option<&BlendCode> {
        let counts = self.counts();
        let declared = declared.and_then(|oil| counts.get_key_value(oil));
        let most = || counts.iter().rev().max_by_key(|(_, runs)| **runs);
        declared.or_else(most).map(|(oil, _)| *oil)
    }

    /// Dates from which something is new for an oil, in order: overhaul, specimen lot, drum.
    pub(crate) fn changes_of(&self, oil: &BlendCode) -> Vec<Date> {
        let drums = self.drums.get(oil).into_iter().flatten();
        let mut dates: Vec<Date> = self.changes.iter().chain(drums).copied().collect();
        dates.sort();
        dates.dedup();
        dates
    }

    /// Which series each reading belongs to: each oil, and each drum of it, has a level of its own.
    pub(crate) fn series(&self) -> Vec<usize> {
        let of_reading: Vec<(&BlendCode, Option<&Date>)> = self
            .readings
            .iter()
            .map(|reading| {
                let drums = self.drums.get(&reading.oil).into_iter().flatten();
                let begun = drums.filter(|date| **date <= reading.date);
                (&reading.oil, begun.max())
            })
            .collect();
        let mut all = of_reading.clone();
        all.sort();
        all.dedup();
        let place = |one| all.iter().position(|other| *other == one).unwrap_or(0);
        of_reading.into_iter().map(place).collect()
    }
}

/// The readings of one oil, and how many of its runs could not be placed.
fn readings(
    oil: &BlendCode,
    runs: Vec<&RunResult>,
    method: &Method,
    quantity: &Quantity,
) -> (Vec<Reading>, usize) {
    let number = runs.len();
    let mut placed: Vec<Placed> = usual_variant(runs, method, quantity)
        .into_iter()
        .filter_map(|result| Placed::of(result, quantity))
        .collect();
    let left_out = number - placed.len();
    placed.sort_by_key(|one| (one.date, one.replicate, one.id));
    let runs: Vec<&[Placed]> = if method.several_specimens_per_run {
        placed.chunk_by(|a, b| a.date == b.date).collect()
    } else {
        placed.chunks(1).collect()
    };
    let readings = runs.into_iter().filter_map(|run| reading(oil, run, quantity));
    (readings.collect(), left_out)
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
    working: f64,
}

impl Placed {
    fn of(result: &RunResult, quantity: &Quantity) -> Option<Self> {
        Some(Self {
            date: result.date?,
            replicate: result.replicate,
            id: result.id,
            working: central(observation(&result.value, &quantity.scale)?)?,
        })
    }
}

/// Of the specimens of one run: their mean.
fn reading(oil: &BlendCode, specimens: &[Placed], quantity: &Quantity) -> Option<Reading> {
    let first = specimens.first()?;
    let working = specimens.iter().map(|one| one.working).sum::<f64>() / specimens.len() as f64;
    Some(Reading {
        oil: oil.clone(),
        date: first.date,
        replicate: first.replicate,
        value: quantity.scale.from_working(working),
        working,
    })
}
