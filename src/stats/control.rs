//! Control charts of single readings: individuals, moving range, exponentially weighted mean, run rules.
//!
//! * [`Limits`]: centre and scatter of one stretch of readings, and the limits that follow from them.
//! * [`Rule`], [`signals`]: the rules, applied to a series.
//! * [`chart`]: both together for one stretch, with provisional limits where it is short.

/// Readings at the start of a stretch that fix its limits, at most.
pub const BASELINE: usize = 15;
/// Fewest readings that fix limits of their own (ours).
pub const SETTLED: usize = 8;
/// Fewest readings from which anything is warned of, by the method's scatter (ours).
pub const FEWEST: usize = 5;
/// Standard deviations of a method's repeatability that a rig's runs over time are taken to scatter by (ours).
const PROVISIONAL: f64 = 1.4;
/// Individuals limits: mean ± this times the mean moving range (3 / 1.128, rounded; the constant of ASTM D6299, from
/// memory).
pub const INDIVIDUALS_FACTOR: f64 = 2.66;
/// Limit of a moving range: this times the mean moving range (from memory, as above).
pub const MOVING_RANGE_FACTOR: f64 = 3.27;
/// Mean range of two readings, in standard deviations of one (2 / sqrt(pi), rounded as the tables print it).
pub const MEAN_RANGE_OF_TWO: f64 = 1.128;
/// Median range of two readings, in standard deviations of one (0.6745 sqrt(2), rounded as the tables print it, from
/// memory).
pub const MEDIAN_RANGE_OF_TWO: f64 = 0.954;
/// Share of the newest reading in the exponentially weighted mean (from memory, as above).
pub const EWMA_LAMBDA: f64 = 0.4;

/// How far readings of a method may scatter, on the scale of the chart.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MethodScatter {
    /// Standard deviation of two readings under repeatability conditions, r / 2.77.
    pub within_sd: f64,
    /// Standard deviation below which moving ranges are not believed: readings in steps often repeat exactly. 0 for
    /// continuous readings.
    pub least_sd: f64,
}

/// Centre and limits of one stretch.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Limits {
    /// Centre line.
    pub centre: f64,
    /// Standard deviation of one reading.
    pub sd: f64,
    /// Distance of the individuals limits from the centre.
    pub half_width: f64,
    /// Greatest moving range that is no signal.
    pub moving_range: f64,
    /// Taken from the method's precision: too few readings for limits of their own.
    pub provisional: bool,
}

impl Limits {
    /// Lower limit of a single reading.
    pub fn lower(&self) -> f64 {
        self.centre - self.half_width
    }

    /// Upper limit of a single reading.
    pub fn upper(&self) -> f64 {
        self.centre + self.half_width
    }

    /// A reading in thirds of the half width: beyond ±3 it is beyond the limits.
    pub fn place_of(&self, reading: f64) -> f64 {
        3.0 * (reading - self.centre) / self.half_width
    }

    /// mean ± 2.66 MRbar, s = MRbar / 1.128, moving range at most 3.27 MRbar.
    ///
    /// where MRbar is the mean of the differences of neighbours without their sign. `None` with fewer than two readings
    /// or where all are equal.
    pub fn of_individuals(readings: &[f64]) -> Option<Self> {
        let mean_range = mean_moving_range(readings).filter(|range| *range > 0.0)?;
        Some(Self {
            centre: mean(readings),
            sd: mean_range / MEAN_RANGE_OF_TWO,
            half_width: INDIVIDUALS_FACTOR * mean_range,
            moving_range: MOVING_RANGE_FACTOR * mean_range,
            provisional: false,
        })
    }

    /// centre ± 3 sd, with the moving range that goes with this sd.
    fn of_sd(centre: f64, sd: f64) -> Self {
        Self {
            centre,
            sd,
            half_width: 3.0 * sd,
            moving_range: MOVING_RANGE_FACTOR * MEAN_RANGE_OF_TWO * sd,
            provisional: false,
        }
    }

