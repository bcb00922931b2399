//! From a published precision statement to the standard deviation of one result, and from there to the difference
//! of two means that is worth noticing.
//!
//! "Repeatability r" is the difference that two results exceed once in twenty, so for a continuous quantity
//! r = 1.96 sqrt(2) sd = 2.77 sd (ASTM E177 gives the rule, from memory). A ladder of steps is different: the reading
//! is the step above the true value, and r = "m steps" says that 95 % of pairs agree within m steps.

use std::sync::OnceLock;

use crate::stats::normal;

/// 1.96 sqrt(2): the 95 % limit of the difference of two results, in standard deviations of one.
pub const DIFFERENCE_95: f64 = 2.771_807_648_699_345_6;

fn positive(value: f64) -> Option<f64> {
    (value.is_finite() && value > 0.0).then_some(value)
}

/// Standard deviation, in steps, of a ladder or stage reading whose repeatability is `steps` steps:
/// 0.502, 0.879, 1.246 for 1, 2, 3 (95 % of pairs within so many steps, the true value anywhere between two steps).
/// `None` for 0 steps.
pub fn ladder_sd_steps(steps: u32) -> Option<f64> {
    static FIRST: OnceLock<[f64; 3]> = OnceLock::new();
    match steps {
        0 => None,
        1..=3 => Some(FIRST.get_or_init(|| [1, 2, 3].map(solve_ladder_sd))[steps as usize - 1]),
        _ => Some(solve_ladder_sd(steps)),
    }
}

/// Bisection: agreement falls as the standard deviation grows.
fn solve_ladder_sd(steps: u32) -> f64 {
    let (mut lo, mut hi) = (0.05, 2.0 * f64::from(steps));
    for _ in 0..50 {
        let middle = 0.5 * (lo + hi);
        if ladder_agreement(middle, steps) > 0.95 {
            lo = middle;
        } else {
            hi = middle;
        }
    }
    0.5 * (lo + hi)
}

/// Probability that two readings of one oil lie within `steps` steps of each other; a reading is the step at or above
/// the true value plus a normal error of `sd` steps, and the true value's place between two steps is uniform.
///
/// The average over that place is a midpoint rule on a periodic smooth function, so few points do.
pub fn ladder_agreement(sd: f64, steps: u32) -> f64 {
    const PLACES: i32 = 40;
    let reach = steps as i32 + (8.0 * sd).ceil() as i32 + 1;
    let one_place = |place: i32| -> f64 {
        let phase = (f64::from(place) + 0.5) / f64::from(PLACES);
        let chance: Vec<f64> = (-reach..=reach)
            .map(|j| {
                normal::cumulative((f64::from(j + 1) - phase) / sd)
                    - normal::cumulative((f64::from(j) - phase) / sd)
            })
            .collect();
        let within = steps as usize;
        (0..chance.len())
            .map(|i| {
                let (from, to) = (i.saturating_sub(within), (i + within).min(chance.len() - 1));
                chance[i] * chance[from..=to].iter().sum::<f64>()
            })
            .sum()
    };
    (0..PLACES).map(one_place).sum::<f64>() / f64::from(PLACES)
}

/// Standard deviation from a constant repeatability `r`, in the units of `r`: r / 2.77. `None` unless `r` is
/// a positive number.
pub fn sd_from_constant(r: f64) -> Option<f64> {
    Some(positive(r)? / DIFFERENCE_95)
}

/// Standard deviation of the natural logarithm, from a repeatability in per cent of the mean: r % / 277.
/// `None` unless it is a positive number.
pub fn sd_from_percent(r_percent: f64) -> Option<f64> {
    Some(positive(r_percent)? / (100.0 * DIFFERENCE_95))
}

/// Standard deviation of the natural logarithm, from a constant repeatability `r` stated near one `level` of a quantity
/// that spans decades: r / (2.77 level). `r` and `level` in the same unit.
/// `None` unless both are positive numbers.
pub fn sd_from_level(r: f64, level: f64) -> Option<f64> {
    Some(positive(r)? / (DIFFERENCE_95 * positive(level)?))
}

/// Variance between blocks from repeatability `r` and reproducibility `big_r` on one scale: (R^2 - r^2) / 2.77^2.
/// `None` unless both are positive numbers and R is at least r.
pub fn between_variance(r: f64, big_r: f64) -> Option<f64> {
    let (r, big_r) = (positive(r)?, positive(big_r)?);
    (big_r >= r).then(|| (big_r * big_r - r * r) / (DIFFERENCE_95 * DIFFERENCE_95))
}

/// Standard deviation updated by replicates: s^2 = (nu0 s0^2 + SS) / (nu0 + nu).
///
/// where `s0` is the published standard deviation, taken as if it rested on `nu0` degrees of freedom; `ss` the sum of
/// squares of the replicates about their own means, with `nu` degrees of freedom.
/// `None` for a negative or non-finite number, or without any degrees of freedom.
pub fn pooled(s0: f64, nu0: f64, ss: f64, nu: f64) -> Option<f64> {
    if [s0, nu0, ss, nu]
        .iter()
        .any(|value| !value.is_finite() || *value < 0.0)
    {
        return None;
    }
    let freedom = positive(nu0 + nu)?;
    Some(((nu0 * s0 * s0 + ss) / freedom).sqrt())
}

