//! Deep groove and angular contact ball bearings.

use crate::contact::ContactError;
use crate::contact::depicted::{Bodies, Moves};
use crate::contact::elliptical::RollingEllipse;
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

/// Groove radius over ball diameter where none is given (common practice, no source).
const USUAL_CONFORMITY: f64 = 0.52;
const CONFORMITY: Bounds = Bounds::above(0.5, 1.0);
const LOAD_FACTOR: Bounds = Bounds::from(1.0, 100.0);

const BALLS: &[Key] = &[
    Key::number("ball_diameter_m", LENGTH_M),
    Key::count("balls"),
    Key::number("inner_conformity", CONFORMITY).usually(USUAL_CONFORMITY),
    Key::number("outer_conformity", CONFORMITY).usually(USUAL_CONFORMITY),
];
const RADIAL: &[Key] = &[
    Key::range("radial_load_n", FORCE_N),
    Key::number("load_factor", LOAD_FACTOR).usually(4.37),
];
const ANGULAR: &[Key] = &[
    Key::number("contact_angle_deg", Bounds::from(5.0, 75.0)),
    Key::range("axial_load_n", FORCE_N),
    Key::range("radial_load_n", Bounds::from(0.0, 1e9)).usually(0.0),
    Key::number("load_factor", LOAD_FACTOR).usually(4.37),
];

/// Balls in the grooves of two rings.
///
/// # Formula
/// With d the ball and dm the pitch diameter, a the contact angle and f the groove radius over d, the reduced radii
/// are `1/Rx = 2/d + 2 cos a / (dm - d cos a)` along rolling on the inner raceway, `2/d - 2 cos a / (dm + d cos a)` on
/// the outer, and `1/Ry = 2/d - 1/(f d)` across it. Entrainment `dm/4 (1 - (d cos a / dm)^2) |wi - wo|` (Hamrock, from
/// memory).
#[derive(Clone, Copy, Debug, Deserialize)]
struct Grooves {
    ball_diameter_m: f64,
    balls: u32,
    inner_conformity: f64,
    outer_conformity: f64,
    /// 0 where a bearing has none.
    #[serde(default)]
    contact_angle_deg: f64,
    #[serde(flatten)]
    rings: Rings,
}

impl Grooves {
    fn check(&self) -> Result<(), PresetFault> {
        self.rings.check(self.ball_diameter_m, ("balls", self.balls))
    }

    fn contact_angle_rad(&self) -> f64 {
        self.contact_angle_deg.to_radians()
    }

    /// The contacts of a ball under this load on the inner and on the outer raceway.
    fn contacts(&self, ball_load_n: f64, around: &Around) -> Result<[RollingEllipse; 2], ContactError> {
        let modulus = around.contact_modulus_pa()?;
        let (pitch, ball) = (self.rings.pitch_diameter_m, self.ball_diameter_m);
        let cosine = self.contact_angle_rad().cos();
        let curvatures = [
            2.0 / ball + 2.0 * cosine / (pitch - ball * cosine),
            2.0 / ball - 2.0 * cosine / (pitch + ball * cosine),
        ];
        let conformities = [self.inner_conformity, self.outer_conformity];
        let on = |raceway: usize| {
            let conformity = conformities[raceway];
            let radius_across = conformity * ball / (2.0 * conformity - 1.0);
            RollingEllipse::new(ball_load_n, 1.0 / curvatures[raceway], radius_across, modulus)
        };
        Ok([on(0)?, on(1)?])
    }

    fn entrainment_m_s(&self, inner_rpm: f64, outer_rpm: f64) -> f64 {
        let in_plane = self.ball_diameter_m * self.contact_angle_rad().cos();
        self.rings.entrainment_m_s(in_plane, inner_rpm, outer_rpm)
    }

    /// Mean spin slip over the entrainment speed: the inner ring turns against the cage at `(1 + g)/2 |wi - wo|` with
    /// `g = d cos a / dm`, of which `sin a` is spin in the contact, at half of the longer half-axis on average.
    fn spin_over_entrainment(&self, inner: &RollingEllipse) -> f64 {
        let share = self.ball_diameter_m * self.contact_angle_rad().cos() / self.rings.pitch_diameter_m;
        let lever = 0.5 * inner.contact.long_half_axis_m;
        2.0 * self.contact_angle_rad().sin() * lever / (self.rings.pitch_diameter_m * (1.0 - share))
    }

    fn state(
        &self,
        ball_load_n: f64,
        [inner_rpm, outer_rpm, slip]: [f64; 3],
        loaded_share: f64,
        around: &Around,
    ) -> Result<State, ContactError> {
        let [inner, outer] = self.contacts(ball_load_n, around)?;
        let entrainment = self.entrainment_m_s(inner_rpm, outer_rpm);
        let spin = self.spin_over_entrainment(&inner);
        let slide_roll = slip.hypot(spin);
        let speeds = slipping(entrainment, slide_roll);
        let widths_m = 2.0 * (inner.half_axis_along_m + outer.half_axis_along_m);
        let area = LoadedArea::Ellipse(inner);
        let mut facts = vec![
            ("ball_load_n", ball_load_n),
            ("axis_ratio", inner.contact.ellipticity),
            ("outer_pressure_mpa", 1e-6 * outer.contact.max_pressure_pa),
        ];
        if self.contact_angle_deg > 0.0 {
            facts.push(("spin_slip_m_s", spin * entrainment));
        }
        Ok(State {
            sliding_m_s: speeds.sliding_m_s().abs(),
            slide_roll,
            entrainment_m_s: Interval::point(entrainment),
            rise_k: area.rise_k(speeds, around)?,
            time_share: Some((loaded_share * widths_m / (PI * self.ball_diameter_m)).min(1.0)),
            facts,
            area,
        })
    }
}

