//! JSON. Numbers are SI with the unit in the key; the same request gives the same bytes.

mod blends;
mod calculate;
mod import;
mod machines;
mod methods;
mod rigs;
mod trials;

use crate::app::App;
use axum::routing::get;
use axum::{Json, Router};
use serde::Serialize;
use std::sync::Arc;

/// The routes of all JSON.
pub(crate) fn router() -> Router<Arc<App>> {
    Router::new()
        .route("/healthz", get(show_health))
        .merge(trials::router())
        .merge(methods::router())
        .merge(import::router())
        .merge(machines::router())
        .merge(blends::router())
        .merge(rigs::router())
        .merge(calculate::router())
}

/// Whether it answers, and its version.
#[derive(Serialize)]
struct Health {
    ok: bool,
    version: &'static str,
}

async fn show_health() -> Json<Health> {
    Json(Health {
        ok: true,
        version: env!("CARGO_PKG_VERSION"),
    })
}
