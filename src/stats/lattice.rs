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

/// Standard normal numbers at the points of one coordinate, whichever it is: each has the same values in another order.
static NORMAL: LazyLock<Vec<f64>> =
    LazyLock::new(|| (0..POINTS).map(|place| normal::quantile(folded(place))).collect());

/// Coordinate `dimension` of point `index`, strictly between 0 and 1.
pub fn coordinate(index: usize, dimension: usize) -> f64 {
    folded(place(index, dimension))
}

/// The standard normal number below which the probability is the coordinate.
pub fn normal_coordinate(index: usize, dimension: usize) -> f64 {
    NORMAL[place(index, dimension)]
}

/// The points in the order of their coordinate `dimension`, the smallest first.
pub fn in_order_of(dimension: usize) -> impl Iterator<Item = usize> {
    // the first coordinate of point i is place i; so the point at a place of another coordinate is found by the
    // multiplier's inverse
    let multiplier = place(1, dimension);
    let inverse = (0..POINTS).find(|candidate| candidate * multiplier % POINTS == 1);
    let inverse = inverse.unwrap_or(1);
    PLACES_IN_ORDER.iter().map(move |place| place * inverse % POINTS)
}

/// Places along a coordinate, the smallest coordinate first.
static PLACES_IN_ORDER: LazyLock<Vec<usize>> = LazyLock::new(|| {
    let mut places: Vec<usize> = (0..POINTS).collect();
    places.sort_by(|a, b| folded(*a).total_cmp(&folded(*b)));
    places
});

fn place(index: usize, dimension: usize) -> usize {
    let multiplier = (0..dimension).fold(1, |product, _| product * MULTIPLIER % POINTS);
    index * multiplier % POINTS
}

fn folded(place: usize) -> f64 {
    let place = (place as f64 + 0.25) / POINTS as f64;
    1.0 - (2.0 * place - 1.0).abs()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn average(dimensions: usize, f: impl Fn(&[f64]) -> f64) -> f64 {
        let at = |i| -> Vec<f64> { (0..dimensions).map(|d| coordinate(i, d)).collect() };
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
        for (index, dimension) in [(0, 0), (1, 1), (510, 2), (1020, 5)] {
            let expected = normal::quantile(coordinate(index, dimension));
            assert_eq!(normal_coordinate(index, dimension), expected);
        }
    }

    #[test]
    fn points_come_in_the_order_of_any_coordinate() {
        for dimension in 0..6 {
            let ordered: Vec<f64> = in_order_of(dimension).map(|i| coordinate(i, dimension)).collect();
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
