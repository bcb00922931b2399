//! `/calculate/weibull`: the median of bearing lives or masses by a Weibull distribution.

use crate::app::App;
use crate::calculate::{FixedShape, WeibullAnswer, WeibullQuestion, calculate_weibull, read_number};
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

const PATH: &str = "/calculate/weibull";
const FIELDS: [FieldSpec; 2] = [
    FieldSpec {
        name: "times",
        label: "Times or masses, one per line or parted by blanks; 25+ or >25 for a run that was stopped before failure",
        example: "11\n14\n9\n25+",
        key: "times",
        factor: 1.0,
        lines: 6,
        heading: "",
    },
    number(
        "shape",
        "Shape, where it is known (may stay empty)",
        "",
        "shape",
        1.0,
    ),
];

pub(crate) fn router() -> Router<Arc<App>> {
    Router::new().route(PATH, get(show_weibull))
}

struct QuantileRow {
    share: String,
    time: String,
    lo: String,
    hi: String,
}

struct Answer {
    shown: Vec<ShownAnswer>,
    runs: String,
    is_small: bool,
    beside: Vec<FixedShape>,
    plot: Drawn,
    line: Vec<QuantileRow>,
    plotted: Vec<(String, String)>,
}

#[derive(Template)]
#[template(path = "calculate/weibull.html")]
struct WeibullPage {
    frame: Frame,
    form: Form,
    answer: Option<Answer>,
}

impl WeibullPage {
    fn words(&self, number: &f64) -> String {
        figures::figure(*number)
    }
}

async fn show_weibull(pairs: Pairs) -> Result<Response, HttpError> {
    let mut form = Form::read(PATH, &FIELDS, &pairs.0);
    let answer = form.answer(|form| {
        let (times, stopped) = read_times(form);
        let question = WeibullQuestion::new(&times, &stopped, form.optional("shape"))?;
        Ok(shown(&question, &calculate_weibull(&question)?))
    });
    let page = WeibullPage {
        frame: frame("Median life by a Weibull distribution"),
        form,
        answer,
    };
    answered(&page, &page.form)
}

/// Times, and which of them were stopped; a word that cannot be read is a fault of the form's.
fn read_times(form: &mut Form) -> (Vec<f64>, Vec<bool>) {
    let (mut times, mut stopped) = (Vec::new(), Vec::new());
    let mut problem = String::new();
    let joined = form.text("times").replace("> ", ">").replace(" +", "+");
    let words = joined
        .split(|c: char| c.is_whitespace() || c == ';')
        .map(|word| word.trim_end_matches(','));
    for word in words.filter(|word| !word.is_empty()) {
        let bare = word.trim_start_matches('>').trim_end_matches('+');
        match read_number(bare) {
            Ok(time) => {
                times.push(time);
                stopped.push(bare != word);
            }
            Err(fault) => {
                let shown: String = word.chars().filter(|c| !c.is_control()).take(40).collect();
                problem = format!("row {}: '{shown}' {fault}", times.len() + 1);
                break;
            }
        }
    }
    if !problem.is_empty() {
        form.fault("times", problem);
    }
    (times, stopped)
}

fn shown(question: &WeibullQuestion, answer: &WeibullAnswer) -> Answer {
    let stopped = question.lives.len() - answer.failures;
    let given = question.shape.is_some();
    let [lo, hi] = answer.interval;
    Answer {
        shown: vec![
            ShownAnswer::new("median", "median", answer.fit.median(), 1.0, ""),
            ShownAnswer::new("median_lo", "90 % interval, lower end", lo, 1.0, ""),
            ShownAnswer::new("median_hi", "90 % interval, upper end", hi, 1.0, ""),
            ShownAnswer::new("shape", "shape", answer.fit.shape, 1.0, "").noting(if given {
                "as given"
            } else {
                "estimated"
            }),
            ShownAnswer::new("scale", "scale", answer.fit.scale, 1.0, "").noting("63.2 % do not survive it"),
        ],
        runs: format!("{} failed, {stopped} stopped before failure", answer.failures),
        is_small: !given && answer.failures < 10,
        beside: answer.beside.clone(),
        plot: Drawn::from(&chart(answer)),
        line: answer
            .line
            .iter()
            .map(|at| QuantileRow {
                share: figures::figure(100.0 * at.share),
                time: figures::figure(at.time),
                lo: figures::figure(at.interval[0]),
                hi: figures::figure(at.interval[1]),
            })
            .collect(),
        plotted: answer
            .plotted
            .iter()
            .map(|(time, share)| (figures::figure(*time), figures::figure(100.0 * share)))
            .collect(),
    }
}

fn chart(answer: &WeibullAnswer) -> PlaneChart {
    // Room for the line and the failures; a band that runs far beyond them is cut off at the edge.
    let times = answer.plotted.iter().map(|(time, _)| *time);
    let line = answer.line.iter().filter(|at| (0.05..=0.95).contains(&at.share));
    let shares = [0.01, 0.99]
        .into_iter()
        .chain(answer.plotted.iter().map(|(_, share)| *share));
    let x = PlaneAxis::around(
        "time or mass",
        "",
        PlaneScale::Log,
        times.chain(line.map(|at| at.time)),
    );
    let y = PlaneAxis::around("share that failed", "", PlaneScale::WeibullShare, shares);
    let edge = |end: usize| -> Vec<(f64, f64)> {
        answer
            .line
            .iter()
            .map(|at| (at.interval[end], at.share))
            .collect()
    };
    let series = |role, look, points| PlaneSeries { role, look, points };
    PlaneChart {
        x,
        y,
        band: edge(0).into_iter().chain(edge(1).into_iter().rev()).collect(),
        uprights: vec![(answer.fit.median(), "median")],
        finding: format!(
            "Weibull line of shape {} with median {}",
            figures::figure(answer.fit.shape),
            figures::figure(answer.fit.median())
        ),
        series: vec![
            series(Role::Quiet, Look::Thin, edge(0)),
            series(Role::Quiet, Look::Thin, edge(1)),
            series(
                Role::Accent,
                Look::Line,
                answer.line.iter().map(|at| (at.time, at.share)).collect(),
            ),
            series(Role::Ink, Look::Dots, answer.plotted.clone()),
        ],
    }
}
