//! What two bodies make where they touch.

use crate::contact::elliptical::EllipticalContact;
use crate::contact::hertz::{LineContact, PointContact};
use crate::contact::note::Note;
use crate::contact::terms::ShapeClass;
use std::f64::consts::FRAC_PI_2;

/// The area of contact.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum HertzArea {
    /// A circle.
    Circle(PointContact),
    /// An ellipse.
    Ellipse(EllipticalContact),
    /// A line of stated length.
    Line(LineContact),
}

/// The elastic contact of two bodies.
#[derive(Clone, Debug, PartialEq)]
pub struct GeneralContact {
    /// The area and what it carries.
    pub area: HertzArea,
    /// Contact modulus E*, Pa.
    pub contact_modulus_pa: f64,
    /// Reduced radius in the plane of motion, m; `None` where both bodies are straight there.
    pub radius_along_m: Option<f64>,
    /// Reduced radius across the motion, m; `None` where both bodies are straight there.
    pub radius_across_m: Option<f64>,
    /// Angle of the longer axis to the motion, rad, above -pi/2 and up to pi/2; `None` for a circle.
    pub long_axis_rad: Option<f64>,
    /// What the formulas do not cover.
    pub marks: Vec<Note>,
}

impl GeneralContact {
    /// Point, elliptical or line.
    pub fn shape(&self) -> ShapeClass {
        match self.area {
            HertzArea::Circle(_) => ShapeClass::Point,
            HertzArea::Ellipse(_) => ShapeClass::Elliptical,
            HertzArea::Line(_) => ShapeClass::Line,
        }
    }

    /// Longer half-axis a, m; the radius of a circle; `None` for a line, whose length is stated.
    pub fn long_half_axis_m(&self) -> Option<f64> {
        match &self.area {
            HertzArea::Circle(it) => Some(it.half_width_m),
            HertzArea::Ellipse(it) => Some(it.long_half_axis_m),
            HertzArea::Line(_) => None,
        }
    }

    /// Shorter half-axis b, m; the radius of a circle, the half-width of a line.
    pub fn short_half_axis_m(&self) -> f64 {
        match &self.area {
            HertzArea::Circle(it) => it.half_width_m,
            HertzArea::Ellipse(it) => it.short_half_axis_m,
            HertzArea::Line(it) => it.half_width_m,
        }
    }

    /// Longer over shorter axis; 1 for a circle, `None` for a line.
    pub fn ellipticity(&self) -> Option<f64> {
        match &self.area {
            HertzArea::Circle(_) => Some(1.0),
            HertzArea::Ellipse(it) => Some(it.ellipticity),
            HertzArea::Line(_) => None,
        }
    }

    /// Approach of the bodies, m; `None` for a line, where it depends on their size.
    pub fn approach_m(&self) -> Option<f64> {
        match &self.area {
            HertzArea::Circle(it) => Some(it.approach_m),
            HertzArea::Ellipse(it) => Some(it.approach_m),
            HertzArea::Line(_) => None,
        }
    }

    /// Load, N.
    pub fn load_n(&self) -> f64 {
        match &self.area {
            HertzArea::Circle(it) => it.load_n,
            HertzArea::Ellipse(it) => it.load_n,
            HertzArea::Line(it) => it.load_n,
        }
    }

    /// Maximum and mean pressure, Pa.
    pub fn pressures_pa(&self) -> [f64; 2] {
        match &self.area {
            HertzArea::Circle(it) => [it.max_pressure_pa, it.mean_pressure_pa],
            HertzArea::Ellipse(it) => [it.max_pressure_pa, it.mean_pressure_pa],
            HertzArea::Line(it) => [it.max_pressure_pa, it.mean_pressure_pa],
        }
    }

    /// Maximum pressure, Pa.
    pub fn max_pressure_pa(&self) -> f64 {
        self.pressures_pa()[0]
    }

    /// Mean pressure, Pa.
    pub fn mean_pressure_pa(&self) -> f64 {
        self.pressures_pa()[1]
    }

    /// Greatest shear stress below the middle, Pa, and its depth, m (nu = 0.3).
    pub fn greatest_shear(&self) -> (f64, f64) {
        match &self.area {
            HertzArea::Circle(it) => (it.max_shear_pa, it.max_shear_depth_m),
            HertzArea::Ellipse(it) => (it.max_shear_pa, it.max_shear_depth_m),
            HertzArea::Line(it) => (it.max_shear_pa, it.max_shear_depth_m),
        }
    }

    /// Half-axes in the motion and across it, m, where the area lies square to the motion; infinite along a line.
    pub fn half_axes_m(&self) -> Option<[f64; 2]> {
        const SQUARE: f64 = 1e-6;
        let (long, short) = (
            self.long_half_axis_m().unwrap_or(f64::INFINITY),
            self.short_half_axis_m(),
        );
        match self.long_axis_rad.map(f64::abs) {
            None => Some([short, short]),
            Some(angle) if (angle - FRAC_PI_2).abs() < SQUARE => Some([short, long]),
            Some(angle) if angle < SQUARE => Some([long, short]),
            Some(_) => None,
        }
    }
}
