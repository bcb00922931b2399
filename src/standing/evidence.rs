//! The results of one test of a trial, sorted by blend, on the test's working scale.

use crate::catalogue::{Better, Method, PlainNumber, Quantity, Scale, Use, Value};
use crate::records::{
    BlendCode, Level, Purpose, ResultSource, ResultStatus, Role, RunResult, TestKey, TrialRecords, TrialTest,
};
use crate::standing::conditions::{Variant, variants};
use crate::standing::levels::{Block, Levels};
use crate::stats::observation::Observation;
use jiff::civil::Date;
use std::collections::{BTreeMap, BTreeSet};

/// One run that counts.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Run {
    /// What it says, on the working scale.
    pub(crate) observation: Observation,
    /// The block it was run in.
    pub(crate) block: Block,
    /// Start of the run.
    pub(crate) date: Option<Date>,
    /// Its replicate number; of several specimens of one run, the first.
    pub(crate) replicate: u32,
}

/// All results of one blend in one test.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Cell<'a> {
    /// The blend.
    pub(crate) blend: &'a BlendCode,
    /// Its role.
    pub(crate) role: Role,
    /// Runs that count.
    pub(crate) runs: Vec<Run>,
    /// Blocks in which a run was stopped for cause.
    pub(crate) stopped: Vec<Block>,
    /// The results behind the runs.
    pub(crate) results: Vec<&'a RunResult>,
    /// Data-sheet values: shown, never weighed.
    pub(crate) data_sheet: Vec<&'a RunResult>,
    /// Results of another variant of the method than the one that counts, with that variant: shown, never pooled.
    pub(crate) apart: Vec<(&'a RunResult, Variant)>,
}

impl Cell<'_> {
    /// Whether anything was run.
    pub(crate) fn is_run(&self) -> bool {
        !self.runs.is_empty() || !self.stopped.is_empty()
    }

    /// Every block in which it was run.
    pub(crate) fn blocks(&self) -> BTreeSet<Block> {
        let run = self.runs.iter().map(|run| &run.block);
        run.chain(&self.stopped).cloned().collect()
    }
}

/// One test of a trial with its results.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Evidence<'a> {
    /// What the trial says of the test.
    pub(crate) test: TrialTest,
    /// The method.
    pub(crate) method: &'a Method,
    /// The quantity.
    pub(crate) quantity: &'a Quantity,
    /// One cell per blend of the trial, in the trial's order.
    pub(crate) cells: Vec<Cell<'a>>,
    /// The known-good reference, where it was run.
    pub(crate) good: Option<&'a BlendCode>,
    /// The known-poor reference, where it was run.
    pub(crate) poor: Option<&'a BlendCode>,
    /// A middle reference, where one was run.
    pub(crate) middle: Option<&'a BlendCode>,
    /// A control fluid, where one was run.
    pub(crate) control: Option<&'a BlendCode>,
    /// The variant of the method that counts; empty: the method's own conditions.
    pub(crate) variant: Variant,
    /// The levels of its rigs, by which results fall into blocks.
    pub(crate) levels: Levels,
    /// The last value or step of the quantity, in its unit: the method's, or a later step that was run.
    pub(crate) cap: Option<f64>,
}

impl<'a> Evidence<'a> {
    /// Method and quantity.
    pub(crate) fn key(&self) -> &TestKey {
        &self.test.key
    }

