//! Wear as scars of balls and as masses before and after a run.

use crate::catalogue::readings::{ReadingsFault, ReadingsProblem, refused, within};

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
    /// Balls, from 0, whose own mean departs from that of all by more than the limit.
    pub apart: Vec<usize>,
}

/// Mean of six readings (or two, of one ball) of a wear run: the mean over balls of the mean over two directions.
///
/// `spread_mm`: largest departure of one ball's mean from the mean of all that the method accepts (0.04 mm in the
/// four-ball wear method for oils, from memory); beyond it the alignment of the machine is to be looked at.
///
/// # Errors
/// A scar that is no scar; no ball at all.
pub fn mean_scar_mm(balls: &[BallScar], spread_mm: f64) -> Result<ScarResult, ReadingsFault> {
    for (row, ball) in balls.iter().enumerate() {
        within(row, "along", ball.along_mm, SCARS_MM, "mm")?;
        within(row, "across", ball.across_mm, SCARS_MM, "mm")?;
    }
    if balls.is_empty() {
        return refused(0, "along", ReadingsProblem::Nothing);
    }
    let mean_mm = balls.iter().map(|ball| ball.mean_mm()).sum::<f64>() / balls.len() as f64;
    let departs = |ball: &BallScar| (ball.mean_mm() - mean_mm).abs() > spread_mm + 1e-12;
    let apart = balls.iter().enumerate().filter(|(_, ball)| departs(ball));
    Ok(ScarResult {
        mean_mm,
        apart: apart.map(|(place, _)| place).collect(),
    })
}

/// One specimen, weighed before and after.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Specimen {
    /// Mass before the run, g.
    pub before_g: f64,
    /// Mass after it, cleaned, g.
    pub after_g: f64,
}

/// Mass loss of each specimen, mg.
///
/// A gain within `resolution_mg` of the balance counts as none lost.
///
/// # Errors
/// A mass that is none; a gain beyond the balance's resolution, since wear takes mass away: clean and weigh it again.
pub fn mass_losses_mg(specimens: &[Specimen], resolution_mg: f64) -> Result<Vec<f64>, ReadingsFault> {
    let loss = |(row, one): (usize, &Specimen)| {
        const MASSES_G: [f64; 2] = [1e-3, 1e5];
        within(row, "before", one.before_g, MASSES_G, "g")?;
        within(row, "after", one.after_g, MASSES_G, "g")?;
        // a difference of decimals carries a rounding error of their last binary digits: told to a millionth of a mg
        let loss_mg = (1e9 * (one.before_g - one.after_g)).round() / 1e6;
        if loss_mg < -resolution_mg {
            return refused(row, "after", ReadingsProblem::Heavier(-loss_mg));
        }
        Ok(loss_mg.max(0.0))
    };
    if specimens.is_empty() {
        return refused(0, "before", ReadingsProblem::Nothing);
    }
    specimens.iter().enumerate().map(loss).collect()
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
        let result = mean_scar_mm(&balls, 0.04).unwrap();
        assert!((result.mean_mm - 0.66).abs() < 1e-12);
        assert_eq!(result.apart, [2]);
        let close = mean_scar_mm(&balls[..2], 0.04).unwrap();
        assert_eq!(close.apart, Vec::<usize>::new());
    }

    #[test]
    fn a_misread_scar_names_its_row_and_field() {
        let fault = mean_scar_mm(&[ball(0.5, 0.5), ball(0.5, 52.0)], 0.04).unwrap_err();
        assert_eq!((fault.row, fault.field), (1, "across"));
        assert!(mean_scar_mm(&[], 0.04).is_err());
        assert!(mean_scar_mm(&[ball(f64::NAN, 0.5)], 0.04).is_err());
    }

    fn specimen(before_g: f64, after_g: f64) -> Specimen {
        Specimen { before_g, after_g }
    }

    #[test]
    fn a_loss_is_the_difference_in_milligrams() {
        let losses = mass_losses_mg(&[specimen(52.1234, 52.1114), specimen(51.0, 51.0005)], 1.0).unwrap();
        assert!((losses[0] - 12.0).abs() < 1e-6);
        assert_eq!(losses[1], 0.0);
    }

    #[test]
    fn a_gain_up_to_what_the_balance_resolves_is_no_loss() {
        for (after_g, loss) in [(52.0009, Some(0.0)), (52.001, Some(0.0)), (52.0011, None)] {
            let losses = mass_losses_mg(&[specimen(52.0, after_g)], 1.0).ok();
            assert_eq!(losses.map(|losses| losses[0]), loss, "{after_g}");
        }
        assert_eq!(mass_losses_mg(&[specimen(52.001, 52.0)], 1.0).unwrap(), [1.0]);
    }

    #[test]
    fn a_specimen_that_gained_mass_is_named() {
        let fault = mass_losses_mg(&[specimen(52.0, 51.99), specimen(51.0, 51.02)], 1.0).unwrap_err();
        assert_eq!((fault.row, fault.field), (1, "after"));
        assert!(mass_losses_mg(&[], 1.0).is_err() && mass_losses_mg(&[specimen(0.0, 1.0)], 1.0).is_err());
    }
}
