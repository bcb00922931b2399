//! What is known of the difference of two means.

use crate::stats::normal;

/// Mean and standard deviation of one of several equally likely normal distributions.
pub type Part = (f64, f64);

/// The value below which equally likely normal distributions together have the probability `p`, by bisection between
/// their own quantiles. `None` without any, or where `p` lies outside 0 to 1.
pub fn quantile_of_parts(parts: &[Part], p: f64) -> Option<f64> {
    if parts.is_empty() || !(p > 0.0 && p < 1.0) {
        return None;
    }
    let z = normal::quantile(p);
    let own = || parts.iter().map(|(mean, sd)| mean + z * sd);
    let (mut lo, mut hi) = (
        own().fold(f64::INFINITY, f64::min),
        own().fold(f64::NEG_INFINITY, f64::max),
    );
    let below = |x: f64| {
        let one = |(mean, sd): &Part| {
            if *sd > 0.0 {
                normal::cumulative((x - mean) / sd)
            } else {
                f64::from(u8::from(x >= *mean))
            }
        };
        parts.iter().map(one).sum::<f64>() / parts.len() as f64
    };
    for _ in 0..60 {
        let middle = 0.5 * (lo + hi);
        if below(middle) < p {
            lo = middle;
        } else {
            hi = middle;
        }
    }
    Some(0.5 * (lo + hi))
}

/// The `p` quantile of equally likely values: between the two nearest in order. `None` without any.
pub fn quantile_of_values(values: &[f64], p: f64) -> Option<f64> {
    let mut sorted = values.to_vec();
    sorted.sort_by(f64::total_cmp);
    let place = (p * sorted.len() as f64 - 0.5).clamp(0.0, sorted.len().saturating_sub(1) as f64);
    let (below, part) = (place.floor() as usize, place.fract());
    let (lo, hi) = (*sorted.get(below)?, sorted.get(below + 1).copied());
    Some(hi.map_or(lo, |hi| lo + part * (hi - lo)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::stats::deviation::Deviation;

    #[test]
    fn one_normal_distribution_has_its_own_quantiles() {
        for p in [0.01, 0.05, 0.5, 0.95] {
            let found = quantile_of_parts(&[(2.0, 3.0)], p).unwrap();
            assert!((found - 2.0 - 3.0 * normal::quantile(p)).abs() < 1e-9);
        }
        assert_eq!(quantile_of_parts(&[], 0.05), None);
        assert_eq!(quantile_of_parts(&[(0.0, 1.0)], 0.0), None);
        assert_eq!(quantile_of_parts(&[(4.0, 0.0)], 0.5), Some(4.0));
    }

    #[test]
    fn the_parts_of_a_doubted_deviation_widen_a_normal_distribution_to_that_of_student() {
        // upper 5 % points of t, handbook table: 3 degrees of freedom 2.353, 30 degrees 1.697 (from memory); nine parts
        // cut the far tail off a little
        for (freedom, point, within) in [(30.0, 1.697, 0.01), (3.0, 2.353, 0.12)] {
            let parts: Vec<Part> = Deviation { sd: 1.0, freedom }
                .in_parts()
                .into_iter()
                .map(|sd| (0.0, sd))
                .collect();
            let found = quantile_of_parts(&parts, 0.95).unwrap();
            assert!((found - point).abs() < within, "{freedom}: {found}");
        }
    }

    #[test]
    fn quantiles_of_values_lie_between_neighbours() {
        let values = [4.0, 1.0, 3.0, 2.0];
        assert_eq!(quantile_of_values(&values, 0.5), Some(2.5));
        assert_eq!(quantile_of_values(&values, 0.01), Some(1.0));
        assert_eq!(quantile_of_values(&values, 1.0), Some(4.0));
        assert_eq!(quantile_of_values(&[], 0.5), None);
    }
}
