//! The pin of a chain in its bush.

use crate::contact::depicted::{Bodies, Moves};
use crate::contact::kinematics::ring_speed_m_s;
use crate::contact::note::Note;
use crate::contact::preset::around::{Around, REVERSING, corners};
use crate::contact::preset::bounds::{FORCE_N, LENGTH_M, SPEED_RPM};
use crate::contact::preset::conformal;
use crate::contact::preset::key::Key;
use crate::contact::preset::read::{Parameters, PresetFault};
use crate::contact::preset::registry::Preset;
use crate::contact::preset::state::{Geometry, State};
use crate::contact::{ContactError, Wrong};
use crate::units::Interval;
use serde::Deserialize;
use std::f64::consts::PI;

const OWN: &[Key] = &[
    Key::number("pin_diameter_m", LENGTH_M),
    Key::number("bush_length_m", LENGTH_M),
    Key::count("sprocket_teeth"),
    Key::range("tension_n", FORCE_N),
    Key::range("sprocket_rpm", SPEED_RPM),
];

/// Fewest teeth of a sprocket: below, a link would turn by more than 120 degrees (ours).
const FEWEST_TEETH: u32 = 4;

/// A pin that turns in its bush while a link runs onto a sprocket, and back where it runs off.
///
/// # Formula
/// Mean pressure `F / (d L)` on the projected area; a link turns by the articulation angle `360 / z` while the sprocket
/// turns by the same, so that pin and bush slide at `pi d n` as long as it lasts (geometry). The mean is that over the
/// articulation: between two of them nothing slides. The loaded side of the bush stays in contact.
#[derive(Clone, Debug, PartialEq, Deserialize)]
pub(super) struct ChainPin {
    pin_diameter_m: f64,
    bush_length_m: f64,
    sprocket_teeth: u32,
    tension_n: Interval,
    sprocket_rpm: Interval,
    #[serde(flatten)]
    around: Around,
}

impl Preset for ChainPin {
    const WORD: &'static str = "chain pin";
    const KEYS: &'static [&'static [Key]] = &[OWN, REVERSING];

    fn read(given: &Parameters) -> Result<Self, PresetFault> {
        let chain: Self = given.fields()?;
        if chain.sprocket_teeth >= FEWEST_TEETH {
            Ok(chain)
        } else {
            Err(PresetFault::new("sprocket_teeth", Wrong::FewTeeth))
        }
    }
}

impl ChainPin {
    fn state(&self, [tension_n, rpm]: [f64; 2]) -> State {
        let sliding_m_s = ring_speed_m_s(self.pin_diameter_m, rpm);
        let sides_m = [self.bush_length_m, self.pin_diameter_m];
        let mut state = conformal::state(&self.around, tension_n, sides_m, sliding_m_s);
        let teeth = f64::from(self.sprocket_teeth);
        state.facts.extend([
            ("articulation_deg", 360.0 / teeth),
            ("articulation_sliding_mm", 1e3 * PI * self.pin_diameter_m / teeth),
            ("articulations_per_s", rpm / 60.0 * teeth),
        ]);
        state
    }
}

impl Geometry for ChainPin {
    fn around(&self) -> &Around {
        &self.around
    }

    fn states(&self) -> Result<Vec<State>, ContactError> {
        let all = corners([self.tension_n, self.sprocket_rpm]);
        Ok(all.into_iter().map(|corner| self.state(corner)).collect())
    }

    fn notes(&self) -> Vec<Note> {
        [conformal::NOTES, &[Note::ArticulationOnly]].concat()
    }

    fn bodies(&self) -> Bodies {
        Bodies::InBush {
            inner: "pin",
            diameter_m: self.pin_diameter_m,
            clearance_m: None,
            moves: Moves::ToAndFro,
        }
    }
}
