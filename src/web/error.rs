//! One error for all pages and all JSON: its kind, words for the reader, the fields that caused it. It is written as JSON
//! or as a page by the address that was asked. What broke inside is logged once and never shown.

pub(crate) use crate::app::FieldFault;
use crate::app::{AppError, shown};
use crate::web::frame::Frame;
use crate::web::unbroken::{Piece, pieces};
use askama::Template;
use axum::Json;
use axum::extract::Request;
use axum::http::{StatusCode, header};
use axum::middleware::Next;
use axum::response::{Html, IntoResponse, Response};
use std::error::Error;
use std::sync::Arc;

/// Of what kind an error is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Kind {
    NotFound,
    Unusable,
    ForeignHost,
    ForeignOrigin,
    NoToken,
    TooLarge,
    WrongType,
    Conflict,
    Malformed,
    WrongMethod,
    Inside,
}

impl Kind {
    /// Its status, its word in JSON, and the heading of its page.
    fn words(self) -> (StatusCode, &'static str, &'static str) {
        match self {
            Self::NotFound => (StatusCode::NOT_FOUND, "not found", "There is nothing here"),
            Self::Unusable => (
                StatusCode::UNPROCESSABLE_ENTITY,
                "unusable value",
                "A value cannot be used",
            ),
            Self::ForeignHost => (StatusCode::FORBIDDEN, "foreign host", "Not from there"),
            Self::ForeignOrigin => (StatusCode::FORBIDDEN, "foreign origin", "Not from there"),
            Self::NoToken => (StatusCode::FORBIDDEN, "no token", "Not from there"),
            Self::TooLarge => (StatusCode::PAYLOAD_TOO_LARGE, "too large", "Too much at once"),
            Self::WrongType => (StatusCode::UNSUPPORTED_MEDIA_TYPE, "wrong type", "Not a CSV file"),
            Self::Conflict => (StatusCode::CONFLICT, "conflict", "Not any more"),
            Self::Malformed => (StatusCode::BAD_REQUEST, "malformed", "The request is not whole"),
            Self::WrongMethod => (StatusCode::METHOD_NOT_ALLOWED, "wrong method", "Not in this way"),
            Self::Inside => (
                StatusCode::INTERNAL_SERVER_ERROR,
                "inside",
                "The program could not answer",
            ),
        }
    }
}

/// Why a request is not answered with what it asked for.
#[derive(Clone, Debug)]
pub(crate) struct HttpError {
    kind: Kind,
    message: String,
    fields: Vec<FieldFault>,
    /// What broke inside.
    source: Option<Arc<dyn Error + Send + Sync>>,
}

impl HttpError {
    fn new(kind: Kind, message: impl Into<String>) -> Self {
        Self {
            kind,
            message: message.into(),
            fields: Vec::new(),
            source: None,
        }
    }

    /// There is nothing at this address.
    pub(crate) fn not_found(what: impl Into<String>) -> Self {
        Self::new(Kind::NotFound, what)
    }

    /// The request names values that cannot be used.
    pub(crate) fn unusable(fields: Vec<FieldFault>) -> Self {
        let message = match fields.as_slice() {
            [one] => format!("{}: {}", one.field, one.problem),
            _ => "Several values cannot be used.".to_string(),
        };
        Self {
            fields,
            ..Self::new(Kind::Unusable, message)
        }
    }

    /// The address names another host than this machine.
    pub(crate) fn foreign_host(host: &str) -> Self {
        let host = shown(host);
        let message = format!("This program answers on this machine only, not as '{host}'.");
        Self::new(Kind::ForeignHost, message)
    }

    /// The request comes from a page that is not ours.
    pub(crate) fn foreign_origin(origin: &str) -> Self {
        let origin = shown(origin);
        let message = format!("This program takes nothing from '{origin}', only from its own pages.");
        Self::new(Kind::ForeignOrigin, message)
    }

    /// The form lacks the token of this run of the program.
    pub(crate) fn no_token() -> Self {
        Self::new(
            Kind::NoToken,
            "This form is not one of this run of the program. Open its page again and send it from there.",
        )
    }

    /// The request is longer than what is taken in.
    pub(crate) fn too_large(words: impl Into<String>) -> Self {
        Self::new(Kind::TooLarge, words)
    }

    /// The request's content is of a kind that is not read.
    pub(crate) fn wrong_type(words: impl Into<String>) -> Self {
        Self::new(Kind::WrongType, words)
    }

    /// The request cannot be carried out any more.
    pub(crate) fn conflict(words: impl Into<String>) -> Self {
        Self::new(Kind::Conflict, words)
    }

