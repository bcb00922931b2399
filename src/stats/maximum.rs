//! Mean and standard deviation of a normal distribution from censored results, by maximum likelihood.

use thiserror::Error;

use crate::stats::normal::{log_between, log_cumulative, log_density};
use crate::stats::observation::Observation;

/// Results that have no maximum.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum MaximumError {
    /// Fewer than two results, or none that is bounded on both sides.
    #[error("a scatter needs at least two results, one of them a reading or an interval")]
    TooFew,
    /// The likelihood has no maximum inside: the results are all equal, or all bounds.
    #[error("the results leave mean and scatter open")]
    NoMaximum,
}

/// The normal distribution that makes the results most likely.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MaximumLikelihood {
    /// Its mean.
    pub mean: f64,
    /// Its standard deviation (divided by n, not n - 1).
    pub sd: f64,
    /// Logarithm of the likelihood there.
    pub log_likelihood: f64,
}

/// Derivatives of the log-likelihood by the mean, in standard deviations, and by the logarithm of the standard deviation.
///
/// # Formula
/// With a = (lo - mean) / sd and b = (hi - mean) / sd: (phi(a) - phi(b)) / (Phi(b) - Phi(a)) and
/// (a phi(a) - b phi(b)) / (Phi(b) - Phi(a)), where an open end counts as nothing; of a reading z and z^2 - 1.
fn score(observation: Observation, mean: f64, sd: f64) -> (f64, f64) {
    let turned = |limit: f64| (limit - mean) / sd;
    let (a, b) = match observation {
        Observation::Exact(value) => return (turned(value), turned(value).powi(2) - 1.0),
        Observation::Between { lo, hi } => (Some(turned(lo)), Some(turned(hi))),
        Observation::Above(limit) => (Some(turned(limit)), None),
        Observation::Below(limit) => (None, Some(turned(limit))),
    };
    let log_probability = match (a, b) {
        (Some(a), Some(b)) => log_between(a, b),
        (Some(a), None) => log_cumulative(-a),
        (None, Some(b)) => log_cumulative(b),
        (None, None) => 0.0,
    };
    let ratio = |end: Option<f64>| end.map_or(0.0, |x| (log_density(x) - log_probability).exp());
    let times = |end: Option<f64>| end.map_or(0.0, |x| x * ratio(Some(x)));
    (ratio(a) - ratio(b), times(a) - times(b))
}

/// Mean and standard deviation by Newton's method on the two derivatives, in the mean and the logarithm of the standard
/// deviation; a step that makes the results less likely is halved.
///
/// # Errors
/// [`MaximumError`]: too few results, or a likelihood without a maximum.
pub fn maximum_likelihood(observations: &[Observation]) -> Result<MaximumLikelihood, MaximumError> {
    let mut sorted = observations.to_vec();
    sorted.sort_by(Observation::order);
    let bounded = |o: &&Observation| matches!(o, Observation::Exact(_) | Observation::Between { .. });
    if sorted.len() < 2 || !sorted.iter().any(|o| bounded(&o)) {
        return Err(MaximumError::TooFew);
    }
    let total =
        |mean: f64, log_sd: f64| -> f64 { sorted.iter().map(|o| o.log_likelihood(mean, log_sd.exp())).sum() };
    let slopes = |mean: f64, log_sd: f64| {
        let each = sorted.iter().map(|o| score(*o, mean, log_sd.exp()));
        each.fold((0.0, 0.0), |sum, one| (sum.0 + one.0, sum.1 + one.1))
    };
    let (mut mean, mut log_sd) = start(&sorted)?;
    for _ in 0..200 {
        let here = slopes(mean, log_sd);
        if here.0.abs().max(here.1.abs()) < 1e-11 * sorted.len() as f64 {
            let log_likelihood = total(mean, log_sd);
            return Ok(MaximumLikelihood {
                mean,
                sd: log_sd.exp(),
                log_likelihood,
            });
        }
        let (by_mean, by_log_sd) = newton_step(&slopes, mean, log_sd, here);
        let before = total(mean, log_sd);
        let better = (0..40).map(|halvings| 0.5f64.powi(halvings)).find(|part| {
            let there = total(mean + part * by_mean * log_sd.exp(), log_sd + part * by_log_sd);
            there > before - 1e-12 * before.abs()
        });
        let Some(part) = better else { break };
        mean += part * by_mean * log_sd.exp();
        log_sd += part * by_log_sd;
        if !(-700.0..700.0).contains(&log_sd) {
            break;
        }
    }
    Err(MaximumError::NoMaximum)
}

