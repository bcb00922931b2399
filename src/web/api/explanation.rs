//! `/api/trials/{trial}/tests/{method}`: what the explanation page says, as JSON.

use crate::app::App;
use crate::explain::Explanation;
use crate::web::address::At;
use crate::web::error::HttpError;
use crate::web::pages::explanation::{TestOfTrial, explained};
use crate::web::question::Pairs;
use axum::extract::State;
use axum::routing::get;
use axum::{Json, Router};
use std::sync::Arc;

pub(crate) fn router() -> Router<Arc<App>> {
    Router::new().route("/api/trials/{trial}/tests/{method}", get(show_explanation))
}

async fn show_explanation(
    State(app): State<Arc<App>>,
    At(test): At<TestOfTrial>,
    pairs: Pairs,
) -> Result<Json<Explanation>, HttpError> {
    Ok(Json(explained(&app, test, &pairs).await?))
}
