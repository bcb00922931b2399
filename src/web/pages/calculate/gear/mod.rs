//! `/calculate/gear`: pressure and sliding along the path of contact of a gear pair.

mod plots;

use crate::app::App;
use crate::calculate::{GearAnswer, GearPoint, GearQuestion, calculate_gear};
use crate::web::error::HttpError;
use crate::web::figures;
use crate::web::frame::Frame;
use crate::web::pages::calculate::form::{FieldSpec, Form, number};
use crate::web::pages::calculate::gear::plots::{pressure_chart, sliding_chart};
use crate::web::pages::calculate::shown::{Drawn, ShownAnswer};
use crate::web::pages::calculate::{answered, frame};
use crate::web::question::Pairs;
use askama::Template;
use axum::Router;
use axum::response::Response;
use axum::routing::get;
use std::sync::Arc;

const PATH: &str = "/calculate/gear";
const FIELDS: [FieldSpec; 13] = [
    number("z1", "Teeth of the pinion", "16", "z1", 1.0).under("Gears"),
    number("z2", "Teeth of the wheel", "24", "z2", 1.0),
    number(
        "module_mm",
        "Module (normal section), mm",
        "4.5",
        "module_m",
        1e-3,
    ),
    number(
        "pressure_angle_deg",
        "Pressure angle (normal section), °",
        "20",
        "pressure_angle_deg",
        1.0,
    ),
    number("helix_deg", "Helix angle, ° (empty: spur)", "0", "helix_deg", 1.0),
    number(
        "centre_distance_mm",
        "Centre distance, mm",
        "91.5",
        "centre_distance_m",
        1e-3,
    ),
    number(
        "face_width_mm",
        "Face width in mesh, mm",
        "20",
        "face_width_m",
        1e-3,
    ),
    number(
        "tip_diameter1_mm",
        "Tip diameter of the pinion, mm",
        "88.77",
        "tip_diameter1_m",
        1e-3,
    ),
    number(
        "tip_diameter2_mm",
        "Tip diameter of the wheel, mm",
        "112.5",
        "tip_diameter2_m",
        1e-3,
    ),
    number(
        "pinion_torque_nm",
        "Torque on the pinion, N m",
        "372.7",
        "pinion_torque_nm",
        1.0,
    )
    .under("Load, speed and material"),
    number(
        "pinion_rpm",
        "Speed of the pinion, r/min",
        "2175",
        "pinion_rpm",
        1.0,
    ),
    number("e_gpa", "Young's modulus of both, GPa", "206", "e_pa", 1e9),
    number("nu", "Poisson's ratio of both", "0.3", "nu", 1.0),
];

pub(crate) fn router() -> Router<Arc<App>> {
    Router::new().route(PATH, get(show_gear))
}

struct Row {
    letter: &'static str,
    s: String,
    share: String,
    pressure: String,
    entrainment: String,
    sliding: String,
}

struct Answer {
    shown: Vec<ShownAnswer>,
    pressure: Drawn,
    sliding: Drawn,
    rows: Vec<Row>,
}

#[derive(Template)]
#[template(path = "calculate/gear.html")]
struct GearPage {
    frame: Frame,
    form: Form,
    answer: Option<Answer>,
}

async fn show_gear(pairs: Result<Pairs, HttpError>) -> Result<Response, HttpError> {
    let mut form = Form::read(PATH, &FIELDS, &pairs?.0);
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
        Ok(shown(&calculate_gear(&question)?))
    });
    let page = GearPage {
        frame: frame("Gear pair along its path of contact"),
        form,
        answer,
    };
    answered(&page, &page.form)
}

fn shown(answer: &GearAnswer) -> Answer {
    let (tip1, tip2) = (answer.tip1, answer.tip2);
    let highest = answer
        .path
        .iter()
        .max_by(|a, b| a.max_pressure_pa.total_cmp(&b.max_pressure_pa));
    let greatest = highest.map_or(String::new(), |at| {
        format!("one pair of teeth carrying the whole force; with the load shared, the greatest along the path is {} MPa", figures::figure(at.max_pressure_pa / 1e6))
    });
    Answer {
        shown: vec![
            ShownAnswer::new(
                "pitch_max_pressure_pa",
                "maximum pressure at the pitch point",
                answer.pitch_max_pressure_pa,
                1e6,
                "MPa",
            )
            .noting(greatest),
            ShownAnswer::new(
                "tooth_force_n",
                "normal force on the flanks",
                answer.tooth_force_n,
                1.0,
                "N",
            ),
            ShownAnswer::new(
                "working_pressure_angle_deg",
                "working pressure angle",
                answer.working_pressure_angle_deg,
                1.0,
                "°",
            ),
            ShownAnswer::new(
                "pitch_line_speed_m_s",
                "pitch line speed",
                answer.pitch_line_speed_m_s,
                1.0,
                "m/s",
            ),
            ShownAnswer::new(
                "contact_ratio",
                "contact ratio (transverse)",
                answer.contact_ratio,
                1.0,
                "",
            ),
            ShownAnswer::new("overlap_ratio", "overlap ratio", answer.overlap_ratio, 1.0, ""),
            ShownAnswer::new(
                "tip1.sliding_m_s",
                "sliding at the pinion tip (E)",
                tip1.sliding_m_s,
                1.0,
                "m/s",
            ),
            ShownAnswer::new(
                "tip1.slide_roll_ratio",
                "slide-roll ratio there",
                tip1.slide_roll_ratio,
                1.0,
                "",
            ),
            ShownAnswer::new(
                "tip2.sliding_m_s",
                "sliding at the wheel tip (A)",
                tip2.sliding_m_s,
                1.0,
                "m/s",
            ),
            ShownAnswer::new(
                "tip2.slide_roll_ratio",
                "slide-roll ratio there",
                tip2.slide_roll_ratio,
                1.0,
                "",
            ),
        ],
        pressure: Drawn::from(&pressure_chart(answer)),
        sliding: Drawn::from(&sliding_chart(answer)),
        rows: answer.path.iter().map(|at| row(answer, at)).collect(),
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

fn row(answer: &GearAnswer, at: &GearPoint) -> Row {
    let length = answer.points.e_m - answer.points.a_m;
    let named = letters(answer)
        .into_iter()
        .find(|(s, _)| (s - at.s_m).abs() < 1e-12 * length);
    Row {
        letter: named.map_or("", |(_, letter)| letter),
        s: figures::fixed(at.s_m * 1e3, 3),
        share: figures::fixed(at.load_share, 3),
        pressure: format!("{:.0}", at.max_pressure_pa / 1e6),
        entrainment: figures::figure(at.entrainment_m_s),
        sliding: figures::figure(at.sliding_m_s),
    }
}
