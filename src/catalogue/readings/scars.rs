//! Wear scars of balls and blocks.

use crate::catalogue::readings::{ReadingsFault, within};

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
}
