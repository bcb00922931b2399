//! Bodies that fit into each other: a pin in a bush, a slideway. Neither the elastic contact of bodies that curve
//! apart nor its film and flash formulas apply.

use crate::contact::ContactError;
use crate::contact::depicted::{Bodies, ContactArea, Moves};
use crate::contact::note::Note;
use crate::contact::preset::around::{Around, REVERSING, corners};
use crate::contact::preset::bounds::{Bounds, FORCE_N, LENGTH_M};
use crate::contact::preset::key::Key;
use crate::contact::preset::read::{Parameters, PresetFault};
use crate::contact::preset::registry::Preset;
use crate::contact::preset::state::{Geometry, LoadedArea, State};
use crate::units::Interval;
use serde::Deserialize;

const PIN: &[Key] = &[
    Key::number("pin_diameter_m", LENGTH_M),
    Key::number("length_m", LENGTH_M),
    Key::range("load_n", FORCE_N),
    Key::range("amplitude_deg", Bounds::above(0.0, 180.0)),
    Key::range("frequency_hz", Bounds::from_standstill(1e4)),
];
const SLIDE: &[Key] = &[
    Key::number("length_m", LENGTH_M),
    Key::number("width_m", LENGTH_M),
    Key::range("load_n", FORCE_N),
    Key::range("speed_m_s", Bounds::from_standstill(1e3)),
];

/// A pin that swings in a bush under a load of fixed direction.
///
/// # Formula
/// Mean pressure `F / (L D)` on the projected area; mean sliding speed `2 A D f`, where A is the amplitude in radians
/// to one side of the middle, D the diameter, f the frequency of the full cycle (4 A times the radius per cycle).
#[derive(Debug, Deserialize)]
pub(super) struct PinInBush {
    pin_diameter_m: f64,
    length_m: f64,
    load_n: Interval,
    amplitude_deg: Interval,
    frequency_hz: Interval,
    #[serde(flatten)]
    around: Around,
}

/// A flat slider on a longer way.
///
/// # Formula
/// Mean pressure: load over the slider's length times width; sliding speed as given.
#[derive(Debug, Deserialize)]
pub(super) struct Slideway {
    length_m: f64,
    width_m: f64,
    load_n: Interval,
    speed_m_s: Interval,
    #[serde(flatten)]
    around: Around,
}

/// One body stands still, and the smaller one, or the loaded side of a bush, never leaves the contact.
pub(super) fn state(around: &Around, load_n: f64, sides_m: [f64; 2], sliding_m_s: f64) -> State {
    let pressure_pa = load_n / (sides_m[0] * sides_m[1]);
    State {
        area: LoadedArea::Conformal { load_n, sides_m },
        sliding_m_s,
        slide_roll: 2.0,
        entrainment_m_s: Interval::point(0.5 * sliding_m_s),
        rise_k: None,
        time_share: Some(1.0),
        facts: vec![(
            "friction_heat_w_mm2",
            1e-6 * around.friction_coefficient * pressure_pa * sliding_m_s,
        )],
    }
}

/// What has to be said of a conformal contact whose film is not computed.
pub(super) const NOTES: &[Note] = &[Note::ConformalPressure, Note::BulkCompared];

impl Preset for PinInBush {
    const WORD: &'static str = "pin in bush";
    const KEYS: &'static [&'static [Key]] = &[PIN, REVERSING];

    fn read(given: &Parameters) -> Result<Self, PresetFault> {
        given.fields()
    }
}

impl Geometry for PinInBush {
    fn around(&self) -> &Around {
        &self.around
    }

    fn states(&self) -> Result<Vec<State>, ContactError> {
        let all = corners([self.load_n, self.amplitude_deg, self.frequency_hz]);
        let at = |[load_n, amplitude, frequency]: [f64; 3]| {
            let sliding = 2.0 * amplitude.to_radians() * self.pin_diameter_m * frequency;
            state(
                &self.around,
                load_n,
                [self.length_m, self.pin_diameter_m],
                sliding,
            )
        };
        Ok(all.into_iter().map(at).collect())
    }

    fn notes(&self) -> Vec<Note> {
        NOTES.to_vec()
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

impl Preset for Slideway {
    const WORD: &'static str = "slideway";
    const KEYS: &'static [&'static [Key]] = &[SLIDE, REVERSING];

    fn read(given: &Parameters) -> Result<Self, PresetFault> {
        given.fields()
    }
}

impl Geometry for Slideway {
    fn around(&self) -> &Around {
        &self.around
    }

    fn states(&self) -> Result<Vec<State>, ContactError> {
        let at =
            |[load_n, speed]: [f64; 2]| state(&self.around, load_n, [self.length_m, self.width_m], speed);
        Ok(corners([self.load_n, self.speed_m_s])
            .into_iter()
            .map(at)
            .collect())
    }

    fn notes(&self) -> Vec<Note> {
        NOTES.to_vec()
    }

    fn bodies(&self) -> Bodies {
        Bodies::FlatOnFlat {
            upper: "slider",
            length_m: self.length_m,
            lower: "way",
            moves: Moves::ToAndFro,
        }
    }

    fn area(&self, _: &State) -> ContactArea {
        ContactArea::Rectangle {
            along_m: self.length_m,
            across_m: self.width_m,
        }
    }
}
