//! One run entered by hand: its results as they were read, or the readings from which they follow.
//!
//! What is typed takes the way of an imported row, so that the same rules hold and the same words say what is wrong.

use crate::app::import::given;
use crate::app::{App, AppError, FieldFault, now};
use crate::catalogue::{Method, MethodId};
use crate::intake::bench::{BenchFault, BenchTable, FromBench, results_of, table_of};
use crate::intake::{CellProblem, Finding, KnownNames, LongFile, read_typed};
use crate::prose::faults::may_be_the_same_run;
use crate::records::{RawReading, RunResult, TrialRecords, TrialSlug};
use crate::store::Fate;
use std::collections::BTreeMap;

/// What an entry form holds, as typed.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct TypedRun {
    /// Method id; `None` where it is no name.
    pub method: Option<MethodId>,
    /// What stands in each of [`TypedRun::FIELDS`], by its name.
    pub fields: BTreeMap<String, String>,
    /// Value and unit of each quantity, by its id.
    pub values: BTreeMap<String, (String, String)>,
    /// Readings, row by row.
    pub readings: Vec<Vec<String>>,
    /// Whether somebody says that what is asked about is right.
    pub accepted: bool,
}

impl TypedRun {
    /// Columns of an import that the form has one field for.
    pub const FIELDS: [&'static str; 8] = [
        "blend",
        "rig",
        "date",
        "replicate",
        "campaign",
        "conditions",
        "purpose",
        "note",
    ];
    /// The field that says yes to what is asked about.
    pub const ACCEPTED: &'static str = "accepted";
}

/// What became of an entry.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Entered {
    /// The results as they were read.
    pub results: Vec<RunResult>,
    /// What should be looked at again.
    pub remarks: Vec<String>,
    /// What stands against writing it; empty: it can be written.
    pub faults: Vec<FieldFault>,
    /// Whether it was written.
    pub written: bool,
}

fn method_of<'r>(records: &'r TrialRecords, typed: &TypedRun) -> Option<&'r Method> {
    records.method(typed.method.as_ref()?)
}

/// The table of readings that a run's method takes; `None` where the result itself is what is read.
pub fn bench_table(records: &TrialRecords, typed: &TypedRun) -> Option<BenchTable> {
    method_of(records, typed)?.readings.map(table_of)
}

impl App {
    /// What [`App::enter_run`] would do; nothing is kept.
    ///
    /// # Errors
    /// `NoSuchTrial`.
    pub async fn check_run(&self, records: &TrialRecords, typed: &TypedRun) -> Result<Entered, AppError> {
        let (entered, _) = self.read_run(records, typed).await?;
        Ok(entered)
    }

    /// Writes a run with its readings in one transaction; nothing where anything stands against it.
    ///
    /// # Errors
    /// `NoSuchTrial`.
    pub async fn enter_run(&self, records: &TrialRecords, typed: &TypedRun) -> Result<Entered, AppError> {
        let (mut entered, file) = self.read_run(records, typed).await?;
        let Some(file) = file.filter(|_| entered.faults.is_empty()) else {
            return Ok(entered);
        };
        let readings = raw_readings(typed, bench_table(records, typed), &entered.results);
        let runs = given(&file);
        let fates = self
            .store()
            .insert_runs_with_readings(&runs, &readings, &now())
            .await?;
        entered.faults = faults_of(&fates);
        entered.written = entered.faults.is_empty();
        Ok(entered)
    }

    /// What is wrong in the fields that head a run whose readings or results cannot be used: they are read as those of
    /// a result that nothing is wrong with.
    async fn faults_above(&self, trial: &TrialSlug, typed: &TypedRun) -> Result<Vec<FieldFault>, AppError> {
        let Some(quantity) = typed.values.keys().next() else {
            return Ok(Vec::new());
        };
        let stand_in = EntryRow {
            quantity: quantity.clone(),
            value: "1".to_string(),
            unit: String::new(),
            specimen: 0,
        };
        let file = self.read_rows(trial, typed, &[stand_in]).await?;
        let problems = file.rows.iter().flat_map(|row| match &row.finding {
            Finding::Refused(problems) => problems.as_slice(),
            _ => &[],
        });
        let above = problems.filter(|problem| TypedRun::FIELDS.contains(&problem.column.as_str()));
        Ok(above.map(|problem| fault(problem, quantity)).collect())
    }

