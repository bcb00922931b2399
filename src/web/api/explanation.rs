//! `/api/trials/{trial}/tests/{method}`: what the explanation page says, as JSON.

use crate::desk::Desk;
use crate::desk::explain::Explanation;
use crate::web::error::{AppError, JsonError};
use crate::web::pages::explanation::explained;
use crate::web::question::Pairs;
use axum::extract::rejection::PathRejection;
use axum::extract::{Path, State};
use axum::routing::get;
use axum::{Json, Router};
use std::sync::Arc;

pub(crate) fn router() -> Router<Arc<Desk>> {
    Router::new().route("/api/trials/{trial}/tests/{method}", get(show_explanation))
}

async fn show_explanation(
    State(desk): State<Arc<Desk>>,
    path: Result<Path<(String, String)>, PathRejection>,
    pairs: Result<Pairs, AppError>,
) -> Result<Json<Explanation>, JsonError> {
    Ok(Json(explained(&desk, path, &pairs?).await?))
}
