//! `/calculate`: single questions about a contact, a gear pair, an oil, a run log, a set of lives. Every page is computed
//! from its address, so that a link to it can be sent.

mod contact;
mod form;
mod four_ball_ep;
mod gear;
mod shown;
mod viscosity;
mod weibull;
use crate::app::App;
use crate::web::error::{HttpError, html};
use crate::web::frame::{Frame, Section};
use crate::web::pages::calculate::form::Form;
use askama::Template;
use axum::Router;
use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use axum::routing::get;
use std::sync::Arc;

pub(crate) fn router() -> Router<Arc<App>> {
    Router::new()
        .route("/calculate", get(list_calculators))
        .merge(contact::router())
        .merge(gear::router())
        .merge(viscosity::router())
        .merge(four_ball_ep::router())
        .merge(weibull::router())
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
    Ok((status, html(page)?).into_response())
}
