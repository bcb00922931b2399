//! One cell: the posterior of one blend in one test, and how the open part of the block shifts reaches it.
//!
//! Inside the kernel every scale is turned so that greater is better.

use crate::standing::kernel::{BlockId, BlockInput, CellData, KernelError, TestInput};
use crate::stats::cell::{Likelihoods, Posterior, Prior};
use crate::stats::draws::StreamKey;
use crate::stats::observation::Observation;

/// A fitted cell. Its scale is turned so that greater is better.
///
/// Block shifts: the posterior is computed from results with the mean shift of their block taken off. What is open of
/// a block's shift, d, is one draw shared by everything run in the block, and the cell's value moves by `-share * d`.
/// The share is the part of the cell's information that came from the block: its part of the number of results, times
/// the part the data have in the posterior, 1 - posterior variance / prior variance. The prior of a candidate hangs on
/// the reference oils, so its part moves as they do. With normal results this is exact; with censored ones it is an
/// approximation (a censored result is taken to inform like any other of its cell). When everything ran in one
/// block, every share is 1 and the shift cancels exactly.
#[derive(Clone, Debug)]
pub struct CellFit {
    pub(super) posterior: Posterior,
    /// One per block of the test whose shift is open.
    pub(super) shares: Vec<f64>,
    pub(super) results: usize,
}

impl CellFit {
    /// The posterior, greater is better, with the mean shift of each block taken off.
    pub fn posterior(&self) -> &Posterior {
        &self.posterior
    }

    /// How many results it rests on; 0 when it is its prior.
    pub fn results(&self) -> usize {
        self.results
    }
}

/// A cell on the scale of its test, as the caller gave it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CellSummary {
    /// Posterior mean on the working scale.
    pub mean: f64,
    /// Posterior standard deviation on the working scale.
    pub sd: f64,
    /// 5 % and 95 % points on the working scale.
    pub interval: (f64, f64),
    /// Probability that the value lies beyond the cap, where there is one: print "beyond the cap", not the mean, when
    /// the mean lies there.
    pub beyond_cap: Option<f64>,
    /// Probability at the very edge of the grid; above 1e-4 the grid cuts something off.
    pub edge_mass: f64,
    /// Number of results.
    pub results: usize,
}

impl CellSummary {
    pub(super) fn of(cell: &CellFit, sign: f64, oriented_cap: Option<f64>) -> Self {
        let posterior = &cell.posterior;
        let (low, high) = (posterior.quantile(0.05), posterior.quantile(0.95));
        Self {
            mean: sign * posterior.mean(),
            sd: posterior.sd(),
            interval: if sign < 0.0 { (-high, -low) } else { (low, high) },
            beyond_cap: oriented_cap.map(|cap| posterior.probability_above(cap)),
            edge_mass: posterior.edge_mass(),
            results: cell.results,
        }
    }
}

/// A block of the test whose shift is not fully known.
#[derive(Clone, Copy, Debug)]
pub(super) struct OpenShift {
    /// Place in the input's list of blocks.
    pub(super) block: usize,
    /// Standard deviation of what is open.
    pub(super) sd: f64,
    /// Key of its random numbers.
    pub(super) stream: u64,
}

/// Blocks of the test with an open shift, by key, so that their order in the input does not matter.
pub(super) fn open_shifts(test: &TestInput, blocks: &[BlockInput]) -> Vec<OpenShift> {
    let mut used: Vec<usize> = test
        .cells()
        .flat_map(|c| c.observations.iter().map(|(_, b)| b.0))
        .collect();
    used.sort_unstable();
    used.dedup();
    used.retain(|&b| blocks[b].shift.variance > 0.0);
    used.sort_by(|&a, &b| blocks[a].key.cmp(&blocks[b].key));
    let open = |block: usize| OpenShift {
        block,
        sd: blocks[block].shift.variance.sqrt(),
        stream: StreamKey::new("block").text(&blocks[block].key).value(),
    };
    used.into_iter().map(open).collect()
}

/// Results turned so that greater is better, with the mean shift of their block taken off.
pub(super) fn adjusted(cell: &CellData, test: &TestInput, blocks: &[BlockInput]) -> Vec<Observation> {
    let adjust =
        |&(o, b): &(Observation, BlockId)| test.oriented(o).shifted(-test.sign * blocks[b.0].shift.mean);
    cell.observations.iter().map(adjust).collect()
}

/// How a cell is fitted: its prior, the kept likelihoods, and how the prior itself moves with the open shifts.
pub(super) struct CellFrame {
    pub(super) prior: Prior,
    pub(super) likelihoods: Likelihoods,
    /// `None` for reference oils and other fixed fluids, whose prior is wide: it moves with the data.
    pub(super) prior_shares: Option<Vec<f64>>,
}

impl CellFrame {
    pub(super) fn fit(
        &self,
        cell: &CellData,
        test: &TestInput,
        blocks: &[BlockInput],
        open: &[OpenShift],
    ) -> Result<CellFit, KernelError> {
        let observations = adjusted(cell, test, blocks);
        let posterior = Posterior::from_likelihoods(self.prior, &self.likelihoods, &observations)
            .ok_or_else(|| KernelError::NothingPossible(test.key.clone()))?;
        let results = observations.len();
        let data_part = match self.prior_shares {
            _ if results == 0 => 0.0,
            None => 1.0,
            Some(_) => (1.0 - (posterior.sd() / self.prior.sd).powi(2)).clamp(0.0, 1.0),
        };
        let share = |(i, shift): (usize, &OpenShift)| {
            let here = cell
                .observations
                .iter()
                .filter(|(_, b)| b.0 == shift.block)
                .count();
            let of_results = here as f64 / results.max(1) as f64;
            let of_prior = self.prior_shares.as_ref().map_or(0.0, |shares| shares[i]);
            data_part * of_results + (1.0 - data_part) * of_prior
        };
        let shares = open.iter().enumerate().map(share).collect();
        Ok(CellFit {
            posterior,
            shares,
            results,
        })
    }
}
