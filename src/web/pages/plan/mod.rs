//! `/trials/{trial}/plan`: what the planned tests cover, what they could show, and what to run next.

mod matrix;

use crate::app::{App, PlanView, TypedCosts, USUAL_RUNS, read_within};
use crate::catalogue::MethodId;
use crate::prose::run_next::money;
use crate::prose::standing::of_100;
use crate::records::{RunCosts, TrialRecords, TrialSlug};
use crate::standing::{MOST_RUNS, ModeCover, Plan, SPEAKS_ABOVE, USUAL_STAKE};
use crate::web::address::At;
use crate::web::error::{FieldFault, HttpError, html, html_as};
use crate::web::figures::{self, count};
use crate::web::frame::{Frame, Tab};
use crate::web::pages::comparison::cast::Cast;
use crate::web::pages::comparison::next::NextPart;
use crate::web::pages::plan::matrix::{Cell, Coverage, Matrix, TestLine};
use crate::web::posted::Posted;
use crate::web::preferences::preferences;
use crate::web::question::{Pairs, encoded};
use askama::Template;
use axum::Router;
use axum::extract::State;
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use axum::routing::{get, post};
use std::sync::Arc;

pub(crate) fn router() -> Router<Arc<App>> {
    Router::new()
        .route("/trials/{trial}/plan", get(show_plan))
        .route("/trials/{trial}/plan/costs", post(set_costs))
}

/// What a wrong choice may cost, in the laboratory's currency.
const STAKES: std::ops::RangeInclusive<f64> = 1.0..=1e12;

/// What a reader asks of a plan.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Asked {
    runs: usize,
    stake: f64,
}

const USUAL: Asked = Asked {
    runs: USUAL_RUNS,
    stake: USUAL_STAKE,
};

async fn show_plan(
    State(app): State<Arc<App>>,
    At(trial): At<TrialSlug>,
    pairs: Pairs,
) -> Result<Response, HttpError> {
    let asked = asked(&pairs).map_err(HttpError::unusable)?;
    html(&PlanPage::new(&app.plan(&trial, asked.runs).await?, asked))
}

fn asked(pairs: &Pairs) -> Result<Asked, Vec<FieldFault>> {
    let mut faults = Vec::new();
    let mut asked = USUAL;
    for (name, value) in pairs.0.iter().filter(|(_, value)| !value.trim().is_empty()) {
        let value = value.trim();
        match name.as_str() {
            "runs" => match value.parse().ok().filter(|runs| (1..=MOST_RUNS).contains(runs)) {
                Some(runs) => asked.runs = runs,
                None => faults.push(FieldFault::new(
                    "runs",
                    format!("must be a whole number from 1 to {MOST_RUNS}"),
                )),
            },
            "stake" => {
                let mend = "must be a number from 1 to 1 000 000 000 000";
                match read_within(value, &STAKES, mend) {
                    Ok(stake) => asked.stake = stake,
                    Err(problem) => faults.push(FieldFault::new("stake", problem)),
                }
            }
            _ => {}
        }
    }
    if faults.is_empty() { Ok(asked) } else { Err(faults) }
}

async fn set_costs(
    State(app): State<Arc<App>>,
    At(trial): At<TrialSlug>,
    posted: Posted,
) -> Result<Response, HttpError> {
    let view = app.plan(&trial, USUAL.runs).await?;
    let mut page = PlanPage::new(&view, USUAL);
    let mut costs: Vec<(MethodId, RunCosts)> = Vec::new();
    for row in &mut page.costs {
        row.typed = TypedCosts {
            cost: posted.text(&row.field("cost")),
            days: posted.text(&row.field("days")),
        };
        match row.typed.read() {
            Ok(read) => costs.push((row.method.clone(), read)),
            Err(faults) => row.faults = faults,
        }
    }
    if !page.faults().is_empty() {
        return html_as(StatusCode::UNPROCESSABLE_ENTITY, &page);
    }
    app.set_costs(&trial, &costs).await?;
    let place = format!("/trials/{}/plan", encoded(trial.as_str()));
    Ok(Redirect::to(&place).into_response())
}

/// The page.
#[derive(Template)]
#[template(path = "plan/page.html")]
struct PlanPage<'a> {
    frame: Frame,
    slug: String,
    plan: &'a Plan,
    matrix: Matrix,
    costs: Vec<CostRow>,
    next: NextPart,
    stake: f64,
}

/// Cost and days of a method in the trial.
struct CostRow {
    method: MethodId,
    name: String,
    typed: TypedCosts,
    usual: TypedCosts,
    /// What is wrong with which of its two fields.
    faults: Vec<(&'static str, String)>,
}

impl CostRow {
    /// The name of one of its two fields.
    fn field(&self, field: &str) -> String {
        format!("{field}.{}", self.method)
    }

    fn fault(&self, field: &str) -> &str {
        let found = self.faults.iter().find(|(faulty, _)| *faulty == field);
        found.map_or("", |(_, fault)| fault)
    }

    fn typed(&self, field: &str) -> &str {
        match field {
            "days" => &self.typed.days,
            _ => &self.typed.cost,
        }
    }

    fn usual(&self, field: &str) -> &str {
        match field {
            "days" => &self.usual.days,
            _ => &self.usual.cost,
        }
    }
}

impl<'a> PlanPage<'a> {
    fn new(view: &'a PlanView, asked: Asked) -> Self {
        let records = &view.comparison.records;
        let standing = &view.comparison.standing;
        Self {
            frame: Frame::new(format!("Plan: {}", records.trial.title)).in_trial(records, Tab::Plan),
            slug: encoded(records.trial.slug.as_str()),
            plan: &view.plan,
            matrix: Matrix::of(&view.plan, standing),
            costs: costs(records, &view.plan),
            next: NextPart::at(standing, &Cast::of(records), asked.stake),
            stake: asked.stake,
        }
    }

