//! How far one result scatters, with the doubt about that itself.

use crate::stats::cell::Posterior;
use crate::stats::draws::log_odds;

/// Equally likely parts into which the doubt about a standard deviation is divided (ours: with 21 of them no
/// probability of ranking first moves by more than 0.001).
const PARTS: usize = 9;

/// From so many degrees of freedom the doubt is so small that fewer parts do as well (ours).
const LITTLE_DOUBT_FROM: f64 = 12.0;
const PARTS_OF_LITTLE_DOUBT: usize = 5;

/// Standard deviation of one result on the working scale.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Deviation {
    /// Its estimate.
    pub sd: f64,
    /// Degrees of freedom that the estimate rests on; infinite where the deviation is known.
    pub freedom: f64,
}

impl Deviation {
    /// Whether there is anything to doubt.
    pub fn is_known(&self) -> bool {
        self.freedom.is_infinite()
    }

    /// Number of equally likely parts into which what is known of it is divided: one where it is known.
    pub fn parts(&self) -> usize {
        if self.is_known() {
            1
        } else if self.freedom < LITTLE_DOUBT_FROM {
            PARTS
        } else {
            PARTS_OF_LITTLE_DOUBT
        }
    }

    /// The deviation in the middle of each equally likely part of what is known of it, smallest first: the scaled
    /// inverse chi distribution sd sqrt(nu / chi2(nu)).
    pub fn in_parts(&self) -> Vec<f64> {
        self.in_so_many_parts(self.parts())
    }

    fn in_so_many_parts(&self, parts: usize) -> Vec<f64> {
        let of_part = |doubt: Posterior| {
            let middle = |part: usize| (part as f64 + 0.5) / parts as f64;
            (0..parts)
                .map(|part| self.sd * doubt.quantile(middle(part)).exp())
                .collect()
        };
        doubt(self.freedom).map_or_else(|| vec![self.sd], of_part)
    }

    /// Bits that are equal for equal deviations.
    pub fn bits(&self) -> [u64; 2] {
        [self.sd.to_bits(), self.freedom.to_bits()]
    }
}

/// Distribution of the logarithm t of a deviation over its estimate: its density is exp(-nu t - nu/2 e^(-2 t)), from
/// chi2 = nu e^(-2 t). `None` where the deviation is known.
fn doubt(freedom: f64) -> Option<Posterior> {
    if freedom.is_infinite() {
        return None;
    }
    let reach = 12.0 / freedom.sqrt() + 30.0 / freedom;
    Posterior::of_density(-reach, reach, |t| -freedom * t - 0.5 * freedom * (-2.0 * t).exp())
}

/// A variance ratio times the degrees of freedom of its upper variance is at least this where its tail is below 1 %: the
/// 1 % point of chi-square with one degree of freedom.
pub const CANNOT_BE_RARE_BELOW: f64 = 6.63;

/// Probability that two variances of equal scatter, with the degrees of freedom given, have at least this ratio (F test).
///
/// # Formula
/// nu1 F / nu2 is the odds of a Beta(nu1/2, nu2/2).
pub fn variance_ratio_tail(ratio: f64, (of_upper, of_lower): (f64, f64)) -> f64 {
    let odds = log_odds(0.5 * of_upper, 0.5 * of_lower);
    let at = (ratio * of_upper / of_lower).ln();
    odds.map_or(1.0, |odds| 1.0 - odds.probability_below(at))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_parts_are_quantiles_of_the_inverse_chi_distribution() {
        // sqrt(nu / chi2) at the middles of 21 equal parts, computed with scipy elsewhere
        for (freedom, expected) in [
            (
                3.0,
                [
                    0.56327, 0.65396, 0.71601, 0.76915, 0.81852, 0.86647, 0.91439, 0.96336, 1.0143, 1.06818,
                    1.12604, 1.18922, 1.2594, 1.33893, 1.43123, 1.5416, 1.67897, 1.85994, 2.12089, 2.56659,
                    3.79238,
                ],
            ),
            (
                30.0,
                [
                    0.79728, 0.84505, 0.87365, 0.89601, 0.91526, 0.93272, 0.94911, 0.96486, 0.9803, 0.99569,
                    1.01125, 1.02723, 1.04386, 1.06148, 1.08048, 1.10143, 1.12524, 1.15344, 1.18908, 1.23988,
                    1.341,
                ],
            ),
        ] {
            let parts = Deviation { sd: 2.0, freedom }.in_so_many_parts(21);
            for (part, expected) in parts.iter().zip(expected) {
                assert!((part / 2.0 - expected).abs() < 1e-4, "{part} {expected}");
            }
        }
    }

    #[test]
    fn variance_ratios_have_the_tabled_tail() {
        // upper 1 % and 5 % points of F, handbook tables (from memory)
        for (ratio, freedom, tail) in [
            (5.64, (5.0, 10.0), 0.01),
            (4.10, (2.0, 10.0), 0.05),
            (18.0, (2.0, 4.0), 0.01),
            (161.4, (1.0, 1.0), 0.05),
        ] {
            let found = variance_ratio_tail(ratio, freedom);
            assert!((found / tail - 1.0).abs() < 0.005, "{freedom:?}: {found}");
        }
        assert!((variance_ratio_tail(1.0, (7.0, 7.0)) - 0.5).abs() < 1e-6);
    }

    #[test]
    fn no_ratio_that_cannot_be_rare_has_a_tail_below_1_per_cent() {
        let tail = |freedom: (f64, f64)| variance_ratio_tail(CANNOT_BE_RARE_BELOW / freedom.0, freedom);
        for of_upper in [1.0, 2.0, 5.0, 40.0] {
            for of_lower in [1.0, 3.0, 30.0] {
                assert!(tail((of_upper, of_lower)) > 0.01, "{of_upper} {of_lower}");
            }
        }
        // and just above it there is one: F with 1 and 1000 degrees of freedom has its 1 % point at 6.66 (handbook
        // tables, from memory)
        assert!(variance_ratio_tail(6.7, (1.0, 1000.0)) < 0.01);
    }

    #[test]
    fn a_known_deviation_has_one_part_and_a_doubted_one_more_the_greater_the_doubt() {
        let parts = |freedom| Deviation { sd: 0.3, freedom }.in_parts();
        for (freedom, number) in [(1.0, 9), (11.9, 9), (12.0, 5), (1e6, 5)] {
            assert_eq!(parts(freedom).len(), number, "{freedom}");
        }
        assert_eq!(parts(f64::INFINITY), [0.3]);
    }

    /// A normal result whose deviation is in doubt has the mean square nu / (nu - 2) of the estimate's square.
    #[test]
    fn the_parts_keep_nearly_all_of_the_variance_of_a_result() {
        for (freedom, lost) in [(5.0, 0.09), (11.9, 0.022), (12.0, 0.035), (30.0, 0.012)] {
            let parts = Deviation { sd: 1.0, freedom }.in_parts();
            let square = parts.iter().map(|sd| sd * sd).sum::<f64>() / parts.len() as f64;
            let kept = square * (freedom - 2.0) / freedom;
            assert!((1.0 - lost..1.0).contains(&kept), "{freedom}: {kept}");
        }
    }
}
