//! `/trials/{trial}/report`: a whole trial as one page to print, and as one file that needs nothing else.
//!
//! It is the page of the comparison with what a reader on paper cannot follow a link to: every run, the decisions, the
//! machine, the methods with their sources.

mod file;

use crate::app::{App, AppError, DecisionView};
use crate::catalogue::Method;
use crate::prose::standing::per_cent;
use crate::records::{MachineContact, TrialRecords, TrialSlug};
use crate::web::address::At;
use crate::web::error::{HttpError, html};
use crate::web::figures::{self, Figure};
use crate::web::pages::comparison::cast::Cast;
use crate::web::pages::comparison::{ComparisonPage, Look};
use crate::web::pages::decision::record::{self, DecisionRow, SinceRows};
use crate::web::pages::machines::modes_words;
use crate::web::pages::results::list::runs;
use crate::web::pages::what_if::evidence::IfChanged;
use crate::web::preferences::preferences;
use crate::web::question::Pairs;
use askama::Template;
use axum::Router;
use axum::extract::State;
use axum::http::header;
use axum::response::{IntoResponse, Response};
use axum::routing::get;
use std::collections::{BTreeMap, BTreeSet};
use std::ops::Deref;
use std::sync::Arc;

pub(super) fn router() -> Router<Arc<App>> {
    Router::new().route("/trials/{trial}/report", get(show_report))
}

/// The page: the comparison's own, with more behind it.
#[derive(Template)]
#[template(path = "report/page.html")]
struct ReportPage<'a> {
    comparison: ComparisonPage,
    evidence: IfChanged,
    records: &'a TrialRecords,
    decisions: Vec<DecisionRow>,
    since: Option<SinceRows>,
}

impl Deref for ReportPage<'_> {
    type Target = ComparisonPage;

    fn deref(&self) -> &ComparisonPage {
        &self.comparison
    }
}

impl<'a> ReportPage<'a> {
    fn new(view: &'a DecisionView) -> Self {
        let (records, standing) = (&view.comparison.records, &view.comparison.standing);
        Self {
            evidence: IfChanged::new(standing, &Cast::of(records)).in_short(),
            comparison: ComparisonPage::new(&view.comparison, &Look::default()).for_paper(),
            records,
            decisions: record::rows(view),
            since: view.since.as_ref().map(SinceRows::new),
        }
    }
}

/// Failure modes of a contact that matter less: `wear; less: fatigue`.
fn lesser_modes(contact: &MachineContact) -> String {
    let others = [&contact.secondary_modes, &contact.minor_modes].map(|modes| modes_words(modes));
    let others: Vec<String> = others.into_iter().filter(|words| !words.is_empty()).collect();
    others.join("; less: ")
}

/// Of what a contact is known: `gear pair`, `stated`.
fn given_as(contact: &MachineContact) -> String {
    contact.preset.word().replace('_', " ")
}

/// `4 seen, 31 from memory`.
fn marks(method: &Method) -> String {
    let mut by_mark: BTreeMap<&str, usize> = BTreeMap::new();
    for value in &method.sources {
        *by_mark.entry(value.mark.words()).or_default() += 1;
    }
    let marks: Vec<String> = by_mark
        .iter()
        .map(|(mark, count)| format!("{count} {mark}"))
        .collect();
    if marks.is_empty() {
        return "the laboratory's own".to_string();
    }
    marks.join(", ")
}

/// Each source of a method once.
fn sources(method: &Method) -> String {
    let sources: BTreeSet<&str> = method.sources.iter().map(|value| value.source.as_str()).collect();
    let sources = sources.into_iter().filter(|source| !source.is_empty());
    sources.collect::<Vec<_>>().join("; ")
}

fn newest_entry(records: &TrialRecords) -> String {
    let times = records
        .results
        .iter()
        .flat_map(|run| [&run.entered_at, &run.voided_at]);
    match times.max().map(String::as_str) {
        None | Some("") => "nothing".to_string(),
        Some(at) => figures::moment(at),
    }
}

/// The report of a trial as one file that asks for nothing else.
///
/// # Errors
/// `NoSuchTrial`.
pub async fn report_file(app: &App, trial: &TrialSlug) -> Result<String, AppError> {
    let page = ReportPage::new(&app.decision_view(trial).await?).render();
    Ok(file::alone(&page.map_err(AppError::unwritten("a report"))?))
}

async fn show_report(
    State(app): State<Arc<App>>,
    At(trial): At<TrialSlug>,
    pairs: Pairs,
) -> Result<Response, HttpError> {
    if pairs.field("download").is_none() {
        return html(&ReportPage::new(&app.decision_view(&trial).await?));
    }
    let file = report_file(&app, &trial).await?;
    let headers = [
        (header::CONTENT_TYPE, "text/html; charset=utf-8".to_string()),
        (header::CONTENT_DISPOSITION, attachment(&trial)),
    ];
    Ok((headers, file).into_response())
}

/// A file name of plain letters: what an address may hold, a header may not.
fn attachment(trial: &TrialSlug) -> String {
    let name = figures::anchor(trial.as_str());
    format!("attachment; filename=\"{name}-report.html\"")
}
