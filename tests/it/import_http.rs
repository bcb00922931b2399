//! Import and corrections over HTTP: who may post, what comes back, and that no input breaks anything.

use crate::import::Bench;
use axum::Router;
use axum::body::{Body, to_bytes};
use axum::http::{Request, StatusCode, header};
use likewear::web::router;
use proptest::prelude::*;
use scraper::{Html, Selector};
use serde_json::Value;
use std::sync::Arc;
use tower::ServiceExt;

const GOOD: &str = "blend,method,quantity,value,unit,date\nB-1,own_bench,depth,8.2,um,2026-04-01\n";
const API: &str = "/api/import?trial=slow-drive";

pub(crate) struct Pages {
    router: Router,
    _bench: tempfile::TempDir,
}

pub(crate) struct Answer {
    pub(crate) status: StatusCode,
    pub(crate) location: String,
    pub(crate) body: String,
}

impl Answer {
    pub(crate) fn json(&self) -> Value {
        serde_json::from_str(&self.body).unwrap_or_else(|error| panic!("{error}: {}", self.body))
    }

    pub(crate) fn texts(&self, selector: &str) -> Vec<String> {
        let page = Html::parse_document(&self.body);
        let selector = Selector::parse(selector).unwrap();
        page.select(&selector).map(|e| e.text().collect()).collect()
    }

    pub(crate) fn value(&self, selector: &str) -> String {
        let page = Html::parse_document(&self.body);
        let selector = Selector::parse(selector).unwrap();
        let found = page
            .select(&selector)
            .next()
            .unwrap_or_else(|| panic!("{}", self.body));
        found.value().attr("value").unwrap().to_string()
    }
}

impl Pages {
    pub(crate) async fn new() -> Self {
        let bench = Bench::new().await;
        Self {
            router: router(Arc::new(bench.desk)),
            _bench: bench.folder,
        }
    }

    async fn send(&self, request: axum::http::request::Builder, body: impl Into<Body>) -> Answer {
        let request = request
            .header(header::HOST, "127.0.0.1:4180")
            .body(body.into())
            .unwrap();
        let response = self.router.clone().oneshot(request).await.unwrap();
        let status = response.status();
        let location = response
            .headers()
            .get(header::LOCATION)
            .map(|l| l.to_str().unwrap().to_string());
        let bytes = to_bytes(response.into_body(), 256 << 20).await.unwrap();
        Answer {
            status,
            location: location.unwrap_or_default(),
            body: String::from_utf8(bytes.to_vec()).unwrap(),
        }
    }

    pub(crate) async fn get(&self, path: &str) -> Answer {
        self.send(Request::get(path), Body::empty()).await
    }

    async fn api(&self, path: &str, body: impl Into<Body>) -> Answer {
        self.send(Request::post(path).header(header::CONTENT_TYPE, "text/csv"), body)
            .await
    }

    /// A form as a browser sends it from our own page.
    pub(crate) async fn form(&self, path: &str, fields: &[(&str, &str)]) -> Answer {
        let mut body = String::new();
        for (name, value) in fields {
            body += &format!("--edge\r\nContent-Disposition: form-data; name=\"{name}\"\r\n\r\n{value}\r\n");
        }
        body += "--edge--\r\n";
        let request = Request::post(path)
            .header(header::CONTENT_TYPE, "multipart/form-data; boundary=edge")
            .header(header::ORIGIN, "http://127.0.0.1:4180")
            .header("sec-fetch-site", "same-origin");
        self.send(request, body).await
    }

    pub(crate) async fn token(&self) -> String {
        self.get("/import")
            .await
            .value("[data-import-form] input[name=token]")
    }

    pub(crate) async fn entries(&self) -> usize {
        self.get("/trials/slow-drive/results")
            .await
            .texts("[data-result]")
            .len()
    }
}

#[tokio::test]
async fn the_interface_looks_and_then_writes_once() {
    let pages = Pages::new().await;
    let looked = pages.api(&format!("{API}&check=1"), GOOD).await;
    assert_eq!(looked.status, StatusCode::OK);
    let body = looked.json();
    assert_eq!((body["new"].as_u64(), body["same"].as_u64()), (Some(1), Some(0)));
    assert_eq!(
        (&body["changes"], &body["refused"]),
        (&0.into(), &Value::Array(Vec::new()))
    );
    assert_eq!(pages.api(API, GOOD).await.json()["written"], true);
    assert_eq!(pages.api(API, GOOD).await.json()["same"], 1);
    let bad = format!("{GOOD}B-9,own_bench,depth,8,um,2026-04-01\n");
    let refused = pages.api(API, bad).await;
    assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
    let row = &refused.json()["refused"][0];
    assert_eq!(
        (row["row"].as_u64(), row["column"].as_str()),
        (Some(3), Some("blend"))
    );
    assert!(row["problem"].as_str().unwrap().contains("not a blend"));
    let changed = pages.api(API, GOOD.replace("8.2", "8.3")).await;
    assert_eq!(
        (changed.status, &changed.json()["changes"]),
        (StatusCode::CONFLICT, &1.into())
    );
}

