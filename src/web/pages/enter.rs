//! `/trials/{trial}/enter`: one run by hand, from its results or from the readings behind them.

use crate::app::{App, BenchTable, CellKind, Entered, FieldFault, TypedRun, bench_table};
use crate::catalogue::MethodId;
use crate::records::{Purpose, TrialRecords, TrialSlug};
use crate::web::address::At;
use crate::web::error::{HttpError, html};
use crate::web::figures;
use crate::web::frame::{Frame, Tab};
use crate::web::posted::Posted;
use crate::web::question::{Pairs, encoded};
use askama::Template;
use axum::Router;
use axum::extract::State;
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use axum::routing::get;
use std::sync::Arc;

pub(crate) fn router() -> Router<Arc<App>> {
    Router::new().route("/trials/{trial}/enter", get(show_entry).post(enter))
}

async fn show_entry(
    State(app): State<Arc<App>>,
    At(trial): At<TrialSlug>,
    pairs: Pairs,
) -> Result<Response, HttpError> {
    let records = app.records(&trial).await?;
    let typed = TypedRun {
        method: pairs.field("method").and_then(MethodId::new),
        ..TypedRun::default()
    };
    let table = bench_table(&records, &typed);
    let entered = Entered {
        written: pairs.field("entered").is_some(),
        ..Entered::default()
    };
    html(&EntryPage::new(&records, typed, table, entered))
}

async fn enter(
    State(app): State<Arc<App>>,
    At(trial): At<TrialSlug>,
    posted: Posted,
) -> Result<Response, HttpError> {
    let records = app.records(&trial).await?;
    let (typed, table) = typed(&records, &posted);
    if posted.field("do") == "check" {
        let checked = app.check_run(&records, &typed).await?;
        return page(&records, typed, table, checked);
    }
    let entered = app.enter_run(&records, &typed).await?;
    if entered.written {
        return Ok(Redirect::to(&next_run(&trial, &typed)).into_response());
    }
    page(&records, typed, table, entered)
}

fn page(
    records: &TrialRecords,
    typed: TypedRun,
    table: Option<BenchTable>,
    entered: Entered,
) -> Result<Response, HttpError> {
    let status = if entered.faults.is_empty() {
        StatusCode::OK
    } else {
        StatusCode::UNPROCESSABLE_ENTITY
    };
    Ok((status, html(&EntryPage::new(records, typed, table, entered))?).into_response())
}

/// The same form for the next run of the method.
fn next_run(trial: &TrialSlug, typed: &TypedRun) -> String {
    let (trial, method) = (encoded(trial.as_str()), encoded(id_of(typed)));
    format!("/trials/{trial}/enter?method={method}&entered=1")
}

/// The id of a run's method; empty where it is no name.
fn id_of(typed: &TypedRun) -> &str {
    typed.method.as_ref().map_or("", MethodId::as_str)
}

/// What was typed, with the table of readings of its method.
fn typed(records: &TrialRecords, posted: &Posted) -> (TypedRun, Option<BenchTable>) {
    let fields = TypedRun::FIELDS.map(|name| (name.to_string(), posted.field(name).to_string()));
    let mut typed = TypedRun {
        accepted: !posted.field(TypedRun::ACCEPTED).is_empty(),
        method: MethodId::new(posted.field("method")),
        fields: fields.into_iter().collect(),
        ..TypedRun::default()
    };
    let quantities = quantities(records, &typed);
    let values = quantities.into_iter().map(|(id, _, _)| {
        let (value, unit) = (
            posted.field(&format!("value.{id}")),
            posted.field(&format!("unit.{id}")),
        );
        (id, (value.to_string(), unit.to_string()))
    });
    let cell = |row: usize, name: &str| posted.field(&format!("r{row}.{name}")).to_string();
    typed.values = values.collect();
    let table = bench_table(records, &typed);
    if let Some(table) = table {
        let row = |row: usize| {
            table
                .columns
                .iter()
                .map(|column| cell(row, column.name))
                .collect()
        };
        typed.readings = (0..table.rows).map(row).collect();
    }
    (typed, table)
}

/// Id, label and unit of the quantities of a run's method that the trial asks for.
fn quantities(records: &TrialRecords, typed: &TypedRun) -> Vec<(String, String, String)> {
    let tests = records
        .trial
        .tests
        .iter()
        .filter(|test| Some(&test.key.method) == typed.method.as_ref());
    let known = tests.filter_map(|test| {
        let (_, quantity) = records.test(&test.key)?;
        Some((
            quantity.id.clone(),
            quantity.label.clone(),
            figures::kept_unit(quantity.unit).to_string(),
        ))
    });
    known.collect()
}

struct ValueField {
    id: String,
    label: String,
    unit: String,
    value: String,
    typed_unit: String,
    fault: String,
}

