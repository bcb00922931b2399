//! How the gap between two bodies curves, and the axis ratio of the contact that follows.

use crate::contact::error::positive;
use crate::contact::integrals::complete_of_complement;
use crate::contact::{ContactError, Wrong};
use std::f64::consts::{FRAC_PI_2, PI};

/// Axis ratio up to which the area counts as a circle; beyond it the general formulas lose no digits.
pub(in crate::contact) const CIRCLE: f64 = 1.0 + 1e-4;
/// Greatest axis ratio solved for; a contact longer than that is a line.
pub const LONGEST: f64 = 1e5;
/// Part of the greatest curvature below which a curvature of the gap is rounding of none.
const ROUNDING: f64 = 1e-12;

/// Curvature of a surface in 1/m: none for a flat (no radius, or an infinite one).
pub(in crate::contact) fn curvature_per_m(radius_m: Option<f64>) -> f64 {
    radius_m.map_or(0.0, |radius| 1.0 / radius)
}

/// Principal curvatures of the gap, as halves, and the direction in which it curves most.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(in crate::contact) struct Gap {
    /// Smaller half-sum A, 1/m; 0 where parallel cylinders touch, negative where a hollow is the closer one.
    pub(in crate::contact) smaller_per_m: f64,
    /// Greater half-sum B, 1/m.
    pub(in crate::contact) greater_per_m: f64,
    /// Angle of the direction of least curvature (the longer axis) to the first plane of the first body, rad,
    /// above -pi/2 and up to pi/2.
    pub(in crate::contact) long_axis_rad: f64,
}

impl Gap {
    /// The gap of two bodies from their curvatures in two planes each (1/m) and the angle between their first planes.
    ///
    /// # Formula
    /// `A + B = 1/2 (sum of the four)`, `B - A = 1/2 sqrt(d1^2 + d2^2 + 2 d1 d2 cos 2w)`, where d is the difference of
    /// a body's curvatures; the gap curves most at `1/2 atan2(d2 sin 2w, d1 + d2 cos 2w)` from the first plane
    /// (Johnson, Contact Mechanics, 1985, chapter 4, from memory; the direction by differentiating the gap).
    pub(in crate::contact) fn new(first: [f64; 2], second: [f64; 2], angle_rad: f64) -> Self {
        let size = first
            .iter()
            .chain(&second)
            .fold(0.0, |most: f64, c| most.max(c.abs()));
        let sum = 0.5 * (first[0] + first[1] + second[0] + second[1]);
        let (d1, d2) = (first[0] - first[1], second[0] - second[1]);
        let (sine, cosine) = (2.0 * angle_rad).sin_cos();
        let (along, aside) = (d1 + d2 * cosine, d2 * sine);
        let difference = 0.5 * along.hypot(aside);
        let smaller = 0.5 * (sum - difference);
        let long_axis = 0.5 * aside.atan2(along) + FRAC_PI_2;
        Self {
            smaller_per_m: if smaller.abs() < ROUNDING * size {
                0.0
            } else {
                smaller
            },
            greater_per_m: 0.5 * (sum + difference),
            long_axis_rad: if long_axis > FRAC_PI_2 {
                long_axis - PI
            } else {
                long_axis
            },
        }
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

    /// Those of a gap.
    ///
    /// # Errors
    /// Names `radii_m` where the gap does not open in every direction.
    pub(in crate::contact) fn of_gap(gap: Gap) -> Result<Self, ContactError> {
        if gap.smaller_per_m > 0.0 && gap.greater_per_m.is_finite() {
            Ok(Self {
                smaller: gap.smaller_per_m,
                greater: gap.greater_per_m,
            })
        } else {
            Err(ContactError::field(
                "radii_m",
                gap.smaller_per_m,
                Wrong::NotApartInEveryPlane,
            ))
        }
    }

    /// Sum A + B, 1/m.
    pub(in crate::contact) fn sum_per_m(&self) -> f64 {
        self.smaller + self.greater
    }

    /// Axis ratio of the area of contact, 1 or more, by bisection of its logarithm.
    ///
    /// # Errors
    /// Names `radii_m` where the ratio is above 1e5: the bodies are so nearly parallel cylinders that the contact has
    /// to be given as a line of stated length.
    pub fn ellipticity(&self) -> Result<f64, ContactError> {
        let wanted = self.greater / self.smaller;
        if wanted <= curvature_ratio(CIRCLE) {
            return Ok(1.0);
        }
        if wanted > curvature_ratio(LONGEST) {
            return Err(ContactError::field("radii_m", wanted, Wrong::NearlyALine));
        }
        let (mut low, mut high) = (CIRCLE.ln(), LONGEST.ln());
        for _ in 0..100 {
            let middle = 0.5 * (low + high);
            if curvature_ratio(middle.exp()) < wanted {
                low = middle;
            } else {
                high = middle;
            }
        }
        Ok((0.5 * (low + high)).exp())
    }
}

/// Ratio B/A of the curvatures whose contact has the axis ratio `k`: `(k^2 E - K)/(K - E)`.
fn curvature_ratio(k: f64) -> f64 {
    let (first, second) = complete_of_complement(1.0 / (k * k));
    (k * k * second - first) / (first - second)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_gap_of_crossed_bodies_curves_as_its_direction_says() {
        let (first, second, angle) = ([1.0 / 60.0, 1.0 / 130.0], [1.0 / 80.0, 1.0 / 200.0], 1.1);
        let gap = Gap::new(first, second, angle);
        let curvature = |direction: f64| {
            let of = |body: [f64; 2], turn: f64| {
                body[0] * (direction - turn).cos().powi(2) + body[1] * (direction - turn).sin().powi(2)
            };
            0.5 * (of(first, 0.0) + of(second, angle))
        };
        assert!((curvature(gap.long_axis_rad) / gap.smaller_per_m - 1.0).abs() < 1e-12);
        assert!((curvature(gap.long_axis_rad + FRAC_PI_2) / gap.greater_per_m - 1.0).abs() < 1e-12);
        for step in 0..180 {
            let there = curvature(f64::from(step).to_radians());
            assert!(there > gap.smaller_per_m - 1e-15 && there < gap.greater_per_m + 1e-15);
        }
    }

    #[test]
    fn parallel_cylinders_leave_no_curvature_along_their_axes() {
        let gap = Gap::new([1.0 / 3.7e-3, 0.0], [1.0 / 0.113, 0.0], 0.0);
        assert_eq!(gap.smaller_per_m, 0.0);
        assert_eq!(gap.long_axis_rad, FRAC_PI_2);
    }

    #[test]
    fn a_saddle_and_a_contact_longer_than_solved_for_are_refused() {
        let saddle = Gap::new([1.0 / 5e-3, 1.0 / 5e-3], [0.0, -1.0 / 4e-3], 0.0);
        assert!(RelativeCurvatures::of_gap(saddle).is_err());
        let long = RelativeCurvatures::from_reduced_radii(1e-3, 1e8).unwrap();
        assert!(long.ellipticity().is_err());
    }
}
