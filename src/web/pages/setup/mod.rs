//! `/trials/new` and `/trials/{trial}/setup`: a trial is set up, like a past one or afresh, or set up again while it is
//! not decided. Only "save" writes; every other button shows the same form again.

mod form;

use crate::app::{
    App, MOST_BLENDS, MOST_TESTS, PartDraft, TestDraft, TrialDraft, copy_of_trial, draft_of_trial, today,
};
use crate::records::{TrialRecords, TrialSlug, TrialStatus};
use crate::web::address::At;
use crate::web::error::{HttpError, html, html_as};
use crate::web::pages::form::Faults;
use crate::web::pages::setup::form::SetupForm;
use crate::web::posted::Posted;
use crate::web::question::{Pairs, encoded_step};
use axum::Router;
use axum::extract::State;
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use axum::routing::get;
use std::sync::Arc;

pub(crate) fn router() -> Router<Arc<App>> {
    Router::new()
        .route("/trials/new", get(new_trial_form).post(create_trial))
        .route("/trials/{trial}/setup", get(edit_setup_form).post(change_setup))
}

async fn new_trial_form(State(app): State<Arc<App>>, pairs: Pairs) -> Result<Response, HttpError> {
    let Some(from) = pairs.field("from").filter(|slug| !slug.is_empty()) else {
        return html(&form(&app, &fresh(), None).await?);
    };
    let none = || HttpError::not_found("There is no such trial to set one up like it.");
    let records = app.records(&TrialSlug::new(from).ok_or_else(none)?).await?;
    let copy = TrialDraft {
        opened_on: today().to_string(),
        ..copy_of_trial(&records.trial)
    };
    let page = form(&app, &copy, None).await?;
    html(&page.copied_from(&records.trial.title))
}

/// The draft of a trial of which nothing is typed.
fn fresh() -> TrialDraft {
    let roles = ["candidate", "candidate", "known-good", "known-poor"];
    TrialDraft {
        asks: "choose".to_string(),
        confidence: "medium".to_string(),
        status: "planned".to_string(),
        invented: "no".to_string(),
        opened_on: today().to_string(),
        blends: roles.into_iter().map(empty_part).collect(),
        tests: vec![empty_test(), empty_test()],
        ..TrialDraft::default()
    }
}

async fn edit_setup_form(
    State(app): State<Arc<App>>,
    At(trial): At<TrialSlug>,
) -> Result<Response, HttpError> {
    let records = still_open(&app, &trial).await?;
    let draft = draft_of_trial(&records.trial);
    html(&form(&app, &draft, Some(&records)).await?)
}

async fn create_trial(State(app): State<Arc<App>>, posted: Posted) -> Result<Response, HttpError> {
    answer(&app, &posted, None).await
}

async fn change_setup(
    State(app): State<Arc<App>>,
    At(trial): At<TrialSlug>,
    posted: Posted,
) -> Result<Response, HttpError> {
    let records = still_open(&app, &trial).await?;
    answer(&app, &posted, Some(&records)).await
}

/// A trial whose set-up may change.
async fn still_open(app: &App, trial: &TrialSlug) -> Result<TrialRecords, HttpError> {
    let records = app.records(trial).await?;
    match records.trial.status {
        TrialStatus::Planned | TrialStatus::Running => Ok(records),
        status => Err(HttpError::conflict(format!(
            "This trial is {}; its set-up stays as it was judged. Set up another one like it.",
            status.word()
        ))),
    }
}

/// Saves what the form holds, or shows it again.
async fn answer(app: &App, posted: &Posted, again: Option<&TrialRecords>) -> Result<Response, HttpError> {
    let typed = draft(posted);
    if posted.field("do") != "save" {
        return html(&form(app, &typed, again).await?);
    }
    let choices = app.setup_choices().await?;
    let reading = choices.read(&typed, again);
    let page = |faults: Faults| SetupForm::new(&typed, &choices, again, faults);
    let Some(trial) = &reading.trial else {
        let page = page(Faults::all(&reading.faults));
        return html_as(StatusCode::UNPROCESSABLE_ENTITY, &page);
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
        Err(error) => {
            let (status, faults) = Faults::of_saving(error)?;
            html_as(status, &page(faults))
        }
    }
}

async fn form(app: &App, typed: &TrialDraft, again: Option<&TrialRecords>) -> Result<SetupForm, HttpError> {
    let choices = app.setup_choices().await?;
    let faults = Faults::so_far(&choices.read(typed, again).faults);
    Ok(SetupForm::new(typed, &choices, again, faults))
}

/// What the form sends, with one row more or less where a button asks for it.
fn draft(posted: &Posted) -> TrialDraft {
    let count = |field: &str| posted.field(field).parse::<usize>().unwrap_or_default();
    let blends = 0..count("blends").min(MOST_BLENDS);
    let tests = 0..count("tests").min(MOST_TESTS);
    let mut draft = TrialDraft {
        slug: posted.text("slug"),
        title: posted.text("title"),
        // it is asked in one line, however many the field had
        question: posted
            .field("question")
            .split_whitespace()
            .collect::<Vec<_>>()
            .join(" "),
        short: posted.text("short"),
        asks: posted.text("asks"),
        against: posted.text("against"),
        margin: posted.text("margin"),
        machine: posted.text("machine"),
        confidence: posted.text("confidence"),
        status: posted.text("status"),
        opened_on: posted.text("opened_on"),
        invented: posted.text("invented"),
        blends: blends
            .map(|place| PartDraft {
                blend: posted.text(&format!("b{place}.blend")),
                role: posted.text(&format!("b{place}.role")),
            })
            .collect(),
        tests: tests.map(|place| test(posted, place)).collect(),
    };
    match posted.field("do") {
        "add.blend" if draft.blends.len() < MOST_BLENDS => draft.blends.push(empty_part("candidate")),
        "add.test" if draft.tests.len() < MOST_TESTS => draft.tests.push(empty_test()),
        other => {
            remove(&mut draft.blends, other.strip_prefix("remove.blend."));
            remove(&mut draft.tests, other.strip_prefix("remove.test."));
        }
    }
    draft
}

/// Takes a row away, where there is one at the place.
fn remove<T>(rows: &mut Vec<T>, place: Option<&str>) {
    let place = place.and_then(|place| place.parse::<usize>().ok());
    if let Some(place) = place.filter(|place| *place < rows.len()) {
        rows.remove(place);
    }
}

fn test(posted: &Posted, place: usize) -> TestDraft {
    let text = |field: &str| posted.text(&format!("t{place}.{field}"));
    TestDraft {
        test: text("test"),
        used_to: text("use"),
        limit: text("limit"),
        known_good: text("known_good"),
        known_poor: text("known_poor"),
        cost: text("cost"),
        days: text("days"),
        reason: text("reason"),
    }
}

/// An empty row for a test.
fn empty_test() -> TestDraft {
    TestDraft {
        used_to: "weigh".to_string(),
        ..TestDraft::default()
    }
}

/// An empty row for a blend in a role.
fn empty_part(role: &str) -> PartDraft {
    PartDraft {
        blend: String::new(),
        role: role.to_string(),
    }
}
