//! Import and corrections over HTTP: who may post, what comes back, and that no input breaks anything.

use crate::import::Bench;
use crate::pages::{Page, Pages};
use axum::body::Body;
use axum::http::{Request, header};
use proptest::prelude::*;
use serde_json::Value;

const GOOD: &str = "blend,method,quantity,value,unit,date\nB-1,own_bench,depth,8.2,um,2026-04-01\n";
const API: &str = "/api/import?trial=slow-drive";

/// The pages over the small archive.
pub(crate) async fn small() -> Pages {
    let bench = Bench::new().await;
    Pages::over(bench.app, bench.folder)
}

impl Pages {
    async fn api(&self, path: &str, body: impl Into<Body>) -> Page {
        self.send(Request::post(path).header(header::CONTENT_TYPE, "text/csv"), body)
            .await
    }

    /// A form as a browser sends it from our own page.
    pub(crate) async fn form(&self, path: &str, fields: &[(&str, &str)]) -> Page {
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
    let pages = small().await;
    let looked = pages.api(&format!("{API}&check=1"), GOOD).await;
    assert_eq!(looked.status, 200);
    let body = looked.as_json();
    assert_eq!((body["new"].as_u64(), body["same"].as_u64()), (Some(1), Some(0)));
    assert_eq!(
        (&body["changes"], &body["refused"]),
        (&0.into(), &Value::Array(Vec::new()))
    );
    assert_eq!(pages.api(API, GOOD).await.as_json()["written"], true);
    assert_eq!(pages.api(API, GOOD).await.as_json()["same"], 1);
    let bad = format!("{GOOD}B-9,own_bench,depth,8,um,2026-04-01\n");
    let refused = pages.api(API, bad).await;
    assert_eq!(refused.status, 422);
    let row = &refused.as_json()["refused"][0];
    assert_eq!(
        (row["row"].as_u64(), row["column"].as_str()),
        (Some(3), Some("blend"))
    );
    assert!(row["problem"].as_str().unwrap().contains("not a blend"));
    let changed = pages.api(API, GOOD.replace("8.2", "8.3")).await;
    assert_eq!((changed.status, &changed.as_json()["changes"]), (409, &1.into()));
}

#[tokio::test]
async fn a_file_that_is_too_long_or_of_another_kind_is_refused_by_status() {
    let pages = small().await;
    let status = async |kind: &str, body: Vec<u8>| {
        let request = Request::post(API).header(header::CONTENT_TYPE, kind);
        pages.send(request, body).await.status
    };
    assert_eq!(status("application/json", b"{}".to_vec()).await, 415);
    assert_eq!(status("text/csv", b"PK\x03\x04".to_vec()).await, 415);
    assert_eq!(status("text/csv", vec![b'a'; (64 << 20) + 1]).await, 413);
    assert_eq!(status("text/csv", vec![b'a'; 66 << 20]).await, 413);
    assert_eq!(pages.api("/api/import?trial=nobody", GOOD).await.status, 404);
    assert_eq!(pages.api("/api/import?check=maybe", GOOD).await.status, 422);
    assert_eq!(pages.get("/api/import").await.status, 405);
}

#[tokio::test]
async fn a_foreign_page_and_a_form_without_a_token_are_refused() {
    let pages = small().await;
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
            assert_eq!(answer.status, 403, "{path} {name} {value}");
        }
    }
    for path in ["/import", "/import/confirm", void] {
        for token in ["", "0", &"0".repeat(64)] {
            let answer = pages
                .form(path, &[("token", token), ("text", GOOD), ("reason", "why")])
                .await;
            assert_eq!(answer.status, 403, "{path} '{token}'");
        }
    }
    assert_eq!(pages.entries().await, 9);
}

#[tokio::test]
async fn pasted_rows_are_previewed_mended_and_confirmed() {
    let pages = small().await;
    let token = pages.token().await;
    let text = format!("{GOOD}B-9,own_bench,depth,<b>,um,\"1,2\"\n");
    let fields = |text| [("token", token.as_str()), ("trial", "slow-drive"), ("text", text)];
    let bad = pages.form("/import", &fields(text.as_str())).await;
    assert_eq!(bad.status, 200);
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
        (303, "/import?added=1&trial=slow-drive")
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
    let pages = small().await;
    let token = pages.token().await;
    let lost = pages
        .form(
            "/import/confirm",
            &[("token", &token), ("key", "old"), ("text", GOOD)],
        )
        .await;
    assert_eq!(lost.status, 409);
    assert_eq!(lost.form("[data-import-form]")["text"], GOOD);
    let empty = pages
        .form("/import", &[("token", &token), ("trial", "slow-drive")])
        .await;
    assert_eq!(empty.status, 422);
    assert_eq!(empty.texts("#file-fault").len(), 1);
    assert_eq!(empty.value("option[selected]"), "slow-drive");
    let nobody = pages
        .form(
            "/import",
            &[("token", &token), ("trial", "nobody"), ("text", GOOD)],
        )
        .await;
    assert_eq!(nobody.status, 404);
    assert_eq!(nobody.form("[data-import-form]")["text"], GOOD);
}

#[tokio::test]
async fn a_result_is_corrected_and_voided_by_its_forms() {
    let pages = small().await;
    let list = pages.get("/trials/slow-drive/results").await;
    assert_eq!(list.status, 200);
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
    assert_eq!(refused.status, 422);
    assert_eq!(refused.value("#reason"), "typed \"wrongly\"");
    assert_eq!(refused.texts("#value-fault").len(), 1);
    let done = send(path, "9,5", "typed wrongly").await;
    assert_eq!(
        (done.status, done.location.as_str()),
        (303, "/trials/slow-drive/results#r10")
    );
    assert_eq!(send(path, "9.7", "again").await.status, 409);
    let void = send("/trials/slow-drive/results/10/void", "", "wrong oil").await;
    assert_eq!(void.status, 303);
    let list = pages.get("/trials/slow-drive/results").await;
    assert_eq!(list.texts("#r3[data-run=superseded]").len(), 1);
    assert!(list.texts("#r10[data-run=void]")[0].contains("wrong oil"));
    assert_eq!(pages.get("/trials/slow-drive/results/10/void").await.status, 409);
    for path in [
        "/trials/slow-drive/results/99/void",
        "/trials/slow-drive/results/x/void",
        "/trials/no/results",
    ] {
        assert_eq!(pages.get(path).await.status, 404, "{path}");
    }
}

#[test]
fn no_garbage_is_answered_with_an_error_of_ours() {
    let runtime = tokio::runtime::Builder::new_multi_thread()
        .enable_all()
        .build()
        .unwrap();
    let pages = runtime.block_on(small());
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
                    assert!(status < 500, "{path} {status}");
                }
            });
            Ok(())
        })
        .unwrap();
}
