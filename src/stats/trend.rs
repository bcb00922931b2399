//! Whether values rise or fall with a dose, within groups that may differ from each other for other reasons.
//!
//! Within each group every pair of points is looked at: does the one with more have the greater value? The sum of the
//! signs (Kendall's S) says how sure a direction is, the median of the slopes of all pairs (Theil and Sen) how steep it
//! is. Neither assumes a distribution, and one outlier moves neither far.

/// One point of a group.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Point {
    /// The dose.
    pub dose: f64,
    /// The value at it.
    pub value: f64,
}

/// A direction that the points carry.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Trend {
    /// Median slope of all pairs within the groups: value per dose.
    pub slope: f64,
    /// Median of `value - slope * dose` over all points.
    pub intercept: f64,
    /// Kendall's S over its standard deviation; positive where the value rises.
    pub z: f64,
}

/// Why points carry no direction.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NoTrend {
    /// Fewer points, or fewer different doses, than a direction needs.
    TooFew,
    /// The order of the values could as well be chance, at 95 %.
    Chance,
}

/// Fewest points that can carry a direction (ours).
pub const FEWEST_POINTS: usize = 6;
/// Fewest different doses that can (ours).
pub const FEWEST_DOSES: usize = 4;

/// The direction that groups of points carry together.
///
/// # Formula
/// `z = S / sqrt(var S)`, S the sum over groups of sign products of all pairs, `var S` the sum over groups of
/// `(n(n-1)(2n+5) - sum over tied doses t(t-1)(2t+5)) / 18` (Kendall's S with the correction for ties in one variable,
/// from memory).
///
/// # Errors
/// [`NoTrend`] where nothing can be said.
pub fn trend(groups: &[Vec<Point>]) -> Result<Trend, NoTrend> {
    let points: Vec<Point> = groups.iter().flatten().copied().collect();
    let mut doses: Vec<f64> = points.iter().map(|point| point.dose).collect();
    doses.sort_by(f64::total_cmp);
    doses.dedup();
    if points.len() < FEWEST_POINTS || doses.len() < FEWEST_DOSES {
        return Err(NoTrend::TooFew);
    }
    let (mut score, mut variance, mut slopes) = (0.0, 0.0, Vec::new());
    for group in groups {
        for (place, a) in group.iter().enumerate() {
            for b in &group[place + 1..] {
                if a.dose != b.dose {
                    let slope = (b.value - a.value) / (b.dose - a.dose);
                    score += sign(slope);
                    slopes.push(slope);
                }
            }
        }
        variance += variance_of(group);
    }
    let z = if variance > 0.0 {
        score / variance.sqrt()
    } else {
        0.0
    };
    if z.abs() < 1.96 {
        return Err(NoTrend::Chance);
    }
    let slope = median(slopes);
    let intercept = median(
        points
            .iter()
            .map(|point| point.value - slope * point.dose)
            .collect(),
    );
    Ok(Trend { slope, intercept, z })
}

fn sign(x: f64) -> f64 {
    if x > 0.0 {
        1.0
    } else if x < 0.0 {
        -1.0
    } else {
        0.0
    }
}

fn variance_of(group: &[Point]) -> f64 {
    let term = |n: f64| n * (n - 1.0) * (2.0 * n + 5.0) / 18.0;
    let mut doses: Vec<f64> = group.iter().map(|point| point.dose).collect();
    doses.sort_by(f64::total_cmp);
    let tied: f64 = doses
        .chunk_by(|a, b| a == b)
        .map(|same| term(same.len() as f64))
        .sum();
    term(group.len() as f64) - tied
}