    /// The cell of a blend.
    pub(crate) fn cell(&self, blend: &BlendCode) -> Option<&Cell<'a>> {
        self.cells.iter().find(|cell| cell.blend == blend)
    }

    /// Whether the same results count in another gathering of the same records.
    pub(crate) fn has_the_results_of(&self, other: &Evidence) -> bool {
        let same = |(one, other): (&Cell, &Cell)| {
            one.results.len() == other.results.len()
                && (one.results.iter().zip(&other.results)).all(|(a, b)| std::ptr::eq(*a, *b))
        };
        self.key() == other.key()
            && self.cells.len() == other.cells.len()
            && self.cells.iter().zip(&other.cells).all(same)
    }

    /// The cap on the working scale.
    pub(crate) fn working_cap(&self) -> Option<f64> {
        self.cap.and_then(|cap| self.quantity.scale.to_working(cap))
    }

    /// Whether a value on the working scale is better than the cap.
    pub(crate) fn is_beyond_cap(&self, working: f64) -> bool {
        self.working_cap()
            .is_some_and(|cap| self.quantity.better.sign() * (working - cap) > 0.0)
    }

    /// A value on the working scale, brought back to the cap where it is better.
    pub(crate) fn held_at_cap(&self, working: f64) -> f64 {
        let cap = self.working_cap().filter(|_| self.is_beyond_cap(working));
        cap.unwrap_or(working)
    }

    /// Whether any candidate or reference was run.
    pub(crate) fn is_run(&self) -> bool {
        self.cells.iter().any(Cell::is_run)
    }

    /// Every block in which it was run.
    pub(crate) fn blocks(&self) -> BTreeSet<Block> {
        self.cells.iter().flat_map(Cell::blocks).collect()
    }

    /// All runs that count, with their blend.
    pub(crate) fn runs(&self) -> impl Iterator<Item = (&BlendCode, &Run)> {
        self.cells
            .iter()
            .flat_map(|cell| cell.runs.iter().map(move |run| (cell.blend, run)))
    }
}

/// The evidence of every test of a trial that has a method, in the trial's order.
pub(crate) fn gather(records: &TrialRecords) -> Vec<Evidence<'_>> {
    gather_without(records, |_| false, |_| None)
}

/// The same without single results. The levels of a test's rigs are told by all results, whatever is left out, unless they
/// are given.
pub(crate) fn gather_without<'a>(
    records: &'a TrialRecords,
    leaves_out: impl Fn(&RunResult) -> bool,
    levels: impl Fn(usize) -> Option<Levels>,
) -> Vec<Evidence<'a>> {
    let current: Vec<&RunResult> = records.current_results().collect();
    let left = current.iter().filter(|result| !leaves_out(result));
    let left: Vec<&RunResult> = left.copied().collect();
    let references: BTreeSet<&BlendCode> = records.with_role(Role::Reference).collect();
    let known = records.trial.tests.iter().filter_map(|test| {
        let (method, quantity) = records.test(&test.key)?;
        Some((test, method, quantity))
    });
    let evidence = known.enumerate().map(|(place, (test, method, quantity))| {
        let is_reference = |result: &RunResult| references.contains(&result.blend);
        let told = || Levels::of(&current, &records.rigs, &is_reference, method, quantity);
        let levels = levels(place).unwrap_or_else(told);
        of_test(records, test, (method, quantity), levels, &left)
    });
    evidence.collect()
}

fn of_test<'a>(
    records: &'a TrialRecords,
    test: &'a TrialTest,
    (method, quantity): (&'a Method, &'a Quantity),
    levels: Levels,
    current: &[&'a RunResult],
) -> Evidence<'a> {
    let of_key = |result: &&&RunResult| result.key == test.key && result.status != ResultStatus::Void;
    let results: Vec<&RunResult> = current.iter().filter(of_key).copied().collect();
    let (data_sheet, measured): (Vec<&RunResult>, Vec<&RunResult>) = results
        .into_iter()
        .partition(|result| result.source == ResultSource::DataSheet);
    let variants = variants(method, quantity, &measured);
    let of_variants: Vec<(&RunResult, Variant)> = measured.into_iter().zip(variants).collect();
    let variant = variant_that_counts(records, test, &of_variants);
    // A requirement is judged run by run, and nothing is pooled.
    let counts = |one: &Variant| test.used_to == Use::Gate || *one == variant;
    let cells: Vec<Cell> = records
        .trial
        .blends
        .iter()
        .map(|part| {
            let of_blend = |result: &RunResult| result.blend == part.blend;
            let own = of_variants.iter().filter(|(result, _)| of_blend(result));
            let (counted, apart): (Vec<_>, Vec<_>) = own.cloned().partition(|(_, one)| counts(one));
            Cell {
                data_sheet: data_sheet
                    .iter()
                    .filter(|result| of_blend(result))
                    .copied()
                    .collect(),
                apart,
                ..cell(
                    &part.blend,
                    part.role,
                    counted.into_iter().map(|(result, _)| result).collect(),
                    (method, quantity),
                    &levels,
                )
            }
        })
        .collect();
    let run = |blend: &&BlendCode| {
        cells
            .iter()
            .any(|cell| cell.blend == *blend && !cell.runs.is_empty())
    };
    let first_run = |role: Role, level: Option<Level>| {
        let parts = records.trial.blends.iter().filter(move |part| part.role == role);
        let of_level = parts.filter(move |part| level.is_none() || part.level == level);
        of_level.map(|part| &part.blend).find(run)
    };
    Evidence {
        good: records.reference(test, Level::KnownGood).filter(run),
        poor: records.reference(test, Level::KnownPoor).filter(run),
        middle: first_run(Role::Reference, Some(Level::KnownMiddle)),
        control: first_run(Role::Control, None),
        test: test.clone(),
        method,
        quantity,
        cap: cap(quantity, &cells),
        cells,
        variant,
        levels,
    }
}