    /// Rows read as those of an import are.
    async fn read_rows(
        &self,
        trial: &TrialSlug,
        typed: &TypedRun,
        rows: &[EntryRow],
    ) -> Result<LongFile, AppError> {
        let own = ["method", "quantity", "value", "unit"];
        let columns: Vec<&str> = TypedRun::FIELDS.into_iter().chain(own).collect();
        let cells = rows.iter().map(|row| row_of(typed, row)).collect();
        let read = |known: &KnownNames<'_>| read_typed(&columns, cells, "entry form", trial, known);
        self.with_known_names(Some(trial), read).await
    }

    async fn read_run(
        &self,
        records: &TrialRecords,
        typed: &TypedRun,
    ) -> Result<(Entered, Option<LongFile>), AppError> {
        let trial = &records.trial.slug;
        let (rows, mut entered) = match rows(typed, method_of(records, typed)) {
            Ok(found) => found,
            Err(mut faults) => {
                faults.extend(self.faults_above(trial, typed).await?);
                let refused = Entered {
                    faults: as_they_stand(faults),
                    ..Entered::default()
                };
                return Ok((refused, None));
            }
        };
        let mut file = self.read_rows(trial, typed, &rows).await?;
        if typed.accepted {
            self.accept_all(&mut file).await?;
        }
        for (place, row) in file.rows.iter().enumerate() {
            match &row.finding {
                Finding::Run(draft) => {
                    entered.results.push(draft.result.clone());
                    entered.remarks.extend(draft.remarks.iter().cloned());
                    let questions = draft.asked.iter().map(|question| asked(&question.cell.problem));
                    entered.faults.extend(questions);
                }
                Finding::NotRun => {}
                Finding::Refused(problems) => {
                    let quantity = rows.get(place).map_or("", |row| row.quantity.as_str());
                    entered
                        .faults
                        .extend(problems.iter().map(|problem| fault(problem, quantity)));
                }
            }
        }
        entered.faults = as_they_stand(entered.faults);
        if entered.results.is_empty() && entered.faults.is_empty() {
            entered.faults.push(FieldFault {
                field: rows
                    .first()
                    .map_or("value".to_string(), |row| format!("value.{}", row.quantity)),
                problem: "nothing is entered; fill in a value or readings".to_string(),
            });
        }
        if entered.faults.is_empty() {
            entered.faults = faults_of(&self.store().fates(&given(&file)).await?);
        }
        Ok((entered, Some(file)))
    }
}

/// Faults as their fields stand in the form: what heads a run, its readings, its results.
fn as_they_stand(mut faults: Vec<FieldFault>) -> Vec<FieldFault> {
    let place = |fault: &FieldFault| {
        let at = TypedRun::FIELDS.iter().position(|field| *field == fault.field);
        let below = if fault.field.starts_with("value") { 1 } else { 0 };
        at.unwrap_or(TypedRun::FIELDS.len() + below)
    };
    faults.sort_by_key(place);
    faults.dedup();
    faults
}

/// One row of what an import would have.
struct EntryRow {
    quantity: String,
    value: String,
    unit: String,
    specimen: u32,
}

fn rows(typed: &TypedRun, method: Option<&Method>) -> Result<(Vec<EntryRow>, Entered), Vec<FieldFault>> {
    let from_bench = match method.and_then(|method| results_of(method, &typed.readings)) {
        None => FromBench::default(),
        Some(Ok(found)) => found,
        Some(Err(faults)) => {
            let fault = |fault: BenchFault| FieldFault {
                field: format!("r{}.{}", fault.row, fault.column),
                problem: fault.problem,
            };
            return Err(faults.into_iter().map(fault).collect());
        }
    };
    let mut rows: Vec<EntryRow> = Vec::new();
    let mut faults = Vec::new();
    for value in &from_bench.values {
        rows.push(EntryRow {
            quantity: value.quantity.to_string(),
            value: value.text.clone(),
            unit: value.unit.to_string(),
            specimen: value.specimen,
        });
    }
    for (quantity, (value, unit)) in &typed.values {
        let computed = from_bench.values.iter().any(|one| one.quantity == quantity);
        match (value.trim().is_empty(), computed) {
            (true, _) => {}
            (false, true) => faults.push(FieldFault {
                field: format!("value.{quantity}"),
                problem: "follows from the readings; empty this field, or empty the readings".to_string(),
            }),
            (false, false) => rows.push(EntryRow {
                quantity: quantity.clone(),
                value: value.clone(),
                unit: unit.clone(),
                specimen: 0,
            }),
        }
    }
    if !faults.is_empty() {
        return Err(faults);
    }
    if rows.is_empty() {
        let first = typed
            .values
            .keys()
            .next()
            .map_or("value".to_string(), |quantity| format!("value.{quantity}"));
        return Err(vec![FieldFault {
            field: first,
            problem: "nothing is entered; fill in a value or readings".to_string(),
        }]);
    }
    let entered = Entered {
        remarks: from_bench.remarks,
        ..Entered::default()
    };
    Ok((rows, entered))
}

