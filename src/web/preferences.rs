//! What this reader wants shown: read from a cookie for the time of one request for a page, asked by whoever writes a
//! number into it. JSON, files and everything outside a page's request see what is kept.

use crate::units::{DecimalSign, DisplayPreferences, ForceUnit, PressureUnit, TemperatureUnit, Thousands};
use axum::extract::Request;
use axum::http::{HeaderMap, header};
use axum::middleware::Next;
use axum::response::Response;
use cookie::{Cookie, SameSite, time::Duration};

/// Name of the cookie.
const COOKIE: &str = "shown";
/// How long a browser keeps it.
const KEPT: Duration = Duration::days(365);

tokio::task_local! {
    static SHOWN: DisplayPreferences;
}

/// What the reader of the page that is being written wants shown.
pub(crate) fn preferences() -> DisplayPreferences {
    SHOWN.try_with(|shown| *shown).unwrap_or_default()
}

/// Lets a page see what its reader's cookie says.
pub(crate) async fn hear_reader(request: Request, next: Next) -> Response {
    let path = request.uri().path();
    if path.starts_with("/api/") || path.starts_with("/static/") {
        return next.run(request).await;
    }
    let shown = of_headers(request.headers());
    SHOWN.scope(shown, next.run(request)).await
}

fn of_headers(headers: &HeaderMap) -> DisplayPreferences {
    let cookies = headers.get_all(header::COOKIE).iter();
    let texts = cookies.filter_map(|cookies| cookies.to_str().ok());
    let mut readable = texts.flat_map(Cookie::split_parse).flatten();
    let ours = readable.find(|cookie| cookie.name() == COOKIE);
    ours.map(|cookie| of_text(cookie.value())).unwrap_or_default()
}

/// `kgf.ksi.F.comma.thin`; a word that is none of its list stands for the usual one.
fn of_text(text: &str) -> DisplayPreferences {
    let mut words = text.split('.');
    let mut next = || words.next().unwrap_or_default();
    DisplayPreferences {
        force: ForceUnit::from_word(next()).unwrap_or_default(),
        pressure: PressureUnit::from_word(next()).unwrap_or_default(),
        temperature: TemperatureUnit::from_word(next()).unwrap_or_default(),
        decimal: DecimalSign::from_word(next()).unwrap_or_default(),
        thousands: Thousands::from_word(next()).unwrap_or_default(),
    }
}

/// The header that asks a browser to keep it.
pub(crate) fn cookie(shown: DisplayPreferences) -> String {
    let words = [
        shown.force.word(),
        shown.pressure.word(),
        shown.temperature.word(),
        shown.decimal.word(),
        shown.thousands.word(),
    ];
    let kept = Cookie::build((COOKIE, words.join(".")))
        .path("/")
        .max_age(KEPT)
        .same_site(SameSite::Lax)
        .http_only(true);
    kept.to_string()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of(cookies: &str) -> DisplayPreferences {
        let mut headers = HeaderMap::new();
        headers.insert(header::COOKIE, cookies.parse().unwrap());
        of_headers(&headers)
    }

    #[test]
    fn what_is_kept_reads_back() {
        let wanted = DisplayPreferences {
            force: ForceUnit::KilogramForce,
            pressure: PressureUnit::Ksi,
            temperature: TemperatureUnit::Fahrenheit,
            decimal: DecimalSign::Comma,
            thousands: Thousands::ThinSpace,
        };
        let kept = cookie(wanted);
        let (pair, _) = kept.split_once(';').unwrap();
        assert_eq!(of(&format!("a=b; {pair}; c=d")), wanted);
    }

    #[test]
    fn an_unknown_word_falls_back_and_leaves_the_others() {
        let found = of("shown=furlong.ksi.X");
        assert_eq!(found.force, ForceUnit::AsKept);
        assert_eq!(found.pressure, PressureUnit::Ksi);
        assert_eq!(found.decimal, DecimalSign::Point);
        for strange in [
            "shown=",
            "shown",
            "shown=....",
            "other=kgf.ksi.F.comma.thin",
            "shown=%00.%FF",
        ] {
            assert_eq!(of(strange), DisplayPreferences::default(), "{strange}");
        }
    }

    #[test]
    fn outside_a_page_everything_is_shown_as_it_is_kept() {
        assert_eq!(preferences(), DisplayPreferences::default());
    }
}
