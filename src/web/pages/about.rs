//! `/about`: how every number is computed, its sources, limits and cautions, and what is our own judgement.

use crate::app::App;
use crate::catalogue::Mode;
use crate::prose::standing::per_cent;
use crate::resemblance::{Scales, Term};
use crate::standing::{Calibration, Claims, USUAL_DRAWS, USUAL_SEED, measured_calibration};
use crate::web::error::{HttpError, html};
use crate::web::figures;
use crate::web::frame::{Frame, Section};
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

struct TermLine {
    label: &'static str,
    scale: &'static str,
    halves_at: String,
    importance: String,
    first_order: bool,
}

/// One tenth of the probability of ranking first, and how often it came true.
struct ClaimLine {
    tenth: String,
    candidates: usize,
    said: String,
    came_true: String,
    /// With a true scatter of 1.6 and of 0.6 times the method's.
    misjudged: Vec<String>,
}

struct ScreenLine {
    ahead: String,
    fired: String,
    shown: String,
}

/// How often the standing was right on simulated trials.
struct Measured {
    version: String,
    trials: usize,
    draws: usize,
    misjudged: Vec<String>,
    claims: Vec<ClaimLine>,
    equal: Vec<(usize, String)>,
    screens: Vec<ScreenLine>,
}

/// The explanation of all numbers.
#[derive(Template)]
#[template(path = "about/page.html")]
pub(crate) struct AboutPage {
    frame: Frame,
    version: &'static str,
    terms: Vec<TermLine>,
    modes: String,
    draws: usize,
    seed: u64,
    measured: Option<Measured>,
}

impl AboutPage {
    /// The page; its table of terms is read from the numbers that the program computes with.
    pub(crate) fn new() -> Self {
        Self {
            frame: Frame::new("How every number is computed").of(Section::About),
            version: env!("CARGO_PKG_VERSION"),
            terms: Term::ALL.into_iter().map(line).collect(),
            modes: Mode::ALL
                .iter()
                .map(|mode| mode.word())
                .collect::<Vec<_>>()
                .join(", "),
            draws: USUAL_DRAWS,
            seed: USUAL_SEED,
            measured: measured_calibration().ok().map(measured),
        }
    }
}

fn measured(calibration: &Calibration) -> Measured {
    let tenth_of = |said: f64| (10.0 * said) as usize;
    let (as_stated, misjudged) = calibration.claims.split_at(calibration.claims.len().min(1));
    let claims = as_stated.iter().flat_map(|claims| &claims.tenths).map(|line| {
        let tenth = tenth_of(line.said);
        let in_tenth = |claims: &Claims| {
            let same = claims.tenths.iter().find(|other| tenth_of(other.said) == tenth);
            same.map(|other| per_cent(other.came_true)).unwrap_or_default()
        };
        ClaimLine {
            tenth: format!("{} to {} %", 10 * tenth, 10 * tenth + 10),
            candidates: line.candidates,
            said: per_cent(line.said),
            came_true: per_cent(line.came_true),
            misjudged: misjudged.iter().map(in_tenth).collect(),
        }
    });
    let screens = calibration.screens.iter().map(|line| ScreenLine {
        ahead: figures::figure(line.ahead),
        fired: per_cent(line.fired),
        shown: per_cent(line.shown),
    });
    let equal = calibration.equal.iter();
    Measured {
        version: calibration.version.clone(),
        trials: calibration.trials,
        draws: calibration.draws,
        misjudged: misjudged
            .iter()
            .map(|claims| figures::figure(claims.true_scatter))
            .collect(),
        claims: claims.collect(),
        equal: equal
            .map(|line| (line.candidates, per_cent(line.named)))
            .collect(),
        screens: screens.collect(),
    }
}

fn line(term: Term) -> TermLine {
    TermLine {
        label: term.label(),
        scale: match term {
            Term::Pressure | Term::Sliding | Term::FilmRatio | Term::TimeInContact => "by ratio",
            Term::SlideRoll | Term::ContactTemperature => "by difference",
            Term::Shape => "by decades of the axis ratio; conformal contacts by a table",
            Term::Motion | Term::Materials | Term::Supply => "by a table of pairs",
        },
        halves_at: halves_at(term),
        importance: figures::figure(Scales::default().importance(term)),
        first_order: term.is_first_order(),
    }
}

fn halves_at(term: Term) -> String {
    let halving = Scales::default().of(term).halving;
    halving.map_or_else(String::new, |said| term.measure().words(&figures::figure(said)))
}
