//! Elastic contact of two bodies of any curvature: a circle, an ellipse or a line, whichever their radii make.

mod area;

use crate::contact::curvature::{Gap, RelativeCurvatures, curvature_per_m};
use crate::contact::elastic::{Elastic, contact_modulus_pa};
use crate::contact::elliptical::elliptical_of;
use crate::contact::hertz::{line, point};
use crate::contact::note::Note;
use crate::contact::terms::ShapeClass;
use crate::contact::{ContactError, Wrong};

pub use area::{GeneralContact, HertzArea};

/// Half-axis over the smallest radius of the bodies above which the contact is no longer small (Johnson, from memory).
const SMALL: f64 = 0.1;

/// Radii of curvature of one body in its two principal planes, m: hollow negative, flat `None`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BodyRadii {
    /// In the plane of rolling or sliding.
    pub along_m: Option<f64>,
    /// In the plane across it.
    pub across_m: Option<f64>,
}

impl BodyRadii {
    fn curvatures(self) -> [f64; 2] {
        [curvature_per_m(self.along_m), curvature_per_m(self.across_m)]
    }
}

/// Two bodies that touch.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TwoBodies {
    /// The first body, whose planes are those of the motion.
    pub first: BodyRadii,
    /// The second body.
    pub second: BodyRadii,
    /// Angle between the planes "along" of the two, rad; 0 where both lie in the motion.
    pub angle_rad: f64,
    /// Elastic constants of the first and the second body.
    pub elastic: [Elastic; 2],
    /// Length over which bodies touch that are straight in one plane, m; needed for a line only.
    pub length_m: Option<f64>,
}

impl TwoBodies {
    /// The contact under a load (N).
    ///
    /// # Formula
    /// Curvatures of the gap from both bodies' radii and the angle between them; none in one direction makes a line
    /// of the stated length, equal ones a circle, others an ellipse by exact elliptic integrals.
    ///
    /// # Errors
    /// Names the radius that is zero or no number, `radii_m` where the bodies do not curve away from each other,
    /// `length_m` where a line has none, and the load unless above zero.
    pub fn contact(&self, load_n: f64) -> Result<GeneralContact, ContactError> {
        self.check_radii()?;
        let (first, second) = (self.first.curvatures(), self.second.curvatures());
        let gap = Gap::new(first, second, self.angle_rad);
        let modulus = contact_modulus_pa(self.elastic[0], self.elastic[1]);
        let (area, long_axis_rad) = if gap.smaller_per_m == 0.0 && gap.greater_per_m > 0.0 {
            let length_m = self
                .length_m
                .ok_or(ContactError::field("length_m", 0.0, Wrong::NoLength))?;
            let radius_m = 0.5 / gap.greater_per_m;
            let contact = line(load_n, length_m, radius_m, modulus)?;
            (HertzArea::Line(contact), Some(gap.long_axis_rad))
        } else {
            let ellipse = elliptical_of(load_n, RelativeCurvatures::of_gap(gap)?, modulus)?;
            if ellipse.ellipticity > 1.0 {
                (HertzArea::Ellipse(ellipse), Some(gap.long_axis_rad))
            } else {
                let radius_m = 1.0 / (gap.smaller_per_m + gap.greater_per_m);
                (HertzArea::Circle(point(load_n, radius_m, modulus)?), None)
            }
        };
        let (sine, cosine) = self.angle_rad.sin_cos();
        let turned = |one: f64, other: f64| one * cosine * cosine + other * sine * sine;
        let reduced = |curvature: f64| (curvature > 1e-12 * gap.greater_per_m).then(|| 1.0 / curvature);
        let mut contact = GeneralContact {
            area,
            contact_modulus_pa: modulus,
            radius_along_m: reduced(first[0] + turned(second[0], second[1])),
            radius_across_m: reduced(first[1] + turned(second[1], second[0])),
            long_axis_rad,
            marks: Vec::new(),
        };
        contact.marks = self.marks(&contact);
        Ok(contact)
    }

    fn radii(&self) -> [(&'static str, Option<f64>); 4] {
        [
            ("first_along_m", self.first.along_m),
            ("first_across_m", self.first.across_m),
            ("second_along_m", self.second.along_m),
            ("second_across_m", self.second.across_m),
        ]
    }

    fn check_radii(&self) -> Result<(), ContactError> {
        for (field, radius) in self.radii() {
            if radius.is_some_and(|radius| radius == 0.0 || radius.is_nan()) {
                return Err(ContactError::field(field, radius.unwrap_or(0.0), Wrong::NoRadius));
            }
        }
        if self.angle_rad.is_finite() {
            return Ok(());
        }
        Err(ContactError::field("angle_rad", self.angle_rad, Wrong::NotFinite))
    }

    fn marks(&self, contact: &GeneralContact) -> Vec<Note> {
        let closest = self
            .radii()
            .into_iter()
            .filter_map(|(_, radius)| radius.map(f64::abs))
            .fold(f64::INFINITY, f64::min);
        let longest = contact
            .long_half_axis_m()
            .unwrap_or_else(|| contact.short_half_axis_m());
        let mut marks = Vec::new();
        if contact.shape() == ShapeClass::Line {
            marks.push(Note::LineEnds);
        } else if self.length_m.is_some_and(|length| 2.0 * longest > length) {
            marks.push(Note::LongerThanBody);
        }
        if longest > SMALL * closest {
            marks.push(Note::NotSmall);
        }
        marks
    }
}

#[cfg(test)]
mod tests;
