//! `/trials/{trial}`: the candidates of a trial compared, and what the comparison rests on.

pub(crate) mod cast;
mod figure;
mod grid;
pub(crate) mod likeness;
pub(crate) mod look;
pub(crate) mod next;
pub(crate) mod no_worse;
pub(crate) mod plot;
mod projected;
mod ranking;
pub(crate) mod records;
mod tests_by_weight;
pub(crate) mod verdicts;

#[cfg(test)]
mod tests;

use crate::app::App;
use crate::app::question::{fields, what_if};
use crate::prose::answer::{Answer, answer, facts};
use crate::prose::resemblance::departures;
use crate::prose::standing::{per_cent, sentence};
use crate::records::{BlendCode, Role, TrialRecords, TrialSlug};
use crate::standing::Comparison;
use crate::standing::scale_lines;
use crate::standing::{Standing, WhatIf};
use crate::web::address::At;
use crate::web::error::{HttpError, html};
use crate::web::figures;
use crate::web::frame::{Frame, Tab};
use crate::web::pages::comparison::cast::{Cast, LegendEntry};
use crate::web::pages::comparison::grid::Grid;
pub(crate) use crate::web::pages::comparison::look::{Look, OrderLink, View};
use crate::web::pages::comparison::next::NextPart;
use crate::web::pages::comparison::no_worse::NoWorseRow;
use crate::web::pages::comparison::projected::ProjectedPage;
use crate::web::pages::comparison::ranking::{CandidateRow, CautionLine, OutRow, Wins};
use crate::web::pages::comparison::records::{GateRow, RunCounts};
use crate::web::pages::comparison::tests_by_weight::{TestGroup, TestRow, grouped};
use crate::web::pages::decision::record::DecisionLine;
use crate::web::pages::weights;
use crate::web::pages::what_if as what_if_page;
use crate::web::pages::what_if::asked::Asked;
use crate::web::preferences::preferences;
use crate::web::question::{self, Pairs};
use crate::web::unbroken::{Piece, pieces};
use askama::Template;
use axum::Router;
use axum::extract::State;
use axum::response::{IntoResponse, Redirect, Response};
use axum::routing::get;
use std::sync::Arc;

pub(crate) fn router() -> Router<Arc<App>> {
    Router::new()
        .route("/trials/{trial}", get(show_comparison))
        .route("/trials/{trial}/readings.csv", get(grid::as_csv))
        .route("/trials/{trial}/readings.xlsx", get(grid::as_xlsx))
}

async fn show_comparison(
    State(app): State<Arc<App>>,
    At(trial): At<TrialSlug>,
    pairs: Pairs,
) -> Result<Response, HttpError> {
    let asked = what_if(&pairs.0).map_err(HttpError::unusable)?;
    let look = Look::read(&pairs.0).map_err(HttpError::unusable)?;
    if pairs.has_empty_field() {
        // A form sends the fields that were left empty too; the address that can be sent on has none of them.
        return Ok(Redirect::to(&address(&trial, &asked, &look)).into_response());
    }
    let comparison = app.compare(&trial, &asked).await?;
    match look.view {
        View::App => html(&ComparisonPage::new(&comparison, &look)),
        View::Projected => html(&ProjectedPage::new(&comparison, &look)),
    }
}

/// The address of a comparison under a question, looked at in a way.
fn address(trial: &TrialSlug, asked: &WhatIf, look: &Look) -> String {
    let path = format!("/trials/{}", question::encoded(trial.as_str()));
    let pairs: Vec<(String, String)> = fields(asked).into_iter().chain(look.fields()).collect();
    question::with_query(&path, &pairs)
}

