//! `/calculate/gear`: pressure and sliding along the path of contact of a gear pair.

mod plots;
mod words;

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
    number("z1", words::TEETH_OF_THE_PINION, "16", "z1", 1.0).under(words::GEARS),
    number("z2", words::TEETH_OF_THE_WHEEL, "24", "z2", 1.0),
    number(
        "module_mm",
        words::MODULE_NORMAL_SECTION_MM,
        "4.5",
        "module_m",
        1e-3,
    ),
    number(
        "pressure_angle_deg",
        words::PRESSURE_ANGLE_NORMAL_SECTION,
        "20",
        "pressure_angle_deg",
        1.0,
    ),
    number("helix_deg", words::HELIX_ANGLE_EMPTY_SPUR, "0", "helix_deg", 1.0),
    number(
        "centre_distance_mm",
        words::CENTRE_DISTANCE_MM,
        "91.5",
        "centre_distance_m",
        1e-3,
    ),
    number(
        "face_width_mm",
        words::FACE_WIDTH_IN_MESH_MM,
        "20",
        "face_width_m",
        1e-3,
    ),
    number(
        "tip_diameter1_mm",
        words::TIP_DIAMETER_OF_THE_PINION_MM,
        "88.77",
        "tip_diameter1_m",
        1e-3,
    ),
    number(
        "tip_diameter2_mm",
        words::TIP_DIAMETER_OF_THE_WHEEL_MM,
        "112.5",
        "tip_diameter2_m",
        1e-3,
    ),
    number(
        "pinion_torque_nm",
        words::TORQUE_ON_THE_PINION_N_M,
        "372.7",
        "pinion_torque_nm",
        1.0,
    )
    .under(words::LOAD_SPEED_AND_MATERIAL),
    number(
        "pinion_rpm",
        words::SPEED_OF_THE_PINION_R_MIN,
        "2175",
        "pinion_rpm",
        1.0,
    ),
    number("e_gpa", words::YOUNGS_MODULUS_OF_BOTH_GPA, "206", "e_pa", 1e9),
    number("nu", words::POISSONS_RATIO_OF_BOTH, "0.3", "nu", 1.0),
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
        frame: frame(words::GEAR_PAIR_ALONG_ITS_PATH_OF_CONTACT),
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
        words::greatest_with_the_load_shared(&figures::figure(at.max_pressure_pa / 1e6))
    });
    Answer {
        shown: vec![
            ShownAnswer::new(
                "pitch_max_pressure_pa",
                words::MAXIMUM_PRESSURE_AT_THE_PITCH_POINT,
                answer.pitch_max_pressure_pa,
                1e6,
                "MPa",
            )
            .noting(greatest),
            ShownAnswer::new(
                "tooth_force_n",
                words::NORMAL_FORCE_ON_THE_FLANKS,
                answer.tooth_force_n,
                1.0,
                "N",
            ),
            ShownAnswer::new(
                "working_pressure_angle_deg",
                words::WORKING_PRESSURE_ANGLE,
                answer.working_pressure_angle_deg,
                1.0,
                "°",
            ),
            ShownAnswer::new(
                "pitch_line_speed_m_s",
                words::PITCH_LINE_SPEED,
                answer.pitch_line_speed_m_s,
                1.0,
                "m/s",
            ),
            ShownAnswer::new(
                "contact_ratio",
                words::CONTACT_RATIO_TRANSVERSE,
                answer.contact_ratio,
                1.0,
                "",
            ),
            ShownAnswer::new(
                "overlap_ratio",
                words::OVERLAP_RATIO,
                answer.overlap_ratio,
                1.0,
                "",
            ),
            ShownAnswer::new(
                "tip1.sliding_m_s",
                words::SLIDING_AT_THE_PINION_TIP_E,
                tip1.sliding_m_s,
                1.0,
                "m/s",
            ),
            ShownAnswer::new(
                "tip1.slide_roll_ratio",
                words::SLIDE_ROLL_RATIO_THERE,
                tip1.slide_roll_ratio,
                1.0,
                "",
            ),
            ShownAnswer::new(
                "tip2.sliding_m_s",
                words::SLIDING_AT_THE_WHEEL_TIP_A,
                tip2.sliding_m_s,
                1.0,
                "m/s",
            ),
            ShownAnswer::new(
                "tip2.slide_roll_ratio",
                words::SLIDE_ROLL_RATIO_THERE,
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
