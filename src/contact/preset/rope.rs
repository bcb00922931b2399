//! Wires that cross in a rope which is bent over a sheave.

use crate::contact::depicted::Bodies;
use crate::contact::elliptical::RollingEllipse;
use crate::contact::kinematics::SurfaceSpeeds;
use crate::contact::note::Note;
use crate::contact::preset::around::{Around, BY_TRAVEL, WIRES, at_corners};
use crate::contact::preset::bounds::{Bounds, FORCE_N, LENGTH_M};
use crate::contact::preset::key::Key;
use crate::contact::preset::read::{Parameters, PresetFault};
use crate::contact::preset::registry::Preset;
use crate::contact::preset::state::{Geometry, LoadedArea, State};
use crate::contact::terms::Motion;
use crate::contact::{ContactError, Wrong};
use crate::units::Interval;
use serde::Deserialize;
use std::f64::consts::{FRAC_2_PI, PI};

const OWN: &[Key] = &[
    Key::number("wire_diameter_m", LENGTH_M),
    Key::number("crossing_deg", Bounds::from(2.0, 90.0)),
    Key::number("layer_diameter_m", LENGTH_M),
    Key::number("lay_angle_deg", Bounds::from(2.0, 60.0)),
    Key::range("load_n", FORCE_N),
    Key::range("sheave_diameter_m", LENGTH_M),
    Key::range("bends_per_s", Bounds::from_standstill(1e3)),
];

/// Two wires of one diameter that cross, of which one slips along itself when the rope is bent.
///
/// # Formula
/// Cylinders of radius r that cross at w have the reduced radii `r / (1 - cos w)` and `r / (1 + cos w)` (geometry). A wire
/// at radius R of a layer with lay angle b, bent to the sheave's diameter D, slips by `2 R^2 cos^2 b / (D sin b)` at most
/// if friction does not hold it: the integral of the bending strain along its helix (from memory, and derived); 2/pi of
/// that as the mean round the rope. Mean sliding is twice the mean slip times the bends per second. Where no motion
/// is given it is fretting when the greatest slip is below the length of the contact along the motion, else reversing
/// (border ours). The motion is taken as along the longer axis of the contact (ours).
#[derive(Clone, Debug, PartialEq, Deserialize)]
pub(super) struct CrossedWires {
    wire_diameter_m: f64,
    crossing_deg: f64,
    layer_diameter_m: f64,
    lay_angle_deg: f64,
    load_n: Interval,
    sheave_diameter_m: Interval,
    bends_per_s: Interval,
    #[serde(flatten)]
    around: Around,
}

impl Preset for CrossedWires {
    const WORD: &'static str = "wires in a rope";
    const KEYS: &'static [&'static [Key]] = &[OWN, BY_TRAVEL, WIRES];

    fn read(given: &Parameters) -> Result<Self, PresetFault> {
        let mut wires: Self = given.fields()?;
        if wires.layer_diameter_m < wires.wire_diameter_m {
            return Err(PresetFault::new("layer_diameter_m", Wrong::ThinLayer));
        }
        if wires.sheave_diameter_m.lo() <= wires.layer_diameter_m {
            return Err(PresetFault::new("sheave_diameter_m", Wrong::SheaveWithinLayer));
        }
        if given.text("motion").is_err() {
            let slip_m = wires.slip_m(wires.sheave_diameter_m.lo());
            // Without moduli there is no length, and it stays as it is: reversing.
            if let Ok(ellipse) = wires.ellipse(wires.load_n.lo()) {
                wires.around.motion = Motion::by_travel(slip_m / (2.0 * ellipse.half_axis_along_m));
            }
        }
        Ok(wires)
    }
}

impl CrossedWires {
    /// Greatest slip of one bend, m.
    fn slip_m(&self, sheave_diameter_m: f64) -> f64 {
        let (radius, lay) = (0.5 * self.layer_diameter_m, self.lay_angle_deg.to_radians());
        2.0 * (radius * lay.cos()).powi(2) / (sheave_diameter_m * lay.sin())
    }

    fn ellipse(&self, load_n: f64) -> Result<RollingEllipse, ContactError> {
        let (radius, cosine) = (0.5 * self.wire_diameter_m, self.crossing_deg.to_radians().cos());
        let modulus = self.around.contact_modulus_pa()?;
        RollingEllipse::new(load_n, radius / (1.0 - cosine), radius / (1.0 + cosine), modulus)
    }

    fn state(&self, [load_n, sheave_m, bends_per_s]: [f64; 3]) -> Result<State, ContactError> {
        let ellipse = self.ellipse(load_n)?;
        let greatest_m = self.slip_m(sheave_m);
        let speeds = SurfaceSpeeds::against_fixed(2.0 * FRAC_2_PI * greatest_m * bends_per_s);
        let along_m = 2.0 * ellipse.half_axis_along_m;
        let area = LoadedArea::Ellipse(ellipse);
        Ok(State {
            sliding_m_s: speeds.sliding_m_s(),
            slide_roll: 2.0,
            entrainment_m_s: Interval::point(speeds.entrainment_m_s()),
            rise_k: area.rise_k(speeds, &self.around)?,
            time_share: Some(1.0),
            facts: vec![
                ("greatest_slip_um", 1e6 * greatest_m),
                ("mean_slip_um", 1e6 * FRAC_2_PI * greatest_m),
                ("slip_over_length", greatest_m / along_m),
                ("sheave_over_wire", sheave_m / self.wire_diameter_m),
                (
                    "lay_length_mm",
                    1e3 * PI * self.layer_diameter_m / self.lay_angle_deg.to_radians().tan(),
                ),
            ],
            area,
        })
    }
}

impl Geometry for CrossedWires {
    fn around(&self) -> &Around {
        &self.around
    }

    fn states(&self) -> Result<Vec<State>, ContactError> {
        at_corners(
            [self.load_n, self.sheave_diameter_m, self.bends_per_s],
            |corner| self.state(corner),
        )
    }

    fn notes(&self) -> Vec<Note> {
        let mut notes = vec![Note::FreeSlip, Note::SlipMeans];
        if self.around.motion == Motion::Fretting {
            notes.push(Note::WiresFret);
        }
        notes
    }

    fn bodies(&self) -> Bodies {
        Bodies::CrossedWires {
            wire_diameter_m: self.wire_diameter_m,
            crossing_deg: self.crossing_deg,
        }
    }
}
