//! Parts that sum to a whole: the components of a blend, and the shares of a machine's contacts.

/// The components of a blend sum to 100 within this, wt% (ours).
pub const SUM_TOLERANCE_PCT: f64 = 0.5;
/// The shares of a machine's contacts sum to 1 within this (ours): three thirds written as 0.333 do.
const SHARE_TOLERANCE: f64 = 0.005;
/// Sums of decimals carry a rounding error of the last binary digits.
const ROUNDING: f64 = 1e-9;

/// Whether components that sum to so many wt% are a whole blend.
pub fn is_whole_blend(sum_wt_pct: f64) -> bool {
    (sum_wt_pct - 100.0).abs() <= SUM_TOLERANCE_PCT + ROUNDING
}

/// Whether contacts whose shares sum to this are the whole machine.
pub fn is_whole_machine(sum_of_shares: f64) -> bool {
    (sum_of_shares - 1.0).abs() <= SHARE_TOLERANCE + ROUNDING
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_blend_is_whole_within_half_a_per_cent() {
        for (sum, whole) in [
            (99.499, false),
            (99.5, true),
            (99.501, true),
            (100.499, true),
            (100.5, true),
            (100.501, false),
            (f64::NAN, false),
        ] {
            assert_eq!(is_whole_blend(sum), whole, "{sum}");
        }
        let in_decimals: f64 = [81.1, 3.3, 15.1].iter().sum();
        assert!(in_decimals < 99.5 && is_whole_blend(in_decimals), "{in_decimals}");
    }

    #[test]
    fn a_machine_is_whole_within_half_a_per_cent() {
        for (sum, whole) in [
            (0.994_99, false),
            (0.995, true),
            (0.995_01, true),
            (1.004_99, true),
            (1.005, true),
            (1.005_01, false),
            (f64::NAN, false),
        ] {
            assert_eq!(is_whole_machine(sum), whole, "{sum}");
        }
    }
}
