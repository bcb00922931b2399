//! `/trials/{trial}/resemblance`: how each test resembles the machine, what each term counts and may count, and whether
//! that decides anything.

mod moved;
mod scales;

#[cfg(test)]
mod tests;

use crate::app::question::{fields, what_if};
use crate::app::{App, AppError, ScaleChange};
use crate::prose::reasons::not_weighed;
use crate::prose::resemblance::finding;
use crate::records::{TrialRecords, TrialSlug};
use crate::standing::ResemblanceView;
use crate::standing::{TestStanding, WhatIf};
use crate::web::address::At;
use crate::web::error::{FieldFault, HttpError, html, html_as};
use crate::web::figures;
use crate::web::frame::{Frame, Tab};
use crate::web::pages::comparison::likeness::{self, ContactRow};
use crate::web::pages::resemblance::moved::MovedRow;
use crate::web::pages::resemblance::scales::ScaleRow;
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
    html(&ResemblancePage::new(&app.resemblance(&trial, &asked).await?))
}

async fn change_scale(
    State(app): State<Arc<App>>,
    At(trial): At<TrialSlug>,
    posted: Posted,
) -> Result<Response, HttpError> {
    let typed = ScaleChange {
        term: posted.text("term"),
        importance: posted.text("importance"),
        halving: posted.text("halving"),
        reason: posted.text("reason"),
    };
    match app.change_scale(&trial, &typed).await {
        Ok(()) => {
            let address = address(&trial, &WhatIf::default());
            Ok(Redirect::to(&format!("{address}#scales")).into_response())
        }
        Err(error @ (AppError::Question { .. } | AppError::NotCurrent(_))) => {
            let error = HttpError::from(error);
            let view = app.resemblance(&trial, &WhatIf::default()).await?;
            html_as(
                error.status(),
                &ResemblancePage::new(&view).refused(typed, &error),
            )
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

#[derive(Template)]
#[template(path = "resemblance/page.html")]
struct ResemblancePage<'a> {
    frame: Frame,
    view: &'a ResemblanceView,
    records: &'a TrialRecords,
    /// What this page counts otherwise than the trial; empty where nothing.
    asked: String,
    /// The question of the address, with its question mark; empty without one.
    suffix: String,
    scales: Vec<ScaleRow>,
    typed: ScaleChange,
    problem: String,
    faults: Vec<FieldFault>,
}

impl<'a> ResemblancePage<'a> {
    fn new(view: &'a ResemblanceView) -> Self {
        let comparison = &view.comparison;
        let (records, asked) = (&comparison.records, &comparison.what_if);
        Self {
            frame: Frame::new(format!("Resemblance in {}", records.trial.title))
                .in_trial(records, Tab::Weights),
            view,
            records,
            asked: scales::asked_words(&view.scales),
            suffix: match question::query_string(asked) {
                query if query.is_empty() => query,
                query => format!("?{query}"),
            },
            scales: scales::rows(&view.scales, asked),
            typed: scales::typed(&view.scales, asked),
            problem: String::new(),
            faults: Vec::new(),
        }
    }

    /// With what was typed into the form, and what is wrong with it.
    fn refused(mut self, typed: ScaleChange, error: &HttpError) -> Self {
        self.typed = typed;
        self.problem = if error.status() == StatusCode::UNPROCESSABLE_ENTITY {
            "The change is not kept yet: see the field below.".to_string()
        } else {
            error.message().to_string()
        };
        self.faults = error.fields().to_vec();
        self
    }

    fn finding(&self) -> Vec<Piece> {
        pieces(&finding(&self.view.sensitivity))
    }

    fn moved(&self) -> Vec<MovedRow> {
        let asked = &self.view.comparison.what_if;
        moved::rows(&self.view.sensitivity, &self.records.trial.slug, asked)
    }

    /// The fields of the question that are not about scales.
    fn hidden(&self) -> Vec<(String, String)> {
        let others = WhatIf {
            scales: Default::default(),
            ..self.view.comparison.what_if.clone()
        };
        fields(&others)
    }

    /// The tests that can be compared with the machine, each beside every contact of it.
    fn compared(&self) -> Vec<(&TestStanding, Vec<ContactRow>)> {
        let tests = self.view.comparison.standing.tests.iter();
        let compared = tests.filter(|test| !test.contacts.is_empty());
        compared.map(|test| (test, likeness::rows(test))).collect()
    }

    /// Whether the method of a test has several contacts, so that its quantities say from which of them they come.
    fn has_several_contacts(&self, test: &TestStanding) -> bool {
        let found = self.records.test(&test.key);
        found.is_some_and(|(method, _)| method.contacts.len() > 1)
    }

    fn not_compared(&self) -> Vec<&TestStanding> {
        let tests = self.view.comparison.standing.tests.iter();
        tests.filter(|test| test.contacts.is_empty()).collect()
    }

    fn fault(&self, field: &str) -> &str {
        let found = self.faults.iter().find(|fault| fault.field == field);
        found.map_or("", |fault| fault.problem.as_str())
    }
}

fn anchor(test: &TestStanding) -> String {
    format!("test-{}", figures::anchor(&test.key.to_string()))
}
