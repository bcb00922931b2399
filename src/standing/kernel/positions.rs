//! Positions between the reference oils: 0 is the known poor one, 1 the known good one.

use crate::standing::kernel::cells::CellFit;
use crate::standing::kernel::references::Scale;
use crate::stats::cell::QuantileTable;
use crate::stats::draws::Stream;

/// Draws that are placed together, an even number; they stay in the processor's nearest cache.
const AT_A_TIME: usize = 256;

/// Positions of one cell in every draw, not yet held within the head-room. Single precision is far finer than any
/// result; values that are equal stay exactly equal.
pub(super) fn draw_positions(cell: &CellFit, scale: &Scale, cap: f64, seed: u64, stream: u64) -> Vec<f32> {
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
pub(super) fn mean_position(cell: &CellFit, lattice: &Scale, cap: f64, head_room: f64) -> f64 {
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
pub(super) fn position_of_value(value: f64, lattice: &Scale, cap: f64, head_room: f64) -> f64 {
    let points = lattice.zero.len();
    let at = |p: usize| {
        ((value.min(cap) - lattice.zero[p]) * lattice.inverse_gap[p]).clamp(-head_room, 1.0 + head_room)
    };
    (0..points).map(at).sum::<f64>() / points as f64
}
