//! Control charts of single readings: individuals, moving range, exponentially weighted mean, run rules.
//!
//! * [`Limits`]: centre and scatter of one stretch of readings, and the limits that follow from them.
//! * [`Rule`], [`signals`]: the rules, each with a name in words, applied to a series.
//! * [`chart`]: both together for one stretch, with provisional limits where it is short.

mod limits;
mod rules;

pub use limits::{EWMA_LAMBDA, Limits, MEAN_RANGE_OF_TWO, MethodScatter, ewma, ewma_half_width, limits};
pub use rules::{Rule, Signal, run_rules, signals};

use thiserror::Error;

/// A series that cannot be charted.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum ControlError {
    /// A reading is not a finite number.
    #[error("a reading of a control chart must be a finite number")]
    NotFinite,
    /// A number that must be positive and finite is not.
    #[error("{0} must be a positive number")]
    NotPositive(&'static str),
    /// Too few readings, and nothing else says how far they may scatter.
    #[error("too few readings for limits, and no published precision to take them from")]
    NoLimits,
}

/// One stretch of a chart.
#[derive(Clone, Debug, PartialEq)]
pub struct Chart {
    /// Centre and limits.
    pub limits: Limits,
    /// Exponentially weighted mean after each reading, started at the centre.
    pub ewma: Vec<f64>,
    /// What fired, by place in the series, then by rule.
    pub signals: Vec<Signal>,
}

/// The chart of one stretch: readings in order of time between two changes of what they were run with.
///
/// `method` says how far readings of the method may scatter, on the same scale; see [`fn@limits`] for when it is used.
///
/// # Errors
/// [`ControlError`]: a reading that is not finite, a scatter that is not positive, or no way to limits.
pub fn chart(series: &[f64], method: Option<MethodScatter>) -> Result<Chart, ControlError> {
    let limits = limits(series, method)?;
    Ok(Chart {
        limits,
        ewma: ewma(series, EWMA_LAMBDA, limits.centre),
        signals: signals(series, &limits),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    const STEADY: [f64; 15] = [
        10.0, 11.0, 10.0, 9.0, 10.0, 11.0, 9.0, 10.0, 10.0, 11.0, 9.0, 10.0, 10.0, 9.0, 11.0,
    ];

    #[test]
    fn a_steady_stretch_has_no_signal() {
        let chart = chart(&STEADY, None).unwrap();
        assert!(chart.signals.is_empty(), "{:?}", chart.signals);
        assert!(!chart.limits.provisional);
    }

    #[test]
    fn later_readings_do_not_move_the_limits() {
        let mut longer = STEADY.to_vec();
        longer.extend([30.0, 31.0, 32.0]);
        let (short, long) = (chart(&STEADY, None).unwrap(), chart(&longer, None).unwrap());
        assert_eq!(short.limits, long.limits);
        let beyond = |at: usize| Signal {
            index: at,
            rule: Rule::BeyondLimits,
        };
        assert!((15..18).all(|at| long.signals.contains(&beyond(at))));
    }

    #[test]
    fn a_slow_drift_is_seen_by_the_weighted_mean_before_a_reading_is_beyond_the_limits() {
        let mut drift = STEADY.to_vec();
        drift.extend([11.9, 11.9, 12.2, 12.4]);
        let chart = chart(&drift, None).unwrap();
        let first = |rule: Rule| chart.signals.iter().find(|signal| signal.rule == rule);
        assert!(first(Rule::WeightedMean).is_some());
        assert!(first(Rule::BeyondLimits).is_none(), "{:?}", chart.signals);
    }

    #[test]
    fn a_series_without_a_way_to_limits_is_refused() {
        assert_eq!(chart(&[1.0, 2.0], None), Err(ControlError::NoLimits));
        assert_eq!(chart(&[], None), Err(ControlError::NoLimits));
        assert_eq!(chart(&[1.0, f64::NAN], None), Err(ControlError::NotFinite));
        let flat = MethodScatter {
            reproducibility: 0.0,
            least_sd: 0.0,
        };
        assert_eq!(
            chart(&[1.0, 2.0], Some(flat)),
            Err(ControlError::NotPositive("reproducibility"))
        );
    }
}
