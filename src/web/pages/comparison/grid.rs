//! Blends by tests: what was read of each, with a sign that says how it stands to the known good.

use crate::app::{App, as_table, as_workbook};
use crate::catalogue::Use;
use crate::charts::Svg;
use crate::prose::reasons::apart;
use crate::prose::standing::{number_of_standard, short_name};
use crate::records::{BlendCode, Level, TrialRecords, TrialSlug};
use crate::standing::{Apart, Standing, TestStanding, WhatIf};
use crate::web::address::At;
use crate::web::error::HttpError;
use crate::web::figures;
use crate::web::pages::comparison::cast::Cast;
use crate::web::pages::comparison::plot;
use crate::web::pages::comparison::ranking::mark_of;
use axum::extract::State;
use axum::http::header;
use axum::response::{IntoResponse, Response};
use std::sync::Arc;

/// A test at the head of the grid.
pub(crate) struct GridHead {
    pub(crate) name: String,
    pub(crate) standard: String,
    pub(crate) unit: &'static str,
}

/// What was read of a blend in a test.
pub(crate) struct GridCell {
    /// Empty where it was not run.
    pub(crate) read: String,
    /// `+`, `=` or `−` against the known good; empty where nothing is said of the two.
    pub(crate) sign: &'static str,
    pub(crate) said: &'static str,
}

/// A blend.
pub(crate) struct GridRow {
    pub(crate) blend: String,
    pub(crate) role: &'static str,
    pub(crate) mark: Svg,
    pub(crate) index: Option<usize>,
    pub(crate) cells: Vec<GridCell>,
}

/// The sheet that a meeting asks for.
pub(crate) struct Grid {
    pub(crate) heads: Vec<GridHead>,
    pub(crate) rows: Vec<GridRow>,
}

impl Grid {
    /// Candidates by their place in the standing, then the others; tests as the trial weighs them.
    pub(crate) fn new(standing: &Standing, records: &TrialRecords, cast: &Cast<'_>) -> Self {
        let tests: Vec<&TestStanding> = (standing.tests.iter())
            .filter(|test| test.used_to != Use::Gate && test.strip.is_some())
            .collect();
        let heads = tests.iter().map(|test| GridHead {
            name: short_name(standing, test),
            standard: number_of_standard(&test.standard).to_string(),
            unit: test.strip.as_ref().map_or("", |strip| figures::unit(strip.unit)),
        });
        let candidates = standing.candidates.iter().map(|candidate| &candidate.blend);
        let others =
            (records.trial.blends.iter().map(|part| &part.blend)).filter(|blend| cast.index(blend).is_none());
        let rows = candidates.chain(others).map(|blend| GridRow {
            blend: blend.to_string(),
            role: cast.role_words(blend),
            mark: mark_of(standing, cast, blend),
            index: cast.index(blend),
            cells: tests.iter().map(|test| cell(test, records, blend)).collect(),
        });
        Self {
            heads: heads.collect(),
            rows: rows.collect(),
        }
    }

    /// The grid as lines of cells, to hand on.
    pub(crate) fn lines(&self) -> Vec<Vec<String>> {
        let head = |head: &GridHead| match head.unit {
            "" => format!("{} ({})", head.name, head.standard),
            unit => format!("{} ({}), {unit}", head.name, head.standard),
        };
        let names = ["blend", "role"].map(String::from).into_iter();
        let first = names.chain(self.heads.iter().map(head)).collect();
        let line = |row: &GridRow| {
            let cells = row.cells.iter().map(|cell| cell.read.clone());
            let named = [row.blend.clone(), row.role.to_string()];
            named.into_iter().chain(cells).collect()
        };
        [first].into_iter().chain(self.rows.iter().map(line)).collect()
    }
}

fn cell(test: &TestStanding, records: &TrialRecords, blend: &BlendCode) -> GridCell {
    let record = records.trial.tests.iter().find(|record| record.key == test.key);
    let good = record.and_then(|record| records.reference(record, Level::KnownGood));
    let verdict = test
        .verdicts
        .iter()
        .find(|verdict| &verdict.blend == blend && Some(&verdict.reference) == good);
    let strip = test.strip.as_ref();
    GridCell {
        read: strip.map_or_else(String::new, |strip| plot::read(test, blend, strip)),
        sign: verdict.map_or("", |verdict| match verdict.apart {
            Apart::Better => "+",
            Apart::Alike => "=",
            Apart::Worse => "−",
        }),
        said: verdict.map_or("", |verdict| apart(verdict.apart)),
    }
}

/// What was read of every blend in every test, as a table to hand on.
pub(super) async fn as_csv(
    State(app): State<Arc<App>>,
    At(trial): At<TrialSlug>,
) -> Result<Response, HttpError> {
    let file = as_table(&lines_of(&app, &trial).await?)?;
    Ok(handed_on(&trial, "csv", "text/csv; charset=utf-8", file))
}

/// The same as a workbook.
pub(super) async fn as_xlsx(
    State(app): State<Arc<App>>,
    At(trial): At<TrialSlug>,
) -> Result<Response, HttpError> {
    const KIND: &str = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet";
    let file = as_workbook(&lines_of(&app, &trial).await?)?;
    Ok(handed_on(&trial, "xlsx", KIND, file))
}

async fn lines_of(app: &App, trial: &TrialSlug) -> Result<Vec<Vec<String>>, HttpError> {
    let comparison = app.compare(trial, &WhatIf::default()).await?;
    let records = &comparison.records;
    Ok(Grid::new(&comparison.standing, records, &Cast::of(records)).lines())
}

fn handed_on(trial: &TrialSlug, end: &str, kind: &'static str, file: Vec<u8>) -> Response {
    let name = format!(
        "attachment; filename=\"{}-readings.{end}\"",
        figures::anchor(trial.as_str())
    );
    let headers = [
        (header::CONTENT_TYPE, kind.to_string()),
        (header::CONTENT_DISPOSITION, name),
    ];
    (headers, file).into_response()
}
