//! `/about`: how every number is computed, its sources, limits and cautions, and what is our own judgement.

use crate::catalogue::Mode;
use crate::charts::number_words;
use crate::desk::Desk;
use crate::resemblance::{Scales, Term};
use crate::standing::{USUAL_DRAWS, USUAL_SEED};
use crate::web::error::{AppError, html};
use crate::web::frame::{Frame, Section};
use askama::Template;
use axum::Router;
use axum::response::Response;
use axum::routing::get;
use std::sync::Arc;

pub(crate) fn router() -> Router<Arc<Desk>> {
    Router::new().route("/about", get(show_about))
}

async fn show_about() -> Result<Response, AppError> {
    html(&AboutPage::new())
}

struct TermLine {
    label: &'static str,
    scale: &'static str,
    halves_at: String,
    importance: String,
    first_order: bool,
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
        }
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
        importance: number_words(Scales::default().importance(term)),
        first_order: term.is_first_order(),
    }
}

fn halves_at(term: Term) -> String {
    let halving = Scales::default().of(term).halving;
    halving.map_or_else(String::new, |said| term.measure().words(&number_words(said)))
}
