//! Radially loaded cylindrical roller bearings.

use crate::contact::ContactError;
use crate::contact::elastic::contact_modulus_pa;
use crate::contact::flash::line_rise_k;
use crate::contact::hertz::{line, reduced_radius_m};
use crate::contact::kinematics::{SurfaceSpeeds, bearing_entrainment_m_s, greatest_element_load_n, rad_s};
use crate::contact::preset::around::{Around, ONE_WAY, ROUGHNESS, corners};
use crate::contact::preset::bounds::{Bounds, EITHER_WAY_RPM, FORCE_N, LENGTH_M};
use crate::contact::preset::key::Key;
use crate::contact::preset::read::{Parameters, PresetFault};
use crate::contact::preset::registry::Preset;
use crate::contact::preset::state::{Area, Geometry, State};
use crate::units::Interval;
use std::f64::consts::PI;

/// Load on the most loaded roller over the mean load `F/Z` of all (rollers without clearance, from memory).
const USUAL_LOAD_FACTOR: f64 = 4.08;

const OWN: &[Key] = &[
    Key::number("roller_diameter_m", "Roller diameter", LENGTH_M),
    Key::number("effective_length_m", "Loaded length of a roller", LENGTH_M),
    Key::count("rollers", "Rollers"),
    Key::number("pitch_diameter_m", "Pitch diameter", LENGTH_M),
    Key::range("radial_load_n", "Radial load", FORCE_N),
    Key::range("inner_rpm", "Inner ring speed", EITHER_WAY_RPM),
    Key::range("outer_rpm", "Outer ring speed", EITHER_WAY_RPM).usually(0.0),
    Key::number(
        "load_factor",
        "Greatest over mean roller load",
        Bounds::from(1.0, 100.0),
    )
    .usually(USUAL_LOAD_FACTOR),
    Key::range("slip", "Slip of the rollers", Bounds::from(0.0, 2.0))
        .usually_between(0.0, 0.05)
        .noted("sliding over entrainment speed"),
];

/// The most loaded roller of a cylindrical roller bearing under a radial load, on the inner raceway, where pressure
/// is greatest.
///
/// # Formula
/// Load `factor F / Z` (factor 4.08 where none is given, from memory); entrainment `(de^2 - d^2) / (4 de) |wi - wo|`
/// (Hamrock, from memory), where de is the pitch and d the roller diameter. Rollers roll but for a small slip, the
/// sliding over the entrainment speed: 0 to 0.05 where none is given (ours). A spot of a roller meets both raceways
/// once a turn, on the loaded half of its way round (ours).
#[derive(Clone, Debug, PartialEq)]
pub(super) struct CylindricalRollerBearing {
    roller_diameter_m: f64,
    effective_length_m: f64,
    rollers: u32,
    pitch_diameter_m: f64,
    radial_load_n: Interval,
    inner_rpm: Interval,
    outer_rpm: Interval,
    load_factor: f64,
    slip: Interval,
    around: Around,
}

impl Preset for CylindricalRollerBearing {
    const WORD: &'static str = "cylindrical roller bearing";
    const KEYS: &'static [&'static [Key]] = &[OWN, ONE_WAY, ROUGHNESS];

    fn read(given: &Parameters) -> Result<Self, PresetFault> {
        let bearing = Self {
            roller_diameter_m: given.number("roller_diameter_m")?,
            effective_length_m: given.number("effective_length_m")?,
            rollers: given.count("rollers")?,
            pitch_diameter_m: given.number("pitch_diameter_m")?,
            radial_load_n: given.range("radial_load_n")?,
            inner_rpm: given.range("inner_rpm")?,
            outer_rpm: given.range("outer_rpm")?,
            load_factor: given.number("load_factor")?,
            slip: given.range("slip")?,
            around: Around::read(given)?,
        };
        bearing.check()
    }
}

impl CylindricalRollerBearing {
    fn check(self) -> Result<Self, PresetFault> {
        let room = PI * self.pitch_diameter_m;
        if self.roller_diameter_m >= self.pitch_diameter_m {
            let problem = "must be greater than the roller diameter";
            return Err(PresetFault::new("pitch_diameter_m", problem));
        }
        if f64::from(self.rollers) * self.roller_diameter_m > room {
            let problem = "that many rollers do not fit on the pitch circle";
            return Err(PresetFault::new("rollers", problem));
        }
        // The rings' difference in speed has its extremes at the corners of the duty only while it keeps its sign.
        let (inner, outer) = (self.inner_rpm, self.outer_rpm);
        let differ = inner.lo() != outer.hi() || inner.hi() != outer.lo();
        if differ && (inner.lo() >= outer.hi() || outer.lo() >= inner.hi()) {
            Ok(self)
        } else {
            let problem = "must lie wholly above or wholly below the speed of the outer ring";
            Err(PresetFault::new("inner_rpm", problem))
        }
    }

    fn state(&self, [load_n, inner_rpm, outer_rpm, slip]: [f64; 4]) -> Result<State, ContactError> {
        let [first, second] = self.around.materials.elastic()?;
        let modulus = contact_modulus_pa(first, second);
        let (pitch, roller) = (self.pitch_diameter_m, self.roller_diameter_m);
        let roller_load_n = greatest_element_load_n(load_n, self.rollers, self.load_factor)?;
        let on_raceway = |raceway_radius_m: f64| {
            let radius_m = reduced_radius_m(0.5 * roller, raceway_radius_m)?;
            line(roller_load_n, self.effective_length_m, radius_m, modulus)
        };
        let inner = on_raceway(0.5 * (pitch - roller))?;
        let outer = on_raceway(-0.5 * (pitch + roller))?;
        let entrainment = bearing_entrainment_m_s(pitch, roller, rad_s(inner_rpm), rad_s(outer_rpm));
        let speeds = SurfaceSpeeds {
            first_m_s: entrainment * (1.0 + 0.5 * slip),
            second_m_s: entrainment * (1.0 - 0.5 * slip),
        };
        let rise_k = line_rise_k(
            self.around.friction_coefficient,
            roller_load_n / self.effective_length_m,
            inner.half_width_m,
            speeds,
            self.around.materials.thermal()?,
        );
        let widths_m = 2.0 * (inner.half_width_m + outer.half_width_m);
        Ok(State {
            sliding_m_s: speeds.sliding_m_s().abs(),
            slide_roll: slip,
            entrainment_m_s: Interval::point(entrainment),
            rise_k: Some(rise_k),
            time_share: Some((0.5 * widths_m / (PI * roller)).min(1.0)),
            facts: vec![
                ("Load on the most loaded roller", roller_load_n, "N"),
                (
                    "Maximum pressure on the outer raceway",
                    1e-6 * outer.max_pressure_pa,
                    "MPa",
                ),
            ],
            area: Area::Line(inner),
        })
    }
}

impl Geometry for CylindricalRollerBearing {
    fn around(&self) -> &Around {
        &self.around
    }

    fn states(&self) -> Result<Vec<State>, ContactError> {
        corners([self.radial_load_n, self.inner_rpm, self.outer_rpm, self.slip])
            .into_iter()
            .map(|corner| self.state(corner))
            .collect()
    }

    fn notes(&self) -> Vec<String> {
        vec!["pressure of the most loaded roller on the inner raceway".to_string()]
    }
}
