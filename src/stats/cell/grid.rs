//! Evenly spaced points of the working scale; each stands for the small interval around it.

use crate::stats::cell::Prior;

/// So many points from `lo` on, `step` apart.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Grid {
    lo: f64,
    step: f64,
    inverse_step: f64,
    number: usize,
}

impl Grid {
    /// Number of points where it is not known beforehand which part of the grid matters.
    pub const POINTS: usize = 2001;

    /// Covers the prior's mean and 5 of its standard deviations either side, and the data and a `margin` either side.
    ///
    /// `range`: least and greatest number named by the results, if there are any.
    pub fn covering(prior: Prior, range: Option<(f64, f64)>, margin: f64) -> Self {
        let (mut lo, mut hi) = (prior.mean - 5.0 * prior.sd, prior.mean + 5.0 * prior.sd);
        if let Some((least, greatest)) = range {
            lo = lo.min(least - margin);
            hi = hi.max(greatest + margin);
        }
        Self::between(lo, hi, Self::POINTS)
    }

    /// From `lo` to `hi`; two points at least.
    pub fn between(lo: f64, hi: f64, number: usize) -> Self {
        let step = (hi - lo) / (number - 1) as f64;
        Self {
            lo,
            step,
            inverse_step: step.recip(),
            number,
        }
    }

    /// Number of points.
    pub fn number(&self) -> usize {
        self.number
    }

    /// Point `index`.
    #[inline]
    pub fn point(&self, index: usize) -> f64 {
        self.lo + index as f64 * self.step
    }

    /// Distance of two neighbours, and the width of what each point stands for.
    pub fn step(&self) -> f64 {
        self.step
    }

    /// All points.
    pub fn points(&self) -> impl Iterator<Item = f64> {
        self.points_from(0)
    }

    /// The points from point `first` on.
    pub(crate) fn points_from(&self, first: usize) -> impl ExactSizeIterator<Item = f64> + use<> {
        let grid = *self;
        (first..self.number).map(move |i| grid.point(i))
    }

    /// Where `x` falls, in steps from the lower edge of the first point's interval.
    #[inline]
    pub(crate) fn place(&self, x: f64) -> f64 {
        (x - self.lo) * self.inverse_step + 0.5
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_grid_covers_prior_and_data() {
        let prior = Prior { mean: 1.0, sd: 2.0 };
        let grid = Grid::covering(prior, Some((-3.0, 30.0)), 4.0);
        assert!((grid.point(0) - -9.0).abs() < 1e-12);
        assert!((grid.point(Grid::POINTS - 1) - 34.0).abs() < 1e-12);
        let bare = Grid::covering(prior, None, 4.0);
        assert!((bare.point(Grid::POINTS - 1) - 11.0).abs() < 1e-12);
        assert!((bare.place(bare.point(7)) - 7.5).abs() < 1e-12);
    }
}
