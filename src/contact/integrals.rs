//! Elliptic integrals, complete by the arithmetic-geometric mean, incomplete by Carlson's duplication.

use std::f64::consts::FRAC_PI_2;

/// Complete elliptic integrals K and E of the parameter `m = 1 - complement`, from the complement itself (above 0, up
/// to 1), which keeps all digits of long ellipses.
pub(crate) fn complete_of_complement(complement: f64) -> (f64, f64) {
    let (mut a, mut g) = (1.0_f64, complement.sqrt());
    let mut c_squared = 1.0 - complement;
    let mut power = 0.5;
    let mut sum = power * c_squared;
    for _ in 0..40 {
        let (next_a, next_g) = (0.5 * (a + g), (a * g).sqrt());
        c_squared = (0.5 * (a - g)).powi(2);
        power *= 2.0;
        sum += power * c_squared;
        (a, g) = (next_a, next_g);
        if c_squared < 1e-34 {
            break;
        }
    }
    let k = FRAC_PI_2 / a;
    (k, k * (1.0 - sum))
}

/// Incomplete elliptic integrals F and E of parameter `m`, from the squared cotangent of the amplitude (0 for a right
/// angle) and `complement = 1 - m`, which keep all digits of long ellipses near a right angle.
pub(crate) fn incomplete(cotangent_squared: f64, complement: f64) -> (f64, f64) {
    let whole = 1.0 + cotangent_squared;
    let sine = whole.sqrt().recip();
    let cosine_squared = cotangent_squared / whole;
    let y = (complement + cotangent_squared) / whole;
    let first = sine * carlson_rf(cosine_squared, y, 1.0);
    let second = first - (1.0 - complement) * sine.powi(3) / 3.0 * carlson_rd(cosine_squared, y, 1.0);
    (first, second)
}

/// Carlson's symmetric integral of the first kind.
fn carlson_rf(mut x: f64, mut y: f64, mut z: f64) -> f64 {
    for _ in 0..60 {
        let lambda = (x * y).sqrt() + (y * z).sqrt() + (z * x).sqrt();
        (x, y, z) = (0.25 * (x + lambda), 0.25 * (y + lambda), 0.25 * (z + lambda));
        let mean = (x + y + z) / 3.0;
        let spread = (x - mean).abs().max((y - mean).abs()).max((z - mean).abs());
        if spread < 1e-9 * mean {
            break;
        }
    }
    1.0 / ((x + y + z) / 3.0).sqrt()
}

/// Carlson's symmetric integral of the second kind.
fn carlson_rd(mut x: f64, mut y: f64, mut z: f64) -> f64 {
    let (mut sum, mut factor) = (0.0, 1.0);
    for _ in 0..60 {
        let lambda = (x * y).sqrt() + (y * z).sqrt() + (z * x).sqrt();
        sum += factor / (z.sqrt() * (z + lambda));
        factor *= 0.25;
        (x, y, z) = (0.25 * (x + lambda), 0.25 * (y + lambda), 0.25 * (z + lambda));
        let mean = (x + y + 3.0 * z) / 5.0;
        let spread = (x - mean).abs().max((y - mean).abs()).max((z - mean).abs());
        if spread < 1e-9 * mean {
            break;
        }
    }
    3.0 * sum + factor / ((x + y + 3.0 * z) / 5.0).powf(1.5)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Integral over 0..phi by the midpoint rule, 200 000 strips.
    fn by_strips(phi: f64, value: impl Fn(f64) -> f64) -> f64 {
        let step = phi / 200_000.0;
        (0..200_000)
            .map(|strip| value((f64::from(strip) + 0.5) * step) * step)
            .sum()
    }

    #[test]
    fn the_integrals_agree_with_summing_their_definition() {
        for m in [0.0, 0.3, 0.9, 0.999] {
            for phi in [0.2, 1.0, 1.5, FRAC_PI_2] {
                let (first, second) = incomplete(phi.tan().powi(-2), 1.0 - m);
                let root = |t: f64| (1.0 - m * t.sin().powi(2)).sqrt();
                assert!((first / by_strips(phi, |t| 1.0 / root(t)) - 1.0).abs() < 1e-7);
                assert!((second / by_strips(phi, root) - 1.0).abs() < 1e-7);
            }
        }
    }

    #[test]
    fn complete_integrals_are_the_incomplete_ones_at_a_right_angle() {
        for m in [0.0, 0.5, 0.99, 0.999_999] {
            let (k, e) = complete_of_complement(1.0 - m);
            let (first, second) = incomplete(0.0, 1.0 - m);
            assert!(
                (k / first - 1.0).abs() < 1e-9 && (e / second - 1.0).abs() < 1e-9,
                "{m}"
            );
        }
    }
}
