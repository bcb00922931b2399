//! Two-parameter Weibull lives, right-censored, by maximum likelihood, with intervals of their quantiles.
//!
//! Times are handled as logarithms over the greatest one, so that no power of a time overflows.

mod interval;

pub use interval::{CONFIDENCE, QuantileIntervals, real_confidence};

/// A shape beyond which failures are taken to have happened at one time.
const GREATEST_SHAPE: f64 = 1e4;

/// Why no distribution can be fitted.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum WeibullError {
    /// A time that is not above zero and finite.
    Time {
        /// Place from 0.
        place: usize,
        /// What stands there.
        value: f64,
    },
    /// Too few failures: with a free shape at least two are needed, with a given shape one.
    TooFewFailures {
        /// Failures given.
        failures: usize,
    },
    /// All failures at the greatest time: the shape has no finite estimate.
    NoScatter,
    /// A shape that is not above zero and finite.
    Shape,
    /// An estimate that leaves the finite numbers.
    NotFinite,
}

/// One time: until failure, or until the end of a run without failure.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Life {
    /// Any unit; above zero.
    pub time: f64,
    /// How it ended.
    pub end: LifeEnd,
}

/// How a run ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LifeEnd {
    /// By failure.
    Failed,
    /// It was stopped before failure: the life is longer than the time.
    Stopped,
}

/// Checked lives, as logarithms over the greatest time.
#[derive(Clone, Debug, PartialEq)]
pub struct Lives {
    log_greatest: f64,
    logs: Vec<f64>,
    failures: usize,
    /// Sum of the logarithms of the failures.
    failed_log_sum: f64,
}

/// A fitted distribution.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WeibullFit {
    /// Shape.
    pub shape: f64,
    /// Scale (life that 63.2 % do not survive), in the unit of the times.
    pub scale: f64,
    /// Logarithm of the likelihood.
    pub log_likelihood: f64,
}

impl Lives {
    /// Lives of a sample.
    ///
    /// # Errors
    /// A time that is not above zero and finite; no failure at all.
    pub fn new(lives: &[Life]) -> Result<Self, WeibullError> {
        let bad = |life: &Life| !(life.time.is_finite() && life.time > 0.0);
        if let Some(place) = lives.iter().position(bad) {
            let value = lives[place].time;
            return Err(WeibullError::Time { place, value });
        }
        let log_greatest = lives
            .iter()
            .map(|life| life.time.ln())
            .fold(f64::NEG_INFINITY, f64::max);
        let relative = |life: &Life| life.time.ln() - log_greatest;
        let failed = || lives.iter().filter(|life| life.end == LifeEnd::Failed);
        let failures = failed().count();
        if failures == 0 {
            return Err(WeibullError::TooFewFailures { failures });
        }
        Ok(Self {
            log_greatest,
            logs: lives.iter().map(relative).collect(),
            failures,
            failed_log_sum: failed().map(relative).sum(),
        })
    }

    /// Number of failures.
    pub fn failures(&self) -> usize {
        self.failures
    }

    /// Shape and scale of greatest likelihood.
    ///
    /// # Formula
    /// The shape k solves `1/k + mean of ln t over failures = sum t^k ln t / sum t^k` over all times; the scale is
    /// `(sum t^k / r)^(1/k)`, r the number of failures (likelihood of right-censored times; textbook result, from memory).
    ///
    /// # Errors
    /// Fewer than two failures; failures that all lie at the greatest time.
    pub fn fit(&self) -> Result<WeibullFit, WeibullError> {
        let failures = self.failures;
        if failures < 2 {
            return Err(WeibullError::TooFewFailures { failures });
        }
        let (mut low, mut high) = (1e-6f64, GREATEST_SHAPE);
        if self.slope(high) >= 0.0 {
            return Err(WeibullError::NoScatter);
        }
        for _ in 0..200 {
            let middle = (low * high).sqrt();
            if middle <= low || middle >= high {
                break;
            }
            if self.slope(middle) > 0.0 {
                low = middle;
            } else {
                high = middle;
            }
        }
        self.fit_with_shape((low * high).sqrt())
    }

    /// The scale of greatest likelihood for a given shape.
    ///
    /// # Errors
    /// A shape that is not above zero and finite; a scale that leaves the finite numbers.
    pub fn fit_with_shape(&self, shape: f64) -> Result<WeibullFit, WeibullError> {
        if !(shape.is_finite() && shape > 0.0) {
            return Err(WeibullError::Shape);
        }
        let fit = WeibullFit {
            shape,
            scale: self.log_scale(shape).exp(),
            log_likelihood: self.greatest_log_likelihood(shape),
        };
        let usable = fit.log_likelihood.is_finite()
            && [fit.scale, fit.quantile(0.5)]
                .iter()
                .all(|time| time.is_finite() && *time > 0.0);
        usable.then_some(fit).ok_or(WeibullError::NotFinite)
    }

    /// Derivative of the likelihood with respect to the shape, per failure; falls as the shape grows.
    fn slope(&self, shape: f64) -> f64 {
        let (mut powers, mut weighted) = (0.0, 0.0);
        for log in &self.logs {
            let power = (shape * log).exp();
            powers += power;
            weighted += power * log;
        }
        1.0 / shape + self.failed_log_sum / self.failures as f64 - weighted / powers
    }

    /// Logarithm of the scale of greatest likelihood for a shape.
    fn log_scale(&self, shape: f64) -> f64 {
        let powers: f64 = self.logs.iter().map(|log| (shape * log).exp()).sum();
        self.log_greatest + (powers / self.failures as f64).ln() / shape
    }

    /// Logarithm of the likelihood at a shape and the scale that goes best with it.
    fn greatest_log_likelihood(&self, shape: f64) -> f64 {
        let failures = self.failures as f64;
        let log_scale = self.log_scale(shape);
        let log_times = self.failed_log_sum + failures * self.log_greatest;
        failures * (shape.ln() - shape * log_scale) + (shape - 1.0) * log_times - failures
    }
}

impl WeibullFit {
    /// The life that a share of the population does not survive.
    ///
    /// # Formula
    /// `t = scale (-ln(1 - share))^(1/shape)`.
    pub fn quantile(&self, share: f64) -> f64 {
        self.scale * (-(-share).ln_1p()).powf(1.0 / self.shape)
    }

    /// The life that half of the population does not survive.
    pub fn median(&self) -> f64 {
        self.quantile(0.5)
    }
}

/// Shares at which the failures of a sample are plotted on probability paper: time and share, in order of time.
///
/// # Formula
/// Median ranks `(i - 0.3)/(n + 0.4)` (Bernard's approximation, from memory), where a stopped run spreads its place over
/// the later ones: each failure raises i by `(n + 1 - i)/(1 + runs from here on)` (Johnson's ranks, from memory).
pub fn plotting_positions(lives: &[Life]) -> Vec<(f64, f64)> {
    let mut sorted = lives.to_vec();
    sorted.sort_by(|a, b| {
        let stopped = |life: &Life| life.end == LifeEnd::Stopped;
        a.time.total_cmp(&b.time).then(stopped(a).cmp(&stopped(b)))
    });
    let count = sorted.len() as f64;
    let mut rank = 0.0;
    let mut positions = Vec::new();
    for (place, life) in sorted.iter().enumerate() {
        if life.end == LifeEnd::Failed {
            rank += (count + 1.0 - rank) / (1.0 + (sorted.len() - place) as f64);
            positions.push((life.time, (rank - 0.3) / (count + 0.4)));
        }
    }
    positions
}

#[cfg(test)]
mod tests;
