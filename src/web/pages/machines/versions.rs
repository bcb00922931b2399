//! The versions of a machine: what each changed, which trials are judged with it, and `/trials/{trial}/machine`, where
//! a trial adopts another one.

use crate::app::{App, MachineView, TrialHead};
use crate::prose::machine::{MachineChange, machine_changes};
use crate::records::{Machine, TrialRecords, TrialSlug};

use crate::web::address::At;
use crate::web::error::{HttpError, html, html_as};
use crate::web::figures;
use crate::web::frame::{Frame, Tab};
use crate::web::pages::form::{Field, Shape};
use crate::web::posted::Posted;
use crate::web::question::encoded;
use askama::Template;
use axum::Router;
use axum::extract::State;
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use axum::routing::get;
use std::sync::Arc;

/// A version in the list of a machine.
pub(super) struct VersionLine<'a> {
    pub(super) machine: &'a Machine,
    pub(super) changes: Vec<MachineChange>,
    /// The trials that are judged with it.
    pub(super) trials: Vec<&'a TrialHead>,
}

/// All versions, the newest first.
pub(super) fn version_lines(view: &MachineView) -> Vec<VersionLine<'_>> {
    let versions = view.versions.iter().rev();
    versions
        .map(|machine| {
            let is_before = |earlier: &&Machine| earlier.version + 1 == machine.version;
            let before = view.versions.iter().find(is_before);
            let is_judged = |head: &&TrialHead| head.machine_version == machine.version;
            VersionLine {
                machine,
                changes: before.map_or_else(Vec::new, |before| machine_changes(before, machine)),
                trials: view.trials.iter().filter(is_judged).collect(),
            }
        })
        .collect()
}

pub(super) fn router() -> Router<Arc<App>> {
    Router::new().route("/trials/{trial}/machine", get(show_version).post(adopt_version))
}

/// The page on which a trial adopts another version.
#[derive(Template)]
#[template(path = "machines/adopt.html")]
struct AdoptPage {
    frame: Frame,
    records: TrialRecords,
    /// The other versions, the newest first, each with what it says differently.
    offers: Vec<(Machine, Vec<MachineChange>)>,
    chosen: u32,
    reason: Field,
    problem: String,
}

async fn page(
    app: &App,
    trial: &TrialSlug,
    chosen: Option<u32>,
    reason: &str,
) -> Result<AdoptPage, HttpError> {
    let records = app.records(trial).await?;
    let versions = app.machine_versions(&records.trial.machine).await?;
    let others = versions.into_iter().rev();
    let others = others.filter(|other| other.version != records.trial.machine_version);
    Ok(AdoptPage {
        frame: Frame::new(format!("Machine version of {}", records.trial.title))
            .in_trial(&records, Tab::SetUp),
        offers: others
            .map(|other| {
                let changes = machine_changes(&records.machine, &other);
                (other, changes)
            })
            .collect(),
        chosen: chosen.unwrap_or(records.newest_machine_version),
        reason: Field::line("Why it is judged with that version from now on", "reason", reason),
        problem: String::new(),
        records,
    })
}

async fn show_version(State(app): State<Arc<App>>, At(trial): At<TrialSlug>) -> Result<Response, HttpError> {
    html(&page(&app, &trial, None, "").await?)
}

async fn adopt_version(
    State(app): State<Arc<App>>,
    At(trial): At<TrialSlug>,
    posted: Posted,
) -> Result<Response, HttpError> {
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
    html_as(status, &page)
}
