//! What readings on a ladder say of a value: each is only known to lie between two steps.

use crate::stats::observation::Observation;
use crate::stats::power::PlannedTest;

/// Standard deviations beyond what was named that a value is looked for.
const REACH: f64 = 6.0;
/// Grid points in one standard deviation: a product of a dozen likelihoods is still wider than one step.
const POINTS_PER_SD: f64 = 4.0;
/// Most grid points; a ladder whose steps are very far apart asks for no finer ones.
const MOST_POINTS: f64 = 2000.0;

/// A ladder with the probability of each of its readings at every point of a grid of values.
pub(super) struct Ladder {
    steps: Vec<f64>,
    sd: f64,
    /// First point and distance of the points.
    from: f64,
    apart: f64,
    /// Per reading (below the first step, between two, above the last): its probability at each point.
    likelihoods: Vec<Vec<f64>>,
}

impl Ladder {
    /// `None` where a test has no ladder.
    pub(super) fn of(test: &PlannedTest) -> Option<Self> {
        let (first, last) = (test.steps.first()?, test.steps.last()?);
        let (from, to) = (first - REACH * test.sd, last + REACH * test.sd);
        let points = ((to - from) / test.sd * POINTS_PER_SD).ceil().min(MOST_POINTS);
        let apart = (to - from) / points;
        let at = |place: u32| from + apart * f64::from(place);
        let row = |reading: usize| {
            let observation = observation(&test.steps, reading);
            let places = 0..=points as u32;
            let of_value = |place| observation.log_likelihood(at(place), test.sd).exp();
            places.map(of_value).collect()
        };
        Some(Self {
            likelihoods: (0..=test.steps.len()).map(row).collect(),
            steps: test.steps.clone(),
            sd: test.sd,
            from,
            apart,
        })
    }

    /// Mean and variance of the value that gave these readings (numbers, of which the ladder shows less), under a flat
    /// prior that reaches six standard deviations beyond the steps that were named.
    pub(super) fn moments(&self, readings: &[f64]) -> (f64, f64) {
        let named: Vec<usize> = readings.iter().map(|reading| self.reading(*reading)).collect();
        let (mut lo, mut hi) = (f64::INFINITY, f64::NEG_INFINITY);
        for reading in &named {
            let (below, above) = observation(&self.steps, *reading).ends();
            (lo, hi) = (lo.min(below), hi.max(above));
        }
        let place_of = |value: f64| ((value - self.from) / self.apart).round().max(0.0) as usize;
        let last = self.likelihoods[0].len() - 1;
        let (start, end) = (
            place_of(lo - REACH * self.sd),
            place_of(hi + REACH * self.sd).min(last),
        );
        let (mut total, mut first, mut second) = (0.0, 0.0, 0.0);
        let middle = 0.5 * (lo + hi);
        for place in start..=end {
            let all = named.iter().map(|reading| self.likelihoods[*reading][place]);
            let is_end = place == start || place == end;
            let weight = all.product::<f64>() * if is_end { 0.5 } else { 1.0 };
            let value = self.from + self.apart * place as f64 - middle;
            total += weight;
            first += weight * value;
            second += weight * value * value;
        }
        let mean = first / total;
        (middle + mean, second / total - mean * mean)
    }

    /// Which reading a number is: how many steps lie below it.
    fn reading(&self, number: f64) -> usize {
        self.steps.iter().take_while(|step| **step < number).count()
    }
}

fn observation(steps: &[f64], reading: usize) -> Observation {
    match (
        reading.checked_sub(1).map(|below| steps[below]),
        steps.get(reading),
    ) {
        (Some(lo), Some(hi)) => Observation::Between { lo, hi: *hi },
        (Some(last), None) => Observation::Above(last),
        (None, _) => Observation::Below(steps[0]),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::stats::normal;

    fn ladder(steps: &[f64]) -> Ladder {
        let test = PlannedTest {
            sd: 0.5,
            steps: steps.to_vec(),
            difference: 1.0,
            weight: 1.0,
        };
        Ladder::of(&test).unwrap()
    }

    #[test]
    fn one_reading_between_two_steps_has_the_closed_form() {
        // a value known within an interval, and read with a normal scatter: uniform plus normal, so the middle of the
        // interval, and the sum of the variances
        let (mean, variance) = ladder(&[0.0, 1.0, 3.0]).moments(&[2.2]);
        assert!((mean - 2.0).abs() < 1e-7, "{mean}");
        assert!((variance - (4.0 / 12.0 + 0.25)).abs() < 1e-6, "{variance}");
    }

    #[test]
    fn readings_beyond_the_ends_are_open() {
        // flat from the step to six standard deviations beyond it, its edge smoothed by the scatter
        let ladder = ladder(&[0.0, 1.0, 3.0]);
        let (above, _) = ladder.moments(&[7.0]);
        let expected = {
            let places = (0..60_000).map(|i| f64::from(i) * 1e-4);
            let weighed: Vec<(f64, f64)> = places.map(|t| (t, normal::cumulative((t - 3.0) / 0.5))).collect();
            let total: f64 = weighed.iter().map(|(_, w)| w).sum();
            weighed.iter().map(|(t, w)| t * w).sum::<f64>() / total
        };
        assert!((above - expected).abs() < 1e-3, "{above} for {expected}");
        let (below, _) = ladder.moments(&[-7.0]);
        assert!(
            (below + above - 3.0).abs() < 1e-9,
            "the two ends mirror each other"
        );
    }

    #[test]
    fn more_readings_of_one_step_narrow_the_value() {
        let ladder = ladder(&[0.0, 1.0, 3.0]);
        let variance = |runs: usize| ladder.moments(&vec![0.5; runs]).1;
        assert!(variance(12) < variance(3) && variance(3) < variance(1));
    }

    #[test]
    fn steps_that_are_very_far_apart_still_have_moments() {
        let (mean, variance) = ladder(&[0.0, 1e6]).moments(&[5.0, 7.0]);
        assert!(
            (mean / 5e5 - 1.0).abs() < 1e-2 && variance > 0.0,
            "{mean} {variance}"
        );
    }
}
