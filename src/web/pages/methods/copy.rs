//! `/methods/{id}/copy`: a laboratory's own method as a changed copy, with what each change does to every term of the
//! contact before anything is saved.

use crate::app::{
    App, ContactFields, MethodDraft, Original, QuantityDraft, contact_fields, copy_of, inputs, read_copy,
};
use crate::catalogue::{Method, MethodId};
use crate::web::address::{At, nothing};
use crate::web::error::{HttpError, html, html_as};
use crate::web::pages::form::Faults;
use crate::web::pages::methods::copy_form::{CONTACT_NAME, CopyPage, STAGE_TORQUES};
use crate::web::posted::Posted;
use crate::web::question::encoded;
use axum::Router;
use axum::extract::State;
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use axum::routing::get;
use std::collections::BTreeMap;
use std::sync::Arc;

pub(super) fn router() -> Router<Arc<App>> {
    Router::new().route("/methods/{id}/copy", get(copy_method_form).post(create_method))
}

async fn copy_method_form(State(app): State<Arc<App>>, At(id): At<MethodId>) -> Result<Response, HttpError> {
    let original = find_original(&app, &id).await?;
    let draft = copy_of(&original.method);
    let reading = read_copy(&draft, &original.method, &original.based_on);
    let faults = Faults::so_far(&reading.faults);
    html(&CopyPage::new(&original.method, &draft, &reading, faults))
}

async fn create_method(
    State(app): State<Arc<App>>,
    At(id): At<MethodId>,
    posted: Posted,
) -> Result<Response, HttpError> {
    let original = find_original(&app, &id).await?;
    let draft = draft(&posted, &original.method);
    let reading = read_copy(&draft, &original.method, &original.based_on);
    let page = |faults: Faults| CopyPage::new(&original.method, &draft, &reading, faults);
    if posted.field("do") != "save" {
        return html(&page(Faults::so_far(&reading.faults)));
    }
    let Some(rows) = &reading.rows else {
        return html_as(
            StatusCode::UNPROCESSABLE_ENTITY,
            &page(Faults::all(&reading.faults)),
        );
    };
    match app.save_own_method(rows).await {
        Ok(()) => Ok(Redirect::to(&format!("/methods/{}", encoded(rows.id.as_str()))).into_response()),
        Err(error) => {
            let (status, faults) = Faults::of_saving(error)?;
            html_as(status, &page(faults))
        }
    }
}

async fn find_original(app: &App, id: &MethodId) -> Result<Original, HttpError> {
    app.original(id).await?.ok_or_else(nothing::<MethodId>)
}

/// What the form sends; a field that it lacks is as the original has it.
fn draft(posted: &Posted, original: &Method) -> MethodDraft {
    let contacts = original.contacts.iter().enumerate();
    MethodDraft {
        id: posted.text("id"),
        title: posted.text("title"),
        note: posted.text("note"),
        caution: posted.text("caution"),
        safety: posted.text("safety"),
        conditions: (0..original.conditions.len())
            .map(|place| posted.text(&format!("cond{place}")))
            .collect(),
        contacts: contacts
            .map(|(place, contact)| contact_draft(posted, place, &contact_fields(contact)))
            .collect(),
        quantities: (0..original.quantities.len())
            .map(|place| quantity_draft(posted, place))
            .collect(),
    }
}

fn quantity_draft(posted: &Posted, place: usize) -> QuantityDraft {
    let text = |field: &str| posted.text(&format!("q{place}.{field}"));
    QuantityDraft {
        label: text("label"),
        modes: text("modes"),
        contacts: text("contacts"),
        steps: text("steps"),
        cap: text("cap"),
        repeatability: text("r"),
        reproducibility: text("R"),
        precision_kind: text("kind"),
        found_by: text("found"),
    }
}

fn contact_draft(posted: &Posted, place: usize, fields: &ContactFields) -> BTreeMap<String, String> {
    let names = fields.fields.iter().flat_map(inputs);
    let stages = fields.has_stages.then(|| STAGE_TORQUES.to_string());
    let typed = |name: String| {
        let text = posted.text(&format!("k{place}.p.{name}"));
        (name, text)
    };
    names
        .chain(stages)
        .chain([CONTACT_NAME.to_string()])
        .map(typed)
        .collect()
}
