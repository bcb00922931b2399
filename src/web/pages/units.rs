//! `/units`: in which units and with which signs a reader wants numbers shown; kept in his browser alone.

use crate::app::App;
use crate::units::{DecimalSign, DisplayPreferences, ForceUnit, PressureUnit, TemperatureUnit, Thousands};
use crate::web::error::{FieldFault, HttpError, html};
use crate::web::frame::Frame;
use crate::web::posted::Posted;
use crate::web::preferences::{cookie, preferences};
use askama::Template;
use axum::Router;
use axum::http::{HeaderMap, header};
use axum::response::{IntoResponse, Redirect, Response};
use axum::routing::get;
use std::sync::Arc;

const PATH: &str = "/units";
/// Longest path that is gone back to, in bytes.
const LONGEST: usize = 2000;

pub(crate) fn router() -> Router<Arc<App>> {
    Router::new().route(PATH, get(show_units).post(keep_units))
}

/// One list of the form.
struct Asked {
    name: &'static str,
    label: &'static str,
    /// Word and meaning.
    choices: Vec<(&'static str, &'static str)>,
    /// The word that is chosen.
    chosen: &'static str,
}

#[derive(Template)]
#[template(path = "units/page.html")]
struct UnitsPage {
    frame: Frame,
    asked: Vec<Asked>,
    back: String,
}

async fn show_units(headers: HeaderMap) -> Result<Response, HttpError> {
    html(&UnitsPage {
        frame: Frame::new("Units and numbers"),
        asked: lists(preferences()),
        back: came_from(&headers),
    })
}

async fn keep_units(posted: Posted) -> Result<Response, HttpError> {
    let shown = read(&posted).map_err(HttpError::unusable)?;
    let back = posted.field("back");
    let back = if is_path_of_ours(back) { back } else { PATH };
    Ok(([(header::SET_COOKIE, cookie(shown))], Redirect::to(back)).into_response())
}

fn read(posted: &Posted) -> Result<DisplayPreferences, Vec<FieldFault>> {
    let mut faults = Vec::new();
    let mut refuse = |field: &str| {
        faults.push(FieldFault::new(field, "is none of its list; choose one"));
    };
    macro_rules! choice {
        ($list:ident, $field:literal) => {
            $list::from_word(posted.field($field)).unwrap_or_else(|| {
                refuse($field);
                $list::default()
            })
        };
    }
    let shown = DisplayPreferences {
        force: choice!(ForceUnit, "force"),
        pressure: choice!(PressureUnit, "pressure"),
        temperature: choice!(TemperatureUnit, "temperature"),
        decimal: choice!(DecimalSign, "decimal"),
        thousands: choice!(Thousands, "thousands"),
    };
    if faults.is_empty() { Ok(shown) } else { Err(faults) }
}

fn lists(now: DisplayPreferences) -> Vec<Asked> {
    macro_rules! list {
        ($list:ident, $name:ident, $label:expr) => {
            Asked {
                name: stringify!($name),
                label: $label,
                choices: $list::ALL
                    .iter()
                    .map(|it| (it.word(), it.means()))
                    .collect(),
                chosen: now.$name.word(),
            }
        };
    }
    vec![
        list!(ForceUnit, force, "Forces and loads"),
        list!(PressureUnit, pressure, "Pressures"),
        list!(TemperatureUnit, temperature, "Temperatures"),
        list!(DecimalSign, decimal, "Before the decimals"),
        list!(Thousands, thousands, "Between thousands, from 10 000 on"),
    ]
}

/// The page of ours that a reader came from, or the list of trials.
fn came_from(headers: &HeaderMap) -> String {
    let referer = headers.get(header::REFERER).and_then(|text| text.to_str().ok());
    let host = headers.get(header::HOST).and_then(|text| text.to_str().ok());
    let path = referer
        .zip(host)
        .and_then(|(referer, host)| referer.strip_prefix("http://")?.strip_prefix(host));
    match path {
        Some(path) if is_path_of_ours(path) && path != PATH => path.to_string(),
        _ => "/".to_string(),
    }
}

/// Whether a text is a path on this machine: a browser takes `//x` and `/\x` for another host.
fn is_path_of_ours(path: &str) -> bool {
    let second = path.as_bytes().get(1).copied().unwrap_or(b'a');
    path.starts_with('/')
        && !matches!(second, b'/' | b'\\')
        && path.len() <= LONGEST
        && path.bytes().all(|byte| byte.is_ascii_graphic())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_a_path_on_this_machine_is_gone_back_to() {
        for path in ["/", "/trials/a?x=1&y=%20#b", "/units"] {
            assert!(is_path_of_ours(path), "{path}");
        }
        for path in [
            "",
            "//example.org",
            "/\\example.org",
            "http://example.org/",
            "trials",
            "/a\r\nSet-Cookie: x=y",
            "/ä",
        ] {
            assert!(!is_path_of_ours(path), "{path}");
        }
    }

    #[test]
    fn the_page_before_is_taken_only_from_this_host() {
        let from = |referer: &str| {
            let mut headers = HeaderMap::new();
            headers.insert(header::HOST, "127.0.0.1:4180".parse().unwrap());
            headers.insert(header::REFERER, referer.parse().unwrap());
            came_from(&headers)
        };
        assert_eq!(from("http://127.0.0.1:4180/trials/a?b=c"), "/trials/a?b=c");
        assert_eq!(from("http://127.0.0.1:4180//example.org"), "/");
        assert_eq!(from("http://example.org/trials/a"), "/");
        assert_eq!(from("http://127.0.0.1:4180.example.org/"), "/");
    }
}
