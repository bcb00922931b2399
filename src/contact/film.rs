//! Elastohydrodynamic film thickness and film ratio.
//!
//! All formulas are isothermal, Newtonian and fully flooded; ranking by them is good to 20 or 30 per cent.

use crate::contact::elliptical::RollingEllipse;
use crate::contact::hertz::{LineContact, PointContact};
use crate::lubricant::Oil;

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

/// A bound of the formulas that a contact exceeds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FilmLimit {
    /// Maximum pressure above 3.5 GPa.
    Pressure,
    /// Entrainment above 10 m/s: the inlet heats by shear.
    InletShear,
    /// Longer axis not across the rolling direction, or axes more than 8 to 1: outside the solved cases.
    Ellipticity,
}

impl FilmLimit {
    /// What is exceeded, in words.
    pub fn words(self) -> &'static str {
        match self {
            Self::Pressure => "the film formula does not hold above 3.5 GPa",
            Self::InletShear => "the film formula takes no account of inlet heating above 10 m/s",
            Self::Ellipticity => "the film formula was solved for axis ratios from 1 to 8",
        }
    }
}

/// Film thickness with the bounds it exceeds.
#[derive(Clone, Debug, PartialEq)]
pub struct Film {
    /// Film thickness, m; 0 where nothing is drawn in.
    pub thickness_m: f64,
    /// Bounds exceeded, empty inside the formula's range.
    pub beyond: Vec<FilmLimit>,
}

/// The dimensionless groups of Hamrock and Dowson.
///
/// `U = eta u / (E' Rx)`, `G = alpha E'`, and the load group W of the formula at hand; E' = 2 E*.
struct Groups {
    speed: f64,
    materials: f64,
}

fn groups(inlet: Inlet, radius_m: f64, contact_modulus_pa: f64) -> Groups {
    let film_modulus = 2.0 * contact_modulus_pa;
    Groups {
        speed: inlet.viscosity_pa_s * inlet.entrainment_m_s / (film_modulus * radius_m),
        materials: inlet.alpha_per_pa * film_modulus,
    }
}

fn beyond(max_pressure_pa: f64, inlet: Inlet, ellipticity: Option<f64>) -> Vec<FilmLimit> {
    let mut limits = Vec::new();
    if max_pressure_pa > 3.5e9 {
        limits.push(FilmLimit::Pressure);
    }
    if inlet.entrainment_m_s > 10.0 {
        limits.push(FilmLimit::InletShear);
    }
    if ellipticity.is_some_and(|k| !(1.0..=8.0).contains(&k)) {
        limits.push(FilmLimit::Ellipticity);
    }
    limits
}

/// Minimum film thickness in m of a hard elliptical contact.
///
/// # Formula
/// `h_min / Rx = 3.63 U^0.68 G^0.49 W^-0.073 (1 - exp(-0.68 k))`, where Rx is the reduced radius in the rolling
/// direction, `W = F / (E' Rx^2)`, k the axis across over the axis along rolling (Hamrock and Dowson 1977).
pub fn hard_elliptical_minimum_film_thickness_m(
    load_n: f64,
    radius_x_m: f64,
    contact_modulus_pa: f64,
    ellipticity: f64,
    inlet: Inlet,
) -> f64 {
    let Groups { speed, materials } = groups(inlet, radius_x_m, contact_modulus_pa);
    let load = load_n / (2.0 * contact_modulus_pa * radius_x_m * radius_x_m);
    let side_flow = 1.0 - (-0.68 * ellipticity).exp();
    radius_x_m * 3.63 * speed.powf(0.68) * materials.powf(0.49) * load.powf(-0.073) * side_flow
}

/// Central film thickness in m of a hard elliptical contact.
///
/// # Formula
/// `h_c / Rx = 2.69 U^0.67 G^0.53 W^-0.067 (1 - 0.61 exp(-0.73 k))` (Hamrock and Dowson 1977), letters as for the
/// minimum film thickness.
pub fn hard_elliptical_central_film_thickness_m(
    load_n: f64,
    radius_x_m: f64,
    contact_modulus_pa: f64,
    ellipticity: f64,
    inlet: Inlet,
) -> f64 {
    let Groups { speed, materials } = groups(inlet, radius_x_m, contact_modulus_pa);
    let load = load_n / (2.0 * contact_modulus_pa * radius_x_m * radius_x_m);
    let side_flow = 1.0 - 0.61 * (-0.73 * ellipticity).exp();
    radius_x_m * 2.69 * speed.powf(0.67) * materials.powf(0.53) * load.powf(-0.067) * side_flow
}

/// Minimum film thickness in m of a line contact.
///
/// # Formula
/// `h_min / R = 2.65 G^0.54 U^0.7 W'^-0.13`, where `W' = w / (E' R)`, w the load per length (Dowson 1968).
pub fn line_minimum_film_thickness_m(
    load_per_length_n_m: f64,
    radius_m: f64,
    contact_modulus_pa: f64,
    inlet: Inlet,
) -> f64 {
    let Groups { speed, materials } = groups(inlet, radius_m, contact_modulus_pa);
    let load = load_per_length_n_m / (2.0 * contact_modulus_pa * radius_m);
    radius_m * 2.65 * materials.powf(0.54) * speed.powf(0.7) * load.powf(-0.13)
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

/// Minimum film in an elliptical contact that rolls along one of its axes, with the bounds it exceeds.
pub fn elliptical_minimum_film(ellipse: &RollingEllipse, contact_modulus_pa: f64, inlet: Inlet) -> Film {
    let across_over_along = ellipse.across_over_along();
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

/// Central film in a circular contact, with the bounds it exceeds.
pub fn point_central_film(contact: &PointContact, contact_modulus_pa: f64, inlet: Inlet) -> Film {
    let thickness_m = hard_elliptical_central_film_thickness_m(
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
    fn the_centre_of_a_contact_has_more_film_than_its_thinnest_place() {
        let contact = point(160.0, 3.175e-3, 113e9).unwrap();
        let minimum = point_minimum_film(&contact, 113e9, inlet(0.23)).thickness_m;
        let central = point_central_film(&contact, 113e9, inlet(0.23)).thickness_m;
        assert!(central > minimum && central < 3.0 * minimum);
    }

    #[test]
    fn bounds_are_named_where_exceeded_and_only_there() {
        let mild = point(10.0, 3.175e-3, 113e9).unwrap();
        assert!(point_minimum_film(&mild, 113e9, inlet(1.0)).beyond.is_empty());
        let severe = point(1000.0, 3.175e-3, 113e9).unwrap();
        assert_eq!(
            point_minimum_film(&severe, 113e9, inlet(12.0)).beyond,
            [FilmLimit::Pressure, FilmLimit::InletShear]
        );
    }

    #[test]
    fn nothing_drawn_in_leaves_no_film() {
        let contact = point(160.0, 3.175e-3, 113e9).unwrap();
        assert_eq!(point_minimum_film(&contact, 113e9, inlet(0.0)).thickness_m, 0.0);
    }
}
