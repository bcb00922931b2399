//! Positions between the reference oils: 0 is the known poor one, 1 the known good one, and beyond them ever slower.

use crate::standing::kernel::cells::{CellFit, TestFrame};
use crate::standing::kernel::input::Missing;
use crate::standing::kernel::references::PositionScale;
use crate::standing::kernel::{CellData, Fitted, KernelError, TestInput};
use crate::stats::cell::Sampler;
use crate::stats::draws::Stream;
use crate::stats::lattice;
use crate::units::position;

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
    let place = |ratio: &f32| position(f64::from(*ratio), head_room) as f32;
    ratios.iter().map(place).collect()
}

/// A position with what is left open: its mean, and its 5 % and 95 % points.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct PositionSummary {
    /// Mean.
    pub mean: f64,
    /// 5 % and 95 % points; the mean lies between them.
    pub interval: (f64, f64),
}

impl PositionSummary {
    /// From the positions at all lattice points.
    pub(super) fn of(mut positions: Vec<f64>) -> Self {
        let mean = mean(&positions);
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

pub(super) fn mean(positions: &[f64]) -> f64 {
    positions.iter().sum::<f64>() / positions.len() as f64
}

/// Positions of a cell at all lattice points: of its own value, of the reference oils, of the deviation and of the open
/// block shifts, without random numbers.
pub(super) fn on_lattice(cell: &CellFit, lattice: &PositionScale, cap: f64, head_room: f64) -> Vec<f64> {
    let values = cell.on_lattice(LatticeDimension::Value);
    let placed = values.iter().zip(&lattice.places).enumerate();
    placed
        .map(|(p, (value, place))| {
            let held = (value - lattice.moved(cell, p)).min(cap);
            position(place.ratio(held), head_room)
        })
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
        let positions = on_lattice(&fitted, &fit.lattice, fit.top(), self.input.head_room);
        Ok(mean(&positions))
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
            .map(|candidate| Ok(frame.candidate(candidate, test, &self.input)?.summary.mean))
            .collect()
    }
}
