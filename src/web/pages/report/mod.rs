//! `/trials/{trial}/report`: a whole trial as one page to print, and as one file that needs nothing else.
//!
//! It is the page of the comparison with what a reader on paper cannot follow a link to: every run, the decisions, the
//! machine, the methods with their sources.

mod file;
mod words;

use crate::app::{App, AppError, DecisionView};
use crate::catalogue::Method;
use crate::prose::standing::per_cent;
use crate::records::{Machine, TrialRecords, TrialSlug};
use crate::web::address::At;
use crate::web::error::{HttpError, html};
use crate::web::figures::{self, Figure};
use crate::web::pages::comparison::{ComparisonPage, Look};
use crate::web::pages::decision::record::{self, DecisionRow, SinceRows};
use crate::web::pages::results::list::{ResultsPage, Run};
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

/// A method as the report lists it.
struct MethodRow {
    title: String,
    standard: String,
    marks: String,
    sources: String,
    caution: String,
}

/// The page: the comparison's own, with more behind it.
#[derive(Template)]
#[template(path = "report/page.html")]
struct ReportPage {
    comparison: ComparisonPage,
    runs_of_report: Vec<Run>,
    decisions: Vec<DecisionRow>,
    since: Option<SinceRows>,
    contacts: Vec<[String; 5]>,
    machine_caution: String,
    methods: Vec<MethodRow>,
    engine: &'static str,
    newest_entry: String,
}

impl Deref for ReportPage {
    type Target = ComparisonPage;

    fn deref(&self) -> &ComparisonPage {
        &self.comparison
    }
}

impl ReportPage {
    fn new(view: &DecisionView) -> Self {
        let records = &view.comparison.records;
        Self {
            comparison: ComparisonPage::new(&view.comparison, &Look::default()).for_paper(),
            runs_of_report: ResultsPage::new(records, &records.methods).runs,
            decisions: record::rows(view),
            since: view.since.as_ref().map(SinceRows::new),
            contacts: contacts(&records.machine),
            machine_caution: records.machine.caution.clone(),
            methods: records.methods.iter().map(method).collect(),
            engine: env!("CARGO_PKG_VERSION"),
            newest_entry: newest_entry(records),
        }
    }
}

fn contacts(machine: &Machine) -> Vec<[String; 5]> {
    let modes = |modes: &[crate::catalogue::Mode]| {
        let words: Vec<&str> = modes.iter().map(|mode| mode.word()).collect();
        words.join(", ")
    };
    let row = |contact: &crate::records::MachineContact| {
        let others = [modes(&contact.secondary_modes), modes(&contact.minor_modes)];
        let others: Vec<String> = others.into_iter().filter(|words| !words.is_empty()).collect();
        [
            contact.name.clone(),
            per_cent(contact.share),
            contact.preset.word().replace('_', " "),
            modes(&contact.main_modes),
            others.join(words::LESS),
        ]
    };
    machine.contacts.iter().map(row).collect()
}

/// `4 seen, 31 from memory`, and each source once.
fn method(method: &Method) -> MethodRow {
    let mut by_mark: BTreeMap<&str, usize> = BTreeMap::new();
    for value in &method.sources {
        *by_mark.entry(value.mark.words()).or_default() += 1;
    }
    let marks: Vec<String> = by_mark
        .iter()
        .map(|(mark, count)| format!("{count} {mark}"))
        .collect();
    let sources: BTreeSet<&str> = method.sources.iter().map(|value| value.source.as_str()).collect();
    let sources: Vec<&str> = sources.into_iter().filter(|source| !source.is_empty()).collect();
    MethodRow {
        title: method.prose(&method.title, preferences()),
        standard: method.standard.clone(),
        marks: if marks.is_empty() {
            words::THE_LABORATORYS_OWN.to_string()
        } else {
            marks.join(", ")
        },
        sources: sources.join("; "),
        caution: method.prose(&method.caution, preferences()),
    }
}

fn newest_entry(records: &TrialRecords) -> String {
    let times = records
        .results
        .iter()
        .flat_map(|run| [&run.entered_at, &run.voided_at]);
    match times.max().map(String::as_str) {
        None | Some("") => words::NOTHING.to_string(),
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
    pairs: Result<Pairs, HttpError>,
) -> Result<Response, HttpError> {
    let is_to_keep = pairs?.0.iter().any(|(field, _)| field == "download");
    if !is_to_keep {
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
    let plain = |c: char| {
        if c.is_ascii_alphanumeric() || c == '_' {
            c
        } else {
            '-'
        }
    };
    let name: String = trial.as_str().chars().map(plain).collect();
    format!("attachment; filename=\"{name}-report.html\"")
}
