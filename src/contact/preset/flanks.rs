//! The flanks of gears in mesh, straight or helical, from which every pair of gears is computed.

use crate::contact::ContactError;
use crate::contact::depicted::{Bodies, Gears};
use crate::contact::elastic::Elastic;
use crate::contact::flash::line_rise_k;
use crate::contact::gear::{GearData, GearPair, PathPoint, base_helix_rad, overlap_ratio, virtual_spur};
use crate::contact::kinematics::SurfaceSpeeds;
use crate::contact::preset::around::Around;
use crate::contact::preset::state::{Area, Fact, State};
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

/// What the page shows of one point of the path.
struct DisplayPreferences {
    labels: [&'static str; 4],
    place_m: f64,
}

macro_rules! shown {
    ($point:literal, $place_m:expr) => {
        DisplayPreferences {
            labels: [
                concat!($point, ": distance from the pitch point"),
                concat!($point, ": maximum pressure"),
                concat!($point, ": sliding speed"),
                concat!($point, ": slide-roll ratio"),
            ],
            place_m: $place_m,
        }
    };
}

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

    /// Its state under a drive, `pair` being its virtual spur pair.
    pub(super) fn state(
        &self,
        pair: &GearPair,
        drive: &Drive,
        around: &Around,
    ) -> Result<State, ContactError> {
        let cosine = self.base_helix_rad().cos();
        let (torque, rpm) = (drive.torque_nm / cosine.powi(2), drive.rpm * cosine);
        let bodies = around.materials.thermal()?;
        let contact = pair.pitch_contact(torque)?;
        let load_per_length = contact.load_n / contact.length_m;
        // All speeds are in proportion to the pinion's, so that those at 1 r/min also serve a duty at standstill.
        let mean = |quantity: &dyn Fn(&PathPoint) -> f64| pair.mean_over_path(1.0, torque, quantity);
        let pitch = pair.at(pair.path_points().c_m, 1.0, torque)?;
        let faster_rpm = drive.faster_over_pinion / cosine;
        Ok(State {
            sliding_m_s: rpm * mean(&|point| point.sliding_m_s().abs())?,
            slide_roll: mean(&|point| point.slide_roll())?,
            entrainment_m_s: Interval::point(rpm * pitch.entrainment_m_s()),
            rise_k: Some(mean(&|point| {
                let speeds = SurfaceSpeeds {
                    first_m_s: rpm * point.speeds.first_m_s,
                    second_m_s: rpm * point.speeds.second_m_s,
                };
                let friction = around.friction_coefficient;
                line_rise_k(friction, load_per_length, point.half_width_m, speeds, bodies)
            })?),
            time_share: Some(
                (2.0 * contact.half_width_m / pitch.speeds.first_m_s * faster_rpm / 60.0).min(1.0),
            ),
            facts: self.facts(pair, contact.load_n, torque, rpm)?,
            area: Area::Line(contact),
        })
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
            ("Normal force on the flanks", load_n, "N"),
            ("Pitch line velocity", pair.pitch_line_velocity_m_s(rpm), "m/s"),
            ("Transverse contact ratio", pair.contact_ratio(), "-"),
            ("Overlap ratio", overlap, "-"),
            ("Sliding at the pinion tip", sliding_at(ends.e_m)?, "m/s"),
            ("Sliding at the wheel tip", sliding_at(ends.a_m)?, "m/s"),
            ("Greatest pressure on the path", 1e-6 * greatest_pa, "MPa"),
            (
                "Greatest pressure: distance from the pitch point",
                from_pitch_mm(greatest_at_m),
                "mm",
            ),
        ];
        for shown in [
            shown!("A", ends.a_m),
            shown!("B", ends.b_m),
            shown!("C", ends.c_m),
            shown!("D", ends.d_m),
            shown!("E", ends.e_m),
        ] {
            let point = pair.at(shown.place_m, 1.0, torque)?;
            let shared = point.max_pressure_pa * ends.load_share(shown.place_m).sqrt();
            let [place, pressure, sliding, slide_roll] = shown.labels;
            // What is left of the sliding at the pitch point is the noise of its last digits.
            let rolls = point.slide_roll() < 1e-9;
            let [sliding_m_s, ratio] = if rolls {
                [0.0, 0.0]
            } else {
                [rpm * point.sliding_m_s().abs(), point.slide_roll()]
            };
            facts.extend([
                (place, from_pitch_mm(shown.place_m), "mm"),
                (pressure, 1e-6 * shared, "MPa"),
                (sliding, sliding_m_s, "m/s"),
                (slide_roll, ratio, "-"),
            ]);
        }
        Ok(facts)
    }

    pub(super) fn notes(&self) -> Vec<String> {
        let mut notes = vec![
            "pressure at the pitch point with one pair of teeth carrying the whole torque".to_string(),
            "at the points of the path one pair carries one third of the load at A and E, two thirds just outside B and \
             D, the whole between them"
                .to_string(),
        ];
        if self.helix_rad > 0.0 {
            notes.push(
                "helical pair computed by its virtual spur pair in the normal section; the sharing of load among \
                 its inclined lines of contact is not modelled"
                    .to_string(),
            );
        }
        notes
    }
}

/// Greatest pressure on the path with the load shared, Pa, and where it occurs, m along the line of action.
fn greatest_pressure(pair: &GearPair, torque: f64) -> Result<(f64, f64), ContactError> {
    const STEPS: usize = 201;
    let ends = pair.path_points();
    let named = [ends.b_m, ends.c_m, ends.d_m].map(|s_m| pair.at(s_m, 1.0, torque));
    let mut greatest = (0.0, ends.c_m);
    for point in pair.path(1.0, torque, STEPS)?.map(Ok).chain(named) {
        let point = point?;
        let pressure = point.max_pressure_pa * ends.load_share(point.s_m).sqrt();
        if pressure > greatest.0 {
            greatest = (pressure, point.s_m);
        }
    }
    Ok(greatest)
}
