//! What each result says about every point of a grid.

use std::collections::BTreeMap;
use std::ops::Range;

use crate::stats::cell::{Grid, NEGLIGIBLE, Prior};
use crate::stats::observation::Observation;

/// Log-likelihoods of single results over one grid, kept: on ladders the same result comes again and again.
#[derive(Clone, Debug)]
pub struct Likelihoods {
    pub(super) grid: Grid,
    pub(super) sd: f64,
    known: BTreeMap<(u8, u64, u64), Column>,
}

/// The log-likelihood of one result at the points that matter to some cell.
#[derive(Clone, Debug)]
struct Column {
    from: usize,
    values: Vec<f64>,
}

impl Likelihoods {
    /// For one grid and the standard deviation of one result.
    pub fn new(grid: Grid, sd: f64) -> Self {
        let known = BTreeMap::new();
        Self { grid, sd, known }
    }

    /// The standard deviation of one result.
    pub fn sd(&self) -> f64 {
        self.sd
    }

    /// Computes the log-likelihood of every result of some cells with one prior, each at all points that can matter to
    /// one of its cells.
    pub fn prepare(&mut self, prior: Prior, cells: &[Vec<Observation>]) {
        let mut wanted: BTreeMap<(u8, u64, u64), (Observation, Range<usize>)> = BTreeMap::new();
        for observations in cells {
            let matters = self.points_that_can_matter(prior, observations);
            for &observation in observations {
                let (_, points) = wanted
                    .entry(observation.bits())
                    .or_insert_with(|| (observation, matters.clone()));
                *points = points.start.min(matters.start)..points.end.max(matters.end);
            }
        }
        let column = |(observation, points): (Observation, Range<usize>)| Column {
            from: points.start,
            values: self.values(observation, points).collect(),
        };
        self.known = wanted.into_iter().map(|(bits, of)| (bits, column(of))).collect();
    }

    fn values(&self, observation: Observation, points: Range<usize>) -> impl Iterator<Item = f64> {
        let (grid, log_likelihood) = (self.grid, observation.log_likelihoods(self.sd));
        points.map(move |i| log_likelihood(grid.point(i)))
    }

    /// Adds the log-likelihoods of a result to those of the points `points`.
    pub(super) fn add_to(&self, sums: &mut [f64], points: Range<usize>, observation: Observation) {
        let known = self.known.get(&observation.bits()).and_then(|column| {
            let start = points.start.checked_sub(column.from)?;
            column.values.get(start..start + points.len())
        });
        let add = |(sum, term): (&mut f64, f64)| *sum += term;
        match known {
            Some(column) => sums.iter_mut().zip(column.iter().copied()).for_each(add),
            None => sums
                .iter_mut()
                .zip(self.values(observation, points))
                .for_each(add),
        }
    }

    /// Points outside of this have no weight in the posterior of a cell, because even the greatest value their log
    /// posterior can have lies [`NEGLIGIBLE`] below the log posterior of a point of the grid.
    pub(super) fn points_that_can_matter(&self, prior: Prior, observations: &[Observation]) -> Range<usize> {
        let all = 0..self.grid.number();
        let likely = |observation: &Observation| observation.likely_value(self.sd);
        let count = observations.len().max(1) as f64;
        let top = if observations.is_empty() {
            prior.mean
        } else {
            observations.iter().map(likely).sum::<f64>() / count
        };
        let place = self.grid.place(top).clamp(0.0, (all.end - 1) as f64) as usize;
        let greatest = |i: usize| {
            let t = self.grid.point(i);
            let of = |observation: &Observation| observation.greatest_log_likelihood(t, self.sd);
            prior.log_density(t) + observations.iter().map(of).sum::<f64>()
        };
        let at = self.grid.point(place);
        let of = |observation: &Observation| observation.log_likelihood(at, self.sd);
        let reached = prior.log_density(at) + observations.iter().map(of).sum::<f64>();
        // one more than negligible: the bound is rounded too
        let least = reached - NEGLIGIBLE - 1.0;
        if !least.is_finite() {
            return all;
        }
        let below = partition(0, place, |i| greatest(i) < least);
        let above = partition(place, all.end, |i| greatest(i) >= least);
        below..above
    }
}

/// First place of `from..to` at which `holds` no longer does; it holds at first, if anywhere, and then no more.
fn partition(from: usize, to: usize, holds: impl Fn(usize) -> bool) -> usize {
    let (mut from, mut to) = (from, to);
    while from < to {
        let middle = from + (to - from) / 2;
        if holds(middle) {
            from = middle + 1;
        } else {
            to = middle;
        }
    }
    from
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::stats::cell::Posterior;
    use crate::stats::observation::Observation::{Above, Below, Between, Exact};

    const PRIOR: Prior = Prior { mean: 0.4, sd: 1.0 };

    fn cells() -> Vec<Vec<Observation>> {
        vec![
            vec![],
            vec![Exact(0.7), Exact(0.72)],
            vec![Between { lo: 0.5, hi: 0.6 }, Between { lo: 0.6, hi: 0.7 }],
            vec![Above(1.5)],
            vec![Below(-1.0), Exact(-0.9)],
            // they contradict each other: the posterior lies where neither is likely
            vec![Exact(-2.0), Exact(2.0)],
            vec![Between { lo: -2.1, hi: -2.0 }, Above(2.5)],
        ]
    }

    #[test]
    fn points_left_out_have_no_weight_on_the_whole_grid_either() {
        for sd in [0.02, 0.2, 2.0] {
            let grid = Grid::covering(PRIOR, Some((-2.1, 2.5)), 8.0 * sd);
            let bare = Likelihoods::new(grid, sd);
            for observations in cells() {
                let matters = bare.points_that_can_matter(PRIOR, &observations);
                let log_posterior = |i: usize| {
                    let t = grid.point(i);
                    let of = |o: &Observation| o.log_likelihood(t, sd);
                    PRIOR.log_density(t) + observations.iter().map(of).sum::<f64>()
                };
                let top = (0..Grid::POINTS)
                    .map(log_posterior)
                    .fold(f64::NEG_INFINITY, f64::max);
                for i in (0..Grid::POINTS).filter(|i| !matters.contains(i)) {
                    let below = top - log_posterior(i);
                    assert!(
                        below > NEGLIGIBLE,
                        "{observations:?} at {sd}: {below} at point {i}"
                    );
                }
            }
        }
    }

    #[test]
    fn what_is_kept_changes_no_posterior() {
        for sd in [0.02, 0.2, 2.0] {
            let grid = Grid::covering(PRIOR, Some((-2.1, 2.5)), 8.0 * sd);
            let (bare, mut kept) = (Likelihoods::new(grid, sd), Likelihoods::new(grid, sd));
            kept.prepare(PRIOR, &cells());
            for observations in cells() {
                let of =
                    |likelihoods| Posterior::from_likelihoods(PRIOR, likelihoods, &observations).unwrap();
                assert!(of(&bare).points().eq(of(&kept).points()));
            }
        }
    }
}
