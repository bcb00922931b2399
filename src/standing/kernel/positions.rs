//! Positions between the reference oils: 0 is the known poor one, 1 the known good one.

use crate::standing::kernel::cells::{CellFit, CellFrame, TestFrame, anchor_shares, open_shifts, range_of};
use crate::standing::kernel::input::Missing;
use crate::standing::kernel::references::PositionScale;
use crate::standing::kernel::{CellData, Fitted, KernelError, TestInput};
use crate::stats::cell::{Grid, Likelihoods, QuantileTable};
use crate::stats::draws::Stream;

/// Draws that are placed together, an even number; they stay in the processor's nearest cache.
const AT_A_TIME: usize = 256;

/// Positions of one cell in every draw, not yet held within the head-room. Single precision is far finer than any
/// result; values that are equal stay exactly equal.
pub(super) fn draw_positions(
    cell: &CellFit,
    scale: &PositionScale,
    cap: f64,
    seed: u64,
    stream: u64,
) -> Vec<f32> {
    let mut stream = Stream::new(seed, stream);
    let table = QuantileTable::new(&cell.posterior);
    let mut positions = Vec::with_capacity(scale.zero.len());
    let mut values = [0.0; AT_A_TIME];
    let ends = scale
        .zero
        .chunks(AT_A_TIME)
        .zip(scale.inverse_gap.chunks(AT_A_TIME));
    for (zero, inverse_gap) in ends {
        let values = &mut values[..zero.len()];
        table.draw(&mut stream, values);
        if !scale.shifts.is_empty() {
            for (i, value) in values.iter_mut().enumerate() {
                *value -= scale.moved(cell, positions.len() + i);
            }
        }
        let placed = values.iter().zip(zero).zip(inverse_gap);
        positions.extend(placed.map(|((&value, zero), inverse_gap)| {
            let held = if value < cap { value } else { cap };
            ((held - zero) * inverse_gap) as f32
        }));
    }
    positions
}

/// Mean of the position held within the head-room: exact over the cell's own posterior, averaged over the lattice
/// points of the reference oils and the open block shifts.
pub(super) fn mean_position(cell: &CellFit, lattice: &PositionScale, cap: f64, head_room: f64) -> f64 {
    let points = lattice.zero.len();
    let at = |p: usize| {
        let (zero, gap, moved) = (lattice.zero[p], lattice.gap[p], lattice.moved(cell, p));
        let lowest = zero - head_room * gap;
        let highest = (zero + (1.0 + head_room) * gap).min(cap);
        (cell.posterior.mean_within(lowest + moved, highest + moved) - moved - zero) * lattice.inverse_gap[p]
    };
    let mean = (0..points).map(at).sum::<f64>() / points as f64;
    mean.clamp(-head_room, 1.0 + head_room)
}

/// Position of one working-scale value, greater is better, averaged over the lattice points.
pub(super) fn position_of_value(value: f64, lattice: &PositionScale, cap: f64, head_room: f64) -> f64 {
    let points = lattice.zero.len();
    let at = |p: usize| {
        ((value.min(cap) - lattice.zero[p]) * lattice.inverse_gap[p]).clamp(-head_room, 1.0 + head_room)
    };
    (0..points).map(at).sum::<f64>() / points as f64
}

impl Fitted {
    /// Mean position in a test (its place in the input) of a candidate whose results there were `cell`; scale and shifts
    /// stay as they are.
    ///
    /// # Errors
    /// [`KernelError`] when there is no such test, or when the results leave no value possible.
    pub fn mean_position_with(&self, test: usize, cell: &CellData) -> Result<f64, KernelError> {
        let (Some(input), Some(fit)) = (self.input.tests.get(test), self.tests.get(test)) else {
            return Err(KernelError::NotThere(Missing::Test(test)));
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
