//! Elastohydrodynamic film thickness and film ratio.
//!
//! All formulas are isothermal, Newtonian and fully flooded; ranking by them is good to 20 or 30 per cent. The elastic
//! ones were solved for few loads and speeds (from memory: `W` about 1e-7 to 1e-6, `U` about 2e-12 to 5e-11); the
//! heaviest contacts of rigs lie beyond those loads, where the power laws are carried on, as is common practice.

mod formulas;
mod general;
pub mod regime;

use crate::contact::elliptical::RollingEllipse;
use crate::contact::hertz::{LineContact, PointContact};
use crate::contact::note::Note;
use crate::lubricant::Oil;

pub use formulas::{
    any_direction_film_thickness_m, hard_elliptical_minimum_film_thickness_m, line_minimum_film_thickness_m,
};
pub use general::{GeneralFilm, general_film};

/// Fluid and motion at the inlet of a contact.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Inlet {
    /// Dynamic viscosity at the bulk temperature, Pa s.
    pub viscosity_pa_s: f64,
    /// Pressure-viscosity coefficient, 1/Pa.
    pub alpha_per_pa: f64,
    /// Entrainment speed, m/s.
    pub entrainment_m_s: f64,
}

impl Inlet {
    /// The inlet of a contact at a bulk temperature.
    pub fn of(oil: &Oil, bulk_temperature_c: f64, entrainment_m_s: f64) -> Self {
        Self {
            viscosity_pa_s: oil.dynamic_viscosity_pa_s(bulk_temperature_c),
            alpha_per_pa: oil.alpha_per_pa(bulk_temperature_c),
            entrainment_m_s: entrainment_m_s.abs(),
        }
    }
}

/// Film thickness with the bounds it exceeds.
#[derive(Clone, Debug, PartialEq)]
pub struct Film {
    /// Film thickness, m; 0 where nothing is drawn in.
    pub thickness_m: f64,
    /// Bounds exceeded, empty inside the formula's range.
    pub beyond: Vec<Note>,
}

fn beyond(max_pressure_pa: f64, inlet: Inlet, ellipticity: Option<f64>) -> Vec<Note> {
    let mut limits = Vec::new();
    if max_pressure_pa > 3.5e9 {
        limits.push(Note::FilmPressure);
    }
    if inlet.entrainment_m_s > 10.0 {
        limits.push(Note::InletShear);
    }
    if ellipticity.is_some_and(|k| !(1.0..=8.0).contains(&k)) {
        limits.push(Note::FilmEllipticity);
    }
    limits
}

/// Minimum film in a circular contact, with the bounds it exceeds.
pub fn point_minimum_film(contact: &PointContact, contact_modulus_pa: f64, inlet: Inlet) -> Film {
    let thickness_m = hard_elliptical_minimum_film_thickness_m(
        contact.load_n,
        contact.radius_m,
        contact_modulus_pa,
        1.0,
        inlet,
    );
    Film {
        thickness_m,
        beyond: beyond(contact.max_pressure_pa, inlet, Some(1.0)),
    }
}

/// Minimum film in an elliptical contact that rolls along one of its axes, with the bounds it exceeds; along the longer
/// axis by the formula for any direction.
pub fn elliptical_minimum_film(ellipse: &RollingEllipse, contact_modulus_pa: f64, inlet: Inlet) -> Film {
    let across_over_along = ellipse.across_over_along();
    if across_over_along < 1.0 {
        let [thickness_m, _] = any_direction_film_thickness_m(
            ellipse.contact.load_n,
            ellipse.radius_along_m,
            ellipse.radius_across_m,
            contact_modulus_pa,
            inlet,
        );
        let mut limits = beyond(ellipse.contact.max_pressure_pa, inlet, None);
        limits.push(Note::LongAxisAlong);
        return Film {
            thickness_m,
            beyond: limits,
        };
    }
    let thickness_m = hard_elliptical_minimum_film_thickness_m(
        ellipse.contact.load_n,
        ellipse.radius_along_m,
        contact_modulus_pa,
        across_over_along,
        inlet,
    );
    Film {
        thickness_m,
        beyond: beyond(ellipse.contact.max_pressure_pa, inlet, Some(across_over_along)),
    }
}

/// Minimum film in a line contact, with the bounds it exceeds.
pub fn line_minimum_film(contact: &LineContact, contact_modulus_pa: f64, inlet: Inlet) -> Film {
    let load_per_length = contact.load_n / contact.length_m;
    Film {
        thickness_m: line_minimum_film_thickness_m(
            load_per_length,
            contact.radius_m,
            contact_modulus_pa,
            inlet,
        ),
        beyond: beyond(contact.max_pressure_pa, inlet, None),
    }
}

/// Film thickness over the combined roughness `sqrt(Rq1^2 + Rq2^2)`, all in m; `None` without any roughness.
pub fn film_ratio(thickness_m: f64, roughness_rq_m: [f64; 2]) -> Option<f64> {
    let combined = roughness_rq_m[0].hypot(roughness_rq_m[1]);
    (combined > 0.0).then(|| thickness_m / combined)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::contact::hertz::point;

    fn inlet(entrainment_m_s: f64) -> Inlet {
        Inlet {
            viscosity_pa_s: 0.04,
            alpha_per_pa: 2.2e-8,
            entrainment_m_s,
        }
    }

    #[test]
    fn bounds_are_named_where_exceeded_and_only_there() {
        let mild = point(10.0, 3.175e-3, 113e9).unwrap();
        assert!(point_minimum_film(&mild, 113e9, inlet(1.0)).beyond.is_empty());
        let severe = point(1000.0, 3.175e-3, 113e9).unwrap();
        assert_eq!(
            point_minimum_film(&severe, 113e9, inlet(12.0)).beyond,
            [Note::FilmPressure, Note::InletShear]
        );
    }

    #[test]
    fn nothing_drawn_in_leaves_no_film() {
        let contact = point(160.0, 3.175e-3, 113e9).unwrap();
        assert_eq!(point_minimum_film(&contact, 113e9, inlet(0.0)).thickness_m, 0.0);
    }
}
