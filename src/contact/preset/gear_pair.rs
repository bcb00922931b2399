//! External spur and helical gear pairs.

use crate::contact::ContactError;
use crate::contact::elastic::{Elastic, STEEL};
use crate::contact::flash::line_rise_k;
use crate::contact::gear::{GearData, GearPair, PathPoint};
use crate::contact::kinematics::SurfaceSpeeds;
use crate::contact::preset::around::{Around, ONE_WAY, ROUGHNESS, corners};
use crate::contact::preset::bounds::{Bounds, LENGTH_M, SPEED_RPM, TORQUE_NM};
use crate::contact::preset::key::Key;
use crate::contact::preset::read::{Parameters, PresetFault};
use crate::contact::preset::registry::Preset;
use crate::contact::preset::state::{Area, Geometry, State};
use crate::units::Interval;
use std::f64::consts::PI;

const OWN: &[Key] = &[
    Key::count("pinion_teeth", "Pinion teeth"),
    Key::count("wheel_teeth", "Wheel teeth"),
    Key::number("normal_module_m", "Normal module", LENGTH_M),
    Key::number(
        "pressure_angle_deg",
        "Normal pressure angle",
        Bounds::above(0.0, 44.0),
    ),
    Key::number("helix_deg", "Helix angle", Bounds::from(0.0, 44.0)).usually(0.0),
    Key::number("centre_distance_m", "Centre distance", LENGTH_M),
    Key::number("face_width_m", "Face width in mesh", LENGTH_M),
    Key::number("pinion_tip_diameter_m", "Pinion tip diameter", LENGTH_M),
    Key::number("wheel_tip_diameter_m", "Wheel tip diameter", LENGTH_M),
    Key::range("pinion_torque_nm", "Pinion torque", TORQUE_NM),
    Key::range("pinion_rpm", "Pinion speed", SPEED_RPM),
];

/// An external gear pair.
///
/// Pressure is that at the pitch point with one pair of teeth carrying the whole torque, as for gear tests, so that
/// both sides of a comparison mean the same; sliding, slide-roll ratio and flash temperature are means along the path
/// of contact, as for gear tests.
///
/// # Formula
/// A helical pair is computed by its virtual spur pair: the transverse pair with every length divided by the cosine
/// of the base helix angle `sin bb = sin b cos an`, the pinion torque by its square, and the speed multiplied by it.
/// That pair has the flanks' radii of curvature in their normal section, the flanks' normal force, the length of a
/// line of contact over the whole face, and the flanks' speeds across that line. At the pitch point it is
/// ISO 6336-2 with its helix and contact ratio factors at 1 (from memory).
#[derive(Debug)]
pub struct GearMesh {
    pinion_teeth: u32,
    wheel_teeth: u32,
    normal_module_m: f64,
    pressure_angle_deg: f64,
    helix_deg: f64,
    centre_distance_m: f64,
    face_width_m: f64,
    pinion_tip_diameter_m: f64,
    wheel_tip_diameter_m: f64,
    pinion_torque_nm: Interval,
    pinion_rpm: Interval,
    around: Around,
}

impl Preset for GearMesh {
    const WORD: &'static str = "gear pair";
    const KEYS: &'static [&'static [Key]] = &[OWN, ONE_WAY, ROUGHNESS];

    fn read(given: &Parameters) -> Result<Self, PresetFault> {
        let mesh = Self {
            pinion_teeth: given.count("pinion_teeth")?,
            wheel_teeth: given.count("wheel_teeth")?,
            normal_module_m: given.number("normal_module_m")?,
            pressure_angle_deg: given.number("pressure_angle_deg")?,
            helix_deg: given.number("helix_deg")?,
            centre_distance_m: given.number("centre_distance_m")?,
            face_width_m: given.number("face_width_m")?,
            pinion_tip_diameter_m: given.number("pinion_tip_diameter_m")?,
            wheel_tip_diameter_m: given.number("wheel_tip_diameter_m")?,
            pinion_torque_nm: given.range("pinion_torque_nm")?,
            pinion_rpm: given.range("pinion_rpm")?,
            around: Around::read(given)?,
        };
        mesh.virtual_spur_pair([STEEL, STEEL])
            .map_err(|error| match error {
                ContactError::Field { field, reason, .. } => {
                    let key = if field == "module_m" {
                        "normal_module_m"
                    } else {
                        field
                    };
                    PresetFault::new(key, reason)
                }
                other => PresetFault::new("parameters", other.to_string()),
            })?;
        Ok(mesh)
    }
}

impl GearMesh {
    /// Base helix angle, rad; 0 for a spur pair.
    pub fn base_helix_rad(&self) -> f64 {
        let normal_angle = self.pressure_angle_deg.to_radians();
        (self.helix_deg.to_radians().sin() * normal_angle.cos()).asin()
    }

