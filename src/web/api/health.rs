//! `/healthz`: whether it answers, and its version.

use crate::app::App;
use axum::routing::get;
use axum::{Json, Router};
use serde::Serialize;
use std::sync::Arc;

#[derive(Serialize)]
struct Health {
    ok: bool,
    version: &'static str,
}

pub(crate) fn router() -> Router<Arc<App>> {
    Router::new().route("/healthz", get(show_health))
}

async fn show_health() -> Json<Health> {
    Json(Health {
        ok: true,
        version: env!("CARGO_PKG_VERSION"),
    })
}
