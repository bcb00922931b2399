//! `/api/trials/{trial}/tests/{method}`: what the explanation page says, as JSON.

use crate::app::App;
use crate::explain::Explanation;
use crate::web::error::{HttpError, JsonError};
use crate::web::pages::explanation::explained;
use crate::web::question::Pairs;
use axum::extract::rejection::PathRejection;
use axum::extract::{Path, State};
use axum::routing::get;
use axum::{Json, Router};
use std::sync::Arc;

pub(crate) fn router() -> Router<Arc<App>> {
    Router::new().route("/api/trials/{trial}/tests/{method}", get(show_explanation))
}

async fn show_explanation(
    State(app): State<Arc<App>>,
    path: Result<Path<(String, String)>, PathRejection>,
    pairs: Result<Pairs, HttpError>,
) -> Result<Json<Explanation>, JsonError> {
    Ok(Json(explained(&app, path, &pairs?).await?))
}