    /// The spur pair by which it is computed, of two elastic bodies; the pair itself where it has no helix.
    ///
    /// # Errors
    /// None for a pair that was read, whatever the bodies.
    pub fn virtual_spur_pair(&self, elastic: [Elastic; 2]) -> Result<GearPair, ContactError> {
        let helix = self.helix_deg.to_radians();
        let transverse_angle = (self.pressure_angle_deg.to_radians().tan() / helix.cos()).atan();
        let scale = 1.0 / self.base_helix_rad().cos();
        GearPair::new(GearData {
            pinion_teeth: self.pinion_teeth,
            wheel_teeth: self.wheel_teeth,
            module_m: self.normal_module_m / helix.cos() * scale,
            pressure_angle_deg: transverse_angle.to_degrees(),
            centre_distance_m: self.centre_distance_m * scale,
            pinion_tip_diameter_m: self.pinion_tip_diameter_m * scale,
            wheel_tip_diameter_m: self.wheel_tip_diameter_m * scale,
            face_width_m: self.face_width_m * scale,
            elastic,
        })
    }

    fn state(&self, pair: &GearPair, torque_nm: f64, rpm: f64) -> Result<State, ContactError> {
        let cosine = self.base_helix_rad().cos();
        let (torque, virtual_rpm) = (torque_nm / cosine.powi(2), rpm * cosine);
        let bodies = self.around.materials.thermal()?;
        let contact = pair.pitch_contact(torque)?;
        let load_per_length = contact.load_n / contact.length_m;
        // All speeds are in proportion to the pinion's, so that those at 1 r/min also serve a duty at standstill.
        let mean = |quantity: &dyn Fn(&PathPoint) -> f64| pair.mean_over_path(1.0, torque, quantity);
        let ends = pair.path_points();
        let pitch = pair.at(ends.c_m, 1.0, torque)?;
        let sliding_at = |s_m: f64| Ok::<_, ContactError>(pair.at(s_m, 1.0, torque)?.sliding_m_s().abs());
        let faster_rpm = 1f64.max(pair.speed_ratio()) / cosine;
        let overlap = self.face_width_m * self.helix_deg.to_radians().sin() / (PI * self.normal_module_m);
        Ok(State {
            sliding_m_s: virtual_rpm * mean(&|point| point.sliding_m_s().abs())?,
            slide_roll: mean(&|point| point.slide_roll())?,
            entrainment_m_s: Interval::point(virtual_rpm * pitch.entrainment_m_s()),
            rise_k: Some(mean(&|point| {
                let speeds = SurfaceSpeeds {
                    first_m_s: virtual_rpm * point.speeds.first_m_s,
                    second_m_s: virtual_rpm * point.speeds.second_m_s,
                };
                let friction = self.around.friction_coefficient;
                line_rise_k(friction, load_per_length, point.half_width_m, speeds, bodies)
            })?),
            time_share: Some(
                (2.0 * contact.half_width_m / pitch.speeds.first_m_s * faster_rpm / 60.0).min(1.0),
            ),
            facts: vec![
                ("Normal force on the flanks", contact.load_n, "N"),
                (
                    "Pitch line velocity",
                    pair.pitch_line_velocity_m_s(virtual_rpm),
                    "m/s",
                ),
                ("Transverse contact ratio", pair.contact_ratio(), "-"),
                ("Overlap ratio", overlap, "-"),
                (
                    "Sliding at the pinion tip",
                    virtual_rpm * sliding_at(ends.e_m)?,
                    "m/s",
                ),
                (
                    "Sliding at the wheel tip",
                    virtual_rpm * sliding_at(ends.a_m)?,
                    "m/s",
                ),
            ],
            area: Area::Line(contact),
        })
    }
}

impl Geometry for GearMesh {
    fn around(&self) -> &Around {
        &self.around
    }

    fn states(&self) -> Result<Vec<State>, ContactError> {
        let pair = self.virtual_spur_pair(self.around.materials.elastic()?)?;
        corners([self.pinion_torque_nm, self.pinion_rpm])
            .into_iter()
            .map(|[torque, rpm]| self.state(&pair, torque, rpm))
            .collect()
    }

    fn gears(&self) -> Option<&GearMesh> {
        Some(self)
    }

    fn notes(&self) -> Vec<String> {
        let mut notes =
            vec!["pressure at the pitch point with one pair of teeth carrying the whole torque".to_string()];
        if self.helix_deg > 0.0 {
            notes.push(
                "helical pair computed by its virtual spur pair in the normal section; the sharing of load among \
                 its inclined lines of contact is not modelled"
                    .to_string(),
            );
        }
        notes
    }
}
