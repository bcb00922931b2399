//! `/api/trials/{trial}/resemblance`: what each term counts, how each test resembles the machine, what that decides.

use crate::desk::{Desk, resemblance_json};
use crate::web::error::{AppError, JsonError};
use crate::web::pages::comparison::trial_of;
use crate::web::question::{self, Pairs};
use axum::extract::rejection::PathRejection;
use axum::extract::{Path, State};
use axum::routing::get;
use axum::{Json, Router};
use serde_json::Value;
use std::sync::Arc;

pub(crate) fn router() -> Router<Arc<Desk>> {
    Router::new().route("/api/trials/{trial}/resemblance", get(show_resemblance))
}

async fn show_resemblance(
    State(desk): State<Arc<Desk>>,
    trial: Result<Path<String>, PathRejection>,
    pairs: Result<Pairs, AppError>,
) -> Result<Json<Value>, JsonError> {
    let trial = trial_of(trial)?;
    let asked = question::what_if(&pairs?.0).map_err(AppError::unusable)?;
    let view = desk.resemblance(&trial, &asked).await.map_err(AppError::from)?;
    Ok(Json(resemblance_json(&view)))
}
