//! The logarithm of an interval's probability, anywhere on the line.

use likewear::facade::stats::normal::{cumulative, log_between, log_cumulative, quantile};
use proptest::prelude::*;

proptest! {
    #[test]
    fn an_interval_is_mirrored_exactly(a in -60.0f64..60.0, width in 1e-9f64..20.0) {
        let b = a + width;
        prop_assume!(a > 0.0 || b < 0.0);
        prop_assert_eq!(log_between(a, b), log_between(-b, -a));
    }

    #[test]
    fn an_interval_is_finite_and_no_probability_above_one(a in -60.0f64..60.0, width in 1e-9f64..200.0) {
        let value = log_between(a, a + width);
        prop_assert!(value.is_finite() && value <= 0.0);
    }

    #[test]
    fn two_neighbours_add_up(a in -40.0f64..40.0, first in 1e-4f64..5.0, second in 1e-4f64..5.0) {
        let (b, c) = (a + first, a + first + second);
        let (left, right, whole) = (log_between(a, b), log_between(b, c), log_between(a, c));
        let (greater, smaller) = if left > right { (left, right) } else { (right, left) };
        let sum = greater + (smaller - greater).exp().ln_1p();
        prop_assert!((sum - whole).abs() <= 1e-9 * (1.0 + whole.abs()), "{sum} {whole}");
    }

    #[test]
    fn a_wider_interval_is_likelier(a in -40.0f64..40.0, width in 1e-3f64..5.0, more in 1e-3f64..5.0) {
        prop_assert!(log_between(a, a + width + more) >= log_between(a, a + width));
    }

    #[test]
    fn far_ends_make_a_tail(a in -40.0f64..40.0) {
        let tail = log_cumulative(-a);
        prop_assert!((log_between(a, 1e6) - tail).abs() <= 1e-12 * (1.0 + tail.abs()));
    }

    #[test]
    fn the_quantile_undoes_phi(x in -35.0f64..8.0) {
        let back = quantile(cumulative(x));
        // near 1 a probability has few digits left for what lies above it
        let tolerance = 1e-11 * (1.0 + x.abs()) + 1e-15 * (0.5 * x.max(0.0) * x.max(0.0)).exp();
        prop_assert!((back - x).abs() <= tolerance, "{x} {back}");
    }
}
