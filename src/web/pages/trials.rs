//! `/`: past and open trials, found by words, machine kind, method, component, status and year; in an archive that is
//! still empty, the way to the first of them.

mod first;
mod outcomes;
mod words;

use crate::app::{App, Facet, PAGE_LENGTH, TrialFilter, TrialLine, TrialList, TrialQuery};
use crate::prose::standing::per_cent;
use crate::standing::Severity;
use crate::web::error::{HttpError, html};
use crate::web::figures;
use crate::web::frame::{Frame, Section};
use crate::web::pages::trials::first::FirstSteps;
use crate::web::pages::trials::outcomes::{Outcomes, outcomes};
use crate::web::posted::Posted;
use crate::web::question::{Pairs, encoded, trial_query};
use askama::Template;
use axum::Router;
use axum::extract::State;
use axum::response::{IntoResponse, Redirect, Response};
use axum::routing::{get, post};
use std::sync::Arc;

pub(crate) fn router() -> Router<Arc<App>> {
    Router::new()
        .route("/", get(list_trials))
        .route("/demo", post(load_demo))
        .route("/trials", get(|| async { Redirect::permanent("/") }))
}

async fn list_trials(State(app): State<Arc<App>>, pairs: Pairs) -> Result<Response, HttpError> {
    let query = trial_query(&pairs.0)?;
    let list = app.list_trials(&query).await?;
    let facets = app.facets(&query).await?;
    let mut page = TrialsPage::new(&query, &list, &facets);
    page.first = FirstSteps::of(app.progress().await?);
    html(&page)
}

async fn load_demo(State(app): State<Arc<App>>, _: Posted) -> Result<Response, HttpError> {
    app.load_demo().await?;
    Ok(Redirect::to("/").into_response())
}

/// A choice in a filter.
#[derive(Clone, Debug, PartialEq, Eq)]
struct Choice {
    /// What the query says.
    value: String,
    /// What the reader sees.
    words: String,
    /// How many trials it leaves.
    trials: usize,
}

/// A filter with what is chosen.
struct Filter {
    name: &'static str,
    label: &'static str,
    any: String,
    chosen: String,
    choices: Vec<Choice>,
}

impl Filter {
    fn is_chosen(&self, choice: &Choice) -> bool {
        choice.value == self.chosen
    }
}

struct TrialRow {
    href: String,
    title: String,
    question: String,
    machine: String,
    machine_href: String,
    status: &'static str,
    opened: String,
    invented: bool,
    front: String,
    share: String,
    has_leader: bool,
    cautions: String,
    worst: &'static str,
    evidence_changed: bool,
    outcomes: Option<Outcomes>,
}

/// The list of trials.
#[derive(Template)]
#[template(path = "trials/list.html")]
pub(crate) struct TrialsPage {
    frame: Frame,
    words: String,
    filters: Vec<Filter>,
    trials: Vec<TrialRow>,
    total: usize,
    is_filtered: bool,
    page: usize,
    pages: usize,
    earlier: Option<String>,
    later: Option<String>,
    first: FirstSteps,
}

impl TrialsPage {
    /// The list for a query.
    pub(crate) fn new(query: &TrialQuery, list: &TrialList, facets: &[Facet]) -> Self {
        let page = query.page.max(1);
        let pages = list.total.div_ceil(PAGE_LENGTH).max(1);
        Self {
            frame: Frame::new(words::TRIALS).of(Section::Trials),
            words: query.filter.words.clone(),
            filters: filters(&query.filter, facets),
            trials: list.trials.iter().map(row).collect(),
            total: list.total,
            is_filtered: query_pairs(&query.filter).next().is_some(),
            page,
            pages,
            earlier: (page > 1).then(|| address(&query.filter, page - 1)),
            later: (page < pages).then(|| address(&query.filter, page + 1)),
            first: FirstSteps::default(),
        }
    }

    fn heading(&self) -> String {
        match (self.is_filtered, self.total) {
            (false, total) => words::trials(total),
            (true, 0) => words::NO_TRIAL_MATCHES.to_string(),
            (true, 1) => words::ONE_TRIAL_MATCHES.to_string(),
            (true, total) => words::trials_match(total),
        }
    }
}

fn filters(query: &TrialFilter, facets: &[Facet]) -> Vec<Filter> {
    let filter = |facet: &Facet| {
        let chosen = match facet.field {
            "kind" => &query.kind,
            "method" => &query.method,
            "component" => &query.component,
            "status" => &query.status,
            _ => &query.year,
        };
        let choices = facet.values.iter().map(|value| Choice {
            value: value.value.clone(),
            words: value.words.clone(),
            trials: value.trials,
        });
        Filter {
            name: facet.field,
            label: facet.label,
            any: words::any(facet.label.to_lowercase().trim_start_matches("machine ")),
            chosen: chosen.clone(),
            choices: with_chosen(choices.collect(), chosen),
        }
    };
    let mut filters: Vec<Filter> = facets.iter().map(filter).collect();
    if !query.machine.is_empty() {
        filters.push(Filter {
            name: "machine",
            label: words::MACHINE,
            any: words::ANY_MACHINE.to_string(),
            chosen: query.machine.clone(),
            choices: with_chosen(Vec::new(), &query.machine),
        });
    }
    filters
}

/// What was asked for stays visible, also when it leaves nothing.
fn with_chosen(mut choices: Vec<Choice>, chosen: &str) -> Vec<Choice> {
    if !chosen.is_empty() && choices.iter().all(|choice| choice.value != chosen) {
        choices.push(Choice {
            value: chosen.to_string(),
            words: chosen.to_string(),
            trials: 0,
        });
    }
    choices
}

fn query_pairs(query: &TrialFilter) -> impl Iterator<Item = (&'static str, &str)> {
    [
        ("q", query.words.as_str()),
        ("machine", &query.machine),
        ("kind", &query.kind),
        ("method", &query.method),
        ("component", &query.component),
        ("status", &query.status),
        ("year", &query.year),
    ]
    .into_iter()
    .filter(|(_, value)| !value.is_empty())
}

fn address(query: &TrialFilter, page: usize) -> String {
    let mut pairs: Vec<String> = query_pairs(query)
        .map(|(name, value)| format!("{name}={}", encoded(value)))
        .collect();
    pairs.push(format!("page={page}"));
    format!("/?{}", pairs.join("&"))
}

fn row(line: &TrialLine) -> TrialRow {
    let TrialLine { head, summary } = line;
    let (front, has_leader) = match (&summary.leader, &summary.front_runner) {
        (Some(leader), _) => (words::leader_leads(leader), true),
        (None, Some(front)) => (words::no_leader_but_in_front(front), false),
        (None, None) => (words::NOTHING_WEIGHED_YET.to_string(), false),
    };
    TrialRow {
        href: format!("/trials/{}", encoded(head.trial.as_str())),
        title: head.title.clone(),
        question: head.question.clone(),
        machine: head.machine_name.clone(),
        machine_href: crate::web::pages::machines::href(&head.machine),
        status: head.status.word(),
        opened: figures::date(head.opened_on),
        invented: head.invented,
        front,
        share: summary
            .p_best
            .map(|share| words::ranks_first_in(&per_cent(share)))
            .unwrap_or_default(),
        has_leader,
        cautions: words::cautions(summary.cautions),
        worst: summary.worst.map_or("", Severity::word),
        outcomes: outcomes(summary),
        evidence_changed: summary.evidence_changed,
    }
}
