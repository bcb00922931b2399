//! Cams under a flat or a roller follower.

use crate::contact::ContactError;
use crate::contact::cam::{Cam, CamPoint};
use crate::contact::depicted::Bodies;
use crate::contact::flash::line_rise_k;
use crate::contact::hertz::{LineContact, line, reduced_radius_m};
use crate::contact::kinematics::{GREATEST_SLIDE_ROLL, SurfaceSpeeds, rad_s};
use crate::contact::note::Note;
use crate::contact::preset::around::{Around, ONE_WAY, SURFACES, both_at_corners};
use crate::contact::preset::bounds::{Bounds, FORCE_N, LENGTH_M, SPEED_RPM};
use crate::contact::preset::key::Key;
use crate::contact::preset::read::{Parameters, PresetFault};
use crate::contact::preset::registry::Preset;
use crate::contact::preset::state::{Geometry, LoadedArea, State};
use crate::units::Interval;
use std::f64::consts::PI;

const CAM: &[Key] = &[
    Key::number("base_radius_m", LENGTH_M),
    Key::number("lift_m", LENGTH_M),
    Key::number("nose_radius_m", LENGTH_M),
    Key::number("half_event_deg", Bounds::above(0.0, 179.0)),
    Key::number("contact_length_m", LENGTH_M),
    Key::range("load_n", FORCE_N),
    Key::range("cam_rpm", SPEED_RPM),
];

const ROLLER: &[Key] = &[
    Key::number("roller_diameter_m", LENGTH_M),
    Key::range("slip", Bounds::from(0.0, 2.0)).usually_between(0.0, 0.1),
];

/// A cam that turns one way with its load.
#[derive(Clone, Debug, PartialEq)]
struct Lobe {
    cam: Cam,
    contact_length_m: f64,
    load_n: Interval,
    cam_rpm: Interval,
    around: Around,
}

impl Lobe {
    fn read(given: &Parameters) -> Result<Self, PresetFault> {
        let half_event_deg = given.number("half_event_deg")?;
        let cam = Cam::new(
            given.number("base_radius_m")?,
            given.number("lift_m")?,
            given.number("nose_radius_m")?,
            half_event_deg.to_radians(),
        );
        Ok(Self {
            cam: cam?,
            contact_length_m: given.number("contact_length_m")?,
            load_n: given.range("load_n")?,
            cam_rpm: given.range("cam_rpm")?,
            around: given.fields()?,
        })
    }

    /// The line contact of a reduced radius.
    fn line(&self, load_n: f64, radius_m: f64) -> Result<LineContact, ContactError> {
        line(
            load_n,
            self.contact_length_m,
            radius_m,
            self.around.contact_modulus_pa()?,
        )
    }

    /// The line contact whose pressure is the mean over the lift, for points with a reduced radius each.
    fn mean_line(
        &self,
        load_n: f64,
        point: impl Fn(f64) -> CamPoint,
        reduced_m: impl Fn(&CamPoint) -> f64,
    ) -> Result<LineContact, ContactError> {
        // Pressure goes with the root of the curvature.
        let root = self.cam.mean(point, |point| reduced_m(point).powf(-0.5));
        self.line(load_n, root.powi(-2))
    }

    /// Mean flash rise over the lift.
    fn rise_k(
        &self,
        contact: &LineContact,
        point: impl Fn(f64) -> CamPoint,
        local: impl Fn(&CamPoint) -> (f64, SurfaceSpeeds),
    ) -> Result<f64, ContactError> {
        let bodies = self.around.materials.thermal()?;
        let per_length = contact.load_n / contact.length_m;
        Ok(self.cam.mean(point, |point| {
            let (reduced_m, speeds) = local(point);
            let half_width_m = contact.half_width_m * (reduced_m / contact.radius_m).sqrt();
            line_rise_k(
                self.around.friction_coefficient,
                per_length,
                half_width_m,
                speeds,
                bodies,
            )
        }))
    }
}

/// A cam under a flat follower that does not turn.
///
/// Pressure, sliding, entrainment and flash temperature reach from their means over the time of the lift to the nose, under
/// a force that stays the same; the base circle carries no load (ours). The mean slide-roll ratio is the mean sliding over
/// the mean entrainment without sign (ours), because entrainment changes its direction between flank and nose.
///
/// # Formula
/// Radius `Rb + s + s''`, sliding `w (Rb + s)`, entrainment `w (Rb + s + 2 s'') / 2` (seen in a paper on cam noses).
/// A spot of the follower is in contact for the width of the contact over the width that it sweeps, for the share of a
/// turn that the lift takes (ours); a spot of the nose for its width over its arc's whole circle; the greater counts.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct FlatFollower(Lobe);

