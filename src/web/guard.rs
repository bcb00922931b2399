//! What every request must satisfy and every response carries.
//!
//! The program answers on this machine only. A page elsewhere that points a name of its own at this machine would be
//! answered too if the `Host` header were not looked at, so another host is refused.

use crate::web::error::HttpError;
use axum::extract::{Request, State};
use axum::http::{HeaderName, HeaderValue, Method, header};
use axum::middleware::Next;
use axum::response::{IntoResponse, Response};

/// Which `Host` headers are answered.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Hosts {
    /// This machine by any of its three names, on any port.
    #[cfg(feature = "facade")]
    ThisMachine,
    /// This machine, on this port.
    ThisPort(u16),
}

impl Hosts {
    /// Whether a `Host` header is one of ours.
    pub(crate) fn holds(self, host: &str) -> bool {
        let (name, port) = match host.strip_prefix('[') {
            Some(rest) => match rest.split_once(']') {
                Some(("::1", after)) => ("::1", after.strip_prefix(':')),
                _ => return false,
            },
            None => match host.split_once(':') {
                Some((name, port)) => (name, Some(port)),
                None => (host, None),
            },
        };
        let is_here = name == "::1" || name == "127.0.0.1" || name.eq_ignore_ascii_case("localhost");
        let port = port.map_or(Some(80), |port| port.parse::<u16>().ok());
        is_here
            && match (self, port) {
                (_, None) => false,
                #[cfg(feature = "facade")]
                (Self::ThisMachine, Some(_)) => true,
                (Self::ThisPort(ours), Some(port)) => ours == port,
            }
    }
}

/// Refuses foreign hosts and requests that would change data under a reading method's name.
pub(crate) async fn check_host(State(hosts): State<Hosts>, request: Request, next: Next) -> Response {
    let named = request
        .headers()
        .get(header::HOST)
        .and_then(|host| host.to_str().ok())
        .map(str::to_string)
        .or_else(|| request.uri().authority().map(ToString::to_string));
    if named.as_deref().is_some_and(|host| hosts.holds(host)) {
        return next.run(request).await;
    }
    HttpError::foreign_host(named.as_deref().unwrap_or("none")).into_response()
}

/// Refuses a request that would change data and comes from a page that is not ours. A script on this machine sends
/// neither `Origin` nor `Sec-Fetch-Site` and is let through.
pub(crate) async fn check_origin(State(hosts): State<Hosts>, request: Request, next: Next) -> Response {
    if matches!(*request.method(), Method::GET | Method::HEAD | Method::OPTIONS) {
        return next.run(request).await;
    }
    let headers = request.headers();
    let origins = headers.get_all(header::ORIGIN).iter();
    let foreign_origin = origins
        .map(|origin| String::from_utf8_lossy(origin.as_bytes()).into_owned())
        .find(|origin| !is_ours(hosts, origin));
    let foreign_site = headers
        .get_all("sec-fetch-site")
        .iter()
        .any(|site| !matches!(site.as_bytes(), b"same-origin" | b"none"));
    match foreign_origin {
        Some(origin) => HttpError::foreign_origin(&origin).into_response(),
        None if foreign_site => HttpError::foreign_origin("another page").into_response(),
        None => next.run(request).await,
    }
}

fn is_ours(hosts: Hosts, origin: &str) -> bool {
    origin
        .strip_prefix("http://")
        .is_some_and(|host| hosts.holds(host))
}

const CONTENT_SECURITY_POLICY: &str = "default-src 'none'; style-src 'self'; script-src 'self'; \
     connect-src 'self'; img-src 'self' data:; form-action 'self'; base-uri 'none'; frame-ancestors 'none'";

/// The headers of every response.
pub(crate) async fn add_headers(request: Request, next: Next) -> Response {
    let is_reading = matches!(*request.method(), Method::GET | Method::HEAD);
    let is_file = request.uri().path().starts_with("/static/");
    let mut response = next.run(request).await;
    let headers = response.headers_mut();
    for (name, value) in [
        (header::CONTENT_SECURITY_POLICY, CONTENT_SECURITY_POLICY),
        (header::X_CONTENT_TYPE_OPTIONS, "nosniff"),
        (header::REFERRER_POLICY, "same-origin"),
        (
            HeaderName::from_static("cross-origin-opener-policy"),
            "same-origin",
        ),
    ] {
        headers.insert(name, HeaderValue::from_static(value));
    }
    if is_reading && !is_file {
        headers
            .entry(header::CACHE_CONTROL)
            .or_insert(HeaderValue::from_static("no-cache"));
        // A page is written in its reader's units.
        headers.append(header::VARY, HeaderValue::from_static("cookie"));
    }
    response
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_our_own_pages_are_an_origin_of_ours() {
        let hosts = Hosts::ThisPort(4180);
        assert!(is_ours(hosts, "http://127.0.0.1:4180") && is_ours(hosts, "http://localhost:4180"));
        for origin in [
            "null",
            "https://127.0.0.1:4180",
            "http://127.0.0.1:4181",
            "http://example.org",
            "http://127.0.0.1:4180/",
            "127.0.0.1:4180",
            "",
        ] {
            assert!(!is_ours(hosts, origin), "{origin}");
        }
    }

    #[test]
    fn this_machine_is_known_by_three_names_on_our_port() {
        let hosts = Hosts::ThisPort(4180);
        for host in ["127.0.0.1:4180", "localhost:4180", "LOCALHOST:4180", "[::1]:4180"] {
            assert!(hosts.holds(host), "{host}");
        }
        for host in [
            "127.0.0.1:4181",
            "localhost",
            "example.org:4180",
            "127.0.0.1.example.org:4180",
            "localhost.example.org:4180",
            "[::2]:4180",
            "[::1",
            "::1:4180",
            "127.0.0.1:x",
            "127.0.0.1:4180:4180",
            "user@localhost:4180",
            "",
        ] {
            assert!(!hosts.holds(host), "{host}");
        }
        assert!(Hosts::ThisPort(80).holds("localhost"));
        assert!(Hosts::ThisMachine.holds("localhost:9") && !Hosts::ThisMachine.holds("example.org"));
    }
}
