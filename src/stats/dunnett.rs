//! Several means, each compared with one other at a time: limits that hold for all of them together.
//!
//! All differences share the one mean, so they are correlated. Given what is shared (one standard normal number y) and,
//! where the standard deviation is itself estimated, its ratio s to the true one, they are independent: the
//! probability of all of them is one integral over y, and a second one over s. No random numbers.

use crate::stats::normal;

/// How the standard deviation of one result is known.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Freedom {
    /// It is given.
    Known,
    /// It was estimated with so many degrees of freedom.
    Estimated(f64),
}

/// Means to be compared with one other mean.
///
/// # Formula
/// t_i = (x_i - x_0) / sqrt(v_i + v_0); the correlation of t_i and t_j is lambda_i lambda_j with
/// lambda_i = sqrt( v_0 / (v_0 + v_i) ), which for v = s^2 / n is sqrt( n_i / (n_i + n_0) ). Hence
/// P(all |t_i| <= c) = E_s integral phi(y) prod_i [ Phi((c s - lambda_i y) / m_i) - Phi((-c s - lambda_i y) / m_i) ] dy,
/// with m_i = sqrt(1 - lambda_i^2) and df s^2 distributed as chi squared (Dunnett 1955 gives the distribution; this way
/// of writing it is textbook knowledge, from memory).
#[derive(Clone, Debug, PartialEq)]
pub struct ManyToOne {
    groups: Vec<Alike>,
    /// The trapezium rule over y from 0 on: y, and the density there times the step.
    nodes: Vec<(f64, f64)>,
    freedom: Freedom,
}

/// Means of one variance.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Alike {
    lambda: f64,
    /// m = sqrt(1 - lambda^2).
    rest: f64,
    count: i32,
}

impl Alike {
    fn new(lambda: f64) -> Self {
        let rest = (1.0 - lambda * lambda).sqrt();
        Self {
            lambda,
            rest,
            count: 1,
        }
    }

    /// Whether all of them lie within the limit whatever is shared, to the last digit.
    fn surely_within(&self, limit: f64) -> bool {
        limit - self.lambda * REACH >= self.rest * normal::QUICK_IS_ONE_FROM
    }

    /// Probability that all of them lie within the limit, given what is shared.
    fn within(&self, limit: f64, y: f64) -> f64 {
        let below = normal::cumulative_quick((limit - self.lambda * y) / self.rest);
        let too_low = normal::cumulative_quick((-limit - self.lambda * y) / self.rest);
        (below - too_low).max(0.0).powi(self.count)
    }
}

/// Log density below its greatest value at which the quadrature over s stops.
const NEGLIGIBLE: f64 = 28.0;
/// Standard deviations of y that are integrated over, either side.
const REACH: f64 = 7.0;
/// Step of the trapezium rule in units of the narrowest feature of the integrand (a Gaussian one): the error is then
/// below 1e-10 of it.
const STEP: f64 = 0.88;

/// Sum of a sharpness over all means, of which n together are as sharp as 2 sqrt n at most: where the product of many
/// rising curves is not yet as good as 0, most of them are flat.
fn together(groups: &[Alike], sharpness: impl Fn(&Alike) -> f64) -> f64 {
    let all: f64 = groups.iter().map(|one| f64::from(one.count)).sum();
    let sum: f64 = groups
        .iter()
        .map(|one| f64::from(one.count) * sharpness(one))
        .sum();
    sum * (2.0 / all.sqrt()).min(1.0)
}

fn nodes(groups: &[Alike]) -> Vec<(f64, f64)> {
    let sharpness = together(groups, |one| (one.lambda / one.rest).powi(2));
    let step = (STEP / (1.0 + sharpness).sqrt()).min(0.25);
    let last = (REACH / step).ceil() as u32;
    let ys = (0..=last).map(|place| f64::from(place) * step);
    ys.map(|y| (y, normal::log_density(y).exp() * step)).collect()
}

