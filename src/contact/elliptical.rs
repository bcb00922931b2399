//! Elastic contact with an elliptical area (Hertz), by exact elliptic integrals.

use crate::contact::ContactError;
use crate::contact::curvature::RelativeCurvatures;
use crate::contact::error::positive;
use crate::contact::integrals::complete_of_complement;
use crate::contact::subsurface::greatest_shear;
use std::f64::consts::PI;

/// Elliptical contact.
///
/// # Formula
/// With A <= B the principal relative curvatures (half sums), `k = a/b`, `m = 1 - 1/k^2`:
/// `B/A = (k^2 E - K)/(K - E)`, `a^3 = 3 F k^2 E / (2 pi (A + B) E*)`, `b = a/k`, `p0 = 3F/(2 pi a b)`, approach
/// `p0 b K / E*`, where K(m) and E(m) are complete elliptic integrals (Johnson, Contact Mechanics, 1985).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct EllipticalContact {
    /// Load on this contact, N.
    pub load_n: f64,
    /// Longer half-axis, m.
    pub long_half_axis_m: f64,
    /// Shorter half-axis, m.
    pub short_half_axis_m: f64,
    /// Longer over shorter axis.
    pub ellipticity: f64,
    /// Maximum pressure, Pa.
    pub max_pressure_pa: f64,
    /// Mean pressure, Pa.
    pub mean_pressure_pa: f64,
    /// Approach of the bodies, m.
    pub approach_m: f64,
    /// Greatest shear stress below the middle of the area, Pa (nu = 0.3).
    pub max_shear_pa: f64,
    /// Its depth, m.
    pub max_shear_depth_m: f64,
}

/// An elliptical contact that rolls along one of its axes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RollingEllipse {
    /// The contact.
    pub contact: EllipticalContact,
    /// Reduced radius in the plane of rolling, m.
    pub radius_along_m: f64,
    /// Reduced radius across rolling, m.
    pub radius_across_m: f64,
    /// Half-axis along rolling, m.
    pub half_axis_along_m: f64,
    /// Half-axis across rolling, m.
    pub half_axis_across_m: f64,
}

impl RollingEllipse {
    /// From load (N), the reduced radii along and across rolling (m) and the contact modulus E* (Pa).
    ///
    /// # Errors
    /// Names the argument that is not above zero and finite.
    pub fn new(
        load_n: f64,
        radius_along_m: f64,
        radius_across_m: f64,
        contact_modulus_pa: f64,
    ) -> Result<Self, ContactError> {
        let contact = elliptical(load_n, radius_along_m, radius_across_m, contact_modulus_pa)?;
        let (long, short) = (contact.long_half_axis_m, contact.short_half_axis_m);
        let [half_axis_along_m, half_axis_across_m] = if radius_along_m > radius_across_m {
            [long, short]
        } else {
            [short, long]
        };
        Ok(Self {
            contact,
            radius_along_m,
            radius_across_m,
            half_axis_along_m,
            half_axis_across_m,
        })
    }

    /// Axis across over axis along rolling, the k of the film formulas.
    pub fn across_over_along(&self) -> f64 {
        self.half_axis_across_m / self.half_axis_along_m
    }
}

/// An elliptical contact from load (N), the reduced radii in its two principal planes (m, in either order) and
/// the contact modulus E* (Pa).
///
/// # Errors
/// Names the argument that is not above zero and finite, and `radii_m` above an axis ratio of 1e5.
pub fn elliptical(
    load_n: f64,
    radius_x_m: f64,
    radius_y_m: f64,
    contact_modulus_pa: f64,
) -> Result<EllipticalContact, ContactError> {
    let curvatures = RelativeCurvatures::from_reduced_radii(radius_x_m, radius_y_m)?;
    elliptical_of(load_n, curvatures, contact_modulus_pa)
}

/// An elliptical contact from load (N), relative curvatures and contact modulus E* (Pa).
///
/// # Errors
/// Names the argument that is not above zero and finite, and `radii_m` above an axis ratio of 1e5.
pub fn elliptical_of(
    load_n: f64,
    curvatures: RelativeCurvatures,
    contact_modulus_pa: f64,
) -> Result<EllipticalContact, ContactError> {
    let load_n = positive("load_n", load_n)?;
    let modulus = positive("contact_modulus_pa", contact_modulus_pa)?;
    let ellipticity = curvatures.ellipticity()?;
    let (first, second) = complete_of_complement(1.0 / (ellipticity * ellipticity));
    let sum = curvatures.sum_per_m();
    let long = (3.0 * load_n * ellipticity * ellipticity * second / (2.0 * PI * sum * modulus)).cbrt();
    let short = long / ellipticity;
    let max_pressure_pa = 1.5 * load_n / (PI * long * short);
    let (shear, depth) = greatest_shear(1.0 / ellipticity);
    Ok(EllipticalContact {
        load_n,
        long_half_axis_m: long,
        short_half_axis_m: short,
        ellipticity,
        max_pressure_pa,
        mean_pressure_pa: max_pressure_pa * 2.0 / 3.0,
        approach_m: max_pressure_pa * short * first / modulus,
        max_shear_pa: shear * max_pressure_pa,
        max_shear_depth_m: depth * short,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::contact::hertz::point;

    #[test]
    fn equal_radii_give_the_circle() {
        let ellipse = elliptical(200.0, 5e-3, 5e-3, 113e9).unwrap();
        let circle = point(200.0, 5e-3, 113e9).unwrap();
        assert_eq!(ellipse.ellipticity, 1.0);
        assert!((ellipse.max_pressure_pa / circle.max_pressure_pa - 1.0).abs() < 1e-12);
        assert!((ellipse.approach_m / circle.approach_m - 1.0).abs() < 1e-12);
        assert!((ellipse.max_shear_pa / circle.max_shear_pa - 1.0).abs() < 1e-5);
        assert!((ellipse.max_shear_depth_m / circle.max_shear_depth_m - 1.0).abs() < 1e-3);
    }

    #[test]
    fn the_longer_axis_lies_in_the_plane_of_the_greater_radius() {
        let wide = RollingEllipse::new(200.0, 5e-3, 50e-3, 113e9).unwrap();
        let long = RollingEllipse::new(200.0, 50e-3, 5e-3, 113e9).unwrap();
        assert!(wide.across_over_along() > 1.0);
        assert!((wide.across_over_along() * long.across_over_along() - 1.0).abs() < 1e-12);
        assert_eq!(wide.contact, long.contact);
    }

    #[test]
    fn a_hollow_reduced_radius_is_refused() {
        assert!(elliptical(1.0, 5e-3, -5e-3, 113e9).is_err());
    }
}
