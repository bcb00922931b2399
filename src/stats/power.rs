//! What a planned number of runs could show: the chance that two blends are told apart.
//!
//! Two blends whose true values differ by a given amount are run a number of times each. From their readings, with a
//! flat prior, follows the probability that the one is better; they count as told apart when it is high enough. Readings
//! on a ladder are the intervals between its steps, so that a coarse ladder tells less than its scatter promises.

mod ladder;

use rayon::prelude::*;

use crate::stats::draws::{Stream, StreamKey};
use crate::stats::normal;
use crate::stats::power::ladder::Ladder;

/// Repetitions of a simulation: the chance has a standard error of at most 2.5 points.
const REPETITIONS: usize = 400;

/// One test as it will be read.
#[derive(Clone, Debug, PartialEq)]
pub struct PlannedTest {
    /// Standard deviation of one reading.
    pub sd: f64,
    /// Steps of its ladder, ascending, greater is better; empty where it gives numbers.
    pub steps: Vec<f64>,
    /// How far apart the two blends truly are.
    pub difference: f64,
    /// What one unit of it counts for in the sum of several tests.
    pub weight: f64,
}

/// Chance that two blends that differ by each test's difference are told apart: that the probability of the better
/// one being better, by the weighted sum over the tests, reaches `certainty` after `runs` runs of each on each test.
///
/// # Formula
/// Probability = `Phi(sum w (a - b) / sqrt(sum w^2 (va + vb)))`, a and va mean and variance of a blend's value given its
/// readings. Simulated with a fixed seed.
pub fn chance_told_apart(tests: &[PlannedTest], runs: usize, certainty: f64) -> f64 {
    chance(&read(tests), runs, certainty)
}

/// The smallest number of runs, up to `most`, whose chance reaches `wanted`; `None` where none does.
pub fn runs_needed(tests: &[PlannedTest], certainty: f64, wanted: f64, most: usize) -> Option<usize> {
    let tests = read(tests);
    (1..=most).find(|runs| chance(&tests, *runs, certainty) >= wanted)
}

/// A planned test with its ladder made ready.
struct Read<'t> {
    test: &'t PlannedTest,
    /// `None` where it gives numbers.
    ladder: Option<Ladder>,
}

fn read(tests: &[PlannedTest]) -> Vec<Read<'_>> {
    let one = |test| Read {
        ladder: Ladder::of(test),
        test,
    };
    tests.iter().map(one).collect()
}

fn chance(tests: &[Read], runs: usize, certainty: f64) -> f64 {
    if runs == 0 || tests.is_empty() {
        return 0.0;
    }
    let is_told = |repetition: usize| {
        let mut stream = Stream::new(repetition as u64, StreamKey::new("told apart").value());
        let (mut sum, mut variance) = (0.0, 0.0);
        for test in tests {
            let (difference, doubt) = test.once(runs, &mut stream);
            sum += test.test.weight * difference;
            variance += test.test.weight * test.test.weight * doubt;
        }
        variance > 0.0 && normal::cumulative(sum / variance.sqrt()) >= certainty
    };
    let told = (0..REPETITIONS).into_par_iter().filter(|one| is_told(*one));
    told.count() as f64 / REPETITIONS as f64
}

impl Read<'_> {
    /// Found difference of the two blends and its variance, in one repetition.
    fn once(&self, runs: usize, stream: &mut Stream) -> (f64, f64) {
        let worse = self.somewhere(stream);
        let (low, low_variance) = self.find(worse, runs, stream);
        let (high, high_variance) = self.find(worse + self.test.difference, runs, stream);
        (high - low, low_variance + high_variance)
    }

    /// A true value in the middle of the ladder, anywhere between two steps.
    fn somewhere(&self, stream: &mut Stream) -> f64 {
        let steps = &self.test.steps;
        let middle = steps.len() / 2;
        match (steps.get(middle.saturating_sub(1)), steps.get(middle)) {
            (Some(lo), Some(hi)) if lo < hi => lo + (hi - lo) * stream.uniform() - 0.5 * self.test.difference,
            _ => 0.0,
        }
    }

    /// Mean and variance of a blend's value from its readings.
    fn find(&self, truth: f64, runs: usize, stream: &mut Stream) -> (f64, f64) {
        let sd = self.test.sd;
        let readings: Vec<f64> = (0..runs).map(|_| truth + sd * stream.normal()).collect();
        match &self.ladder {
            Some(ladder) => ladder.moments(&readings),
            None => (readings.iter().sum::<f64>() / runs as f64, sd * sd / runs as f64),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn numbers(difference: f64) -> PlannedTest {
        PlannedTest {
            sd: 1.0,
            steps: Vec::new(),
            difference,
            weight: 1.0,
        }
    }

    #[test]
    fn numbers_are_told_apart_as_often_as_the_closed_form_says() {
        // Chance that a normal difference exceeds 1.96 of its standard deviations; one critical difference is 2.77 sd.
        for runs in [1, 2, 3, 6] {
            let expected = normal::cumulative(2.77 / (2.0 / runs as f64).sqrt() - 1.959_964);
            let got = chance_told_apart(&[numbers(2.77)], runs, 0.975);
            assert!((got - expected).abs() < 0.06, "{runs} runs: {got} for {expected}");
        }
    }

    #[test]
    fn equal_blends_are_told_apart_only_as_often_as_the_certainty_allows() {
        let got = chance_told_apart(&[numbers(0.0)], 2, 0.975);
        assert!(got < 0.06, "{got}");
    }

    #[test]
    fn a_coarse_ladder_tells_less_than_numbers() {
        let fine: Vec<f64> = (-80..80).map(|i| 0.1 * f64::from(i)).collect();
        let coarse: Vec<f64> = (-2..3).map(|i| 4.0 * f64::from(i)).collect();
        let of = |steps: &[f64]| PlannedTest {
            steps: steps.to_vec(),
            ..numbers(2.77)
        };
        let chance = |test: PlannedTest| chance_told_apart(&[test], 2, 0.975);
        assert!((chance(of(&fine)) - chance(numbers(2.77))).abs() < 0.06);
        assert!(chance(of(&coarse)) < chance(numbers(2.77)) - 0.1);
    }

    #[test]
    fn more_tests_and_more_runs_tell_more() {
        let one = [numbers(2.0)];
        let three = [numbers(2.0), numbers(2.0), numbers(2.0)];
        assert!(chance_told_apart(&three, 1, 0.9) > chance_told_apart(&one, 1, 0.9));
        let needed = runs_needed(&one, 0.975, 0.8, 20);
        let fewer = runs_needed(&three, 0.975, 0.8, 20);
        assert!(needed > fewer && needed.is_some(), "{needed:?} {fewer:?}");
        assert_eq!(runs_needed(&[numbers(0.0)], 0.975, 0.8, 3), None);
        assert_eq!(chance_told_apart(&[], 3, 0.9), 0.0);
        assert_eq!(chance_told_apart(&one, 0, 0.9), 0.0);
    }
}
