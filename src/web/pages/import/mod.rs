//! `/import`: results uploaded or pasted, a verdict for each row, and all of it written on confirmation or nothing.

mod pending;
mod preview;

use crate::app::{App, COLUMNS, ColumnWords, ImportPreview, text_of_bytes};
use crate::records::TrialSlug;
use crate::web::address::InAddress;
use crate::web::error::{FieldFault, HttpError, html, html_as};
use crate::web::frame::{Frame, Section};
use crate::web::pages::import::pending::{Kept, find, keep};
use crate::web::pages::import::preview::PreviewPage;
use crate::web::posted::{MOST_POSTED, Posted};
use crate::web::question::{Pairs, encoded};
use askama::Template;
use axum::Router;
use axum::body::Bytes;
use axum::extract::{DefaultBodyLimit, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use axum::routing::{get, post};
use std::sync::Arc;

/// Up to this length a text stands on the page again, so that it can be mended there.
const MENDED_ON_THE_PAGE: usize = 512 * 1024;

pub(crate) fn router() -> Router<Arc<App>> {
    Router::new()
        .route("/import", get(show_form).post(show_preview))
        .route("/import/confirm", post(confirm))
        .layer(DefaultBodyLimit::max(MOST_POSTED))
}

/// The form, with what was typed into it and what is wrong with that.
#[derive(Template)]
#[template(path = "import/form.html")]
pub(crate) struct ImportPage {
    frame: Frame,
    trials: Vec<TrialSlug>,
    chosen: String,
    text: String,
    problem: String,
    faults: Vec<FieldFault>,
    added: Option<usize>,
    columns: &'static [ColumnWords],
}

impl ImportPage {
    fn fault(&self, field: &str) -> &str {
        let found = self.faults.iter().find(|fault| fault.field == field);
        found.map_or("", |fault| fault.problem.as_str())
    }
}

async fn form_page(app: &App, chosen: &str, text: &str) -> Result<ImportPage, HttpError> {
    Ok(ImportPage {
        frame: Frame::new("Import results").of(Section::Import),
        trials: app.trial_names().await?,
        chosen: chosen.to_string(),
        text: text.to_string(),
        problem: String::new(),
        faults: Vec::new(),
        added: None,
        columns: COLUMNS,
    })
}

async fn show_form(State(app): State<Arc<App>>, pairs: Pairs) -> Result<Response, HttpError> {
    let mut page = form_page(&app, pairs.field("trial").unwrap_or_default(), "").await?;
    page.added = pairs.field("added").and_then(|number| number.parse().ok());
    html(&page)
}

/// The form again with what was typed, and what is wrong with it.
async fn form_again(app: &App, posted: &Posted, error: &HttpError) -> Result<Response, HttpError> {
    let mut page = form_page(app, posted.field("trial"), posted.field("text")).await?;
    page.problem = error.message().to_string();
    page.faults = error.fields().to_vec();
    html_as(error.status(), &page)
}

async fn show_preview(State(app): State<Arc<App>>, posted: Posted) -> Result<Response, HttpError> {
    let kept = match chosen(&posted) {
        Ok(kept) => kept,
        Err(error) => return form_again(&app, &posted, &error).await,
    };
    match look(&app, &kept).await {
        Ok(preview) => preview_page(&app, kept, preview, StatusCode::OK).await,
        Err(error) if error.status() == StatusCode::INTERNAL_SERVER_ERROR => Err(error),
        Err(error) => form_again(&app, &posted, &error).await,
    }
}

/// The file, or the text that was pasted.
fn chosen(posted: &Posted) -> Result<Kept, HttpError> {
    let (name, bytes) = match (&posted.file, posted.field("text").trim()) {
        (Some((name, bytes)), "") => (name.clone(), bytes.clone()),
        (None, text) if !text.is_empty() => {
            let text = posted.field("text").replace("\r\n", "\n");
            let name = match posted.field("name").trim() {
                "" => "pasted text",
                name => name,
            };
            (name.to_string(), Bytes::from(text.into_bytes()))
        }
        (None, _) => return Err(refused("file", "Choose a file, or paste rows with their header.")),
        (Some(_), _) => {
            let problem = "A file is chosen and rows are pasted: leave one of the two out.";
            return Err(refused("file", problem));
        }
    };
    Ok(Kept {
        name,
        trial: posted.field("trial").trim().to_string(),
        bytes,
    })
}

fn refused(field: &str, problem: &str) -> HttpError {
    HttpError::unusable(vec![FieldFault::new(field, problem)])
}

fn trial_of(kept: &Kept) -> Result<Option<TrialSlug>, HttpError> {
    if kept.trial.is_empty() {
        return Ok(None);
    }
    let slug = TrialSlug::new(&kept.trial).map(Some);
    slug.ok_or_else(|| refused("trial", TrialSlug::NOTHING))
}

async fn look(app: &App, kept: &Kept) -> Result<ImportPreview, HttpError> {
    let trial = trial_of(kept)?;
    Ok(app
        .preview_import(&kept.bytes, &kept.name, trial.as_ref())
        .await?)
}

async fn preview_page(
    app: &App,
    kept: Kept,
    preview: ImportPreview,
    status: StatusCode,
) -> Result<Response, HttpError> {
    let text = text_of_bytes(&kept.bytes);
    let page = PreviewPage {
        frame: Frame::new("Preview of an import").of(Section::Import),
        counts: preview.counts(),
        preview,
        methods: app.methods().await?,
        trials: app.trial_names().await?,
        chosen: kept.trial.clone(),
        text: (text.len() <= MENDED_ON_THE_PAGE).then_some(text),
        key: keep(kept),
    };
    html_as(status, &page)
}

async fn confirm(State(app): State<Arc<App>>, posted: Posted) -> Result<Response, HttpError> {
    let Some(kept) = find(posted.field("key")) else {
        let words =
            "The preview is older than 30 minutes, or the program was started anew: look at the file again.";
        return form_again(&app, &posted, &HttpError::conflict(words)).await;
    };
    let trial = trial_of(&kept)?;
    let (bytes, name, trial) = (&kept.bytes, &kept.name, trial.as_ref());
    let done = match posted.field("accepted") {
        "" => app.confirm_import(bytes, name, trial).await?,
        _ => app.confirm_asked_import(bytes, name, trial).await?,
    };
    if !done.written {
        return preview_page(&app, kept, done, StatusCode::CONFLICT).await;
    }
    let trial = encoded(&kept.trial);
    Ok(Redirect::to(&format!("/import?added={}&trial={trial}", done.counts().new)).into_response())
}
