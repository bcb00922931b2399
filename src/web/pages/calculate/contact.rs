//! `/calculate/contact`: pressure, motion and film of one contact.

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
    number("load_n", "Load, N", "160", "load_n", 1.0).under("Load and motion"),
    number("u1_m_s", "Speed of surface 1, m/s", "0.46", "u1_m_s", 1.0),
    number("u2_m_s", "Speed of surface 2, m/s", "0", "u2_m_s", 1.0),
    number(
        "length_mm",
        "Loaded length, mm: makes it a line",
        "",
        "length_m",
        1e-3,
    ),
    number(
        "rx1_mm",
        "Radius along the motion, mm",
        "6.35",
        "bodies[0].rx_m",
        1e-3,
    )
    .under("Body 1"),
    number("ry1_mm", "Radius across it, mm", "6.35", "bodies[0].ry_m", 1e-3),
    number("e1_gpa", "Young's modulus, GPa", "206", "bodies[0].e_pa", 1e9),
    number("nu1", "Poisson's ratio", "0.3", "bodies[0].nu", 1.0),
    number("rq1_um", "Roughness Rq, µm", "0.02", "bodies[0].rq_m", 1e-6),
    number(
        "rx2_mm",
        "Radius along the motion, mm",
        "6.35",
        "bodies[1].rx_m",
        1e-3,
    )
    .under("Body 2"),
    number("ry2_mm", "Radius across it, mm", "6.35", "bodies[1].ry_m", 1e-3),
    number("e2_gpa", "Young's modulus, GPa", "206", "bodies[1].e_pa", 1e9),
    number("nu2", "Poisson's ratio", "0.3", "bodies[1].nu", 1.0),
    number("rq2_um", "Roughness Rq, µm", "0.02", "bodies[1].rq_m", 1e-6),
    number(
        "viscosity_mpa_s",
        "Viscosity at its temperature, mPa s",
        "40",
        "viscosity_pa_s",
        1e-3,
    )
    .under("Oil"),
    number(
        "alpha_per_gpa",
        "Pressure-viscosity coefficient, 1/GPa",
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

async fn show_contact(pairs: Pairs) -> Result<Response, HttpError> {
    let mut form = Form::read(PATH, &FIELDS, &pairs.0);
    let answer = form.answer(|form| {
        let question = question(form);
        Ok(shown(&question, &calculate_contact(&question)?))
    });
    let page = ContactPage {
        frame: frame("One contact"),
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
        None => "flat".to_string(),
        Some(radius) if radius < 0.0 => format!("{} mm, hollow", figures::figure(-radius * 1e3)),
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
                "body 1, along and across",
                format!("{}; {}", radius(first.rx_m), radius(first.ry_m)),
            ),
            (
                "body 2, along and across",
                format!("{}; {}", radius(second.rx_m), radius(second.ry_m)),
            ),
            (
                "area, along and across",
                format!("{} × {}", millimetres(along), millimetres(across)),
            ),
        ],
    }
}

fn numbers(answer: &ContactAnswer) -> Vec<ShownAnswer> {
    const SPEEDS: &str = "needs both speeds";
    const FILM: &str = "needs both speeds, viscosity and pressure-viscosity coefficient";
    let ratio_missing = if answer.sliding_m_s.is_some() {
        "nothing is drawn in"
    } else {
        SPEEDS
    };
    let central_missing = if answer.min_film_m.is_some() {
        "no formula for it in this regime"
    } else {
        FILM
    };
    let ratio_needs = if answer.min_film_m.is_some() {
        "needs the roughness of both"
    } else {
        "needs a film and the roughness of both"
    };
    let line = "not for a line";
    vec![
        ShownAnswer::new(
            "max_pressure_pa",
            "maximum pressure",
            answer.max_pressure_pa,
            1e6,
            "MPa",
        ),
        ShownAnswer::new(
            "mean_pressure_pa",
            "mean pressure",
            answer.mean_pressure_pa,
            1e6,
            "MPa",
        ),
        ShownAnswer::or("a_m", "longer half-axis", answer.a_m, (1e-3, "mm"), line),
        ShownAnswer::new(
            "b_m",
            if answer.a_m.is_some() {
                "shorter half-axis"
            } else {
                "half-width"
            },
            answer.b_m,
            1e-3,
            "mm",
        ),
        ShownAnswer::or(
            "ellipticity",
            "longer over shorter axis",
            answer.ellipticity,
            (1.0, ""),
            line,
        ),
        ShownAnswer::or(
            "approach_m",
            "approach of the bodies",
            answer.approach_m,
            (1e-6, "µm"),
            "not for a line: it depends on the bodies' size",
        ),
        ShownAnswer::new(
            "max_shear_pa",
            "greatest shear below the surface",
            answer.max_shear_pa,
            1e6,
            "MPa",
        ),
        ShownAnswer::new(
            "max_shear_depth_m",
            "its depth",
            answer.max_shear_depth_m,
            1e-3,
            "mm",
        ),
        ShownAnswer::or(
            "entrainment_m_s",
            "entrainment speed",
            answer.entrainment_m_s,
            (1.0, "m/s"),
            SPEEDS,
        ),
        ShownAnswer::or(
            "sliding_m_s",
            "sliding speed (1 less 2)",
            answer.sliding_m_s,
            (1.0, "m/s"),
            SPEEDS,
        ),
        ShownAnswer::or(
            "slide_roll_ratio",
            "slide-roll ratio",
            answer.slide_roll_ratio,
            (1.0, ""),
            ratio_missing,
        ),
        ShownAnswer::or(
            "central_film_m",
            "central film",
            answer.central_film_m,
            (1e-6, "µm"),
            central_missing,
        ),
        ShownAnswer::or("min_film_m", "least film", answer.min_film_m, (1e-6, "µm"), FILM)
            .noting(answer.regime.unwrap_or_default()),
        ShownAnswer::or(
            "film_ratio",
            "film ratio",
            answer.film_ratio,
            (1.0, ""),
            ratio_needs,
        )
        .noting(answer.lubrication.unwrap_or_default()),
    ]
}
