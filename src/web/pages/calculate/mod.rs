//! `/calculate`: single questions about a contact, a gear pair, an oil, a run log, a set of lives. Every page is computed
//! from its address, so that a link to it can be sent.

mod contact;
mod form;
mod four_ball_ep;
mod gear;
mod viscosity;
mod weibull;
use crate::app::App;
use crate::charts::{Look, PlaneChart, PlaneSeries, Role, Svg, Width};
use crate::web::error::{HttpError, html, html_as};
use crate::web::frame::{Frame, Section};
use crate::web::pages::calculate::form::Form;
use crate::web::preferences::preferences;
use askama::Template;
use axum::Router;
use axum::http::StatusCode;
use axum::response::Response;
use axum::routing::get;
use std::sync::Arc;

pub(crate) fn router() -> Router<Arc<App>> {
    Router::new()
        .route("/calculate", get(list_calculators))
        .route(contact::PATH, get(contact::show_contact))
        .route(gear::PATH, get(gear::show_gear))
        .route(viscosity::PATH, get(viscosity::show_viscosity))
        .route(four_ball_ep::PATH, get(four_ball_ep::show_four_ball_ep))
        .route(weibull::PATH, get(weibull::show_weibull))
}

#[derive(Template)]
#[template(path = "calculate/index.html")]
struct IndexPage {
    frame: Frame,
}

async fn list_calculators() -> Result<Response, HttpError> {
    html(&IndexPage {
        frame: frame("Calculate"),
    })
}

fn frame(title: &str) -> Frame {
    Frame::new(title).of(Section::Calculate)
}

/// A page with the status that belongs to its form.
fn answered(page: &impl Template, form: &Form) -> Result<Response, HttpError> {
    let status = if form.is_refused() {
        StatusCode::UNPROCESSABLE_ENTITY
    } else {
        StatusCode::OK
    };
    html_as(status, page)
}

/// A chart for wide and narrow pages.
struct Drawn {
    wide: Svg,
    narrow: Svg,
}

impl From<PlaneChart> for Drawn {
    fn from(mut chart: PlaneChart) -> Self {
        chart.x = chart.x.written(preferences());
        chart.y = chart.y.written(preferences());
        Self {
            wide: chart.draw(Width::Wide),
            narrow: chart.draw(Width::Narrow),
        }
    }
}

fn series(role: Role, look: Look, points: Vec<(f64, f64)>) -> PlaneSeries {
    PlaneSeries { role, look, points }
}
