//! Requests against the whole router, over a app with the invented demo.

use super::*;
use crate::app::StartWith;
use axum::body::{Body, to_bytes};
use axum::http::{Request as HttpRequest, StatusCode, header};
use scraper::{Html, Selector};
use serde_json::Value;
use tower::ServiceExt;

struct Answer {
    status: StatusCode,
    headers: axum::http::HeaderMap,
    body: String,
}

impl Answer {
    fn json(&self) -> Value {
        serde_json::from_str(&self.body).unwrap_or_else(|error| panic!("{error}: {}", self.body))
    }

    fn count(&self, selector: &str) -> usize {
        Html::parse_document(&self.body)
            .select(&Selector::parse(selector).unwrap())
            .count()
    }
}

struct Bench {
    router: Router,
    _folder: tempfile::TempDir,
}

impl Bench {
    async fn with(start_with: StartWith) -> Self {
        let folder = tempfile::tempdir().unwrap();
        let app = App::create(&folder.path().join("a.db"), start_with)
            .await
            .unwrap();
        Self {
            router: router(Arc::new(app)),
            _folder: folder,
        }
    }

    async fn ask(&self, request: HttpRequest<Body>) -> Answer {
        let response = self.router.clone().oneshot(request).await.unwrap();
        let (status, headers) = (response.status(), response.headers().clone());
        let body = to_bytes(response.into_body(), 64 << 20).await.unwrap();
        Answer {
            status,
            headers,
            body: String::from_utf8(body.to_vec()).unwrap(),
        }
    }

    async fn get(&self, path: &str) -> Answer {
        let request = HttpRequest::get(path)
            .header(header::HOST, "127.0.0.1:4180")
            .body(Body::empty())
            .unwrap();
        self.ask(request).await
    }
}

