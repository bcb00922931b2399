//! `/machines/new` and `/machines/{slug}/edit`: a machine is entered or changed. Only "save" writes; every other button
//! shows the same form again with what it comes to.

use crate::app::{App, AppError, ContactDraft, MachineDraft, Making, draft_of, read_machine};
use crate::records::{Machine, MachineSlug};
use crate::web::error::{HttpError, html};
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

pub(super) fn router() -> Router<Arc<App>> {
    Router::new()
        .route("/machines/new", get(new_machine_form).post(create_machine))
        .route(
            "/machines/{machine}/edit",
            get(edit_machine_form).post(change_machine),
        )
}

type Slug = Result<Path<String>, PathRejection>;

async fn new_machine_form(State(app): State<Arc<App>>) -> Result<Response, HttpError> {
    let empty = MachineDraft {
        contacts: vec![ContactDraft::default()],
        ..MachineDraft::default()
    };
    html(&form(&app, &empty, None, Show::Wrong).await?)
}

async fn edit_machine_form(State(app): State<Arc<App>>, slug: Slug) -> Result<Response, HttpError> {
    let versions = versions(&app, slug).await?;
    let newest = versions.last().ok_or_else(none)?;
    html(&form(&app, &draft_of(newest), Some(newest), Show::Wrong).await?)
}

async fn create_machine(
    State(app): State<Arc<App>>,
    posted: Result<Posted, HttpError>,
) -> Result<Response, HttpError> {
    answer(&app, &posted?.with_token()?, None).await
}

async fn change_machine(
    State(app): State<Arc<App>>,
    slug: Slug,
    posted: Result<Posted, HttpError>,
) -> Result<Response, HttpError> {
    let posted = posted?.with_token()?;
    let versions = versions(&app, slug).await?;
    let after = posted.field("after").parse::<u32>().ok();
    let after = versions
        .into_iter()
        .find(|machine| Some(machine.version) == after);
    let gone = || HttpError::conflict(words::FORM_WITHOUT_A_VERSION);
    answer(&app, &posted, Some(after.ok_or_else(gone)?)).await
}

/// Saves what the form holds, or shows it again.
async fn answer(app: &App, posted: &Posted, after: Option<Machine>) -> Result<Response, HttpError> {
    let doing = Doing::of(posted);
    let typed = changed(draft(posted), doing);
    if doing != Doing::Save {
        return html(&form(app, &typed, after.as_ref(), Show::Wrong).await?);
    }
    let reading = read_machine(&typed, making(after.as_ref()));
    let Some(machine) = reading.machine else {
        let page = form(app, &typed, after.as_ref(), Show::All).await?;
        let count = words::fields(reading.faults.len());
        let page = page.refused(words::nothing_is_saved_yet(&count));
        return Ok((StatusCode::UNPROCESSABLE_ENTITY, html(&page)?).into_response());
    };
    match app.save_machine(&machine).await {
        Ok(()) => Ok(Redirect::to(&href(&machine.slug)).into_response()),
        Err(error @ (AppError::Question { .. } | AppError::NotCurrent(_))) => {
            let error = HttpError::from(error);
            let page = form(app, &typed, after.as_ref(), Show::All).await?;
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
    app: &App,
    typed: &MachineDraft,
    after: Option<&Machine>,
    show: Show,
) -> Result<MachineForm, HttpError> {
    let (film_oil, oil) = app.oil_for(after.map(|machine| &machine.slug)).await?;
    let reading = read_machine(typed, making(after));
    Ok(MachineForm::new(typed, after, &reading, oil.as_ref(), show).with_films_of(&film_oil))
}

async fn versions(app: &App, slug: Slug) -> Result<Vec<Machine>, HttpError> {
    let slug = slug.ok().and_then(|Path(slug)| MachineSlug::new(&slug));
    Ok(app.machine_versions(&slug.ok_or_else(none)?).await?)
}

fn none() -> HttpError {
    HttpError::not_found(words::NO_MACHINE_HAS_THIS_NAME)
}
