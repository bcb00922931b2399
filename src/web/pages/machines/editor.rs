//! `/machines/new` and `/machines/{slug}/edit`: a machine is entered or changed. Only "save" writes; every other button
//! shows the same form again with what it comes to.

use crate::app::{App, ContactDraft, MOST_CONTACTS, MachineDraft, Making, draft_of, read_machine};
use crate::records::{Machine, MachineSlug};
use crate::web::address::{At, nothing};
use crate::web::error::{HttpError, html, html_as};
use crate::web::pages::form::Faults;
use crate::web::pages::machines::form::MachineForm;
use crate::web::pages::machines::href;
use crate::web::posted::Posted;
use axum::Router;
use axum::extract::State;
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use axum::routing::get;
use std::collections::BTreeMap;
use std::sync::Arc;

pub(super) fn router() -> Router<Arc<App>> {
    Router::new()
        .route("/machines/new", get(new_machine_form).post(create_machine))
        .route(
            "/machines/{machine}/edit",
            get(edit_machine_form).post(change_machine),
        )
}

async fn new_machine_form(State(app): State<Arc<App>>) -> Result<Response, HttpError> {
    let empty = MachineDraft {
        contacts: vec![ContactDraft::default()],
        ..MachineDraft::default()
    };
    html(&form(&app, &empty, None, None).await?)
}

async fn edit_machine_form(
    State(app): State<Arc<App>>,
    At(slug): At<MachineSlug>,
) -> Result<Response, HttpError> {
    let versions = app.machine_versions(&slug).await?;
    let newest = versions.last().ok_or_else(nothing::<MachineSlug>)?;
    html(&form(&app, &draft_of(newest), Some(newest), None).await?)
}

async fn create_machine(State(app): State<Arc<App>>, posted: Posted) -> Result<Response, HttpError> {
    answer(&app, &posted, None).await
}

async fn change_machine(
    State(app): State<Arc<App>>,
    At(slug): At<MachineSlug>,
    posted: Posted,
) -> Result<Response, HttpError> {
    let after = posted.field("after").parse::<u32>().ok();
    let versions = app.machine_versions(&slug).await?;
    let after = versions.iter().find(|machine| Some(machine.version) == after);
    let gone = || HttpError::conflict("The form does not say which version it changes. Open it again.");
    answer(&app, &posted, Some(after.ok_or_else(gone)?)).await
}

/// Saves what the form holds, or shows it again.
async fn answer(app: &App, posted: &Posted, after: Option<&Machine>) -> Result<Response, HttpError> {
    let typed = draft(posted);
    if posted.field("do") != "save" {
        return html(&form(app, &typed, after, None).await?);
    }
    let reading = read_machine(&typed, making(after));
    let Some(machine) = &reading.machine else {
        let faults = Faults::all(&reading.faults);
        let page = form(app, &typed, after, Some(faults)).await?;
        return html_as(StatusCode::UNPROCESSABLE_ENTITY, &page);
    };
    match app.save_machine(machine).await {
        Ok(()) => Ok(Redirect::to(&href(&machine.slug)).into_response()),
        Err(error) => {
            let (status, faults) = Faults::of_saving(error)?;
            html_as(status, &form(app, &typed, after, Some(faults)).await?)
        }
    }
}

fn making(after: Option<&Machine>) -> Making<'_> {
    after.map_or(Making::New, Making::After)
}

/// The form of a draft; without `faults` it shows those so far.
async fn form(
    app: &App,
    typed: &MachineDraft,
    after: Option<&Machine>,
    faults: Option<Faults>,
) -> Result<MachineForm, HttpError> {
    let (film_oil, oil) = app.oil_for(after.map(|machine| &machine.slug)).await?;
    let reading = read_machine(typed, making(after));
    let faults = faults.unwrap_or_else(|| Faults::so_far(&reading.faults));
    let films = (&film_oil, oil.as_ref());
    Ok(MachineForm::new(typed, after, &reading.presets, films, faults))
}

/// What the form sends, with one contact more or less where a button asks for it.
fn draft(posted: &Posted) -> MachineDraft {
    let count = posted.field("contacts").parse::<usize>().unwrap_or_default();
    let places = 0..count.min(MOST_CONTACTS);
    let mut contacts: Vec<ContactDraft> = places.map(|place| contact(posted, place)).collect();
    match posted.field("do") {
        "add" if contacts.len() < MOST_CONTACTS => contacts.push(ContactDraft::default()),
        other => {
            let place = other.strip_prefix("remove.").and_then(|place| place.parse().ok());
            if let Some(place) = place.filter(|place| *place < contacts.len()) {
                contacts.remove(place);
            }
        }
    }
    MachineDraft {
        slug: posted.text("slug"),
        name: posted.text("name"),
        kind: posted.text("kind"),
        note: posted.text("note"),
        caution: posted.text("caution"),
        change: posted.text("change"),
        contacts,
    }
}

fn contact(posted: &Posted, place: usize) -> ContactDraft {
    let text = |field: &str| posted.text(&format!("c{place}.{field}"));
    let under = |group: &str| -> BTreeMap<String, String> {
        let prefix = format!("c{place}.{group}.");
        let fields = posted.under(&prefix);
        fields
            .map(|(name, value)| (name.to_string(), value.to_string()))
            .collect()
    };
    ContactDraft {
        name: text("name"),
        preset: text("preset"),
        share: text("share"),
        modes: under("mode"),
        values: under("p"),
    }
}
