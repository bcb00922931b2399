//! Spherical roller bearings.

use crate::contact::depicted::Bodies;
use crate::contact::elliptical::RollingEllipse;
use crate::contact::note::Note;
use crate::contact::preset::around::{Around, ONE_WAY, SURFACES, at_corners};
use crate::contact::preset::bounds::{Bounds, FORCE_N, LENGTH_M};
use crate::contact::preset::key::Key;
use crate::contact::preset::read::{Parameters, PresetFault};
use crate::contact::preset::registry::Preset;
use crate::contact::preset::rings::{RINGS, Rings, SLIP, slipping};
use crate::contact::preset::state::{Geometry, LoadedArea, RangeFact, State};
use crate::contact::{ContactError, Wrong};
use crate::lubricant::Oil;
use crate::units::Interval;
use serde::Deserialize;
use std::f64::consts::PI;

const ROLLERS: &[Key] = &[
    Key::number("roller_diameter_m", LENGTH_M),
    Key::number("effective_length_m", LENGTH_M),
    Key::number("roller_profile_radius_m", LENGTH_M),
    Key::number("raceway_profile_radius_m", LENGTH_M),
    Key::count("rollers"),
    Key::number("contact_angle_deg", Bounds::from(0.0, 45.0)),
];
const LOADS: &[Key] = &[
    Key::range("radial_load_n", FORCE_N),
    Key::number("load_factor", Bounds::from(1.0, 100.0)).usually(4.08),
];

/// The most loaded barrel roller of a spherical roller bearing under a radial load, on the inner raceway.
///
/// # Formula
/// Load `factor F / (Z cos a)` (factor 4.08 where none is given, from memory), Z the rollers of both rows, a the contact
/// angle. With d the roller and dm the pitch diameter, rr and ri the profile radii of roller and inner raceway, the
/// reduced radii are `1/Rx = 2/d + 2 cos a / (dm - d cos a)` along rolling and `1/Ry = 1/rr - 1/ri` across it. Entrainment
/// `dm/4 (1 - (d cos a / dm)^2) |wi - wo|`. A barrel in its raceway rolls purely on two lines of its ellipse only; what it
/// slips elsewhere is part of the slip that is given or taken (0 to 0.05, ours). A spot of a roller meets both raceways
/// once a turn, on the loaded half of its way round (ours).
#[derive(Debug, Deserialize)]
pub(super) struct SphericalRollerBearing {
    roller_diameter_m: f64,
    effective_length_m: f64,
    roller_profile_radius_m: f64,
    raceway_profile_radius_m: f64,
    rollers: u32,
    contact_angle_deg: f64,
    #[serde(flatten)]
    rings: Rings,
    radial_load_n: Interval,
    load_factor: f64,
    slip: Interval,
    #[serde(flatten)]
    around: Around,
}

impl Preset for SphericalRollerBearing {
    const WORD: &'static str = "spherical roller bearing";
    const KEYS: &'static [&'static [Key]] = &[ROLLERS, RINGS, LOADS, SLIP, ONE_WAY, SURFACES];

    fn read(given: &Parameters) -> Result<Self, PresetFault> {
        let bearing: Self = given.fields()?;
        // Each row is a ring of rollers of its own.
        let in_a_row = ("rollers", bearing.rollers.div_ceil(2));
        bearing.rings.check(bearing.roller_diameter_m, in_a_row)?;
        let [roller, raceway] = [bearing.roller_profile_radius_m, bearing.raceway_profile_radius_m];
        if 2.0 * roller <= bearing.roller_diameter_m {
            return Err(PresetFault::new("roller_profile_radius_m", Wrong::NoBarrel));
        }
        if raceway <= roller {
            return Err(PresetFault::new(
                "raceway_profile_radius_m",
                Wrong::WithinRollerProfile,
            ));
        }
        Ok(bearing)
    }
}

impl SphericalRollerBearing {
    fn state(&self, [load_n, inner_rpm, outer_rpm, slip]: [f64; 4]) -> Result<State, ContactError> {
        let cosine = self.contact_angle_deg.to_radians().cos();
        let (pitch, roller) = (self.rings.pitch_diameter_m, self.roller_diameter_m);
        let roller_load_n = self.load_factor * load_n / (f64::from(self.rollers) * cosine);
        let [profile, groove] = [self.roller_profile_radius_m, self.raceway_profile_radius_m];
        let inner = RollingEllipse::new(
            roller_load_n,
            1.0 / (2.0 / roller + 2.0 * cosine / (pitch - roller * cosine)),
            1.0 / (1.0 / profile - 1.0 / groove),
            self.around.contact_modulus_pa()?,
        )?;
        let entrainment = self.rings.entrainment_m_s(roller * cosine, inner_rpm, outer_rpm);
        let speeds = slipping(entrainment, slip);
        let area = LoadedArea::Ellipse(inner);
        // Both raceways are about as wide along rolling.
        let widths_m = 4.0 * inner.half_axis_along_m;
        Ok(State {
            sliding_m_s: speeds.sliding_m_s().abs(),
            slide_roll: slip,
            entrainment_m_s: Interval::point(entrainment),
            rise_k: area.rise_k(speeds, &self.around)?,
            time_share: Some((0.5 * widths_m / (PI * roller)).min(1.0)),
            facts: vec![
                ("roller_load_n", roller_load_n),
                ("axis_ratio", inner.contact.ellipticity),
                (
                    "length_over_roller",
                    2.0 * inner.half_axis_across_m / self.effective_length_m,
                ),
            ],
            area,
        })
    }
}

impl Geometry for SphericalRollerBearing {
    fn around(&self) -> &Around {
        &self.around
    }

    fn states(&self) -> Result<Vec<State>, ContactError> {
        let Rings {
            inner_rpm, outer_rpm, ..
        } = self.rings;
        at_corners([self.radial_load_n, inner_rpm, outer_rpm, self.slip], |corner| {
            self.state(corner)
        })
    }

    fn notes(&self) -> Vec<Note> {
        vec![Note::LoadedBarrel, Note::ViscosityRatio]
    }

    fn facts_with(&self, oil: &Oil) -> Result<Vec<RangeFact>, ContactError> {
        self.rings.viscosity_ratio(&self.around, oil)
    }

    fn bodies(&self) -> Bodies {
        let angle = self.contact_angle_deg.to_radians();
        self.rings.on_raceway("roller", self.roller_diameter_m, angle)
    }
}
