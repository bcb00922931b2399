//! Wear scars of balls and blocks.

use crate::catalogue::readings::{ReadingsFault, within};
use crate::contact::hertz::mean_pressure_on_band_pa;

/// A scar narrower or wider than this was misread, mm (ours, wide).
const SCARS_MM: [f64; 2] = [0.05, 12.7];

/// One scar, measured along the striations and across them.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BallScar {
    /// Along the direction of sliding, mm.
    pub along_mm: f64,
    /// Across it, mm.
    pub across_mm: f64,
}

impl BallScar {
    /// Mean of the two directions, mm.
    pub fn mean_mm(self) -> f64 {
        0.5 * (self.along_mm + self.across_mm)
    }
}

/// The mean scar of a run, and whether its balls agree.
#[derive(Clone, Debug, PartialEq)]
pub struct ScarResult {
    /// Mean over balls and directions, mm.
    pub mean_mm: f64,
    /// The same less the diameter of the unworn contact, mm, where that was asked for.
    pub beyond_hertz_mm: Option<f64>,
    /// Balls, from 0, whose own mean departs from that of all by more than the limit.
    pub apart: Vec<usize>,
}

/// Mean of six readings (or two, of one ball) of a wear run.
///
/// # Formula
/// Mean over balls of the mean over two directions; with `hertz_mm`, that less the diameter of the unworn contact.
/// `spread_mm`: largest departure of one ball's mean from the mean of all that the method accepts (0.04 mm in the
/// four-ball wear method for oils, from memory); beyond it the alignment of the machine is to be looked at.
///
/// # Errors
/// A scar that is no scar; no ball at all; a mean below the unworn contact's diameter.
pub fn mean_scar_mm(
    balls: &[BallScar],
    hertz_mm: Option<f64>,
    spread_mm: Option<f64>,
) -> Result<ScarResult, ReadingsFault> {
    for (row, ball) in balls.iter().enumerate() {
        within(row, "along", ball.along_mm, SCARS_MM, "mm")?;
        within(row, "across", ball.across_mm, SCARS_MM, "mm")?;
    }
    if balls.is_empty() {
        return Err(ReadingsFault::new(
            0,
            "along",
            "no scar is given; read at least one ball",
        ));
    }
    let mean_mm = balls.iter().map(|ball| ball.mean_mm()).sum::<f64>() / balls.len() as f64;
    if let Some(hertz_mm) = hertz_mm
        && mean_mm < hertz_mm
    {
        let problem = format!(
            "the mean of {mean_mm:.3} mm is less than the unworn contact, {hertz_mm:.3} mm; read it again"
        );
        return Err(ReadingsFault::new(0, "along", problem));
    }
    let departs =
        |ball: &BallScar| spread_mm.is_some_and(|limit| (ball.mean_mm() - mean_mm).abs() > limit + 1e-12);
    let apart = balls.iter().enumerate().filter(|(_, ball)| departs(ball));
    Ok(ScarResult {
        mean_mm,
        beyond_hertz_mm: hertz_mm.map(|hertz| mean_mm - hertz),
        apart: apart.map(|(place, _)| place).collect(),
    })
}

/// Mean pressure in Pa on the scar of a block, from the load on it and its width at both ends and in the middle.
///
/// # Formula
/// `F / (w L)`, w the mean of the widths read.
///
/// # Errors
/// A width, length or load that has no meaning.
pub fn mean_pressure_on_scar_width_pa(
    load_n: f64,
    widths_mm: &[f64],
    length_mm: f64,
) -> Result<f64, ReadingsFault> {
    for (row, width) in widths_mm.iter().enumerate() {
        within(row, "width", *width, SCARS_MM, "mm")?;
    }
    if widths_mm.is_empty() {
        return Err(ReadingsFault::new(
            0,
            "width",
            "no width is given; read at least one",
        ));
    }
    let mean_mm = widths_mm.iter().sum::<f64>() / widths_mm.len() as f64;
    mean_pressure_on_band_pa(load_n, 1e-3 * mean_mm, 1e-3 * length_mm)
        .map_err(|error| ReadingsFault::new(0, "load", error.to_string()))
}

/// Mean and greatest of the friction coefficients that were read over a run.
///
/// # Errors
/// A coefficient outside 0 to 2; none at all.
pub fn friction(coefficients: &[f64]) -> Result<(f64, f64), ReadingsFault> {
    for (row, one) in coefficients.iter().enumerate() {
        within(row, "friction", *one, [0.0, 2.0], "")?;
    }
    if coefficients.is_empty() {
        return Err(ReadingsFault::new(
            0,
            "friction",
            "no coefficient is given; read at least one",
        ));
    }
    let mean = coefficients.iter().sum::<f64>() / coefficients.len() as f64;
    Ok((mean, coefficients.iter().copied().fold(0.0, f64::max)))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ball(along_mm: f64, across_mm: f64) -> BallScar {
        BallScar { along_mm, across_mm }
    }

    #[test]
    fn six_readings_give_their_mean_and_name_the_ball_that_is_apart() {
        // computed by hand: ball means 0.62, 0.64, 0.72; mean of all 0.66
        let balls = [ball(0.61, 0.63), ball(0.63, 0.65), ball(0.70, 0.74)];
        let result = mean_scar_mm(&balls, None, Some(0.04)).unwrap();
        assert!((result.mean_mm - 0.66).abs() < 1e-12);
        assert_eq!(result.apart, [2]);
        let close = mean_scar_mm(&balls[..2], None, Some(0.04)).unwrap();
        assert_eq!(close.apart, Vec::<usize>::new());
    }

    #[test]
    fn the_unworn_contact_is_taken_off_where_asked_and_no_scar_is_smaller() {
        let result = mean_scar_mm(&[ball(0.5, 0.5)], Some(0.2998), None).unwrap();
        assert!((result.beyond_hertz_mm.unwrap() - 0.2002).abs() < 1e-12);
        let fault = mean_scar_mm(&[ball(0.25, 0.25)], Some(0.2998), None).unwrap_err();
        assert!(fault.problem.contains("unworn contact"));
    }

    #[test]
    fn a_misread_scar_names_its_row_and_field() {
        let fault = mean_scar_mm(&[ball(0.5, 0.5), ball(0.5, 52.0)], None, None).unwrap_err();
        assert_eq!((fault.row, fault.field), (1, "across"));
        assert!(mean_scar_mm(&[], None, None).is_err());
        assert!(mean_scar_mm(&[ball(f64::NAN, 0.5)], None, None).is_err());
    }

    #[test]
    fn the_pressure_on_a_block_is_its_load_over_the_worn_band() {
        // computed by hand: 267 N on 1.2 mm by 6.35 mm
        let pressure = mean_pressure_on_scar_width_pa(267.0, &[1.1, 1.2, 1.3], 6.35).unwrap();
        assert!((pressure / (267.0 / (1.2e-3 * 6.35e-3)) - 1.0).abs() < 1e-12);
        assert!(mean_pressure_on_scar_width_pa(-1.0, &[1.2], 6.35).is_err());
        assert!(mean_pressure_on_scar_width_pa(267.0, &[], 6.35).is_err());
    }

    #[test]
    fn friction_has_a_mean_and_a_peak() {
        assert_eq!(friction(&[0.1, 0.2, 0.12]).unwrap().1, 0.2);
        assert!((friction(&[0.1, 0.2, 0.12]).unwrap().0 - 0.14).abs() < 1e-12);
        assert!(friction(&[]).is_err() && friction(&[2.5]).is_err());
    }
}