impl ManyToOne {
    /// `variances` of the means, and that of the one they are compared with, in one unit.
    /// `None` without a mean, or where a variance or the degrees of freedom are not positive numbers.
    pub fn new(variances: &[f64], of_the_one: f64, freedom: Freedom) -> Option<Self> {
        let positive = |value: f64| value.is_finite() && value > 0.0;
        let scatter = variances.iter().all(|variance| positive(*variance)) && positive(of_the_one);
        let known = !matches!(freedom, Freedom::Estimated(df) if !positive(df));
        if variances.is_empty() || !scatter || !known {
            return None;
        }
        let mut sorted: Vec<f64> = variances
            .iter()
            .map(|variance| (of_the_one / (of_the_one + variance)).sqrt())
            .collect();
        sorted.sort_by(f64::total_cmp);
        let mut groups: Vec<Alike> = Vec::new();
        for lambda in sorted {
            match groups.last_mut().filter(|known| known.lambda == lambda) {
                Some(known) => known.count += 1,
                None => groups.push(Alike::new(lambda)),
            }
        }
        Some(Self {
            nodes: nodes(&groups),
            groups,
            freedom,
        })
    }

    /// Probability that every statistic lies within plus and minus `limit` when all means are equal.
    pub fn within(&self, limit: f64) -> f64 {
        let probability = match self.freedom {
            Freedom::Known => self.within_known(limit),
            Freedom::Estimated(df) => self.over_the_estimate(limit, df),
        };
        probability.clamp(0.0, 1.0)
    }

    /// The trapezium rule over x = ln s, whose log density is df (x - exp(2x) / 2) plus a constant: it falls off on
    /// both sides faster than any power, so the error falls faster than any power of the step.
    fn over_the_estimate(&self, limit: f64, df: f64) -> f64 {
        let half = 0.5 * df;
        let constant = std::f64::consts::LN_2 + half * half.ln() - libm::lgamma(half);
        let narrowest = together(&self.groups, |one| 9.0 / one.rest.powi(2));
        let step = (STEP / (2.0 * df + narrowest).sqrt()).min(0.1);
        let log_density = |x: f64| df * (x - 0.5 * (2.0 * x).exp());
        let one_way = |from: i32, towards: f64| -> f64 {
            (from..)
                .map(|place| towards * f64::from(place) * step)
                .take_while(|x| log_density(*x) - log_density(0.0) > -NEGLIGIBLE)
                .map(|x| (constant + log_density(x)).exp() * self.within_known(limit * x.exp()))
                .sum()
        };
        step * (one_way(0, 1.0) + one_way(1, -1.0))
    }

    /// The same for a known standard deviation: the trapezium rule over y, whose sign makes no difference.
    fn within_known(&self, limit: f64) -> f64 {
        if self.groups.iter().all(|one| one.surely_within(limit)) {
            return 1.0;
        }
        let at = |y: f64| -> f64 { self.groups.iter().map(|one| one.within(limit, y)).product() };
        let (middle, others) = (self.nodes[0], &self.nodes[1..]);
        let sum: f64 = others.iter().map(|(y, weight)| weight * (2.0 * at(*y))).sum();
        middle.1 * at(middle.0) + sum
    }

