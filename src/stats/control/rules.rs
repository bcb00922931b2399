//! When a series of readings says that something has changed.

use crate::stats::control::limits::{EWMA_LAMBDA, Limits, ewma, ewma_half_width};

/// A rule of a control chart. The first four are the run rules of the Western Electric handbook (1956; their text seen
/// in the documentation of a statistics package), with strict inequalities. A run rule fires at the reading that
/// completes the pattern and is itself part of it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Rule {
    /// One reading beyond 3 standard deviations.
    BeyondLimits,
    /// Two of three beyond 2 standard deviations on one side.
    TwoOfThree,
    /// Four of five beyond 1 standard deviation on one side.
    FourOfFive,
    /// Eight in a row on one side of the centre.
    EightOnOneSide,
    /// The exponentially weighted mean is beyond its limits.
    WeightedMean,
    /// The difference from the reading before is beyond its limit.
    MovingRange,
}

impl Rule {
    /// All of them.
    pub const ALL: [Rule; 6] = [
        Self::BeyondLimits,
        Self::TwoOfThree,
        Self::FourOfFive,
        Self::EightOnOneSide,
        Self::WeightedMean,
        Self::MovingRange,
    ];

    /// Its name in words.
    pub fn words(self) -> &'static str {
        match self {
            Self::BeyondLimits => "one run beyond the limits",
            Self::TwoOfThree => "two of three runs beyond two standard deviations on one side",
            Self::FourOfFive => "four of five runs beyond one standard deviation on one side",
            Self::EightOnOneSide => "eight runs in a row on one side of the centre",
            Self::WeightedMean => "the weighted mean beyond its limits",
            Self::MovingRange => "a jump from the run before that is beyond its limit",
        }
    }

    /// Whether it says that the level has moved. A moving range does not: it fires at the return from a single outlier
    /// as well as at the outlier, so it is shown but marks no results (ours).
    pub fn is_alarm(self) -> bool {
        self != Self::MovingRange
    }
}

/// A rule that fired.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Signal {
    /// Place of the reading in the series, from 0.
    pub index: usize,
    /// The rule.
    pub rule: Rule,
}

/// The four run rules on readings in standard deviations from the centre.
pub fn run_rules(places: &[f64]) -> Vec<Signal> {
    let fired = |index: usize| {
        [
            (Rule::BeyondLimits, 1, 1, 3.0),
            (Rule::TwoOfThree, 2, 3, 2.0),
            (Rule::FourOfFive, 4, 5, 1.0),
            (Rule::EightOnOneSide, 8, 8, 0.0),
        ]
        .into_iter()
        .filter(move |(_, needed, of, limit)| completes(&places[..=index], *needed, *of, *limit))
        .map(move |(rule, ..)| Signal { index, rule })
    };
    (0..places.len()).flat_map(fired).collect()
}

/// Whether the last reading lies beyond `limit`, and with it `needed` of the last `of` readings, on its side.
fn completes(places: &[f64], needed: usize, of: usize, limit: f64) -> bool {
    let recent = &places[places.len().saturating_sub(of)..];
    let on_side = |side: f64| recent.iter().filter(|place| side * **place > limit).count();
    let last = recent.last().copied().unwrap_or(0.0);
    last.abs() > limit && on_side(last.signum()) >= needed
}

/// Everything that a series of readings says against its limits, by place, then by rule.
pub fn signals(series: &[f64], limits: &Limits) -> Vec<Signal> {
    let places: Vec<f64> = series.iter().map(|reading| limits.place_of(*reading)).collect();
    let mut signals = run_rules(&places);
    let mean_beyond = |(index, mean): (usize, f64)| {
        let readings = u32::try_from(index + 1).unwrap_or(u32::MAX);
        let half_width = ewma_half_width(limits.sd, EWMA_LAMBDA, readings);
        ((mean - limits.centre).abs() > half_width).then_some(Signal {
            index,
            rule: Rule::WeightedMean,
        })
    };
    let means = ewma(series, EWMA_LAMBDA, limits.centre);
    signals.extend(means.into_iter().enumerate().filter_map(mean_beyond));
    let jumps = series.windows(2).enumerate().filter_map(|(before, pair)| {
        ((pair[1] - pair[0]).abs() > limits.moving_range).then_some(Signal {
            index: before + 1,
            rule: Rule::MovingRange,
        })
    });
    signals.extend(jumps);
    signals.sort();
    signals
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_rule_has_words_of_its_own() {
        let mut words: Vec<&str> = Rule::ALL.into_iter().map(Rule::words).collect();
        words.sort_unstable();
        words.dedup();
        assert_eq!(words.len(), Rule::ALL.len());
    }

    #[test]
    fn a_reading_back_inside_completes_no_pattern() {
        let places = [2.1, 2.2, 0.5];
        let fired = run_rules(&places);
        assert_eq!(
            fired,
            vec![Signal {
                index: 1,
                rule: Rule::TwoOfThree
            }]
        );
    }

    #[test]
    fn turning_the_series_round_turns_no_rule_off() {
        let places = [0.3, 1.2, 1.4, -0.2, 1.1, 2.4, 3.2, 0.1, 2.6, 1.9, 1.3];
        let mirrored: Vec<f64> = places.iter().map(|place| -place).collect();
        assert_eq!(run_rules(&places), run_rules(&mirrored));
    }

    #[test]
    fn a_single_outlier_leaves_two_jumps_but_one_reading_beyond_the_limits() {
        let limits = Limits {
            centre: 0.0,
            sd: 1.0,
            half_width: 3.0,
            moving_range: 3.69,
            provisional: false,
        };
        let signals = signals(&[0.0, 5.0, 0.0], &limits);
        let of = |rule: Rule| signals.iter().filter(|signal| signal.rule == rule).count();
        assert_eq!((of(Rule::BeyondLimits), of(Rule::MovingRange)), (1, 2));
        assert!(!Rule::MovingRange.is_alarm() && Rule::WeightedMean.is_alarm());
    }
}
