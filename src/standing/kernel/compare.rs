//! Which of two blends is better in one test.

use std::sync::PoisonError;

use crate::standing::kernel::{Fitted, TestFit};
use crate::stats::lattice;

/// A blend of one test.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Who {
    /// Candidate by its place in the input.
    Candidate(usize),
    /// Known good reference oil.
    Good,
    /// Known poor reference oil.
    Poor,
    /// Control fluid.
    Control,
    /// Reference oil known to lie between the two.
    Middle,
}

/// Every so many lattice points are used for the open part of the block shifts.
const STRIDE: usize = 16;

impl Fitted {
    /// Probability that `one` is better than `other` in a test (its place in the input), both held at the cap, where
    /// equal values do not count. Computed on the grid, without random numbers; open block shifts are averaged over
    /// lattice points. `None` where a cell is not there.
    pub fn probability_better(&self, test: usize, one: Who, other: Who) -> Option<f64> {
        let test = self.tests.get(test)?;
        let known = test.compared.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(known) = known.get(&(one, other)) {
            return Some(*known);
        }
        drop(known);
        let found = test.probability_better(one, other)?;
        let mut known = test.compared.lock().unwrap_or_else(PoisonError::into_inner);
        known.insert((one, other), found);
        Some(found)
    }
}

impl TestFit {
    fn probability_better(&self, one: Who, other: Who) -> Option<f64> {
        let (one, other) = (self.cell(one)?, self.cell(other)?);
        let at = |own: f64, others: f64| {
            one.posterior
                .probability_above_other(&other.posterior, self.cap, own, others)
        };
        if self.lattice.shifts.is_empty() {
            return Some(at(0.0, 0.0));
        }
        let points = (0..lattice::POINTS).step_by(STRIDE);
        let number = points.len() as f64;
        let sum: f64 = points
            .map(|p| at(self.lattice.moved(one, p), self.lattice.moved(other, p)))
            .sum();
        Some(sum / number)
    }
}
