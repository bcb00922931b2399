//! Bodies that fit into each other: a pin in a bush, a slideway. Neither the elastic contact of bodies that curve
//! apart nor its film and flash formulas apply.

use crate::contact::ContactError;
use crate::contact::preset::around::{AROUND, Around, corners};
use crate::contact::preset::parameter::Parameter;
use crate::contact::preset::read::{Bounds, FORCE_N, Fields, LENGTH_M, PresetFault};
use crate::contact::preset::state::{Area, Geometry, State};
use crate::contact::terms::Motion;
use crate::units::Interval;

const PIN: [&str; 5] = [
    "pin_diameter_m",
    "length_m",
    "load_n",
    "amplitude_deg",
    "frequency_hz",
];
const SLIDE: [&str; 4] = ["length_m", "width_m", "load_n", "speed_m_s"];

/// A pin that swings in a bush under a load of fixed direction.
///
/// # Formula
/// Mean pressure `F / (L D)` on the projected area; mean sliding speed `2 A D f`, where A is the amplitude in radians
/// to one side of the middle, D the diameter, f the frequency of the full cycle (4 A times the radius per cycle).
#[derive(Clone, Debug, PartialEq)]
pub struct PinInBush {
    pin_diameter_m: f64,
    length_m: f64,
    load_n: Interval,
    amplitude_deg: Interval,
    frequency_hz: Interval,
    around: Around,
}

/// A flat slider on a longer way.
///
/// # Formula
/// Mean pressure: load over the slider's length times width; sliding speed as given.
#[derive(Clone, Debug, PartialEq)]
pub struct Slideway {
    length_m: f64,
    width_m: f64,
    load_n: Interval,
    speed_m_s: Interval,
    around: Around,
}

/// One body stands still, and the smaller one, or the loaded side of a bush, never leaves the contact.
fn state(around: &Around, load_n: f64, sides_m: [f64; 2], sliding_m_s: f64) -> State {
    let pressure_pa = load_n / (sides_m[0] * sides_m[1]);
    State {
        area: Area::Conformal { load_n, sides_m },
        sliding_m_s,
        slide_roll: 2.0,
        entrainment_m_s: None,
        rise_k: None,
        time_share: Some(1.0),
        facts: vec![(
            "Friction heat per area",
            1e-6 * around.friction_coefficient * pressure_pa * sliding_m_s,
            "W/mm²",
        )],
    }
}

fn notes() -> Vec<String> {
    [
        "conformal: mean pressure over the projected area; no elastic contact or film is computed",
        "contact temperature unknown: bulk temperatures are compared",
    ]
    .map(str::to_string)
    .to_vec()
}

impl PinInBush {
    pub(super) fn keys() -> Vec<&'static str> {
        [&PIN[..], &AROUND].concat()
    }

    pub(super) fn read(fields: &Fields) -> Result<Self, PresetFault> {
        Ok(Self {
            pin_diameter_m: fields.number("pin_diameter_m", LENGTH_M)?,
            length_m: fields.number("length_m", LENGTH_M)?,
            load_n: fields.range("load_n", FORCE_N)?,
            amplitude_deg: fields.range("amplitude_deg", Bounds::above(0.0, 180.0))?,
            frequency_hz: fields.range("frequency_hz", Bounds::from_standstill(1e4))?,
            around: Around::read(fields, Motion::Reversing)?,
        })
    }
}

impl Geometry for PinInBush {
    fn around(&self) -> &Around {
        &self.around
    }

    fn own_parameters(&self) -> Vec<Parameter> {
        vec![
            Parameter::number("pin_diameter_m", "Pin diameter", self.pin_diameter_m),
            Parameter::number("length_m", "Loaded length", self.length_m),
            Parameter::range("load_n", "Load", self.load_n),
            Parameter::range(
                "amplitude_deg",
                "Swing to one side of the middle",
                self.amplitude_deg,
            ),
            Parameter::range("frequency_hz", "Frequency of the full cycle", self.frequency_hz),
        ]
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

    fn notes(&self) -> Vec<String> {
        notes()
    }
}

impl Slideway {
    pub(super) fn keys() -> Vec<&'static str> {
        [&SLIDE[..], &AROUND].concat()
    }

    pub(super) fn read(fields: &Fields) -> Result<Self, PresetFault> {
        Ok(Self {
            length_m: fields.number("length_m", LENGTH_M)?,
            width_m: fields.number("width_m", LENGTH_M)?,
            load_n: fields.range("load_n", FORCE_N)?,
            speed_m_s: fields.range("speed_m_s", Bounds::from_standstill(1e3))?,
            around: Around::read(fields, Motion::Reversing)?,
        })
    }
}

impl Geometry for Slideway {
    fn around(&self) -> &Around {
        &self.around
    }

    fn own_parameters(&self) -> Vec<Parameter> {
        vec![
            Parameter::number("length_m", "Length of the slider", self.length_m),
            Parameter::number("width_m", "Width of the slider", self.width_m),
            Parameter::range("load_n", "Load", self.load_n),
            Parameter::range("speed_m_s", "Sliding speed", self.speed_m_s),
        ]
    }

    fn states(&self) -> Result<Vec<State>, ContactError> {
        let at =
            |[load_n, speed]: [f64; 2]| state(&self.around, load_n, [self.length_m, self.width_m], speed);
        Ok(corners([self.load_n, self.speed_m_s])
            .into_iter()
            .map(at)
            .collect())
    }

    fn notes(&self) -> Vec<String> {
        notes()
    }
}
