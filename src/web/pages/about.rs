//! `/about`: how every number is computed, its sources, limits and cautions, and what is our own judgement.

use crate::app::App;
use crate::catalogue::{Mark, Mode, built_in};
use crate::resemblance::{Scales, Term};
use crate::standing::{Calibration, Claims, Tenth, USUAL_DRAWS, USUAL_SEED, measured_calibration};
use crate::web::error::{HttpError, html};
use crate::web::figures::{self, Figure};
use crate::web::frame::{Frame, Section};
use crate::web::pages::about;
use askama::Template;
use axum::Router;
use axum::response::Response;
use axum::routing::get;
use std::sync::Arc;

pub(crate) fn router() -> Router<Arc<App>> {
    Router::new().route("/about", get(show_about))
}

async fn show_about() -> Result<Response, HttpError> {
    html(&AboutPage::new())
}

/// One tenth of the probability of ranking first, and how often it came true.
struct ClaimLine {
    tenth: String,
    as_stated: Tenth,
    /// How often it came true with a true scatter of 1.6 and of 0.6 times the method's.
    misjudged: Vec<Option<f64>>,
}

/// How often the standing was right on simulated trials.
struct Measured {
    calibration: &'static Calibration,
    /// True scatter over the method's, where it is not the method's.
    misjudged: &'static [Claims],
    claims: Vec<ClaimLine>,
}

/// The explanation of all numbers.
#[derive(Template)]
#[template(path = "about/page.html")]
pub(crate) struct AboutPage {
    frame: Frame,
    version: &'static str,
    terms: [Term; 11],
    modes: String,
    draws: usize,
    seed: u64,
    measured: Option<Measured>,
    /// Values of the built-in methods by mark.
    marks: Vec<MarkedShare>,
    /// How many methods are built in.
    methods: usize,
}

impl AboutPage {
    /// The page; its table of terms is read from the numbers that the program computes with.
    pub(crate) fn new() -> Self {
        Self {
            frame: Frame::new("How every number is computed").of(Section::About),
            version: env!("CARGO_PKG_VERSION"),
            terms: Term::ALL,
            modes: Mode::ALL
                .iter()
                .map(|mode| mode.word())
                .collect::<Vec<_>>()
                .join(", "),
            draws: USUAL_DRAWS,
            seed: USUAL_SEED,
            measured: measured_calibration().ok().map(measured),
            marks: marks_of_catalogue(),
            methods: built_in().len(),
        }
    }
}

/// How many values of the built-in methods carry a mark, and which share of all that is.
struct MarkedShare {
    mark: Mark,
    values: usize,
    share: f64,
}

fn marks_of_catalogue() -> Vec<MarkedShare> {
    let marks = || {
        built_in()
            .iter()
            .flat_map(|method| &method.sources)
            .map(|value| value.mark)
    };
    let all = marks().count().max(1);
    let of = |mark: Mark| {
        let values = marks().filter(|other| *other == mark).count();
        MarkedShare {
            mark,
            values,
            share: values as f64 / all as f64,
        }
    };
    Mark::ALL.into_iter().map(of).collect()
}

fn measured(calibration: &'static Calibration) -> Measured {
    let tenth_of = |said: f64| (10.0 * said) as usize;
    let (as_stated, misjudged) = calibration.claims.split_at(calibration.claims.len().min(1));
    let claims = as_stated.iter().flat_map(|claims| &claims.tenths).map(|line| {
        let tenth = tenth_of(line.said);
        let in_tenth = |claims: &Claims| {
            let same = claims.tenths.iter().find(|other| tenth_of(other.said) == tenth);
            same.map(|other| other.came_true)
        };
        ClaimLine {
            tenth: format!("{} to {} %", 10 * tenth, 10 * tenth + 10),
            as_stated: *line,
            misjudged: misjudged.iter().map(in_tenth).collect(),
        }
    });
    Measured {
        calibration,
        misjudged,
        claims: claims.collect(),
    }
}

/// How a test and a machine are compared in a term.
fn scale(term: &Term) -> &'static str {
    match term {
        Term::Pressure | Term::Sliding | Term::Entrainment | Term::FilmRatio | Term::TimeInContact => {
            "by ratio"
        }
        Term::SlideRoll | Term::ContactTemperature => "by difference",
        Term::Shape => "by decades of the axis ratio; conformal contacts by a table",
        Term::Motion | Term::Materials | Term::Supply => "by a table of pairs",
    }
}

fn halves_at(term: &Term) -> String {
    let halving = Scales::default().of(*term).halving;
    halving.map_or_else(String::new, |said| term.measure().words(&figures::figure(said)))
}

fn importance(term: &Term) -> f64 {
    Scales::default().importance(*term)
}
