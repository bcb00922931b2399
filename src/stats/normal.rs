//! The standard normal distribution: Phi, its logarithm, the logarithm of an interval's probability, and the quantile.
//!
//! Every function but [`cumulative_quick`] works in the lower tail and mirrors the upper one into it, because near 1 a probability has no
//! digits left for what lies above it.

use std::f64::consts::{FRAC_1_SQRT_2, PI};
use std::sync::LazyLock;

/// Logarithm of the standard normal density at `x`.
pub fn log_density(x: f64) -> f64 {
    -0.5 * x * x - 0.5 * (2.0 * PI).ln()
}

/// Above this Phi is so large that 15 places of it are 13 digits.
const QUICK_ABOVE: f64 = -2.0;

/// Phi(x): probability that a standard normal number is at most `x`.
pub fn cumulative(x: f64) -> f64 {
    if x > QUICK_ABOVE {
        cumulative_quick(x)
    } else {
        log_density(x).exp() * mills(-x)
    }
}

fn by_error_function(x: f64) -> f64 {
    0.5 * libm::erfc(-x * FRAC_1_SQRT_2)
}

/// Points of a table in one unit.
const TABLE_PER_UNIT: f64 = 32.0;

/// From here on [`cumulative_quick`] is 1: Phi(-9) is 1e-19.
pub const QUICK_IS_ONE_FROM: f64 = 9.0;

/// Phi and the density at 0, 1/32, 2/32, ...
static TABLE: LazyLock<Vec<(f64, f64)>> = LazyLock::new(|| {
    let places = 0..=(QUICK_IS_ONE_FROM * TABLE_PER_UNIT) as u32;
    let points = places.map(|place| f64::from(place) / TABLE_PER_UNIT);
    points
        .map(|x| (by_error_function(x), log_density(x).exp()))
        .collect()
});

/// Phi(x) to 1e-15, for sums of many of them: six terms of Taylor's series around the nearest point of a table. Unlike
/// [`cumulative`] it keeps no relative precision in the lower tail.
///
/// # Formula
/// The derivatives of the density are its products with Hermite's polynomials (textbook result, Abramowitz and Stegun
/// 26.2.31, from memory).
pub fn cumulative_quick(x: f64) -> f64 {
    let above = x.abs();
    let of_above = if above < QUICK_IS_ONE_FROM {
        let place = (above * TABLE_PER_UNIT + 0.5) as usize;
        let (cumulative, density) = TABLE[place];
        let z = place as f64 / TABLE_PER_UNIT;
        let (d, zz) = (above - z, z * z);
        let series = z * (zz * (zz - 10.0) + 15.0) * (-1.0 / 720.0);
        let series = series * d + (zz * (zz - 6.0) + 3.0) * (1.0 / 120.0);
        let series = series * d + z * (zz - 3.0) * (-1.0 / 24.0);
        let series = series * d + (zz - 1.0) * (1.0 / 6.0);
        let series = series * d + z * -0.5;
        cumulative + density * d * (series * d + 1.0)
    } else if x.is_nan() {
        return x;
    } else {
        1.0
    };
    if x < 0.0 { 1.0 - of_above } else { of_above }
}

/// log Phi(x), with full relative precision in the lower tail (checked down to x = -100).
pub fn log_cumulative(x: f64) -> f64 {
    if x > 0.0 {
        (-cumulative(-x)).ln_1p()
    } else if x > QUICK_ABOVE {
        cumulative(x).ln()
    } else if x == f64::NEG_INFINITY {
        f64::NEG_INFINITY
    } else {
        log_density(x) + mills(-x).ln()
    }
}

/// From here on the table of [`mills`] is replaced by the series.
const SERIES_FROM: f64 = 20.0;

/// Mills' ratio at 0, 1/32, 2/32, ...
static MILLS: LazyLock<Vec<f64>> = LazyLock::new(|| {
    let places = 0..=(SERIES_FROM * TABLE_PER_UNIT) as u32;
    let points = places.map(|place| f64::from(place) / TABLE_PER_UNIT);
    // the squares of these numbers are exact
    let ratio = |z: f64| by_error_function(-z) / (-0.5 * z * z).exp() * (2.0 * PI).sqrt();
    points.map(ratio).collect()
});

