//! One result on a test's working scale. A capped or stepped reading is kept as what it says, never as a number.

use std::cmp::Ordering;

use crate::stats::normal;

/// What one run says about the true value, on the working scale.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Observation {
    /// Read as a number.
    Exact(f64),
    /// Above `lo` and at most `hi`: between two steps of a ladder.
    Between {
        /// Lower limit.
        lo: f64,
        /// Upper limit.
        hi: f64,
    },
    /// At least this: not failed by the last step run.
    Above(f64),
    /// At most this: failed the first step run, or below what the balance resolves.
    Below(f64),
}

/// A result that cannot be one.
#[derive(Clone, Debug, PartialEq)]
pub enum ObservationError {
    /// A limit or value is not a finite number.
    NotFinite,
    /// The lower limit is not below the upper one.
    LimitsReversed,
}

impl Observation {
    /// Checks that the numbers are finite and the limits in order.
    ///
    /// # Errors
    /// [`ObservationError`], naming which of the two does not hold.
    pub fn check(self) -> Result<Self, ObservationError> {
        let (lo, hi) = self.ends();
        if !lo.is_finite() || !hi.is_finite() {
            return Err(ObservationError::NotFinite);
        }
        match self {
            Self::Between { lo, hi } if lo >= hi => Err(ObservationError::LimitsReversed),
            _ => Ok(self),
        }
    }

    /// The smallest and the greatest number the result names.
    pub fn ends(self) -> (f64, f64) {
        match self {
            Self::Exact(value) | Self::Above(value) | Self::Below(value) => (value, value),
            Self::Between { lo, hi } => (lo, hi),
        }
    }

    /// The same result on a scale moved by `by`.
    pub fn shifted(self, by: f64) -> Self {
        match self {
            Self::Exact(value) => Self::Exact(value + by),
            Self::Between { lo, hi } => Self::Between {
                lo: lo + by,
                hi: hi + by,
            },
            Self::Above(limit) => Self::Above(limit + by),
            Self::Below(limit) => Self::Below(limit + by),
        }
    }

    /// The same result on the scale with its sign turned round.
    pub fn mirrored(self) -> Self {
        match self {
            Self::Exact(value) => Self::Exact(-value),
            Self::Between { lo, hi } => Self::Between { lo: -hi, hi: -lo },
            Self::Above(limit) => Self::Below(-limit),
            Self::Below(limit) => Self::Above(-limit),
        }
    }

    /// Log-likelihood of the true value `truth` when one result scatters about it with standard deviation `sd` (> 0).
    pub fn log_likelihood(self, truth: f64, sd: f64) -> f64 {
        self.log_likelihoods(sd)(truth)
    }

    /// The same as a function of the true value, for many of them.
    pub fn log_likelihoods(self, sd: f64) -> impl Fn(f64) -> f64 {
        let log_sd = sd.ln();
        move |truth| match self {
            Self::Exact(value) => normal::log_density((value - truth) / sd) - log_sd,
            Self::Between { lo, hi } => normal::log_between((lo - truth) / sd, (hi - truth) / sd),
            Self::Above(limit) => normal::log_cumulative((truth - limit) / sd),
            Self::Below(limit) => normal::log_cumulative((limit - truth) / sd),
        }
    }

    /// No log-likelihood of [`Self::log_likelihood`] lies above this, which costs next to nothing.
    ///
    /// # Formula
    /// `-d^2/2`, d the distance in `sd` to the nearest value that the result allows: Phi(-d) <= exp(-d^2/2) / 2. For an
    /// exact result it is the likelihood itself. Concave in `truth`.
    pub(crate) fn greatest_log_likelihood(self, truth: f64, sd: f64) -> f64 {
        let beyond = match self {
            Self::Exact(value) => return normal::log_density((value - truth) / sd) - sd.ln(),
            Self::Between { lo, hi } => (lo - truth).max(truth - hi),
            Self::Above(limit) => limit - truth,
            Self::Below(limit) => truth - limit,
        };
        let distance = beyond.max(0.0) / sd;
        -0.5 * distance * distance
    }

