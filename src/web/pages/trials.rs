//! `/`: past and open trials, found by words, machine, method, component, status and year.

use crate::desk::words::per_cent;
use crate::desk::{Choices as Known, Desk, PAGE_LENGTH, TrialLine, TrialList, TrialQuery};
use crate::records::TrialStatus;
use crate::standing::Severity;
use crate::web::error::{AppError, html};
use crate::web::frame::{Frame, Section};
use crate::web::question::{Pairs, encoded, trial_query};
use crate::web::words;
use askama::Template;
use axum::Router;
use axum::extract::State;
use axum::response::{Redirect, Response};
use axum::routing::get;
use std::sync::Arc;

pub(crate) fn router() -> Router<Arc<Desk>> {
    Router::new()
        .route("/", get(list_trials))
        .route("/trials", get(|| async { Redirect::permanent("/") }))
}

async fn list_trials(State(desk): State<Arc<Desk>>, pairs: Pairs) -> Result<Response, AppError> {
    let query = trial_query(&pairs.0)?;
    let list = desk.list_trials(&query).await?;
    let choices = Choices::from(desk.choices().await?);
    html(&TrialsPage::new(&query, &list, choices))
}

/// A choice in a filter.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Choice {
    /// What the query says.
    pub(crate) value: String,
    /// What the reader sees.
    pub(crate) words: String,
}

impl Choice {
    /// A choice that reads as it is written.
    pub(crate) fn plain(value: impl Into<String>) -> Self {
        let value = value.into();
        Self {
            words: value.clone(),
            value,
        }
    }
}

/// What the filters offer.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(crate) struct Choices {
    pub(crate) machines: Vec<Choice>,
    pub(crate) methods: Vec<Choice>,
    pub(crate) components: Vec<Choice>,
    pub(crate) years: Vec<Choice>,
}

impl From<Known> for Choices {
    fn from(known: Known) -> Self {
        let named = |list: Vec<(String, String)>| {
            list.into_iter()
                .map(|(value, words)| Choice { value, words })
                .collect()
        };
        let plain = |list: Vec<String>| list.into_iter().map(Choice::plain).collect();
        Self {
            machines: named(known.machines),
            methods: named(known.methods),
            components: plain(known.components),
            years: plain(known.years),
        }
    }
}

/// A filter with what is chosen.
struct Filter {
    name: &'static str,
    label: &'static str,
    any: &'static str,
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
    status: &'static str,
    opened: String,
    invented: bool,
    front: String,
    share: String,
    has_leader: bool,
    cautions: String,
    worst: &'static str,
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
}

impl TrialsPage {
    /// The list for a query.
    pub(crate) fn new(query: &TrialQuery, list: &TrialList, choices: Choices) -> Self {
        let page = query.page.max(1);
        let pages = list.total.div_ceil(PAGE_LENGTH).max(1);
        Self {
            frame: Frame::new("Trials").of(Section::Trials),
            words: query.words.clone(),
            filters: filters(query, choices),
            trials: list.trials.iter().map(row).collect(),
            total: list.total,
            is_filtered: query_pairs(query).next().is_some(),
            page,
            pages,
            earlier: (page > 1).then(|| address(query, page - 1)),
            later: (page < pages).then(|| address(query, page + 1)),
        }
    }

    fn heading(&self) -> String {
        match (self.is_filtered, self.total) {
            (false, total) => words::count(total, "trial"),
            (true, 0) => "No trial matches".to_string(),
            (true, 1) => "1 trial matches".to_string(),
            (true, total) => format!("{total} trials match"),
        }
    }
}

fn filters(query: &TrialQuery, choices: Choices) -> Vec<Filter> {
    let statuses = TrialStatus::ALL.iter().map(|status| Choice::plain(status.word()));
    let filter = |name, label, any, chosen: &String, choices: Vec<Choice>| Filter {
        name,
        label,
        any,
        chosen: chosen.clone(),
        choices: with_chosen(choices, chosen),
    };
    vec![
        filter(
            "machine",
            "Machine",
            "any machine",
            &query.machine,
            choices.machines,
        ),
        filter("method", "Method", "any method", &query.method, choices.methods),
        filter(
            "component",
            "Component",
            "any component",
            &query.component,
            choices.components,
        ),
        filter(
            "status",
            "Status",
            "any status",
            &query.status,
            statuses.collect(),
        ),
        filter("year", "Year", "any year", &query.year, choices.years),
    ]
}

/// What was asked for stays visible, also when the records offer it no longer.
fn with_chosen(mut choices: Vec<Choice>, chosen: &str) -> Vec<Choice> {
    if !chosen.is_empty() && choices.iter().all(|choice| choice.value != chosen) {
        choices.push(Choice::plain(chosen));
    }
    choices
}

fn query_pairs(query: &TrialQuery) -> impl Iterator<Item = (&'static str, &str)> {
    [
        ("q", query.words.as_str()),
        ("machine", &query.machine),
        ("method", &query.method),
        ("component", &query.component),
        ("status", &query.status),
        ("year", &query.year),
    ]
    .into_iter()
    .filter(|(_, value)| !value.is_empty())
}

fn address(query: &TrialQuery, page: usize) -> String {
    let mut pairs: Vec<String> = query_pairs(query)
        .map(|(name, value)| format!("{name}={}", encoded(value)))
        .collect();
    pairs.push(format!("page={page}"));
    format!("/?{}", pairs.join("&"))
}

fn row(line: &TrialLine) -> TrialRow {
    let (front, has_leader) = match (&line.leader, &line.front_runner) {
        (Some(leader), _) => (format!("{leader} leads"), true),
        (None, Some(front)) => (format!("no leader; {front} in front"), false),
        (None, None) => ("nothing weighed yet".to_string(), false),
    };
    TrialRow {
        href: format!("/trials/{}", encoded(line.trial.as_str())),
        title: line.title.clone(),
        question: line.question.clone(),
        machine: line.machine_name.clone(),
        status: line.status.word(),
        opened: words::date(line.opened_on),
        invented: line.invented,
        front,
        share: line
            .p_best
            .map(|share| format!("ranks first in {} of draws", per_cent(share)))
            .unwrap_or_default(),
        has_leader,
        cautions: words::count(line.cautions, "caution"),
        worst: line.worst.map_or("", Severity::word),
    }
}
