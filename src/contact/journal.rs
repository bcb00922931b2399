//! Hydrodynamic film of a journal in its bearing.
//!
//! Rigid, smooth, aligned, steadily loaded and fully fed, one viscosity, laminar; half of the gap carries (the pressure
//! behind the thinnest place is taken as none). Neither elastic contact nor elastohydrodynamic films apply here.

use crate::contact::ContactError;
use crate::contact::error::{not_negative, positive};
use crate::contact::kinematics::sommerfeld_number;
use crate::contact::note::Note;
use std::f64::consts::PI;

/// A journal bearing under load.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct JournalBearing {
    /// Load, N.
    pub load_n: f64,
    /// Radius of the journal, m.
    pub radius_m: f64,
    /// Radial clearance, m.
    pub radial_clearance_m: f64,
    /// Length of the bearing, m.
    pub length_m: f64,
    /// Speed of the journal, revolutions per second.
    pub revolutions_per_s: f64,
    /// Dynamic viscosity of the oil in the gap, Pa s.
    pub viscosity_pa_s: f64,
}

/// Film of a journal bearing.
#[derive(Clone, Debug, PartialEq)]
pub struct JournalFilm {
    /// Sommerfeld number `(r/c)^2 eta N / P`, P the load over length times diameter.
    pub sommerfeld: f64,
    /// Eccentricity: 0 in the middle, 1 at touch.
    pub eccentricity: f64,
    /// Minimum film thickness, m: 0 at standstill.
    pub minimum_m: f64,
    /// Bounds exceeded.
    pub beyond: Vec<Note>,
}

/// Sommerfeld number at which a bearing of this length over diameter runs at an eccentricity (above 0, below 1).
///
/// # Formula
/// Both resistances in a row: that of a short bearing, which oil leaves sideways, driven by the pressure alone,
/// `(D/L)^2 (1 - e^2)^2 / (pi e sqrt(pi^2 (1 - e^2) + 16 e^2))` (Ocvirk), and that of a long one, which nothing leaves
/// sideways, `(2 + e^2)(1 - e^2) / (6 pi e sqrt(pi^2 - e^2 (pi^2 - 4)))` (Sommerfeld, half film; both from memory and
/// checked by integrating the pressure). That they add is ours: by solving Reynolds' equation for lengths of 1/4 to 2
/// diameters and eccentricities up to 0.9 the film is never thinner and up to 30 % thicker.
pub fn sommerfeld_of_eccentricity(eccentricity: f64, length_over_diameter: f64) -> f64 {
    let e = eccentricity;
    let rest = 1.0 - e * e;
    let short =
        rest.powi(2) / (length_over_diameter.powi(2) * PI * e * (PI * PI * rest + 16.0 * e * e).sqrt());
    let long = (2.0 + e * e) * rest / (6.0 * PI * e * (PI * PI - e * e * (PI * PI - 4.0)).sqrt());
    short + long
}

impl JournalBearing {
    /// Its film; none at standstill.
    ///
    /// # Formula
    /// Minimum film `c (1 - e)` at the eccentricity e whose Sommerfeld number is that of the bearing, by bisection.
    ///
    /// # Errors
    /// Names the field that is not above zero (speed: below zero).
    pub fn film(&self) -> Result<JournalFilm, ContactError> {
        let radius = positive("radius_m", self.radius_m)?;
        let clearance = positive("radial_clearance_m", self.radial_clearance_m)?;
        let length = positive("length_m", self.length_m)?;
        let viscosity = positive("viscosity_pa_s", self.viscosity_pa_s)?;
        let speed = not_negative("revolutions_per_s", self.revolutions_per_s)?;
        let sommerfeld = sommerfeld_number(viscosity, speed, self.load_n, radius, clearance, length)?;
        let slenderness = 0.5 * length / radius;
        let eccentricity = eccentricity(sommerfeld, slenderness);
        let mut beyond = Vec::new();
        if !(0.25..=2.0).contains(&slenderness) {
            beyond.push(Note::JournalLength);
        }
        if eccentricity > 0.95 {
            beyond.push(Note::NearTouch);
        }
        Ok(JournalFilm {
            sommerfeld,
            eccentricity,
            minimum_m: clearance * (1.0 - eccentricity),
            beyond,
        })
    }
}

/// The eccentricity of a Sommerfeld number, which falls as eccentricity grows; 1 at a number of 0.
fn eccentricity(sommerfeld: f64, length_over_diameter: f64) -> f64 {
    if sommerfeld <= 0.0 {
        return 1.0;
    }
    let (mut low, mut high) = (0.0, 1.0);
    for _ in 0..200 {
        let middle = 0.5 * (low + high);
        if sommerfeld_of_eccentricity(middle, length_over_diameter) > sommerfeld {
            low = middle;
        } else {
            high = middle;
        }
    }
    0.5 * (low + high)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn bearing() -> JournalBearing {
        JournalBearing {
            load_n: 2224.0,
            radius_m: 19.05e-3,
            radial_clearance_m: 38.1e-6,
            length_m: 38.1e-3,
            revolutions_per_s: 30.0,
            viscosity_pa_s: 27.58e-3,
        }
    }

    /// Shigley's journal-bearing example: Sommerfeld number 0.135, minimum film 0.42 of the clearance (from memory).
    #[test]
    fn the_textbook_bearing_has_its_film_within_a_tenth() {
        let film = bearing().film().unwrap();
        assert!((film.sommerfeld / 0.135 - 1.0).abs() < 0.005, "{film:?}");
        assert!((film.minimum_m / (0.42 * 38.1e-6) - 1.0).abs() < 0.1, "{film:?}");
        assert!(film.beyond.is_empty());
    }

    #[test]
    fn the_film_grows_with_speed_and_is_none_at_standstill() {
        let at = |revolutions_per_s: f64| {
            let bearing = JournalBearing {
                revolutions_per_s,
                ..bearing()
            };
            bearing.film().unwrap().minimum_m
        };
        assert_eq!(at(0.0), 0.0);
        assert!(at(1.0) < at(10.0) && at(10.0) < at(100.0) && at(100.0) < 38.1e-6);
    }

    #[test]
    fn a_bearing_near_touch_and_one_of_unchecked_length_are_marked() {
        let mut long = bearing();
        long.length_m *= 3.0;
        assert_eq!(long.film().unwrap().beyond, [Note::JournalLength]);
        let mut near = bearing();
        near.load_n = 1e7;
        assert!(near.film().unwrap().beyond.contains(&Note::NearTouch));
    }

    #[test]
    fn a_bearing_without_clearance_is_refused_and_named() {
        let tight = JournalBearing {
            radial_clearance_m: 0.0,
            ..bearing()
        };
        let Err(ContactError::Field { field, .. }) = tight.film() else {
            panic!("taken");
        };
        assert_eq!(field, "radial_clearance_m");
    }
}
