//! Bevel gear pairs, by the cylindrical pair that stands for them.

use crate::contact::depicted::Bodies;
use crate::contact::elastic::STEEL;
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

const OWN: &[Key] = &[
    Key::count("pinion_teeth"),
    Key::count("wheel_teeth"),
    Key::number("outer_module_m", LENGTH_M),
    Key::number("shaft_angle_deg", Bounds::from(10.0, 170.0)).usually(90.0),
    Key::number("pressure_angle_deg", Bounds::above(0.0, 44.0)),
    Key::number("spiral_deg", Bounds::from(0.0, 44.0)).usually(0.0),
    Key::number("face_width_m", LENGTH_M),
    Key::number("profile_shift", Bounds::from(-1.0, 1.0)).usually(0.0),
    Key::number("addendum", Bounds::above(0.0, 2.0)).usually(1.0),
    Key::range("pinion_torque_nm", TORQUE_NM),
    Key::range("pinion_rpm", SPEED_RPM),
];

/// A bevel gear pair without shaft offset, straight or spiral, taken as the cylindrical pair of the developed cones at
/// the middle of the face. An approximation.
///
/// # Formula
/// Tredgold's (from memory): pitch cone angle of the pinion `tan d1 = sin S / (z2/z1 + cos S)`, S the shaft angle,
/// `d2 = S - d1`; at the middle of the face the module falls to `me (1 - b / (2 Re))` with the outer cone distance
/// `Re = me z1 / (2 sin d1)`. The cylindrical pair has `z / cos d` teeth, the pinion's torque over `cos d1` and its speed
/// times `cos d1`, so that force and pitch line velocity are the same; a spiral angle is its helix angle.
#[derive(Debug)]
pub(super) struct BevelPair {
    flanks: Flanks,
    pinion_cone_rad: f64,
    wheel_cone_rad: f64,
    mean_cone_distance_m: f64,
    faster_over_pinion: f64,
    pinion_torque_nm: Interval,
    pinion_rpm: Interval,
    around: Around,
}

impl Preset for BevelPair {
    const WORD: &'static str = "bevel gear pair";
    const KEYS: &'static [&'static [Key]] = &[OWN, ONE_WAY, SURFACES];

    fn read(given: &Parameters) -> Result<Self, PresetFault> {
        let teeth = [given.count("pinion_teeth")?, given.count("wheel_teeth")?].map(f64::from);
        let ratio = teeth[1] / teeth[0];
        let shafts_rad = given.number("shaft_angle_deg")?.to_radians();
        let pinion_cone_rad = shafts_rad.sin().atan2(ratio + shafts_rad.cos());
        let wheel_cone_rad = shafts_rad - pinion_cone_rad;
        if pinion_cone_rad.cos() < 0.05 || wheel_cone_rad.cos() < 0.05 {
            return Err(PresetFault::new("shaft_angle_deg", Wrong::FlatCone));
        }
        let outer_module_m = given.number("outer_module_m")?;
        let outer_distance_m = 0.5 * outer_module_m * teeth[0] / pinion_cone_rad.sin();
        let face_width_m = given.number("face_width_m")?;
        if face_width_m > 0.5 * outer_distance_m {
            let whole_mm = format!("{:.3}", 1e3 * outer_distance_m);
            return Err(PresetFault::with(
                "face_width_m",
                Wrong::WiderThanHalfCone,
                &[&whole_mm],
            ));
        }
        let mean_cone_distance_m = outer_distance_m - 0.5 * face_width_m;
        let module_m = outer_module_m * mean_cone_distance_m / outer_distance_m;
        let helix_rad = given.number("spiral_deg")?.to_radians();
        let normal_module_m = module_m * helix_rad.cos();
        let virtual_teeth = [teeth[0] / pinion_cone_rad.cos(), teeth[1] / wheel_cone_rad.cos()];
        let shift = given.number("profile_shift")?;
        let addendum = given.number("addendum")?;
        let tip = |teeth: f64, shift: f64| module_m * teeth + 2.0 * normal_module_m * (addendum + shift);
        let pair = Self {
            flanks: Flanks {
                teeth: virtual_teeth,
                normal_module_m,
                pressure_angle_rad: given.number("pressure_angle_deg")?.to_radians(),
                helix_rad,
                centre_distance_m: 0.5 * module_m * (virtual_teeth[0] + virtual_teeth[1]),
                face_width_m,
                tip_diameters_m: [tip(virtual_teeth[0], shift), tip(virtual_teeth[1], -shift)],
            },
            pinion_cone_rad,
            wheel_cone_rad,
            mean_cone_distance_m,
            faster_over_pinion: 1f64.max(1.0 / ratio),
            pinion_torque_nm: given.range("pinion_torque_nm")?,
            pinion_rpm: given.range("pinion_rpm")?,
            around: given.fields()?,
        };
        let spur_pair = pair.flanks.virtual_spur_pair([STEEL, STEEL]);
        spur_pair.map_err(|error| match error {
            ContactError::Field { field, wrong, .. } if field.ends_with("tip_diameter_m") => {
                PresetFault::with("addendum", Wrong::AddendumOfTips, &[&wrong.words()])
            }
            other => PresetFault::with("parameters", Wrong::Refused, &[&other]),
        })?;
        Ok(pair)
    }
}

impl Geometry for BevelPair {
    fn around(&self) -> &Around {
        &self.around
    }

    fn states(&self) -> Result<Vec<State>, ContactError> {
        let pair = self.flanks.virtual_spur_pair(self.around.materials.elastic()?)?;
        let cosine = self.pinion_cone_rad.cos();
        both_at_corners([self.pinion_torque_nm, self.pinion_rpm], |[torque_nm, rpm]| {
            let drive = Drive {
                torque_nm: torque_nm / cosine,
                rpm: rpm * cosine,
                faster_over_pinion: self.faster_over_pinion / cosine,
            };
            let mut states = self.flanks.states(&pair, &drive, &self.around)?;
            let cones = [
                ("pinion_cone_deg", self.pinion_cone_rad.to_degrees()),
                ("wheel_cone_deg", self.wheel_cone_rad.to_degrees()),
                ("mean_cone_distance_mm", 1e3 * self.mean_cone_distance_m),
                ("cylindrical_pinion_teeth", self.flanks.teeth[0]),
                ("cylindrical_wheel_teeth", self.flanks.teeth[1]),
            ];
            for state in &mut states {
                state.facts.extend(cones);
            }
            Ok(states)
        })
    }

    fn notes(&self) -> Vec<Note> {
        [vec![Note::DevelopedCones], self.flanks.notes()].concat()
    }

    fn bodies(&self) -> Bodies {
        self.flanks.bodies()
    }
}
