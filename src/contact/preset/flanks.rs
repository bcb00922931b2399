//! The flanks of gears in mesh, straight or helical, from which every pair of gears is computed.

use crate::contact::ContactError;
use crate::contact::depicted::{Bodies, Gears};
use crate::contact::elastic::Elastic;
use crate::contact::flash::line_rise_k;
use crate::contact::gear::{GearData, GearPair, PathPoint, base_helix_rad, overlap_ratio, virtual_spur};
use crate::contact::kinematics::SurfaceSpeeds;
use crate::contact::note::Note;
use crate::contact::preset::around::Around;
use crate::contact::preset::state::{Fact, LoadedArea, State};
use crate::units::Interval;

/// A cylindrical pair; teeth need not be whole where it stands for another.
#[derive(Clone, Copy, Debug)]
pub(super) struct Flanks {
    pub(super) teeth: [f64; 2],
    pub(super) normal_module_m: f64,
    /// In the normal section.
    pub(super) pressure_angle_rad: f64,
    pub(super) helix_rad: f64,
    pub(super) centre_distance_m: f64,
    pub(super) face_width_m: f64,
    pub(super) tip_diameters_m: [f64; 2],
}

/// What turns the pinion of a cylindrical pair.
pub(super) struct Drive {
    pub(super) torque_nm: f64,
    pub(super) rpm: f64,
    /// Turns of the faster gear, as it stands in its shaft, over those of the pinion here.
    pub(super) faster_over_pinion: f64,
}

/// Points of a path among which the greatest of a quantity is looked for.
const PATH_STEPS: usize = 201;

/// Keys of what the page shows of the points A to E of the path.
const PATH: [[&str; 4]; 5] = [
    [
        "a_from_pitch_mm",
        "a_pressure_mpa",
        "a_sliding_m_s",
        "a_slide_roll",
    ],
    [
        "b_from_pitch_mm",
        "b_pressure_mpa",
        "b_sliding_m_s",
        "b_slide_roll",
    ],
    [
        "c_from_pitch_mm",
        "c_pressure_mpa",
        "c_sliding_m_s",
        "c_slide_roll",
    ],
    [
        "d_from_pitch_mm",
        "d_pressure_mpa",
        "d_sliding_m_s",
        "d_slide_roll",
    ],
    [
        "e_from_pitch_mm",
        "e_pressure_mpa",
        "e_sliding_m_s",
        "e_slide_roll",
    ],
];

impl Flanks {
    pub(super) fn base_helix_rad(&self) -> f64 {
        base_helix_rad(self.pressure_angle_rad, self.helix_rad)
    }

    /// The spur pair by which it is computed, of two elastic bodies; the pair itself where it has no helix.
    pub(super) fn virtual_spur_pair(&self, elastic: [Elastic; 2]) -> Result<GearPair, ContactError> {
        let normal = GearData {
            pinion_teeth: self.teeth[0],
            wheel_teeth: self.teeth[1],
            module_m: self.normal_module_m,
            pressure_angle_deg: self.pressure_angle_rad.to_degrees(),
            centre_distance_m: self.centre_distance_m,
            pinion_tip_diameter_m: self.tip_diameters_m[0],
            wheel_tip_diameter_m: self.tip_diameters_m[1],
            face_width_m: self.face_width_m,
            elastic,
        };
        GearPair::new(virtual_spur(normal, self.helix_rad))
    }

    /// The gears in the section across their axes.
    pub(super) fn bodies(&self) -> Bodies {
        Bodies::Gears(Gears {
            teeth: self.teeth,
            module_m: self.normal_module_m / self.helix_rad.cos(),
            pressure_angle_rad: (self.pressure_angle_rad.tan() / self.helix_rad.cos()).atan(),
            centre_distance_m: self.centre_distance_m,
            tip_diameters_m: self.tip_diameters_m,
        })
    }

