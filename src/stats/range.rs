//! How far apart several readings of one oil may lie before one of them is doubted.

use crate::stats::normal;

/// Greatest number of readings that is told apart; more are taken as so many.
const MOST_READINGS: usize = 200;

/// Probability that the range of `readings` independent normal readings is at most `range` standard deviations.
///
/// n times the integral of phi(x) (Phi(x + w) - Phi(x))^(n-1), where x is the smallest reading, by the trapezium rule
/// over ±9 standard deviations: for a smooth function that vanishes at both ends its error falls faster than any
/// power of the step, and with 200 readings nothing in it is narrower than four steps.
pub fn range_within(range: f64, readings: usize) -> f64 {
    const HALF: i32 = 120;
    if range <= 0.0 || readings < 2 {
        return 0.0;
    }
    let step = 9.0 / f64::from(HALF);
    let power = readings.min(MOST_READINGS) as i32 - 1;
    let density = |x: f64| (-0.5 * x * x).exp() / std::f64::consts::TAU.sqrt();
    let all_above_within = |place: i32| {
        let x = f64::from(place) * step;
        density(x) * (normal::cumulative_quick(x + range) - normal::cumulative_quick(x)).powi(power)
    };
    let sum: f64 = (-HALF..=HALF).map(all_above_within).sum();
    (f64::from(power + 1) * step * sum).min(1.0)
}

/// Range, in standard deviations, that `readings` readings of one oil exceed with probability `beyond`; `None`
/// for fewer than two readings or a probability outside 0 to 1.
pub fn critical_range(readings: usize, beyond: f64) -> Option<f64> {
    if readings < 2 || !(beyond > 0.0 && beyond < 1.0) {
        return None;
    }
    let (mut lo, mut hi) = (0.0, 18.0);
    for _ in 0..60 {
        let middle = 0.5 * (lo + hi);
        if 1.0 - range_within(middle, readings) > beyond {
            lo = middle;
        } else {
            hi = middle;
        }
    }
    Some(0.5 * (lo + hi))
}

/// Probability for one of `cells` independent cells when `beyond` is to hold for all of them together:
/// 1 - (1 - p)^(1/m).
pub fn share_of_each(beyond: f64, cells: usize) -> f64 {
    -((-beyond).ln_1p() / cells.max(1) as f64).exp_m1()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_range_of_two_is_the_difference_of_two() {
        // closed form: P(|x - y| > w) = 2 Phi(-w / sqrt 2)
        for beyond in [0.05, 0.01, 1e-4] {
            let expected = -normal::quantile(0.5 * beyond) * 2f64.sqrt();
            assert!((critical_range(2, beyond).unwrap() - expected).abs() < 1e-7);
        }
    }

    #[test]
    fn the_critical_ranges_are_those_of_the_studentised_range_with_infinite_freedom() {
        // upper 5 % and 1 % points of the studentised range, infinite degrees of freedom, as textbooks print them
        // (from memory)
        for (readings, five, one) in [
            (3, 3.31, 4.12),
            (4, 3.63, 4.40),
            (5, 3.86, 4.60),
            (10, 4.47, 5.16),
        ] {
            assert!(
                (critical_range(readings, 0.05).unwrap() - five).abs() < 0.006,
                "{readings}"
            );
            assert!(
                (critical_range(readings, 0.01).unwrap() - one).abs() < 0.006,
                "{readings}"
            );
        }
        // critical range factors f(n) at 95 %: ISO 5725-6, table 1 (from memory)
        for (readings, factor) in [(2, 2.8), (3, 3.3), (4, 3.6), (5, 3.9)] {
            assert!((critical_range(readings, 0.05).unwrap() - factor).abs() < 0.06);
        }
    }

    #[test]
    fn many_cells_share_one_chance() {
        assert_eq!(share_of_each(0.01, 1), 0.01);
        let each = share_of_each(0.01, 40);
        assert!((1.0 - (1.0 - each).powi(40) - 0.01).abs() < 1e-12);
        assert_eq!(share_of_each(0.01, 0), 0.01);
    }

    #[test]
    fn a_question_without_an_answer_is_refused() {
        assert_eq!(critical_range(1, 0.01), None);
        assert_eq!(critical_range(3, 0.0), None);
        assert_eq!(critical_range(3, f64::NAN), None);
    }
}