#[tokio::test]
async fn a_file_that_is_too_long_or_of_another_kind_is_refused_by_status() {
    let pages = Pages::new().await;
    let status = async |kind: &str, body: Vec<u8>| {
        let request = Request::post(API).header(header::CONTENT_TYPE, kind);
        pages.send(request, body).await.status
    };
    assert_eq!(
        status("application/json", b"{}".to_vec()).await,
        StatusCode::UNSUPPORTED_MEDIA_TYPE
    );
    assert_eq!(
        status("text/csv", b"PK\x03\x04".to_vec()).await,
        StatusCode::UNSUPPORTED_MEDIA_TYPE
    );
    assert_eq!(
        status("text/csv", vec![b'a'; (64 << 20) + 1]).await,
        StatusCode::PAYLOAD_TOO_LARGE
    );
    assert_eq!(
        status("text/csv", vec![b'a'; 66 << 20]).await,
        StatusCode::PAYLOAD_TOO_LARGE
    );
    assert_eq!(
        pages.api("/api/import?trial=nobody", GOOD).await.status,
        StatusCode::NOT_FOUND
    );
    assert_eq!(
        pages.api("/api/import?check=maybe", GOOD).await.status,
        StatusCode::UNPROCESSABLE_ENTITY
    );
    assert_eq!(
        pages.get("/api/import").await.status,
        StatusCode::METHOD_NOT_ALLOWED
    );
}

#[tokio::test]
async fn a_foreign_page_and_a_form_without_a_token_are_refused() {
    let pages = Pages::new().await;
    let void = "/trials/slow-drive/results/1/void";
    for path in [API, "/import", "/import/confirm", void] {
        for (name, value) in [
            ("origin", "http://example.org"),
            ("origin", "null"),
            ("origin", "https://127.0.0.1:4180"),
            ("sec-fetch-site", "cross-site"),
            ("sec-fetch-site", "same-site"),
        ] {
            let request = Request::post(path)
                .header(header::CONTENT_TYPE, "text/csv")
                .header(name, value);
            let answer = pages.send(request, GOOD).await;
            assert_eq!(answer.status, StatusCode::FORBIDDEN, "{path} {name} {value}");
        }
    }
    for path in ["/import", "/import/confirm", void] {
        for token in ["", "0", &"0".repeat(64)] {
            let answer = pages
                .form(path, &[("token", token), ("text", GOOD), ("reason", "why")])
                .await;
            assert_eq!(answer.status, StatusCode::FORBIDDEN, "{path} '{token}'");
        }
    }
    assert_eq!(pages.entries().await, 9);
}

#[tokio::test]
async fn pasted_rows_are_previewed_mended_and_confirmed() {
    let pages = Pages::new().await;
    let token = pages.token().await;
    let text = format!("{GOOD}B-9,own_bench,depth,<b>,um,\"1,2\"\n");
    let fields = |text| [("token", token.as_str()), ("trial", "slow-drive"), ("text", text)];
    let bad = pages.form("/import", &fields(text.as_str())).await;
    assert_eq!(bad.status, StatusCode::OK);
    assert_eq!(bad.texts("[data-verdict=new]").len(), 1);
    assert_eq!(bad.texts("[data-verdict=refused]").len(), 1);
    assert!(bad.texts("[data-confirm-form]").is_empty());
    assert!(bad.texts("[data-mend-form] textarea")[0].contains("B-9,own_bench,depth,<b>,um"));
    let good = pages.form("/import", &fields(GOOD)).await;
    let key = good.value("[data-confirm-form] input[name=key]");
    let sent = [
        ("token", token.as_str()),
        ("key", key.as_str()),
        ("text", GOOD),
        ("trial", "slow-drive"),
    ];
    let done = pages.form("/import/confirm", &sent).await;
    assert_eq!(
        (done.status, done.location.as_str()),
        (StatusCode::SEE_OTHER, "/import?added=1&trial=slow-drive")
    );
    assert_eq!(pages.entries().await, 10);
    // Sent again, as with the browser's way back: nothing is added.
    assert_eq!(
        pages.form("/import/confirm", &sent).await.location,
        "/import?added=0&trial=slow-drive"
    );
    assert_eq!(pages.entries().await, 10);
}

