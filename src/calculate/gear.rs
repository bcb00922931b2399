//! Pressure and sliding along the path of contact of a gear pair.

use crate::calculate::{Answered, Refusal, TOO_FAR, all_finite, refusal, refused_contact};
use crate::contact::ContactError;
use crate::contact::elastic::Elastic;
use crate::contact::gear::{
    GearData, GearPair, PathPoint, PathPoints, base_helix_rad, overlap_ratio, virtual_spur,
};
use serde::Serialize;

/// Points of the drawn path, besides its named ones.
const POINTS: usize = 41;
/// Most teeth of a gear (ours).
const MOST_TEETH: f64 = 10_000.0;

/// What is asked about an external gear pair: normal module and pressure angle, as the JSON has them.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct GearQuestion {
    /// Teeth of pinion and wheel: whole numbers.
    pub teeth: [f64; 2],
    /// Module in the normal section, m.
    pub module_m: f64,
    /// Pressure angle in the normal section, degrees.
    pub pressure_angle_deg: f64,
    /// Helix angle, degrees; 0 for spur gears.
    pub helix_deg: f64,
    /// Centre distance, m.
    pub centre_distance_m: f64,
    /// Face width in mesh, m.
    pub face_width_m: f64,
    /// Tip diameters of pinion and wheel, m.
    pub tip_diameters_m: [f64; 2],
    /// Torque on the pinion, N m.
    pub pinion_torque_nm: f64,
    /// Speed of the pinion, r/min.
    pub pinion_rpm: f64,
    /// Young's modulus of both, Pa.
    pub e_pa: f64,
    /// Poisson's ratio of both.
    pub nu: f64,
}

/// Sliding at a tip, signed: pinion less wheel.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct TipSliding {
    /// Sliding, m/s.
    pub sliding_m_s: f64,
    /// Sliding over entrainment.
    pub slide_roll_ratio: f64,
}

/// One point of the path.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct GearPoint {
    /// Distance along the line of action from the pinion's base circle, m.
    pub s_m: f64,
    /// Share of the tooth force that this pair of teeth carries.
    pub load_share: f64,
    /// Maximum pressure under that share, Pa.
    pub max_pressure_pa: f64,
    /// Entrainment speed, m/s.
    pub entrainment_m_s: f64,
    /// Sliding, m/s, negative before the pitch point.
    pub sliding_m_s: f64,
}

/// A gear pair computed.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct GearAnswer {
    /// Working pressure angle in the transverse section, degrees.
    pub working_pressure_angle_deg: f64,
    /// Pitch line speed, m/s.
    pub pitch_line_speed_m_s: f64,
    /// Transverse contact ratio.
    pub contact_ratio: f64,
    /// Overlap ratio; 0 for spur gears.
    pub overlap_ratio: f64,
    /// Maximum pressure at the pitch point, one pair of teeth carrying the whole force, Pa.
    pub pitch_max_pressure_pa: f64,
    /// Normal force on the flanks, N.
    pub tooth_force_n: f64,
    /// Where the pinion's tip meets the wheel's root.
    pub tip1: TipSliding,
    /// Where the wheel's tip meets the pinion's root.
    pub tip2: TipSliding,
    /// A to E, m.
    pub points: PathPoints,
    /// From A to E.
    pub path: Vec<GearPoint>,
}

/// Pressure, motion and load along the path of contact.
///
/// # Errors
/// Every value that belongs to no gear pair, by its field.
pub fn calculate_gear(question: &GearQuestion) -> Answered<GearAnswer> {
    let mut refusals = Vec::new();
    let teeth =
        [0, 1].map(|gear| whole_teeth(question.teeth[gear], gear).map_err(|fault| refusals.push(fault)));
    if !(0.0..45.0).contains(&question.helix_deg.abs()) {
        refusals.push(refusal("helix_deg", "must lie between −45 and 45 degrees"));
    }
    let elastic = Elastic::new(question.e_pa, question.nu).map_err(|error| {
        refusals.extend(refused_contact(error, named, "e_pa"));
    });
    for (field, value) in [
        ("pinion_torque_nm", question.pinion_torque_nm),
        ("pinion_rpm", question.pinion_rpm),
    ] {
        if !(value.is_finite() && value > 0.0) {
            refusals.push(refusal(field, "must be above zero and finite"));
        }
    }
    let ([Ok(pinion_teeth), Ok(wheel_teeth)], Ok(elastic), true) = (teeth, elastic, refusals.is_empty())
    else {
        return Err(refusals);
    };
    let normal = GearData {
        pinion_teeth,
        wheel_teeth,
        module_m: question.module_m,
        pressure_angle_deg: question.pressure_angle_deg,
        centre_distance_m: question.centre_distance_m,
        pinion_tip_diameter_m: question.tip_diameters_m[0],
        wheel_tip_diameter_m: question.tip_diameters_m[1],
        face_width_m: question.face_width_m,
        elastic: [elastic, elastic],
    };
    let refused = |error| refused_contact(error, named, "pinion_torque_nm");
    let pair = GearPair::new(virtual_spur(normal, question.helix_deg.to_radians())).map_err(refused)?;
    let answer = along(question, &pair).map_err(refused)?;
    if answer.is_finite() {
        Ok(answer)
    } else {
        Err(vec![refusal("pinion_torque_nm", TOO_FAR)])
    }
}

