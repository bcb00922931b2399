//! `/calculate/contact`: pressure, motion and film of one contact.

mod words;

use crate::app::App;
use crate::calculate::{ContactAnswer, ContactBody, ContactQuestion, calculate_contact};
use crate::charts::{AreaForm, Svg, TwoBodiesPicture};
use crate::web::error::HttpError;
use crate::web::figures;
use crate::web::frame::Frame;
use crate::web::pages::calculate::form::{FieldSpec, Form, number};
use crate::web::pages::calculate::shown::ShownAnswer;
use crate::web::pages::calculate::{answered, frame};
use crate::web::question::Pairs;
use askama::Template;
use axum::Router;
use axum::response::Response;
use axum::routing::get;
use std::sync::Arc;

const PATH: &str = "/calculate/contact";
const FIELDS: [FieldSpec; 16] = [
    number("load_n", words::LOAD_N, "160", "load_n", 1.0).under(words::LOAD_AND_MOTION),
    number("u1_m_s", words::SPEED_OF_SURFACE_1_M_S, "0.46", "u1_m_s", 1.0),
    number("u2_m_s", words::SPEED_OF_SURFACE_2_M_S, "0", "u2_m_s", 1.0),
    number(
        "length_mm",
        words::LOADED_LENGTH_MM_MAKES_IT_A_LINE,
        "",
        "length_m",
        1e-3,
    ),
    number(
        "rx1_mm",
        words::RADIUS_ALONG_THE_MOTION_MM,
        "6.35",
        "bodies[0].rx_m",
        1e-3,
    )
    .under(words::BODY_1),
    number(
        "ry1_mm",
        words::RADIUS_ACROSS_IT_MM,
        "6.35",
        "bodies[0].ry_m",
        1e-3,
    ),
    number("e1_gpa", words::YOUNGS_MODULUS_GPA, "206", "bodies[0].e_pa", 1e9),
    number("nu1", words::POISSONS_RATIO, "0.3", "bodies[0].nu", 1.0),
    number("rq1_um", words::ROUGHNESS_RQ_UM, "0.02", "bodies[0].rq_m", 1e-6),
    number(
        "rx2_mm",
        words::RADIUS_ALONG_THE_MOTION_MM,
        "6.35",
        "bodies[1].rx_m",
        1e-3,
    )
    .under(words::BODY_2),
    number(
        "ry2_mm",
        words::RADIUS_ACROSS_IT_MM,
        "6.35",
        "bodies[1].ry_m",
        1e-3,
    ),
    number("e2_gpa", words::YOUNGS_MODULUS_GPA, "206", "bodies[1].e_pa", 1e9),
    number("nu2", words::POISSONS_RATIO, "0.3", "bodies[1].nu", 1.0),
    number("rq2_um", words::ROUGHNESS_RQ_UM, "0.02", "bodies[1].rq_m", 1e-6),
    number(
        "viscosity_mpa_s",
        words::VISCOSITY_AT_ITS_TEMPERATURE_MPA_S,
        "40",
        "viscosity_pa_s",
        1e-3,
    )
    .under(words::OIL),
    number(
        "alpha_per_gpa",
        words::PRESSURE_VISCOSITY_COEFFICIENT_1_GPA,
        "20",
        "alpha_per_pa",
        1e-9,
    ),
];

pub(crate) fn router() -> Router<Arc<App>> {
    Router::new().route(PATH, get(show_contact))
}

