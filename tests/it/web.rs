//! Requests to the whole router over a desk with some archive.

use crate::desks::desk_at;
use axum::Router;
use axum::body::{Body, to_bytes};
use axum::http::{Request, header};
use likewear::desk::StartWith;
use likewear::web::router;
use scraper::{Html, Selector};
use serde_json::Value;
use std::path::PathBuf;
use std::sync::Arc;
use tower::ServiceExt;

/// A router with the file behind it.
pub(crate) struct Bench {
    router: Router,
    pub(crate) path: PathBuf,
    _folder: tempfile::TempDir,
}

/// An answer.
pub(crate) struct Answer {
    pub(crate) status: u16,
    pub(crate) body: String,
}

impl Bench {
    pub(crate) async fn with(start_with: StartWith) -> Self {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("a.db");
        let desk = desk_at(&path, start_with).await;
        Self {
            router: router(Arc::new(desk)),
            path,
            _folder: folder,
        }
    }

    pub(crate) async fn get(&self, path: &str) -> Answer {
        let request = Request::get(path).header(header::HOST, "127.0.0.1:4180");
        let request = request.body(Body::empty()).unwrap();
        let response = self.router.clone().oneshot(request).await.unwrap();
        let status = response.status().as_u16();
        let body = to_bytes(response.into_body(), 64 << 20).await.unwrap();
        Answer {
            status,
            body: String::from_utf8(body.to_vec()).unwrap(),
        }
    }

    /// A question as a script on this machine sends it.
    pub(crate) async fn post(&self, path: &str, body: impl Into<String>) -> Answer {
        let request = Request::post(path)
            .header(header::HOST, "127.0.0.1:4180")
            .header(header::CONTENT_TYPE, "application/json");
        let request = request.body(Body::from(body.into())).unwrap();
        let response = self.router.clone().oneshot(request).await.unwrap();
        let status = response.status().as_u16();
        let body = to_bytes(response.into_body(), 64 << 20).await.unwrap();
        Answer {
            status,
            body: String::from_utf8(body.to_vec()).unwrap(),
        }
    }

    pub(crate) async fn json(&self, path: &str) -> Value {
        let answer = self.get(path).await;
        assert_eq!(answer.status, 200, "{path}: {}", answer.body);
        serde_json::from_str(&answer.body).unwrap()
    }
}

impl Answer {
    pub(crate) fn as_json(&self) -> Value {
        serde_json::from_str(&self.body).unwrap_or_else(|error| panic!("{error}: {}", self.body))
    }

    /// A data attribute of every element that a selector finds.
    pub(crate) fn all(&self, selector: &str, attribute: &str) -> Vec<String> {
        let page = Html::parse_document(&self.body);
        page.select(&Selector::parse(selector).unwrap())
            .filter_map(|element| element.value().attr(attribute).map(ToString::to_string))
            .collect()
    }

    pub(crate) fn texts(&self, selector: &str) -> Vec<String> {
        let page = Html::parse_document(&self.body);
        let text = |element: scraper::ElementRef<'_>| element.text().collect::<String>().trim().to_string();
        page.select(&Selector::parse(selector).unwrap())
            .map(text)
            .collect()
    }

    pub(crate) fn count(&self, selector: &str) -> usize {
        let page = Html::parse_document(&self.body);
        page.select(&Selector::parse(selector).unwrap()).count()
    }
}
