//! `/calculate/weibull`: the median of bearing lives or masses by a Weibull distribution.

use crate::app;
use crate::calculate::{WeibullAnswer, WeibullQuestion, calculate_weibull, read_number};
use crate::charts::{Look, PlaneAxis, PlaneChart, PlaneScale, Role};
use crate::web::error::HttpError;
use crate::web::figures::{self, Figure};
use crate::web::frame::Frame;
use crate::web::pages::calculate::form::{FieldSpec, Form, number, text};
use crate::web::pages::calculate::{Drawn, answered, frame, series};
use crate::web::question::Pairs;
use askama::Template;
use axum::response::Response;

pub(super) const PATH: &str = "/calculate/weibull";
const FIELDS: [FieldSpec; 2] = [text("times", "11\n14\n9\n25+"), number("shape", "", "shape", 1.0)];

/// From here on an interval holds about as often as it states (ours).
const NEARLY_AS_STATED: f64 = 0.885;

struct Answer {
    numbers: WeibullAnswer,
    median: f64,
    runs: String,
    shape_is: &'static str,
    /// Of 100 samples, in how many such an interval holds the truth; `None` where it is nearly as stated.
    holds: Option<String>,
    plot: Drawn,
}

#[derive(Template)]
#[template(path = "calculate/weibull.html")]
struct WeibullPage {
    frame: Frame,
    form: Form,
    answer: Option<Answer>,
}

pub(super) async fn show_weibull(pairs: Pairs) -> Result<Response, HttpError> {
    let mut form = Form::read(PATH, &FIELDS, &pairs.0);
    let answer = form.answer(|form| {
        let (times, stopped) = read_times(form);
        let question = WeibullQuestion::new(&times, &stopped, form.optional("shape"))?;
        Ok(shown(&question, calculate_weibull(&question)?))
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
    let joined = form.field("times").typed.replace("> ", ">").replace(" +", "+");
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
                let shown = app::shown(word);
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

fn shown(question: &WeibullQuestion, answer: WeibullAnswer) -> Answer {
    let stopped = question.lives.len() - answer.failures;
    let given = question.shape.is_some();
    Answer {
        median: answer.fit.median(),
        runs: format!("{} failed, {stopped} stopped before failure", answer.failures),
        shape_is: if given { "as given" } else { "estimated" },
        holds: (answer.real_confidence)
            .filter(|real| *real < NEARLY_AS_STATED)
            .map(|real| figures::fixed(100.0 * real, 0)),
        plot: Drawn::from(chart(&answer)),
        numbers: answer,
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
