//! A pair of spur gears along its path of contact.

mod helical;
mod path;

use crate::contact::elastic::{Elastic, contact_modulus_pa};
use crate::contact::error::positive;
use crate::contact::hertz::{LineContact, line};
use crate::contact::kinematics::rad_s;
use crate::contact::{ContactError, Wrong};

pub use helical::{base_helix_rad, overlap_ratio, shifted_centre_distance_m, virtual_spur};
pub use path::{PathPoint, PathPoints};

/// What a spur gear pair is made from.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct GearData {
    /// Teeth of the pinion: a whole number, but for a pair that stands for another.
    pub pinion_teeth: f64,
    /// Teeth of the wheel.
    pub wheel_teeth: f64,
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
    /// Elastic constants of pinion and wheel.
    pub elastic: [Elastic; 2],
}

/// A valid pair: its path of contact lies between the points where the line of action touches the base circles.
///
/// Distances along the line of action count from the touching point on the pinion's base circle, where the
/// pinion flank's radius of curvature is zero.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct GearPair {
    data: GearData,
    base_radii_m: [f64; 2],
    working_pressure_angle_rad: f64,
    line_of_action_m: f64,
    path_ends_m: [f64; 2],
}

impl GearPair {
    /// A pair from its data.
    ///
    /// # Errors
    /// Names the field that is not above zero, a centre distance at which the base circles overlap, a tip that
    /// does not reach over the base circle or runs past the other gear's, and gears that lose contact.
    pub fn new(data: GearData) -> Result<Self, ContactError> {
        let teeth = [
            positive("pinion_teeth", data.pinion_teeth)?,
            positive("wheel_teeth", data.wheel_teeth)?,
        ];
        let module = positive("module_m", data.module_m)?;
        let angle = positive("pressure_angle_deg", data.pressure_angle_deg)?;
        if angle >= 45.0 {
            return Err(ContactError::field(
                "pressure_angle_deg",
                angle,
                Wrong::PressureAngle,
            ));
        }
        let distance = positive("centre_distance_m", data.centre_distance_m)?;
        positive("face_width_m", data.face_width_m)?;
        let base_radii_m = teeth.map(|count| 0.5 * module * count * angle.to_radians().cos());
        let cosine = (base_radii_m[0] + base_radii_m[1]) / distance;
        if cosine >= 1.0 {
            return Err(ContactError::field(
                "centre_distance_m",
                distance,
                Wrong::BaseCirclesOverlap,
            ));
        }
        let working_pressure_angle_rad = cosine.acos();
        let line_of_action_m = distance * working_pressure_angle_rad.sin();
        let reach = |field, diameter: f64, base: f64| {
            let over_base = 0.25 * positive(field, diameter)?.powi(2) - base * base;
            if over_base > 0.0 && over_base.sqrt() < line_of_action_m {
                Ok(over_base.sqrt())
            } else {
                Err(ContactError::field(field, diameter, Wrong::TipOffLine))
            }
        };
        let pinion_reach = reach(
            "pinion_tip_diameter_m",
            data.pinion_tip_diameter_m,
            base_radii_m[0],
        )?;
        let wheel_reach = reach("wheel_tip_diameter_m", data.wheel_tip_diameter_m, base_radii_m[1])?;
        let pair = Self {
            data,
            base_radii_m,
            working_pressure_angle_rad,
            line_of_action_m,
            path_ends_m: [line_of_action_m - wheel_reach, pinion_reach],
        };
        if pair.contact_ratio() < 1.0 {
            return Err(ContactError::field(
                "pinion_tip_diameter_m",
                data.pinion_tip_diameter_m,
                Wrong::LosesContact,
            ));
        }
        Ok(pair)
    }

    /// Working pressure angle, rad.
    pub fn working_pressure_angle_rad(&self) -> f64 {
        self.working_pressure_angle_rad
    }

    /// Base radii of pinion and wheel, m.
    pub fn base_radii_m(&self) -> [f64; 2] {
        self.base_radii_m
    }

    /// Working pitch radii of pinion and wheel, m.
    pub fn pitch_radii_m(&self) -> [f64; 2] {
        self.base_radii_m
            .map(|base| base / self.working_pressure_angle_rad.cos())
    }

    /// Base pitch, m.
    pub fn base_pitch_m(&self) -> f64 {
        std::f64::consts::TAU * self.base_radii_m[0] / self.data.pinion_teeth
    }

    /// Points A to E.
    pub fn path_points(&self) -> PathPoints {
        let [a_m, e_m] = self.path_ends_m;
        PathPoints {
            a_m,
            b_m: e_m - self.base_pitch_m(),
            c_m: self.base_radii_m[0] * self.working_pressure_angle_rad.tan(),
            d_m: a_m + self.base_pitch_m(),
            e_m,
        }
    }

