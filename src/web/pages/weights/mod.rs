//! `/trials/{trial}/weights`: why each test counts that much, what each term of the resemblance counts and may count, and
//! whether that decides anything.

mod moved;
mod rows;
mod scales;

#[cfg(test)]
mod tests;

use crate::app::question::{fields, what_if};
use crate::app::{App, AppError, ScaleChange};
use crate::prose::resemblance::{counts_most, finding, from_alike};
use crate::records::{TrialRecords, TrialSlug};
use crate::standing::ResemblanceView;
use crate::standing::{TestStanding, WhatIf};
use crate::web::address::At;
use crate::web::error::{FieldFault, HttpError, html, html_as};
use crate::web::figures;
use crate::web::frame::{Frame, Tab};
use crate::web::pages::weights::moved::MovedRow;
use crate::web::pages::weights::rows::WeightRow;
use crate::web::pages::weights::scales::ScaleRow;
use crate::web::posted::Posted;
use crate::web::preferences::preferences;
use crate::web::question::{self, Pairs, encoded};
use crate::web::unbroken::{Piece, pieces};
use askama::Template;
use axum::Router;
use axum::extract::{RawQuery, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use axum::routing::get;
use std::sync::Arc;

pub(crate) fn router() -> Router<Arc<App>> {
    Router::new()
        .route("/trials/{trial}/weights", get(show_weights).post(change_scale))
        .route("/trials/{trial}/resemblance", get(moved_to_weights))
}

/// The page's former address.
async fn moved_to_weights(At(trial): At<TrialSlug>, RawQuery(query): RawQuery) -> Redirect {
    let query = query.map(|query| format!("?{query}")).unwrap_or_default();
    Redirect::permanent(&format!("/trials/{}/weights{query}", encoded(trial.as_str())))
}

async fn show_weights(
    State(app): State<Arc<App>>,
    At(trial): At<TrialSlug>,
    pairs: Pairs,
) -> Result<Response, HttpError> {
    let asked = what_if(&pairs.0).map_err(HttpError::unusable)?;
    if pairs.has_empty_field() {
        return Ok(Redirect::to(&address(&trial, &asked)).into_response());
    }
    html(&WeightsPage::new(&app.resemblance(&trial, &asked).await?))
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
            html_as(error.status(), &WeightsPage::new(&view).refused(typed, &error))
        }
        Err(other) => Err(other.into()),
    }
}

/// The page's address under a question.
pub(crate) fn address(trial: &TrialSlug, asked: &WhatIf) -> String {
    let path = format!("/trials/{}/weights", encoded(trial.as_str()));
    match question::query_string(asked).as_str() {
        "" => path,
        query => format!("{path}?{query}"),
    }
}

#[derive(Template)]
#[template(path = "weights/page.html")]
struct WeightsPage<'a> {
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

impl<'a> WeightsPage<'a> {
    fn new(view: &'a ResemblanceView) -> Self {
        let comparison = &view.comparison;
        let (records, asked) = (&comparison.records, &comparison.what_if);
        Self {
            frame: Frame::new(format!("Weights in {}", records.trial.title)).in_trial(records, Tab::Weights),
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

    fn answer(&self) -> String {
        counts_most(&self.view.comparison.standing)
    }

    fn weight_from_alike(&self) -> String {
        from_alike(&self.view.comparison.standing, preferences())
    }

    fn weighed(&self) -> Vec<WeightRow> {
        rows::weighed(&self.view.comparison.standing, self.records)
    }

    fn without_weight(&self) -> Vec<WeightRow> {
        rows::without_weight(&self.view.comparison.standing, self.records)
    }

    /// Whether the address asks what if a term counted otherwise.
    fn asks(&self) -> bool {
        !self.asked.is_empty()
    }

    fn fault(&self, field: &str) -> &str {
        let found = self.faults.iter().find(|fault| fault.field == field);
        found.map_or("", |fault| fault.problem.as_str())
    }
}

fn anchor(test: &TestStanding) -> String {
    format!("test-{}", figures::anchor(&test.key.to_string()))
}
