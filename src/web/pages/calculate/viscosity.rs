//! `/calculate/viscosity`: an oil's viscosity at a temperature, and its viscosity index.

use crate::app::App;
use crate::calculate::{IndexProcedure, ViscosityAnswer, ViscosityQuestion, calculate_viscosity};
use crate::charts::{Look, PlaneAxis, PlaneChart, PlaneScale, PlaneSeries, Role};
use crate::web::error::HttpError;
use crate::web::figures;
use crate::web::frame::Frame;
use crate::web::pages::calculate::form::{FieldSpec, Form, number};
use crate::web::pages::calculate::shown::{Drawn, ShownAnswer};
use crate::web::pages::calculate::{answered, frame};
use crate::web::question::Pairs;
use askama::Template;
use axum::Router;
use axum::response::Response;
use axum::routing::get;
use std::sync::Arc;

const PATH: &str = "/calculate/viscosity";
const FIELDS: [FieldSpec; 3] = [
    number(
        "kv40_mm2_s",
        "Viscosity at 40 °C, mm²/s",
        "220",
        "kv40_mm2_s",
        1.0,
    ),
    number(
        "kv100_mm2_s",
        "Viscosity at 100 °C, mm²/s",
        "19",
        "kv100_mm2_s",
        1.0,
    ),
    number(
        "temperature_c",
        "Wanted at, °C (may stay empty)",
        "70",
        "temperature_c",
        1.0,
    ),
];

pub(crate) fn router() -> Router<Arc<App>> {
    Router::new().route(PATH, get(show_viscosity))
}

struct Answer {
    shown: Vec<ShownAnswer>,
    plot: Drawn,
    line: Vec<(String, String)>,
}

#[derive(Template)]
#[template(path = "calculate/viscosity.html")]
struct ViscosityPage {
    frame: Frame,
    form: Form,
    answer: Option<Answer>,
}

async fn show_viscosity(pairs: Pairs) -> Result<Response, HttpError> {
    let mut form = Form::read(PATH, &FIELDS, &pairs.0);
    let answer = form.answer(|form| {
        let question = ViscosityQuestion {
            kv40_mm2_s: form.needed("kv40_mm2_s"),
            kv100_mm2_s: form.needed("kv100_mm2_s"),
            temperature_c: form.optional("temperature_c"),
        };
        Ok(shown(&question, &calculate_viscosity(&question)?))
    });
    let page = ViscosityPage {
        frame: frame("Viscosity of an oil"),
        form,
        answer,
    };
    answered(&page, &page.form)
}

fn shown(question: &ViscosityQuestion, answer: &ViscosityAnswer) -> Answer {
    let index = answer.index.as_ref();
    let missing = index.err().map_or("", |why| why.0.as_str());
    let reported = answer.reported_index().map_or(String::new(), |whole| {
        let procedure = match index {
            Ok((_, IndexProcedure::A)) => "A",
            _ => "B",
        };
        format!("reported as {whole}, procedure {procedure}")
    });
    let at = question
        .temperature_c
        .map_or(String::new(), |at| format!("at {} °C", figures::figure(at)));
    Answer {
        shown: vec![
            ShownAnswer::or(
                "kv_mm2_s",
                "kinematic viscosity",
                answer.kv_mm2_s,
                (1.0, "mm²/s"),
                "no temperature was given",
            )
            .noting(at),
            ShownAnswer::or(
                "vi",
                "viscosity index",
                index.ok().map(|(index, _)| *index),
                (1.0, ""),
                missing,
            )
            .noting(reported),
        ],
        plot: Drawn::from(&chart(question, answer)),
        line: answer
            .line
            .iter()
            .map(|(at, kv)| (figures::figure(*at), figures::figure(*kv)))
            .collect(),
    }
}

fn chart(question: &ViscosityQuestion, answer: &ViscosityAnswer) -> PlaneChart {
    let given = vec![(40.0, question.kv40_mm2_s), (100.0, question.kv100_mm2_s)];
    let asked: Vec<(f64, f64)> = question.temperature_c.zip(answer.kv_mm2_s).into_iter().collect();
    let everywhere = || answer.line.iter().chain(&given).chain(&asked);
    let x = PlaneAxis::around("", "°C", PlaneScale::LogKelvin, everywhere().map(|(at, _)| *at));
    let y = PlaneAxis::around(
        "",
        "mm²/s",
        PlaneScale::DoubleLog,
        everywhere().map(|(_, kv)| *kv),
    );
    let series = |role, look, points| PlaneSeries { role, look, points };
    PlaneChart {
        x,
        y,
        band: Vec::new(),
        uprights: Vec::new(),
        finding: format!(
            "Viscosity falls from {} at {} to {} mm²/s at {}",
            figures::figure(question.kv40_mm2_s),
            figures::measured(40.0, "°C"),
            figures::figure(question.kv100_mm2_s),
            figures::measured(100.0, "°C")
        ),
        series: vec![
            series(Role::Accent, Look::Line, answer.line.clone()),
            series(Role::Ink, Look::Rings, given),
            series(Role::Loss, Look::Dots, asked),
        ],
    }
}
