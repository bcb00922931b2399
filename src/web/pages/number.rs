//! `/number`: a number from a data sheet, from anywhere; it leads to the test of a trial that the number is held against.

use crate::app::{App, shown};
use crate::catalogue::{Method, Use};
use crate::records::{Trial, TrialStatus};
use crate::web::error::{HttpError, html_as};
use crate::web::frame::{Frame, Section};
use crate::web::question::{Pairs, encoded, encoded_step};
use askama::Template;
use axum::Router;
use axum::extract::State;
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use axum::routing::get;
use std::sync::Arc;

pub(crate) fn router() -> Router<Arc<App>> {
    Router::new().route("/number", get(ask_for_number))
}

/// A test that a number can be held against.
struct Held {
    /// What the form sends.
    value: String,
    words: String,
    href: String,
}

/// The tests of one trial.
struct Group {
    trial: String,
    tests: Vec<Held>,
}

#[derive(Template)]
#[template(path = "number/page.html")]
struct NumberPage {
    frame: Frame,
    groups: Vec<Group>,
    value: String,
    test: String,
    value_fault: String,
    test_fault: String,
}

async fn ask_for_number(State(app): State<Arc<App>>, pairs: Pairs) -> Result<Response, HttpError> {
    let mut trials = app.trials_with_their_tests().await?;
    trials.sort_by_key(|trial| !matches!(trial.status, TrialStatus::Planned | TrialStatus::Running));
    let methods = app.methods().await?;
    let groups: Vec<Group> = trials.iter().filter_map(|trial| group(trial, &methods)).collect();
    let field = |name: &str| pairs.field(name).unwrap_or_default().to_string();
    let (value, test) = (field("value"), field("test"));
    let mut held = groups.iter().flat_map(|group| &group.tests);
    let found = held.find(|held| held.value == test);
    if let Some(found) = found.filter(|_| !value.is_empty()) {
        let place = format!("{}&value={}#held", found.href, encoded(&value));
        return Ok(Redirect::to(&place).into_response());
    }
    let was_sent = pairs.field("value").is_some() || pairs.field("test").is_some();
    let test_fault = match (found, test.as_str()) {
        (Some(_), _) => String::new(),
        (None, "") => "is empty; choose the test that the number is from".to_string(),
        (None, other) => format!("'{}' is no test of a trial; choose one of the list", shown(other)),
    };
    let page = NumberPage {
        frame: Frame::new("A number from a data sheet")
            .of(Section::Trials)
            .showing(trials.iter().any(|trial| trial.invented).into()),
        value_fault: if was_sent && value.is_empty() {
            "is empty; write the number as the sheet has it".to_string()
        } else {
            String::new()
        },
        test_fault: if was_sent { test_fault } else { String::new() },
        groups,
        value,
        test,
    };
    let status = if was_sent {
        StatusCode::UNPROCESSABLE_ENTITY
    } else {
        StatusCode::OK
    };
    html_as(status, &page)
}

/// The tests of a trial that are more than a requirement; `None` where it has none.
fn group(trial: &Trial, methods: &[Method]) -> Option<Group> {
    let tests = trial.tests.iter().filter(|test| test.used_to != Use::Gate);
    let held = tests.filter_map(|test| {
        let method = methods.iter().find(|method| method.id == test.key.method)?;
        let label = &method.quantity(&test.key.quantity)?.label;
        let (slug, id) = (trial.slug.as_str(), test.key.method.as_str());
        let quantity = encoded(&test.key.quantity);
        Some(Held {
            value: format!("{slug}/{}", test.key),
            words: format!("{label}: {}, {}", method.title, method.standard),
            href: format!(
                "/trials/{}/tests/{}?quantity={quantity}",
                encoded_step(slug),
                encoded_step(id)
            ),
        })
    });
    let tests: Vec<Held> = held.collect();
    let name = if trial.short.is_empty() {
        &trial.title
    } else {
        &trial.short
    };
    (!tests.is_empty()).then(|| Group {
        trial: name.clone(),
        tests,
    })
}