fn median(mut values: Vec<f64>) -> f64 {
    values.sort_by(f64::total_cmp);
    match (values.len(), values.len() / 2) {
        (0, _) => 0.0,
        (n, half) if n % 2 == 1 => values[half],
        (_, half) => 0.5 * (values[half - 1] + values[half]),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn points(values: &[(f64, f64)]) -> Vec<Point> {
        let point = |&(dose, value): &(f64, f64)| Point { dose, value };
        values.iter().map(point).collect()
    }

    #[test]
    fn a_straight_rise_is_found_with_its_slope_and_its_score() {
        let line: Vec<(f64, f64)> = (0..6).map(|i| (f64::from(i), 0.2 * f64::from(i) + 0.1)).collect();
        let found = trend(&[points(&line)]).unwrap();
        assert!((found.slope - 0.2).abs() < 1e-12 && (found.intercept - 0.1).abs() < 1e-12);
        // all 15 pairs rise; variance 6 * 5 * 17 / 18
        assert!((found.z - 15.0 / (510.0f64 / 18.0).sqrt()).abs() < 1e-12);
    }

    #[test]
    fn groups_that_differ_for_other_reasons_do_not_hide_or_make_a_trend() {
        let falling = |offset: f64| {
            points(&[
                (0.0, offset),
                (1.0, offset - 0.1),
                (2.0, offset - 0.2),
                (3.0, offset - 0.3),
            ])
        };
        // the group with more of the component stands higher as a whole, yet each group falls
        let groups = [
            falling(0.4),
            falling(0.9)
                .iter()
                .map(|p| Point {
                    dose: p.dose + 4.0,
                    ..*p
                })
                .collect(),
        ];
        let found = trend(&groups).unwrap();
        assert!((found.slope + 0.1).abs() < 1e-12 && found.z < -1.96);
    }

    #[test]
    fn few_points_one_dose_or_no_order_carry_no_trend() {
        assert_eq!(
            trend(&[points(&[(0.0, 0.0), (1.0, 1.0), (2.0, 2.0)])]),
            Err(NoTrend::TooFew)
        );
        let one_dose = points(&[
            (1.0, 0.1),
            (1.0, 0.2),
            (1.0, 0.3),
            (1.0, 0.4),
            (1.0, 0.5),
            (1.0, 0.6),
        ]);
        assert_eq!(trend(&[one_dose]), Err(NoTrend::TooFew));
        let zigzag = points(&[
            (0.0, 0.5),
            (1.0, 0.9),
            (2.0, 0.1),
            (3.0, 0.8),
            (4.0, 0.2),
            (5.0, 0.6),
        ]);
        assert_eq!(trend(&[zigzag]), Err(NoTrend::Chance));
        assert_eq!(trend(&[]), Err(NoTrend::TooFew));
    }

    #[test]
    fn a_trend_takes_six_points_and_four_doses() {
        let rising = |doses: &[f64]| {
            let line: Vec<(f64, f64)> = doses.iter().map(|dose| (*dose, 0.2 * dose)).collect();
            trend(&[points(&line)]).err()
        };
        assert_eq!(rising(&[0.0, 1.0, 2.0, 3.0, 4.0]), Some(NoTrend::TooFew));
        assert_eq!(rising(&[0.0, 1.0, 2.0, 3.0, 4.0, 5.0]), None);
        assert_eq!(rising(&[0.0, 1.0, 2.0, 3.0, 4.0, 5.0, 6.0]), None);
        assert_eq!(
            rising(&[0.0, 0.0, 0.0, 1.0, 1.0, 1.0, 2.0, 2.0, 2.0]),
            Some(NoTrend::TooFew)
        );
        assert_eq!(rising(&[0.0, 0.0, 1.0, 1.0, 2.0, 2.0, 3.0, 3.0]), None);
        assert_eq!(rising(&[0.0, 0.0, 1.0, 1.0, 2.0, 2.0, 3.0, 4.0]), None);
    }

    /// Of six values with S pairs more that rise than fall, z = S / sqrt(6 * 5 * 17 / 18) = S / 5.32: 1.69 and 2.07.
    #[test]
    fn a_trend_is_more_than_chance_from_1_96_standard_deviations() {
        let of = |values: [f64; 6]| {
            let line: Vec<(f64, f64)> = (0..6).map(f64::from).zip(values).collect();
            trend(&[points(&line)]).map(|found| (100.0 * found.z).round())
        };
        assert_eq!(of([4.0, 1.0, 2.0, 3.0, 5.0, 6.0]), Err(NoTrend::Chance));
        assert_eq!(of([3.0, 1.0, 2.0, 4.0, 5.0, 6.0]), Ok(207.0));
        assert_eq!(of([3.0, 6.0, 5.0, 4.0, 2.0, 1.0]), Err(NoTrend::Chance));
    }

    #[test]
    fn turning_the_values_round_turns_the_trend_round() {
        let up = points(&[
            (0.0, 0.1),
            (1.0, 0.3),
            (2.0, 0.2),
            (3.0, 0.6),
            (4.0, 0.7),
            (5.0, 0.9),
        ]);
        let down: Vec<Point> = up
            .iter()
            .map(|p| Point {
                value: -p.value,
                ..*p
            })
            .collect();
        let (up, down) = (trend(&[up]).unwrap(), trend(&[down]).unwrap());
        assert_eq!((up.slope, up.z), (-down.slope, -down.z));
    }
}
