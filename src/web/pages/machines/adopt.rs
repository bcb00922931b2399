//! `/trials/{trial}/machine`: with which version of its machine a trial is judged, what later versions say differently,
//! and the form that adopts another one.

use crate::app::App;
use crate::records::{Machine, TrialRecords, TrialSlug};
use crate::web::error::{HttpError, html};
use crate::web::frame::{Frame, Section};
use crate::web::pages::comparison::trial_of;
use crate::web::pages::machines::field::{Field, Input, Shape};
use crate::web::pages::machines::href;
use crate::web::pages::machines::versions::{ChangeLine, change_lines};
use crate::web::pages::machines::words;
use crate::web::posted::Posted;
use crate::web::question::encoded;
use askama::Template;
use axum::Router;
use axum::extract::rejection::PathRejection;
use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use axum::routing::get;
use std::sync::Arc;

pub(super) fn router() -> Router<Arc<App>> {
    Router::new().route("/trials/{trial}/machine", get(show_version).post(adopt_version))
}

type Trial = Result<Path<String>, PathRejection>;

struct Step {
    at: String,
    from: u32,
    to: u32,
    reason: String,
}

struct Offer {
    number: u32,
    change: String,
    lines: Vec<ChangeLine>,
}

/// The page.
#[derive(Template)]
#[template(path = "machines/adopt.html")]
struct AdoptPage {
    frame: Frame,
    slug: String,
    title: String,
    machine: String,
    machine_href: String,
    version: u32,
    newest: u32,
    steps: Vec<Step>,
    offers: Vec<Offer>,
    chosen: u32,
    reason: Field,
    problem: String,
}

impl AdoptPage {
    fn new(records: &TrialRecords, versions: &[Machine], chosen: u32, reason: &str) -> Self {
        let trial = &records.trial;
        let steps = trial.adoptions.iter().map(|step| Step {
            at: step.adopted_at.get(..10).unwrap_or_default().to_string(),
            from: step.from_version,
            to: step.to_version,
            reason: step.reason.clone(),
        });
        let others = versions
            .iter()
            .rev()
            .filter(|other| other.version != trial.machine_version);
        Self {
            frame: Frame::new(words::machine_version_of(&trial.title))
                .of(Section::Trials)
                .showing(trial.invented.into()),
            slug: encoded(trial.slug.as_str()),
            title: trial.title.clone(),
            machine: records.machine.name.clone(),
            machine_href: href(&records.machine.slug),
            version: trial.machine_version,
            newest: records.newest_machine_version,
            steps: steps.collect(),
            offers: others
                .map(|other| Offer {
                    number: other.version,
                    change: other.change.clone(),
                    lines: change_lines(&records.machine, other),
                })
                .collect(),
            chosen,
            reason: Field::line(words::WHY_THAT_VERSION_FROM_NOW_ON, Input::new("reason", reason)),
            problem: String::new(),
        }
    }
}

async fn page(
    app: &App,
    trial: &TrialSlug,
    chosen: Option<u32>,
    reason: &str,
) -> Result<AdoptPage, HttpError> {
    let records = app.records(trial).await?;
    let versions = app.machine_versions(&records.trial.machine).await?;
    let chosen = chosen.unwrap_or(records.newest_machine_version);
    Ok(AdoptPage::new(&records, &versions, chosen, reason))
}

async fn show_version(State(app): State<Arc<App>>, trial: Trial) -> Result<Response, HttpError> {
    html(&page(&app, &trial_of(trial)?, None, "").await?)
}

async fn adopt_version(
    State(app): State<Arc<App>>,
    trial: Trial,
    posted: Result<Posted, HttpError>,
) -> Result<Response, HttpError> {
    let trial = trial_of(trial)?;
    let posted = posted?.with_token()?;
    let reason = posted.field("reason");
    let version = posted.field("version").parse::<u32>().unwrap_or_default();
    let error = match app.adopt_version(&trial, version, reason).await {
        Ok(()) => {
            let place = format!("/trials/{}", encoded(trial.as_str()));
            return Ok(Redirect::to(&place).into_response());
        }
        Err(error) => HttpError::from(error),
    };
    let status = error.status();
    if !matches!(status, StatusCode::UNPROCESSABLE_ENTITY | StatusCode::CONFLICT) {
        return Err(error);
    }
    let mut page = page(&app, &trial, Some(version), reason).await?;
    let of_reason = error.fields().iter().find(|fault| fault.field == "reason");
    match of_reason {
        Some(fault) => page.reason.fault = fault.problem.clone(),
        None => page.problem = error.message().to_string(),
    }
    Ok((status, html(&page)?).into_response())
}
