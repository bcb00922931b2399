//! `/methods/{id}/copy`: a laboratory's own method as a changed copy, with what each change does to every term of the
//! contact before anything is saved.

use crate::app::{
    App, AppError, ContactFields, MethodDraft, MethodReading, Original, QuantityDraft, contact_fields,
    copy_of, inputs, read_copy,
};
use crate::catalogue::Method;
use crate::web::error::{HttpError, html};
use crate::web::pages::methods::copy_form::{CopyPage, STAGE_TORQUES};
use crate::web::pages::methods::words;
use crate::web::posted::Posted;
use crate::web::question::encoded;
use axum::Router;
use axum::extract::rejection::PathRejection;
use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use axum::routing::get;
use std::collections::BTreeMap;
use std::sync::Arc;

pub(super) fn router() -> Router<Arc<App>> {
    Router::new().route("/methods/{id}/copy", get(copy_method_form).post(create_method))
}

type Id = Result<Path<String>, PathRejection>;

async fn copy_method_form(State(app): State<Arc<App>>, id: Id) -> Result<Response, HttpError> {
    let original = find_original(&app, id).await?;
    let draft = copy_of(&original.method);
    let reading = read_copy(&draft, &original.method, &original.based_on);
    html(&CopyPage::new(&original.method, &draft, &reading).hiding_what_is_missing())
}

async fn create_method(
    State(app): State<Arc<App>>,
    id: Id,
    posted: Result<Posted, HttpError>,
) -> Result<Response, HttpError> {
    let posted = posted?.with_token()?;
    let original = find_original(&app, id).await?;
    let draft = draft(&posted, &original.method);
    let reading = read_copy(&draft, &original.method, &original.based_on);
    if posted.field("do") != "save" {
        return html(&CopyPage::new(&original.method, &draft, &reading).hiding_what_is_missing());
    }
    save(&app, &original, &draft, &reading).await
}

async fn save(
    app: &App,
    original: &Original,
    draft: &MethodDraft,
    reading: &MethodReading,
) -> Result<Response, HttpError> {
    let page = CopyPage::new(&original.method, draft, reading);
    let Some(rows) = &reading.rows else {
        let count = words::fields(reading.faults.len());
        let page = page.refused(words::nothing_is_saved_yet(&count));
        return Ok((StatusCode::UNPROCESSABLE_ENTITY, html(&page)?).into_response());
    };
    match app.save_own_method(rows).await {
        Ok(()) => Ok(Redirect::to(&format!("/methods/{}", encoded(&rows.id))).into_response()),
        Err(error @ AppError::Question { .. }) => {
            let error = HttpError::from(error);
            let page = page.refused(error.message()).faulted(error.fields());
            Ok((error.status(), html(&page)?).into_response())
        }
        Err(error) => Err(error.into()),
    }
}

async fn find_original(app: &App, id: Id) -> Result<Original, HttpError> {
    let id = id.map_or_else(|_| String::new(), |Path(id)| id);
    let found = app.original(&id).await?;
    found.ok_or_else(|| HttpError::not_found(words::NO_METHOD_HAS_THIS_ID))
}

/// What the form sends; a field that it lacks is as the original has it.
fn draft(posted: &Posted, original: &Method) -> MethodDraft {
    let text = |field: &str| posted.field(field).to_string();
    let same = copy_of(original);
    let contacts = original.contacts.iter().enumerate();
    let quantities = same.quantities.iter().enumerate();
    let conditions = 0..original.conditions.len();
    MethodDraft {
        id: text("id"),
        title: text("title"),
        note: text("note"),
        caution: text("caution"),
        conditions: conditions.map(|place| text(&format!("cond{place}"))).collect(),
        contacts: contacts
            .map(|(place, contact)| contact_draft(posted, place, &contact_fields(contact)))
            .collect(),
        quantities: quantities
            .map(|(place, _)| QuantityDraft {
                steps: text(&format!("q{place}.steps")),
                cap: text(&format!("q{place}.cap")),
                repeatability: text(&format!("q{place}.r")),
                reproducibility: text(&format!("q{place}.R")),
                precision_kind: text(&format!("q{place}.kind")),
                found_by: text(&format!("q{place}.found")),
            })
            .collect(),
    }
}

fn contact_draft(posted: &Posted, place: usize, fields: &ContactFields) -> BTreeMap<String, String> {
    let names = fields.fields.iter().flat_map(inputs);
    let stages = fields.has_stages.then(|| STAGE_TORQUES.to_string());
    let names = names.chain(stages);
    names
        .map(|name| {
            let typed = posted.field(&format!("k{place}.p.{name}")).to_string();
            (name, typed)
        })
        .collect()
}
