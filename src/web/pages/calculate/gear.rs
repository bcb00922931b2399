//! `/calculate/gear`: pressure and sliding along the path of contact of a gear pair.

use crate::calculate::{GearAnswer, GearPoint, GearQuestion, calculate_gear};
use crate::charts::{Look, PlaneAxis, PlaneChart, PlaneScale, Role};
use crate::web::error::HttpError;
use crate::web::figures::{self, Figure};
use crate::web::frame::Frame;
use crate::web::pages::calculate::form::{FieldSpec, Form, number};
use crate::web::pages::calculate::{Drawn, answered, frame, series};
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

fn chart(
    answer: &GearAnswer,
    (label, unit): (&str, &'static str),
    finding: String,
    lines: Vec<(Role, Vec<(f64, f64)>)>,
) -> PlaneChart {
    let millimetres = |s_m: f64| 1e3 * s_m;
    let x = PlaneAxis::around(
        "along the line of action",
        "mm",
        PlaneScale::Linear,
        answer.path.iter().map(|at| millimetres(at.s_m)),
    );
    let values = lines
        .iter()
        .flat_map(|(_, points)| points.iter().map(|(_, value)| *value));
    PlaneChart {
        x,
        y: PlaneAxis::around(label, unit, PlaneScale::Linear, values.chain([0.0])),
        band: Vec::new(),
        uprights: letters(answer)
            .into_iter()
            .map(|(s, letter)| (millimetres(s), letter))
            .collect(),
        finding,
        series: lines
            .into_iter()
            .map(|(role, points)| {
                let points = points.into_iter().map(|(s, value)| (millimetres(s), value));
                series(role, Look::Line, points.collect())
            })
            .collect(),
    }
}

/// Maximum pressure along the path.
fn pressure_chart(answer: &GearAnswer) -> PlaneChart {
    let points: Vec<(f64, f64)> = answer
        .path
        .iter()
        .map(|at| (at.s_m, at.max_pressure_pa / 1e6))
        .collect();
    let greatest = points.iter().max_by(|a, b| a.1.total_cmp(&b.1));
    let finding = greatest.map_or_else(String::new, |(s_m, pressure_mpa)| {
        let (pressure, at) = (figures::measured(*pressure_mpa, "MPa"), figures::figure(1e3 * s_m));
        format!("Maximum pressure from A to E: greatest {pressure} at {at} mm; one pair of teeth carries the whole force between B and D")
    });
    chart(
        answer,
        ("maximum pressure", "MPa"),
        finding,
        vec![(Role::Accent, points)],
    )
}

/// Sliding and entrainment along the path.
fn sliding_chart(answer: &GearAnswer) -> PlaneChart {
    let of = |value: fn(&GearPoint) -> f64| answer.path.iter().map(|at| (at.s_m, value(at))).collect();
    let ends = answer.path.first().zip(answer.path.last());
    let finding = ends.map_or_else(String::new, |(a, e)| {
        let [sliding_a, sliding_e] = [a, e].map(|at| figures::figure(at.sliding_m_s));
        let [drawn_a, drawn_e] = [a, e].map(|at| figures::figure(at.entrainment_m_s));
        format!("Sliding runs from {sliding_a} m/s at A through zero at the pitch point C to {sliding_e} m/s at E; entrainment from {drawn_a} to {drawn_e} m/s")
    });
    let lines = vec![
        (Role::Accent, of(|at| at.entrainment_m_s)),
        (Role::Loss, of(|at| at.sliding_m_s)),
    ];
    chart(answer, ("speed", "m/s"), finding, lines)
}
