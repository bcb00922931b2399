//! One file or folder per page; each hands out its routes.

mod about;
pub(crate) mod blends;
mod calculate;
pub(crate) mod comparison;
mod components;
pub(crate) mod decision;
mod enter;
pub(crate) mod explanation;
mod form;
mod head_to_head;
mod import;
pub(crate) mod machines;
pub(crate) mod methods;
mod number;
mod plan;
pub(crate) mod report;
mod results;
pub(crate) mod rigs;
mod setup;
mod trials;
mod units;
pub(crate) mod weights;
pub(crate) mod what_if;

use crate::app::App;
use axum::Router;
use std::sync::Arc;

/// The routes of all pages.
pub(crate) fn router() -> Router<Arc<App>> {
    Router::new()
        .merge(trials::router())
        .merge(setup::router())
        .merge(comparison::router())
        .merge(components::router())
        .merge(decision::router())
        .merge(machines::router())
        .merge(blends::router())
        .merge(enter::router())
        .merge(explanation::router())
        .merge(methods::router())
        .merge(rigs::router())
        .merge(about::router())
        .merge(calculate::router())
        .merge(import::router())
        .merge(number::router())
        .merge(plan::router())
        .merge(report::router())
        .merge(units::router())
        .merge(results::router())
        .merge(weights::router())
        .merge(what_if::router())
        .merge(head_to_head::router())
}
