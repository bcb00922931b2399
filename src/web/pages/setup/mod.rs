//! `/trials/new` and `/trials/{trial}/setup`: a trial is set up, like a past one or afresh, or set up again while it is
//! not decided. Only "save" writes; every other button shows the same form again.

mod form;
mod typed;
mod words;

use crate::app::{App, AppError, TrialDraft, copy_of_trial, draft_of_trial, today};
use crate::records::{TrialRecords, TrialSlug, TrialStatus};
use crate::web::error::{HttpError, html};
use crate::web::pages::comparison::trial_of;
use crate::web::pages::machines::form::Show;
use crate::web::pages::setup::form::SetupForm;
use crate::web::pages::setup::typed::{Doing, changed, draft, empty_part, empty_test};
use crate::web::posted::Posted;
use crate::web::question::{Pairs, encoded_step};
use axum::Router;
use axum::extract::rejection::PathRejection;
use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use axum::routing::get;
use std::sync::Arc;

pub(crate) fn router() -> Router<Arc<App>> {
    Router::new()
        .route("/trials/new", get(new_trial_form).post(create_trial))
        .route("/trials/{trial}/setup", get(edit_setup_form).post(change_setup))
}

type Trial = Result<Path<String>, PathRejection>;

async fn new_trial_form(State(app): State<Arc<App>>, pairs: Pairs) -> Result<Response, HttpError> {
    let from = pairs.0.iter().find(|(field, _)| field == "from");
    let Some(from) = from.map(|(_, slug)| slug.trim()).filter(|slug| !slug.is_empty()) else {
        return html(&form(&app, &fresh(), None, Show::Wrong).await?);
    };
    let none = || HttpError::not_found(words::NO_SUCH_TRIAL_TO_COPY);
    let records = app.records(&TrialSlug::new(from).ok_or_else(none)?).await?;
    let copy = TrialDraft {
        opened_on: today(),
        ..copy_of_trial(&records.trial)
    };
    let page = form(&app, &copy, None, Show::Wrong).await?;
    html(&page.copied_from(&records.trial.title))
}

/// The draft of a trial of which nothing is typed.
fn fresh() -> TrialDraft {
    let roles = ["candidate", "candidate", "known-good", "known-poor"];
    TrialDraft {
        confidence: "medium".to_string(),
        status: "planned".to_string(),
        invented: "no".to_string(),
        opened_on: today(),
        blends: roles.into_iter().map(empty_part).collect(),
        tests: vec![empty_test(), empty_test()],
        ..TrialDraft::default()
    }
}

async fn edit_setup_form(State(app): State<Arc<App>>, trial: Trial) -> Result<Response, HttpError> {
    let records = still_open(&app, trial).await?;
    let draft = draft_of_trial(&records.trial);
    html(&form(&app, &draft, Some(&records), Show::Wrong).await?)
}

async fn create_trial(
    State(app): State<Arc<App>>,
    posted: Result<Posted, HttpError>,
) -> Result<Response, HttpError> {
    answer(&app, &posted?.with_token()?, None).await
}

async fn change_setup(
    State(app): State<Arc<App>>,
    trial: Trial,
    posted: Result<Posted, HttpError>,
) -> Result<Response, HttpError> {
    let posted = posted?.with_token()?;
    let records = still_open(&app, trial).await?;
    answer(&app, &posted, Some(&records)).await
}

/// A trial whose set-up may change.
async fn still_open(app: &App, trial: Trial) -> Result<TrialRecords, HttpError> {
    let records = app.records(&trial_of(trial)?).await?;
    match records.trial.status {
        TrialStatus::Planned | TrialStatus::Running => Ok(records),
        status => Err(HttpError::conflict(words::set_up_stays_as_it_was(status.word()))),
    }
}

/// Saves what the form holds, or shows it again.
async fn answer(app: &App, posted: &Posted, again: Option<&TrialRecords>) -> Result<Response, HttpError> {
    let doing = Doing::of(posted);
    let typed = changed(draft(posted), doing);
    if doing != Doing::Save {
        return html(&form(app, &typed, again, Show::Wrong).await?);
    }
    let choices = app.setup_choices().await?;
    let reading = choices.read(&typed, again);
    let Some(trial) = reading.trial.as_ref() else {
        let page = SetupForm::new(&typed, &choices, again, &reading, Show::All);
        let count = words::fields(reading.faults.len());
        let page = page.refused(words::nothing_is_saved_yet(&count));
        return Ok((StatusCode::UNPROCESSABLE_ENTITY, html(&page)?).into_response());
    };
    let saved = match again {
        None => app.save_trial(trial).await,
        Some(_) => app.change_trial(trial).await,
    };
    match saved {
        Ok(()) => {
            let place = format!("/trials/{}/plan", encoded_step(trial.slug.as_str()));
            Ok(Redirect::to(&place).into_response())
        }
        Err(error @ (AppError::Question { .. } | AppError::NotCurrent(_))) => {
            let error = HttpError::from(error);
            let page = SetupForm::new(&typed, &choices, again, &reading, Show::All);
            let page = page.refused(error.message()).faulted(error.fields());
            Ok((error.status(), html(&page)?).into_response())
        }
        Err(error) => Err(error.into()),
    }
}

async fn form(
    app: &App,
    typed: &TrialDraft,
    again: Option<&TrialRecords>,
    show: Show,
) -> Result<SetupForm, HttpError> {
    let choices = app.setup_choices().await?;
    let reading = choices.read(typed, again);
    Ok(SetupForm::new(typed, &choices, again, &reading, show))
}
