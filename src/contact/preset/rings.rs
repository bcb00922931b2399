//! The rings of a rolling bearing: how fast they turn, whether the elements fit, and what its standard says of an oil.

use crate::contact::bearing::viscosity_ratio;
use crate::contact::depicted::{Bodies, Moves, Surface};
use crate::contact::kinematics::{SurfaceSpeeds, bearing_entrainment_m_s, rad_s};
use crate::contact::preset::around::{Around, ends};
use crate::contact::preset::bounds::{Bounds, EITHER_WAY_RPM, LENGTH_M};
use crate::contact::preset::key::Key;
use crate::contact::preset::read::PresetFault;
use crate::contact::preset::state::{RangeFact, hull};
use crate::contact::{ContactError, Wrong};
use crate::lubricant::Oil;
use crate::units::Interval;
use serde::Deserialize;
use std::f64::consts::PI;

/// Keys of the pitch circle and of the speeds of both rings.
pub(super) const RINGS: &[Key] = &[
    Key::number("pitch_diameter_m", LENGTH_M),
    Key::range("inner_rpm", EITHER_WAY_RPM),
    Key::range("outer_rpm", EITHER_WAY_RPM).usually(0.0),
];

/// Rolling elements roll but for a small slip, 0 to 0.05 where none is given (ours).
pub(super) const SLIP: &[Key] = &[Key::range("slip", Bounds::from(0.0, 2.0)).usually_between(0.0, 0.05)];

/// Pitch circle and speeds of a bearing's rings.
#[derive(Clone, Copy, Debug, Deserialize)]
pub(super) struct Rings {
    pub(super) pitch_diameter_m: f64,
    pub(super) inner_rpm: Interval,
    pub(super) outer_rpm: Interval,
}

impl Rings {
    /// A ball or roller on the inner raceway in the section in which it rolls, at a contact angle.
    pub(super) fn on_raceway(
        &self,
        element: &'static str,
        element_diameter_m: f64,
        contact_angle_rad: f64,
    ) -> Bodies {
        let cosine = contact_angle_rad.cos();
        let raceway_m = 0.5 * (self.pitch_diameter_m / cosine - element_diameter_m);
        in_section(element, 0.5 * element_diameter_m, raceway_m)
    }

    /// Whether elements of this diameter and, under this key, this number fit between rings that move so.
    pub(super) fn check(
        &self,
        element_diameter_m: f64,
        (elements_key, elements): (&str, u32),
    ) -> Result<(), PresetFault> {
        if element_diameter_m >= self.pitch_diameter_m {
            return Err(PresetFault::new("pitch_diameter_m", Wrong::WithinRollingElement));
        }
        let room = PI * self.pitch_diameter_m;
        if f64::from(elements) * element_diameter_m > room {
            let most = (room / element_diameter_m).floor();
            return Err(PresetFault::with(elements_key, Wrong::TooManyForCircle, &[&most]));
        }
        // The rings' difference in speed has its extremes at the corners of the duty only while it keeps its sign.
        let (inner, outer) = (self.inner_rpm, self.outer_rpm);
        let differ = inner.lo() != outer.hi() || inner.hi() != outer.lo();
        if differ && (inner.lo() >= outer.hi() || outer.lo() >= inner.hi()) {
            Ok(())
        } else {
            Err(PresetFault::new("inner_rpm", Wrong::RingsNotApart))
        }
    }

    /// Entrainment speed between a raceway and an element whose diameter in the plane of rotation is given, m/s.
    pub(super) fn entrainment_m_s(&self, diameter_in_plane_m: f64, inner_rpm: f64, outer_rpm: f64) -> f64 {
        bearing_entrainment_m_s(
            self.pitch_diameter_m,
            diameter_in_plane_m,
            rad_s(inner_rpm),
            rad_s(outer_rpm),
        )
    }

    /// ISO 281 viscosity ratio over speed and temperature, the speed being that of the rings against each other; 0 at
    /// standstill, where any viscosity is too low.
    pub(super) fn viscosity_ratio(&self, around: &Around, oil: &Oil) -> Result<Vec<RangeFact>, ContactError> {
        let (inner, outer) = (self.inner_rpm, self.outer_rpm);
        let apart = [(inner.lo() - outer.hi()).abs(), (inner.hi() - outer.lo()).abs()];
        kappa(apart, self.pitch_diameter_m, around, oil)
    }
}

/// ISO 281 viscosity ratio over two speeds (r/min) and the bulk temperatures.
pub(super) fn kappa(
    speeds_rpm: [f64; 2],
    pitch_diameter_m: f64,
    around: &Around,
    oil: &Oil,
) -> Result<Vec<RangeFact>, ContactError> {
    let mut ratios = Vec::new();
    for temperature in ends(around.temperature_c) {
        let viscosity = oil.viscosity.kv_mm2_s(temperature.lo());
        for speed in speeds_rpm {
            ratios.push(if speed > 0.0 {
                viscosity_ratio(viscosity, speed, pitch_diameter_m)?
            } else {
                0.0
            });
        }
    }
    let fact = hull(&ratios, |ratio| Some(*ratio)).map(|ratio| ("viscosity_ratio", ratio));
    Ok(fact.into_iter().collect())
}

/// An element on the inner raceway, both by their radii in the plane of the motion.
pub(super) fn in_section(element: &'static str, element_m: f64, raceway_m: f64) -> Bodies {
    Bodies::Pair {
        upper: Surface::new(element, element_m, Moves::OneWay),
        lower: Surface::new("raceway in this section", raceway_m, Moves::OneWay),
        stroke_m: None,
    }
}

/// Surface speeds that have this mean and this slide-roll ratio.
pub(super) fn slipping(entrainment_m_s: f64, slide_roll: f64) -> SurfaceSpeeds {
    SurfaceSpeeds {
        first_m_s: entrainment_m_s * (1.0 + 0.5 * slide_roll),
        second_m_s: entrainment_m_s * (1.0 - 0.5 * slide_roll),
    }
}
