//! `/machines/new` and `/machines/{slug}/edit`: a machine is entered or changed. Only "save" writes; every other button
//! shows the same form again with what it comes to.

use crate::desk::{ContactDraft, Desk, DeskError, MachineDraft, Making, draft_of, read_machine};
use crate::records::{Machine, MachineSlug};
use crate::web::error::{AppError, html};
use crate::web::pages::machines::form::{MachineForm, Show};
use crate::web::pages::machines::href;
use crate::web::pages::machines::typed::{Doing, changed, draft};
use crate::web::pages::machines::words;
use crate::web::posted::Posted;
use axum::Router;
use axum::extract::rejection::PathRejection;
use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use axum::routing::get;
use std::sync::Arc;

pub(super) fn router() -> Router<Arc<Desk>> {
    Router::new()
        .route("/machines/new", get(new_machine_form).post(create_machine))
        .route(
            "/machines/{machine}/edit",
            get(edit_machine_form).post(change_machine),
        )
}

type Slug = Result<Path<String>, PathRejection>;

async fn new_machine_form(State(desk): State<Arc<Desk>>) -> Result<Response, AppError> {
    let empty = MachineDraft {
        contacts: vec![ContactDraft::default()],
        ..MachineDraft::default()
    };
    html(&form(&desk, &empty, None, Show::Wrong).await?)
}

async fn edit_machine_form(State(desk): State<Arc<Desk>>, slug: Slug) -> Result<Response, AppError> {
    let versions = versions(&desk, slug).await?;
    let newest = versions.last().ok_or_else(none)?;
    html(&form(&desk, &draft_of(newest), Some(newest), Show::Wrong).await?)
}

async fn create_machine(
    State(desk): State<Arc<Desk>>,
    posted: Result<Posted, AppError>,
) -> Result<Response, AppError> {
    answer(&desk, &posted?.with_token()?, None).await
}

async fn change_machine(
    State(desk): State<Arc<Desk>>,
    slug: Slug,
    posted: Result<Posted, AppError>,
) -> Result<Response, AppError> {
    let posted = posted?.with_token()?;
    let versions = versions(&desk, slug).await?;
    let after = posted.field("after").parse::<u32>().ok();
    let after = versions
        .into_iter()
        .find(|machine| Some(machine.version) == after);
    let gone = || AppError::conflict(words::FORM_WITHOUT_A_VERSION);
    answer(&desk, &posted, Some(after.ok_or_else(gone)?)).await
}

/// Saves what the form holds, or shows it again.
async fn answer(desk: &Desk, posted: &Posted, after: Option<Machine>) -> Result<Response, AppError> {
    let doing = Doing::of(posted);
    let typed = changed(draft(posted), doing);
    if doing != Doing::Save {
        return html(&form(desk, &typed, after.as_ref(), Show::Wrong).await?);
    }
    let reading = read_machine(&typed, making(after.as_ref()));
    let Some(machine) = reading.machine else {
        let page = form(desk, &typed, after.as_ref(), Show::All).await?;
        let count = words::fields(reading.faults.len());
        let page = page.refused(words::nothing_is_saved_yet(&count));
        return Ok((StatusCode::UNPROCESSABLE_ENTITY, html(&page)?).into_response());
    };
    match desk.save_machine(&machine).await {
        Ok(()) => Ok(Redirect::to(&href(&machine.slug)).into_response()),
        Err(error @ (DeskError::Question { .. } | DeskError::NotCurrent(_))) => {
            let error = AppError::from(error);
            let page = form(desk, &typed, after.as_ref(), Show::All).await?;
            let page = page.refused(error.message()).faulted(error.fields());
            Ok((error.status(), html(&page)?).into_response())
        }
        Err(error) => Err(error.into()),
    }
}

fn making(after: Option<&Machine>) -> Making<'_> {
    after.map_or(Making::New, Making::After)
}

async fn form(
    desk: &Desk,
    typed: &MachineDraft,
    after: Option<&Machine>,
    show: Show,
) -> Result<MachineForm, AppError> {
    let (film_oil, oil) = desk.oil_for(after.map(|machine| &machine.slug)).await?;
    let reading = read_machine(typed, making(after));
    Ok(MachineForm::new(typed, after, &reading, oil.as_ref(), show).with_films_of(&film_oil))
}

async fn versions(desk: &Desk, slug: Slug) -> Result<Vec<Machine>, AppError> {
    let slug = slug.ok().and_then(|Path(slug)| MachineSlug::new(&slug));
    Ok(desk.machine_versions(&slug.ok_or_else(none)?).await?)
}

fn none() -> AppError {
    AppError::not_found(words::NO_MACHINE_HAS_THIS_NAME)
}