/// Mills' ratio Phi(-z) / density(z), for `z >= 0`: it falls slowly where both fall fast.
///
/// # Formula
/// Taylor's series around the nearest point of a table: M' = z M - 1, and from there on
/// M^(n+1) = z M^(n) + n M^(n-1). From 20 on 1/z (1 - 1/z^2 + 3/z^4 - 15/z^6 + ...), ten terms of which reach the last
/// digit (textbook results, Abramowitz and Stegun 26.2.12 and 26.2.31, from memory).
fn mills(z: f64) -> f64 {
    if z < SERIES_FROM {
        let place = (z * TABLE_PER_UNIT + 0.5) as usize;
        let at = place as f64 / TABLE_PER_UNIT;
        let d = z - at;
        let ratio = MILLS[place];
        let first = at * ratio - 1.0;
        let second = at * first + ratio;
        let third = at * second + 2.0 * first;
        let fourth = at * third + 3.0 * second;
        let fifth = at * fourth + 4.0 * third;
        let sixth = at * fifth + 5.0 * fourth;
        let seventh = at * sixth + 6.0 * fifth;
        let series = seventh * d * (1.0 / 5040.0) + sixth * (1.0 / 720.0);
        let series = series * d + fifth * (1.0 / 120.0);
        let series = series * d + fourth * (1.0 / 24.0);
        let series = series * d + third * (1.0 / 6.0);
        let series = series * d + second * 0.5;
        ratio + d * (series * d + first)
    } else {
        let inverse_square = 1.0 / (z * z);
        let mut term = 1.0;
        let mut sum = 1.0;
        for i in 0..10 {
            term *= -f64::from(2 * i + 1) * inverse_square;
            sum += term;
        }
        sum / z
    }
}

/// log(Phi(b) - Phi(a)) for `a < b`; either end may be infinite. Minus infinity when `a >= b`.
///
/// Stable for intervals far out in either tail, across the middle, and for very short intervals.
pub fn log_between(a: f64, b: f64) -> f64 {
    if a >= b || a.is_nan() || b.is_nan() {
        return f64::NEG_INFINITY;
    }
    let (a, b) = if a > 0.0 { (-b, -a) } else { (a, b) };
    if b == f64::INFINITY {
        return (-cumulative(a)).ln_1p();
    }
    let width = b - a;
    let middle = a + 0.5 * width;
    if width * (1.0 + middle.abs()) < 1e-3 {
        // midpoint rule with its first correction: the integral of the density over a short interval
        let correction = (middle * middle - 1.0) * width * width / 24.0;
        return log_density(middle) + width.ln() + correction.ln_1p();
    }
    if b > 0.0 {
        return log_across_the_middle(a, b);
    }
    if b > QUICK_ABOVE {
        return (cumulative(b) - cumulative(a)).ln();
    }
    // both in the lower tail, and by the lines above not nearly equal
    let lower = if a == f64::NEG_INFINITY {
        0.0
    } else {
        mills(-a) * (middle * width).exp()
    };
    log_density(b) + (mills(-b) - lower).ln()
}

/// `a <= 0 < b`, and the interval is not a short one.
fn log_across_the_middle(a: f64, b: f64) -> f64 {
    let inside = cumulative(b) - cumulative(a);
    if inside < 0.5 {
        inside.ln()
    } else {
        (-(cumulative(a) + cumulative(-b))).ln_1p()
    }
}

/// The number below which a standard normal number lies with probability `p`, for `0 < p < 1`;
/// minus or plus infinity at and beyond the ends.
pub fn quantile(p: f64) -> f64 {
    if p.is_nan() || p <= 0.0 {
        return f64::NEG_INFINITY;
    }
    if p >= 1.0 {
        return f64::INFINITY;
    }
    if p > 0.5 {
        return -lower_quantile(1.0 - p);
    }
    lower_quantile(p)
}

/// Newton's method on log Phi, which is concave: from the left it never overshoots, so it cannot leave the tail.
fn lower_quantile(p: f64) -> f64 {
    let goal = p.ln();
    let mut x = -(-2.0 * goal).sqrt();
    for _ in 0..60 {
        let value = log_cumulative(x);
        let slope = (log_density(x) - value).exp();
        let step = (goal - value) / slope;
        x += step;
        if step.abs() <= 1e-15 * (1.0 + x.abs()) {
            break;
        }
    }
    x
}

