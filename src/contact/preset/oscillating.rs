//! Ball and roller bearings that swing to and fro under a radial load.

use crate::contact::depicted::{Bodies, Moves};
use crate::contact::elliptical::RollingEllipse;
use crate::contact::hertz::{line, reduced_radius_m};
use crate::contact::kinematics::{SurfaceSpeeds, greatest_element_load_n};
use crate::contact::note::Note;
use crate::contact::preset::around::{Around, BY_TRAVEL, SURFACES, at_corners};
use crate::contact::preset::bounds::{Bounds, FORCE_N, LENGTH_M};
use crate::contact::preset::key::Key;
use crate::contact::preset::read::{Parameters, PresetFault};
use crate::contact::preset::registry::Preset;
use crate::contact::preset::state::{Geometry, LoadedArea, State};
use crate::contact::terms::Motion;
use crate::contact::{ContactError, Wrong};
use crate::units::Interval;
use serde::Deserialize;
use std::f64::consts::PI;

const COMMON: &[Key] = &[
    Key::number("pitch_diameter_m", LENGTH_M),
    Key::range("radial_load_n", FORCE_N),
    Key::range("amplitude_deg", Bounds::above(0.0, 180.0)),
    Key::range("frequency_hz", Bounds::from_standstill(1e4)),
    Key::range("slip", Bounds::from(0.0, 2.0)).usually_between(0.0, 0.05),
];
const BALL: &[Key] = &[
    Key::number("ball_diameter_m", LENGTH_M),
    Key::number("groove_radius_m", LENGTH_M),
    Key::count("balls"),
    Key::number("load_factor", Bounds::from(1.0, 100.0)).usually(4.37),
];
const ROLLER: &[Key] = &[
    Key::number("roller_diameter_m", LENGTH_M),
    Key::number("effective_length_m", LENGTH_M),
    Key::count("rollers"),
    Key::number("load_factor", Bounds::from(1.0, 100.0)).usually(4.08),
];

/// What swings between two rings, the outer one at rest.
#[derive(Clone, Debug, PartialEq, Deserialize)]
struct Swing {
    #[serde(alias = "ball_diameter_m", alias = "roller_diameter_m")]
    element_diameter_m: f64,
    #[serde(alias = "balls", alias = "rollers")]
    elements: u32,
    load_factor: f64,
    pitch_diameter_m: f64,
    radial_load_n: Interval,
    amplitude_deg: Interval,
    frequency_hz: Interval,
    slip: Interval,
    #[serde(flatten)]
    around: Around,
}

/// How an element touches the inner raceway.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Touch {
    Groove(f64),
    Length(f64),
}

impl Swing {
    fn check(&self, elements_key: &str) -> Result<(), PresetFault> {
        if self.element_diameter_m >= self.pitch_diameter_m {
            return Err(PresetFault::new("pitch_diameter_m", Wrong::WithinBallOrRoller));
        }
        if f64::from(self.elements) * self.element_diameter_m > PI * self.pitch_diameter_m {
            return Err(PresetFault::new(elements_key, Wrong::TooManyToSwing));
        }
        Ok(())
    }

    /// Sets the motion by travel where none was given.
    fn settle(&mut self, given: &Parameters, touch: Touch) {
        if given.text("motion").is_err() {
            // Without moduli there is no width, and it stays as it is: reversing.
            let least = self
                .load_of(self.radial_load_n.lo())
                .and_then(|load_n| self.area(touch, load_n));
            if let Ok(area) = least {
                let ratio = self.travel_m(self.amplitude_deg.hi()) / area.along_across_m()[0];
                self.around.motion = Motion::by_travel(ratio);
            }
        }
    }

    /// How far the contact rolls on the inner raceway from end to end of the swing, m.
    fn travel_m(&self, amplitude_deg: f64) -> f64 {
        let (pitch, element) = (self.pitch_diameter_m, self.element_diameter_m);
        2.0 * amplitude_deg.to_radians() * (pitch * pitch - element * element) / (4.0 * pitch)
    }

    fn load_of(&self, radial_n: f64) -> Result<f64, ContactError> {
        greatest_element_load_n(radial_n, self.elements, self.load_factor)
    }

    fn area(&self, touch: Touch, load_n: f64) -> Result<LoadedArea, ContactError> {
        let modulus = self.around.contact_modulus_pa()?;
        let element = 0.5 * self.element_diameter_m;
        let along_m = reduced_radius_m(element, 0.5 * self.pitch_diameter_m - element)?;
        Ok(match touch {
            Touch::Length(length_m) => LoadedArea::Line(line(load_n, length_m, along_m, modulus)?),
            Touch::Groove(groove_m) => {
                let across_m = reduced_radius_m(element, -groove_m)?;
                LoadedArea::Ellipse(RollingEllipse::new(load_n, along_m, across_m, modulus)?)
            }
        })
    }