    /// The limit that any of the statistics exceeds with probability `beyond` when all means are equal;
    /// `None` for a probability outside 0 to 1.
    pub fn critical_value(&self, beyond: f64) -> Option<f64> {
        if !(beyond > 0.0 && beyond < 1.0) {
            return None;
        }
        let too_many = |limit: f64| (1.0 - self.within(limit)) - beyond;
        // neither a second mean nor an estimated scatter makes the limit of one mean with a known scatter smaller
        let of_one = normal::quantile(1.0 - 0.5 * beyond);
        let (mut lo, mut hi) = (of_one - 1e-6, of_one + 1.0);
        let (mut at_lo, mut at_hi) = (too_many(lo), too_many(hi));
        while at_hi > 0.0 && hi < 1e6 {
            (lo, at_lo) = (hi, at_hi);
            hi += 2.0 * (hi - of_one);
            at_hi = too_many(hi);
        }
        // false position; the end that stays is given half its weight, so that both ends close in
        for _ in 0..200 {
            let next = (lo * at_hi - hi * at_lo) / (at_hi - at_lo);
            let value = too_many(next);
            if value.abs() < 1e-12 || hi - lo < 1e-12 * hi {
                return Some(next);
            }
            if value > 0.0 {
                (lo, at_lo, at_hi) = (next, value, 0.5 * at_hi);
            } else {
                (hi, at_hi, at_lo) = (next, value, 0.5 * at_lo);
            }
        }
        Some(0.5 * (lo + hi))
    }

    /// Probability that any of the statistics is as large as this one when all means are equal: its p-value, adjusted
    /// for there being several.
    pub fn adjusted_p(&self, statistic: f64) -> f64 {
        1.0 - self.within(statistic.abs())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Means of so many results each, all with one standard deviation.
    fn of_counts(counts: &[usize], of_the_one: usize, freedom: Freedom) -> Option<ManyToOne> {
        let variances: Vec<f64> = counts.iter().map(|count| 1.0 / *count as f64).collect();
        ManyToOne::new(&variances, 1.0 / of_the_one as f64, freedom)
    }

    #[test]
    fn one_mean_with_a_known_scatter_is_the_normal_distribution() {
        let one = of_counts(&[3], 2, Freedom::Known).unwrap();
        let critical = one.critical_value(0.05).unwrap();
        assert!((critical - normal::quantile(0.975)).abs() < 1e-10);
    }

    #[test]
    fn one_mean_with_one_degree_of_freedom_is_the_cauchy_distribution() {
        // closed form: the 97.5 % point of t with one degree of freedom is tan(0.475 pi)
        let one = of_counts(&[1], 1, Freedom::Estimated(1.0)).unwrap();
        let expected = (0.475 * std::f64::consts::PI).tan();
        assert!((one.critical_value(0.05).unwrap() - expected).abs() < 1e-6);
    }

    #[test]
    fn unequal_numbers_lie_between_independence_and_full_correlation() {
        let of = |counts: &[usize], one: usize| {
            let several = of_counts(counts, one, Freedom::Known).unwrap();
            several.critical_value(0.05).unwrap()
        };
        // a mean of very many results correlates nothing: 1 - (1 - a)^(1/3) each, closed form
        let independent = -normal::quantile(0.5 * (1.0 - 0.95f64.powf(1.0 / 3.0)));
        assert!((of(&[1, 1, 1], 1_000_000) - independent).abs() < 1e-4);
        let (few, many) = (of(&[1, 2, 9], 1), of(&[1, 2, 9], 9));
        assert!(1.96 < few && few < many && many < independent);
        assert_eq!(of(&[1, 2, 9], 3), of(&[9, 1, 2], 3));
    }

    #[test]
    fn the_adjusted_p_of_the_critical_value_is_the_level() {
        let several = ManyToOne::new(&[0.3, 0.5, 0.2], 0.1, Freedom::Estimated(7.0)).unwrap();
        let critical = several.critical_value(0.05).unwrap();
        assert!((several.adjusted_p(-critical) - 0.05).abs() < 1e-10);
    }

    #[test]
    fn a_comparison_without_an_answer_is_refused() {
        assert_eq!(ManyToOne::new(&[], 1.0, Freedom::Known), None);
        assert!(of_counts(&[0], 2, Freedom::Known).is_none());
        assert!(of_counts(&[2], 2, Freedom::Estimated(0.0)).is_none());
        let one = of_counts(&[2], 2, Freedom::Known).unwrap();
        assert_eq!(one.critical_value(1.0), None);
    }
}
