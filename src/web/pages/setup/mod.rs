//! `/trials/new` and `/trials/{trial}/setup`: a trial is set up, like a past one or afresh, or set up again while it is
//! not decided. Only "save" writes; every other button shows the same form again.

mod form;
mod typed;
mod words;

use crate::desk::{Desk, DeskError, TrialDraft, copy_of_trial, draft_of_trial, today};
use crate::records::{Dossier, TrialSlug, TrialStatus};
use crate::web::error::{AppError, html};
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

pub(crate) fn router() -> Router<Arc<Desk>> {
    Router::new()
        .route("/trials/new", get(new_trial_form).post(create_trial))
        .route("/trials/{trial}/setup", get(edit_setup_form).post(change_setup))
}

type Trial = Result<Path<String>, PathRejection>;

async fn new_trial_form(State(desk): State<Arc<Desk>>, pairs: Pairs) -> Result<Response, AppError> {
    let from = pairs.0.iter().find(|(field, _)| field == "from");
    let Some(from) = from.map(|(_, slug)| slug.trim()).filter(|slug| !slug.is_empty()) else {
        return html(&form(&desk, &fresh(), None, Show::Wrong).await?);
    };
    let none = || AppError::not_found(words::NO_SUCH_TRIAL_TO_COPY);
    let dossier = desk.dossier(&TrialSlug::new(from).ok_or_else(none)?).await?;
    let copy = TrialDraft {
        opened_on: today(),
        ..copy_of_trial(&dossier.trial)
    };
    let page = form(&desk, &copy, None, Show::Wrong).await?;
    html(&page.copied_from(&dossier.trial.title))
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

async fn edit_setup_form(State(desk): State<Arc<Desk>>, trial: Trial) -> Result<Response, AppError> {
    let dossier = still_open(&desk, trial).await?;
    let draft = draft_of_trial(&dossier.trial);
    html(&form(&desk, &draft, Some(&dossier), Show::Wrong).await?)
}

async fn create_trial(
    State(desk): State<Arc<Desk>>,
    posted: Result<Posted, AppError>,
) -> Result<Response, AppError> {
    answer(&desk, &posted?.with_token()?, None).await
}

async fn change_setup(
    State(desk): State<Arc<Desk>>,
    trial: Trial,
    posted: Result<Posted, AppError>,
) -> Result<Response, AppError> {
    let posted = posted?.with_token()?;
    let dossier = still_open(&desk, trial).await?;
    answer(&desk, &posted, Some(&dossier)).await
}

/// A trial whose set-up may change.
async fn still_open(desk: &Desk, trial: Trial) -> Result<Dossier, AppError> {
    let dossier = desk.dossier(&trial_of(trial)?).await?;
    match dossier.trial.status {
        TrialStatus::Planned | TrialStatus::Running => Ok(dossier),
        status => Err(AppError::conflict(words::set_up_stays_as_it_was(status.word()))),
    }
}

/// Saves what the form holds, or shows it again.
async fn answer(desk: &Desk, posted: &Posted, again: Option<&Dossier>) -> Result<Response, AppError> {
    let doing = Doing::of(posted);
    let typed = changed(draft(posted), doing);
    if doing != Doing::Save {
        return html(&form(desk, &typed, again, Show::Wrong).await?);
    }
    let choices = desk.setup_choices().await?;
    let reading = choices.read(&typed, again);
    let Some(trial) = reading.trial.as_ref() else {
        let page = SetupForm::new(&typed, &choices, again, &reading, Show::All);
        let count = words::fields(reading.faults.len());
        let page = page.refused(words::nothing_is_saved_yet(&count));
        return Ok((StatusCode::UNPROCESSABLE_ENTITY, html(&page)?).into_response());
    };
    let saved = match again {
        None => desk.save_trial(trial).await,
        Some(_) => desk.change_trial(trial).await,
    };
    match saved {
        Ok(()) => {
            let place = format!("/trials/{}/plan", encoded_step(trial.slug.as_str()));
            Ok(Redirect::to(&place).into_response())
        }
        Err(error @ (DeskError::Question { .. } | DeskError::NotCurrent(_))) => {
            let error = AppError::from(error);
            let page = SetupForm::new(&typed, &choices, again, &reading, Show::All);
            let page = page.refused(error.message()).faulted(error.fields());
            Ok((error.status(), html(&page)?).into_response())
        }
        Err(error) => Err(error.into()),
    }
}

async fn form(
    desk: &Desk,
    typed: &TrialDraft,
    again: Option<&Dossier>,
    show: Show,
) -> Result<SetupForm, AppError> {
    let choices = desk.setup_choices().await?;
    let reading = choices.read(typed, again);
    Ok(SetupForm::new(typed, &choices, again, &reading, show))
}