#[tokio::test]
async fn nothing_typed_is_lost_when_a_form_is_refused() {
    let pages = Pages::new().await;
    let token = pages.token().await;
    let lost = pages
        .form(
            "/import/confirm",
            &[("token", &token), ("key", "old"), ("text", GOOD)],
        )
        .await;
    assert_eq!(lost.status, StatusCode::CONFLICT);
    assert_eq!(lost.texts("#text")[0], GOOD);
    let empty = pages
        .form("/import", &[("token", &token), ("trial", "slow-drive")])
        .await;
    assert_eq!(empty.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert_eq!(empty.texts("#file-fault").len(), 1);
    assert_eq!(empty.value("option[selected]"), "slow-drive");
    let nobody = pages
        .form(
            "/import",
            &[("token", &token), ("trial", "nobody"), ("text", GOOD)],
        )
        .await;
    assert_eq!(
        (nobody.status, nobody.texts("#text")[0].as_str()),
        (StatusCode::NOT_FOUND, GOOD)
    );
}

#[tokio::test]
async fn a_result_is_corrected_and_voided_by_its_forms() {
    let pages = Pages::new().await;
    let list = pages.get("/trials/slow-drive/results").await;
    assert_eq!(list.status, StatusCode::OK);
    let path = "/trials/slow-drive/results/3/correct";
    let form = pages.get(path).await;
    assert!(form.texts("[data-there]")[0].starts_with("9 um"), "{}", form.body);
    let token = form.value("[data-result-form] input[name=token]");
    let send = async |path: &str, value: &str, reason: &str| {
        let fields = [
            ("token", token.as_str()),
            ("value", value),
            ("unit", "um"),
            ("reason", reason),
        ];
        pages.form(path, &fields).await
    };
    let refused = send(path, "9", "typed \"wrongly\"").await;
    assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert_eq!(refused.value("#reason"), "typed \"wrongly\"");
    assert_eq!(refused.texts("#value-fault").len(), 1);
    let done = send(path, "9,5", "typed wrongly").await;
    assert_eq!(
        (done.status, done.location.as_str()),
        (StatusCode::SEE_OTHER, "/trials/slow-drive/results#r10")
    );
    assert_eq!(send(path, "9.7", "again").await.status, StatusCode::CONFLICT);
    let void = send("/trials/slow-drive/results/10/void", "", "wrong oil").await;
    assert_eq!(void.status, StatusCode::SEE_OTHER);
    let list = pages.get("/trials/slow-drive/results").await;
    assert_eq!(list.texts("#r3[data-run=superseded]").len(), 1);
    assert!(list.texts("#r10[data-run=void]")[0].contains("wrong oil"));
    assert_eq!(
        pages.get("/trials/slow-drive/results/10/void").await.status,
        StatusCode::CONFLICT
    );
    for path in [
        "/trials/slow-drive/results/99/void",
        "/trials/slow-drive/results/x/void",
        "/trials/no/results",
    ] {
        assert_eq!(pages.get(path).await.status, StatusCode::NOT_FOUND, "{path}");
    }
}

#[test]
fn no_garbage_is_answered_with_an_error_of_ours() {
    let runtime = tokio::runtime::Builder::new_multi_thread()
        .enable_all()
        .build()
        .unwrap();
    let pages = runtime.block_on(Pages::new());
    let token = runtime.block_on(pages.token());
    let mut runner = proptest::test_runner::TestRunner::new(ProptestConfig {
        cases: 60,
        failure_persistence: None,
        ..ProptestConfig::default()
    });
    let header = prop::sample::select(vec![
        "",
        "blend,method,value\n",
        "oil;test;result;unit\n",
        "\u{feff}blend\tmethod\tvalue\n",
    ]);
    let garbage = (header, prop::collection::vec(any::<u8>(), 0..300));
    runner
        .run(&garbage, |(header, bytes)| {
            let body = [header.as_bytes(), &bytes].concat();
            runtime.block_on(async {
                let form = [
                    format!("--edge\r\nContent-Disposition: form-data; name=\"token\"\r\n\r\n{token}\r\n")
                        .into_bytes(),
                    b"--edge\r\nContent-Disposition: form-data; name=\"file\"; filename=\"x\"\r\n\r\n"
                        .to_vec(),
                    body.clone(),
                    b"\r\n--edge--\r\n".to_vec(),
                ]
                .concat();
                let multipart = "multipart/form-data; boundary=edge";
                for (path, kind, body) in [
                    (API, "text/csv", body.clone()),
                    (API, multipart, body.clone()),
                    ("/import", multipart, form),
                    ("/import/confirm", multipart, body.clone()),
                    (
                        "/trials/slow-drive/results/1/void",
                        "application/x-www-form-urlencoded",
                        body,
                    ),
                ] {
                    let request = Request::post(path).header(header::CONTENT_TYPE, kind);
                    let status = pages.send(request, body).await.status;
                    assert!(status.as_u16() < 500, "{path} {status}");
                }
            });
            Ok(())
        })
        .unwrap();
}
