//! `POST /api/import`: a file of results taken in, or what would become of it.

use crate::app::{App, CellProblem, ImportPreview};
use crate::records::TrialSlug;
use crate::web::error::{FieldFault, HttpError};
use crate::web::posted::{MOST_POSTED, Posted, content_type, is_multipart, read_all};
use crate::web::question::Pairs;
use axum::body::Bytes;
use axum::extract::{DefaultBodyLimit, Request, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use axum::routing::post;
use axum::{Json, Router};
use serde_json::{Value, json};
use std::sync::Arc;

/// Kinds of content that are read as a file's bytes; an absent kind is too.
const READ_AS_BYTES: [&str; 7] = [
    "",
    "text/csv",
    "text/plain",
    "text/tab-separated-values",
    "application/csv",
    "application/vnd.ms-excel",
    "application/octet-stream",
];

pub(crate) fn router() -> Router<Arc<App>> {
    Router::new()
        .route("/api/import", post(import))
        .layer(DefaultBodyLimit::max(MOST_POSTED))
}

/// Whether the file is to be written.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Wanted {
    Look,
    Write,
}

async fn import(State(app): State<Arc<App>>, pairs: Pairs, request: Request) -> Result<Response, HttpError> {
    let wanted = wanted(&pairs)?;
    let trial = trial(&pairs)?;
    let (name, bytes) = content(request, &pairs).await?;
    let done = match wanted {
        Wanted::Look => app.preview_import(&bytes, &name, trial.as_ref()).await,
        Wanted::Write => app.confirm_import(&bytes, &name, trial.as_ref()).await,
    };
    let done = done.map_err(HttpError::from)?;
    Ok(answer(&done, wanted))
}

fn wanted(pairs: &Pairs) -> Result<Wanted, HttpError> {
    match pairs.field("check").unwrap_or_default() {
        "1" => Ok(Wanted::Look),
        "" | "0" => Ok(Wanted::Write),
        _ => Err(HttpError::unusable(vec![FieldFault::new(
            "check",
            "write 1 to look only, or leave it away",
        )])),
    }
}

fn trial(pairs: &Pairs) -> Result<Option<TrialSlug>, HttpError> {
    match pairs.field("trial").unwrap_or_default() {
        "" => Ok(None),
        text => TrialSlug::new(text)
            .map(Some)
            .ok_or_else(|| HttpError::not_found("No trial has this name.")),
    }
}

/// The file's name and bytes, sent as they are or in a form.
async fn content(request: Request, pairs: &Pairs) -> Result<(String, Bytes), HttpError> {
    if is_multipart(&request) {
        let posted = Posted::read(request, &()).await?;
        return posted
            .file
            .clone()
            .ok_or_else(|| HttpError::unusable(vec![FieldFault::new("file", "the form carries no file")]));
    }
    let kind = content_type(&request);
    if !READ_AS_BYTES.contains(&kind.as_str()) {
        return Err(HttpError::wrong_type(format!(
            "'{kind}' is not read; send text/csv, text/plain or a form with a file."
        )));
    }
    let name = pairs.field("name").filter(|name| !name.is_empty());
    Ok((
        name.unwrap_or("posted file").to_string(),
        read_all(request, &()).await?,
    ))
}

/// What became of the file. A file that was to be written and was not is an error too, with the same members.
fn answer(done: &ImportPreview, wanted: Wanted) -> Response {
    let counts = done.counts();
    let (refusals, questions) = (done.refusals(), done.questions());
    let named = |(row, line, problem): &(u64, u64, CellProblem)| {
        json!({
            "row": row, "line": line, "column": problem.column, "text": problem.text, "problem": problem.problem,
        })
    };
    let refused: Vec<Value> = refusals.iter().map(named).collect();
    let asked: Vec<Value> = questions.iter().map(named).collect();
    let mut body = json!({
        "new": counts.new,
        "same": counts.same,
        "changes": counts.changes,
        "refused": refused,
        "asked": asked,
        "not_run": counts.not_run,
        "written": done.written,
    });
    if wanted == Wanted::Look || done.written {
        return Json(body).into_response();
    }
    let faults = refusals.iter().chain(&questions).map(|(row, _, problem)| {
        let place = match problem.column.as_str() {
            "" => format!("row {row}"),
            column => format!("row {row}, {column}"),
        };
        FieldFault::new(place, problem.problem.clone())
    });
    let error = HttpError::unusable(faults.collect());
    body["error"] = error.as_json();
    let status = if counts.refused + counts.asked > 0 {
        StatusCode::UNPROCESSABLE_ENTITY
    } else {
        StatusCode::CONFLICT
    };
    (status, Json(body)).into_response()
}