    fn provisionally(self) -> Self {
        Self {
            provisional: true,
            ..self
        }
    }
}

/// Limits from the readings of a base period, in order of time.
///
/// Median ± 3 s with s = (median moving range) / 0.954: a drift among the readings neither moves nor widens them. Where
/// more than half of the neighbours are equal the mean moving range stands in. Five to seven readings, or equal ones, take
/// s = 1.4 r / 2.77, provisionally (ours).
///
/// `None` for fewer than five readings, one that is not finite, a scatter that is not positive, or where there is no way to
/// limits.
pub fn limits(base: &[f64], method: Option<MethodScatter>) -> Option<Limits> {
    let finite = base.iter().all(|reading| reading.is_finite());
    if !finite || base.len() < FEWEST || !method.is_none_or(MethodScatter::is_usable) {
        return None;
    }
    let centre = median(base);
    let least = method.map_or(0.0, |scatter| scatter.least_sd);
    let own = own_sd(base).unwrap_or(0.0).max(least);
    if base.len() >= SETTLED && own > 0.0 {
        return Some(Limits::of_sd(centre, own));
    }
    method.map(|scatter| Limits::of_sd(centre, PROVISIONAL * scatter.within_sd).provisionally())
}

/// From the median moving range, or the mean one where the median is 0; `None` where all readings are equal.
fn own_sd(readings: &[f64]) -> Option<f64> {
    let ranges = moving_ranges(readings);
    let by_median = median(&ranges) / MEDIAN_RANGE_OF_TWO;
    let by_mean = || Limits::of_individuals(readings).map(|own| own.sd);
    Some(by_median).filter(|sd| *sd > 0.0).or_else(by_mean)
}

impl MethodScatter {
    fn is_usable(self) -> bool {
        let positive = self.within_sd.is_finite() && self.within_sd > 0.0;
        positive && self.least_sd.is_finite() && self.least_sd >= 0.0
    }
}

/// z_t = lambda x_t + (1 - lambda) z_(t-1), after each reading, with z_0 = `start`.
///
/// Source: NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.4.
pub fn ewma(series: &[f64], lambda: f64, start: f64) -> Vec<f64> {
    let next = |state: &mut f64, reading: &f64| {
        *state = lambda * reading + (1.0 - lambda) * *state;
        Some(*state)
    };
    series.iter().scan(start, next).collect()
}

/// Half width of the limits of the weighted mean after `readings` readings:
/// 3 s sqrt( lambda / (2 - lambda) (1 - (1 - lambda)^(2 t)) ), exact for a start at the centre.
///
/// where s is the standard deviation of one reading and t the number of readings.
/// Source: NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.4.
pub fn ewma_half_width(sd: f64, lambda: f64, readings: u32) -> f64 {
    let forgotten = (1.0 - lambda).powf(2.0 * f64::from(readings));
    3.0 * sd * (lambda / (2.0 - lambda) * (1.0 - forgotten)).sqrt()
}

fn mean(readings: &[f64]) -> f64 {
    readings.iter().sum::<f64>() / readings.len() as f64
}

fn mean_moving_range(readings: &[f64]) -> Option<f64> {
    let ranges = moving_ranges(readings);
    (!ranges.is_empty()).then(|| mean(&ranges))
}

fn moving_ranges(readings: &[f64]) -> Vec<f64> {
    let pairs = readings.windows(2);
    pairs.map(|pair| (pair[1] - pair[0]).abs()).collect()
}