struct Answer {
    shown: Vec<ShownAnswer>,
    kind: &'static str,
    notes: Vec<String>,
    bodies: Svg,
    area: Option<Svg>,
    sizes: Vec<(&'static str, String)>,
}

#[derive(Template)]
#[template(path = "calculate/contact.html")]
struct ContactPage {
    frame: Frame,
    form: Form,
    answer: Option<Answer>,
}

async fn show_contact(pairs: Result<Pairs, HttpError>) -> Result<Response, HttpError> {
    let mut form = Form::read(PATH, &FIELDS, &pairs?.0);
    let answer = form.answer(|form| {
        let question = question(form);
        Ok(shown(&question, &calculate_contact(&question)?))
    });
    let page = ContactPage {
        frame: frame(words::ONE_CONTACT),
        form,
        answer,
    };
    answered(&page, &page.form)
}

fn question(form: &mut Form) -> ContactQuestion {
    ContactQuestion {
        bodies: [
            ContactBody {
                rx_m: form.optional("rx1_mm"),
                ry_m: form.optional("ry1_mm"),
                e_pa: form.needed("e1_gpa"),
                nu: form.needed("nu1"),
                rq_m: form.optional("rq1_um"),
            },
            ContactBody {
                rx_m: form.optional("rx2_mm"),
                ry_m: form.optional("ry2_mm"),
                e_pa: form.needed("e2_gpa"),
                nu: form.needed("nu2"),
                rq_m: form.optional("rq2_um"),
            },
        ],
        length_m: form.optional("length_mm"),
        load_n: form.needed("load_n"),
        speeds_m_s: [form.optional("u1_m_s"), form.optional("u2_m_s")],
        viscosity_pa_s: form.optional("viscosity_mpa_s"),
        alpha_per_pa: form.optional("alpha_per_gpa"),
    }
}

fn shown(question: &ContactQuestion, answer: &ContactAnswer) -> Answer {
    let [first, second] = question.bodies;
    let picture = TwoBodiesPicture {
        shown: crate::web::preferences::preferences(),
        along_m: [first.rx_m, second.rx_m],
        across_m: [first.ry_m, second.ry_m],
        half_axes_m: answer.half_axes_m,
        form: if answer.kind == "line" {
            AreaForm::Straight
        } else {
            AreaForm::Round
        },
    };
    let radius = |radius: Option<f64>| match radius {
        None => words::FLAT.to_string(),
        Some(radius) if radius < 0.0 => words::hollow(&figures::figure(-radius * 1e3)),
        Some(radius) => format!("{} mm", figures::figure(radius * 1e3)),
    };
    let millimetres = |size: f64| format!("{} mm", figures::figure(2e3 * size));
    let [along, across] = answer.half_axes_m;
    Answer {
        shown: numbers(answer),
        kind: answer.kind,
        notes: answer.notes.clone(),
        bodies: picture.bodies(),
        area: picture.area(),
        sizes: vec![
            (
                words::BODY_1_ALONG_AND_ACROSS,
                format!("{}; {}", radius(first.rx_m), radius(first.ry_m)),
            ),
            (
                words::BODY_2_ALONG_AND_ACROSS,
                format!("{}; {}", radius(second.rx_m), radius(second.ry_m)),
            ),
            (
                words::AREA_ALONG_AND_ACROSS,
                format!("{} × {}", millimetres(along), millimetres(across)),
            ),
        ],
    }
}

fn numbers(answer: &ContactAnswer) -> Vec<ShownAnswer> {
    const SPEEDS: &str = words::NEEDS_BOTH_SPEEDS;
    const FILM: &str = words::NEEDS_SPEEDS_AND_VISCOSITY;
    let ratio_missing = if answer.sliding_m_s.is_some() {
        words::NOTHING_IS_DRAWN_IN
    } else {
        SPEEDS
    };
    let central_missing = if answer.min_film_m.is_some() {
        words::NO_FORMULA_FOR_IT_IN_THIS_REGIME
    } else {
        FILM
    };
    let ratio_needs = if answer.min_film_m.is_some() {
        words::NEEDS_THE_ROUGHNESS_OF_BOTH
    } else {
        words::NEEDS_A_FILM_AND_ROUGHNESS
    };
    let line = words::NOT_FOR_A_LINE;
    vec![
        ShownAnswer::new(
            "max_pressure_pa",
            words::MAXIMUM_PRESSURE,
            answer.max_pressure_pa,
            1e6,
            "MPa",
        ),
        ShownAnswer::new(
            "mean_pressure_pa",
            words::MEAN_PRESSURE,
            answer.mean_pressure_pa,
            1e6,
            "MPa",
        ),
        ShownAnswer::or("a_m", words::LONGER_HALF_AXIS, answer.a_m, (1e-3, "mm"), line),
        ShownAnswer::new(
            "b_m",
            if answer.a_m.is_some() {
                words::SHORTER_HALF_AXIS
            } else {
                words::HALF_WIDTH
            },
            answer.b_m,
            1e-3,
            "mm",
        ),
        ShownAnswer::or(
            "ellipticity",
            words::LONGER_OVER_SHORTER_AXIS,
            answer.ellipticity,
            (1.0, ""),
            line,
        ),
        ShownAnswer::or(
            "approach_m",
            words::APPROACH_OF_THE_BODIES,
            answer.approach_m,
            (1e-6, "µm"),
            words::APPROACH_OF_A_LINE,
        ),
        ShownAnswer::new(
            "max_shear_pa",
            words::GREATEST_SHEAR_BELOW_THE_SURFACE,
            answer.max_shear_pa,
            1e6,
            "MPa",
        ),
        ShownAnswer::new(
            "max_shear_depth_m",
            words::ITS_DEPTH,
            answer.max_shear_depth_m,
            1e-3,
            "mm",
        ),
        ShownAnswer::or(
            "entrainment_m_s",
            words::ENTRAINMENT_SPEED,
            answer.entrainment_m_s,
            (1.0, "m/s"),
            SPEEDS,
        ),
        ShownAnswer::or(
            "sliding_m_s",
            words::SLIDING_SPEED_1_LESS_2,
            answer.sliding_m_s,
            (1.0, "m/s"),
            SPEEDS,
        ),
        ShownAnswer::or(
            "slide_roll_ratio",
            words::SLIDE_ROLL_RATIO,
            answer.slide_roll_ratio,
            (1.0, ""),
            ratio_missing,
        ),
        ShownAnswer::or(
            "central_film_m",
            words::CENTRAL_FILM,
            answer.central_film_m,
            (1e-6, "µm"),
            central_missing,
        ),
        ShownAnswer::or(
            "min_film_m",
            words::LEAST_FILM,
            answer.min_film_m,
            (1e-6, "µm"),
            FILM,
        )
        .noting(answer.regime.unwrap_or_default()),
        ShownAnswer::or(
            "film_ratio",
            words::FILM_RATIO,
            answer.film_ratio,
            (1.0, ""),
            ratio_needs,
        )
        .noting(answer.lubrication.unwrap_or_default()),
    ]
}