impl Preset for FlatFollower {
    const WORD: &'static str = "cam with flat follower";
    const KEYS: &'static [&'static [Key]] = &[CAM, ONE_WAY, SURFACES];

    fn read(given: &Parameters) -> Result<Self, PresetFault> {
        Lobe::read(given).map(Self)
    }
}

impl FlatFollower {
    /// The mean over the lift, and the nose.
    fn states_at(&self, [load_n, rpm]: [f64; 2]) -> Result<[State; 2], ContactError> {
        let lobe = &self.0;
        let cam = &lobe.cam;
        let flat = |direction: f64| cam.under_flat(direction);
        let turn = rad_s(rpm);
        let speeds = |point: &CamPoint| SurfaceSpeeds {
            first_m_s: turn * point.cam_per_rad_m,
            second_m_s: turn * point.follower_per_rad_m,
        };
        let contact = lobe.mean_line(load_n, flat, |point| point.radius_m)?;
        let sliding = cam.mean(flat, |point| point.cam_per_rad_m - point.follower_per_rad_m);
        let entrainment = cam.mean(flat, |point| {
            0.5 * (point.cam_per_rad_m + point.follower_per_rad_m).abs()
        });
        let (nose, flank) = (
            cam.under_flat(0.0),
            cam.under_flat(PI * cam.event_share() * (1.0 - 1e-9)),
        );
        let base = cam.under_flat(PI);
        let at_nose = lobe.line(load_n, nose.radius_m)?;
        let width = 2.0 * contact.half_width_m;
        let on_follower = width / (width + 2.0 * cam.reach_on_flat_m()) * cam.event_share();
        let on_nose = at_nose.half_width_m / (PI * nose.radius_m);
        let at_rest =
            |ratio: Option<f64>| ratio.map_or(GREATEST_SLIDE_ROLL, |it| it.min(GREATEST_SLIDE_ROLL));
        let mean = State {
            sliding_m_s: turn * sliding,
            slide_roll: at_rest((entrainment > 0.0).then(|| sliding / entrainment)),
            entrainment_m_s: Interval::point(turn * entrainment),
            rise_k: Some(lobe.rise_k(&contact, flat, |point| (point.radius_m, speeds(point)))?),
            time_share: Some(on_follower.max(on_nose).min(1.0)),
            facts: vec![
                ("nose_pressure_mpa", 1e-6 * at_nose.max_pressure_pa),
                (
                    "flank_pressure_mpa",
                    1e-6 * lobe.line(load_n, flank.radius_m)?.max_pressure_pa,
                ),
                ("nose_sliding_m_s", speeds(&nose).sliding_m_s()),
                ("base_sliding_m_s", speeds(&base).sliding_m_s()),
                ("nose_entrainment_m_s", speeds(&nose).entrainment_m_s()),
                ("base_entrainment_m_s", speeds(&base).entrainment_m_s()),
                ("flank_entrainment_m_s", speeds(&flank).entrainment_m_s()),
                ("flank_radius_mm", 1e3 * cam.flank_radius_m()),
                ("lift_share_percent", 100.0 * cam.event_share()),
            ],
            area: LoadedArea::Line(contact),
        };
        let there = speeds(&nose);
        let area = LoadedArea::Line(at_nose);
        let nose = State {
            sliding_m_s: there.sliding_m_s(),
            // At 1 rad/s, so that it also serves a duty at standstill.
            slide_roll: at_rest(
                SurfaceSpeeds {
                    first_m_s: nose.cam_per_rad_m,
                    second_m_s: nose.follower_per_rad_m,
                }
                .slide_roll(),
            ),
            entrainment_m_s: Interval::point(there.entrainment_m_s().abs()),
            rise_k: area.rise_k(there, &lobe.around)?,
            area,
            ..mean.clone()
        };
        Ok([mean, nose])
    }
}

impl Geometry for FlatFollower {
    fn around(&self) -> &Around {
        &self.0.around
    }

    fn states(&self) -> Result<Vec<State>, ContactError> {
        both_at_corners([self.0.load_n, self.0.cam_rpm], |corner| self.states_at(corner))
    }

    fn notes(&self) -> Vec<Note> {
        vec![Note::CamMeans, Note::FlatFollowerFilm]
    }

    fn bodies(&self) -> Bodies {
        Bodies::Cam(self.0.cam.outline(f64::INFINITY))
    }
}

