//! Cylindrical roller thrust bearings.

use crate::contact::depicted::Bodies;
use crate::contact::element::ThrustRoller;
use crate::contact::flash::line_rise_k;
use crate::contact::hertz::line;
use crate::contact::note::Note;
use crate::contact::preset::around::{Around, ONE_WAY, SURFACES, both_at_corners};
use crate::contact::preset::bounds::{FORCE_N, LENGTH_M, SPEED_RPM};
use crate::contact::preset::key::Key;
use crate::contact::preset::read::{Parameters, PresetFault};
use crate::contact::preset::registry::Preset;
use crate::contact::preset::rings::kappa;
use crate::contact::preset::state::{Geometry, LoadedArea, RangeFact, State};
use crate::contact::{ContactError, Wrong};
use crate::lubricant::Oil;
use crate::units::Interval;
use serde::Deserialize;
use std::f64::consts::PI;

const OWN: &[Key] = &[
    Key::number("roller_diameter_m", LENGTH_M),
    Key::number("effective_length_m", LENGTH_M),
    Key::count("rollers"),
    Key::number("mean_diameter_m", LENGTH_M),
    Key::range("axial_load_n", FORCE_N),
    Key::range("speed_rpm", SPEED_RPM),
];

/// A cylindrical roller thrust bearing, one washer turning, its axial load shared evenly by the rollers.
///
/// Along a roller the washer's speed changes with its radius and the roller's does not, so that it slips towards both
/// ends; sliding, rolling speed, slide-roll ratio and flash temperature reach from their means along the roller, as for the
/// bearing test, to its inner end, where the slide-roll ratio is greatest.
#[derive(Debug, Deserialize)]
pub(super) struct ThrustRollerBearing {
    roller_diameter_m: f64,
    effective_length_m: f64,
    rollers: u32,
    mean_diameter_m: f64,
    axial_load_n: Interval,
    speed_rpm: Interval,
    #[serde(flatten)]
    around: Around,
}

impl Preset for ThrustRollerBearing {
    const WORD: &'static str = "thrust roller bearing";
    const KEYS: &'static [&'static [Key]] = &[OWN, ONE_WAY, SURFACES];

    fn read(given: &Parameters) -> Result<Self, PresetFault> {
        let bearing: Self = given.fields()?;
        if bearing.effective_length_m >= bearing.mean_diameter_m {
            return Err(PresetFault::new(
                "effective_length_m",
                Wrong::LongerThanMeanDiameter,
            ));
        }
        if f64::from(bearing.rollers) * bearing.roller_diameter_m > PI * bearing.mean_diameter_m {
            return Err(PresetFault::new("rollers", Wrong::TooManyForMeanDiameter));
        }
        Ok(bearing)
    }
}

impl ThrustRollerBearing {
    fn at_speed(&self, speed_rpm: f64) -> ThrustRoller {
        ThrustRoller {
            roller_diameter_m: self.roller_diameter_m,
            effective_length_m: self.effective_length_m,
            rollers: self.rollers,
            mean_diameter_m: self.mean_diameter_m,
            speed_rpm,
        }
    }

    /// The mean along the roller, and its inner end.
    fn states_at(&self, [axial_load_n, speed_rpm]: [f64; 2]) -> Result<[State; 2], ContactError> {
        let bodies = self.around.materials.thermal()?;
        let load_n = axial_load_n / f64::from(self.rollers);
        let contact = line(
            load_n,
            self.effective_length_m,
            0.5 * self.roller_diameter_m,
            self.around.contact_modulus_pa()?,
        )?;
        let moving = self.at_speed(speed_rpm);
        // The slide-roll ratio does not depend on speed; that at 1 r/min also serves a duty at standstill.
        let slip_at = |share: f64| {
            let speeds = self.at_speed(1.0).speeds_at(share);
            speeds.sliding_m_s() / speeds.entrainment_m_s()
        };
        let friction = self.around.friction_coefficient;
        let load_per_length = load_n / self.effective_length_m;
        let rise_k = |speeds| line_rise_k(friction, load_per_length, contact.half_width_m, speeds, bodies);
        let mean = State {
            sliding_m_s: moving.mean_along_roller(|speeds| speeds.sliding_m_s().abs()),
            slide_roll: self
                .at_speed(1.0)
                .mean_along_roller(|speeds| speeds.slide_roll().unwrap_or(0.0)),
            entrainment_m_s: Interval::point(moving.speeds_at(0.0).entrainment_m_s()),
            rise_k: Some(moving.mean_along_roller(rise_k)),
            time_share: Some((4.0 * contact.half_width_m / (PI * self.roller_diameter_m)).min(1.0)),
            facts: vec![
                ("each_roller_load_n", load_n),
                ("outer_end_slip_percent", 100.0 * slip_at(0.5)),
                ("inner_end_slip_percent", 100.0 * slip_at(-0.5)),
            ],
            area: LoadedArea::Line(contact),
        };
        let inner_end = moving.speeds_at(-0.5);
        let end = State {
            sliding_m_s: inner_end.sliding_m_s().abs(),
            slide_roll: slip_at(-0.5).abs(),
            entrainment_m_s: Interval::point(inner_end.entrainment_m_s()),
            rise_k: Some(rise_k(inner_end)),
            ..mean.clone()
        };
        Ok([mean, end])
    }
}

impl Geometry for ThrustRollerBearing {
    fn around(&self) -> &Around {
        &self.around
    }

    fn states(&self) -> Result<Vec<State>, ContactError> {
        both_at_corners([self.axial_load_n, self.speed_rpm], |corner| {
            self.states_at(corner)
        })
    }

    fn notes(&self) -> Vec<Note> {
        vec![Note::ToWhereItStarts, Note::ViscosityRatio]
    }

    fn facts_with(&self, oil: &Oil) -> Result<Vec<RangeFact>, ContactError> {
        let speeds = [self.speed_rpm.lo(), self.speed_rpm.hi()];
        kappa(speeds, self.mean_diameter_m, &self.around, oil)
    }

    fn bodies(&self) -> Bodies {
        Bodies::BetweenWashers {
            element: "roller",
            element_diameter_m: self.roller_diameter_m,
            mean_diameter_m: self.mean_diameter_m,
        }
    }
}
