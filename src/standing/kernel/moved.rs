//! Mean positions when a few results of one test are other than they are: who would be in front follows from means, so
//! no draws are needed.

use crate::standing::kernel::cells::{CellFrame, open_shifts};
use crate::standing::kernel::frame::{TestFrame, anchor_shares, range_of};
use crate::standing::kernel::positions::mean_position;
use crate::standing::kernel::{CellData, Fitted, KernelError, TestInput};
use crate::stats::cell::{Grid, Likelihoods};

impl Fitted {
    /// Mean position in a test (its place in the input) of a candidate whose results there were `cell`; scale and shifts
    /// stay as they are.
    ///
    /// # Errors
    /// [`KernelError`] when there is no such test, or when the results leave no value possible.
    pub fn mean_position_with(&self, test: usize, cell: &CellData) -> Result<f64, KernelError> {
        let (Some(input), Some(fit)) = (self.input.tests.get(test), self.tests.get(test)) else {
            return Err(KernelError::NotThere(format!("test {test}")));
        };
        let (blocks, prior) = (&self.input.blocks, fit.candidate_prior);
        let grid = Grid::covering(prior, Some(range_of(input, blocks)), input.sd);
        let frame = CellFrame {
            prior,
            likelihoods: Likelihoods::new(grid, input.sd),
            prior_shares: Some(anchor_shares(&fit.good, fit.poor.as_ref())),
        };
        let fitted = frame.fit(cell, input, blocks, &open_shifts(input, blocks))?;
        Ok(mean_position(
            &fitted,
            &fit.lattice,
            fit.top(),
            self.input.head_room,
        ))
    }

    /// Mean positions of all candidates in a test if its results were those of `test`, which names no other blocks than
    /// the input's.
    ///
    /// # Errors
    /// [`KernelError`] when the scale has lost a reference oil, or the results leave no value possible.
    pub fn mean_positions_with(&self, test: &TestInput) -> Result<Vec<f64>, KernelError> {
        test.check_anchors()?;
        let frame = TestFrame::new(test, &self.input, 0)?;
        (0..test.candidates.len())
            .map(|candidate| Ok(frame.candidate(candidate, test, &self.input)?.2))
            .collect()
    }
}
