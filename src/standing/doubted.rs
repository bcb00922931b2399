//! Runs that are doubted: marked suspect in the records, or too far from their replicates. They are flagged and count
//! all the same; nothing is dropped.

use crate::records::{BlendCode, Purpose, ResultStatus, RunResult, TestKey};
use crate::standing::evidence::{Cell, Run, exact};
use crate::standing::levels::Block;
use crate::standing::prepare::Test;
use crate::standing::{LeaveOut, LeftOut, NamedRun};
use crate::stats::observation::Observation;
use crate::stats::precision::within_groups;
use crate::stats::range::{critical_range, set_apart, share_of_each};
use serde::{Serialize, Serializer};
use std::collections::BTreeMap;

/// Chance, over all cells of a trial together, that sound runs lie beyond their critical range.
const CHANCE: f64 = 0.01;

/// Why runs are doubted.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(untagged)]
pub enum DoubtedBecause {
    /// Somebody marked one suspect.
    Marked {
        /// The reason in the records.
        reason: String,
    },
    /// They lie further apart than the method lets expect.
    FarApart {
        /// How many.
        #[serde(serialize_with = "as_number")]
        runs: usize,
        /// Their range in critical ranges.
        times_critical_range: f64,
    },
    /// Where nothing is published: they lie further from the others than the test scatters without them.
    SetApart {
        /// How many; all of them where nothing says which.
        #[serde(serialize_with = "as_number")]
        runs: usize,
        /// Of how many.
        #[serde(serialize_with = "as_number")]
        of: usize,
        /// The distance of the furthest in standard deviations without them.
        deviations: f64,
        /// Degrees of freedom of that standard deviation.
        freedom: f64,
    },
}

/// As every other number of the evidence.
fn as_number<S: Serializer>(count: &usize, serializer: S) -> Result<S::Ok, S::Error> {
    serializer.serialize_f64(*count as f64)
}

/// Doubted results of one blend in one test.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Doubted<'a> {
    /// The test.
    pub(crate) key: &'a TestKey,
    /// The blend.
    pub(crate) blend: &'a BlendCode,
    /// The results: the marked one, those that lie apart, or all where nothing says which.
    pub(crate) results: Vec<&'a RunResult>,
    /// Why.
    pub(crate) because: DoubtedBecause,
}

impl Doubted<'_> {
    /// Whether a standing was computed without one of these results, or without the marked one.
    pub(crate) fn is_left_out_by(&self, out: &LeaveOut) -> bool {
        let LeftOut::DoubtedRuns(runs) = &out.left_out else {
            return false;
        };
        let left_out = |result: &&RunResult| runs.contains(&NamedRun::of(result));
        out.tests.first() == Some(self.key) && self.results.iter().any(left_out)
    }

    /// Whether it says which runs are wrong.
    pub(crate) fn names_them(&self) -> bool {
        match self.because {
            DoubtedBecause::Marked { .. } => true,
            DoubtedBecause::FarApart { .. } => false,
            DoubtedBecause::SetApart { runs, of, .. } => runs < of,
        }
    }
}

/// Runs of one blend in one block of one test.
struct Group<'t, 'a> {
    test: &'t Test<'a>,
    cell: &'t Cell<'a>,
    block: &'t Block,
    runs: Vec<&'t Run>,
}

/// All doubted runs of a trial, marked ones first within a test.
pub(crate) fn doubted<'a>(tests: &[Test<'a>]) -> Vec<Doubted<'a>> {
    let groups: Vec<Group> = tests.iter().flat_map(replicates).collect();
    let each = share_of_each(CHANCE, groups.len());
    let critical = critical_ranges(&groups, each);
    let mut found = Vec::new();
    for test in tests {
        for cell in &test.evidence.cells {
            found.extend(cell.results.iter().filter_map(|result| marked(result)));
        }
        let of_test: Vec<&Group> = (groups.iter())
            .filter(|group| std::ptr::eq(group.test, test))
            .collect();
        found.extend(of_test.iter().filter_map(|group| match published_sd(test) {
            Some(sd) => far_apart(group, sd, &critical),
            None => apart_from_others(group, &of_test, each),
        }));
    }
    found
}

fn published_sd(test: &Test) -> Option<f64> {
    test.spread.as_ref()?.published_sd
}

/// Critical range in standard deviations by number of runs, at the chance of each group.
fn critical_ranges(groups: &[Group], each: f64) -> BTreeMap<usize, f64> {
    let mut ranges = BTreeMap::new();
    for Group { runs, .. } in groups {
        if !ranges.contains_key(&runs.len())
            && let Some(range) = critical_range(runs.len(), each)
        {
            ranges.insert(runs.len(), range);
        }
    }
    ranges
}

fn marked(result: &RunResult) -> Option<Doubted<'_>> {
    (result.status == ResultStatus::Suspect).then(|| Doubted {
        key: &result.key,
        blend: &result.blend,
        results: vec![result],
        because: DoubtedBecause::Marked {
            reason: result.reason.clone(),
        },
    })
}