fn median(readings: &[f64]) -> f64 {
    let mut sorted = readings.to_vec();
    sorted.sort_by(f64::total_cmp);
    let middle = sorted.len() / 2;
    if sorted.is_empty() {
        0.0
    } else if sorted.len() % 2 == 1 {
        sorted[middle]
    } else {
        0.5 * (sorted[middle - 1] + sorted[middle])
    }
}

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
/// `base` are the readings that fix the limits; `None`: the first fifteen. `method` says how far readings of the method may
/// scatter, on the same scale. `None` where there is no way to limits, see [`fn@limits`].
pub fn chart(series: &[f64], base: Option<&[f64]>, method: Option<MethodScatter>) -> Option<Chart> {
    let first = &series[..series.len().min(BASELINE)];
    let limits = limits(base.unwrap_or(first), method)?;
    Some(Chart {
        limits,
        ewma: ewma(series, EWMA_LAMBDA, limits.centre),
        signals: signals(series, &limits),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn scatter(within_sd: f64, least_sd: f64) -> Option<MethodScatter> {
        Some(MethodScatter { within_sd, least_sd })
    }

    fn alternating(readings: usize) -> Vec<f64> {
        (0..readings).map(|place| (place % 2) as f64).collect()
    }

    #[test]
    fn five_to_seven_readings_take_the_methods_scatter_and_eight_their_own() {
        let of = |readings: usize, method| {
            limits(&alternating(readings), method).map(|limits| (limits.provisional, limits.sd))
        };
        let provisional = Some((true, 1.4 * 3.0));
        let own = Some((false, 1.0 / MEDIAN_RANGE_OF_TWO));
        let published = [4, 5, 7, 8, 15].map(|readings| of(readings, scatter(3.0, 0.0)));
        assert_eq!(published, [None, provisional, provisional, own, own]);
        let unpublished = [4, 7, 8].map(|readings| of(readings, None));
        assert_eq!(unpublished, [None, None, own]);
    }

    #[test]
    fn a_drift_among_the_first_readings_neither_moves_nor_widens_the_limits() {
        let steady = limits(&STEADY, None).unwrap();
        let mut drifting = STEADY;
        for (place, reading) in drifting.iter_mut().enumerate().skip(11) {
            *reading += 6.0 * (place as f64 - 10.0);
        }
        let drifted = limits(&drifting, None).unwrap();
        assert_eq!((steady.centre, steady.sd), (drifted.centre, drifted.sd));
        // mean and mean moving range would have followed
        let by_means = |readings: &[f64]| Limits::of_individuals(readings).unwrap();
        assert!(by_means(&drifting).half_width > 2.0 * by_means(&STEADY).half_width);
    }

    #[test]
    fn where_most_neighbours_are_equal_the_mean_range_stands_in() {
        let mut readings = [5.0; 15];
        readings[7] = 6.0;
        let limits = limits(&readings, None).unwrap();
        assert!((limits.sd - 2.0 / 14.0 / MEAN_RANGE_OF_TWO).abs() < 1e-12);
        assert_eq!(limits.centre, 5.0);
    }

    #[test]
    fn a_reading_or_a_jump_on_its_limit_is_no_signal() {
        for (limit, needed) in [(3.0, 1), (2.0, 2), (1.0, 4)] {
            for (place, completed) in [(limit - 1e-9, false), (limit, false), (limit + 1e-9, true)] {
                assert_eq!(
                    completes(&vec![place; needed], needed, needed, limit),
                    completed,
                    "{place}"
                );
                // the last reading is beyond the limit, and of those before it all, on it, or none
                let mut rest = vec![place; needed];
                rest[needed - 1] = limit + 1.0;
                assert_eq!(
                    completes(&rest, needed, needed, limit),
                    completed || needed == 1,
                    "{place}"
                );
            }
        }
        for (last, completed) in [(2.0 - 1e-9, false), (2.0, false), (2.0 + 1e-9, true)] {
            assert_eq!(
                completes(&[2.5, 2.5, last], 2, 3, 2.0),
                completed,
                "{last} after two beyond"
            );
        }
        let limits = Limits::of_sd(0.0, 1.0);
        let jumps = |to: f64| {
            let found = signals(&[0.0, to], &limits);
            found.iter().any(|signal| signal.rule == Rule::MovingRange)
        };
        assert!(!jumps(limits.moving_range * (1.0 - 1e-9)));
        assert!(!jumps(limits.moving_range));
        assert!(jumps(limits.moving_range * (1.0 + 1e-9)));
    }

    #[test]
    fn readings_in_steps_that_repeat_exactly_keep_the_scatter_of_a_step() {
        let limits = limits(&[5.0; 15], scatter(3.0, 0.5)).unwrap();
        assert_eq!((limits.sd, limits.provisional), (0.5, false));
        // without such a floor equal readings say nothing about scatter
        assert!(super::limits(&[5.0; 15], scatter(3.0, 0.0)).unwrap().provisional);
        assert_eq!(super::limits(&[5.0; 15], None), None);
        for (least, sd) in [(1.0, 1.0 / MEDIAN_RANGE_OF_TWO), (1.2, 1.2)] {
            let of_steps = super::limits(&alternating(15), scatter(3.0, least)).unwrap();
            assert_eq!(of_steps.sd, sd, "{least}");
        }
    }

    #[test]
    fn the_limits_of_the_weighted_mean_widen_to_their_end_value() {
        // closed form: after one reading lambda times the limit of a reading, in the end sqrt(lambda / (2 - lambda))
        let (first, last) = (ewma_half_width(1.0, 0.4, 1), ewma_half_width(1.0, 0.4, 500));
        assert!((first - 3.0 * 0.4).abs() < 1e-12);
        assert!((last - 3.0 * 0.5).abs() < 1e-12);
        assert!((1..40).all(|t| ewma_half_width(1.0, 0.4, t) < ewma_half_width(1.0, 0.4, t + 1) + 1e-15));
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

    const STEADY: [f64; 15] = [
        10.0, 11.0, 10.0, 9.0, 10.0, 11.0, 9.0, 10.0, 10.0, 11.0, 9.0, 10.0, 10.0, 9.0, 11.0,
    ];

    #[test]
    fn a_steady_stretch_has_no_signal() {
        let chart = chart(&STEADY, None, None).unwrap();
        assert!(chart.signals.is_empty(), "{:?}", chart.signals);
        assert!(!chart.limits.provisional);
    }

    #[test]
    fn later_readings_do_not_move_the_limits() {
        let mut longer = STEADY.to_vec();
        longer.extend([30.0, 31.0, 32.0]);
        let (short, long) = (
            chart(&STEADY, None, None).unwrap(),
            chart(&longer, None, None).unwrap(),
        );
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
        let chart = chart(&drift, None, None).unwrap();
        let first = |rule: Rule| chart.signals.iter().find(|signal| signal.rule == rule);
        assert!(first(Rule::WeightedMean).is_some());
        assert!(first(Rule::BeyondLimits).is_none(), "{:?}", chart.signals);
    }

    #[test]
    fn a_series_without_a_way_to_limits_is_refused() {
        let finite = alternating(8);
        assert!(chart(&finite, None, None).is_some());
        assert_eq!(chart(&[], None, None), None);
        assert_eq!(
            chart(&[finite.clone(), vec![f64::NAN]].concat(), None, None),
            None
        );
        assert_eq!(chart(&finite, None, scatter(0.0, 0.0)), None);
    }

    #[test]
    fn a_stated_base_fixes_the_limits_whatever_came_before() {
        let unsettled = [[30.0; 3].as_slice(), &STEADY].concat();
        let stated = chart(&unsettled, Some(&STEADY), None).unwrap();
        assert_eq!(Some(stated.limits), limits(&STEADY, None));
        let beyond = stated
            .signals
            .iter()
            .filter(|signal| signal.rule == Rule::BeyondLimits);
        assert_eq!(beyond.map(|signal| signal.index).collect::<Vec<_>>(), [0, 1, 2]);
    }
}
