//! Dimensions and speeds of test specimens, in SI units.

use crate::contact::error::{not_negative, positive};
use crate::contact::kinematics::{SurfaceSpeeds, rad_s};
use crate::contact::{ContactError, Wrong};
use serde::{Deserialize, Serialize};

/// One ball turning on three fixed ones; total load along the axis.
#[derive(Clone, Copy, Debug, PartialEq, Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
pub struct FourBall {
    /// Diameter of all four balls, m.
    pub ball_diameter_m: f64,
    /// Speed of the turning ball, r/min.
    pub speed_rpm: f64,
}

/// A fixed block pressed on a turning ring.
#[derive(Clone, Copy, Debug, PartialEq, Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
pub struct BlockOnRing {
    /// Diameter of the ring, m.
    pub ring_diameter_m: f64,
    /// Width of the block along the line of contact, m.
    pub contact_length_m: f64,
    /// Speed of the ring, r/min.
    pub speed_rpm: f64,
}

/// A held ball stroking on a flat disc, sinusoidal.
#[derive(Clone, Copy, Debug, PartialEq, Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
pub struct BallOnDiscStroke {
    /// Diameter of the ball, m.
    pub ball_diameter_m: f64,
    /// Stroke from end to end, m.
    pub stroke_m: f64,
    /// Frequency of the full cycle, Hz.
    pub frequency_hz: f64,
}

/// A spur gear pair; loads are pinion torques.
#[derive(Clone, Copy, Debug, PartialEq, Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
pub struct GearRig {
    /// Teeth of the pinion.
    pub pinion_teeth: u32,
    /// Teeth of the wheel.
    pub wheel_teeth: u32,
    /// Module, m.
    pub module_m: f64,
    /// Pressure angle of the basic rack, degrees.
    pub pressure_angle_deg: f64,
    /// Centre distance, m.
    pub centre_distance_m: f64,
    /// Tip diameter of the pinion, m.
    pub pinion_tip_diameter_m: f64,
    /// Tip diameter of the wheel, m.
    pub wheel_tip_diameter_m: f64,
    /// Face width in mesh, m.
    pub face_width_m: f64,
    /// Speed of the pinion, r/min.
    pub pinion_rpm: f64,
}

/// A cylindrical-roller thrust bearing, one washer turning; axial load shared evenly by its rollers.
#[derive(Clone, Copy, Debug, PartialEq, Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
pub struct ThrustRoller {
    /// Diameter of the rollers, m.
    pub roller_diameter_m: f64,
    /// Loaded length of a roller, m.
    pub effective_length_m: f64,
    /// Number of rollers.
    pub rollers: u32,
    /// Diameter of the circle through the rollers' middles, m.
    pub mean_diameter_m: f64,
    /// Speed of the turning washer, r/min.
    pub speed_rpm: f64,
}

/// Two discs on parallel axes. Positive speeds of both move the surfaces the same way through the contact.
#[derive(Clone, Copy, Debug, PartialEq, Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
pub struct TwoDisc {
    /// Radius of the first disc, m.
    pub first_radius_m: f64,
    /// Radius of the second disc, m.
    pub second_radius_m: f64,
    /// Length of the line of contact, m.
    pub contact_length_m: f64,
    /// Speed of the first disc, r/min.
    pub first_rpm: f64,
    /// Speed of the second disc, r/min; may be zero or negative.
    pub second_rpm: f64,
}

impl FourBall {
    pub(super) fn validate(&self) -> Result<(), ContactError> {
        positive("ball_diameter_m", self.ball_diameter_m)?;
        positive("speed_rpm", self.speed_rpm).map(|_| ())
    }
}

impl BlockOnRing {
    pub(super) fn validate(&self) -> Result<(), ContactError> {
        positive("ring_diameter_m", self.ring_diameter_m)?;
        positive("contact_length_m", self.contact_length_m)?;
        positive("speed_rpm", self.speed_rpm).map(|_| ())
    }
}

impl BallOnDiscStroke {
    pub(super) fn validate(&self) -> Result<(), ContactError> {
        positive("ball_diameter_m", self.ball_diameter_m)?;
        positive("stroke_m", self.stroke_m)?;
        positive("frequency_hz", self.frequency_hz).map(|_| ())
    }
}

impl ThrustRoller {
    pub(super) fn validate(&self) -> Result<(), ContactError> {
        positive("roller_diameter_m", self.roller_diameter_m)?;
        positive("effective_length_m", self.effective_length_m)?;
        positive("rollers", f64::from(self.rollers))?;
        positive("mean_diameter_m", self.mean_diameter_m)?;
        positive("speed_rpm", self.speed_rpm)?;
        if self.effective_length_m < self.mean_diameter_m {
            Ok(())
        } else {
            Err(ContactError::field(
                "effective_length_m",
                self.effective_length_m,
                Wrong::LongerThanMeanDiameter,
            ))
        }
    }
}

impl ThrustRoller {
    /// Surface speeds of washer and roller at a place along the roller, as a share of its length from its middle:
    /// -0.5 at the inner end, 0.5 at the outer.
    pub(in crate::contact) fn speeds_at(&self, share: f64) -> SurfaceSpeeds {
        let half_speed = 0.5 * rad_s(self.speed_rpm);
        let mean_radius = 0.5 * self.mean_diameter_m;
        SurfaceSpeeds {
            first_m_s: half_speed * (mean_radius + share * self.effective_length_m),
            second_m_s: half_speed * mean_radius,
        }
    }

    /// Mean of a quantity along the roller.
    pub(in crate::contact) fn mean_along_roller(&self, quantity: impl Fn(SurfaceSpeeds) -> f64) -> f64 {
        const STRIPS: u32 = 400;
        (0..STRIPS)
            .map(|strip| (f64::from(strip) + 0.5) / f64::from(STRIPS) - 0.5)
            .map(|share| quantity(self.speeds_at(share)))
            .sum::<f64>()
            / f64::from(STRIPS)
    }
}

impl TwoDisc {
    pub(super) fn validate(&self) -> Result<(), ContactError> {
        positive("first_radius_m", self.first_radius_m)?;
        positive("second_radius_m", self.second_radius_m)?;
        positive("contact_length_m", self.contact_length_m)?;
        positive("first_rpm", self.first_rpm)?;
        not_negative("second_rpm", self.second_rpm.abs()).map(|_| ())
    }
}
