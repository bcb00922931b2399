//! Positions between the reference oils: 0 is the known poor one, 1 the known good one, and beyond them ever slower.

use crate::standing::kernel::cells::{CellFit, TestFrame};
use crate::standing::kernel::input::Missing;
use crate::standing::kernel::references::PositionScale;
use crate::standing::kernel::{CellData, Fitted, KernelError, TestInput};
use crate::stats::cell::Sampler;
use crate::stats::draws::Stream;
use crate::stats::lattice;
use crate::units::position;
use wide::f32x8;

/// Draws that are placed together, an even number; they stay in the processor's nearest cache.
const AT_A_TIME: usize = 256;

/// Where 0 lies on the working scale, greater is better, and how long the way to 1 is.
#[derive(Clone, Copy, Debug)]
pub(super) struct Place {
    zero: f64,
    inverse_gap: f64,
}

impl Place {
    /// `gap` is positive.
    pub(super) fn new(zero: f64, gap: f64) -> Self {
        let inverse_gap = gap.recip();
        Self { zero, inverse_gap }
    }

    /// How much of the way from 0 to 1 a value has gone.
    #[inline]
    fn ratio(self, value: f64) -> f64 {
        (value - self.zero) * self.inverse_gap
    }
}

/// What each coordinate of the lattice stands for.
#[derive(Clone, Copy, Debug)]
pub(super) enum LatticeDimension {
    Good,
    Poor,
    /// The value that is placed.
    Value,
    /// The part of the doubt about the test's deviation.
    Deviation,
    /// The part of the doubt about a deviation of one blend alone.
    OwnDeviation,
    /// What is open of a block's shift.
    Shift(usize),
}

impl LatticeDimension {
    pub(super) fn place(self) -> usize {
        match self {
            Self::Good => 0,
            Self::Poor => 1,
            Self::Value => 2,
            Self::Deviation => 3,
            Self::OwnDeviation => 4,
            Self::Shift(which) => 5 + which,
        }
    }
}

/// Ratios of one cell in every draw. Single precision is far finer than any result; values that are equal stay
/// exactly equal.
pub(super) fn draw_ratios(
    cell: &CellFit,
    scale: &PositionScale,
    cap: f64,
    (seed, stream): (u64, u64),
) -> Vec<f32> {
    let draws = scale.places.len();
    let mut random = Stream::new(seed, stream);
    let sampler = Sampler::new(&cell.value);
    let own_parts = cell.own_parts(seed, stream, draws);
    let parts = own_parts.as_deref().unwrap_or(&scale.parts);
    let mut ratios = Vec::with_capacity(draws);
    let mut values = [0.0; AT_A_TIME];
    for places in scale.places.chunks(AT_A_TIME) {
        let (from, values) = (ratios.len(), &mut values[..places.len()]);
        let parts = parts.get(from..from + places.len()).unwrap_or_default();
        sampler.draw(&mut random, parts, values);
        if !scale.shifts.is_empty() {
            for (i, value) in values.iter_mut().enumerate() {
                *value -= scale.moved(cell, from + i);
            }
        }
        let placed = values.iter().zip(places);
        ratios.extend(placed.map(|(&value, place)| {
            let held = if value < cap { value } else { cap };
            place.ratio(held) as f32
        }));
    }
    ratios
}

/// The positions of drawn ratios.
pub(super) fn placed(ratios: &[f32], head_room: f64) -> Vec<f32> {
    let mut positions = vec![0.0; ratios.len()];
    place(ratios, head_room, &mut positions);
    positions
}

