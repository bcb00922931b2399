//! Radially loaded cylindrical roller bearings.

use crate::contact::ContactError;
use crate::contact::depicted::{Bodies, Moves};
use crate::contact::hertz::{line, reduced_radius_m};
use crate::contact::kinematics::greatest_element_load_n;
use crate::contact::note::Note;
use crate::contact::preset::around::{Around, ONE_WAY, SURFACES, at_corners};
use crate::contact::preset::bounds::{Bounds, FORCE_N, LENGTH_M};
use crate::contact::preset::key::Key;
use crate::contact::preset::read::{Parameters, PresetFault};
use crate::contact::preset::registry::Preset;
use crate::contact::preset::rings::{RINGS, Rings, SLIP, slipping};
use crate::contact::preset::state::{Geometry, LoadedArea, RangeFact, State};
use crate::lubricant::Oil;
use crate::units::Interval;
use serde::Deserialize;
use std::f64::consts::PI;

/// Load on the most loaded roller over the mean load `F/Z` of all (rollers without clearance, from memory).
const USUAL_LOAD_FACTOR: f64 = 4.08;

const ROLLERS: &[Key] = &[
    Key::number("roller_diameter_m", LENGTH_M),
    Key::number("effective_length_m", LENGTH_M),
    Key::count("rollers"),
];
const LOADS: &[Key] = &[
    Key::range("radial_load_n", FORCE_N),
    Key::number("load_factor", Bounds::from(1.0, 100.0)).usually(USUAL_LOAD_FACTOR),
];

/// The most loaded roller of a cylindrical roller bearing under a radial load, on the inner raceway, where pressure
/// is greatest.
///
/// # Formula
/// Load `factor F / Z` (factor 4.08 where none is given, from memory); entrainment `(de^2 - d^2) / (4 de) |wi - wo|`
/// (Hamrock, from memory), where de is the pitch and d the roller diameter. Rollers roll but for a small slip, the
/// sliding over the entrainment speed: 0 to 0.05 where none is given (ours). A spot of a roller meets both raceways
/// once a turn, on the loaded half of its way round (ours).
#[derive(Debug, Deserialize)]
pub(super) struct CylindricalRollerBearing {
    roller_diameter_m: f64,
    effective_length_m: f64,
    rollers: u32,
    #[serde(flatten)]
    rings: Rings,
    radial_load_n: Interval,
    load_factor: f64,
    slip: Interval,
    #[serde(flatten)]
    around: Around,
}

impl Preset for CylindricalRollerBearing {
    const WORD: &'static str = "cylindrical roller bearing";
    const KEYS: &'static [&'static [Key]] = &[ROLLERS, RINGS, LOADS, SLIP, ONE_WAY, SURFACES];

    fn read(given: &Parameters) -> Result<Self, PresetFault> {
        let bearing: Self = given.fields()?;
        let rollers = ("rollers", bearing.rollers);
        bearing.rings.check(bearing.roller_diameter_m, rollers)?;
        Ok(bearing)
    }
}

impl CylindricalRollerBearing {
    fn state(&self, [load_n, inner_rpm, outer_rpm, slip]: [f64; 4]) -> Result<State, ContactError> {
        let modulus = self.around.contact_modulus_pa()?;
        let (pitch, roller) = (self.rings.pitch_diameter_m, self.roller_diameter_m);
        let roller_load_n = greatest_element_load_n(load_n, self.rollers, self.load_factor)?;
        let on_raceway = |raceway_radius_m: f64| {
            let radius_m = reduced_radius_m(0.5 * roller, raceway_radius_m)?;
            line(roller_load_n, self.effective_length_m, radius_m, modulus)
        };
        let inner = on_raceway(0.5 * (pitch - roller))?;
        let outer = on_raceway(-0.5 * (pitch + roller))?;
        let entrainment = self.rings.entrainment_m_s(roller, inner_rpm, outer_rpm);
        let speeds = slipping(entrainment, slip);
        let widths_m = 2.0 * (inner.half_width_m + outer.half_width_m);
        let area = LoadedArea::Line(inner);
        Ok(State {
            sliding_m_s: speeds.sliding_m_s().abs(),
            slide_roll: slip,
            entrainment_m_s: Interval::point(entrainment),
            rise_k: area.rise_k(speeds, &self.around)?,
            time_share: Some((0.5 * widths_m / (PI * roller)).min(1.0)),
            facts: vec![
                ("roller_load_n", roller_load_n),
                ("outer_pressure_mpa", 1e-6 * outer.max_pressure_pa),
            ],
            area,
        })
    }
}

impl Geometry for CylindricalRollerBearing {
    fn around(&self) -> &Around {
        &self.around
    }

    fn states(&self) -> Result<Vec<State>, ContactError> {
        let (inner, outer) = (self.rings.inner_rpm, self.rings.outer_rpm);
        at_corners([self.radial_load_n, inner, outer, self.slip], |corner| {
            self.state(corner)
        })
    }

    fn notes(&self) -> Vec<Note> {
        vec![Note::LoadedRoller, Note::ViscosityRatio]
    }

    fn facts_with(&self, oil: &Oil) -> Result<Vec<RangeFact>, ContactError> {
        self.rings.viscosity_ratio(&self.around, oil)
    }

    fn bodies(&self) -> Bodies {
        Bodies::BetweenRings {
            element: "roller",
            element_diameter_m: self.roller_diameter_m,
            pitch_diameter_m: self.rings.pitch_diameter_m,
            elements: Some(self.rollers),
            moves: Moves::OneWay,
        }
    }
}
