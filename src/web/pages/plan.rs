//! `/trials/{trial}/plan`: what the planned tests speak of, what they could show, and what to run next.

use crate::app::{App, PlanView, TypedCosts, USUAL_RUNS, read_within};
use crate::catalogue::{MethodId, Use};
use crate::charts::{self, Amount};
use crate::prose::run_next::money;
use crate::prose::standing::per_cent;
use crate::records::{TrialRecords, TrialSlug};
use crate::standing::{MOST_RUNS, Plan, PlannedRow, Power, SPEAKS_ABOVE, Speaker, USUAL_STAKE};
use crate::web::address::At;
use crate::web::error::{FieldFault, HttpError, html, html_as};
use crate::web::figures::{self, count};
use crate::web::frame::{Frame, Tab};
use crate::web::pages::comparison::cast::Cast;
use crate::web::pages::comparison::next::NextPart;
use crate::web::posted::Posted;
use crate::web::preferences::preferences;
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
    let typed = TypedCosts {
        cost: posted.text("cost"),
        days: posted.text("days"),
    };
    let method = posted.field("method");
    let error = match app.set_costs(&trial, method, &typed).await {
        Ok(()) => {
            let place = format!("/trials/{}/plan#costs", encoded(trial.as_str()));
            return Ok(Redirect::to(&place).into_response());
        }
        Err(error) => HttpError::from(error),
    };
    let view = app.plan(&trial, USUAL.runs).await?;
    let mut page = PlanPage::new(&view, USUAL);
    let Some(row) = page.costs.iter_mut().find(|row| row.method.as_str() == method) else {
        return Err(error);
    };
    row.typed = typed;
    row.fault = error.message().to_string();
    html_as(error.status(), &page)
}

/// The page.
#[derive(Template)]
#[template(path = "plan/page.html")]
struct PlanPage<'a> {
    frame: Frame,
    slug: String,
    records: &'a TrialRecords,
    plan: &'a Plan,
    costs: Vec<CostRow>,
    next: NextPart,
    stake: f64,
}

/// Cost and days of a method in the trial.
struct CostRow {
    method: MethodId,
    title: String,
    typed: TypedCosts,
    usual: TypedCosts,
    fault: String,
}

impl<'a> PlanPage<'a> {
    fn new(view: &'a PlanView, asked: Asked) -> Self {
        let records = &view.comparison.records;
        Self {
            frame: Frame::new(format!("Plan: {}", records.trial.title)).in_trial(records, Tab::Plan),
            slug: encoded(records.trial.slug.as_str()),
            records,
            plan: &view.plan,
            costs: costs(records, &view.plan),
            next: NextPart::at(&view.comparison.standing, &Cast::of(records), asked.stake),
            stake: asked.stake,
        }
    }

    /// Whether the set-up of the trial may still change.
    /// What the planned set could show as a whole.
    fn together(&self) -> String {
        let Power { chance, needed } = self.plan.together;
        let needed = match needed {
            Some(1) => "One run of each is enough for 80 %.".to_string(),
            Some(needed) => format!("For 80 % it takes {needed} runs of each."),
            None => format!("Not even {MOST_RUNS} runs of each reach 80 %."),
        };
        format!(
            "Two blends of which one is better by one critical difference (r) on every weighed test are told apart, to the 90 % at which one of two may be named, with a chance of {} by {} of each on each test. {needed}",
            per_cent(chance),
            count(self.plan.runs, "run")
        )
    }

    fn expense(&self) -> String {
        let cost = self.plan.cost.map(|cost| money(cost, preferences()));
        let cost = cost.map(|cost| format!("costs about {cost}"));
        let days = self.plan.days.map(|days| {
            let days = count(days.round() as usize, "day");
            format!("takes {days}, methods side by side")
        });
        let parts: Vec<String> = [cost, days].into_iter().flatten().collect();
        if parts.is_empty() {
            return "What the runs cost and how long they take is not known for every method.".to_string();
        }
        let (runs, parts) = (count(self.plan.runs, "run"), parts.join(" and "));
        format!("One blend with {runs} on every test {parts}.")
    }

    /// The contacts of the machine with their shares, which stay on one line.
    fn contacts(&self) -> Vec<String> {
        let contacts = self.plan.contacts.iter();
        contacts
            .map(|(name, share)| format!("{name}, {}", per_cent(*share).replace(' ', "\u{a0}")))
            .collect()
    }
}

fn importance_word(importance: f64) -> &'static str {
    match importance {
        main if main >= 1.0 => "main",
        secondary if secondary >= 0.6 => "secondary",
        _ => "minor",
    }
}

fn speaker_words(speaker: &Speaker) -> String {
    match speaker.resemblance {
        Some(resemblance) => format!("{}, resemblance {}", speaker.name, figures::position(resemblance)),
        None => format!("{}, a check of the oil itself", speaker.name),
    }
}

/// Main failure modes that nothing speaks of, and contacts that nothing resembles.
fn finding(plan: &Plan) -> String {
    if plan.tests.is_empty() {
        return "No test is planned yet.".to_string();
    }
    let main = plan.modes.iter().filter(|cover| cover.importance >= 1.0);
    let open: Vec<String> = main
        .filter(|cover| cover.by.is_empty())
        .map(|cover| format!("{} in {}", cover.mode.word(), cover.contact))
        .collect();
    let modes = if open.is_empty() {
        "Every main failure mode of the machine is spoken of by a test or a gate.".to_string()
    } else {
        format!("No planned test speaks of {}.", open.join(", nor of "))
    };
    let is_near = |place: usize, row: &PlannedRow| {
        let resemblance = row.cells.get(place).and_then(|cell| cell.resemblance);
        row.used_to == Use::Weigh && resemblance.is_some_and(|resemblance| resemblance > SPEAKS_ABOVE)
    };
    let contacts = plan.contacts.iter().enumerate();
    let unlike: Vec<&str> = contacts
        .filter(|(place, _)| !plan.tests.iter().any(|row| is_near(*place, row)))
        .map(|(_, (name, _))| name.as_str())
        .collect();
    if unlike.is_empty() {
        return modes;
    }
    let (unlike, above) = (unlike.join(", nor "), figures::figure(SPEAKS_ABOVE));
    format!("{modes} No weighed test resembles {unlike} (above {above}).")
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
            title: planned.map_or_else(
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
            fault: String::new(),
        });
    }
    rows
}
