//! Style sheet and script, embedded in the program. The address of each carries a hash of its content, so that a
//! browser may keep it for ever and never shows an old one.

use axum::extract::Path;
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse, Response};
use include_dir::{Dir, include_dir};
use std::sync::LazyLock;

static FILES: Dir<'_> = include_dir!("$CARGO_MANIFEST_DIR/static");

static STYLE: LazyLock<String> = LazyLock::new(|| address("likewear.css"));
static SCRIPT: LazyLock<String> = LazyLock::new(|| address("likewear.js"));

/// Address of the style sheet.
pub(crate) fn style() -> &'static str {
    &STYLE
}

/// Address of the script.
pub(crate) fn script() -> &'static str {
    &SCRIPT
}

/// A file's content; empty where there is none of that name.
pub(crate) fn content(name: &str) -> &'static [u8] {
    FILES.get_file(name).map_or(&[], |file| file.contents())
}

fn address(name: &str) -> String {
    format!("/static/{:016x}/{name}", hash(content(name)))
}

/// FNV-1a, 64 bit (Fowler, Noll and Vo): it tells versions of a file apart, it guards nothing.
fn hash(bytes: &[u8]) -> u64 {
    bytes.iter().fold(0xcbf2_9ce4_8422_2325, |hash, byte| {
        (hash ^ u64::from(*byte)).wrapping_mul(0x0000_0100_0000_01b3)
    })
}

/// Serves an embedded file under its current address; an old address is not found.
pub(crate) async fn show_file(Path((_, name)): Path<(String, String)>, uri: axum::http::Uri) -> Response {
    let kind = match name.rsplit('.').next() {
        Some("css") => "text/css; charset=utf-8",
        Some("js") => "text/javascript; charset=utf-8",
        Some("svg") => "image/svg+xml",
        _ => return StatusCode::NOT_FOUND.into_response(),
    };
    if FILES.get_file(&name).is_none() || uri.path() != address(&name) {
        return StatusCode::NOT_FOUND.into_response();
    }
    let headers = [
        (header::CONTENT_TYPE, kind),
        (header::CACHE_CONTROL, "public, max-age=31536000, immutable"),
    ];
    (headers, content(&name)).into_response()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_address_changes_with_the_content() {
        assert!(!content("likewear.css").is_empty());
        assert!(style().starts_with("/static/") && style().ends_with("/likewear.css"));
        assert_ne!(hash(b"a"), hash(b"b"));
    }
}