    /// Its states under a drive, `pair` being its virtual spur pair: the mean over the path of contact with one pair of
    /// teeth carrying the whole load, as for gear tests, and the tip that slides most. There the flash is the greatest on
    /// the path with the load shared between pairs of teeth. Pressure is that at the pitch point in both.
    pub(super) fn states(
        &self,
        pair: &GearPair,
        drive: &Drive,
        around: &Around,
    ) -> Result<[State; 2], ContactError> {
        let cosine = self.base_helix_rad().cos();
        let (torque, rpm) = (drive.torque_nm / cosine.powi(2), drive.rpm * cosine);
        let bodies = around.materials.thermal()?;
        let contact = pair.pitch_contact(torque)?;
        let load_per_length = contact.load_n / contact.length_m;
        // All speeds are in proportion to the pinion's, so that those at 1 r/min also serve a duty at standstill.
        let mean = |quantity: &dyn Fn(&PathPoint) -> f64| pair.mean_over_path(1.0, torque, quantity);
        let pitch = pair.at(pair.path_points().c_m, 1.0, torque)?;
        let faster_rpm = drive.faster_over_pinion / cosine;
        let rise_k = |point: &PathPoint, share: f64| {
            let speeds = SurfaceSpeeds {
                first_m_s: rpm * point.speeds.first_m_s,
                second_m_s: rpm * point.speeds.second_m_s,
            };
            let half_width_m = point.half_width_m * share.sqrt();
            let friction = around.friction_coefficient;
            line_rise_k(friction, share * load_per_length, half_width_m, speeds, bodies)
        };
        let mean_rise_k = mean(&|point| rise_k(point, 1.0))?;
        let mean = State {
            sliding_m_s: rpm * mean(&|point| point.sliding_m_s().abs())?,
            slide_roll: mean(&|point| point.slide_roll())?,
            entrainment_m_s: Interval::point(rpm * mean(&|point| point.entrainment_m_s())?),
            rise_k: Some(mean_rise_k),
            time_share: Some(
                (2.0 * contact.half_width_m / pitch.speeds.first_m_s * faster_rpm / 60.0).min(1.0),
            ),
            facts: self.facts(pair, contact.load_n, torque, rpm)?,
            area: LoadedArea::Line(contact),
        };
        let ends = pair.path_points();
        let tips = [pair.at(ends.a_m, 1.0, torque)?, pair.at(ends.e_m, 1.0, torque)?];
        let [wheel_tip, pinion_tip] = tips;
        let tip = match pinion_tip.sliding_m_s().abs() >= wheel_tip.sliding_m_s().abs() {
            true => pinion_tip,
            false => wheel_tip,
        };
        let points = pair.path(1.0, torque, PATH_STEPS)?;
        let greatest_rise_k = points
            .map(|point| rise_k(&point, ends.load_share(point.s_m)))
            .fold(mean_rise_k, f64::max);
        let tip = State {
            sliding_m_s: rpm * tip.sliding_m_s().abs(),
            slide_roll: tip.slide_roll(),
            entrainment_m_s: Interval::point(rpm * tip.entrainment_m_s()),
            rise_k: Some(greatest_rise_k),
            ..mean.clone()
        };
        Ok([mean, tip])
    }

    fn facts(&self, pair: &GearPair, load_n: f64, torque: f64, rpm: f64) -> Result<Vec<Fact>, ContactError> {
        let ends = pair.path_points();
        let sliding_at =
            |s_m: f64| Ok::<_, ContactError>(rpm * pair.at(s_m, 1.0, torque)?.sliding_m_s().abs());
        let overlap = overlap_ratio(self.normal_module_m, self.face_width_m, self.helix_rad);
        let (greatest_pa, greatest_at_m) = greatest_pressure(pair, torque)?;
        // Lengths along the path are those of the transverse section.
        let from_pitch_mm = |s_m: f64| 1e3 * (s_m - ends.c_m) * self.base_helix_rad().cos();
        let mut facts = vec![
            ("normal_force_n", load_n),
            ("pitch_line_velocity_m_s", pair.pitch_line_velocity_m_s(rpm)),
            ("contact_ratio", pair.contact_ratio()),
            ("overlap_ratio", overlap),
            ("pinion_tip_sliding_m_s", sliding_at(ends.e_m)?),
            ("wheel_tip_sliding_m_s", sliding_at(ends.a_m)?),
            ("path_pressure_mpa", 1e-6 * greatest_pa),
            ("path_pressure_from_pitch_mm", from_pitch_mm(greatest_at_m)),
        ];
        let places_m = [ends.a_m, ends.b_m, ends.c_m, ends.d_m, ends.e_m];
        for (s_m, [place, pressure, sliding, slide_roll]) in places_m.into_iter().zip(PATH) {
            let point = pair.at(s_m, 1.0, torque)?;
            let shared = point.max_pressure_pa * ends.load_share(s_m).sqrt();
            // What is left of the sliding at the pitch point is the noise of its last digits.
            let rolls = point.slide_roll() < 1e-9;
            let [sliding_m_s, ratio] = if rolls {
                [0.0, 0.0]
            } else {
                [rpm * point.sliding_m_s().abs(), point.slide_roll()]
            };
            facts.extend([
                (place, from_pitch_mm(s_m)),
                (pressure, 1e-6 * shared),
                (sliding, sliding_m_s),
                (slide_roll, ratio),
            ]);
        }
        Ok(facts)
    }

    pub(super) fn notes(&self) -> Vec<Note> {
        let mut notes = vec![Note::PitchPointPressure, Note::LoadOnPath, Note::ToWhereItStarts];
        if self.helix_rad > 0.0 {
            notes.push(Note::VirtualSpurPair);
        }
        notes
    }
}

/// Greatest pressure on the path with the load shared, Pa, and where it occurs, m along the line of action.
fn greatest_pressure(pair: &GearPair, torque: f64) -> Result<(f64, f64), ContactError> {
    let ends = pair.path_points();
    let named = [ends.b_m, ends.c_m, ends.d_m].map(|s_m| pair.at(s_m, 1.0, torque));
    let mut greatest = (0.0, ends.c_m);
    for point in pair.path(1.0, torque, PATH_STEPS)?.map(Ok).chain(named) {
        let point = point?;
        let pressure = point.max_pressure_pa * ends.load_share(point.s_m).sqrt();
        if pressure > greatest.0 {
            greatest = (pressure, point.s_m);
        }
    }
    Ok(greatest)
}