/// With `LIKEWEAR_LOOKS` set to a folder, the page is written there to be looked at.
fn look(name: &str, answer: &Answer) {
    if let Some(folder) = std::env::var_os("LIKEWEAR_LOOKS") {
        std::fs::write(std::path::Path::new(&folder).join(name), &answer.body).unwrap();
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn every_page_of_the_demo_answers_and_looks_whole() {
    let bench = Bench::with(StartWith::Demo).await;
    let list = bench.get("/").await;
    look("list.html", &list);
    assert_eq!(list.status, StatusCode::OK);
    let trials = bench.get("/api/trials").await.json();
    assert!(trials["total"].as_u64().unwrap() >= 1);
    for trial in trials["trials"].as_array().unwrap() {
        let name = trial["trial"].as_str().unwrap();
        let page = bench.get(&format!("/trials/{name}")).await;
        look(&format!("trial-{name}.html"), &page);
        assert_eq!(page.status, StatusCode::OK, "{name}");
        assert_eq!(page.count("[data-sentence]"), 1, "{name}");
        for wrong in ["NaN", " style=", "Some("] {
            assert!(!page.body.contains(wrong), "{name}: {wrong}");
        }
    }
    let methods = bench.get("/methods").await;
    look("methods.html", &methods);
    for method in bench.get("/api/methods").await.json()["methods"]
        .as_array()
        .unwrap()
    {
        let id = method["method"].as_str().unwrap();
        let page = bench.get(&format!("/methods/{id}")).await;
        look(&format!("method-{id}.html"), &page);
        assert_eq!(page.status, StatusCode::OK, "{id}");
        assert!(page.count("[data-quantity]") >= 1, "{id}");
        assert_eq!(
            bench.get(&format!("/api/methods/{id}")).await.json()["method"],
            id
        );
    }
    let about = bench.get("/about").await;
    look("about.html", &about);
    assert_eq!(about.count("[data-term-table] tbody tr"), 11);
}

#[tokio::test(flavor = "multi_thread")]
async fn page_and_json_say_the_same_and_twice_the_same_bytes() {
    let bench = Bench::with(StartWith::Demo).await;
    let trials = bench.get("/api/trials").await.json();
    let name = trials["trials"][0]["trial"].as_str().unwrap().to_string();
    let path = format!("/api/trials/{name}/standing");
    let first = bench.get(&path).await;
    assert_eq!(first.body, bench.get(&path).await.body);
    let standing = first.json();
    for key in [
        "trial",
        "engine",
        "draws",
        "seed",
        "machine",
        "resemblance_mass",
        "effective_tests",
        "front_runner",
        "leader",
        "runner_up",
        "resolved",
        "breaks_without",
        "weight_from_alike",
        "candidates",
        "tests",
        "alternatives",
        "cautions",
        "gates",
        "run_next",
    ] {
        assert!(standing.get(key).is_some(), "{key} is missing");
    }
    let page = bench.get(&format!("/trials/{name}")).await;
    let candidates = standing["candidates"].as_array().unwrap();
    let shown = page.count("[data-candidate-row]") + page.count("[data-out]");
    assert_eq!(shown, candidates.len());
    assert_eq!(
        page.count("[data-test]"),
        standing["tests"].as_array().unwrap().len()
    );
    // Who failed a requirement stands under those that are out, with the reason.
    let cautions = standing["cautions"].as_array().unwrap().iter();
    let (failed, shown): (Vec<_>, Vec<_>) = cautions.partition(|caution| caution["kind"] == "gate-failed");
    assert_eq!(page.count("[data-caution]"), shown.len());
    assert_eq!(page.count("[data-out]"), failed.len());
    let records = bench.get(&format!("/api/trials/{name}")).await.json();
    let entered = records["results"].as_array().unwrap().len();
    assert!(page.body.contains(&format!("<b>{entered}</b> result")));
}

#[tokio::test(flavor = "multi_thread")]
async fn a_question_is_answered_and_its_address_tidied() {
    let bench = Bench::with(StartWith::Demo).await;
    let trials = bench.get("/api/trials").await.json();
    let name = trials["trials"][0]["trial"].as_str().unwrap().to_string();
    let standing = bench.get(&format!("/api/trials/{name}/standing")).await.json();
    let key = standing["tests"][0]["key"].as_str().unwrap().to_string();
    let asked = bench
        .get(&format!("/trials/{name}?without={key}&draws=400"))
        .await;
    look("asked-demo.html", &asked);
    assert_eq!(asked.status, StatusCode::OK);
    assert_eq!(asked.count("[data-what-if]"), 1);
    for page in [format!("/trials/{name}"), format!("/trials/{name}/what-if")] {
        let moved = bench
            .get(&format!("{page}?without={key}&weight.{key}=&gated="))
            .await;
        assert_eq!(moved.status, StatusCode::SEE_OTHER);
        let to = moved.headers[header::LOCATION].to_str().unwrap();
        assert_eq!(to, format!("{page}?without={key}"));
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn what_cannot_be_used_is_named_and_never_breaks_the_program() {
    let bench = Bench::with(StartWith::Demo).await;
    let trials = bench.get("/api/trials").await.json();
    let name = trials["trials"][0]["trial"].as_str().unwrap().to_string();
    let standing = bench.get(&format!("/api/trials/{name}/standing")).await.json();
    let key = standing["tests"][0]["key"].as_str().unwrap().to_string();
    for (field, value) in [
        (format!("weight.{key}"), "-1"),
        (format!("weight.{key}"), "NaN"),
        (format!("weight.{key}"), "1e308"),
        ("weight.none/such".to_string(), "0.5"),
        ("without".to_string(), "none_such"),
        ("without".to_string(), "%FF"),
        ("draws".to_string(), "1"),
        ("draws".to_string(), "1e9"),
        ("seed".to_string(), "x"),
        ("gated".to_string(), "maybe"),
    ] {
        let query = format!("{field}={value}");
        let json = bench.get(&format!("/api/trials/{name}/standing?{query}")).await;
        assert_eq!(json.status, StatusCode::UNPROCESSABLE_ENTITY, "{query}");
        assert_eq!(
            json.json()["error"]["fields"][0]["field"],
            field.as_str(),
            "{query}"
        );
        let page = bench.get(&format!("/trials/{name}?{query}")).await;
        assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY, "{query}");
        assert!(page.body.contains(&field), "{query}");
    }
    for path in ["/?page=0", "/?page=x", "/api/trials?page=-1"] {
        assert_eq!(
            bench.get(path).await.status,
            StatusCode::UNPROCESSABLE_ENTITY,
            "{path}"
        );
    }
    let far = bench.get("/?page=18446744073709551615").await;
    assert_eq!(far.status, StatusCode::OK);
}

#[tokio::test(flavor = "multi_thread")]
async fn what_is_not_there_is_said_in_the_callers_kind() {
    let bench = Bench::with(StartWith::Nothing).await;
    for path in [
        "/nowhere",
        "/trials/none",
        "/trials/%20",
        "/trials/%FF",
        "/methods/none",
        "/static/0/likewear.css",
    ] {
        let answer = bench.get(path).await;
        assert_eq!(answer.status, StatusCode::NOT_FOUND, "{path}");
    }
    for path in [
        "/api/nowhere",
        "/api/trials/none",
        "/api/trials/none/standing",
        "/api/methods/none",
    ] {
        let answer = bench.get(path).await;
        assert_eq!(answer.status, StatusCode::NOT_FOUND, "{path}");
        assert_eq!(answer.json()["error"]["kind"], "not found", "{path}");
    }
    let empty = bench.get("/").await;
    look("empty.html", &empty);
    assert_eq!(empty.count("[data-empty]"), 1);
    let error = bench.get("/trials/none").await;
    look("error.html", &error);
    assert!(error.count("main a[href='/']") >= 1, "a way onward");
}

#[tokio::test(flavor = "multi_thread")]
async fn every_answer_carries_the_headers_and_only_this_machine_is_answered() {
    let bench = Bench::with(StartWith::Nothing).await;
    for path in ["/", "/healthz", "/nowhere", crate::web::assets::style()] {
        let answer = bench.get(path).await;
        let policy = answer.headers["content-security-policy"].to_str().unwrap();
        assert!(
            policy.starts_with("default-src 'none'") && !policy.contains("unsafe"),
            "{path}"
        );
        assert_eq!(answer.headers["x-content-type-options"], "nosniff", "{path}");
        assert_eq!(answer.headers["referrer-policy"], "same-origin", "{path}");
    }
    for host in ["example.org", "example.org:4180", "127.0.0.1.example.org"] {
        for path in ["/", "/healthz", "/api/trials", crate::web::assets::script()] {
            let request = HttpRequest::get(path)
                .header(header::HOST, host)
                .body(Body::empty())
                .unwrap();
            let answer = bench.ask(request).await;
            assert_eq!(answer.status, StatusCode::FORBIDDEN, "{host} {path}");
            assert!(answer.headers.contains_key("content-security-policy"));
        }
    }
    let nameless = HttpRequest::get("/").body(Body::empty()).unwrap();
    assert_eq!(bench.ask(nameless).await.status, StatusCode::FORBIDDEN);
}

#[tokio::test(flavor = "multi_thread")]
async fn nothing_can_be_posted_to_what_is_read() {
    let bench = Bench::with(StartWith::Nothing).await;
    for path in ["/", "/methods", "/about", "/api/trials", "/trials/none"] {
        let request = HttpRequest::post(path)
            .header(header::HOST, "localhost:4180")
            .body(Body::empty())
            .unwrap();
        assert_eq!(
            bench.ask(request).await.status,
            StatusCode::METHOD_NOT_ALLOWED,
            "{path}"
        );
    }
}

#[test]
fn no_template_lets_markup_through_or_asks_another_machine() {
    let mut folders = vec![std::path::PathBuf::from(concat!(
        env!("CARGO_MANIFEST_DIR"),
        "/templates"
    ))];
    let mut seen = 0;
    while let Some(folder) = folders.pop() {
        for entry in std::fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                folders.push(path);
                continue;
            }
            let text = std::fs::read_to_string(&path).unwrap();
            seen += 1;
            for banned in [
                "|safe",
                "| safe",
                "style=\"",
                "<script>",
                "http://",
                "https://",
                "onclick",
                "{% filter",
            ] {
                assert!(!text.contains(banned), "{}: {banned}", path.display());
            }
        }
    }
    assert!(seen >= 7, "{seen} templates");
}
