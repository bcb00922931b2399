//! Intervals of a Weibull quantile by the profile likelihood.

use crate::stats::normal;
use crate::stats::weibull::{Lives, WeibullError, WeibullFit};

/// Confidence of the intervals.
pub const CONFIDENCE: f64 = 0.9;
/// Failures of samples without stopped runs, and how often the interval of their median holds the truth, whatever shape
/// and scale: 100 000 simulated samples each (ours; the standard error is below 0.002).
const HELD: [(usize, f64); 10] = [
    (2, 0.66),
    (3, 0.77),
    (4, 0.81),
    (5, 0.83),
    (6, 0.845),
    (8, 0.86),
    (10, 0.87),
    (15, 0.88),
    (20, 0.885),
    (30, 0.89),
];

/// How often an interval of the stated confidence really holds the median where the shape is fitted too, at least; `None`
/// with fewer than two failures, which fit no shape.
pub fn real_confidence(failures: usize) -> Option<f64> {
    let known = HELD.iter().rev().find(|(least, _)| *least <= failures);
    known.map(|(_, held)| *held)
}

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
    drop: f64,
    /// The edge of the region from the least to the greatest likely shape; one place where the shape is given.
    edge: Vec<EdgeAt>,
}

/// The edge of the region at one shape: both scales that are just likely enough.
#[derive(Clone, Copy, Debug)]
struct EdgeAt {
    log_shape: f64,
    log_scale: f64,
    /// Logarithms of `(e/scale)^k` at the lesser and the greater scale.
    log_powers: [f64; 2],
}

impl EdgeAt {
    /// Logarithm of the quantile of a logarithmic hazard at one of the two scales.
    fn log_quantile(&self, hazard: f64, end: End) -> f64 {
        let log_power = self.log_powers[usize::from(end == End::Upper)];
        self.log_scale + (hazard - log_power) / self.log_shape.exp()
    }
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
        let [low, high] = [0.5, 2.0].map(|factor| region.edge_shape(fit.shape, factor).ln());
        let step = (high - low) / SHAPES as f64;
        let shapes = (0..=SHAPES).map(|place| low + step * place as f64);
        region.edge = shapes.map(|log_shape| region.edge_at(log_shape)).collect();
        region
    }

    /// The region around a fit whose shape is given: only the scale is in doubt.
    pub fn with_shape_given(lives: &'a Lives, fit: &WeibullFit) -> Self {
        let z = normal::quantile(0.5 * (1.0 + CONFIDENCE));
        let mut region = Self {
            lives,
            greatest: fit.log_likelihood,
            drop: 0.5 * z * z,
            edge: Vec::new(),
        };
        region.edge = vec![region.edge_at(fit.shape.ln())];
        region
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

    fn edge_at(&self, log_shape: f64) -> EdgeAt {
        let shape = log_shape.exp();
        let room = self.room(shape).max(0.0) / self.lives.failures() as f64;
        EdgeAt {
            log_shape,
            log_scale: self.lives.log_scale(shape),
            log_powers: [greater_root(room).ln(), lesser_root(room).ln()],
        }
    }

    /// Least or greatest logarithm of the quantile over all likely shapes.
    fn extreme(&self, hazard: f64, end: End) -> f64 {
        let sign = if end == End::Upper { 1.0 } else { -1.0 };
        let far = |at: &EdgeAt| sign * at.log_quantile(hazard, end);
        let farthest = self
            .edge
            .iter()
            .enumerate()
            .max_by(|a, b| far(a.1).total_cmp(&far(b.1)));
        let Some((place, edge)) = farthest else {
            return f64::NAN;
        };
        let last = self.edge.len() - 1;
        let from = self.edge[place.saturating_sub(1)].log_shape;
        let to = self.edge[(place + 1).min(last)].log_shape;
        let found = greatest_between(|log_shape| far(&self.edge_at(log_shape)), from, to);
        sign * found.max(far(edge))
    }
}

/// The greatest value of a function with one peak, by golden sections.
fn greatest_between(value: impl Fn(f64) -> f64, from: f64, to: f64) -> f64 {
    const SECTIONS: usize = 28;
    let golden = 0.5 * (5f64.sqrt() - 1.0);
    let (mut low, mut high) = (from, to);
    let (mut left, mut right) = (high - golden * (high - low), low + golden * (high - low));
    let (mut at_left, mut at_right) = (value(left), value(right));
    for _ in 0..SECTIONS {
        if at_left > at_right {
            (high, right, at_right) = (right, left, at_left);
            left = high - golden * (high - low);
            at_left = value(left);
        } else {
            (low, left, at_left) = (left, right, at_right);
            right = low + golden * (high - low);
            at_right = value(right);
        }
    }
    at_left.max(at_right)
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
