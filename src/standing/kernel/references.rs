//! The scale of one test: its reference oils per draw and per lattice point, and whether the test sorted them.

use crate::standing::kernel::cells::{CellFit, OpenShift};
use crate::standing::kernel::positions::{LatticeDimension, Place};
use crate::stats::cell::Sampler;
use crate::stats::deviation::Deviation;
use crate::stats::draws::{Stream, StreamKey};
use crate::stats::lattice;
use serde::Serialize;

/// Where 0 lies and how long the way to 1 is, once per draw or per lattice point. Greater is better.
#[derive(Clone, Debug, Default)]
pub(super) struct PositionScale {
    /// Where the reference oils lie.
    pub(super) places: Vec<Place>,
    /// What is open of each block's shift.
    pub(super) shifts: Vec<Vec<f64>>,
    /// Which part of the doubt about the deviation holds in each draw; empty where there is none, and on the lattice.
    pub(super) parts: Vec<u8>,
}

impl PositionScale {
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
    /// P(known good beats known poor); `None` without one of them.
    pub good_over_poor: Option<f64>,
    /// P(known good beats the control fluid); `None` without one of them.
    pub good_over_control: Option<f64>,
    /// P(the middle one lies between known poor and known good, or level with one of them at the cap); `None` where it
    /// was not run or one of them is missing.
    pub middle_between: Option<f64>,
}

/// How far apart the ends of a scale are.
#[derive(Clone, Copy, Debug)]
pub(super) enum Length {
    /// As far as the two reference oils, but never less than their critical difference.
    AtLeast(f64),
    /// With one reference oil: twice the reproducibility.
    Fixed(f64),
}

/// The fixed fluids of a test, and how its scale is made from them.
pub(super) struct Fixed<'a> {
    pub(super) key: &'a str,
    pub(super) good: Option<&'a CellFit>,
    pub(super) poor: Option<&'a CellFit>,
    pub(super) control: Option<&'a CellFit>,
    pub(super) middle: Option<&'a CellFit>,
    pub(super) cap: f64,
    pub(super) length: Length,
    pub(super) deviation_in_doubt: Doubt,
    pub(super) open: &'a [OpenShift],
}

/// In how many parts the doubt about a deviation stands: one where it is known.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Doubt {
    parts: usize,
}

impl Doubt {
    pub(super) fn about(deviation: Deviation) -> Self {
        Self {
            parts: deviation.parts(),
        }
    }

    /// A part per draw, each as likely as any other; none is named where there is only one.
    pub(super) fn drawn(self, seed: u64, stream: u64, draws: usize) -> Vec<u8> {
        if self.parts == 1 {
            return Vec::new();
        }
        let mut stream = Stream::new(seed, stream);
        (0..draws)
            .map(|_| (stream.uniform() * self.parts as f64) as u8)
            .collect()
    }
}

impl Fixed<'_> {
    /// The scale of every draw, and the validity counted over the draws.
    pub(super) fn draw(&self, seed: u64, draws: usize) -> (PositionScale, Validity) {
        let stream = StreamKey::new("deviation").text(self.key).value();
        let mut scale = PositionScale {
            parts: self.deviation_in_doubt.drawn(seed, stream, draws),
            ..PositionScale::default()
        };
        for shift in self.open {
            let mut stream = Stream::new(seed, shift.stream);
            scale
                .shifts
                .push((0..draws).map(|_| shift.sd * stream.normal()).collect());
        }
        let drawn = |role: &str, cell: Option<&CellFit>| -> Option<Vec<f64>> {
            let cell = cell?;
            let key = StreamKey::new("fixed").text(self.key).text(role).value();
            let mut values = vec![0.0; draws];
            let own_parts = cell.own_parts(seed, key, draws);
            let parts = own_parts.as_deref().unwrap_or(&scale.parts);
            Sampler::new(&cell.value).draw(&mut Stream::new(seed, key), parts, &mut values);
            for (i, value) in values.iter_mut().enumerate() {
                *value = (*value - scale.moved(cell, i)).min(self.cap);
            }
            Some(values)
        };
        let good = drawn("good", self.good);
        let (poor, control) = (drawn("poor", self.poor), drawn("control", self.control));
        let middle = drawn("middle", self.middle);
        let mut count = [0usize; 3];
        for i in 0..draws {
            let at = |values: &Option<Vec<f64>>| values.as_ref().map(|values| values[i]);
            let (good, poor, control, middle) = (at(&good), at(&poor), at(&control), at(&middle));
            let above = |other: Option<f64>| good.zip(other).is_some_and(|(good, other)| good > other);
            count[0] += usize::from(above(poor));
            count[1] += usize::from(above(control));
            let ends = good.zip(poor).zip(middle);
            count[2] += usize::from(ends.is_some_and(|((g, p), m)| p <= m && m <= g));
            scale.places.push(self.place(good, poor));
        }
        let part = |n: usize, others: &[Option<&CellFit>]| {
            let counted = self.good.is_some() && others.iter().all(Option::is_some);
            counted.then(|| n as f64 / draws.max(1) as f64)
        };
        let validity = Validity {
            good_over_poor: part(count[0], &[self.poor]),
            good_over_control: part(count[1], &[self.control]),
            middle_between: part(count[2], &[self.poor, self.middle]),
        };
        (scale, validity)
    }

    /// The scale at every lattice point, for means without random numbers.
    pub(super) fn lattice(&self) -> PositionScale {
        let mut scale = PositionScale::default();
        for (i, shift) in self.open.iter().enumerate() {
            let axis = lattice::axis(LatticeDimension::Shift(i).place());
            let at = |p| shift.sd * axis.normal(p);
            scale.shifts.push((0..lattice::POINTS).map(at).collect());
        }
        let values = |dimension: LatticeDimension, cell: Option<&CellFit>| -> Option<Vec<f64>> {
            let cell = cell?;
            let mut values = cell.on_lattice(dimension);
            for (p, value) in values.iter_mut().enumerate() {
                *value = (*value - scale.moved(cell, p)).min(self.cap);
            }
            Some(values)
        };
        let good = values(LatticeDimension::Good, self.good);
        let poor = values(LatticeDimension::Poor, self.poor);
        let place = |p: usize| {
            let at = |values: &Option<Vec<f64>>| values.as_ref().map(|values| values[p]);
            self.place(at(&good), at(&poor))
        };
        scale.places = (0..lattice::POINTS).map(place).collect();
        scale
    }

    /// From the poor one to the good one, never the wrong way round; from the one there is where there is one.
    fn place(&self, good: Option<f64>, poor: Option<f64>) -> Place {
        let gap = match self.length {
            Length::AtLeast(least) => match (good, poor) {
                (Some(good), Some(poor)) => (good - poor).max(least),
                _ => least,
            },
            Length::Fixed(length) => length,
        };
        let zero = poor.or(good.map(|good| good - gap)).unwrap_or_default();
        Place::new(zero, gap)
    }
}
