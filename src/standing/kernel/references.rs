//! The scale of one test: its reference oils per draw and per lattice point, and whether the test sorted them.

use crate::standing::kernel::cells::{CellFit, OpenShift};
use crate::stats::cell::QuantileTable;
use crate::stats::draws::{Stream, StreamKey};
use crate::stats::lattice;
use serde::Serialize;

/// Where 0 lies and how long the way to 1 is, once per draw or per lattice point. Greater is better.
#[derive(Clone, Debug, Default)]
pub(super) struct PositionScale {
    /// Working-scale value of position 0.
    pub(super) zero: Vec<f64>,
    /// Working-scale length from 0 to 1, positive.
    pub(super) gap: Vec<f64>,
    /// One over that length.
    pub(super) inverse_gap: Vec<f64>,
    /// What is open of each block's shift.
    pub(super) shifts: Vec<Vec<f64>>,
}

impl PositionScale {
    fn push(&mut self, (zero, gap): (f64, f64)) {
        self.zero.push(zero);
        self.gap.push(gap);
        self.inverse_gap.push(gap.recip());
    }

    /// How much a cell moves in draw (or at point) `i`.
    #[inline]
    pub(super) fn moved(&self, cell: &CellFit, i: usize) -> f64 {
        cell.shares
            .iter()
            .zip(&self.shifts)
            .map(|(share, shift)| share * shift[i])
            .sum()
    }
}

/// How well a test sorted lubricants whose order is known. Values held at the cap count as equal there.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
pub struct Validity {
    /// P(known good beats known poor); `None` without a known poor.
    pub good_over_poor: Option<f64>,
    /// P(known good beats the control fluid); `None` where it was not run.
    pub good_over_control: Option<f64>,
    /// P(the middle one lies between known poor and known good, or level with one of them at the cap); `None` where it
    /// was not run or there is no known poor.
    pub middle_between: Option<f64>,
}

/// The fixed fluids of a test, and how its scale is made from them.
pub(super) struct Fixed<'a> {
    pub(super) key: &'a str,
    pub(super) good: &'a CellFit,
    pub(super) poor: Option<&'a CellFit>,
    pub(super) control: Option<&'a CellFit>,
    pub(super) middle: Option<&'a CellFit>,
    pub(super) cap: f64,
    /// Smallest gap accepted between two references: their critical difference.
    pub(super) floor: f64,
    /// With one reference: the whole gap, twice the reproducibility.
    pub(super) fixed_gap: f64,
    pub(super) open: &'a [OpenShift],
}

impl Fixed<'_> {
    /// The scale of every draw, and the validity counted over the draws.
    pub(super) fn draw(&self, seed: u64, draws: usize) -> (PositionScale, Validity) {
        let mut scale = PositionScale::default();
        for shift in self.open {
            let mut stream = Stream::new(seed, shift.stream);
            scale
                .shifts
                .push((0..draws).map(|_| shift.sd * stream.normal()).collect());
        }
        let drawn = |role: &str, cell: Option<&CellFit>| -> Option<Vec<f64>> {
            let cell = cell?;
            let mut stream = Stream::new(seed, self.stream_of(role));
            let mut values = vec![0.0; draws];
            QuantileTable::new(&cell.posterior).draw(&mut stream, &mut values);
            for (i, value) in values.iter_mut().enumerate() {
                *value = (*value - scale.moved(cell, i)).min(self.cap);
            }
            Some(values)
        };
        let good = drawn("good", Some(self.good)).unwrap_or_default();
        let (poor, control) = (drawn("poor", self.poor), drawn("control", self.control));
        let middle = drawn("middle", self.middle);
        let mut count = [0usize; 3];
        for (i, &good) in good.iter().enumerate() {
            let at = |values: &Option<Vec<f64>>| values.as_ref().map(|values| values[i]);
            let (poor, control, middle) = (at(&poor), at(&control), at(&middle));
            count[0] += usize::from(poor.is_some_and(|p| good > p));
            count[1] += usize::from(control.is_some_and(|c| good > c));
            count[2] += usize::from(poor.zip(middle).is_some_and(|(p, m)| p <= m && m <= good));
            scale.push(self.zero_and_gap(good, poor));
        }
        let part = |n: usize, counted: bool| counted.then(|| n as f64 / draws.max(1) as f64);
        let validity = Validity {
            good_over_poor: part(count[0], self.poor.is_some()),
            good_over_control: part(count[1], self.control.is_some()),
            middle_between: part(count[2], self.poor.is_some() && self.middle.is_some()),
        };
        (scale, validity)
    }

    /// The scale at every lattice point, for means without random numbers.
    pub(super) fn lattice(&self) -> PositionScale {
        let points = lattice::POINTS;
        let mut scale = PositionScale::default();
        for (i, shift) in self.open.iter().enumerate() {
            let at = |p| shift.sd * lattice::normal_coordinate(p, 2 + i);
            scale.shifts.push((0..points).map(at).collect());
        }
        for p in 0..points {
            let value = |dimension: usize, cell: &CellFit| {
                (cell.posterior.quantile(lattice::coordinate(p, dimension)) - scale.moved(cell, p))
                    .min(self.cap)
            };
            let ends = self.zero_and_gap(value(0, self.good), self.poor.map(|poor| value(1, poor)));
            scale.push(ends);
        }
        scale
    }

    /// Two references: from the poor one to the good one, never shorter than the critical difference and never the
    /// wrong way round. One reference: 0 lies twice the reproducibility below it.
    fn zero_and_gap(&self, good: f64, poor: Option<f64>) -> (f64, f64) {
        match poor {
            Some(poor) => (poor, (good - poor).max(self.floor)),
            None => (good - self.fixed_gap, self.fixed_gap),
        }
    }

    fn stream_of(&self, role: &str) -> u64 {
        StreamKey::new("fixed").text(self.key).text(role).value()
    }
}
