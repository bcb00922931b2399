//! Centre, scatter and limits of one stretch of readings.

use crate::stats::control::ControlError;
use crate::stats::precision::DIFFERENCE_95;

/// Readings at the start of a stretch that fix its limits.
pub const BASELINE: usize = 15;
/// Individuals limits: mean ± this times the mean moving range (3 / 1.128, rounded; the constant of ASTM D6299, from
/// memory).
pub const INDIVIDUALS_FACTOR: f64 = 2.66;
/// Limit of a moving range: this times the mean moving range (from memory, as above).
pub const MOVING_RANGE_FACTOR: f64 = 3.27;
/// Mean range of two readings, in standard deviations of one (2 / sqrt(pi), rounded as the tables print it).
pub const MEAN_RANGE_OF_TWO: f64 = 1.128;
/// Share of the newest reading in the exponentially weighted mean (from memory, as above).
pub const EWMA_LAMBDA: f64 = 0.4;
/// Fewest readings from which limits are taken where nothing is published: three moving ranges (ours).
const FEWEST: usize = 4;

/// How far readings of a method may scatter, on the scale of the chart.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MethodScatter {
    /// Reproducibility R: 95 % limit of the difference of two results of different laboratories.
    pub reproducibility: f64,
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
    /// Taken from the method's precision or from few readings: too short a stretch for limits of its own.
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

/// Limits of one stretch of readings in order of time.
///
/// From its first 15 readings. A stretch that is shorter, or whose readings are all equal, takes 3 R / 2.77 about the
/// median of its first readings (the median, so that one outlier among few does not carry the centre with it: ours),
/// provisionally. Without a published precision four readings give limits of their own, provisionally (ours).
///
/// # Errors
/// [`ControlError`]: a reading that is not finite, a scatter that is not positive, or no way to limits.
pub fn limits(series: &[f64], method: Option<MethodScatter>) -> Result<Limits, ControlError> {
    if series.iter().any(|reading| !reading.is_finite()) {
        return Err(ControlError::NotFinite);
    }
    if let Some(scatter) = method {
        scatter.check()?;
    }
    let baseline = &series[..series.len().min(BASELINE)];
    let full = series.len() >= BASELINE;
    let least_sd = method.map_or(0.0, |scatter| scatter.least_sd);
    let own = Limits::of_individuals(baseline).filter(|own| own.sd >= least_sd);
    match (own, method) {
        (Some(own), _) if full => Ok(own),
        (None, Some(_)) if full && least_sd > 0.0 => Ok(Limits::of_sd(mean(baseline), least_sd)),
        (_, Some(scatter)) if !baseline.is_empty() => {
            let sd = scatter.reproducibility / DIFFERENCE_95;
            Ok(Limits::of_sd(median(baseline), sd).provisionally())
        }
        (Some(own), None) if baseline.len() >= FEWEST => Ok(own.provisionally()),
        _ => Err(ControlError::NoLimits),
    }
}

impl MethodScatter {
    fn check(&self) -> Result<(), ControlError> {
        if !(self.reproducibility.is_finite() && self.reproducibility > 0.0) {
            return Err(ControlError::NotPositive("reproducibility"));
        }
        let usable = self.least_sd.is_finite() && self.least_sd >= 0.0;
        usable
            .then_some(())
            .ok_or(ControlError::NotPositive("least standard deviation"))
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
    let ranges: Vec<f64> = readings
        .windows(2)
        .map(|pair| (pair[1] - pair[0]).abs())
        .collect();
    (!ranges.is_empty()).then(|| mean(&ranges))
}

fn median(readings: &[f64]) -> f64 {
    let mut sorted = readings.to_vec();
    sorted.sort_by(f64::total_cmp);
    let middle = sorted.len() / 2;
    if sorted.len() % 2 == 1 {
        sorted[middle]
    } else {
        0.5 * (sorted[middle - 1] + sorted[middle])
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn scatter(reproducibility: f64, least_sd: f64) -> Option<MethodScatter> {
        Some(MethodScatter {
            reproducibility,
            least_sd,
        })
    }

    #[test]
    fn a_short_stretch_takes_the_methods_reproducibility_about_its_median() {
        let limits = limits(&[10.0, 10.2, 14.0], scatter(DIFFERENCE_95, 0.0)).unwrap();
        assert!(limits.provisional);
        assert_eq!((limits.centre, limits.sd, limits.half_width), (10.2, 1.0, 3.0));
    }

    #[test]
    fn one_reading_is_its_own_centre() {
        let limits = limits(&[7.0], scatter(2.0, 0.0)).unwrap();
        assert_eq!(limits.centre, 7.0);
        assert!(limits.provisional && limits.upper() > 7.0);
    }

    #[test]
    fn four_readings_do_where_nothing_is_published() {
        let limits = limits(&[1.0, 2.0, 1.0, 2.0], None).unwrap();
        assert!(limits.provisional);
        assert!((limits.half_width - INDIVIDUALS_FACTOR).abs() < 1e-12);
    }

    #[test]
    fn readings_in_steps_that_repeat_exactly_keep_the_scatter_of_a_step() {
        let limits = limits(&[5.0; 15], scatter(3.0, 0.5)).unwrap();
        assert_eq!((limits.sd, limits.provisional), (0.5, false));
        // without such a floor equal readings say nothing about scatter
        assert!(super::limits(&[5.0; 15], scatter(3.0, 0.0)).unwrap().provisional);
        assert_eq!(super::limits(&[5.0; 15], None), Err(ControlError::NoLimits));
    }

    #[test]
    fn the_limits_of_the_weighted_mean_widen_to_their_end_value() {
        // closed form: after one reading lambda times the limit of a reading, in the end sqrt(lambda / (2 - lambda))
        let (first, last) = (ewma_half_width(1.0, 0.4, 1), ewma_half_width(1.0, 0.4, 500));
        assert!((first - 3.0 * 0.4).abs() < 1e-12);
        assert!((last - 3.0 * 0.5).abs() < 1e-12);
        assert!((1..40).all(|t| ewma_half_width(1.0, 0.4, t) < ewma_half_width(1.0, 0.4, t + 1) + 1e-15));
    }
}
