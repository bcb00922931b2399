//! How far apart several readings of one oil may lie before one of them is doubted.

use crate::stats::deviation::{CANNOT_BE_RARE_BELOW, variance_ratio_tail};
use crate::stats::normal;
use crate::stats::precision::within_groups;

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

/// Fewest degrees of freedom of the scatter without the readings in question (ours, as for replicates elsewhere).
const LEAST_FREEDOM: f64 = 3.0;

/// Readings that lie apart from the others of one oil.
#[derive(Clone, Debug, PartialEq)]
pub struct SetApart {
    /// Their places; every place where half of the readings lie apart, since nothing says which half.
    pub readings: Vec<usize>,
    /// The distance of the furthest from the mean of the others, in standard deviations of the scatter without them.
    pub deviations: f64,
    /// Degrees of freedom of that scatter.
    pub freedom: f64,
}

/// The readings of one oil that do not belong to the others, judged by the scatter without them.
///
/// `others`: sum of squares and degrees of freedom of what else scatters alike; `beyond`: probability with which any of
/// these readings is taken to lie apart though all belong together. `None` where none does, or where fewer than 3 degrees
/// of freedom remain.
///
/// # Formula
/// Every number k of outermost readings, up to half of them, is taken out: F = ((SS - SS_k) / k) / (SS_k / nu_k) against F
/// with k and nu_k degrees of freedom, times the number of ways to take k (Bonferroni). Taken out together, so that two
/// strays of one oil do not hide each other. For k = 1 it is the square of the studentised deletion residual.
pub fn set_apart(readings: &[f64], others: (f64, f64), beyond: f64) -> Option<SetApart> {
    let n = readings.len();
    let mut order: Vec<usize> = (0..n).collect();
    order.sort_by(|a, b| readings[*a].total_cmp(&readings[*b]));
    let sorted: Vec<f64> = order.iter().map(|at| readings[*at]).collect();
    let (whole, _) = within_groups([sorted.as_slice()]);
    let mut best: Option<(f64, SetApart)> = None;
    for k in 1..=n / 2 {
        let freedom = others.1 + (n - k - 1) as f64;
        if freedom < LEAST_FREEDOM {
            break;
        }
        let left = |low: usize| &sorted[low..n - (k - low)];
        let squares = |low: &usize| within_groups([left(*low)]).0;
        let Some(low) = (0..=k).min_by(|a, b| squares(a).total_cmp(&squares(b))) else {
            continue;
        };
        let without = others.0 + squares(&low);
        let ratio = (others.0 + whole - without) / k as f64 / (without / freedom);
        // without any scatter nothing can be judged
        if !ratio.is_finite() || k as f64 * ratio < CANNOT_BE_RARE_BELOW {
            continue;
        }
        let chance = ways(n, k) * variance_ratio_tail(ratio, (k as f64, freedom));
        if chance < beyond && best.as_ref().is_none_or(|(least, _)| chance < *least) {
            let apart = || order[..low].iter().chain(&order[n - (k - low)..]).copied();
            let mean = left(low).iter().sum::<f64>() / (n - k) as f64;
            let furthest = apart().map(|at| (readings[at] - mean).abs()).fold(0.0, f64::max);
            let found = SetApart {
                readings: if 2 * k == n {
                    (0..n).collect()
                } else {
                    apart().collect()
                },
                deviations: furthest / (without / freedom).sqrt(),
                freedom,
            };
            best = Some((chance, found));
        }
    }
    best.map(|(_, found)| found)
}

/// In how many ways k of n can be taken.
fn ways(n: usize, k: usize) -> f64 {
    (0..k).map(|at| (n - at) as f64 / (at + 1) as f64).product()
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

    #[test]
    fn one_reading_is_judged_by_the_scatter_without_it() {
        // t of the deletion residual: 4 readings about 1 with SS 0.02 and 3 others' degrees of freedom with SS 0.04
        let readings = |stray: f64| [0.9, 1.0, 1.1, stray];
        let others = (0.04, 3.0);
        // s^2 = 0.06 / 5, s sqrt(1 + 1/3) = 0.126491; t with 5 degrees of freedom at 0.01 / (2 x 4) is 5.6042 (its
        // density summed elsewhere)
        let at = |t: f64| set_apart(&readings(1.0 + t * 0.126_491_1), others, 0.01);
        let limit = 5.604_2;
        assert_eq!(at(0.999 * limit), None);
        let found = at(1.001 * limit).unwrap();
        assert_eq!((found.readings.clone(), found.freedom), (vec![3], 5.0));
        assert!((found.deviations - 1.001 * limit * 0.126_491_1 / 0.012f64.sqrt()).abs() < 1e-3);
        assert_eq!(set_apart(&readings(1.05), others, 0.01), None);
    }

    #[test]
    fn fewer_than_3_degrees_of_freedom_without_it_judge_nothing() {
        let pair = [1.0, 9.0];
        assert_eq!(set_apart(&pair, (0.02, 2.0), 0.01), None);
        let found = set_apart(&pair, (0.02, 3.0), 0.01).unwrap();
        assert_eq!(found.readings, [0, 1], "of two nothing says which");
        assert_eq!(set_apart(&pair, (0.0, 9.0), 0.01), None, "no scatter to judge by");
        assert_eq!(set_apart(&[1.0], (0.02, 9.0), 0.01), None);
        assert_eq!(set_apart(&[], (0.02, 9.0), 0.01), None);
    }

    #[test]
    fn two_strays_of_one_oil_do_not_hide_each_other() {
        let places = |readings: &[f64]| set_apart(readings, (0.03, 4.0), 0.001).map(|found| found.readings);
        assert_eq!(places(&[1.0, 5.0, 1.1, 0.9, 5.2]), Some(vec![1, 4]));
        assert_eq!(places(&[-3.0, 1.0, 1.1, 0.9, 5.0]), Some(vec![0, 4]));
        assert_eq!(
            places(&[1.0, 5.0, 1.1, 5.2]),
            Some(vec![0, 1, 2, 3]),
            "half and half"
        );
        assert_eq!(places(&[1.0, 1.2, 1.1, 0.9, 1.05]), None);
    }

    #[test]
    fn of_equal_scatter_few_are_set_apart() {
        use crate::stats::draws::Stream;
        let mut random = Stream::new(11, 3);
        let mut draw = |n: usize| (0..n).map(|_| random.normal()).collect::<Vec<f64>>();
        let cells = 4000;
        let set = (0..cells).filter(|_| {
            let others = [draw(3), draw(3)];
            let others = within_groups(others.iter().map(Vec::as_slice));
            set_apart(&draw(4), others, 0.05).is_some()
        });
        let share = set.count() as f64 / f64::from(cells);
        assert!((0.02..0.06).contains(&share), "{share}");
    }
}