/// Sum of squares of readings about their own group's mean, with its degrees of freedom. Readings are summed in order of
/// size, so that the order of rows does not matter.
pub fn within_groups<'a>(groups: impl IntoIterator<Item = &'a [f64]>) -> (f64, f64) {
    let of_group = |group: &[f64]| (squares_about_mean(group), group.len() as f64 - 1.0);
    let several = groups.into_iter().filter(|group| group.len() > 1);
    several
        .map(of_group)
        .fold((0.0, 0.0), |sum, one| (sum.0 + one.0, sum.1 + one.1))
}

/// About the mean in two passes, so that readings far from zero keep their digits.
fn squares_about_mean(readings: &[f64]) -> f64 {
    let mut sorted = readings.to_vec();
    sorted.sort_by(f64::total_cmp);
    let mean = sorted.iter().sum::<f64>() / sorted.len() as f64;
    sorted.iter().map(|reading| (reading - mean).powi(2)).sum()
}

/// Difference of the means of `n_a` and `n_b` results that is exceeded once in twenty between equal blends:
/// 2.77 sd sqrt((1/n_a + 1/n_b) / 2). A count of 0 is taken as 1.
pub fn critical_difference(sd: f64, n_a: usize, n_b: usize) -> f64 {
    let inverse = |n: usize| 1.0 / n.max(1) as f64;
    DIFFERENCE_95 * sd * (0.5 * (inverse(n_a) + inverse(n_b))).sqrt()
}

/// The same for two means that share no block (ISO 5725-6, from memory):
/// sqrt( R^2 - r^2 (1 - 1/(2 n_a) - 1/(2 n_b)) ), with repeatability `r` and reproducibility `big_r`.
pub fn critical_difference_apart(r: f64, big_r: f64, n_a: usize, n_b: usize) -> f64 {
    let inverse = |n: usize| 1.0 / n.max(1) as f64;
    let of_means = 0.5 * (inverse(n_a) + inverse(n_b));
    (big_r * big_r - r * r * (1.0 - of_means)).max(0.0).sqrt()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_95_percent_limit_of_a_difference_is_the_normal_one() {
        assert!((DIFFERENCE_95 - normal::quantile(0.975) * 2f64.sqrt()).abs() < 1e-13);
    }

    #[test]
    fn a_ladder_needs_more_scatter_than_r_over_2_77() {
        // own derivation with a 400-point midpoint rule, recomputed with numpy 2.4.6 and scipy 1.17.1
        for (steps, expected) in [
            (1, 0.5018285765383399),
            (2, 0.8786490675729509),
            (3, 1.2461444654694926),
        ] {
            let sd = ladder_sd_steps(steps).unwrap();
            assert!((sd - expected).abs() < 1e-9, "{steps} steps: {sd}");
            assert!((ladder_agreement(sd, steps) - 0.95).abs() < 1e-9);
        }
        assert!(ladder_sd_steps(4).unwrap() > 1.5);
        assert!(ladder_sd_steps(0).is_none());
    }

    #[test]
    fn a_constant_or_percent_repeatability_divides_by_2_77() {
        // four-ball scar, r = 0.12 mm: ASTM D4172 precision statement, seen
        assert!((sd_from_constant(0.12).unwrap() - 0.0433).abs() < 5e-5);
        // block-on-ring OK load, r = 30 % of the mean: ASTM D2782 precision statement, seen
        assert!((sd_from_percent(30.0).unwrap() - 0.1082).abs() < 5e-5);
        // gear mass change, r = 27.4 mg near 25 mg: ASTM D4998 precision statement, seen
        assert!((sd_from_level(27.4, 25.0).unwrap() - 0.3954).abs() < 5e-5);
        assert_eq!(sd_from_level(27.4, 0.0), None);
        assert!(sd_from_constant(f64::NAN).is_none() && sd_from_percent(-1.0).is_none());
    }

    #[test]
    fn replicates_move_a_published_sd_in_proportion_to_their_number() {
        assert_eq!(pooled(2.0, 30.0, 0.0, 0.0).unwrap(), 2.0);
        assert!((pooled(1.0, 30.0, 40.0, 10.0).unwrap() - (70.0f64 / 40.0).sqrt()).abs() < 1e-15);
        assert!((pooled(0.0, 0.0, 12.0, 3.0).unwrap() - 2.0).abs() < 1e-15);
        assert!(pooled(1.0, 0.0, 0.0, 0.0).is_none() && pooled(-1.0, 30.0, 0.0, 3.0).is_none());
    }

    #[test]
    fn the_critical_difference_of_single_results_is_r_itself() {
        assert!((critical_difference(1.0, 1, 1) - DIFFERENCE_95).abs() < 1e-15);
        assert!(critical_difference(1.0, 3, 2) < critical_difference(1.0, 2, 2));
        assert_eq!(critical_difference(1.0, 0, 1), critical_difference(1.0, 1, 1));
    }

    #[test]
    fn the_variance_between_blocks_is_what_r_leaves_of_reproducibility() {
        let within = sd_from_constant(0.12).unwrap().powi(2);
        let total = sd_from_constant(0.28).unwrap().powi(2);
        assert!((between_variance(0.12, 0.28).unwrap() - (total - within)).abs() < 1e-15);
        assert_eq!(between_variance(1.0, 1.0).unwrap(), 0.0);
        assert!(between_variance(2.0, 1.0).is_none());
    }

    #[test]
    fn a_single_reading_has_no_scatter_of_its_own() {
        let groups: [&[f64]; 2] = [&[1.0], &[2.0, 4.0]];
        assert_eq!(within_groups(groups), (2.0, 1.0));
    }
}