/// The last value or step of a quantity: of loads and stages the last one that was run, where the method's ends before it.
fn cap(quantity: &Quantity, cells: &[Cell]) -> Option<f64> {
    let cap = quantity.scale.cap()?;
    let is_stepped = quantity.scale.is_stepped() && quantity.better == Better::Higher;
    let was_run = |value: &Value| match *value {
        Value::Above(step) => Some(step),
        Value::Between { lo, hi } => match quantity.plain_number {
            PlainNumber::Failure => Some(hi),
            _ => Some(lo),
        },
        _ => None,
    };
    let results = cells.iter().flat_map(|cell| cell.results.iter());
    let run = results.filter_map(|result| was_run(&result.value));
    Some(run.filter(|_| is_stepped).fold(cap, f64::max))
}

/// The variant of the method that counts: the one in which most of the two reference oils were run; of those, the one
/// that most candidates were run in, then the method's own conditions, then the one with most runs.
fn variant_that_counts(
    records: &TrialRecords,
    test: &TrialTest,
    of_variants: &[(&RunResult, Variant)],
) -> Variant {
    let references = [Level::KnownGood, Level::KnownPoor]
        .into_iter()
        .filter_map(|level| records.reference(test, level));
    let references: BTreeSet<&BlendCode> = references.collect();
    let candidates: BTreeSet<&BlendCode> = records.with_role(Role::Candidate).collect();
    let all: BTreeSet<&Variant> = of_variants.iter().map(|(_, variant)| variant).collect();
    let claim = |variant: &&Variant| {
        let runs = || of_variants.iter().filter(|(_, one)| one == *variant);
        let blends: BTreeSet<&BlendCode> = runs().map(|(result, _)| &result.blend).collect();
        (
            blends.intersection(&references).count(),
            blends.intersection(&candidates).count(),
            variant.is_empty(),
            runs().count(),
        )
    };
    // Between equal claims the first in the order of words, whatever the order of rows.
    let best = all.into_iter().rev().max_by_key(claim);
    best.cloned().unwrap_or_default()
}

/// The cell of a blend, from the results that count.
fn cell<'a>(
    blend: &'a BlendCode,
    role: Role,
    measured: Vec<&'a RunResult>,
    (method, quantity): (&Method, &Quantity),
    levels: &Levels,
) -> Cell<'a> {
    let (stopped, finished): (Vec<&RunResult>, Vec<&RunResult>) = measured
        .iter()
        .copied()
        .partition(|result| result.purpose == Purpose::Stopped);
    let runs = if method.several_specimens_per_run {
        runs_of_specimens(&finished, quantity, levels)
    } else {
        finished
            .iter()
            .filter_map(|result| run(result, quantity, levels))
            .collect()
    };
    Cell {
        blend,
        role,
        runs,
        stopped: stopped.iter().map(|result| levels.block_of(result)).collect(),
        results: measured,
        data_sheet: Vec::new(),
        apart: Vec::new(),
    }
}

fn run(result: &RunResult, quantity: &Quantity, levels: &Levels) -> Option<Run> {
    Some(Run {
        observation: observation(&result.value, &quantity.scale)?,
        block: levels.block_of(result),
        date: result.date,
        replicate: result.replicate,
    })
}

