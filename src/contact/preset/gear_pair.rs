//! External spur and helical gear pairs.

use crate::contact::depicted::Bodies;
use crate::contact::elastic::{Elastic, STEEL};
use crate::contact::gear::{GearPair, shifted_centre_distance_m};
use crate::contact::note::Note;
use crate::contact::preset::around::{Around, ONE_WAY, SURFACES, both_at_corners};
use crate::contact::preset::bounds::{Bounds, LENGTH_M, SPEED_RPM, TORQUE_NM};
use crate::contact::preset::flanks::{Drive, Flanks};
use crate::contact::preset::key::Key;
use crate::contact::preset::read::{Parameters, PresetFault};
use crate::contact::preset::registry::Preset;
use crate::contact::preset::state::{Geometry, State};
use crate::contact::{ContactError, Wrong};
use crate::units::Interval;

const SHIFT: Bounds = Bounds::from(-3.0, 3.0);
/// Part of a module by which a centre distance may lie beside that of its profile shifts: backlash (ours).
const ROOM_FOR_BACKLASH: f64 = 0.05;

const OWN: &[Key] = &[
    Key::count("pinion_teeth"),
    Key::count("wheel_teeth"),
    Key::number("normal_module_m", LENGTH_M),
    Key::number("pressure_angle_deg", Bounds::above(0.0, 44.0)),
    Key::number("helix_deg", Bounds::from(0.0, 44.0)).usually(0.0),
    Key::number("centre_distance_m", LENGTH_M).optional(),
    Key::number("pinion_profile_shift", SHIFT).optional(),
    Key::number("wheel_profile_shift", SHIFT).optional(),
    Key::number("face_width_m", LENGTH_M),
    Key::number("pinion_tip_diameter_m", LENGTH_M),
    Key::number("wheel_tip_diameter_m", LENGTH_M),
    Key::range("pinion_torque_nm", TORQUE_NM),
    Key::range("pinion_rpm", SPEED_RPM),
];

/// An external gear pair.
///
/// Pressure is that at the pitch point with one pair of teeth carrying the whole torque, as for gear tests, so that
/// both sides of a comparison mean the same; sliding, rolling speed, slide-roll ratio and flash temperature reach from their
/// means along the path of contact, the flash with one pair carrying the whole torque, as for gear tests, to the tip that
/// slides most. At the points of the path the page shows, and for the greatest flash, two pairs share the load between A
/// and B and between D and E.
///
/// # Formula
/// A helical pair is computed by its virtual spur pair: the transverse pair with every length divided by the cosine
/// of the base helix angle `sin bb = sin b cos an`, the pinion torque by its square, and the speed multiplied by it.
/// That pair has the flanks' radii of curvature in their normal section, the flanks' normal force, the length of a
/// line of contact over the whole face, and the flanks' speeds across that line. At the pitch point it is
/// ISO 6336-2 with its helix and contact ratio factors at 1 (from memory). Where no centre distance is given it is that
/// of the profile shifts without backlash.
#[derive(Debug)]
pub struct GearMesh {
    flanks: Flanks,
    pinion_torque_nm: Interval,
    pinion_rpm: Interval,
    around: Around,
}

impl Preset for GearMesh {
    const WORD: &'static str = "gear pair";
    const KEYS: &'static [&'static [Key]] = &[OWN, ONE_WAY, SURFACES];

    fn read(given: &Parameters) -> Result<Self, PresetFault> {
        let teeth = [given.count("pinion_teeth")?, given.count("wheel_teeth")?].map(f64::from);
        let normal_module_m = given.number("normal_module_m")?;
        let pressure_angle_rad = given.number("pressure_angle_deg")?.to_radians();
        let helix_rad = given.number("helix_deg")?.to_radians();
        let of_shifts =
            |sum: f64| shifted_centre_distance_m(teeth, normal_module_m, pressure_angle_rad, helix_rad, sum);
        let mesh = Self {
            flanks: Flanks {
                teeth,
                normal_module_m,
                pressure_angle_rad,
                helix_rad,
                centre_distance_m: centre_distance_m(given, normal_module_m, of_shifts)?,
                face_width_m: given.number("face_width_m")?,
                tip_diameters_m: [
                    given.number("pinion_tip_diameter_m")?,
                    given.number("wheel_tip_diameter_m")?,
                ],
            },
            pinion_torque_nm: given.range("pinion_torque_nm")?,
            pinion_rpm: given.range("pinion_rpm")?,
            around: given.fields()?,
        };
        mesh.virtual_spur_pair([STEEL, STEEL])
            .map_err(|error| match error {
                ContactError::Field {
                    field: "module_m",
                    wrong,
                    ..
                } => PresetFault::new("normal_module_m", wrong),
                other => other.into(),
            })?;
        Ok(mesh)
    }
}

/// The centre distance that is given, or that of the profile shifts; both must agree where both are given.
fn centre_distance_m(
    given: &Parameters,
    module_m: f64,
    of_shifts: impl Fn(f64) -> Option<f64>,
) -> Result<f64, PresetFault> {
    let distance = given.number_if("centre_distance_m");
    let shifts = given
        .number_if("pinion_profile_shift")
        .zip(given.number_if("wheel_profile_shift"));
    let Some((pinion, wheel)) = shifts else {
        return distance.ok_or_else(|| PresetFault::new("centre_distance_m", Wrong::NoCentreDistance));
    };
    let shifted = of_shifts(pinion + wheel)
        .ok_or_else(|| PresetFault::new("pinion_profile_shift", Wrong::ShiftsTooNegative))?;
    match distance {
        Some(distance) if (distance - shifted).abs() > ROOM_FOR_BACKLASH * module_m => {
            let shifted_mm = format!("{:.4}", 1e3 * shifted);
            Err(PresetFault::with(
                "centre_distance_m",
                Wrong::OffShifts,
                &[&shifted_mm],
            ))
        }
        Some(distance) => Ok(distance),
        None => Ok(shifted),
    }
}

impl GearMesh {
    /// The spur pair by which it is computed, of two elastic bodies; the pair itself where it has no helix.
    ///
    /// # Errors
    /// None for a pair that was read, whatever the bodies.
    pub fn virtual_spur_pair(&self, elastic: [Elastic; 2]) -> Result<GearPair, ContactError> {
        self.flanks.virtual_spur_pair(elastic)
    }
}

impl Geometry for GearMesh {
    fn around(&self) -> &Around {
        &self.around
    }

    fn states(&self) -> Result<Vec<State>, ContactError> {
        let pair = self.virtual_spur_pair(self.around.materials.elastic()?)?;
        both_at_corners([self.pinion_torque_nm, self.pinion_rpm], |[torque_nm, rpm]| {
            let drive = Drive {
                torque_nm,
                rpm,
                faster_over_pinion: 1f64.max(pair.speed_ratio()),
            };
            let mut states = self.flanks.states(&pair, &drive, &self.around)?;
            let distance = 1e3 * self.flanks.centre_distance_m;
            for state in &mut states {
                state.facts.push(("working_centre_distance_mm", distance));
            }
            Ok(states)
        })
    }

    fn gears(&self) -> Option<&GearMesh> {
        Some(self)
    }

    fn notes(&self) -> Vec<Note> {
        self.flanks.notes()
    }

    fn bodies(&self) -> Bodies {
        self.flanks.bodies()
    }
}
