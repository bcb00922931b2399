//! `/calculate/viscosity`: an oil's viscosity at a temperature, and its viscosity index.

use crate::calculate::{IndexProcedure, ViscosityAnswer, ViscosityQuestion, calculate_viscosity};
use crate::charts::{Look, PlaneAxis, PlaneChart, PlaneScale, Role};
use crate::web::error::HttpError;
use crate::web::figures::{self, Figure};
use crate::web::frame::Frame;
use crate::web::pages::calculate::form::{FieldSpec, Form, number};
use crate::web::pages::calculate::{Drawn, answered, frame, series};
use crate::web::question::Pairs;
use askama::Template;
use axum::response::Response;

pub(super) const PATH: &str = "/calculate/viscosity";
const FIELDS: [FieldSpec; 3] = [
    number("kv40_mm2_s", "220", "kv40_mm2_s", 1.0),
    number("kv100_mm2_s", "19", "kv100_mm2_s", 1.0),
    number("temperature_c", "70", "temperature_c", 1.0),
];

struct Answer {
    kv_mm2_s: Option<f64>,
    at: String,
    index: Option<f64>,
    no_index: String,
    reported: String,
    plot: Drawn,
    line: Vec<(f64, f64)>,
}

#[derive(Template)]
#[template(path = "calculate/viscosity.html")]
struct ViscosityPage {
    frame: Frame,
    form: Form,
    answer: Option<Answer>,
}

pub(super) async fn show_viscosity(pairs: Pairs) -> Result<Response, HttpError> {
    let mut form = Form::read(PATH, &FIELDS, &pairs.0);
    let answer = form.answer(|form| {
        let question = ViscosityQuestion {
            kv40_mm2_s: form.needed("kv40_mm2_s"),
            kv100_mm2_s: form.needed("kv100_mm2_s"),
            temperature_c: form.optional("temperature_c"),
        };
        Ok(shown(&question, calculate_viscosity(&question)?))
    });
    let page = ViscosityPage {
        frame: frame("Viscosity of an oil"),
        form,
        answer,
    };
    answered(&page, &page.form)
}

fn shown(question: &ViscosityQuestion, answer: ViscosityAnswer) -> Answer {
    let reported = answer.reported_index().map(|whole| {
        let procedure = match answer.index {
            Ok((_, IndexProcedure::A)) => "A",
            _ => "B",
        };
        format!("reported as {whole}, procedure {procedure}")
    });
    let at = question
        .temperature_c
        .map(|at| format!("at {} °C", figures::figure(at)));
    Answer {
        kv_mm2_s: answer.kv_mm2_s,
        at: at.unwrap_or_default(),
        index: answer.index.as_ref().ok().map(|(index, _)| *index),
        no_index: answer
            .index
            .as_ref()
            .err()
            .map_or(String::new(), |why| why.0.clone()),
        reported: reported.unwrap_or_default(),
        plot: Drawn::from(chart(question, &answer)),
        line: answer.line,
    }
}

fn chart(question: &ViscosityQuestion, answer: &ViscosityAnswer) -> PlaneChart {
    let given = vec![(40.0, question.kv40_mm2_s), (100.0, question.kv100_mm2_s)];
    let asked: Vec<(f64, f64)> = question.temperature_c.zip(answer.kv_mm2_s).into_iter().collect();
    let everywhere = || answer.line.iter().chain(&given).chain(&asked);
    PlaneChart {
        x: PlaneAxis::around("", "°C", PlaneScale::LogKelvin, everywhere().map(|(at, _)| *at)),
        y: PlaneAxis::around(
            "",
            "mm²/s",
            PlaneScale::DoubleLog,
            everywhere().map(|(_, kv)| *kv),
        ),
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
