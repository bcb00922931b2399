//! Runs that are doubted: marked suspect in the records, or too far from their replicates. They are flagged and count
//! all the same; nothing is dropped.

use crate::records::{BlendCode, ResultStatus, RunResult, TestKey};
use crate::standing::evidence::{Block, Cell, Run};
use crate::standing::prepare::Test;
use crate::standing::{LeaveOut, LeftOut, NamedRun};
use crate::stats::observation::Observation;
use crate::stats::range::{critical_range, share_of_each};
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
    /// The results: the marked one, or all that lie too far apart.
    pub(crate) results: Vec<&'a RunResult>,
    /// Why.
    pub(crate) because: DoubtedBecause,
}

impl Doubted<'_> {
    /// Whether a standing was computed without one of these results, or without the marked one.
    pub(crate) fn is_left_out_by(&self, out: &LeaveOut) -> bool {
        let LeftOut::DoubtedRun(run) = &out.left_out else {
            return false;
        };
        out.tests.first() == Some(self.key) && self.results.iter().any(|result| NamedRun::of(result) == *run)
    }
}

/// Runs of one blend in one block of one test.
type Group<'t, 'a> = (&'t Test<'a>, &'t Cell<'a>, &'t Block, Vec<&'t Run>);

/// All doubted runs of a trial, marked ones first within a test.
pub(crate) fn doubted<'a>(tests: &[Test<'a>]) -> Vec<Doubted<'a>> {
    let groups: Vec<Group> = tests.iter().flat_map(replicates).collect();
    let critical = critical_ranges(&groups);
    let mut found = Vec::new();
    for test in tests {
        for cell in &test.evidence.cells {
            found.extend(cell.results.iter().filter_map(|result| marked(result)));
        }
        let of_test = groups.iter().filter(|(of, ..)| std::ptr::eq(*of, test));
        found.extend(
            of_test.filter_map(|(test, cell, block, runs)| far_apart(test, cell, block, runs, &critical)),
        );
    }
    found
}

/// Critical range in standard deviations by number of runs, at 1 % over all groups together.
fn critical_ranges(groups: &[Group]) -> BTreeMap<usize, f64> {
    let each = share_of_each(CHANCE, groups.len());
    let mut ranges = BTreeMap::new();
    for (.., runs) in groups {
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

/// Two or more runs of one blend in one block, where the method's scatter is published.
fn replicates<'t, 'a>(test: &'t Test<'a>) -> Vec<Group<'t, 'a>> {
    if test
        .spread
        .as_ref()
        .is_none_or(|spread| spread.published_sd.is_none())
    {
        return Vec::new();
    }
    let mut groups = Vec::new();
    for cell in &test.evidence.cells {
        let mut by_block: BTreeMap<&Block, Vec<&Run>> = BTreeMap::new();
        for run in &cell.runs {
            by_block.entry(&run.block).or_default().push(run);
        }
        let several = by_block.into_iter().filter(|(_, runs)| runs.len() > 1);
        groups.extend(several.map(|(block, runs)| (test, cell, block, runs)));
    }
    groups
}

fn far_apart<'a>(
    test: &Test<'a>,
    cell: &Cell<'a>,
    block: &Block,
    runs: &[&Run],
    critical: &BTreeMap<usize, f64>,
) -> Option<Doubted<'a>> {
    let sd = test.spread.as_ref()?.published_sd?;
    let critical = sd * critical.get(&runs.len())?;
    let times_critical_range = range_at_least(runs) / critical;
    let of_block = cell.results.iter().filter(|result| &result.block() == block);
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
