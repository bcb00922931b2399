//! Elastic contact with an elliptical area (Hertz), by exact elliptic integrals.

use crate::contact::ContactError;
use crate::contact::error::positive;
use crate::contact::integrals::{complete, incomplete};
use std::f64::consts::PI;

/// Axis ratio up to which the area counts as a circle; beyond it the general formulas lose no digits.
const CIRCLE: f64 = 1.0 + 1e-4;
/// Greatest axis ratio solved for; a contact longer than that is a line.
const LONGEST: f64 = 1e5;
/// Poisson's ratio of the shear stresses.
const NU: f64 = 0.3;

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
            half_axis_along_m,
            half_axis_across_m,
        })
    }

    /// Axis across over axis along rolling, the k of the film formulas.
    pub fn across_over_along(&self) -> f64 {
        self.half_axis_across_m / self.half_axis_along_m
    }
}

/// Principal relative curvatures in 1/m, the smaller first: halves of the curvatures of the gap.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RelativeCurvatures {
    smaller: f64,
    greater: f64,
}

impl RelativeCurvatures {
    /// From the reduced radii in the two principal planes, m.
    ///
    /// # Errors
    /// Names the radius that is not above zero and finite.
    pub fn from_reduced_radii(radius_x_m: f64, radius_y_m: f64) -> Result<Self, ContactError> {
        let x = 0.5 / positive("radius_x_m", radius_x_m)?;
        let y = 0.5 / positive("radius_y_m", radius_y_m)?;
        Ok(Self {
            smaller: x.min(y),
            greater: x.max(y),
        })
    }

    /// From the principal radii of both bodies (m; hollow negative, flat infinite) and the angle between their
    /// first principal planes (rad).
    ///
    /// # Formula
    /// `B - A = 1/2 sqrt(d1^2 + d2^2 + 2 d1 d2 cos 2w)`, where d is the difference of a body's curvatures.
    ///
    /// # Errors
    /// Names `radii_m` when the bodies do not curve away from each other in every plane.
    pub fn of_bodies(first_m: [f64; 2], second_m: [f64; 2], angle_rad: f64) -> Result<Self, ContactError> {
        let sum = 0.5 * (1.0 / first_m[0] + 1.0 / first_m[1] + 1.0 / second_m[0] + 1.0 / second_m[1]);
        let d1 = 1.0 / first_m[0] - 1.0 / first_m[1];
        let d2 = 1.0 / second_m[0] - 1.0 / second_m[1];
        let difference = 0.5
            * (d1 * d1 + d2 * d2 + 2.0 * d1 * d2 * (2.0 * angle_rad).cos())
                .max(0.0)
                .sqrt();
        let smaller = 0.5 * (sum - difference);
        if smaller > 0.0 && sum.is_finite() {
            Ok(Self {
                smaller,
                greater: 0.5 * (sum + difference),
            })
        } else {
            Err(ContactError::Field {
                field: "radii_m",
                value: smaller,
                reason: "the two bodies must curve away from each other in every plane",
            })
        }
    }

    /// From the curvature difference `(B - A)/(A + B)`, 0 to below 1, at curvature sum 1/m.
    ///
    /// # Errors
    /// Names `curvature_difference` outside 0 to 1.
    pub fn from_difference(curvature_difference: f64) -> Result<Self, ContactError> {
        if (0.0..1.0).contains(&curvature_difference) {
            Ok(Self {
                smaller: 0.25 * (1.0 - curvature_difference),
                greater: 0.25 * (1.0 + curvature_difference),
            })
        } else {
            Err(ContactError::Field {
                field: "curvature_difference",
                value: curvature_difference,
                reason: "must lie from 0 to below 1",
            })
        }
    }

    /// Reduced radius R of the curvature sum, m: `1/R = 1/Rx + 1/Ry`.
    pub fn sum_radius_m(&self) -> f64 {
        0.5 / (self.smaller + self.greater)
    }

    /// Axis ratio of the area of contact, 1 or more, by bisection of its logarithm.
    pub fn ellipticity(&self) -> f64 {
        let wanted = self.greater / self.smaller;
        let ratio = |k: f64| {
            let (first, second) = complete(1.0 - 1.0 / (k * k));
            (k * k * second - first) / (first - second)
        };
        if wanted <= ratio(CIRCLE) {
            return 1.0;
        }
        let (mut low, mut high) = (CIRCLE.ln(), LONGEST.ln());
        for _ in 0..100 {
            let middle = 0.5 * (low + high);
            if ratio(middle.exp()) < wanted {
                low = middle;
            } else {
                high = middle;
            }
        }
        (0.5 * (low + high)).exp()
    }
}