    /// A value that the result makes likely, where to look for the posterior's top.
    pub(crate) fn likely_value(self, sd: f64) -> f64 {
        match self {
            Self::Exact(value) => value,
            Self::Between { lo, hi } => 0.5 * (lo + hi),
            Self::Above(limit) => limit + sd,
            Self::Below(limit) => limit - sd,
        }
    }

    /// A number for its kind and the bits of its limits: equal for equal results, the same on every machine.
    pub fn bits(self) -> (u8, u64, u64) {
        let kind = match self {
            Self::Exact(_) => 0,
            Self::Between { .. } => 1,
            Self::Above(_) => 2,
            Self::Below(_) => 3,
        };
        let (lo, hi) = self.ends();
        // + 0.0 makes one zero of the two
        (kind, (lo + 0.0).to_bits(), (hi + 0.0).to_bits())
    }

    /// A fixed total order, so that sums over results do not depend on the order in which they were typed.
    pub fn order(&self, other: &Self) -> Ordering {
        let (a, b) = (self.ends(), other.ends());
        (a.0 + 0.0)
            .total_cmp(&(b.0 + 0.0))
            .then((a.1 + 0.0).total_cmp(&(b.1 + 0.0)))
            .then(self.bits().0.cmp(&other.bits().0))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn interval_results_have_the_published_likelihood() {
        // data and maximum: scipy test file test_continuous_fit_censored.py (quotes R fitdistrplus output), seen;
        // log-likelihood recomputed with scipy 1.17.1
        let data = INTERVALS.map(|(lo, hi)| Observation::Between { lo, hi });
        let total = |mean: f64, sd: f64| data.iter().map(|o| o.log_likelihood(mean, sd)).sum::<f64>();
        let (mean, sd) = (0.5919990499140193, 0.2868041784841621);
        let best = total(mean, sd);
        assert!((best - -9.80269871923474).abs() < 1e-8, "{best}");
        for (m, s) in [(1e-3, 0.0), (-1e-3, 0.0), (0.0, 1e-3), (0.0, -1e-3)] {
            assert!(total(mean + m, sd + s) < best);
        }
    }

    #[test]
    fn the_kinds_of_one_limit_add_up_to_certainty() {
        let (truth, sd) = (0.3, 0.7);
        let chance = |o: Observation| o.log_likelihood(truth, sd).exp();
        let (lo, hi) = (0.1, 0.9);
        let sum = chance(Observation::Below(lo))
            + chance(Observation::Between { lo, hi })
            + chance(Observation::Above(hi));
        assert!((sum - 1.0).abs() < 1e-14);
    }

    #[test]
    fn a_mirrored_result_has_the_mirrored_likelihood() {
        for o in [
            Observation::Exact(1.2),
            Observation::Between { lo: 1.0, hi: 2.0 },
            Observation::Above(2.5),
            Observation::Below(-0.5),
        ] {
            assert_eq!(o.log_likelihood(0.4, 0.3), o.mirrored().log_likelihood(-0.4, 0.3));
            assert_eq!(o.mirrored().mirrored(), o);
            assert!((o.shifted(2.0).log_likelihood(2.4, 0.3) - o.log_likelihood(0.4, 0.3)).abs() < 1e-9);
        }
    }

    #[test]
    fn a_result_that_cannot_be_one_is_refused() {
        assert_eq!(
            Observation::Exact(f64::NAN).check(),
            Err(ObservationError::NotFinite)
        );
        assert_eq!(
            Observation::Above(f64::INFINITY).check(),
            Err(ObservationError::NotFinite)
        );
        let reversed = Observation::Between { lo: 2.0, hi: 2.0 };
        assert_eq!(reversed.check(), Err(ObservationError::LimitsReversed));
        assert!(Observation::Below(3.0).check().is_ok());
    }

    const INTERVALS: [(f64, f64); 4] = [(0.1, 0.2), (0.5, 0.55), (0.75, 0.9), (0.8, 0.95)];
}