/// Writes the [`position`] of each ratio, several at a time. The head-room is finite.
pub(super) fn place(ratios: &[f32], head_room: f64, positions: &mut [f32]) {
    if head_room == 0.0 {
        let held = ratios.iter().map(|ratio| ratio.clamp(0.0, 1.0));
        positions.iter_mut().zip(held).for_each(|(to, held)| *to = held);
        return;
    }
    let (zero, one) = (f32x8::ZERO, f32x8::ONE);
    let head_room = f32x8::splat(head_room as f32);
    // the quotient is held finite, so that without head-room nothing counts beyond
    let per_head_room = one / head_room.max(f32x8::splat(f32::MIN_POSITIVE));
    let lanes = |ratios: [f32; LANES]| -> [f32; LANES] {
        let ratio = f32x8::new(ratios);
        let (above, below) = ((ratio - one).fast_max(zero), (-ratio).fast_max(zero));
        let quotient = ((above + below) * per_head_room).fast_min(f32x8::splat(f32::MAX));
        if quotient == f32x8::ZERO {
            return ratios;
        }
        let slowed = head_room * (one + quotient).ln();
        let beyond = below.simd_gt(zero).select(-slowed, slowed);
        (ratio.fast_max(zero).fast_min(one) + beyond).to_array()
    };
    let (eights, rest) = ratios.as_chunks::<LANES>();
    let (to, to_rest) = positions.as_chunks_mut::<LANES>();
    for (to, ratios) in to.iter_mut().zip(eights) {
        *to = lanes(*ratios);
    }
    let mut padded = [0.0; LANES];
    padded[..rest.len()].copy_from_slice(rest);
    to_rest.copy_from_slice(&lanes(padded)[..rest.len()]);
}

/// Ratios that are placed at a time.
const LANES: usize = 8;

/// A position with what is left open: its mean, and its 5 % and 95 % points.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct PositionSummary {
    /// Mean.
    pub mean: f64,
    /// 5 % and 95 % points; the mean lies between them.
    pub interval: (f64, f64),
}

impl PositionSummary {
    /// From the ratios at all lattice points.
    pub(super) fn of(ratios: &[f64], head_room: f64) -> Self {
        let mut positions: Vec<f64> = ratios.iter().map(|ratio| position(*ratio, head_room)).collect();
        let mean = mean_position(ratios, head_room);
        let last = positions.len() - 1;
        let mut at = |part: f64| {
            let place = (part * last as f64).round() as usize;
            *positions.select_nth_unstable_by(place, f64::total_cmp).1
        };
        let (lo, hi) = (at(0.05), at(0.95));
        // a few far values can draw the mean of a steep distribution out of its middle
        let interval = (lo.min(mean), hi.max(mean));
        Self { mean, interval }
    }
}

/// Mean position of some ratios.
pub(super) fn mean_position(ratios: &[f64], head_room: f64) -> f64 {
    let positions = ratios.iter().map(|ratio| position(*ratio, head_room));
    positions.sum::<f64>() / ratios.len() as f64
}

/// Ratios of a cell at all lattice points: of its own value, of the reference oils, of the deviation and of the open
/// block shifts, without random numbers.
pub(super) fn ratios_on_lattice(cell: &CellFit, lattice: &PositionScale, cap: f64) -> Vec<f64> {
    let values = cell.on_lattice(LatticeDimension::Value);
    let placed = values.iter().zip(&lattice.places).enumerate();
    placed
        .map(|(p, (value, place))| place.ratio((value - lattice.moved(cell, p)).min(cap)))
        .collect()
}

/// Position of one working-scale value, greater is better, averaged over the lattice points.
pub(super) fn position_of_value(value: f64, lattice: &PositionScale, cap: f64, head_room: f64) -> f64 {
    let held = value.min(cap);
    let at = |place: &Place| position(place.ratio(held), head_room);
    lattice.places.iter().map(at).sum::<f64>() / lattice::POINTS as f64
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
        let fitted = fit.frame.fit(cell, input, &self.input.blocks)?;
        let ratios = ratios_on_lattice(&fitted, &fit.lattice, fit.top());
        Ok(mean_position(&ratios, self.input.head_room))
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
            .map(|candidate| Ok(frame.candidate(candidate, test, &self.input)?.mean))
            .collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        /// Any number of ratios, so that the last of them do not fill the lanes.
        #[test]
        fn many_ratios_are_placed_as_one_is(
            ratios in prop::collection::vec(-1e4..1e4f32, 1..20),
            head_room in prop_oneof![Just(0.0), Just(1e-40), Just(0.25), Just(0.5), 0.0..10.0],
        ) {
            for (placed, ratio) in placed(&ratios, head_room).iter().zip(&ratios) {
                let exact = position(f64::from(*ratio), head_room);
                prop_assert!((f64::from(*placed) - exact).abs() <= 1e-6 * exact.abs().max(1.0), "{placed} {exact}");
            }
        }

        #[test]
        fn between_the_reference_oils_nothing_is_rounded(ratio in 0.0..=1.0f32, head_room in 0.0..10.0) {
            prop_assert_eq!(placed(&[ratio], head_room), [ratio]);
        }
    }
}