struct ReadingCell {
    name: String,
    label: String,
    value: String,
    words: &'static [&'static str],
    fault: String,
}

struct ReadAs {
    what: String,
    value: String,
}

/// The page.
#[derive(Template)]
#[template(path = "enter/page.html")]
struct EntryPage {
    frame: Frame,
    slug: String,
    methods: Vec<(MethodId, String)>,
    method: String,
    heading: String,
    blends: Vec<String>,
    rigs: Vec<String>,
    purposes: Vec<&'static str>,
    typed: TypedRun,
    values: Vec<ValueField>,
    table: Option<BenchTable>,
    rows: Vec<Vec<ReadingCell>>,
    faults: Vec<FieldFault>,
    remarks: Vec<String>,
    read_as: Vec<ReadAs>,
    /// The run before this form was written.
    is_entered: bool,
}

impl EntryPage {
    fn new(records: &TrialRecords, typed: TypedRun, table: Option<BenchTable>, entered: Entered) -> Self {
        let mut methods: Vec<(MethodId, String)> = Vec::new();
        for test in &records.trial.tests {
            if let Some(method) = records.method(&test.key.method)
                && !methods.iter().any(|(id, _)| id == &method.id)
            {
                methods.push((method.id.clone(), method.to_string()));
            }
        }
        let chosen = methods.iter().find(|(id, _)| Some(id) == typed.method.as_ref());
        let heading = chosen.map(|(_, title)| title.clone()).unwrap_or_default();
        let fault = |field: &str| fault_of(&entered.faults, field);
        let values = quantities(records, &typed).into_iter().map(|(id, label, unit)| {
            let (value, typed_unit) = typed.values.get(&id).cloned().unwrap_or_default();
            ValueField {
                fault: fault(&format!("value.{id}")),
                id,
                label,
                unit,
                value,
                typed_unit,
            }
        });
        let rows = table
            .map(|table| reading_rows(&table, &typed, &entered.faults))
            .unwrap_or_default();
        let blends = records.trial.blends.iter();
        Self {
            frame: Frame::new("Enter a run").in_trial(records, Tab::Runs),
            slug: encoded(records.trial.slug.as_str()),
            method: if heading.is_empty() {
                String::new()
            } else {
                id_of(&typed).to_string()
            },
            heading,
            blends: blends.map(|part| part.blend.to_string()).collect(),
            rigs: records.rigs.iter().map(|rig| rig.id.to_string()).collect(),
            purposes: Purpose::ALL.iter().map(|purpose| purpose.word()).collect(),
            values: values.collect(),
            rows,
            table,
            read_as: entered
                .results
                .iter()
                .map(|result| read_as(records, result))
                .collect(),
            is_entered: entered.written,
            remarks: entered.remarks,
            faults: entered.faults,
            typed,
            methods,
        }
    }

    fn field(&self, name: &str) -> &str {
        self.typed.fields.get(name).map_or("", String::as_str)
    }

    fn fault(&self, name: &str) -> &str {
        let found = self.faults.iter().find(|fault| fault.field == name);
        found.map_or("", |fault| fault.problem.as_str())
    }

    /// What is asked, and waits for a second yes.
    fn asked(&self) -> String {
        fault_of(&self.faults, TypedRun::ACCEPTED)
    }

    fn can_be_entered(&self) -> bool {
        !self.read_as.is_empty() && self.faults.is_empty()
    }
}

fn fault_of(faults: &[FieldFault], field: &str) -> String {
    let own = faults.iter().filter(|fault| fault.field == field);
    own.map(|fault| fault.problem.as_str())
        .collect::<Vec<_>>()
        .join("; ")
}

fn reading_rows(table: &BenchTable, typed: &TypedRun, faults: &[FieldFault]) -> Vec<Vec<ReadingCell>> {
    let cell = |row: usize, at: usize| {
        let column = table.columns[at];
        let name = format!("r{row}.{}", column.name);
        let value = typed.readings.get(row).and_then(|cells| cells.get(at));
        ReadingCell {
            label: format!("{} {}: {}", table.row, row + 1, column.label),
            value: value.cloned().unwrap_or_default(),
            words: match column.kind {
                CellKind::Word(words) => words,
                _ => &[],
            },
            fault: fault_of(faults, &name),
            name,
        }
    };
    (0..table.rows)
        .map(|row| (0..table.columns.len()).map(|at| cell(row, at)).collect())
        .collect()
}

fn read_as(records: &TrialRecords, result: &crate::records::RunResult) -> ReadAs {
    let known = records.test(&result.key);
    let label = known.map_or_else(|| result.key.to_string(), |(_, quantity)| quantity.label.clone());
    ReadAs {
        what: format!("{label}, run {}", result.replicate),
        value: figures::value_with_unit(&result.value, known.map(|(_, quantity)| quantity.unit)),
    }
}
