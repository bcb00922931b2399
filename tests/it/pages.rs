//! Requests to the whole router over a app with some archive, and what comes back: pages, forms as a browser sends
//! them, JSON.

use crate::apps::desk_at;
use axum::Router;
use axum::body::{Body, to_bytes};
use axum::http::request::Builder;
use axum::http::{Request, header};
use likewear::facade::app::{App, StartWith};
use likewear::facade::web::router;
use scraper::{ElementRef, Html, Selector};
use serde_json::Value;
use std::collections::BTreeMap;
use std::path::PathBuf;
use std::sync::Arc;
use tempfile::TempDir;
use tower::ServiceExt;

/// The fields of a form by name.
pub(crate) type Fields = BTreeMap<String, String>;

/// The router over a file.
pub(crate) struct Pages {
    router: Router,
    pub(crate) app: Arc<App>,
    pub(crate) folder: TempDir,
}

/// What came back.
pub(crate) struct Page {
    pub(crate) status: u16,
    pub(crate) location: String,
    /// Empty where it is no text.
    pub(crate) body: String,
    pub(crate) bytes: Vec<u8>,
}

impl Pages {
    pub(crate) async fn with(start_with: StartWith) -> Self {
        let folder = tempfile::tempdir().unwrap();
        let app = desk_at(&folder.path().join("a.db"), start_with).await;
        Self::over(app, folder)
    }

    /// Over a app whose file is in this folder.
    pub(crate) fn over(app: App, folder: TempDir) -> Self {
        let app = Arc::new(app);
        Self {
            router: router(app.clone()),
            app,
            folder,
        }
    }

    pub(crate) fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    pub(crate) async fn send(&self, request: Builder, body: impl Into<Body>) -> Page {
        let request = request.header(header::HOST, "127.0.0.1:4180");
        let request = request.body(body.into()).unwrap();
        let response = self.router.clone().oneshot(request).await.unwrap();
        let status = response.status().as_u16();
        let location = response.headers().get(header::LOCATION);
        let location = location.map(|place| place.to_str().unwrap().to_string());
        let bytes = to_bytes(response.into_body(), 256 << 20).await.unwrap();
        Page {
            status,
            location: location.unwrap_or_default(),
            body: String::from_utf8(bytes.to_vec()).unwrap_or_default(),
            bytes: bytes.to_vec(),
        }
    }

    pub(crate) async fn get(&self, path: &str) -> Page {
        self.send(Request::get(path), Body::empty()).await
    }

    pub(crate) async fn json(&self, path: &str) -> Value {
        let page = self.get(path).await;
        assert_eq!(page.status, 200, "{path}: {}", page.body);
        page.as_json()
    }

    /// A question as a script on this machine sends it.
    pub(crate) async fn post_json(&self, path: &str, body: impl Into<Body>) -> Page {
        let request = Request::post(path).header(header::CONTENT_TYPE, "application/json");
        self.send(request, body).await
    }

    /// Sends fields as a form of our own page does.
    pub(crate) async fn post(&self, path: &str, fields: &Fields) -> Page {
        let request = Request::post(path)
            .header(header::CONTENT_TYPE, "application/x-www-form-urlencoded")
            .header(header::ORIGIN, "http://127.0.0.1:4180")
            .header("sec-fetch-site", "same-origin");
        self.send(request, encoded(fields)).await
    }
}

/// Fields as a query or as the content of a form.
pub(crate) fn encoded(fields: &Fields) -> String {
    let pair = |(name, value): (&String, &String)| format!("{}={}", escaped(name), escaped(value));
    fields.iter().map(pair).collect::<Vec<_>>().join("&")
}

fn escaped(text: &str) -> String {
    text.bytes()
        .map(|byte| match byte {
            b'a'..=b'z' | b'A'..=b'Z' | b'0'..=b'9' | b'.' | b'-' | b'_' => char::from(byte).to_string(),
            _ => format!("%{byte:02X}"),
        })
        .collect()
}

impl Page {
    pub(crate) fn as_json(&self) -> Value {
        serde_json::from_str(&self.body).unwrap_or_else(|error| panic!("{error}: {}", self.body))
    }

    /// What a browser would send of a form without a button: inputs, areas and selects as they stand.
    pub(crate) fn form(&self, selector: &str) -> Fields {
        let page = Html::parse_document(&self.body);
        let form = page.select(&Selector::parse(selector).unwrap()).next();
        let form = form.unwrap_or_else(|| panic!("no {selector} in {}", self.body));
        let mut fields = Fields::new();
        for field in form.select(&Selector::parse("input, textarea, select").unwrap()) {
            let element = field.value();
            let Some(name) = element.attr("name") else {
                continue;
            };
            let value = match element.name() {
                "textarea" => field
                    .text()
                    .collect::<String>()
                    .trim_start_matches('\n')
                    .to_string(),
                "select" => chosen(field),
                _ => element.attr("value").unwrap_or_default().to_string(),
            };
            fields.insert(name.to_string(), value);
        }
        fields
    }

    pub(crate) fn texts(&self, selector: &str) -> Vec<String> {
        let page = Html::parse_document(&self.body);
        let text = |element: ElementRef<'_>| element.text().collect::<String>().trim().to_string();
        page.select(&Selector::parse(selector).unwrap())
            .map(text)
            .collect()
    }

    /// The values of an attribute of every element that a selector finds.
    pub(crate) fn values_of(&self, selector: &str, attribute: &str) -> Vec<String> {
        let page = Html::parse_document(&self.body);
        page.select(&Selector::parse(selector).unwrap())
            .filter_map(|element| element.value().attr(attribute).map(ToString::to_string))
            .collect()
    }

    /// The value of the first element that a selector finds.
    pub(crate) fn value(&self, selector: &str) -> String {
        let found = self.values_of(selector, "value").into_iter().next();
        found.unwrap_or_else(|| panic!("no {selector} with a value in {}", self.body))
    }

    pub(crate) fn text(&self, selector: &str) -> String {
        self.texts(selector).first().cloned().unwrap_or_default()
    }

    pub(crate) fn count(&self, selector: &str) -> usize {
        self.texts(selector).len()
    }
}

fn chosen(select: ElementRef<'_>) -> String {
    let options = Selector::parse("option").unwrap();
    let all: Vec<ElementRef<'_>> = select.select(&options).collect();
    let marked = all
        .iter()
        .find(|option| option.value().attr("selected").is_some());
    let option = marked.or(all.first());
    option
        .and_then(|option| option.value().attr("value"))
        .unwrap_or_default()
        .to_string()
}

/// Changes one field.
pub(crate) fn set(fields: &mut Fields, name: &str, value: &str) {
    fields.insert(name.to_string(), value.to_string());
}
