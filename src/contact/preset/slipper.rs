//! The slipper of a piston on its swash plate.

use crate::contact::depicted::{Bodies, ContactArea};
use crate::contact::kinematics::rad_s;
use crate::contact::note::Note;
use crate::contact::preset::around::{Around, ONE_WAY, corners};
use crate::contact::preset::bounds::{Bounds, FORCE_N, LENGTH_M, SPEED_RPM};
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
    Key::number("land_outer_diameter_m", LENGTH_M),
    Key::number("land_inner_diameter_m", LENGTH_M),
    Key::number("pitch_diameter_m", LENGTH_M),
    Key::range("swash_angle_deg", Bounds::from(0.0, 45.0)),
    Key::range("load_n", FORCE_N),
    Key::range("relief", Bounds::from(0.0, 0.999)).usually_between(0.8, 0.98),
    Key::range("rotor_rpm", SPEED_RPM),
];

/// A hydrostatic pad on a swash plate.
///
/// # Formula
/// Mean pressure `F (1 - share) / (pi/4 (D^2 - d^2))` on the land, where the share that the pocket's pressure carries is
/// 0.8 to 0.98 where none is given (ours); sliding is the mean along the pad's path on the plate, an ellipse with half-axes R
/// and `R / cos a`, R half the pistons' circle and a the plate's angle: `w R` times the mean of
/// `sqrt(sin^2 + cos^2 / cos^2 a)` over a turn (geometry). The plate stands still; the pad is always in contact.
#[derive(Clone, Debug, PartialEq, Deserialize)]
pub(super) struct SlipperOnPlate {
    land_outer_diameter_m: f64,
    land_inner_diameter_m: f64,
    pitch_diameter_m: f64,
    swash_angle_deg: Interval,
    load_n: Interval,
    relief: Interval,
    rotor_rpm: Interval,
    #[serde(flatten)]
    around: Around,
}

impl Preset for SlipperOnPlate {
    const WORD: &'static str = "slipper on swash plate";
    const KEYS: &'static [&'static [Key]] = &[OWN, ONE_WAY];

    fn read(given: &Parameters) -> Result<Self, PresetFault> {
        let slipper: Self = given.fields()?;
        if slipper.land_inner_diameter_m < slipper.land_outer_diameter_m {
            Ok(slipper)
        } else {
            Err(PresetFault::new("land_inner_diameter_m", Wrong::WithinLand))
        }
    }
}

/// Mean speed along the ellipse over the speed along its shorter circle.
fn mean_over_circle(swash_rad: f64) -> f64 {
    const STEPS: u32 = 360;
    let speed = |step: u32| {
        let angle = 2.0 * PI * (f64::from(step) + 0.5) / f64::from(STEPS);
        angle.sin().hypot(angle.cos() / swash_rad.cos())
    };
    (0..STEPS).map(speed).sum::<f64>() / f64::from(STEPS)
}

impl SlipperOnPlate {
    fn state(&self, [swash_deg, load_n, relief, rpm]: [f64; 4]) -> State {
        let (outer, inner) = (self.land_outer_diameter_m, self.land_inner_diameter_m);
        // The land unrolled: its middle circle times its width is its area.
        let sides_m = [0.5 * PI * (outer + inner), 0.5 * (outer - inner)];
        let circle_m_s = 0.5 * self.pitch_diameter_m * rad_s(rpm);
        let swash = swash_deg.to_radians();
        let on_land_n = load_n * (1.0 - relief);
        let sliding_m_s = circle_m_s * mean_over_circle(swash);
        let mut state = conformal::state(&self.around, on_land_n, sides_m, sliding_m_s);
        state.facts.extend([
            ("land_force_n", on_land_n),
            ("land_area_mm2", 1e6 * sides_m[0] * sides_m[1]),
            ("greatest_sliding_m_s", circle_m_s / swash.cos()),
            (
                "unrelieved_pressure_mpa",
                1e-6 * load_n / (sides_m[0] * sides_m[1]),
            ),
        ]);
        state
    }
}

impl Geometry for SlipperOnPlate {
    fn around(&self) -> &Around {
        &self.around
    }

    fn states(&self) -> Result<Vec<State>, ContactError> {
        let all = corners([self.swash_angle_deg, self.load_n, self.relief, self.rotor_rpm]);
        Ok(all.into_iter().map(|corner| self.state(corner)).collect())
    }

    fn notes(&self) -> Vec<Note> {
        [conformal::NOTES, &[Note::LevelPad]].concat()
    }

    fn bodies(&self) -> Bodies {
        Bodies::Pad {
            outer_m: self.land_outer_diameter_m,
            inner_m: self.land_inner_diameter_m,
            pitch_diameter_m: self.pitch_diameter_m,
        }
    }

    fn area(&self, _: &State) -> ContactArea {
        ContactArea::Ring {
            outer_m: self.land_outer_diameter_m,
            inner_m: self.land_inner_diameter_m,
        }
    }
}