/// The most loaded ball of a deep groove ball bearing under a radial load, on the inner raceway, where pressure is
/// greatest unless the outer groove is much wider.
///
/// # Formula
/// Load `factor F / Z`: factor 4.37 without clearance, which is taken where none is given, 5 with the usual clearance
/// (from memory). Slip is the sliding over the entrainment speed. A spot of a ball meets both raceways once a turn, on
/// the loaded half of its way round (ours).
#[derive(Debug, Deserialize)]
pub(super) struct DeepGrooveBallBearing {
    #[serde(flatten)]
    grooves: Grooves,
    radial_load_n: Interval,
    load_factor: f64,
    slip: Interval,
    #[serde(flatten)]
    around: Around,
}

impl Preset for DeepGrooveBallBearing {
    const WORD: &'static str = "deep groove ball bearing";
    const KEYS: &'static [&'static [Key]] = &[BALLS, RINGS, RADIAL, SLIP, ONE_WAY, SURFACES];

    fn read(given: &Parameters) -> Result<Self, PresetFault> {
        let bearing: Self = given.fields()?;
        bearing.grooves.check()?;
        Ok(bearing)
    }
}

impl Geometry for DeepGrooveBallBearing {
    fn around(&self) -> &Around {
        &self.around
    }

    fn states(&self) -> Result<Vec<State>, ContactError> {
        let Rings {
            inner_rpm, outer_rpm, ..
        } = self.grooves.rings;
        let at = |[load_n, inner, outer, slip]: [f64; 4]| {
            let ball_load_n = self.load_factor * load_n / f64::from(self.grooves.balls);
            let moving = [inner, outer, slip];
            self.grooves.state(ball_load_n, moving, 0.5, &self.around)
        };
        at_corners([self.radial_load_n, inner_rpm, outer_rpm, self.slip], at)
    }

    fn notes(&self) -> Vec<Note> {
        vec![Note::LoadedBall, Note::ViscosityRatio]
    }

    fn facts_with(&self, oil: &Oil) -> Result<Vec<RangeFact>, ContactError> {
        self.grooves.rings.viscosity_ratio(&self.around, oil)
    }

    fn bodies(&self) -> Bodies {
        Bodies::BetweenRings {
            element: "ball",
            element_diameter_m: self.grooves.ball_diameter_m,
            pitch_diameter_m: self.grooves.rings.pitch_diameter_m,
            elements: Some(self.grooves.balls),
            moves: Moves::OneWay,
        }
    }
}

/// The most loaded ball of an angular contact ball bearing under an axial load and, where there is one, a radial load,
/// on the inner raceway.
///
/// # Formula
/// Load `Fa / (Z sin a) + factor Fr / (Z cos a)`, factor 4.37 where none is given (from memory; that both loads add up
/// at one ball is on the safe side, ours). The contact angle is taken as given, whatever the load. The ball rolls
/// about an axis square to the line of contact, so that it spins at both raceways at `(wi - wc) sin a`, wc the cage's
/// speed; the mean spin slip is that times half the longer half-axis (from memory). Slip along rolling and spin slip
/// add up as the root of their squares (ours). Every ball is loaded all the way round.
#[derive(Debug, Deserialize)]
pub(super) struct AngularContactBallBearing {
    #[serde(flatten)]
    grooves: Grooves,
    axial_load_n: Interval,
    radial_load_n: Interval,
    load_factor: f64,
    slip: Interval,
    #[serde(flatten)]
    around: Around,
}

impl Preset for AngularContactBallBearing {
    const WORD: &'static str = "angular contact ball bearing";
    const KEYS: &'static [&'static [Key]] = &[BALLS, RINGS, ANGULAR, SLIP, ONE_WAY, SURFACES];

    fn read(given: &Parameters) -> Result<Self, PresetFault> {
        let bearing: Self = given.fields()?;
        bearing.grooves.check()?;
        Ok(bearing)
    }
}

impl Geometry for AngularContactBallBearing {
    fn around(&self) -> &Around {
        &self.around
    }

    fn states(&self) -> Result<Vec<State>, ContactError> {
        let Grooves { balls, rings, .. } = self.grooves;
        let angle = self.grooves.contact_angle_rad();
        let at = |[axial, radial, inner, outer, slip]: [f64; 5]| {
            let ball_load_n =
                (axial / angle.sin() + self.load_factor * radial / angle.cos()) / f64::from(balls);
            let moving = [inner, outer, slip];
            self.grooves.state(ball_load_n, moving, 1.0, &self.around)
        };
        at_corners(
            [
                self.axial_load_n,
                self.radial_load_n,
                rings.inner_rpm,
                rings.outer_rpm,
                self.slip,
            ],
            at,
        )
    }

    fn notes(&self) -> Vec<Note> {
        vec![Note::LoadedBallAtAngle, Note::ViscosityRatio]
    }

    fn facts_with(&self, oil: &Oil) -> Result<Vec<RangeFact>, ContactError> {
        self.grooves.rings.viscosity_ratio(&self.around, oil)
    }

    fn bodies(&self) -> Bodies {
        let it = &self.grooves;
        it.rings
            .on_raceway("ball", it.ball_diameter_m, it.contact_angle_rad())
    }
}
