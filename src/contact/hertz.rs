//! Elastic contact of smooth bodies: circle and line (Hertz).
//!
//! Valid while the contact is small against the radii, without friction or plastic flow. Bearing steel yields
//! below the surface near a maximum pressure of 1.6 times its yield stress; above that the values are nominal.

use crate::contact::error::positive;
use crate::contact::{ContactError, Wrong};
use std::f64::consts::PI;

/// Greatest shear below a circular contact over the maximum pressure, nu = 0.3 (Johnson 1985: 0.310).
pub(in crate::contact) const POINT_SHEAR: f64 = 0.310_019;
/// Its depth over the contact radius (Johnson 1985: 0.481).
const POINT_SHEAR_DEPTH: f64 = 0.480_86;
/// Greatest shear below a line contact over the maximum pressure (Johnson 1985: 0.300).
const LINE_SHEAR: f64 = 0.300_283;
/// Its depth over the half-width (Johnson 1985: 0.786).
const LINE_SHEAR_DEPTH: f64 = 0.786_152;

/// Radius of the equivalent ball or roller on a flat, m; a flat is infinite, a hollow negative.
///
/// # Errors
/// Names `radius_m` when a radius is zero or not a number, or when the bodies conform.
pub fn reduced_radius_m(radius_1_m: f64, radius_2_m: f64) -> Result<f64, ContactError> {
    let curvature = 1.0 / radius_1_m + 1.0 / radius_2_m;
    if radius_1_m != 0.0 && radius_2_m != 0.0 && curvature > 0.0 {
        Ok(1.0 / curvature)
    } else {
        Err(ContactError::field("radius_m", radius_2_m, Wrong::NotApart))
    }
}

/// Circular contact.
///
/// # Formula
/// `a = (3 F R / (4 E*))^(1/3)`, `p0 = 3 F / (2 pi a^2)`, `pm = 2/3 p0`, approach `a^2 / R` (Johnson, Contact
/// Mechanics, 1985), where F is the load, R the reduced radius, a the contact radius.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PointContact {
    /// Load on this contact, N.
    pub load_n: f64,
    /// Reduced radius, m.
    pub radius_m: f64,
    /// Contact radius, m.
    pub half_width_m: f64,
    /// Maximum pressure, Pa.
    pub max_pressure_pa: f64,
    /// Mean pressure, Pa.
    pub mean_pressure_pa: f64,
    /// Approach of the bodies, m.
    pub approach_m: f64,
    /// Greatest shear stress below the surface, Pa (nu = 0.3).
    pub max_shear_pa: f64,
    /// Its depth, m.
    pub max_shear_depth_m: f64,
}

/// Line contact of parallel cylinders. Its approach depends on the bodies' sizes and is not offered.
///
/// # Formula
/// `b = sqrt(4 w R / (pi E*))`, `p0 = 2 w / (pi b)`, `pm = pi/4 p0` (Johnson, Contact Mechanics, 1985), where w is
/// the load per length, R the reduced radius, b the half-width.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LineContact {
    /// Load on this contact, N.
    pub load_n: f64,
    /// Loaded length, m.
    pub length_m: f64,
    /// Reduced radius, m.
    pub radius_m: f64,
    /// Half-width, m.
    pub half_width_m: f64,
    /// Maximum pressure, Pa.
    pub max_pressure_pa: f64,
    /// Mean pressure, Pa.
    pub mean_pressure_pa: f64,
    /// Greatest shear stress below the surface, Pa.
    pub max_shear_pa: f64,
    /// Its depth, m.
    pub max_shear_depth_m: f64,
}

/// A circular contact from load (N), reduced radius (m) and contact modulus E* (Pa).
///
/// # Errors
/// Names the argument that is not above zero and finite.
pub fn point(load_n: f64, radius_m: f64, contact_modulus_pa: f64) -> Result<PointContact, ContactError> {
    let load_n = positive("load_n", load_n)?;
    let radius_m = positive("radius_m", radius_m)?;
    let modulus = positive("contact_modulus_pa", contact_modulus_pa)?;
    let half_width_m = (3.0 * load_n * radius_m / (4.0 * modulus)).cbrt();
    let max_pressure_pa = 1.5 * load_n / (PI * half_width_m * half_width_m);
    Ok(PointContact {
        load_n,
        radius_m,
        half_width_m,
        max_pressure_pa,
        mean_pressure_pa: max_pressure_pa * 2.0 / 3.0,
        approach_m: half_width_m * half_width_m / radius_m,
        max_shear_pa: POINT_SHEAR * max_pressure_pa,
        max_shear_depth_m: POINT_SHEAR_DEPTH * half_width_m,
    })
}

