//! Pages and JSON over HTTP, for this machine only.
//!
//! **Invariants:** nothing changes data by GET; no script or style in a page's text (the content security policy holds
//! it to that); no `|safe` in a template: the only markup that enters a page unescaped is a chart room's drawing.

mod address;
mod api;
mod assets;
mod contact_view;
mod error;
mod figures;
mod frame;
mod guard;
mod pages;
mod posted;
mod preferences;
mod question;
#[cfg(test)]
mod sample;
#[cfg(test)]
mod tests;
mod token;
mod unbroken;

pub use crate::web::pages::report::report_file;

use crate::app::App;
use crate::web::error::{HttpError, write_errors};
use crate::web::guard::{Hosts, add_headers, check_host, check_origin};
use crate::web::preferences::hear_reader;
use axum::Router;
use axum::middleware::{from_fn, from_fn_with_state};
use axum::response::IntoResponse;
use axum::routing::get;
use std::any::Any;
use std::future::Future;
use std::sync::Arc;
use tokio::net::TcpListener;
use tower_http::catch_panic::CatchPanicLayer;
use tower_http::compression::CompressionLayer;

/// Answers requests until `shutdown` is ready, then lets those under way finish.
///
/// # Errors
/// Those of the listener.
pub async fn serve(
    app: Arc<App>,
    listener: TcpListener,
    shutdown: impl Future<Output = ()> + Send + 'static,
) -> std::io::Result<()> {
    let port = listener.local_addr()?.port();
    axum::serve(listener, answering(app, Hosts::ThisPort(port)))
        .with_graceful_shutdown(shutdown)
        .await
}

/// All pages and JSON, for this machine's names on any port.
#[cfg(feature = "facade")]
pub fn router(app: Arc<App>) -> Router {
    answering(app, Hosts::ThisMachine)
}

fn answering(app: Arc<App>, hosts: Hosts) -> Router {
    Router::new()
        .merge(pages::router())
        .merge(api::router())
        .route("/static/{hash}/{name}", get(assets::show_file))
        .fallback(async || HttpError::not_found("No page has this address."))
        .method_not_allowed_fallback(async || HttpError::wrong_method())
        .with_state(app)
        .layer(from_fn(hear_reader))
        .layer(CatchPanicLayer::custom(|cause: Box<dyn Any + Send>| {
            HttpError::inside(panic_words(&cause)).into_response()
        }))
        .layer(from_fn_with_state(hosts, check_origin))
        .layer(from_fn_with_state(hosts, check_host))
        .layer(from_fn(write_errors))
        .layer(CompressionLayer::new())
        .layer(from_fn(add_headers))
}

fn panic_words(cause: &(dyn Any + Send)) -> String {
    let text = cause.downcast_ref::<&str>().map(ToString::to_string);
    text.or_else(|| cause.downcast_ref::<String>().cloned())
        .unwrap_or_else(|| "a panic without words".to_string())
}
