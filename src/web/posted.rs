//! What a form with a file sends, and what a form without one does.

use crate::web::error::{FieldFault, HttpError};
use crate::web::token;
use axum::body::Bytes;
use axum::extract::multipart::{Field, MultipartError, MultipartRejection};
use axum::extract::rejection::{BytesRejection, FormRejection};
use axum::extract::{Form, FromRequest, Multipart, Request};
use axum::http::StatusCode;
use std::collections::BTreeMap;

/// The most that a file may have, and what a form around it may add.
pub(crate) const MOST_POSTED: usize = (64 << 20) + (1 << 20);

/// The fields of a form, and the file where one was chosen.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(crate) struct Posted {
    fields: BTreeMap<String, String>,
    /// Name and content.
    pub(crate) file: Option<(String, Bytes)>,
}

impl Posted {
    /// A field, empty where the form lacks it.
    pub(crate) fn field(&self, name: &str) -> &str {
        self.fields.get(name).map_or("", String::as_str)
    }

    /// The fields whose names begin so, each under the rest of its name.
    pub(crate) fn under<'a>(&'a self, prefix: &'a str) -> impl Iterator<Item = (&'a str, &'a str)> {
        let named = self.fields.iter();
        named.filter_map(move |(name, value)| Some((name.strip_prefix(prefix)?, value.as_str())))
    }

    /// A field as a text of its own, empty where the form lacks it.
    pub(crate) fn text(&self, name: &str) -> String {
        self.field(name).to_string()
    }

    /// What a request sends, from whichever page.
    ///
    /// # Errors
    /// 400, 413 and 415 where it is no form that is read.
    pub(crate) async fn read<S: Send + Sync>(request: Request, state: &S) -> Result<Self, HttpError> {
        if is_multipart(&request) {
            let parts = Multipart::from_request(request, state).await;
            return read_parts(
                parts.map_err(|rejection: MultipartRejection| HttpError::malformed(rejection.body_text()))?,
            )
            .await;
        }
        let kind = content_type(&request);
        if kind != "application/x-www-form-urlencoded" {
            return Err(HttpError::wrong_type(format!(
                "A form is sent as multipart/form-data or application/x-www-form-urlencoded, not as '{kind}'."
            )));
        }
        let read = Form::<Vec<(String, String)>>::from_request(request, state).await;
        let Form(pairs) =
            read.map_err(|rejection: FormRejection| by_status(rejection.status(), rejection.body_text()))?;
        Ok(Self {
            fields: pairs.into_iter().collect(),
            file: None,
        })
    }
}

/// What a form of ours sends: it carries the token of this run of the program.
impl<S: Send + Sync> FromRequest<S> for Posted {
    type Rejection = HttpError;

    async fn from_request(request: Request, state: &S) -> Result<Self, HttpError> {
        let posted = Self::read(request, state).await?;
        if token::is_ours(posted.field("token")) {
            Ok(posted)
        } else {
            Err(HttpError::no_token())
        }
    }
}

/// Whether a request carries parts.
pub(crate) fn is_multipart(request: &Request) -> bool {
    content_type(request) == "multipart/form-data"
}

/// The kind of a request's content without its parameters, in small letters.
pub(crate) fn content_type(request: &Request) -> String {
    let header = request.headers().get(axum::http::header::CONTENT_TYPE);
    let text = header.and_then(|value| value.to_str().ok()).unwrap_or_default();
    let kind = text.split(';').next().unwrap_or_default().trim();
    kind.chars()
        .filter(|c| !c.is_control())
        .take(80)
        .collect::<String>()
        .to_ascii_lowercase()
}

/// The whole content, up to the limit of its route.
pub(crate) async fn read_all<S: Send + Sync>(request: Request, state: &S) -> Result<Bytes, HttpError> {
    let read = Bytes::from_request(request, state).await;
    read.map_err(|rejection: BytesRejection| by_status(rejection.status(), rejection.body_text()))
}

fn by_status(status: StatusCode, words: String) -> HttpError {
    if status == StatusCode::PAYLOAD_TOO_LARGE {
        HttpError::too_large("More than 64 MB are not taken in at once. Split the file.")
    } else {
        HttpError::malformed(words)
    }
}

async fn read_parts(mut parts: Multipart) -> Result<Posted, HttpError> {
    let failed = |error: MultipartError| by_status(error.status(), error.body_text());
    let mut posted = Posted::default();
    while let Some(part) = parts.next_field().await.map_err(failed)? {
        let name = part.name().unwrap_or_default().to_string();
        match part.file_name().map(str::to_string) {
            Some(file_name) => {
                let bytes = part.bytes().await.map_err(failed)?;
                if !(file_name.is_empty() && bytes.is_empty()) {
                    posted.file = Some((file_name, bytes));
                }
            }
            None => {
                let text = text_of(part).await?;
                posted.fields.insert(name, text);
            }
        }
    }
    Ok(posted)
}

async fn text_of(part: Field<'_>) -> Result<String, HttpError> {
    let name = part.name().unwrap_or_default().to_string();
    let bytes = part
        .bytes()
        .await
        .map_err(|error| by_status(error.status(), error.body_text()))?;
    String::from_utf8(bytes.to_vec())
        .map_err(|_| HttpError::unusable(vec![FieldFault::new(name, "is not UTF-8")]))
}
