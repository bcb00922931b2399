//! Masses before and after a run.

use crate::catalogue::readings::{ReadingsFault, within};

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
        let loss_mg = 1e3 * (one.before_g - one.after_g);
        if loss_mg < -resolution_mg {
            let problem = format!(
                "{:.2} mg heavier after the run; clean and weigh it again",
                -loss_mg
            );
            return Err(ReadingsFault::new(row, "after", problem));
        }
        Ok(loss_mg.max(0.0))
    };
    if specimens.is_empty() {
        return Err(ReadingsFault::new(
            0,
            "before",
            "no specimen is given; weigh at least one",
        ));
    }
    specimens.iter().enumerate().map(loss).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

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
    fn a_specimen_that_gained_mass_is_named() {
        let fault = mass_losses_mg(&[specimen(52.0, 51.99), specimen(51.0, 51.02)], 1.0).unwrap_err();
        assert_eq!((fault.row, fault.field), (1, "after"));
        assert!(mass_losses_mg(&[], 1.0).is_err() && mass_losses_mg(&[specimen(0.0, 1.0)], 1.0).is_err());
    }
}