    /// The request is not whole.
    pub(crate) fn malformed(words: impl Into<String>) -> Self {
        Self::new(Kind::Malformed, words)
    }

    /// The method does not belong to the address.
    pub(crate) fn wrong_method() -> Self {
        Self::new(Kind::WrongMethod, "This address does not answer to that method.")
    }

    /// Something broke inside.
    pub(crate) fn inside(cause: impl Into<Box<dyn Error + Send + Sync>>) -> Self {
        let message = "Something broke in the program. The cause stands in its log.";
        Self {
            source: Some(Arc::from(cause.into())),
            ..Self::new(Kind::Inside, message)
        }
    }

    /// Its status.
    pub(crate) fn status(&self) -> StatusCode {
        self.kind.words().0
    }

    /// Its words for the reader.
    pub(crate) fn message(&self) -> &str {
        &self.message
    }

    /// The fields that caused it.
    pub(crate) fn fields(&self) -> &[FieldFault] {
        &self.fields
    }

    /// Its kind, words and fields as JSON.
    pub(crate) fn as_json(&self) -> serde_json::Value {
        let (_, kind, _) = self.kind.words();
        serde_json::json!({"kind": kind, "message": self.message, "fields": self.fields})
    }

    fn as_page(&self) -> Response {
        let (status, _, heading) = self.kind.words();
        let page = ErrorPage {
            frame: Frame::new(heading),
            status: status.as_u16(),
            heading,
            message: pieces(&self.message),
            fields: if self.fields.len() > 1 { &self.fields } else { &[] },
        };
        match page.render() {
            Ok(html) => Html(html).into_response(),
            Err(cause) => {
                tracing::error!(%cause, "the error page could not be written");
                ().into_response()
            }
        }
    }
}

#[derive(Template)]
#[template(path = "error/page.html")]
struct ErrorPage<'a> {
    frame: Frame,
    status: u16,
    heading: &'static str,
    message: Vec<Piece>,
    fields: &'a [FieldFault],
}

/// The status alone, with the error for [`write_errors`].
impl IntoResponse for HttpError {
    fn into_response(self) -> Response {
        let mut response = self.status().into_response();
        response.extensions_mut().insert(self);
        response
    }
}

/// Writes an error in the kind of the address: JSON for callers of the interface, a page for readers. What broke inside is
/// logged here, with its causes.
pub(crate) async fn write_errors(request: Request, next: Next) -> Response {
    let is_interface = request.uri().path().starts_with("/api/");
    let mut response = next.run(request).await;
    let Some(error) = response.extensions_mut().remove::<HttpError>() else {
        return response;
    };
    if let Some(source) = &error.source {
        let mut cause = source.to_string();
        let mut deeper = source.source();
        while let Some(source) = deeper {
            cause.push_str(&format!(": {source}"));
            deeper = source.source();
        }
        tracing::error!(%cause, "a request could not be answered");
    }
    let written = if is_interface {
        Json(serde_json::json!({"error": error.as_json()})).into_response()
    } else {
        error.as_page()
    };
    // What was set besides stays, such as the methods that an address allows.
    let (mut head, _) = response.into_parts();
    let (written, body) = written.into_parts();
    head.headers.remove(header::CONTENT_LENGTH);
    head.headers.extend(written.headers);
    Response::from_parts(head, body)
}

impl From<askama::Error> for HttpError {
    fn from(cause: askama::Error) -> Self {
        Self::inside(cause)
    }
}

impl From<AppError> for HttpError {
    fn from(error: AppError) -> Self {
        match error {
            AppError::NoSuchTrial(name) => Self::not_found(format!("There is no trial '{}'.", shown(&name))),
            AppError::NoSuchResult(id) => Self::not_found(format!("This trial has no result {id}.")),
            AppError::NotCurrent(words) => Self::conflict(sentence(&words)),
            AppError::TooLarge(words) => Self::too_large(sentence(&words)),
            AppError::NotText(words) => Self::wrong_type(sentence(&words)),
            AppError::Question { field, problem } => Self::unusable(vec![FieldFault { field, problem }]),
            inside => Self::inside(inside),
        }
    }
}

/// Words with a capital and a full stop.
fn sentence(words: &str) -> String {
    let mut characters = words.chars();
    let first = characters.next().map(|c| c.to_uppercase().to_string());
    format!("{}{}.", first.unwrap_or_default(), characters.as_str())
}

/// A page as a response.
pub(crate) fn html(page: &impl Template) -> Result<Response, HttpError> {
    Ok(Html(page.render()?).into_response())
}

/// A page as a response of a status.
pub(crate) fn html_as(status: StatusCode, page: &impl Template) -> Result<Response, HttpError> {
    Ok((status, html(page)?).into_response())
}
