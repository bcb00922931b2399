//! Tapered roller bearings: the raceway, or the rib that guides the rollers' ends.

use crate::contact::ContactError;
use crate::contact::depicted::Bodies;
use crate::contact::elliptical::RollingEllipse;
use crate::contact::hertz::line;
use crate::contact::kinematics::{SurfaceSpeeds, rad_s};
use crate::contact::note::Note;
use crate::contact::preset::around::{Around, ONE_WAY, SURFACES, at_corners};
use crate::contact::preset::bounds::{Bounds, FORCE_N, LENGTH_M};
use crate::contact::preset::cone::Cone;
use crate::contact::preset::key::Key;
use crate::contact::preset::read::{Parameters, PresetFault};
use crate::contact::preset::registry::Preset;
use crate::contact::preset::rings::{RINGS, Rings, SLIP, in_section, slipping};
use crate::contact::preset::state::{Fact, Geometry, LoadedArea, RangeFact, State};
use crate::lubricant::Oil;
use crate::units::Interval;
use serde::Deserialize;
use std::f64::consts::PI;

const RACEWAY: &str = "raceway";
const RIB: &str = "rib";

const ROLLERS: &[Key] = &[
    Key::word("at", "contact of a tapered roller", &[RACEWAY, RIB]),
    Key::number("roller_diameter_m", LENGTH_M),
    Key::number("effective_length_m", LENGTH_M),
    Key::count("rollers"),
    Key::number("outer_angle_deg", Bounds::from(5.0, 60.0)),
    Key::number("roller_end_radius_m", LENGTH_M).optional(),
    Key::number("rib_height_m", LENGTH_M).optional(),
];
const LOADS: &[Key] = &[
    Key::range("radial_load_n", Bounds::from(0.0, 1e9)).usually(0.0),
    Key::range("axial_load_n", FORCE_N),
    Key::number("load_factor", Bounds::from(1.0, 100.0)).usually(4.08),
];

/// The most loaded roller of a tapered roller bearing, on the inner raceway or with its end on the rib of the inner
/// ring. Both follow the same rollers; which of them is the contact is a word.
///
/// # Formula
/// Roller and raceways are cones about one apex: the half taper n of the roller solves `d sin(ao - n) = dm tan n`, d the
/// mean roller and dm the pitch diameter, ao the angle of the outer raceway; the inner raceway has `ai = ao - 2 n`, the
/// roller's axis `b = ao - n`. Load on the raceway `Q = Fa / (Z sin ao) + factor Fr / (Z cos ao)` (factor 4.08 where none
/// is given, from memory; that both add up at one roller is on the safe side, ours), the same on both raceways, and on
/// the rib `2 Q sin n`, which balances both along the roller's axis (derived by hand, the rib's force taken along that
/// axis).
///
/// Raceway: a line, `1/R = cos n (2/d) + cos ai / ri`, entrainment `ri ro / (ri + ro) |wi - wo|`, ri and ro the raceways'
/// radii at the roller's middle; slip as for other rollers.
///
/// Rib: the spherical end, of radius rs, on the hollow cone of the rib, an ellipse with `1/Rx = 1/rs - sin(b - e) / rf`
/// along the motion, `1/Ry = 1/rs` across it, where rf is the contact's radius about the bearing's axis and e the end's
/// slope there. The rib moves at `w rf`, the roller's end about its own axis; they differ by the height of the contact
/// over the line on which both roll (derived by hand). Slip of the rollers does not enter here.
#[derive(Debug)]
pub(super) struct TaperedRollerBearing {
    cone: Cone,
    /// Radius of the end and height of the contact, where the contact is that at the rib.
    rib: Option<[f64; 2]>,
    duty: Duty,
}

/// How many rollers there are, and their duty.
#[derive(Debug, Deserialize)]
struct Duty {
    rollers: u32,
    #[serde(flatten)]
    rings: Rings,
    radial_load_n: Interval,
    axial_load_n: Interval,
    load_factor: f64,
    slip: Interval,
    #[serde(flatten)]
    around: Around,
}

impl Preset for TaperedRollerBearing {
    const WORD: &'static str = "tapered roller bearing";
    const KEYS: &'static [&'static [Key]] = &[ROLLERS, RINGS, LOADS, SLIP, ONE_WAY, SURFACES];

    fn read(given: &Parameters) -> Result<Self, PresetFault> {
        let duty: Duty = given.fields()?;
        let diameter_m = given.number("roller_diameter_m")?;
        duty.rings.check(diameter_m, ("rollers", duty.rollers))?;
        let cone = Cone::new(
            diameter_m,
            given.number("effective_length_m")?,
            duty.rings.pitch_diameter_m,
            given.number("outer_angle_deg")?.to_radians(),
        )?;
        let rib = match given.text("at")? {
            RIB => Some([
                given.number("roller_end_radius_m")?,
                given.number("rib_height_m")?,
            ]),
            _ => None,
        };
        if let Some([end_radius_m, height_m]) = rib {
            cone.check_rib(end_radius_m, height_m)?;
        }
        Ok(Self { cone, rib, duty })
    }
}

