//! `/trials/{trial}/results`: every run with every revision, and the forms that correct or void one.

mod forms;
pub(crate) mod list;

use crate::app::{App, Correction};
use crate::records::TrialSlug;
use crate::web::address::{At, InAddress};
use crate::web::error::{HttpError, html, html_as};
use crate::web::pages::results::forms::{Doing, ResultForm};
use crate::web::pages::results::list::ResultsPage;
use crate::web::posted::Posted;
use crate::web::question::encoded;
use axum::Router;
use axum::extract::State;
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use axum::routing::get;
use std::sync::Arc;

pub(crate) fn router() -> Router<Arc<App>> {
    Router::new()
        .route("/trials/{trial}/results", get(show_results))
        .route(
            "/trials/{trial}/results/{id}/correct",
            get(show_correct).post(correct),
        )
        .route("/trials/{trial}/results/{id}/void", get(show_void).post(void))
}

/// One entry of a trial.
struct OneResult(TrialSlug, i64);

impl InAddress for OneResult {
    type Steps = (String, String);
    const NOTHING: &'static str = "No result has this address.";

    fn of_steps((trial, id): (String, String)) -> Option<Self> {
        let id = id.parse::<i64>().ok().filter(|id| *id >= 1)?;
        Some(Self(TrialSlug::new(&trial)?, id))
    }
}

async fn show_results(State(app): State<Arc<App>>, At(trial): At<TrialSlug>) -> Result<Response, HttpError> {
    let records = app.records(&trial).await?;
    html(&ResultsPage::new(&records, &app.methods().await?))
}

async fn show_correct(State(app): State<Arc<App>>, At(place): At<OneResult>) -> Result<Response, HttpError> {
    show(&app, &place, Doing::Correct).await
}

async fn show_void(State(app): State<Arc<App>>, At(place): At<OneResult>) -> Result<Response, HttpError> {
    show(&app, &place, Doing::Void).await
}

async fn show(app: &App, place: &OneResult, doing: Doing) -> Result<Response, HttpError> {
    let page = ResultForm::new(app, doing, place, None).await?;
    let status = match page.against {
        Some(_) => StatusCode::CONFLICT,
        None => StatusCode::OK,
    };
    html_as(status, &page)
}

async fn correct(
    State(app): State<Arc<App>>,
    At(place): At<OneResult>,
    posted: Posted,
) -> Result<Response, HttpError> {
    let typed = Correction {
        value: posted.text("value"),
        unit: posted.text("unit"),
        reason: posted.text("reason"),
        accepted: !posted.field("accepted").is_empty(),
    };
    match app.correct_result(&place.0, place.1, &typed).await {
        Ok(new) => Ok(to_result(&place.0, new)),
        Err(error) => again(&app, &place, Doing::Correct, typed, error.into()).await,
    }
}

async fn void(
    State(app): State<Arc<App>>,
    At(place): At<OneResult>,
    posted: Posted,
) -> Result<Response, HttpError> {
    let typed = Correction {
        reason: posted.text("reason"),
        ..Correction::default()
    };
    match app.void_result(&place.0, place.1, &typed.reason).await {
        Ok(()) => Ok(to_result(&place.0, place.1)),
        Err(error) => again(&app, &place, Doing::Void, typed, error.into()).await,
    }
}

/// The form with what was typed, and what is wrong with it; errors that are none of the form's go on.
async fn again(
    app: &App,
    place: &OneResult,
    doing: Doing,
    typed: Correction,
    error: HttpError,
) -> Result<Response, HttpError> {
    let status = error.status();
    if !matches!(status, StatusCode::UNPROCESSABLE_ENTITY | StatusCode::CONFLICT) {
        return Err(error);
    }
    let page = ResultForm::new(app, doing, place, Some(typed)).await?;
    html_as(status, &page.refused(&error))
}

fn to_result(trial: &TrialSlug, id: i64) -> Response {
    let trial = encoded(trial.as_str());
    Redirect::to(&format!("/trials/{trial}/results#r{id}")).into_response()
}