impl GearAnswer {
    fn is_finite(&self) -> bool {
        let tips = [self.tip1, self.tip2];
        let tips = tips
            .iter()
            .flat_map(|tip| [tip.sliding_m_s, tip.slide_roll_ratio]);
        let path = self
            .path
            .iter()
            .flat_map(|at| [at.s_m, at.max_pressure_pa, at.entrainment_m_s, at.sliding_m_s]);
        let others = [
            self.pitch_line_speed_m_s,
            self.pitch_max_pressure_pa,
            self.contact_ratio,
        ];
        all_finite(others) && all_finite(tips) && all_finite(path)
    }
}

fn whole_teeth(teeth: f64, gear: usize) -> Result<f64, Refusal> {
    if teeth.fract() == 0.0 && (1.0..=MOST_TEETH).contains(&teeth) {
        Ok(teeth)
    } else {
        let problem = format!("must be a whole number from 1 to {MOST_TEETH}");
        Err(refusal(["z1", "z2"][gear], problem))
    }
}

/// The question's name of a field of the engine's.
fn named(field: &str) -> Option<String> {
    let name = match field {
        "pinion_teeth" => "z1",
        "wheel_teeth" => "z2",
        "pinion_tip_diameter_m" => "tip_diameter1_m",
        "wheel_tip_diameter_m" => "tip_diameter2_m",
        "module_m" | "pressure_angle_deg" | "centre_distance_m" | "face_width_m" | "pinion_torque_nm"
        | "pinion_rpm" | "e_pa" | "nu" => field,
        "length_m" => "face_width_m",
        _ => return None,
    };
    Some(name.to_string())
}

/// Everything along the path; lengths and speeds of the virtual pair are taken back to those of the real one.
fn along(question: &GearQuestion, pair: &GearPair) -> Result<GearAnswer, ContactError> {
    let helix = question.helix_deg.to_radians();
    let cosine = base_helix_rad(question.pressure_angle_deg.to_radians(), helix).cos();
    let torque = question.pinion_torque_nm / (cosine * cosine);
    let rpm = question.pinion_rpm * cosine;

    let ends = pair.path_points();
    let signed = |at: &PathPoint| TipSliding {
        sliding_m_s: at.sliding_m_s(),
        slide_roll_ratio: at.sliding_m_s() / at.entrainment_m_s(),
    };
    let point = |s_m: &f64| -> Result<GearPoint, ContactError> {
        let at = pair.at(*s_m, rpm, torque)?;
        let load_share = ends.load_share(*s_m);
        Ok(GearPoint {
            s_m: at.s_m * cosine,
            load_share,
            max_pressure_pa: at.max_pressure_pa * load_share.sqrt(),
            entrainment_m_s: at.entrainment_m_s(),
            sliding_m_s: at.sliding_m_s(),
        })
    };
    Ok(GearAnswer {
        working_pressure_angle_deg: pair.working_pressure_angle_rad().to_degrees(),
        pitch_line_speed_m_s: pair.pitch_line_velocity_m_s(rpm),
        contact_ratio: pair.contact_ratio(),
        overlap_ratio: overlap_ratio(question.module_m, question.face_width_m, helix),
        pitch_max_pressure_pa: pair.pitch_point_pressure_pa(torque)?,
        tooth_force_n: pair.tooth_normal_force_n(torque),
        tip1: signed(&pair.at(ends.e_m, rpm, torque)?),
        tip2: signed(&pair.at(ends.a_m, rpm, torque)?),
        points: PathPoints {
            a_m: ends.a_m * cosine,
            b_m: ends.b_m * cosine,
            c_m: ends.c_m * cosine,
            d_m: ends.d_m * cosine,
            e_m: ends.e_m * cosine,
        },
        path: places(ends).iter().map(point).collect::<Result<_, _>>()?,
    })
}

/// Evenly from A to E, with B, C and D among them, and a place just outside B and D, where the load jumps.
fn places(ends: PathPoints) -> Vec<f64> {
    let (length, last) = (ends.e_m - ends.a_m, POINTS - 1);
    let even = (0..POINTS).map(|step| match step {
        step if step == last => ends.e_m,
        step => ends.a_m + length * step as f64 / last as f64,
    });
    let beside = 1e-9 * length;
    let named = [ends.b_m - beside, ends.b_m, ends.c_m, ends.d_m, ends.d_m + beside];
    let inside = named.into_iter().filter(|s| (ends.a_m..=ends.e_m).contains(s));
    let mut places: Vec<f64> = even.chain(inside).collect();
    places.sort_by(f64::total_cmp);
    places.dedup();
    places
}

#[cfg(test)]
mod tests;
