//! What planned runs could show of two blends that differ by one critical difference.

use crate::standing::cautions::RESOLVED_OF_TWO;
use crate::standing::plan::{MOST_RUNS, Power, WANTED_CHANCE};
use crate::standing::prepare::Test;
use crate::stats::power::{PlannedTest, chance_told_apart, runs_needed};

/// Probability from which one test tells two blends apart: 95 % on two sides.
const CERTAIN: f64 = 0.975;

/// One test alone.
pub(super) fn of_one(test: &Test, runs: usize) -> Option<Power> {
    let planned = [planned(test, 1.0)?];
    Some(power(&planned, runs, CERTAIN))
}

/// All weighed tests together, one blend better by one critical difference on each: by their sum, to the probability at
/// which a leader of two may be named.
pub(super) fn together(tests: &[Test], weights: &[f64], runs: usize) -> Power {
    let weighed = tests.iter().zip(weights).filter(|(_, weight)| **weight > 0.0);
    let planned: Vec<PlannedTest> = weighed
        .filter_map(|(test, weight)| {
            let gap = 2.0 * test.spread.as_ref()?.reproducibility;
            planned(test, weight / gap)
        })
        .collect();
    power(&planned, runs, RESOLVED_OF_TWO)
}

fn power(planned: &[PlannedTest], runs: usize, certainty: f64) -> Power {
    Power {
        chance: chance_told_apart(planned, runs, certainty),
        needed: runs_needed(planned, certainty, WANTED_CHANCE, MOST_RUNS),
    }
}

fn planned(test: &Test, weight: f64) -> Option<PlannedTest> {
    let (spread, quantity) = (test.spread.as_ref()?, test.evidence.quantity);
    let steps = if quantity.scale.is_stepped() {
        let working = quantity
            .steps
            .iter()
            .filter_map(|step| quantity.scale.to_working(*step));
        working.collect()
    } else {
        Vec::new()
    };
    Some(PlannedTest {
        sd: spread.within_sd,
        steps,
        difference: spread.repeatability,
        weight,
    })
}
