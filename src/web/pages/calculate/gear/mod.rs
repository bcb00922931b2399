//! `/calculate/gear`: pressure and sliding along the path of contact of a gear pair.

mod plots;

use crate::calculate::{GearAnswer, GearPoint, GearQuestion, calculate_gear};
use crate::web::error::HttpError;
use crate::web::figures::{self, Figure};
use crate::web::frame::Frame;
use crate::web::pages::calculate::form::{FieldSpec, Form, number};
use crate::web::pages::calculate::gear::plots::{pressure_chart, sliding_chart};
use crate::web::pages::calculate::{Drawn, answered, frame};
use crate::web::question::Pairs;
use askama::Template;
use axum::response::Response;

pub(super) const PATH: &str = "/calculate/gear";
const FIELDS: [FieldSpec; 13] = [
    number("z1", "16", "z1", 1.0),
    number("z2", "24", "z2", 1.0),
    number("module_mm", "4.5", "module_m", 1e-3),
    number("pressure_angle_deg", "20", "pressure_angle_deg", 1.0),
    number("helix_deg", "0", "helix_deg", 1.0),
    number("centre_distance_mm", "91.5", "centre_distance_m", 1e-3),
    number("face_width_mm", "20", "face_width_m", 1e-3),
    number("tip_diameter1_mm", "88.77", "tip_diameter1_m", 1e-3),
    number("tip_diameter2_mm", "112.5", "tip_diameter2_m", 1e-3),
    number("pinion_torque_nm", "372.7", "pinion_torque_nm", 1.0),
    number("pinion_rpm", "2175", "pinion_rpm", 1.0),
    number("e_gpa", "206", "e_pa", 1e9),
    number("nu", "0.3", "nu", 1.0),
];

struct Answer {
    numbers: GearAnswer,
    /// The greatest pressure along the path, in words.
    greatest: String,
    pressure: Drawn,
    sliding: Drawn,
}

impl Answer {
    /// The letter of a point of the path; empty where it has none.
    fn letter(&self, at: &GearPoint) -> &'static str {
        let length = self.numbers.points.e_m - self.numbers.points.a_m;
        let mut letters = letters(&self.numbers).into_iter();
        let named = letters.find(|(s, _)| (s - at.s_m).abs() < 1e-12 * length);
        named.map_or("", |(_, letter)| letter)
    }
}

#[derive(Template)]
#[template(path = "calculate/gear.html")]
struct GearPage {
    frame: Frame,
    form: Form,
    answer: Option<Answer>,
}

pub(super) async fn show_gear(pairs: Pairs) -> Result<Response, HttpError> {
    let mut form = Form::read(PATH, &FIELDS, &pairs.0);
    let answer = form.answer(|form| {
        let question = GearQuestion {
            teeth: [form.needed("z1"), form.needed("z2")],
            module_m: form.needed("module_mm"),
            pressure_angle_deg: form.needed("pressure_angle_deg"),
            helix_deg: form.optional("helix_deg").unwrap_or(0.0),
            centre_distance_m: form.needed("centre_distance_mm"),
            face_width_m: form.needed("face_width_mm"),
            tip_diameters_m: [form.needed("tip_diameter1_mm"), form.needed("tip_diameter2_mm")],
            pinion_torque_nm: form.needed("pinion_torque_nm"),
            pinion_rpm: form.needed("pinion_rpm"),
            e_pa: form.needed("e_gpa"),
            nu: form.needed("nu"),
        };
        Ok(shown(calculate_gear(&question)?))
    });
    let page = GearPage {
        frame: frame("Gear pair along its path of contact"),
        form,
        answer,
    };
    answered(&page, &page.form)
}

fn shown(answer: GearAnswer) -> Answer {
    let pressures = answer.path.iter().map(|at| at.max_pressure_pa);
    let greatest = pressures.max_by(f64::total_cmp).map(|pressure| {
        let pressure = figures::figure(pressure / 1e6);
        format!("one pair of teeth carrying the whole force; with the load shared, the greatest along the path is {pressure} MPa")
    });
    Answer {
        greatest: greatest.unwrap_or_default(),
        pressure: Drawn::from(pressure_chart(&answer)),
        sliding: Drawn::from(sliding_chart(&answer)),
        numbers: answer,
    }
}

/// The named points, nearest first where two share a place.
fn letters(answer: &GearAnswer) -> [(f64, &'static str); 5] {
    let points = answer.points;
    [
        (points.a_m, "A"),
        (points.b_m, "B"),
        (points.c_m, "C"),
        (points.d_m, "D"),
        (points.e_m, "E"),
    ]
}
