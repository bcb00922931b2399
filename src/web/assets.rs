//! Style sheet, script and icon, embedded in the program. The address of each carries a hash of its content, so that a
//! browser may keep it for ever and never shows an old one.

use axum::extract::Path;
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse, Response};
use include_dir::{Dir, include_dir};
use std::sync::LazyLock;

static FILES: Dir<'_> = include_dir!("$CARGO_MANIFEST_DIR/static");

static STYLE: LazyLock<String> = LazyLock::new(|| address("likewear.css"));
static SCRIPT: LazyLock<String> = LazyLock::new(|| address("likewear.js"));
static ICON: LazyLock<String> = LazyLock::new(|| address("likewear.svg"));

/// Address of the style sheet.
pub(crate) fn style() -> &'static str {
    &STYLE
}

/// Address of the script.
pub(crate) fn script() -> &'static str {
    &SCRIPT
}

/// Address of the drawing that stands for the program in a tab.
pub(crate) fn icon() -> &'static str {
    &ICON
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
        assert!(icon().ends_with("/likewear.svg") && !content("likewear.svg").is_empty());
        assert_ne!(hash(b"a"), hash(b"b"));
    }

    /// Relative luminance and contrast ratio as WCAG 2.1 defines them.
    fn contrast(a: [f64; 3], b: [f64; 3]) -> f64 {
        let luminance = |[r, g, b]: [f64; 3]| {
            let linear = |c: f64| {
                if c <= 0.03928 {
                    c / 12.92
                } else {
                    ((c + 0.055) / 1.055).powf(2.4)
                }
            };
            0.2126 * linear(r) + 0.7152 * linear(g) + 0.0722 * linear(b)
        };
        let (a, b) = (luminance(a), luminance(b));
        (a.max(b) + 0.05) / (a.min(b) + 0.05)
    }

    fn colour(sheet: &str, name: &str) -> [f64; 3] {
        let at = sheet
            .find(&format!("--{name}: #"))
            .unwrap_or_else(|| panic!("--{name}"));
        let hex = &sheet[at..].split('#').nth(1).unwrap()[..6];
        [0, 2, 4].map(|i| f64::from(u8::from_str_radix(&hex[i..i + 2], 16).unwrap()) / 255.0)
    }

    /// WCAG 2.1, AA: 4.5 for text (1.4.3), 3 for marks (1.4.11).
    #[test]
    fn text_and_marks_have_the_contrast_of_aa_by_day_and_by_night() {
        let sheet = std::str::from_utf8(content("likewear.css")).unwrap();
        let dark = &sheet[sheet.find("prefers-color-scheme: dark").unwrap()..];
        for (scheme, sheet) in [("light", sheet), ("dark", dark)] {
            for ground in ["ground", "page"] {
                let below = colour(sheet, ground);
                for text in ["ink", "quiet", "accent", "loss", "stop", "high", "medium", "note"] {
                    let found = contrast(colour(sheet, text), below);
                    assert!(found >= 4.5, "{scheme}: {text} on {ground} is {found:.2}");
                }
                for mark in [
                    "hue0",
                    "hue1",
                    "hue2",
                    "hue3",
                    "hue4",
                    "hue5",
                    "reference",
                    "control",
                ] {
                    let found = contrast(colour(sheet, mark), below);
                    assert!(found >= 3.0, "{scheme}: {mark} on {ground} is {found:.2}");
                }
            }
            for button in ["accent", "stop"] {
                assert!(
                    contrast(colour(sheet, button), colour(sheet, "ground")) >= 4.5,
                    "{scheme}: {button}"
                );
            }
        }
    }
}