/// One corner of the duty.
struct Moment {
    raceway_load_n: f64,
    inner_to_cage_rad_s: f64,
    slip: f64,
}

impl TaperedRollerBearing {
    fn moment(&self, [radial, axial, inner_rpm, outer_rpm, slip]: [f64; 5]) -> Moment {
        let angle = self.cone.outer_angle_rad;
        let each = axial / angle.sin() + self.duty.load_factor * radial / angle.cos();
        Moment {
            raceway_load_n: each / f64::from(self.duty.rollers),
            inner_to_cage_rad_s: self.cone.inner_to_cage_share()
                * (rad_s(inner_rpm) - rad_s(outer_rpm)).abs(),
            slip,
        }
    }

    fn on_raceway(&self, moment: &Moment) -> Result<State, ContactError> {
        let load_n = moment.raceway_load_n;
        let radius_m = self.cone.inner_reduced_radius_m();
        let contact = line(
            load_n,
            self.cone.length_m,
            radius_m,
            self.duty.around.contact_modulus_pa()?,
        )?;
        let entrainment = moment.inner_to_cage_rad_s * self.cone.inner_raceway_radius_m();
        let speeds = slipping(entrainment, moment.slip);
        // Both raceways are about as wide.
        let widths_m = 4.0 * contact.half_width_m;
        let area = LoadedArea::Line(contact);
        Ok(State {
            sliding_m_s: speeds.sliding_m_s().abs(),
            slide_roll: moment.slip,
            entrainment_m_s: Interval::point(entrainment),
            rise_k: area.rise_k(speeds, &self.duty.around)?,
            time_share: Some((widths_m / (PI * self.cone.diameter_m)).min(1.0)),
            facts: self.facts(load_n),
            area,
        })
    }

    fn on_rib(&self, moment: &Moment, [end_radius_m, height_m]: [f64; 2]) -> Result<State, ContactError> {
        let place = self.cone.rib_contact(end_radius_m, height_m);
        let load_n = self.cone.rib_load_n(moment.raceway_load_n);
        let ellipse = RollingEllipse::new(
            load_n,
            place.radius_along_m,
            end_radius_m,
            self.duty.around.contact_modulus_pa()?,
        )?;
        let at = |inner_to_cage_rad_s: f64| SurfaceSpeeds {
            first_m_s: inner_to_cage_rad_s * place.to_bearing_axis_m,
            second_m_s: inner_to_cage_rad_s * self.cone.roller_over_inner_speed() * place.to_roller_axis_m,
        };
        let speeds = at(moment.inner_to_cage_rad_s);
        let area = LoadedArea::Ellipse(ellipse);
        let way_round_m = 2.0 * PI * place.to_roller_axis_m;
        Ok(State {
            sliding_m_s: speeds.sliding_m_s().abs(),
            slide_roll: at(1.0).slide_roll().unwrap_or(2.0),
            entrainment_m_s: Interval::point(speeds.entrainment_m_s()),
            rise_k: area.rise_k(speeds, &self.duty.around)?,
            time_share: Some((2.0 * ellipse.half_axis_along_m / way_round_m).min(1.0)),
            facts: self.facts(moment.raceway_load_n),
            area,
        })
    }

    fn facts(&self, raceway_load_n: f64) -> Vec<Fact> {
        vec![
            ("roller_load_n", raceway_load_n),
            ("rib_load_n", self.cone.rib_load_n(raceway_load_n)),
            ("half_taper_deg", self.cone.half_taper_rad.to_degrees()),
            ("apex_distance_mm", 1e3 * self.cone.end_to_apex_m()),
        ]
    }
}

impl Geometry for TaperedRollerBearing {
    fn around(&self) -> &Around {
        &self.duty.around
    }

    fn states(&self) -> Result<Vec<State>, ContactError> {
        let (inner, outer) = (self.duty.rings.inner_rpm, self.duty.rings.outer_rpm);
        let ranges = [
            self.duty.radial_load_n,
            self.duty.axial_load_n,
            inner,
            outer,
            self.duty.slip,
        ];
        at_corners(ranges, |corner| {
            let moment = self.moment(corner);
            match self.rib {
                None => self.on_raceway(&moment),
                Some(rib) => self.on_rib(&moment, rib),
            }
        })
    }

    fn notes(&self) -> Vec<Note> {
        let note = match self.rib {
            None => Note::LoadedRoller,
            Some(_) => Note::RollerEndOnRib,
        };
        vec![note, Note::ViscosityRatio]
    }

    fn facts_with(&self, oil: &Oil) -> Result<Vec<RangeFact>, ContactError> {
        self.duty.rings.viscosity_ratio(&self.duty.around, oil)
    }

    fn bodies(&self) -> Bodies {
        let [roller_m, raceway_m] = self.cone.radii_across_line_m();
        match self.rib {
            None => in_section("roller", roller_m, raceway_m),
            // The spherical end in the hollow of the rib is drawn by its reduced radius.
            Some(_) => Bodies::NotKnown,
        }
    }
}