/// The comparison page.
#[derive(Template)]
#[template(path = "comparison/page.html")]
pub(crate) struct ComparisonPage {
    pub(crate) frame: Frame,
    pub(crate) slug: String,
    pub(crate) question: Vec<Piece>,
    pub(crate) machine: String,
    pub(crate) machine_href: String,
    pub(crate) machine_contacts: String,
    pub(crate) machine_version: u32,
    pub(crate) newest_machine_version: u32,
    pub(crate) status: &'static str,
    pub(crate) decision: DecisionLine,
    pub(crate) opened: String,
    pub(crate) counts: String,
    pub(crate) answer: Answer,
    pub(crate) facts: Vec<Vec<Piece>>,
    /// Whose readings stand beside each test.
    pub(crate) first: String,
    /// ` open` on paper, where nothing can be opened.
    pub(crate) opened_on_paper: &'static str,
    pub(crate) sentence: Vec<Piece>,
    /// What is asked, and what it changes.
    pub(crate) asked: Option<Asked>,
    pub(crate) candidates: Vec<CandidateRow>,
    pub(crate) out: Vec<OutRow>,
    pub(crate) controls: Vec<LegendEntry>,
    pub(crate) lit: Option<usize>,
    pub(crate) unlit_href: String,
    pub(crate) orders: Vec<OrderLink>,
    pub(crate) order_words: &'static str,
    pub(crate) projected_href: String,
    pub(crate) wins: Wins,
    pub(crate) cautions: Vec<CautionLine>,
    pub(crate) more_cautions: Vec<CautionLine>,
    pub(crate) tests: Vec<TestGroup>,
    pub(crate) not_weighed: Vec<TestRow>,
    pub(crate) rests_on: String,
    pub(crate) draws: String,
    pub(crate) next: NextPart,
    pub(crate) grid: Grid,
    pub(crate) gates: Vec<GateRow>,
    /// Test by test, where the trial asks whether its candidates are no worse than one blend.
    pub(crate) no_worse: Option<Vec<NoWorseRow>>,
    pub(crate) runs: RunCounts,
    pub(crate) query: String,
    pub(crate) scales: String,
    pub(crate) weights_href: String,
}

impl ComparisonPage {
    /// The page of a comparison.
    pub(crate) fn new(comparison: &Comparison, look: &Look) -> Self {
        let (records, standing) = (&comparison.records, &comparison.standing);
        let cast = Cast::of(records);
        let answer = answer(records, standing);
        let if_changed = what_if_page::address(&records.trial.slug, &comparison.what_if);
        let mut cautions = ranking::caution_lines(standing, &if_changed);
        let more_cautions = cautions.split_off(ranking::shown_at_once(&cautions));
        let tab = if comparison.what_if.changes_the_question() {
            Tab::WhatIf
        } else {
            Tab::Comparison
        };
        let (mut candidates, mut out) = ranking::rows(standing, &cast);
        let no_worse = no_worse::rows(standing, &cast);
        if no_worse.is_some() {
            candidates.clear();
        }
        let (tests, not_weighed) = tests_by_weight::rows(standing, records, &cast);
        let weighed = tests.len();
        let link = |look: &Look| address(&records.trial.slug, &comparison.what_if, look);
        let lights = |code: &str| {
            let code = BlendCode::new(code);
            let lit = if look.lit == code { None } else { code };
            format!("{}#standing", link(&look.lighting(lit)))
        };
        for one in &mut candidates {
            one.lights = lights(&one.code);
        }
        for one in &mut out {
            one.lights = lights(&one.code);
        }
        Self {
            frame: Frame::new(tab_title(&answer, records)).in_trial(records, tab),
            slug: question::encoded(records.trial.slug.as_str()),
            question: pieces(&records.trial.question),
            machine: records.machine.name.clone(),
            machine_href: crate::web::pages::machines::href(&records.machine.slug),
            machine_contacts: machine_contacts(comparison),
            machine_version: records.machine.version,
            newest_machine_version: records.newest_machine_version,
            status: records.status().word(),
            decision: DecisionLine::of(records),
            opened: figures::date(records.trial.opened_on),
            counts: counts(comparison, &cast, weighed),
            answer,
            facts: facts(standing).iter().map(|fact| pieces(fact)).collect(),
            first: figure::first(standing, records).map_or_else(String::new, ToString::to_string),
            opened_on_paper: "",
            sentence: pieces(&sentence(records, &comparison.standing, preferences())),
            asked: Asked::of(comparison),
            candidates,
            out,
            controls: controls(&cast),
            lit: look.lit.as_ref().and_then(|code| cast.index(code)),
            unlit_href: format!("{}#standing", link(&look.lighting(None))),
            orders: look.orders(link),
            order_words: look.order.words(),
            projected_href: link(&look.seen(View::Projected)),
            wins: ranking::wins(standing),
            cautions,
            more_cautions,
            tests: grouped(tests, look.order, records),
            not_weighed,
            rests_on: rests_on(comparison),
            draws: draws(standing),
            next: NextPart::new(standing, &cast),
            grid: Grid::new(standing, records, &cast),
            gates: records::gates(standing, &cast),
            no_worse,
            runs: records::counts(records),
            query: question::query_string(&comparison.what_if),
            scales: departures(&scale_lines(comparison)),
            weights_href: weights::address(&records.trial.slug, &comparison.what_if),
        }
    }
}

