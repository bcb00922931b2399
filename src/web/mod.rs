//! The HTTP side of the desk.

use crate::desk::Desk;
use axum::Router;
use axum::response::Json;
use axum::routing::get;
use std::future::Future;
use std::io;
use std::sync::Arc;
use tokio::net::TcpListener;

/// Answers requests until `shutdown` is ready, then lets those under way finish.
///
/// # Errors
/// Those of the listener.
pub async fn serve(
    desk: Arc<Desk>,
    listener: TcpListener,
    shutdown: impl Future<Output = ()> + Send + 'static,
) -> io::Result<()> {
    axum::serve(listener, router(desk))
        .with_graceful_shutdown(shutdown)
        .await
}

fn router(desk: Arc<Desk>) -> Router {
    let version = env!("CARGO_PKG_VERSION");
    let healthy = move || async move { Json(serde_json::json!({"ok": true, "version": version})) };
    Router::new().route("/healthz", get(healthy)).with_state(desk)
}
