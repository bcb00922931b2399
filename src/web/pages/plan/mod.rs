//! `/trials/{trial}/plan`: what the planned tests speak of, what they could show, and what to run next.

mod rows;
mod words;

use crate::app::{App, PlanView, TypedCosts, USUAL_RUNS, read_within};
use crate::prose::run_next::money;
use crate::prose::standing::per_cent;
use crate::records::{TrialSlug, TrialStatus};
use crate::standing::{MOST_RUNS, Power, SPEAKS_ABOVE, USUAL_STAKE};
use crate::web::address::At;
use crate::web::error::{FieldFault, HttpError, html};
use crate::web::figures;
use crate::web::frame::{DataIs, Frame, Section};
use crate::web::pages::comparison::cast::Cast;
use crate::web::pages::comparison::next::NextPart;
use crate::web::pages::plan::rows::{CostRow, ModeRow, TestRow};
use crate::web::posted::Posted;
use crate::web::question::{Pairs, encoded};
use askama::Template;
use axum::Router;
use axum::extract::State;
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

async fn show_plan(
    State(app): State<Arc<App>>,
    At(trial): At<TrialSlug>,
    pairs: Pairs,
) -> Result<Response, HttpError> {
    let asked = asked(&pairs).map_err(HttpError::unusable)?;
    let view = app.plan(&trial, asked.runs).await?;
    html(&PlanPage::new(&view, asked))
}

fn asked(pairs: &Pairs) -> Result<Asked, Vec<FieldFault>> {
    let mut faults = Vec::new();
    let mut asked = Asked {
        runs: USUAL_RUNS,
        stake: USUAL_STAKE,
    };
    for (name, value) in pairs.0.iter().filter(|(_, value)| !value.trim().is_empty()) {
        match name.as_str() {
            "runs" => match value
                .trim()
                .parse()
                .ok()
                .filter(|runs| (1..=MOST_RUNS).contains(runs))
            {
                Some(runs) => asked.runs = runs,
                None => faults.push(FieldFault::new("runs", words::runs_out_of_range(MOST_RUNS))),
            },
            "stake" => match read_within(value, &STAKES, words::STAKE_OUT_OF_RANGE) {
                Ok(stake) => asked.stake = stake,
                Err(problem) => faults.push(FieldFault::new("stake", problem)),
            },
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
    let typed = TypedCosts {
        cost: posted.field("cost").to_string(),
        days: posted.field("days").to_string(),
    };
    let method = posted.field("method").to_string();
    match app.set_costs(&trial, &method, &typed).await {
        Ok(()) => {
            Ok(Redirect::to(&format!("/trials/{}/plan#costs", encoded(trial.as_str()))).into_response())
        }
        Err(error) => again(&app, &trial, &method, &typed, error.into()).await,
    }
}

/// The page with what was typed and what is wrong with it.
async fn again(
    app: &App,
    trial: &TrialSlug,
    method: &str,
    typed: &TypedCosts,
    error: HttpError,
) -> Result<Response, HttpError> {
    let usual = Asked {
        runs: USUAL_RUNS,
        stake: USUAL_STAKE,
    };
    let view = app.plan(trial, usual.runs).await?;
    let mut page = PlanPage::new(&view, usual);
    let status = error.status();
    let Some(row) = page.costs.iter_mut().find(|row| row.method == method) else {
        return Err(error);
    };
    row.cost.clone_from(&typed.cost);
    row.days.clone_from(&typed.days);
    row.fault = error.message().to_string();
    Ok((status, html(&page)?).into_response())
}

/// The page.
#[derive(Template)]
#[template(path = "plan/page.html")]
struct PlanPage {
    frame: Frame,
    slug: String,
    title: String,
    machine: String,
    machine_href: String,
    finding: String,
    together: String,
    expense: String,
    contacts: Vec<String>,
    tests: Vec<TestRow>,
    modes: Vec<ModeRow>,
    costs: Vec<CostRow>,
    next: NextPart,
    /// Above which resemblance a test speaks of a contact.
    speaks_above: String,
    runs: usize,
    most_runs: usize,
    stake: String,
    /// Whether its set-up may still change.
    may_change: bool,
}

impl PlanPage {
    fn new(view: &PlanView, asked: Asked) -> Self {
        let (comparison, plan) = (&view.comparison, &view.plan);
        let records = &comparison.records;
        let contacts = plan.contacts.iter();
        Self {
            frame: Frame::new(words::plan_of(&records.trial.title))
                .of(Section::Trials)
                .showing(DataIs::from(records.trial.invented)),
            slug: encoded(records.trial.slug.as_str()),
            title: records.trial.title.clone(),
            machine: records.machine.name.clone(),
            machine_href: crate::web::pages::machines::href(&records.machine.slug),
            finding: rows::finding(plan),
            together: together(plan.together, plan.runs),
            expense: expense(plan.cost, plan.days, plan.runs),
            contacts: contacts
                .map(|(name, share)| format!("{name}, {}", per_cent(*share).replace(' ', "\u{a0}")))
                .collect(),
            tests: plan.tests.iter().map(|row| rows::test(row, records)).collect(),
            modes: plan
                .modes
                .iter()
                .map(|cover| rows::mode(cover, &encoded(records.trial.slug.as_str())))
                .collect(),
            costs: rows::costs(records, plan),
            next: NextPart::at(&comparison.standing, &Cast::of(records), asked.stake),
            speaks_above: figures::figure(SPEAKS_ABOVE),
            runs: plan.runs,
            most_runs: MOST_RUNS,
            stake: format!("{:.0}", asked.stake),
            may_change: matches!(records.trial.status, TrialStatus::Planned | TrialStatus::Running),
        }
    }
}

/// What the planned set could show as a whole.
fn together(power: Power, runs: usize) -> String {
    let needed = match power.needed {
        Some(1) => words::ONE_RUN_IS_ENOUGH.to_string(),
        Some(needed) => words::it_takes_runs(needed),
        None => words::not_even_runs_reach_it(MOST_RUNS),
    };
    words::two_blends_are_told_apart(&per_cent(power.chance), runs, &needed)
}

fn expense(cost: Option<f64>, days: Option<f64>, runs: usize) -> String {
    let cost = cost.map(|cost| words::costs_about(&money(cost)));
    let days = days.map(|days| words::takes_side_by_side(days.round() as usize));
    let parts: Vec<String> = [cost, days].into_iter().flatten().collect();
    if parts.is_empty() {
        return words::COST_AND_TIME_NOT_KNOWN.to_string();
    }
    words::one_blend_costs_and_takes(runs, &parts.join(words::AND))
}
