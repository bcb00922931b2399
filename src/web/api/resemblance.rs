//! `/api/trials/{trial}/resemblance`: what each term counts, how each test resembles the machine, what that decides.

use crate::app::App;
use crate::app::question::what_if;
use crate::records::TrialSlug;
use crate::web::address::At;
use crate::web::error::HttpError;
use crate::web::question::Pairs;
use crate::wire::resemblance_json;
use axum::extract::State;
use axum::routing::get;
use axum::{Json, Router};
use serde_json::Value;
use std::sync::Arc;

pub(crate) fn router() -> Router<Arc<App>> {
    Router::new().route("/api/trials/{trial}/resemblance", get(show_resemblance))
}

async fn show_resemblance(
    State(app): State<Arc<App>>,
    At(trial): At<TrialSlug>,
    pairs: Pairs,
) -> Result<Json<Value>, HttpError> {
    let asked = what_if(&pairs.0).map_err(HttpError::unusable)?;
    let view = app.resemblance(&trial, &asked).await?;
    Ok(Json(resemblance_json(&view)))
}
