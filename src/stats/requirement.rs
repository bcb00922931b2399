//! Whether the mean of several results meets a limit, by ISO 4259-2 (from memory).

/// Part of a reproducibility by which a mean must lie inside a limit to pass and outside it to fail, 95 % on one side:
/// 1.645 of the standard deviation R / 2.77, as ISO 4259-2 rounds it (from memory).
const PART_OF_REPRODUCIBILITY: f64 = 0.59;
/// Standard deviations of a mean within which it cannot be told from a limit: 95 % on one side.
const ONE_SIDE_95: f64 = 1.645;

/// Reproducibility of the mean of several results of one laboratory: R1 = sqrt( R^2 - r^2 (1 - 1/k) ) (ISO 4259-2, from
/// memory).
///
/// where `r` is the repeatability, `big_r` the reproducibility, both in one unit, k `runs`; 0 runs count as 1, and R as
/// at least r.
pub fn reproducibility_of_mean(r: f64, big_r: f64, runs: usize) -> f64 {
    let gained = 1.0 - 1.0 / runs.max(1) as f64;
    let big_r = big_r.max(r);
    (big_r * big_r - r * r * gained).sqrt()
}

/// Distance from a limit at which the mean of results passes or fails: 0.59 R1.
///
/// `runs`: how many results each laboratory has. Of several laboratories the mean of their means is held against the limit
/// and R1 = sqrt(sum R1_i^2) / m, since each errs by itself (ours, from the addition of variances). `None` without runs.
pub fn margin(r: f64, big_r: f64, runs: &[usize]) -> Option<f64> {
    let each = runs.iter().map(|runs| reproducibility_of_mean(r, big_r, *runs));
    Some(PART_OF_REPRODUCIBILITY * of_mean_of_means(each)?)
}

/// Distance from a limit within which the mean cannot be told from it where no precision is stated: 1.645 s / sqrt(k).
///
/// `sd`: the standard deviation s of one result in the unit of the limit; `runs` as in [`margin`].
pub fn margin_of_scatter(sd: f64, runs: &[usize]) -> Option<f64> {
    let each = runs.iter().map(|runs| sd / (*runs as f64).sqrt());
    Some(ONE_SIDE_95 * of_mean_of_means(each)?)
}

/// sqrt(sum of squares) / m of what the m means err by.
fn of_mean_of_means(each: impl ExactSizeIterator<Item = f64>) -> Option<f64> {
    let means = each.len() as f64;
    let sum: f64 = each.map(|one| one * one).sum();
    (means > 0.0 && sum.is_finite()).then(|| sum.sqrt() / means)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::stats::normal;
    use crate::stats::precision::DIFFERENCE_95;

    #[test]
    fn a_mean_of_several_results_reproduces_better_by_what_repeats() {
        assert_eq!(reproducibility_of_mean(3.0, 5.0, 1), 5.0);
        // by hand: 25 - 9 / 2, 25 - 9 x 3 / 4
        assert!((reproducibility_of_mean(3.0, 5.0, 2).powi(2) - 20.5).abs() < 1e-12);
        assert!((reproducibility_of_mean(3.0, 5.0, 4).powi(2) - 18.25).abs() < 1e-12);
        assert_eq!(reproducibility_of_mean(0.0, 5.0, 9), 5.0);
        assert!(
            (reproducibility_of_mean(4.0, 2.0, 4) - 2.0).abs() < 1e-12,
            "R at least r"
        );
        assert_eq!(reproducibility_of_mean(3.0, 5.0, 0), 5.0);
    }

    #[test]
    fn laboratories_add_their_variances() {
        let near = |found: Option<f64>, expected: f64| (found.unwrap() - expected).abs() < 1e-12;
        assert!(near(margin(3.0, 5.0, &[1]), 0.59 * 5.0));
        assert!(near(margin(3.0, 5.0, &[2]), 0.59 * 20.5f64.sqrt()));
        // (25 + 20.5) / 4
        assert!(near(margin(3.0, 5.0, &[1, 2]), 0.59 * 11.375f64.sqrt()));
        assert!(near(margin_of_scatter(0.5, &[4]), 0.25 * 1.645));
        // 0.25 (1 + 1/4) / 4
        assert!(near(margin_of_scatter(0.5, &[1, 4]), 1.645 * 0.078_125f64.sqrt()));
        for none in [&[][..], &[0]] {
            assert_eq!(margin_of_scatter(0.5, none), None);
        }
        assert_eq!(margin(3.0, 5.0, &[]), None);
    }

    #[test]
    fn the_margins_are_those_of_a_one_sided_95_percent() {
        let known = normal::quantile(0.95);
        assert!((margin(0.0, DIFFERENCE_95, &[1]).unwrap() - known).abs() < 0.011);
        assert!((margin_of_scatter(1.0, &[1]).unwrap() - known).abs() < 0.001);
    }
}
