//! Intervals of a Weibull quantile by the profile likelihood.

use crate::stats::normal;
use crate::stats::weibull::{Lives, WeibullError, WeibullFit};

/// Confidence of the intervals.
pub const CONFIDENCE: f64 = 0.9;
/// Shapes at which the edge of the likely region is first looked at.
const SHAPES: usize = 60;

/// All pairs of shape and scale whose likelihood lies close enough to the greatest one.
///
/// # Formula
/// The interval of a quantile t is the set of values for which `2 (l max - l(t)) <= z^2`, l(t) the greatest
/// log-likelihood among all fits with that quantile and z the normal quantile of `(1 + confidence)/2` (profile
/// likelihood; Wilks 1938, from memory). For a shape k and the scale e that goes best with it, another scale lowers the
/// log-likelihood by `r (x - 1 - ln x)`, `x = (e/scale)^k`, r the number of failures: so the edge of the region has a
/// closed form at every shape, and the interval runs from the least to the greatest quantile on it. With few failures
/// its true confidence is somewhat less than stated.
#[derive(Clone, Debug)]
pub struct QuantileIntervals<'a> {
    lives: &'a Lives,
    greatest: f64,
    /// Least and greatest likely shape; equal where the shape is given.
    shapes: [f64; 2],
    drop: f64,
}

/// Which end of an interval.
#[derive(Clone, Copy, PartialEq, Eq)]
enum End {
    Lower,
    Upper,
}

impl<'a> QuantileIntervals<'a> {
    /// The region around a fit with a free shape.
    pub fn around(lives: &'a Lives, fit: &WeibullFit) -> Self {
        let mut region = Self::with_shape_given(lives, fit);
        region.shapes = [
            region.edge_shape(fit.shape, 0.5),
            region.edge_shape(fit.shape, 2.0),
        ];
        region
    }

    /// The region around a fit whose shape is given: only the scale is in doubt.
    pub fn with_shape_given(lives: &'a Lives, fit: &WeibullFit) -> Self {
        let z = normal::quantile(0.5 * (1.0 + CONFIDENCE));
        Self {
            lives,
            greatest: fit.log_likelihood,
            shapes: [fit.shape, fit.shape],
            drop: 0.5 * z * z,
        }
    }

    /// Lower and upper end for the life that a share of the population does not survive.
    ///
    /// # Errors
    /// `NotFinite` where an end leaves the finite numbers.
    pub fn of_quantile(&self, share: f64) -> Result<[f64; 2], WeibullError> {
        let hazard = (-(-share).ln_1p()).ln();
        let ends = [End::Lower, End::Upper].map(|end| self.extreme(hazard, end).exp());
        let usable = ends.iter().all(|time| time.is_finite() && *time > 0.0);
        usable.then_some(ends).ok_or(WeibullError::NotFinite)
    }

    /// How far the likelihood may still fall at a shape.
    fn room(&self, shape: f64) -> f64 {
        self.drop - (self.greatest - self.lives.greatest_log_likelihood(shape))
    }

    /// The shape on one side of the best one at which no room is left.
    fn edge_shape(&self, best: f64, factor: f64) -> f64 {
        let (mut inside, mut outside) = (best, best * factor);
        for _ in 0..60 {
            if self.room(outside) < 0.0 {
                break;
            }
            (inside, outside) = (outside, outside * factor);
        }
        for _ in 0..80 {
            let middle = (inside * outside).sqrt();
            if self.room(middle) > 0.0 {
                inside = middle;
            } else {
                outside = middle;
            }
        }
        inside
    }

    /// Logarithm of the quantile on the edge of the region, at a shape.
    fn on_edge(&self, shape: f64, hazard: f64, end: End) -> f64 {
        let room = self.room(shape).max(0.0) / self.lives.failures() as f64;
        let x = match end {
            End::Lower => greater_root(room),
            End::Upper => lesser_root(room),
        };
        self.lives.log_scale(shape) + (hazard - x.ln()) / shape
    }

    /// Least or greatest logarithm of the quantile over all likely shapes.
    fn extreme(&self, hazard: f64, end: End) -> f64 {
        let [low, high] = self.shapes;
        let at = |log_shape: f64| {
            let value = self.on_edge(log_shape.exp(), hazard, end);
            if end == End::Upper { value } else { -value }
        };
        if low == high {
            return self.on_edge(low, hazard, end);
        }
        let (from, step) = (low.ln(), (high / low).ln() / SHAPES as f64);
        let best = (0..=SHAPES)
            .map(|place| place as f64)
            .max_by(|a, b| at(from + a * step).total_cmp(&at(from + b * step)))
            .unwrap_or(0.0);
        let place = |steps: f64| from + steps.clamp(0.0, SHAPES as f64) * step;
        let found = greatest_between(at, place(best - 1.0), place(best + 1.0));
        if end == End::Upper { found } else { -found }
    }
}

/// The greatest value of a function with one peak, by golden sections.
fn greatest_between(value: impl Fn(f64) -> f64, from: f64, to: f64) -> f64 {
    let golden = 0.5 * (5f64.sqrt() - 1.0);
    let (mut low, mut high) = (from, to);
    for _ in 0..60 {
        let left = high - golden * (high - low);
        let right = low + golden * (high - low);
        if value(left) > value(right) {
            high = right;
        } else {
            low = left;
        }
    }
    let middle = value(0.5 * (low + high));
    middle.max(value(from)).max(value(to))
}

/// The root above 1 of `x - 1 - ln x = room`, by Newton's steps from above.
fn greater_root(room: f64) -> f64 {
    let mut x = 1.0 + room + (2.0 * room).sqrt();
    for _ in 0..60 {
        let next = x - (x - 1.0 - x.ln() - room) / (1.0 - 1.0 / x);
        if !next.is_finite() || (next - x).abs() <= 1e-15 * x {
            break;
        }
        x = next.max(1.0);
    }
    x
}

/// The root below 1 of the same, by Newton's steps in `y = -ln x`: `exp(-y) - 1 + y = room`.
fn lesser_root(room: f64) -> f64 {
    let mut y = room + (2.0 * room).sqrt();
    for _ in 0..60 {
        let next = y - ((-y).exp_m1() + y - room) / -(-y).exp_m1();
        if !next.is_finite() || (next - y).abs() <= 1e-15 * y {
            break;
        }
        y = next.max(0.0);
    }
    (-y).exp()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn both_roots_solve_their_equation() {
        for room in [1e-9, 0.01, 0.45, 1.35, 20.0] {
            for x in [greater_root(room), lesser_root(room)] {
                let left = x - 1.0 - x.ln();
                assert!(
                    (left - room).abs() < 1e-9 * room.max(1e-3),
                    "{room}: {x} gives {left}"
                );
            }
            assert!(lesser_root(room) < 1.0 && greater_root(room) > 1.0);
        }
    }
}
