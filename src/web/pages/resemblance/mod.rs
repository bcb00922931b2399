//! `/trials/{trial}/resemblance`: how each test resembles the machine, what each term counts and may count, and whether
//! that decides anything.

mod moved;
mod scales;

#[cfg(test)]
mod tests;
mod words;

use crate::app::question::what_if;
use crate::app::{App, AppError, ScaleChange};
use crate::prose::reasons::not_weighed;
use crate::prose::resemblance::finding;
use crate::records::{TrialRecords, TrialSlug};
use crate::standing::ResemblanceView;
use crate::standing::{TestStanding, WhatIf};
use crate::web::address::At;
use crate::web::error::{FieldFault, HttpError, html};
use crate::web::figures;
use crate::web::frame::{DataIs, Frame, Section};
use crate::web::pages::comparison::likeness::{self, ContactRow};
use crate::web::pages::resemblance::moved::MovedRow;
use crate::web::pages::resemblance::scales::{HistoryRow, ScaleRow};
use crate::web::posted::Posted;
use crate::web::preferences::preferences;
use crate::web::question::{self, Pairs, encoded};
use crate::web::unbroken::{Piece, pieces};
use askama::Template;
use axum::Router;
use axum::extract::State;
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use axum::routing::get;
use std::sync::Arc;

pub(crate) fn router() -> Router<Arc<App>> {
    Router::new().route(
        "/trials/{trial}/resemblance",
        get(show_resemblance).post(change_scale),
    )
}

async fn show_resemblance(
    State(app): State<Arc<App>>,
    At(trial): At<TrialSlug>,
    pairs: Pairs,
) -> Result<Response, HttpError> {
    let asked = what_if(&pairs.0).map_err(HttpError::unusable)?;
    if pairs.has_empty_field() {
        return Ok(Redirect::to(&address(&trial, &asked)).into_response());
    }
    html(&ResemblancePage::new(app.resemblance(&trial, &asked).await?))
}

async fn change_scale(
    State(app): State<Arc<App>>,
    At(trial): At<TrialSlug>,
    posted: Posted,
) -> Result<Response, HttpError> {
    let typed = ScaleChange {
        term: posted.field("term").to_string(),
        importance: posted.field("importance").to_string(),
        halving: posted.field("halving").to_string(),
        reason: posted.field("reason").to_string(),
    };
    match app.change_scale(&trial, &typed).await {
        Ok(()) => {
            let address = address(&trial, &WhatIf::default());
            Ok(Redirect::to(&format!("{address}#scales")).into_response())
        }
        Err(error @ (AppError::Question { .. } | AppError::NotCurrent(_))) => {
            let error = HttpError::from(error);
            let view = app.resemblance(&trial, &WhatIf::default()).await?;
            let page = ResemblancePage::new(view).refused(typed, &error);
            let status = error.status();
            Ok((status, html(&page)?).into_response())
        }
        Err(other) => Err(other.into()),
    }
}

/// The page's address under a question.
pub(crate) fn address(trial: &TrialSlug, asked: &WhatIf) -> String {
    let path = format!("/trials/{}/resemblance", encoded(trial.as_str()));
    match question::query_string(asked).as_str() {
        "" => path,
        query => format!("{path}?{query}"),
    }
}

/// One test beside every contact of the machine.
struct TestTable {
    anchor: String,
    key: String,
    title: String,
    label: String,
    standard: String,
    weight: String,
    resemblance: String,
    excluded: String,
    is_extreme: bool,
    explained: String,
    contacts: Vec<ContactRow>,
}

#[derive(Template)]
#[template(path = "resemblance/page.html")]
struct ResemblancePage {
    frame: Frame,
    slug: String,
    title: String,
    machine: String,
    is_asked: bool,
    asked: String,
    comparison_href: String,
    finding: Vec<Piece>,
    moved: Vec<MovedRow>,
    front: String,
    scales: Vec<ScaleRow>,
    hidden: Vec<(String, String)>,
    history: Vec<HistoryRow>,
    tests: Vec<TestTable>,
    not_compared: Vec<TestTable>,
    typed: ScaleChange,
    problem: String,
    faults: Vec<FieldFault>,
    json: String,
}

impl ResemblancePage {
    fn new(view: ResemblanceView) -> Self {
        let comparison = &view.comparison;
        let (records, asked) = (&comparison.records, &comparison.what_if);
        let slug = encoded(records.trial.slug.as_str());
        let query = question::query_string(asked);
        let suffix = if query.is_empty() {
            String::new()
        } else {
            format!("?{query}")
        };
        let tables = |wanted: fn(&&TestStanding) -> bool| -> Vec<TestTable> {
            let tests = comparison.standing.tests.iter().filter(wanted);
            tests.map(|test| table(&slug, test, records)).collect()
        };
        let front = view.sensitivity.front_runner.as_ref();
        Self {
            frame: Frame::new(words::resemblance_in(&records.trial.title))
                .of(Section::Trials)
                .showing(DataIs::from(records.trial.invented)),
            title: records.trial.title.clone(),
            machine: records.machine.name.clone(),
            is_asked: asked.changes_the_question(),
            asked: scales::asked_words(&view.scales),
            comparison_href: format!("/trials/{slug}{suffix}"),
            finding: pieces(&finding(&view.sensitivity)),
            moved: moved::rows(&view.sensitivity, &records.trial.slug, asked),
            front: front.map(ToString::to_string).unwrap_or_default(),
            scales: scales::rows(&view.scales, asked),
            hidden: scales::other_fields(asked),
            history: scales::history(&records.term_scales),
            tests: tables(|test| !test.contacts.is_empty()),
            not_compared: tables(|test| test.contacts.is_empty()),
            typed: scales::typed(&view.scales, asked),
            problem: String::new(),
            faults: Vec::new(),
            json: format!("/api/trials/{slug}/resemblance{suffix}"),
            slug,
        }
    }

    /// With what was typed into the form, and what is wrong with it.
    fn refused(mut self, typed: ScaleChange, error: &HttpError) -> Self {
        self.typed = typed;
        self.problem = if error.status() == StatusCode::UNPROCESSABLE_ENTITY {
            words::THE_CHANGE_IS_NOT_KEPT_YET_SEE_THE.to_string()
        } else {
            error.message().to_string()
        };
        self.faults = error.fields().to_vec();
        self
    }

    fn fault(&self, field: &str) -> &str {
        let found = self.faults.iter().find(|fault| fault.field == field);
        found.map_or("", |fault| fault.problem.as_str())
    }

    fn is_typed(&self, term: &str) -> bool {
        self.typed.term == term
    }
}

fn table(slug: &str, test: &TestStanding, records: &TrialRecords) -> TestTable {
    let key = test.key.to_string();
    let known = |number: Option<f64>| number.map_or_else(|| words::UNKNOWN.to_string(), figures::position);
    TestTable {
        anchor: format!("test-{}", figures::anchor(&key)),
        explained: format!(
            "/trials/{slug}/tests/{}?quantity={}",
            encoded(&test.key.method),
            encoded(&test.key.quantity)
        ),
        title: figures::title(records, &test.key, &test.title),
        label: test.label.clone(),
        standard: test.standard.clone(),
        weight: figures::position(test.weight),
        resemblance: known(test.resemblance),
        excluded: (test.excluded.as_ref())
            .map(|why| not_weighed(why, preferences()))
            .unwrap_or_default(),
        is_extreme: test.extreme,
        contacts: likeness::rows(test),
        key,
    }
}
