//! Stress below the middle of an elliptical contact.

use crate::contact::curvature::CIRCLE;
use crate::contact::integrals::incomplete;

/// Poisson's ratio for which the kept shear stresses are given.
pub const NU: f64 = 0.3;

/// Greatest shear below the middle over the maximum pressure, and its depth over the shorter half-axis, for an
/// axis ratio `b/a` from 0 (exclusive) to 1, nu = 0.3.
///
/// # Formula
/// Half the difference of the greatest and the least of the three stresses of [`axis_stresses`], greatest over the
/// depth; 0.310 at 0.481 for a circle, 0.3215 at 0.740 for b/a = 0.2, 0.300 at 0.786 for a line (Johnson 1985, from
/// memory; all of them checked by summing point loads over the area).
pub fn greatest_shear(short_over_long: f64) -> (f64, f64) {
    greatest_shear_at_nu(short_over_long, NU)
}

/// The same for another Poisson's ratio, 0.25 to 0.5 (below, the surface may shear most); golden-section search of the depth.
pub fn greatest_shear_at_nu(short_over_long: f64, nu: f64) -> (f64, f64) {
    let shear = |depth: f64| {
        let [x, y, z] = axis_stresses(short_over_long, depth, nu);
        0.5 * (x.max(y).max(z) - x.min(y).min(z))
    };
    let golden = 0.5 * (5f64.sqrt() - 1.0);
    let (mut low, mut high) = (0.2, 1.2);
    for _ in 0..80 {
        let left = high - golden * (high - low);
        let right = low + golden * (high - low);
        if shear(left) < shear(right) {
            low = left;
        } else {
            high = right;
        }
    }
    let depth = 0.5 * (low + high);
    (shear(depth), depth)
}

/// Principal stresses on the axis over the maximum pressure, at a depth given over the shorter half-axis: along
/// the longer axis, along the shorter one, into the depth.
///
/// # Formula
/// With `r = b/a`, depth z over b, `zeta = r z`, `t = sqrt((r^2 + zeta^2)/(1 + zeta^2))`, F and E incomplete elliptic
/// integrals of amplitude `atan(1/zeta)` and parameter `1 - r^2`, the sums of Thomas and Hoersch as in Johnson,
/// Contact Mechanics, 1985, chapter 4 (from memory). Circle: `z = -1/(1 + z^2)` into the depth,
/// `-(1 + nu)(1 - z atan(1/z)) + 1/(2 (1 + z^2))` across.
pub fn axis_stresses(short_over_long: f64, depth: f64, nu: f64) -> [f64; 3] {
    let ratio = short_over_long;
    if ratio > 1.0 / CIRCLE {
        let radial = -(1.0 + nu) * (1.0 - depth * (1.0 / depth).atan()) + 0.5 / (1.0 + depth * depth);
        return [radial, radial, -1.0 / (1.0 + depth * depth)];
    }
    let zeta = depth * ratio;
    let m = 1.0 - ratio * ratio;
    let t = ((ratio * ratio + zeta * zeta) / (1.0 + zeta * zeta)).sqrt();
    let (first, second) = incomplete(zeta * zeta, ratio * ratio);
    let along = zeta * (first - second);
    let across = zeta * (second / (ratio * ratio) - first);
    let factor = 2.0 * ratio / m;
    let x = -0.5 * (1.0 - t) + along + nu * (1.0 - t / (ratio * ratio) + across);
    let y = 0.5 + 0.5 / t - t / (ratio * ratio) + across + nu * (-1.0 + t + along);
    let z = -0.5 * (1.0 - t * t) / t;
    [factor * x, factor * y, factor * z]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_long_ellipse_has_the_shear_of_a_line() {
        let (shear, depth) = greatest_shear(1e-5);
        assert!((shear - 0.300_283).abs() < 1e-5, "{shear}");
        assert!((depth - 0.786_152).abs() < 1e-4, "{depth}");
    }

    /// On the surface the stresses have a closed form: `2 nu + (1 - 2 nu) b/(a+b)` and its partner.
    #[test]
    fn the_stresses_approach_their_closed_form_at_the_surface() {
        for ratio in [0.05, 0.4, 0.9] {
            let [x, y, z] = axis_stresses(ratio, 1e-9, NU);
            assert!((x + 0.6 + 0.4 * ratio / (1.0 + ratio)).abs() < 1e-6, "{x}");
            assert!((y + 0.6 + 0.4 / (1.0 + ratio)).abs() < 1e-6, "{y}");
            assert!((z + 1.0).abs() < 1e-6);
        }
    }

    #[test]
    fn no_depth_of_a_fine_grid_has_more_shear_than_the_greatest() {
        for ratio in [1.0, 0.95, 0.7, 0.4, 0.1, 0.01] {
            for nu in [0.25, 0.26, 0.3, 0.34, 0.5] {
                let (greatest, _) = greatest_shear_at_nu(ratio, nu);
                for step in 1..1000 {
                    let [x, y, z] = axis_stresses(ratio, f64::from(step) * 2e-3, nu);
                    let shear = 0.5 * (x.max(y).max(z) - x.min(y).min(z));
                    assert!(shear <= greatest + 1e-9, "{ratio} {nu} at step {step}: {shear}");
                }
            }
        }
    }
}