impl ComparisonPage {
    /// The page without what paper cannot answer: the form that asks, and the links that look at it in another way.
    pub(crate) fn for_paper(mut self) -> Self {
        self.orders.clear();
        self.projected_href.clear();
        for one in &mut self.candidates {
            one.lights.clear();
        }
        for one in &mut self.out {
            one.lights.clear();
        }
        // the figure draws every test already
        let weighed = self.tests.iter_mut().flat_map(|group| &mut group.rows);
        for test in weighed.chain(&mut self.not_weighed) {
            test.strip = None;
        }
        let lines = self.cautions.iter_mut().chain(&mut self.more_cautions);
        for row in lines.flat_map(|line| &mut line.rows) {
            // on paper all stands on one page
            if let Some((_, anchor)) = row.link.split_once('#') {
                row.link = format!("#{anchor}");
            }
        }
        self.opened_on_paper = " open";
        self.frame = self.frame.of_tab(Tab::Print);
        self
    }
}

fn controls(cast: &Cast<'_>) -> Vec<LegendEntry> {
    let legend = cast.legend().into_iter();
    legend.filter(|entry| entry.index.is_none()).collect()
}

/// The answer first: `T-03 leads, as far as tested · Pitch drive`.
fn tab_title(answer: &Answer, records: &TrialRecords) -> String {
    let answer = answer.verdict.trim_end_matches('.');
    format!("{answer} · {}", records.trial.title)
}

fn machine_contacts(comparison: &Comparison) -> String {
    let contacts = comparison.records.machine.contacts.iter();
    contacts
        .map(|contact| format!("{} {}", contact.name, per_cent(contact.share)))
        .collect::<Vec<_>>()
        .join(", ")
}

fn counts(comparison: &Comparison, cast: &Cast<'_>, weighed: usize) -> String {
    let gates = comparison
        .records
        .trial
        .tests
        .iter()
        .filter(|test| test.used_to == crate::catalogue::Use::Gate)
        .count();
    [
        figures::count(cast.count(Role::Candidate), "candidate"),
        figures::count(cast.count(Role::Reference), "reference oil"),
        figures::count(cast.count(Role::Control), "control fluid"),
        format!("{} weighed", figures::count(weighed, "test")),
        figures::count(gates, "gate"),
    ]
    .join(" · ")
}

/// How many draws, and what their number alone leaves open.
fn draws(standing: &Standing) -> String {
    let error = standing.monte_carlo_error.map(|error| {
        format!(
            "; their number alone leaves a share of them open by {} % (one standard error)",
            figures::fixed(100.0 * error, 1)
        )
    });
    format!(
        "{} simulations, seed {}{}",
        figures::whole(standing.draws),
        standing.seed,
        error.unwrap_or_default()
    )
}

/// How much of the weight is there at all.
fn rests_on(comparison: &Comparison) -> String {
    let standing = &comparison.standing;
    let independent = standing
        .effective_tests
        .map(|number| format!(", as much as {} independent tests", figures::fixed(number, 1)))
        .unwrap_or_default();
    format!(
        "The weights add up to {}{independent}. A weight of 1 would be a test that resembles every contact of the machine fully and scores its main failure mode.",
        figures::position(standing.resemblance_mass)
    )
}
