//! Worm and wheel at the throat.

use crate::contact::ContactError;
use crate::contact::depicted::Bodies;
use crate::contact::hertz::line;
use crate::contact::kinematics::{SurfaceSpeeds, rad_s};
use crate::contact::note::Note;
use crate::contact::preset::around::{Around, ONE_WAY, SURFACES, at_corners};
use crate::contact::preset::bounds::{Bounds, LENGTH_M, SPEED_RPM, TORQUE_NM};
use crate::contact::preset::key::Key;
use crate::contact::preset::read::{Parameters, PresetFault};
use crate::contact::preset::registry::Preset;
use crate::contact::preset::state::{Geometry, LoadedArea, State};
use crate::units::Interval;
use serde::Deserialize;

const ANGLE_DEG: Bounds = Bounds::above(0.0, 44.0);

const OWN: &[Key] = &[
    Key::number("worm_pitch_diameter_m", LENGTH_M),
    Key::number("lead_angle_deg", ANGLE_DEG),
    Key::number("wheel_pitch_diameter_m", LENGTH_M),
    Key::number("wheel_face_width_m", LENGTH_M),
    Key::number("normal_pressure_angle_deg", ANGLE_DEG),
    Key::range("wheel_torque_nm", TORQUE_NM),
    Key::range("worm_rpm", SPEED_RPM),
    Key::range("lines_in_contact", Bounds::from(1.0, 10.0)).usually_between(1.0, 2.0),
];

/// A worm and its wheel at the pitch point of the throat, taken as a line contact. An approximation: the wheel is a
/// helical gear against the flat flank of a rack.
///
/// # Formula
/// With r2 the wheel's pitch radius, g the lead angle, an the normal and `tan ax = tan an / cos g` the axial pressure
/// angle, `sin bb = sin g cos an` and b the wheel's face width (from memory, as for a helical gear and a rack):
/// normal force `T2 / (r2 cos an cos g)`, equivalent radius `r2 sin ax / cos bb`, length of one line `b / cos bb`.
/// One to two lines share the load where no number is given (ours). With v the worm's surface speed, sliding is
/// `v / cos g`; along it the worm's flank moves at `v cos g`, the wheel's at `v sin g tan g` the other way, and both
/// together move at `v sin g sin an` across it. The slide-roll ratio takes the mean of both velocities; the film
/// takes from the part across the sliding to the whole, because lines of contact change their direction over a flank.
#[derive(Debug, Deserialize)]
pub(super) struct WormThroat {
    worm_pitch_diameter_m: f64,
    lead_angle_deg: f64,
    wheel_pitch_diameter_m: f64,
    wheel_face_width_m: f64,
    normal_pressure_angle_deg: f64,
    wheel_torque_nm: Interval,
    worm_rpm: Interval,
    lines_in_contact: Interval,
    #[serde(flatten)]
    around: Around,
}

impl Preset for WormThroat {
    const WORD: &'static str = "worm throat";
    const KEYS: &'static [&'static [Key]] = &[OWN, ONE_WAY, SURFACES];

    fn read(given: &Parameters) -> Result<Self, PresetFault> {
        given.fields()
    }
}

impl WormThroat {
    fn state(&self, [torque_nm, rpm, lines]: [f64; 3]) -> Result<State, ContactError> {
        let lead = self.lead_angle_deg.to_radians();
        let normal_angle = self.normal_pressure_angle_deg.to_radians();
        let axial_angle = (normal_angle.tan() / lead.cos()).atan();
        let base_cosine = (lead.sin() * normal_angle.cos()).asin().cos();
        let wheel_radius = 0.5 * self.wheel_pitch_diameter_m;
        let load_n = torque_nm / (wheel_radius * normal_angle.cos() * lead.cos());
        let radius_m = wheel_radius * axial_angle.sin() / base_cosine;
        let length_m = lines * self.wheel_face_width_m / base_cosine;
        let modulus = self.around.contact_modulus_pa()?;
        let area = LoadedArea::Line(line(load_n, length_m, radius_m, modulus)?);

        let worm_speed = 0.5 * self.worm_pitch_diameter_m * rad_s(rpm);
        let along = |speed: f64| SurfaceSpeeds {
            first_m_s: speed * lead.cos(),
            second_m_s: -speed * lead.sin() * lead.tan(),
        };
        let across_per_speed = lead.sin() * normal_angle.sin();
        let mean_per_speed = along(1.0).entrainment_m_s().hypot(across_per_speed);
        Ok(State {
            sliding_m_s: along(worm_speed).sliding_m_s(),
            slide_roll: along(1.0).sliding_m_s() / mean_per_speed,
            entrainment_m_s: Interval::new(worm_speed * across_per_speed, worm_speed * mean_per_speed),
            rise_k: area.rise_k(along(worm_speed), &self.around)?,
            time_share: None,
            facts: vec![
                ("normal_force_n", load_n),
                ("worm_surface_speed_m_s", worm_speed),
                ("equivalent_radius_mm", 1e3 * radius_m),
                ("contact_length_mm", 1e3 * length_m),
            ],
            area,
        })
    }
}

impl Geometry for WormThroat {
    fn around(&self) -> &Around {
        &self.around
    }

    fn states(&self) -> Result<Vec<State>, ContactError> {
        at_corners(
            [self.wheel_torque_nm, self.worm_rpm, self.lines_in_contact],
            |corner| self.state(corner),
        )
    }

    fn notes(&self) -> Vec<Note> {
        vec![Note::WormAsRack, Note::WormFlash, Note::WormTime]
    }

    fn bodies(&self) -> Bodies {
        Bodies::Worm {
            worm_pitch_diameter_m: self.worm_pitch_diameter_m,
            wheel_pitch_diameter_m: self.wheel_pitch_diameter_m,
            wheel_face_width_m: self.wheel_face_width_m,
        }
    }
}