/// A value on the working scale; `None` for a class, or where the scale has no such value.
pub(crate) fn observation(value: &Value, scale: &Scale) -> Option<Observation> {
    let on_scale = |value: f64| scale.to_working(value);
    Some(match *value {
        Value::Exact(value) => Observation::Exact(on_scale(value)?),
        Value::Between { lo, hi } => match on_scale(lo) {
            Some(lo) => Observation::Between {
                lo,
                hi: on_scale(hi)?,
            },
            None => Observation::Below(on_scale(hi)?),
        },
        Value::Above(value) => Observation::Above(on_scale(value)?),
        Value::Below(value) => Observation::Below(on_scale(value)?),
        Value::Class(_) | Value::Stopped => return None,
    })
}

/// Specimens of one run (same rig, same day) share what that run did to them: their mean is one run, and n counts
/// runs. A run with a specimen below the resolution keeps each specimen apart, since a bound has no mean.
fn runs_of_specimens(results: &[&RunResult], quantity: &Quantity, levels: &Levels) -> Vec<Run> {
    let mut groups: BTreeMap<_, Vec<Run>> = BTreeMap::new();
    for result in results {
        // without a date the campaign is all that tells one run from another
        let campaign = result.date.is_none().then_some(&result.campaign);
        let group = groups.entry((&result.rig, result.date, campaign)).or_default();
        group.extend(run(result, quantity, levels));
    }
    groups.into_values().flat_map(one_run).collect()
}

fn one_run(specimens: Vec<Run>) -> Vec<Run> {
    let readings: Option<Vec<f64>> = specimens.iter().map(|run| exact(run.observation)).collect();
    match (readings, specimens.first()) {
        (Some(readings), Some(first)) => {
            let mean = readings.iter().sum::<f64>() / readings.len() as f64;
            vec![Run {
                observation: Observation::Exact(mean),
                ..first.clone()
            }]
        }
        _ => specimens,
    }
}

/// The reading of an exact observation.
pub(crate) fn exact(observation: Observation) -> Option<f64> {
    match observation {
        Observation::Exact(value) => Some(value),
        _ => None,
    }
}

/// A reading, or the middle of an interval; a bound on one side has no middle.
pub(crate) fn central(observation: Observation) -> Option<f64> {
    match observation {
        Observation::Exact(value) => Some(value),
        Observation::Between { lo, hi } => Some(0.5 * (lo + hi)),
        Observation::Above(_) | Observation::Below(_) => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::support::trials::a_against_b;

    /// Stages of gears: the method of the scuffing test ends at 12, laboratories run on to 14.
    #[test]
    fn the_cap_is_the_last_stage_of_the_method_or_the_last_that_was_run() {
        for (read, cap) in [
            (">12", 12.0),
            ("11", 12.0),
            (">10", 12.0),
            ("13", 13.0),
            (">13", 13.0),
            (">14", 14.0),
        ] {
            let records = a_against_b(&["scuffing"], &[])
                .weigh("gear_A8/fail_stage")
                .runs("GOOD", "gear_A8/fail_stage", &[">12"])
                .runs("A", "gear_A8/fail_stage", &[read])
                .build();
            let evidence = gather(&records);
            let of_stages = evidence
                .iter()
                .find(|one| one.key().method.as_str() == "gear_A8")
                .unwrap();
            assert_eq!(of_stages.cap, Some(cap), "{read}");
            assert_eq!(of_stages.held_at_cap(20.0), cap, "{read}");
            assert!(
                !of_stages.is_beyond_cap(cap) && of_stages.is_beyond_cap(cap + 0.1),
                "{read}"
            );
        }
    }

    #[test]
    fn a_step_that_only_the_ladder_names_is_no_step_that_was_run() {
        // 95 lb passed: 100 lb, the last step, is only the next one
        let records = a_against_b(&["scuffing"], &[])
            .weigh("bor_oil/ok_load")
            .runs("GOOD", "bor_oil/ok_load", &["95"])
            .build();
        let evidence = gather(&records);
        assert!(evidence.iter().any(|one| one.cap == Some(100.0)));
    }
}