/// Two or more runs of one blend in one block; where the method's scatter is not published, as many readings.
fn replicates<'t, 'a>(test: &'t Test<'a>) -> Vec<Group<'t, 'a>> {
    let is_published = published_sd(test).is_some();
    let stepped = test.evidence.quantity.scale.is_stepped();
    let counts = |run: &&Run| is_published || !stepped && exact(run.observation).is_some();
    let mut groups = Vec::new();
    for cell in &test.evidence.cells {
        let mut by_block: BTreeMap<&Block, Vec<&Run>> = BTreeMap::new();
        for run in cell.runs.iter().filter(counts) {
            by_block.entry(&run.block).or_default().push(run);
        }
        let several = by_block.into_iter().filter(|(_, runs)| runs.len() > 1);
        groups.extend(several.map(|(block, runs)| Group {
            test,
            cell,
            block,
            runs,
        }));
    }
    groups
}

fn far_apart<'a>(group: &Group<'_, 'a>, sd: f64, critical: &BTreeMap<usize, f64>) -> Option<Doubted<'a>> {
    let Group {
        cell, block, runs, ..
    } = group;
    let critical = sd * critical.get(&runs.len())?;
    let times_critical_range = range_at_least(runs) / critical;
    let levels = &group.test.evidence.levels;
    let of_block = cell
        .results
        .iter()
        .filter(|result| levels.block_of(result) == **block);
    let results: Vec<&RunResult> = of_block.copied().collect();
    let key = &results.first()?.key;
    (times_critical_range > 1.0).then_some(Doubted {
        key,
        blend: cell.blend,
        results,
        because: DoubtedBecause::FarApart {
            runs: runs.len(),
            times_critical_range,
        },
    })
}

/// Readings that lie further from the others of their group than the test scatters without them. The other blends count
/// but those that scatter far more than the rest.
fn apart_from_others<'a>(group: &Group<'_, 'a>, of_test: &[&Group], each: f64) -> Option<Doubted<'a>> {
    let departing = |blend: &BlendCode| {
        let spread = group.test.spread.as_ref();
        spread.is_some_and(|spread| spread.departing.contains_key(blend))
    };
    let counts = |other: &&&Group| {
        !std::ptr::eq(**other, group)
            && (other.cell.blend == group.cell.blend || !departing(other.cell.blend))
    };
    let others: Vec<Vec<f64>> = of_test
        .iter()
        .filter(counts)
        .map(|other| other.readings())
        .collect();
    let found = set_apart(
        &group.readings(),
        within_groups(others.iter().map(Vec::as_slice)),
        each,
    )?;
    let doubtful = found.readings.iter().map(|at| group.runs[*at]);
    let results: Vec<&RunResult> = doubtful.flat_map(|run| group.results_of(run)).collect();
    Some(Doubted {
        key: &results.first()?.key,
        blend: group.cell.blend,
        results,
        because: DoubtedBecause::SetApart {
            runs: found.readings.len(),
            of: group.runs.len(),
            deviations: found.deviations,
            freedom: found.freedom,
        },
    })
}

impl<'a> Group<'_, 'a> {
    fn readings(&self) -> Vec<f64> {
        let runs = self.runs.iter();
        runs.filter_map(|run| exact(run.observation)).collect()
    }

    /// The results of a run; of several specimens, each.
    fn results_of(&self, run: &Run) -> Vec<&'a RunResult> {
        let several = self.test.evidence.method.several_specimens_per_run;
        let levels = &self.test.evidence.levels;
        let of_run = |result: &&&RunResult| {
            result.purpose != Purpose::Stopped
                && levels.block_of(result) == run.block
                && result.date == run.date
                && (several || result.replicate == run.replicate)
        };
        self.cell.results.iter().filter(of_run).copied().collect()
    }
}

/// The smallest range that runs can have: a bound reaches no further than it says, and a reading between two steps
/// stands at the middle of the step.
fn range_at_least(runs: &[&Run]) -> f64 {
    let ends = |run: &&Run| match run.observation {
        Observation::Exact(value) => (value, value),
        Observation::Between { lo, hi } => (0.5 * (lo + hi), 0.5 * (lo + hi)),
        Observation::Above(value) => (value, f64::INFINITY),
        Observation::Below(value) => (f64::NEG_INFINITY, value),
    };
    let highest = runs
        .iter()
        .map(ends)
        .map(|(lo, _)| lo)
        .fold(f64::NEG_INFINITY, f64::max);
    let lowest = runs
        .iter()
        .map(ends)
        .map(|(_, hi)| hi)
        .fold(f64::INFINITY, f64::min);
    (highest - lowest).max(0.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn range(observations: &[Observation]) -> f64 {
        let runs: Vec<Run> = observations
            .iter()
            .map(|observation| Run {
                observation: *observation,
                block: Block::default(),
                date: None,
                replicate: 1,
            })
            .collect();
        range_at_least(&runs.iter().collect::<Vec<_>>())
    }

    #[test]
    fn a_bound_widens_no_range_beyond_what_it_says() {
        use Observation::{Above, Below, Between, Exact};
        assert_eq!(range(&[Exact(1.0), Exact(4.0), Exact(2.0)]), 3.0);
        assert_eq!(range(&[Between { lo: 11.0, hi: 12.0 }, Above(6.0)]), 0.0);
        assert_eq!(range(&[Between { lo: 5.0, hi: 6.0 }, Above(12.0)]), 6.5);
        assert_eq!(range(&[Above(12.0), Above(10.0)]), 0.0);
        assert_eq!(range(&[Below(1.0), Exact(4.0)]), 3.0);
        assert_eq!(range(&[Below(1.0), Below(2.0)]), 0.0);
    }
}