/// A line contact from load (N), loaded length (m), reduced radius (m) and contact modulus E* (Pa).
///
/// # Errors
/// Names the argument that is not above zero and finite.
pub fn line(
    load_n: f64,
    length_m: f64,
    radius_m: f64,
    contact_modulus_pa: f64,
) -> Result<LineContact, ContactError> {
    let load_n = positive("load_n", load_n)?;
    let length_m = positive("length_m", length_m)?;
    let radius_m = positive("radius_m", radius_m)?;
    let modulus = positive("contact_modulus_pa", contact_modulus_pa)?;
    let load_per_length = load_n / length_m;
    let half_width_m = (4.0 * load_per_length * radius_m / (PI * modulus)).sqrt();
    let max_pressure_pa = 2.0 * load_per_length / (PI * half_width_m);
    Ok(LineContact {
        load_n,
        length_m,
        radius_m,
        half_width_m,
        max_pressure_pa,
        mean_pressure_pa: max_pressure_pa * PI / 4.0,
        max_shear_pa: LINE_SHEAR * max_pressure_pa,
        max_shear_depth_m: LINE_SHEAR_DEPTH * half_width_m,
    })
}

/// Mean pressure in Pa on a worn circular scar: load over its area.
///
/// # Errors
/// Names the argument that is not above zero and finite.
pub fn mean_pressure_on_scar_pa(load_n: f64, scar_diameter_m: f64) -> Result<f64, ContactError> {
    let load_n = positive("load_n", load_n)?;
    let diameter = positive("scar_diameter_m", scar_diameter_m)?;
    Ok(4.0 * load_n / (PI * diameter * diameter))
}

/// Mean pressure in Pa on a worn band: load over width times length.
///
/// # Errors
/// Names the argument that is not above zero and finite.
pub fn mean_pressure_on_band_pa(load_n: f64, band_width_m: f64, length_m: f64) -> Result<f64, ContactError> {
    let load_n = positive("load_n", load_n)?;
    let width = positive("band_width_m", band_width_m)?;
    Ok(load_n / (width * positive("length_m", length_m)?))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The greatest of `shear(depth)`, searched on a fine grid of depths from 0 to 2 half-widths.
    fn greatest(shear: impl Fn(f64) -> f64) -> (f64, f64) {
        (1..400_000)
            .map(|step| step as f64 * 5e-6)
            .map(|z| (shear(z), z))
            .fold((0.0, 0.0), |best, next| if next.0 > best.0 { next } else { best })
    }

    /// Stress on the axis of a circular contact (Johnson 1985, eq. 3.45), nu = 0.3.
    #[test]
    fn the_kept_shear_constants_are_those_of_the_stress_field_below_a_circle() {
        let (shear, depth) = greatest(|z| {
            let axial = -1.0 / (1.0 + z * z);
            let radial = -1.3 * (1.0 - z * (1.0 / z).atan()) + 0.5 / (1.0 + z * z);
            0.5 * (radial - axial).abs()
        });
        assert!((shear - POINT_SHEAR).abs() < 2e-6, "{shear}");
        assert!((depth - POINT_SHEAR_DEPTH).abs() < 5e-5, "{depth}");
    }

    /// Stress on the axis of a line contact (Johnson 1985, eq. 4.45).
    #[test]
    fn the_kept_shear_constants_are_those_of_the_stress_field_below_a_line() {
        let (shear, depth) = greatest(|z| {
            let root = (1.0 + z * z).sqrt();
            let across = -((1.0 + 2.0 * z * z) / root - 2.0 * z);
            0.5 * (across + 1.0 / root).abs()
        });
        assert!((shear - LINE_SHEAR).abs() < 2e-6, "{shear}");
        assert!((depth - LINE_SHEAR_DEPTH).abs() < 5e-5, "{depth}");
    }

    #[test]
    fn the_mean_pressure_carries_the_load() {
        let circle = point(160.0, 3.175e-3, 113e9).unwrap();
        let carried = circle.mean_pressure_pa * PI * circle.half_width_m.powi(2);
        assert!((carried / 160.0 - 1.0).abs() < 1e-12);
        let band = line(2000.0, 0.015, 7.5e-3, 113e9).unwrap();
        let carried = band.mean_pressure_pa * 2.0 * band.half_width_m * 0.015;
        assert!((carried / 2000.0 - 1.0).abs() < 1e-12);
    }

    #[test]
    fn a_load_of_zero_or_less_is_refused_and_named() {
        for load in [0.0, -1.0, f64::NAN, f64::INFINITY] {
            let Err(ContactError::Field { field, .. }) = point(load, 1e-3, 1e11) else {
                panic!("{load} was taken");
            };
            assert_eq!(field, "load_n");
        }
    }

    #[test]
    fn a_ball_in_a_closer_hollow_is_no_point_contact() {
        assert!(reduced_radius_m(5e-3, -4e-3).is_err());
        assert_eq!(reduced_radius_m(5e-3, f64::INFINITY).unwrap(), 5e-3);
    }
}
