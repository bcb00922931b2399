//! The tip of a vane on its ring.

use crate::contact::depicted::{Bodies, Moves, Surface};
use crate::contact::hertz::{line, reduced_radius_m};
use crate::contact::kinematics::{SurfaceSpeeds, ring_speed_m_s};
use crate::contact::note::Note;
use crate::contact::preset::around::{Around, ONE_WAY, SURFACES, at_corners};
use crate::contact::preset::bounds::{FORCE_N, LENGTH_M, SPEED_RPM};
use crate::contact::preset::key::Key;
use crate::contact::preset::read::{Parameters, PresetFault};
use crate::contact::preset::registry::Preset;
use crate::contact::preset::state::{Geometry, LoadedArea, State};
use crate::contact::{ContactError, Wrong};
use crate::units::Interval;
use serde::Deserialize;

const OWN: &[Key] = &[
    Key::number("tip_radius_m", LENGTH_M),
    Key::number("ring_bore_diameter_m", LENGTH_M),
    Key::number("vane_width_m", LENGTH_M),
    Key::range("load_n", FORCE_N),
    Key::range("rotor_rpm", SPEED_RPM),
];

/// The tip of a vane that slides in the bore of a ring, both of one width.
///
/// # Formula
/// Line contact of the tip in the hollow of the bore; sliding `pi D n`, D the bore: that the rotor lies eccentric, or
/// that a ring for two strokes is oval, changes neither by more than its share of the radius and is left out (ours).
/// The contact stays on the vane, so that the slide-roll ratio is 2 and the tip is in contact all the time.
#[derive(Clone, Debug, PartialEq, Deserialize)]
pub(super) struct VaneOnRing {
    tip_radius_m: f64,
    ring_bore_diameter_m: f64,
    vane_width_m: f64,
    load_n: Interval,
    rotor_rpm: Interval,
    #[serde(flatten)]
    around: Around,
}

impl Preset for VaneOnRing {
    const WORD: &'static str = "vane on ring";
    const KEYS: &'static [&'static [Key]] = &[OWN, ONE_WAY, SURFACES];

    fn read(given: &Parameters) -> Result<Self, PresetFault> {
        let vane: Self = given.fields()?;
        if 2.0 * vane.tip_radius_m < vane.ring_bore_diameter_m {
            Ok(vane)
        } else {
            Err(PresetFault::new("tip_radius_m", Wrong::TipOfRing))
        }
    }
}

impl VaneOnRing {
    fn state(&self, [load_n, rpm]: [f64; 2]) -> Result<State, ContactError> {
        let radius_m = reduced_radius_m(self.tip_radius_m, -0.5 * self.ring_bore_diameter_m)?;
        let modulus = self.around.contact_modulus_pa()?;
        let area = LoadedArea::Line(line(load_n, self.vane_width_m, radius_m, modulus)?);
        let speeds = SurfaceSpeeds::against_fixed(ring_speed_m_s(self.ring_bore_diameter_m, rpm));
        Ok(State {
            sliding_m_s: speeds.sliding_m_s(),
            slide_roll: 2.0,
            entrainment_m_s: Interval::point(speeds.entrainment_m_s()),
            rise_k: area.rise_k(speeds, &self.around)?,
            time_share: Some(1.0),
            facts: vec![
                ("load_per_length_n_mm", 1e-3 * load_n / self.vane_width_m),
                ("equivalent_radius_mm", 1e3 * radius_m),
            ],
            area,
        })
    }
}

impl Geometry for VaneOnRing {
    fn around(&self) -> &Around {
        &self.around
    }

    fn states(&self) -> Result<Vec<State>, ContactError> {
        at_corners([self.load_n, self.rotor_rpm], |corner| self.state(corner))
    }

    fn notes(&self) -> Vec<Note> {
        vec![Note::VaneRound]
    }

    fn bodies(&self) -> Bodies {
        Bodies::Pair {
            upper: Surface::new("vane tip", self.tip_radius_m, Moves::SlidesOneWay),
            lower: Surface::new("ring bore", -0.5 * self.ring_bore_diameter_m, Moves::Still),
            stroke_m: None,
        }
    }
}