    /// The costs of the method that a row begins.
    fn costs_of(&self, line: &TestLine) -> Option<&CostRow> {
        self.costs.iter().find(|row| row.method == line.key.method)
    }

    /// The fields that cannot be used: id, method and mend.
    fn faults(&self) -> Vec<(String, &str, &str)> {
        let of_rows = self
            .costs
            .iter()
            .flat_map(|row| row.faults.iter().map(move |fault| (row, fault)));
        of_rows
            .map(|(row, (field, fault))| (row.field(field), row.name.as_str(), fault.as_str()))
            .collect()
    }

    /// How often all weighed tests together tell two blends apart.
    fn chance(&self) -> String {
        of_100(self.plan.together.chance)
    }

    /// How many runs that takes.
    fn together(&self) -> String {
        match self.plan.together.needed {
            Some(1) => "one run of each is enough for 80 of 100".to_string(),
            Some(needed) => format!("for 80 of 100 it takes {needed} runs of each"),
            None => format!("not even {MOST_RUNS} runs of each reach 80 of 100"),
        }
    }

    fn runs(&self) -> String {
        count(self.plan.runs, "run")
    }

    fn money(&self) -> String {
        let cost = self.plan.cost.map(|cost| money(cost, preferences()));
        cost.unwrap_or_else(|| "not known".to_string())
    }

    fn days(&self) -> String {
        let days = self.plan.days.map(|days| format!("{}", days.round()));
        days.unwrap_or_else(|| "not known".to_string())
    }
}

/// `bronze wear (locking-pin bush)`, `a (b) nor c (d)`.
fn listed(modes: &[&ModeCover], last: &str) -> String {
    let named: Vec<String> = modes
        .iter()
        .map(|mode| format!("{} ({})", mode.mode.word(), mode.contact))
        .collect();
    match &named[..] {
        [] => String::new(),
        [one] => one.clone(),
        [others @ .., end] => format!("{} {last} {end}", others.join(", ")),
    }
}

/// The answer: which main failure mode nothing covers.
fn headline(plan: &Plan) -> String {
    if plan.tests.is_empty() {
        return "No test is planned yet".to_string();
    }
    if plan.modes.is_empty() {
        return "The machine names no failure mode: nothing can be said to matter in it".to_string();
    }
    let those = |covered: Coverage, main: bool| -> Vec<&ModeCover> {
        let modes = plan.modes.iter();
        modes
            .filter(|mode| Coverage::of(mode) == covered && (!main || mode.importance >= 1.0))
            .collect()
    };
    let (open, weak) = (those(Coverage::Open, true), those(Coverage::Weak, true));
    if !open.is_empty() {
        return format!("No test covers {}", listed(&open, "or"));
    }
    if !weak.is_empty() {
        return format!("Only tests unlike the machine cover {}", listed(&weak, "and"));
    }
    if those(Coverage::Covered, false).len() == plan.modes.len() {
        return "Every failure mode of the machine is covered".to_string();
    }
    "Every main failure mode of the machine is covered".to_string()
}

/// What would cover what nothing does, and what is open besides.
fn beside_the_headline(plan: &Plan) -> String {
    let mut sentences = Vec::new();
    for mode in plan
        .modes
        .iter()
        .filter(|mode| mode.by.is_empty() && mode.importance >= 1.0)
    {
        let would: Vec<&str> = mode.would.iter().map(|one| one.name.as_str()).collect();
        sentences.push(match &would[..] {
            [] => format!("No listed test would cover {}.", mode.mode.word()),
            names => format!(
                "{} would be covered by {}.",
                first_upper(mode.mode.word()),
                names.join(", or ")
            ),
        });
    }
    let lesser = |covered: Coverage| -> Vec<&ModeCover> {
        let lesser = plan.modes.iter().filter(|mode| mode.importance < 1.0);
        lesser.filter(|mode| Coverage::of(mode) == covered).collect()
    };
    let (open, weak) = (lesser(Coverage::Open), lesser(Coverage::Weak));
    if !open.is_empty() {
        sentences.push(format!("Also open: {}.", listed(&open, "and")));
    }
    if !weak.is_empty() {
        sentences.push(format!("Covered only weakly: {}.", listed(&weak, "and")));
    }
    sentences.join(" ")
}

fn first_upper(text: &str) -> String {
    let mut letters = text.chars();
    letters
        .next()
        .map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

fn costs(records: &TrialRecords, plan: &Plan) -> Vec<CostRow> {
    let shown = |cost: Option<f64>, days: Option<f64>| TypedCosts {
        cost: cost.map(|number| number.to_string()).unwrap_or_default(),
        days: days.map(|number| number.to_string()).unwrap_or_default(),
    };
    let mut rows: Vec<CostRow> = Vec::new();
    for test in &records.trial.tests {
        if rows.iter().any(|row| row.method == test.key.method) {
            continue;
        }
        let method = records.method(&test.key.method);
        let planned = plan.tests.iter().find(|row| row.key.method == test.key.method);
        rows.push(CostRow {
            method: test.key.method.clone(),
            name: planned.map_or_else(
                || test.key.method.to_string(),
                |row| {
                    let title = figures::title(records, &row.key, &row.title);
                    format!("{title} ({})", row.standard)
                },
            ),
            typed: shown(test.cost, test.days),
            usual: shown(
                method.and_then(|method| method.cost),
                method.and_then(|method| method.days),
            ),
            faults: Vec::new(),
        });
    }
    rows
}
