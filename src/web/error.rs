//! One error for all pages and all JSON: a status, words for the reader, the fields that caused it. What broke inside
//! is logged once and never shown.

use crate::app::AppError;
use crate::web::frame::Frame;
use crate::web::unbroken::{Piece, pieces};
use crate::web::words;
use askama::Template;
use axum::Json;
use axum::http::StatusCode;
use axum::response::{Html, IntoResponse, Response};
use serde::Serialize;

/// A field of a request that cannot be used, and why.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub(crate) struct FieldFault {
    /// The field as the request names it.
    pub(crate) field: String,
    /// What is wrong with it, with the mend.
    pub(crate) problem: String,
}

impl FieldFault {
    /// A fault of a field.
    pub(crate) fn new(field: impl Into<String>, problem: impl Into<String>) -> Self {
        Self {
            field: field.into(),
            problem: problem.into(),
        }
    }
}

/// Why a request is not answered with what it asked for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct HttpError {
    status: StatusCode,
    kind: &'static str,
    message: String,
    fields: Vec<FieldFault>,
}

impl HttpError {
    fn new(status: StatusCode, kind: &'static str, message: impl Into<String>) -> Self {
        Self {
            status,
            kind,
            message: message.into(),
            fields: Vec::new(),
        }
    }

    /// There is nothing at this address.
    pub(crate) fn not_found(what: impl Into<String>) -> Self {
        Self::new(StatusCode::NOT_FOUND, "not found", what)
    }

    /// The request names values that cannot be used.
    pub(crate) fn unusable(fields: Vec<FieldFault>) -> Self {
        let message = match fields.as_slice() {
            [one] => format!("{}: {}", one.field, one.problem),
            _ => words::SEVERAL_VALUES_CANNOT_BE_USED.to_string(),
        };
        Self {
            fields,
            ..Self::new(StatusCode::UNPROCESSABLE_ENTITY, "unusable value", message)
        }
    }

    /// The address names another host than this machine.
    pub(crate) fn foreign_host(host: &str) -> Self {
        let shown: String = host.chars().filter(|c| !c.is_control()).take(80).collect();
        Self::new(
            StatusCode::FORBIDDEN,
            "foreign host",
            words::answers_on_this_machine_only(&shown),
        )
    }

    /// The request comes from a page that is not ours.
    pub(crate) fn foreign_origin(origin: &str) -> Self {
        let shown: String = origin.chars().filter(|c| !c.is_control()).take(80).collect();
        Self::new(
            StatusCode::FORBIDDEN,
            "foreign origin",
            words::takes_nothing_from(&shown),
        )
    }

    /// The form lacks the token of this run of the program.
    pub(crate) fn no_token() -> Self {
        Self::new(StatusCode::FORBIDDEN, "no token", words::FORM_OF_ANOTHER_RUN)
    }

    /// The request is longer than what is taken in.
    pub(crate) fn too_large(words: impl Into<String>) -> Self {
        Self::new(StatusCode::PAYLOAD_TOO_LARGE, "too large", words)
    }

    /// The request's content is of a kind that is not read.
    pub(crate) fn wrong_type(words: impl Into<String>) -> Self {
        Self::new(StatusCode::UNSUPPORTED_MEDIA_TYPE, "wrong type", words)
    }

    /// The request cannot be carried out any more.
    pub(crate) fn conflict(words: impl Into<String>) -> Self {
        Self::new(StatusCode::CONFLICT, "conflict", words)
    }

    /// The request is not whole.
    pub(crate) fn malformed(words: impl Into<String>) -> Self {
        Self::new(StatusCode::BAD_REQUEST, "malformed", words)
    }

    /// Its status.
    pub(crate) fn status(&self) -> StatusCode {
        self.status
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
        serde_json::json!({"kind": self.kind, "message": self.message, "fields": self.fields})
    }

    /// The method does not belong to the address.
    pub(crate) fn wrong_method() -> Self {
        Self::new(
            StatusCode::METHOD_NOT_ALLOWED,
            "wrong method",
            words::ADDRESS_DOES_NOT_ANSWER_TO_THAT_METHOD,
        )
    }

    /// Something broke inside. It is logged here, once.
    pub(crate) fn inside(cause: impl std::fmt::Display) -> Self {
        tracing::error!(%cause, "a request could not be answered");
        Self::new(
            StatusCode::INTERNAL_SERVER_ERROR,
            "inside",
            words::SOMETHING_BROKE,
        )
    }

    /// As JSON.
    pub(crate) fn into_json(self) -> Response {
        let envelope = serde_json::json!({"error": self.as_json()});
        (self.status, Json(envelope)).into_response()
    }

    fn heading(&self) -> &'static str {
        match self.status {
            StatusCode::NOT_FOUND => words::THERE_IS_NOTHING_HERE,
            StatusCode::FORBIDDEN => words::NOT_FROM_THERE,
            StatusCode::UNPROCESSABLE_ENTITY => words::A_VALUE_CANNOT_BE_USED,
            StatusCode::METHOD_NOT_ALLOWED => words::NOT_IN_THIS_WAY,
            StatusCode::CONFLICT => words::NOT_ANY_MORE,
            StatusCode::PAYLOAD_TOO_LARGE => words::TOO_MUCH_AT_ONCE,
            StatusCode::UNSUPPORTED_MEDIA_TYPE => words::NOT_A_CSV_FILE,
            StatusCode::BAD_REQUEST => words::THE_REQUEST_IS_NOT_WHOLE,
            _ => words::THE_PROGRAM_COULD_NOT_ANSWER,
        }
    }
}

#[derive(Template)]
#[template(path = "error/page.html")]
struct ErrorPage {
    frame: Frame,
    status: u16,
    heading: &'static str,
    message: Vec<Piece>,
    fields: Vec<FieldFault>,
}

impl IntoResponse for HttpError {
    fn into_response(self) -> Response {
        let heading = self.heading();
        let page = ErrorPage {
            frame: Frame::new(heading),
            status: self.status.as_u16(),
            heading,
            message: pieces(&self.message),
            fields: if self.fields.len() > 1 {
                self.fields
            } else {
                Vec::new()
            },
        };
        match page.render() {
            Ok(html) => (self.status, Html(html)).into_response(),
            Err(cause) => {
                tracing::error!(%cause, "the error page could not be written");
                self.status.into_response()
            }
        }
    }
}

impl From<askama::Error> for HttpError {
    fn from(cause: askama::Error) -> Self {
        Self::inside(cause)
    }
}

impl From<AppError> for HttpError {
    fn from(error: AppError) -> Self {
        match error {
            AppError::NoSuchTrial(name) => {
                let shown: String = name.chars().filter(|c| !c.is_control()).take(120).collect();
                Self::not_found(words::there_is_no_trial(&shown))
            }
            AppError::NoSuchResult(id) => Self::not_found(words::this_trial_has_no_result(id)),
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

/// An error that leaves as JSON.
pub(crate) struct JsonError(pub(crate) HttpError);

impl From<HttpError> for JsonError {
    fn from(error: HttpError) -> Self {
        Self(error)
    }
}

impl IntoResponse for JsonError {
    fn into_response(self) -> Response {
        self.0.into_json()
    }
}
