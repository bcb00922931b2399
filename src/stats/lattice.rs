//! Evenly spread points of the unit cube, for averages that need no random numbers.
//!
//! A lattice of [`POINTS`] points (a prime number N): coordinate j of point i is (i a^j + 1/4) / N modulo 1, folded by
//! x -> 1 - |2x - 1|. Folding keeps the distribution uniform and makes every function periodic, which squares the rate
//! at which the average converges; with the quarter shift the folded points of one coordinate are the midpoints of
//! N equal intervals. The multiplier a = 76 for N = 1021 is a table value (from memory; the tests below check how well
//! the averages come out).

use std::sync::LazyLock;

use crate::stats::normal;

/// Number of points.
pub const POINTS: usize = 1021;

const MULTIPLIER: usize = 76;

/// 76 times this is 1 modulo N.
const INVERSE: usize = 309;

/// Coordinates of all points along an axis, whichever it is: each has the same in another order.
static COORDINATES: LazyLock<Vec<f64>> = LazyLock::new(|| (0..POINTS).map(folded).collect());

/// The standard normal numbers below which the probabilities are the coordinates.
static NORMAL: LazyLock<Vec<f64>> =
    LazyLock::new(|| COORDINATES.iter().copied().map(normal::quantile).collect());

/// Places along an axis, the smallest coordinate first.
static PLACES_IN_ORDER: LazyLock<Vec<usize>> = LazyLock::new(|| {
    let mut places: Vec<usize> = (0..POINTS).collect();
    places.sort_by(|a, b| folded(*a).total_cmp(&folded(*b)));
    places
});

/// One coordinate of all points.
#[derive(Clone, Copy, Debug)]
pub struct Axis {
    multiplier: usize,
    inverse: usize,
}

/// The axis of a coordinate, counted from 0.
pub fn axis(dimension: usize) -> Axis {
    let power = |base: usize| (0..dimension).fold(1, |product, _| product * base % POINTS);
    Axis {
        multiplier: power(MULTIPLIER),
        inverse: power(INVERSE),
    }
}

impl Axis {
    /// Coordinate of a point, strictly between 0 and 1.
    #[inline]
    pub fn coordinate(self, point: usize) -> f64 {
        COORDINATES[self.place(point)]
    }

    /// The standard normal number below which the probability is the coordinate.
    #[inline]
    pub fn normal(self, point: usize) -> f64 {
        NORMAL[self.place(point)]
    }

    /// The points in the order of their coordinate, the smallest first.
    pub fn in_order(self) -> impl Iterator<Item = usize> {
        PLACES_IN_ORDER
            .iter()
            .map(move |place| place * self.inverse % POINTS)
    }

    #[inline]
    fn place(self, point: usize) -> usize {
        point * self.multiplier % POINTS
    }
}

fn folded(place: usize) -> f64 {
    let place = (place as f64 + 0.25) / POINTS as f64;
    1.0 - (2.0 * place - 1.0).abs()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn average(dimensions: usize, f: impl Fn(&[f64]) -> f64) -> f64 {
        let at = |i| -> Vec<f64> { (0..dimensions).map(|d| axis(d).coordinate(i)).collect() };
        (0..POINTS).map(|i| f(&at(i))).sum::<f64>() / POINTS as f64
    }

    #[test]
    fn averages_of_smooth_functions_come_out_close() {
        assert!((average(1, |x| x[0] * x[0]) - 1.0 / 3.0).abs() < 1e-6);
        assert!((average(2, |x| x[0] * x[1]) - 0.25).abs() < 1e-5);
        assert!((average(3, |x| (x[0] + x[1] + x[2]).powi(2)) - 2.5).abs() < 1e-4);
        assert!((average(4, |x| x[0] * x[1] * x[2] * x[3]) - 0.0625).abs() < 1e-4);
    }

    #[test]
    fn a_normal_coordinate_is_the_quantile_of_the_coordinate() {
        for (point, dimension) in [(0, 0), (1, 1), (510, 2), (1020, 5)] {
            let axis = axis(dimension);
            assert_eq!(axis.normal(point), normal::quantile(axis.coordinate(point)));
        }
    }

    #[test]
    fn points_come_in_the_order_of_any_coordinate() {
        for dimension in 0..6 {
            let axis = axis(dimension);
            let ordered: Vec<f64> = axis.in_order().map(|point| axis.coordinate(point)).collect();
            assert_eq!(ordered.len(), POINTS);
            assert!(ordered.windows(2).all(|pair| pair[0] < pair[1]));
        }
    }

    #[test]
    fn averages_over_normal_numbers_come_out_close() {
        // E max(z1 + z2, 0) of two independent normals is sqrt(2) / sqrt(2 pi)
        let sum = |x: &[f64]| normal::quantile(x[0]) + normal::quantile(x[1]);
        assert!((average(2, |x| sum(x).max(0.0)) - 1.0 / std::f64::consts::PI.sqrt()).abs() < 2e-3);
        assert!(average(2, sum).abs() < 1e-3);
    }
}
