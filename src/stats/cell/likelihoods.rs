//! What each result says about every point of a grid.

use std::collections::BTreeMap;

use crate::stats::cell::Grid;
use crate::stats::observation::Observation;

/// Log-likelihoods of single results over one grid, kept: on ladders the same result comes again and again.
#[derive(Clone, Debug)]
pub struct Likelihoods {
    pub(super) grid: Grid,
    pub(super) sd: f64,
    known: BTreeMap<(u8, u64, u64), Vec<f64>>,
}

impl Likelihoods {
    /// For one grid and the standard deviation of one result.
    pub fn new(grid: Grid, sd: f64) -> Self {
        let known = BTreeMap::new();
        Self { grid, sd, known }
    }

    /// Computes the log-likelihood of a result at every point, unless it is known already.
    pub fn prepare(&mut self, observation: Observation) {
        let (grid, sd) = (self.grid, self.sd);
        self.known
            .entry(observation.bits())
            .or_insert_with(|| grid.points().map(|t| observation.log_likelihood(t, sd)).collect());
    }

    pub(super) fn add_to(&self, log_posterior: &mut [f64], observation: Observation) {
        match self.known.get(&observation.bits()) {
            Some(column) => log_posterior
                .iter_mut()
                .zip(column)
                .for_each(|(sum, term)| *sum += term),
            None => add_likelihood(log_posterior, self.grid, observation, self.sd),
        }
    }
}

pub(super) fn add_likelihood(log_posterior: &mut [f64], grid: Grid, observation: Observation, sd: f64) {
    for (sum, t) in log_posterior.iter_mut().zip(grid.points()) {
        *sum += observation.log_likelihood(t, sd);
    }
}
