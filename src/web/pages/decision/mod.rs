//! `/trials/{trial}/decision`: what was decided on which standing, what has changed since, and the form that signs.

mod form;
pub(crate) mod record;

use crate::app::{App, DecisionDraft, DecisionView, Signing};
use crate::prose::standing::sentence;
use crate::records::TrialSlug;
use crate::web::address::At;
use crate::web::error::{HttpError, html, html_as};
use crate::web::figures::Figure;
use crate::web::frame::{Frame, Tab};
use crate::web::pages::decision::form::SignForm;
use crate::web::pages::decision::record::{DecisionRow, SinceRows};
use crate::web::pages::form::{Faults, Shape};
use crate::web::posted::Posted;
use crate::web::preferences::preferences;
use crate::web::question::encoded;
use crate::web::unbroken::{Piece, pieces};
use askama::Template;
use axum::Router;
use axum::extract::State;
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use axum::routing::get;
use std::sync::Arc;

pub(super) fn router() -> Router<Arc<App>> {
    Router::new().route("/trials/{trial}/decision", get(show_decision).post(sign_decision))
}

/// The page.
#[derive(Template)]
#[template(path = "decision/page.html")]
struct DecisionPage {
    frame: Frame,
    slug: String,
    question: String,
    machine: String,
    sentence: Vec<Piece>,
    decisions: Vec<DecisionRow>,
    since: Option<SinceRows>,
    form: SignForm,
    problem: String,
}

impl DecisionPage {
    fn new(view: &DecisionView, form: SignForm, problem: &str) -> Self {
        let trial = &view.comparison.records.trial;
        Self {
            frame: Frame::new(format!("Decision on {}", trial.title))
                .in_trial(&view.comparison.records, Tab::Decision),
            slug: encoded(trial.slug.as_str()),
            question: trial.question.clone(),
            machine: view.comparison.records.machine.name.clone(),
            sentence: pieces(&sentence(
                &view.comparison.records,
                &view.comparison.standing,
                preferences(),
            )),
            decisions: record::rows(view),
            since: view.since.as_ref().map(SinceRows::new),
            form,
            problem: problem.to_string(),
        }
    }
}

async fn show_decision(State(app): State<Arc<App>>, At(trial): At<TrialSlug>) -> Result<Response, HttpError> {
    let view = app.decision_view(&trial).await?;
    let draft = DecisionDraft {
        date: view.today.to_string(),
        ..DecisionDraft::default()
    };
    html(&DecisionPage::new(
        &view,
        SignForm::new(&view, &draft, &Faults::all(&[])),
        "",
    ))
}

async fn sign_decision(
    State(app): State<Arc<App>>,
    At(trial): At<TrialSlug>,
    posted: Posted,
) -> Result<Response, HttpError> {
    let draft = draft(&posted);
    match app.sign_decision(&trial, &draft).await? {
        Signing::Signed => Ok(Redirect::to(&place(&trial)).into_response()),
        Signing::Faulty(faults) => {
            let view = app.decision_view(&trial).await?;
            let form = SignForm::new(&view, &draft, &Faults::all(&faults));
            let problem = "Nothing was signed yet: see the fields that are marked.";
            let page = DecisionPage::new(&view, form, problem);
            html_as(StatusCode::UNPROCESSABLE_ENTITY, &page)
        }
        Signing::SeenOther => {
            let view = app.decision_view(&trial).await?;
            let form = SignForm::new(&view, &draft, &Faults::all(&[]));
            let problem = "Nothing was signed: the evidence or the decisions of this trial have changed since this form was opened. Look at what stands now; what you typed is still here.";
            let page = DecisionPage::new(&view, form, problem);
            html_as(StatusCode::CONFLICT, &page)
        }
    }
}

/// Where the decisions of a trial stand.
fn place(trial: &TrialSlug) -> String {
    format!("/trials/{}/decision", encoded(trial.as_str()))
}

fn draft(posted: &Posted) -> DecisionDraft {
    let said = posted.under("said.");
    DecisionDraft {
        kind: posted.field("kind").to_string(),
        chosen: posted.field("chosen").to_string(),
        reason: posted.field("reason").to_string(),
        dissent: posted.field("dissent").to_string(),
        next: posted.field("next").to_string(),
        review_on: posted.field("review_on").to_string(),
        signed_by: posted.field("signed_by").to_string(),
        date: posted.field("date").to_string(),
        sentences: said
            .map(|(id, text)| (id.to_string(), text.to_string()))
            .collect(),
        seen: posted.field("seen").to_string(),
    }
}