/// A cam under a roller follower on a slide through the cam's axis.
///
/// From the means over the time of the lift to the nose, as under a flat follower. The roller follows the cam but for its slip, the sliding
/// over the entrainment speed: 0 to 0.1 where none is given (ours).
///
/// # Formula
/// Reduced radius of arc and roller; entrainment is the speed of the cam's surface through the contact, from the path
/// of the roller's middle (geometry, ours). A spot of the roller is in contact once a turn of the roller during the
/// lift; a spot of the cam once a turn of the cam; the greater share counts.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct RollerFollower {
    lobe: Lobe,
    roller_diameter_m: f64,
    slip: Interval,
}

impl Preset for RollerFollower {
    const WORD: &'static str = "cam with roller follower";
    const KEYS: &'static [&'static [Key]] = &[CAM, ROLLER, ONE_WAY, SURFACES];

    fn read(given: &Parameters) -> Result<Self, PresetFault> {
        Ok(Self {
            lobe: Lobe::read(given)?,
            roller_diameter_m: given.number("roller_diameter_m")?,
            slip: given.range("slip")?,
        })
    }
}

impl RollerFollower {
    /// The mean over the lift, and the nose.
    fn states_at(&self, [load_n, rpm, slip]: [f64; 3]) -> Result<[State; 2], ContactError> {
        let lobe = &self.lobe;
        let cam = &lobe.cam;
        let roller_m = 0.5 * self.roller_diameter_m;
        let round = |direction: f64| cam.under_roller(direction, roller_m);
        let reduced = |point: &CamPoint| point.radius_m * roller_m / (point.radius_m + roller_m);
        let turn = rad_s(rpm);
        let speeds = |point: &CamPoint| SurfaceSpeeds {
            first_m_s: turn * point.cam_per_rad_m * (1.0 + 0.5 * slip),
            second_m_s: turn * point.follower_per_rad_m * (1.0 - 0.5 * slip),
        };
        let contact = lobe.mean_line(load_n, round, reduced)?;
        let entrainment = cam.mean(round, |point| point.cam_per_rad_m);
        let nose = round(0.0);
        let at_nose = lobe.line(load_n, reduced_radius_m(nose.radius_m, roller_m)?)?;
        let on_roller = contact.half_width_m / (PI * roller_m) * cam.event_share();
        let on_cam = contact.half_width_m / (PI * entrainment);
        let flank = round(PI * cam.event_share() * (1.0 - 1e-9));
        let mean = State {
            sliding_m_s: turn * entrainment * slip,
            slide_roll: slip,
            entrainment_m_s: Interval::point(turn * entrainment),
            rise_k: Some(lobe.rise_k(&contact, round, |point| (reduced(point), speeds(point)))?),
            time_share: Some(on_roller.max(on_cam).min(1.0)),
            facts: vec![
                ("nose_pressure_mpa", 1e-6 * at_nose.max_pressure_pa),
                (
                    "flank_pressure_mpa",
                    1e-6 * lobe.line(load_n, reduced(&flank))?.max_pressure_pa,
                ),
                ("nose_entrainment_m_s", turn * nose.cam_per_rad_m),
                ("start_entrainment_m_s", turn * flank.cam_per_rad_m),
                (
                    "pressure_angle_deg",
                    cam.greatest_pressure_angle_rad(roller_m).to_degrees(),
                ),
                ("flank_radius_mm", 1e3 * cam.flank_radius_m()),
                ("lift_share_percent", 100.0 * cam.event_share()),
            ],
            area: LoadedArea::Line(contact),
        };
        let there = speeds(&nose);
        let area = LoadedArea::Line(at_nose);
        let nose = State {
            sliding_m_s: there.sliding_m_s(),
            entrainment_m_s: Interval::point(there.entrainment_m_s()),
            rise_k: area.rise_k(there, &lobe.around)?,
            area,
            ..mean.clone()
        };
        Ok([mean, nose])
    }
}

impl Geometry for RollerFollower {
    fn around(&self) -> &Around {
        &self.lobe.around
    }

    fn states(&self) -> Result<Vec<State>, ContactError> {
        let ranges = [self.lobe.load_n, self.lobe.cam_rpm, self.slip];
        both_at_corners(ranges, |corner| self.states_at(corner))
    }

    fn notes(&self) -> Vec<Note> {
        vec![Note::CamMeans, Note::RollerSlipGiven]
    }

    fn bodies(&self) -> Bodies {
        Bodies::Cam(self.lobe.cam.outline(0.5 * self.roller_diameter_m))
    }
}