/// Mean and logarithm of the standard deviation of the middles.
fn start(observations: &[Observation]) -> Result<(f64, f64), MaximumError> {
    let middles: Vec<f64> = observations
        .iter()
        .map(|o| o.ends())
        .map(|(lo, hi)| 0.5 * (lo + hi))
        .collect();
    let number = middles.len() as f64;
    let mean = middles.iter().sum::<f64>() / number;
    let variance = middles.iter().map(|x| (x - mean).powi(2)).sum::<f64>() / number;
    if variance > 0.0 {
        Ok((mean, 0.5 * variance.ln()))
    } else {
        Err(MaximumError::NoMaximum)
    }
}

/// The step of Newton's method, the mean in standard deviations; along the slope where the surface is not a hill.
fn newton_step(
    slopes: &impl Fn(f64, f64) -> (f64, f64),
    mean: f64,
    log_sd: f64,
    here: (f64, f64),
) -> (f64, f64) {
    const H: f64 = 1e-5;
    let sd = log_sd.exp();
    let difference =
        |one: (f64, f64), other: (f64, f64)| ((one.0 - other.0) / (2.0 * H), (one.1 - other.1) / (2.0 * H));
    let by_mean = difference(slopes(mean + H * sd, log_sd), slopes(mean - H * sd, log_sd));
    let by_log_sd = difference(slopes(mean, log_sd + H), slopes(mean, log_sd - H));
    let determinant = by_mean.0 * by_log_sd.1 - by_mean.1 * by_log_sd.0;
    if by_mean.0 < 0.0 && determinant > 0.0 {
        let step = (
            -(here.0 * by_log_sd.1 - here.1 * by_log_sd.0) / determinant,
            -(by_mean.0 * here.1 - by_mean.1 * here.0) / determinant,
        );
        return (step.0.clamp(-2.0, 2.0), step.1.clamp(-1.0, 1.0));
    }
    let length = (here.0.powi(2) + here.1.powi(2)).sqrt();
    (0.3 * here.0 / length, 0.3 * here.1 / length)
}

#[cfg(test)]
mod tests {
    use super::*;
    use Observation::{Above, Below, Between, Exact};

    #[test]
    fn readings_have_their_own_mean_and_scatter() {
        let found = maximum_likelihood(&[Exact(1.0), Exact(2.0), Exact(6.0)]).unwrap();
        assert!((found.mean - 3.0).abs() < 1e-9);
        assert!((found.sd - (14.0f64 / 3.0).sqrt()).abs() < 1e-9);
    }

    #[test]
    fn a_bound_moves_the_mean_beyond_what_it_names() {
        let found = maximum_likelihood(&[Exact(1.0), Exact(2.0), Above(2.5)]).unwrap();
        assert!(found.mean > 11.0 / 6.0);
        let mirrored = maximum_likelihood(&[Exact(-1.0), Exact(-2.0), Below(-2.5)]).unwrap();
        assert!((found.mean + mirrored.mean).abs() < 1e-9 && (found.sd - mirrored.sd).abs() < 1e-9);
    }

    #[test]
    fn results_without_a_maximum_are_refused() {
        assert_eq!(maximum_likelihood(&[Exact(1.0)]), Err(MaximumError::TooFew));
        assert_eq!(
            maximum_likelihood(&[Above(1.0), Above(2.0)]),
            Err(MaximumError::TooFew)
        );
        assert_eq!(
            maximum_likelihood(&[Exact(1.0), Exact(1.0)]),
            Err(MaximumError::NoMaximum)
        );
        assert!(maximum_likelihood(&[Between { lo: 0.0, hi: 1.0 }, Above(0.2)]).is_err());
    }
}