/// An elliptical contact from load (N), the reduced radii in its two principal planes (m, in either order) and
/// the contact modulus E* (Pa).
///
/// # Errors
/// Names the argument that is not above zero and finite.
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
/// Names the argument that is not above zero and finite.
pub fn elliptical_of(
    load_n: f64,
    curvatures: RelativeCurvatures,
    contact_modulus_pa: f64,
) -> Result<EllipticalContact, ContactError> {
    let load_n = positive("load_n", load_n)?;
    let modulus = positive("contact_modulus_pa", contact_modulus_pa)?;
    let ellipticity = curvatures.ellipticity();
    let (first, second) = complete(1.0 - 1.0 / (ellipticity * ellipticity));
    let sum = curvatures.smaller + curvatures.greater;
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

/// Greatest shear below the middle over the maximum pressure, and its depth over the shorter half-axis, for an
/// axis ratio `b/a` from 0 (exclusive) to 1, nu = 0.3; golden-section search of the depth.
pub fn greatest_shear(short_over_long: f64) -> (f64, f64) {
    let shear = |depth: f64| {
        let [x, y, z] = axis_stresses(short_over_long, depth);
        0.5 * (x.max(y).max(z) - x.min(y).min(z))
    };
    let golden = 0.5 * (5f64.sqrt() - 1.0);
    let (mut low, mut high) = (0.2, 1.2);
    for _ in 0..80 {
        let left = high - golden * (high - low);
        let right = low + golden * (high - low);
        if shear(left) < shear(right) {
            low = left;
        } else {
            high = right;
        }
    }
    let depth = 0.5 * (low + high);
    (shear(depth), depth)
}

/// Principal stresses on the axis over the maximum pressure, at a depth given over the shorter half-axis: along
/// the longer axis, along the shorter one, into the depth (Johnson 1985, chapter 4, after Thomas and Hoersch).
fn axis_stresses(short_over_long: f64, depth: f64) -> [f64; 3] {
    let ratio = short_over_long;
    if ratio > 1.0 / CIRCLE {
        let radial = -(1.0 + NU) * (1.0 - depth * (1.0 / depth).atan()) + 0.5 / (1.0 + depth * depth);
        return [radial, radial, -1.0 / (1.0 + depth * depth)];
    }
    let zeta = depth * ratio;
    let m = 1.0 - ratio * ratio;
    let t = ((ratio * ratio + zeta * zeta) / (1.0 + zeta * zeta)).sqrt();
    let (first, second) = incomplete((1.0 / zeta).atan(), m);
    let along = zeta * (first - second);
    let across = zeta * (second / (ratio * ratio) - first);
    let factor = 2.0 * ratio / m;
    let x = -0.5 * (1.0 - t) + along + NU * (1.0 - t / (ratio * ratio) + across);
    let y = 0.5 + 0.5 / t - t / (ratio * ratio) + across + NU * (-1.0 + t + along);
    let z = -0.5 * (1.0 - t * t) / t;
    [factor * x, factor * y, factor * z]
}

/// Ellipticity by the power law `1.0339 (Ry/Rx)^0.6360` (Brewe and Hamrock 1977; from memory, seen in use), for
/// `1 <= Ry/Rx <= 100`; within about 3 % of the exact one.
pub fn approximate_ellipticity(radius_y_over_x: f64) -> f64 {
    1.0339 * radius_y_over_x.powf(0.6360)
}

/// Ellipticity by the earlier power law `1.03 (Ry/Rx)^0.64` (Hamrock and Dowson 1977, abstract, seen).
pub fn early_approximate_ellipticity(radius_y_over_x: f64) -> f64 {
    1.03 * radius_y_over_x.powf(0.64)
}

/// Half-axes in m, longer first, by the fitted ellipticity and `E = 1.0003 + 0.5968 Rx/Ry` (Brewe and Hamrock
/// 1977); pressure then `3F/(2 pi a b)`, within about 1 %. Where Ry is not below Rx.
pub fn approximate_half_axes_m(
    load_n: f64,
    radius_x_m: f64,
    radius_y_m: f64,
    contact_modulus_pa: f64,
) -> [f64; 2] {
    let k = approximate_ellipticity(radius_y_m / radius_x_m);
    let second = 1.0003 + 0.5968 * radius_x_m / radius_y_m;
    let sum_radius = 1.0 / (1.0 / radius_x_m + 1.0 / radius_y_m);
    let long = (3.0 * k * k * second * load_n * sum_radius / (PI * contact_modulus_pa)).cbrt();
    [long, long / k]
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
    fn a_long_ellipse_has_the_shear_of_a_line() {
        let (shear, depth) = greatest_shear(1e-3);
        assert!((shear - 0.300_28).abs() < 1e-3, "{shear}");
        assert!((depth - 0.786_15).abs() < 2e-3, "{depth}");
    }

    /// On the surface the stresses have a closed form: `2 nu + (1 - 2 nu) b/(a+b)` and its partner.
    #[test]
    fn the_stresses_approach_their_closed_form_at_the_surface() {
        for ratio in [0.05, 0.4, 0.9] {
            let [x, y, z] = axis_stresses(ratio, 1e-9);
            assert!((x + 0.6 + 0.4 * ratio / (1.0 + ratio)).abs() < 1e-6, "{x}");
            assert!((y + 0.6 + 0.4 / (1.0 + ratio)).abs() < 1e-6, "{y}");
            assert!((z + 1.0).abs() < 1e-6);
        }
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
    fn a_saddle_is_refused() {
        assert!(RelativeCurvatures::of_bodies([5e-3, 5e-3], [f64::INFINITY, -4e-3], 0.0).is_err());
        assert!(elliptical(1.0, 5e-3, -5e-3, 113e9).is_err());
    }
}