    fn state(&self, touch: Touch, corner: [f64; 4]) -> Result<State, ContactError> {
        let [radial_n, amplitude_deg, frequency_hz, slip] = corner;
        let load_n = self.load_of(radial_n)?;
        let area = self.area(touch, load_n)?;
        let travel_m = self.travel_m(amplitude_deg);
        let rolling = 2.0 * frequency_hz * travel_m;
        let speeds = SurfaceSpeeds {
            first_m_s: rolling * (1.0 + 0.5 * slip),
            second_m_s: rolling * (1.0 - 0.5 * slip),
        };
        let [width_m, _] = area.along_across_m();
        Ok(State {
            sliding_m_s: speeds.sliding_m_s().abs(),
            slide_roll: slip,
            entrainment_m_s: Interval::point(rolling),
            rise_k: area.rise_k(speeds, &self.around)?,
            time_share: Some(width_m / (width_m + travel_m)),
            facts: vec![
                ("element_load_n", load_n),
                ("travel_mm", 1e3 * travel_m),
                ("travel_over_width", travel_m / width_m),
                ("mid_swing_speed_m_s", 0.5 * PI * rolling),
            ],
            area,
        })
    }

    fn states(&self, touch: Touch) -> Result<Vec<State>, ContactError> {
        let ranges = [
            self.radial_load_n,
            self.amplitude_deg,
            self.frequency_hz,
            self.slip,
        ];
        at_corners(ranges, |corner| self.state(touch, corner))
    }

    fn notes(&self) -> Vec<Note> {
        let mut notes = vec![Note::LoadedElement, Note::SwingMeans];
        if self.around.motion == Motion::Fretting {
            notes.push(Note::SwingFrets);
        }
        notes
    }

    fn bodies(&self, element: &'static str) -> Bodies {
        Bodies::BetweenRings {
            element,
            element_diameter_m: self.element_diameter_m,
            pitch_diameter_m: self.pitch_diameter_m,
            elements: Some(self.elements),
            moves: Moves::ToAndFro,
        }
    }
}

/// A ball bearing that swings.
///
/// # Formula
/// Travel from end to end on the inner raceway `2 A (de^2 - d^2) / (4 de)`, A the amplitude in radians to one side, de
/// the pitch and d the ball diameter (geometry of pure rolling), mean rolling speed `2 f` times that. Where no motion is
/// given it is fretting when the greatest travel is below the width of the contact along the motion, else reversing
/// (a travel below the width never uncovers the middle of the contact; the border at 1 is ours). Slip 0 to 0.05 where
/// none is given (ours); most loaded ball `4.37 F / Z` (from memory). A spot is in contact for the width over the width
/// with the travel (ours).
#[derive(Clone, Debug, PartialEq, Deserialize)]
pub(super) struct OscillatingBallBearing {
    #[serde(flatten)]
    swing: Swing,
    groove_radius_m: f64,
}

impl Preset for OscillatingBallBearing {
    const WORD: &'static str = "oscillating ball bearing";
    const KEYS: &'static [&'static [Key]] = &[BALL, COMMON, BY_TRAVEL, SURFACES];

    fn read(given: &Parameters) -> Result<Self, PresetFault> {
        let mut bearing: Self = given.fields()?;
        bearing.swing.check("balls")?;
        if bearing.groove_radius_m <= 0.5 * bearing.swing.element_diameter_m {
            return Err(PresetFault::new("groove_radius_m", Wrong::BallBesideGroove));
        }
        let touch = Touch::Groove(bearing.groove_radius_m);
        bearing.swing.settle(given, touch);
        Ok(bearing)
    }
}

impl Geometry for OscillatingBallBearing {
    fn around(&self) -> &Around {
        &self.swing.around
    }

    fn states(&self) -> Result<Vec<State>, ContactError> {
        self.swing.states(Touch::Groove(self.groove_radius_m))
    }

    fn notes(&self) -> Vec<Note> {
        self.swing.notes()
    }

    fn bodies(&self) -> Bodies {
        self.swing.bodies("ball")
    }
}

/// A cylindrical roller or needle bearing that swings: as the ball bearing, with a line contact and `4.08 F / Z` (from
/// memory).
#[derive(Clone, Debug, PartialEq, Deserialize)]
pub(super) struct OscillatingRollerBearing {
    #[serde(flatten)]
    swing: Swing,
    effective_length_m: f64,
}

impl Preset for OscillatingRollerBearing {
    const WORD: &'static str = "oscillating roller bearing";
    const KEYS: &'static [&'static [Key]] = &[ROLLER, COMMON, BY_TRAVEL, SURFACES];

    fn read(given: &Parameters) -> Result<Self, PresetFault> {
        let mut bearing: Self = given.fields()?;
        bearing.swing.check("rollers")?;
        let touch = Touch::Length(bearing.effective_length_m);
        bearing.swing.settle(given, touch);
        Ok(bearing)
    }
}

impl Geometry for OscillatingRollerBearing {
    fn around(&self) -> &Around {
        &self.swing.around
    }

    fn states(&self) -> Result<Vec<State>, ContactError> {
        self.swing.states(Touch::Length(self.effective_length_m))
    }

    fn notes(&self) -> Vec<Note> {
        self.swing.notes()
    }

    fn bodies(&self) -> Bodies {
        self.swing.bodies("roller")
    }
}