#[cfg(test)]
#[expect(
    clippy::excessive_precision,
    reason = "expected values stand as they were computed"
)]
mod tests {
    use super::*;

    fn close(actual: f64, expected: f64, relative: f64) {
        assert!(
            (actual - expected).abs() <= relative * expected.abs(),
            "{actual} is not {expected}"
        );
    }

    #[test]
    fn log_phi_has_thirteen_digits_in_the_lower_tail() {
        // definition, recomputed with 40-digit arithmetic (mpmath 1.4.1)
        for (x, expected) in [
            (-1.0, -1.8410216450092635),
            (-5.0, -15.064998393988726),
            (-10.0, -53.231285150512471),
            (-38.0, -726.55721601882013),
            (-40.0, -804.60844201375379),
            (-100.0, -5005.5242086942051),
        ] {
            close(log_cumulative(x), expected, 1e-13);
        }
    }

    #[test]
    fn the_quick_phi_is_phi_to_fifteen_places() {
        // against the complementary error function, everywhere, also where the table ends
        for i in -200_000..=200_000 {
            let x = f64::from(i) * 5.1e-5;
            let error = (cumulative_quick(x) - by_error_function(x)).abs();
            assert!(error < 1e-15, "{x}: {error:e}");
        }
        assert_eq!(cumulative_quick(f64::INFINITY), 1.0);
        assert_eq!(cumulative_quick(f64::NEG_INFINITY), 0.0);
        assert!(cumulative_quick(f64::NAN).is_nan());
    }

    #[test]
    fn phi_has_twelve_digits_in_the_lower_tail() {
        // against the complementary error function, between and on the points of the table
        for i in 0..=36_000 {
            let x = -1.0 - f64::from(i) * 1e-3;
            close(cumulative(x), by_error_function(x), 1e-12);
        }
        assert_eq!(cumulative(f64::NEG_INFINITY), 0.0);
        assert!(cumulative(f64::NAN).is_nan());
    }

    #[test]
    fn log_phi_is_continuous_where_the_series_takes_over() {
        let (above, below) = (
            log_cumulative(-SERIES_FROM + 1e-9),
            log_cumulative(-SERIES_FROM - 1e-9),
        );
        assert!((above - below).abs() < 1e-7 && above > below);
    }

    #[test]
    fn intervals_are_exact_in_both_tails_and_across_the_middle() {
        // definition, recomputed with 40-digit arithmetic (mpmath 1.4.1)
        for (a, b, expected, relative) in [
            (-0.5, 0.5, -0.959_916_333_695_622_3, 1e-12),
            (-5e-7, 5e-7, -14.734449091168988, 1e-12),
            (1.0, 2.0, -1.9957982691807554, 1e-12),
            (8.0, 9.0, -35.013618593437148, 1e-12),
            (10.0, 11.0, -53.231310225583125, 1e-12),
            (-11.0, -10.0, -53.231310225583125, 1e-12),
            (30.0, 31.0, -454.32124395634325, 1e-12),
            (37.6, 37.7, -711.45002605078209, 1e-12),
            (5.0, 5.000001, -27.234451591168072, 1e-9),
            (-40.0, -38.0, -726.55721601882013, 1e-12),
        ] {
            close(log_between(a, b), expected, relative);
        }
    }

    #[test]
    fn an_open_interval_is_a_tail() {
        close(log_between(f64::NEG_INFINITY, -3.0), log_cumulative(-3.0), 1e-14);
        close(log_between(3.0, f64::INFINITY), log_cumulative(-3.0), 1e-14);
        close(log_between(-2.0, f64::INFINITY), log_cumulative(2.0), 1e-14);
        assert_eq!(log_between(f64::NEG_INFINITY, f64::INFINITY), 0.0);
        assert_eq!(log_between(1.0, 1.0), f64::NEG_INFINITY);
    }

    #[test]
    fn the_quantile_undoes_phi() {
        for p in [1e-300, 1e-12, 0.01, 0.2, 0.5, 0.8, 0.99] {
            close(cumulative(quantile(p)), p, 1e-11);
        }
        close(quantile(0.975), 1.959_963_984_540_054, 1e-12); // definition, as every table of the normal prints it
        assert_eq!(quantile(0.0), f64::NEG_INFINITY);
        assert_eq!(quantile(1.0), f64::INFINITY);
    }
}