/// The cells of a row under the columns of the form, then method, quantity, value and unit.
fn row_of(typed: &TypedRun, row: &EntryRow) -> Vec<String> {
    let fields = TypedRun::FIELDS.iter().map(|field| match *field {
        "replicate" => replicate(typed, row.specimen),
        field => one_line(typed.fields.get(field)),
    });
    let method = typed.method.as_ref().map_or("", MethodId::as_str);
    let own = [method, &row.quantity, &row.value, &row.unit];
    fields.chain(own.map(str::to_string)).collect()
}

fn one_line(text: Option<&String>) -> String {
    text.map(|text| text.replace(['\r', '\n'], " "))
        .unwrap_or_default()
}

/// Each specimen of a run is a replicate of its own, counted on from the one that was typed.
fn replicate(typed: &TypedRun, specimen: u32) -> String {
    let text = one_line(typed.fields.get("replicate"));
    match (text.trim().is_empty(), text.trim().parse::<u32>()) {
        (true, _) => (1 + specimen).to_string(),
        (false, Ok(first)) => first.saturating_add(specimen).to_string(),
        (false, Err(_)) => text,
    }
}

fn fault(problem: &CellProblem, quantity: &str) -> FieldFault {
    let field = match problem.column.as_str() {
        "value" | "unit" | "" | "quantity" => format!("value.{quantity}"),
        column => column.to_string(),
    };
    FieldFault {
        field,
        problem: problem.problem.clone(),
    }
}

/// What is asked of a run, beside the field that says yes.
fn asked(question: &str) -> FieldFault {
    FieldFault::new(TypedRun::ACCEPTED, question)
}

fn faults_of(fates: &[Fate]) -> Vec<FieldFault> {
    if let Some(Fate::MayBeThere { other }) =
        fates.iter().find(|fate| matches!(fate, Fate::MayBeThere { .. }))
    {
        return vec![asked(&may_be_the_same_run(&format!("the run {other}")))];
    }
    let words = |fate: &Fate| match fate {
        Fate::New | Fate::MayBeThere { .. } => None,
        Fate::AlreadyThere => {
            Some("this run is there already; a further run has the next number".to_string())
        }
        Fate::Changes { there, .. } => Some(format!(
            "this run is there with {there}; correct that result on purpose, or take the next number"
        )),
    };
    let mut faults: Vec<FieldFault> = fates
        .iter()
        .filter_map(words)
        .map(|problem| FieldFault {
            field: "replicate".to_string(),
            problem,
        })
        .collect();
    faults.truncate(1);
    faults
}

fn raw_readings(typed: &TypedRun, table: Option<BenchTable>, results: &[RunResult]) -> Vec<RawReading> {
    let (Some(table), Some(result)) = (table, results.first()) else {
        return Vec::new();
    };
    let mut readings = Vec::new();
    for (place, row) in typed.readings.iter().enumerate() {
        for (column, cell) in table.columns.iter().zip(row) {
            if row.iter().all(|cell| cell.trim().is_empty()) {
                continue;
            }
            readings.push(RawReading {
                trial: result.trial.clone(),
                blend: result.blend.clone(),
                method: result.key.method.clone(),
                rig: result.rig.clone(),
                date: result.date,
                replicate: result.replicate,
                position: format!("{} {}", table.row, place + 1),
                kind: column.name.to_string(),
                value: cell.trim().to_string(),
                unit: column.unit.to_string(),
            });
        }
    }
    readings
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn faults_stand_as_their_fields_do_and_each_stands_once() {
        let fault = |field: &str| FieldFault {
            field: field.to_string(),
            problem: "wrong".to_string(),
        };
        let mixed = [
            "value.scar",
            "r2.along",
            "note",
            "date",
            "r1.across",
            "blend",
            "date",
        ];
        let sorted = as_they_stand(mixed.map(fault).to_vec());
        let fields: Vec<&str> = sorted.iter().map(|fault| fault.field.as_str()).collect();
        assert_eq!(
            fields,
            ["blend", "date", "note", "r2.along", "r1.across", "value.scar"]
        );
    }
}
