//! Oxidation: life to an acid number, time to a pressure drop, thickening.

use crate::catalogue::readings::{ReadingsFault, ReadingsProblem, refused, within};

/// An acid number at a time.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AcidReading {
    /// Hours run.
    pub hours: f64,
    /// Acid number, mg KOH/g.
    pub acid_number: f64,
}

/// A pressure at a time.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PressureReading {
    /// Minutes run.
    pub minutes: f64,
    /// Pressure, kPa.
    pub pressure_kpa: f64,
}

/// Hours until the acid number reached a limit (2.0 mg KOH/g in ASTM D943): `Err` of the hours run where it did not,
/// which is a bound and no life.
///
/// # Formula
/// Straight between the last reading below the limit and the first at or above it.
///
/// # Errors
/// The outer error: fewer than two readings, times that do not rise, an acid number that is none, a first reading beyond
/// the limit.
pub fn life_to_acid_number_h(
    readings: &[AcidReading],
    limit: f64,
) -> Result<Result<f64, f64>, ReadingsFault> {
    rising(readings.iter().map(|one| one.hours), "hours")?;
    for (row, one) in readings.iter().enumerate() {
        within(row, "acid number", one.acid_number, [0.0, 100.0], "mg KOH/g")?;
    }
    if readings[0].acid_number >= limit {
        let problem = ReadingsProblem::AtTheLimit(readings[0].acid_number, limit);
        return refused(0, "acid number", problem);
    }
    let reached = readings.windows(2).find(|pair| pair[1].acid_number >= limit);
    Ok(match reached {
        Some(pair) => {
            let part = (limit - pair[0].acid_number) / (pair[1].acid_number - pair[0].acid_number);
            Ok(pair[0].hours + part * (pair[1].hours - pair[0].hours))
        }
        None => Err(readings[readings.len() - 1].hours),
    })
}

/// Pressures of a vessel that is filled with oxygen to 620 kPa and heated to 150 °C, kPa (ours, wide): in bar or MPa they
/// would be far smaller numbers.
const PRESSURES_KPA: [f64; 2] = [100.0, 3000.0];

/// Minutes until the pressure had fallen by `drop_kpa` from its greatest value (175 kPa in ASTM D2272): `Err` of the
/// minutes run where it did not, which is a bound and no time.
///
/// # Formula
/// Straight between the two readings on either side, counted from the start of the run.
///
/// # Errors
/// The outer error: fewer than two readings, times that do not rise, a pressure that is none.
pub fn minutes_to_pressure_drop(
    readings: &[PressureReading],
    drop_kpa: f64,
) -> Result<Result<f64, f64>, ReadingsFault> {
    rising(readings.iter().map(|one| one.minutes), "minutes")?;
    for (row, one) in readings.iter().enumerate() {
        within(row, "pressure", one.pressure_kpa, PRESSURES_KPA, "kPa")?;
    }
    let mut top = readings[0].pressure_kpa;
    for pair in readings.windows(2) {
        top = top.max(pair[0].pressure_kpa);
        let limit = top - drop_kpa;
        if pair[1].pressure_kpa <= limit {
            let part = (pair[0].pressure_kpa - limit) / (pair[0].pressure_kpa - pair[1].pressure_kpa);
            return Ok(Ok(pair[0].minutes + part * (pair[1].minutes - pair[0].minutes)));
        }
    }
    Ok(Err(readings[readings.len() - 1].minutes))
}

/// Thickening over a run, per cent of the viscosity before it.
///
/// # Errors
/// A viscosity that is none.
pub fn viscosity_increase_percent(before_mm2_s: f64, after_mm2_s: f64) -> Result<f64, ReadingsFault> {
    const VISCOSITIES: [f64; 2] = [0.2, 1e6];
    within(0, "before", before_mm2_s, VISCOSITIES, "mm2/s")?;
    within(0, "after", after_mm2_s, VISCOSITIES, "mm2/s")?;
    Ok(100.0 * (after_mm2_s / before_mm2_s - 1.0))
}

fn rising(times: impl Iterator<Item = f64>, field: &'static str) -> Result<(), ReadingsFault> {
    let times: Vec<f64> = times.collect();
    if times.len() < 2 {
        return refused(0, field, ReadingsProblem::One);
    }
    for (row, time) in times.iter().enumerate() {
        within(row, field, *time, [0.0, 1e6], "")?;
    }
    match times.windows(2).position(|pair| pair[1] <= pair[0]) {
        Some(row) => refused(row + 1, field, ReadingsProblem::NotLater),
        None => Ok(()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn acid(readings: &[(f64, f64)]) -> Vec<AcidReading> {
        let one = |&(hours, acid_number): &(f64, f64)| AcidReading { hours, acid_number };
        readings.iter().map(one).collect()
    }

    fn pressure(readings: &[(f64, f64)]) -> Vec<PressureReading> {
        let one = |&(minutes, pressure_kpa): &(f64, f64)| PressureReading {
            minutes,
            pressure_kpa,
        };
        readings.iter().map(one).collect()
    }

    #[test]
    fn a_life_lies_between_the_readings_on_either_side_of_the_limit() {
        // computed by hand: from 1.5 at 1000 h to 2.5 at 1168 h, half of the way
        let course = acid(&[(500.0, 0.4), (1000.0, 1.5), (1168.0, 2.5)]);
        assert_eq!(life_to_acid_number_h(&course, 2.0), Ok(Ok(1084.0)));
        assert_eq!(life_to_acid_number_h(&course[..2], 2.0), Ok(Err(1000.0)));
    }

    #[test]
    fn a_pressure_drop_counts_from_the_greatest_pressure() {
        // computed by hand: top 1300 kPa, limit 1125 kPa, between 1200 at 300 min and 1100 at 320 min
        let course = pressure(&[(0.0, 620.0), (30.0, 1300.0), (300.0, 1200.0), (320.0, 1100.0)]);
        assert_eq!(minutes_to_pressure_drop(&course, 175.0), Ok(Ok(315.0)));
        assert_eq!(minutes_to_pressure_drop(&course[..3], 175.0), Ok(Err(300.0)));
    }

    #[test]
    fn a_course_out_of_order_or_of_one_reading_is_refused_with_its_row() {
        assert_eq!(
            life_to_acid_number_h(&acid(&[(10.0, 0.1), (5.0, 0.2)]), 2.0)
                .unwrap_err()
                .row,
            1
        );
        assert!(life_to_acid_number_h(&acid(&[(10.0, 0.1)]), 2.0).is_err());
        assert!(life_to_acid_number_h(&acid(&[(10.0, 2.1), (20.0, 3.0)]), 2.0).is_err());
        assert!(minutes_to_pressure_drop(&pressure(&[(0.0, f64::NAN), (1.0, 1.0)]), 175.0).is_err());
    }

    #[test]
    fn thickening_is_relative_to_the_oil_before() {
        assert!((viscosity_increase_percent(20.0, 21.2).unwrap() - 6.0).abs() < 1e-9);
        assert!(viscosity_increase_percent(0.0, 21.2).is_err());
    }
}
