//! JSON. Numbers are SI with the unit in the key; the same request gives the same bytes.

mod blends;
mod calculate;
mod explanation;
mod health;
mod import;
mod machines;
mod methods;
mod resemblance;
mod rigs;
mod trials;

use crate::app::App;
use axum::Router;
use std::sync::Arc;

/// The routes of all JSON.
pub(crate) fn router() -> Router<Arc<App>> {
    Router::new()
        .merge(health::router())
        .merge(trials::router())
        .merge(explanation::router())
        .merge(methods::router())
        .merge(import::router())
        .merge(machines::router())
        .merge(blends::router())
        .merge(rigs::router())
        .merge(calculate::router())
        .merge(resemblance::router())
}
