//! `/api/trials/{trial}/resemblance`: what each term counts, how each test resembles the machine, what that decides.

use crate::app::App;
use crate::web::error::{HttpError, JsonError};
use crate::web::pages::comparison::trial_of;
use crate::web::question::{self, Pairs};
use crate::wire::resemblance_json;
use axum::extract::rejection::PathRejection;
use axum::extract::{Path, State};
use axum::routing::get;
use axum::{Json, Router};
use serde_json::Value;
use std::sync::Arc;

pub(crate) fn router() -> Router<Arc<App>> {
    Router::new().route("/api/trials/{trial}/resemblance", get(show_resemblance))
}

async fn show_resemblance(
    State(app): State<Arc<App>>,
    trial: Result<Path<String>, PathRejection>,
    pairs: Result<Pairs, HttpError>,
) -> Result<Json<Value>, JsonError> {
    let trial = trial_of(trial)?;
    let asked = question::what_if(&pairs?.0).map_err(HttpError::unusable)?;
    let view = app.resemblance(&trial, &asked).await.map_err(HttpError::from)?;
    Ok(Json(resemblance_json(&view)))
}