    /// Length of the path of contact over the base pitch.
    pub fn contact_ratio(&self) -> f64 {
        (self.path_ends_m[1] - self.path_ends_m[0]) / self.base_pitch_m()
    }

    /// Contact modulus E* of the two flanks, Pa.
    pub fn contact_modulus_pa(&self) -> f64 {
        contact_modulus_pa(self.data.elastic[0], self.data.elastic[1])
    }

    /// Wheel speed over pinion speed.
    pub fn speed_ratio(&self) -> f64 {
        self.data.pinion_teeth / self.data.wheel_teeth
    }

    /// Pitch line velocity in m/s.
    pub fn pitch_line_velocity_m_s(&self, pinion_rpm: f64) -> f64 {
        self.pitch_radii_m()[0] * rad_s(pinion_rpm)
    }

    /// Normal force on the flanks in N under a pinion torque: torque over base radius.
    pub fn tooth_normal_force_n(&self, pinion_torque_nm: f64) -> f64 {
        pinion_torque_nm / self.base_radii_m[0]
    }

    /// The contact at the pitch point, one pair carrying the whole torque.
    ///
    /// # Errors
    /// Names `pinion_torque_nm` unless above zero and finite.
    pub fn pitch_contact(&self, pinion_torque_nm: f64) -> Result<LineContact, ContactError> {
        let torque = positive("pinion_torque_nm", pinion_torque_nm)?;
        let c = self.path_points().c_m;
        line(
            self.tooth_normal_force_n(torque),
            self.data.face_width_m,
            c * (self.line_of_action_m - c) / self.line_of_action_m,
            self.contact_modulus_pa(),
        )
    }

    /// Maximum pressure at the pitch point in Pa, one pair carrying the whole torque.
    ///
    /// # Errors
    /// Names `pinion_torque_nm` unless above zero and finite.
    pub fn pitch_point_pressure_pa(&self, pinion_torque_nm: f64) -> Result<f64, ContactError> {
        Ok(self.pitch_contact(pinion_torque_nm)?.max_pressure_pa)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::contact::elastic::STEEL;

    /// Profile of the scuffing rig (geometry partly from memory).
    fn rig() -> GearData {
        GearData {
            pinion_teeth: 16.0,
            wheel_teeth: 24.0,
            module_m: 4.5e-3,
            pressure_angle_deg: 20.0,
            centre_distance_m: 91.5e-3,
            pinion_tip_diameter_m: 88.8e-3,
            wheel_tip_diameter_m: 112.5e-3,
            face_width_m: 20e-3,
            elastic: [STEEL, STEEL],
        }
    }

    fn field_refused(data: GearData) -> &'static str {
        match GearPair::new(data) {
            Err(ContactError::Field { field, .. }) => field,
            other => panic!("{other:?}"),
        }
    }

    #[test]
    fn gears_that_cannot_mesh_are_refused_and_named() {
        let close = GearData {
            centre_distance_m: 80e-3,
            ..rig()
        };
        assert_eq!(field_refused(close), "centre_distance_m");
        let short = GearData {
            pinion_tip_diameter_m: 60e-3,
            ..rig()
        };
        assert_eq!(field_refused(short), "pinion_tip_diameter_m");
        let long = GearData {
            wheel_tip_diameter_m: 140e-3,
            ..rig()
        };
        assert_eq!(field_refused(long), "wheel_tip_diameter_m");
        let apart = GearData {
            pinion_tip_diameter_m: 74e-3,
            wheel_tip_diameter_m: 110e-3,
            ..rig()
        };
        assert_eq!(field_refused(apart), "pinion_tip_diameter_m");
    }

    #[test]
    fn flanks_roll_without_sliding_at_the_pitch_point() {
        let pair = GearPair::new(rig()).unwrap();
        let pitch = pair.at(pair.path_points().c_m, 2175.0, 100.0).unwrap();
        assert!(pitch.sliding_m_s().abs() < 1e-12);
    }

    #[test]
    fn sliding_changes_its_sign_once_along_the_path() {
        let pair = GearPair::new(rig()).unwrap();
        let signs: Vec<bool> = pair
            .path(2175.0, 100.0, 50)
            .unwrap()
            .map(|p| p.sliding_m_s() > 0.0)
            .collect();
        assert_eq!(signs.windows(2).filter(|pair| pair[0] != pair[1]).count(), 1);
    }

    #[test]
    fn the_mean_of_a_constant_is_that_constant() {
        let pair = GearPair::new(rig()).unwrap();
        let mean = pair.mean_over_path(2175.0, 100.0, |_| 3.0).unwrap();
        assert!((mean - 3.0).abs() < 1e-12);
    }
}
