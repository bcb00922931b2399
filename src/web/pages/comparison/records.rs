//! Gates and runs as tables: every run that was ever entered, with what became of it.

use crate::desk::words::gate_outcome;
use crate::records::{Dossier, GateOutcome, Purpose, ResultSource, ResultStatus, RunResult};
use crate::standing::Standing;
use crate::web::pages::comparison::cast::Cast;
use crate::web::words;

/// A gate for one candidate.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct GateRow {
    pub(crate) label: String,
    pub(crate) method: String,
    pub(crate) standard: String,
    pub(crate) limit: String,
    pub(crate) index: Option<usize>,
    pub(crate) blend: String,
    pub(crate) results: String,
    pub(crate) outcome: &'static str,
    pub(crate) class: &'static str,
}

/// All gates, test by test.
pub(crate) fn gates(standing: &Standing, cast: &Cast<'_>) -> Vec<GateRow> {
    let rows = standing.gates.iter();
    rows.map(|gate| GateRow {
        label: gate.label.clone(),
        method: gate.key.method.clone(),
        standard: gate.standard.clone(),
        limit: gate.limit.clone(),
        index: cast.index(&gate.blend),
        blend: gate.blend.to_string(),
        results: gate.results.clone(),
        outcome: gate_outcome(gate.outcome),
        class: match gate.outcome {
            GateOutcome::Pass => "pass",
            GateOutcome::Fail => "fail",
            GateOutcome::WithinScatter => "scatter",
            GateOutcome::NotRun => "not-run",
        },
    })
    .collect()
}

/// One run.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct RunRow {
    pub(crate) test: String,
    pub(crate) blend: String,
    pub(crate) role: &'static str,
    pub(crate) written: String,
    pub(crate) value: String,
    pub(crate) rig: String,
    pub(crate) date: String,
    pub(crate) replicate: u32,
    pub(crate) state: &'static str,
    pub(crate) class: &'static str,
    pub(crate) remark: String,
}

/// Every run of the trial with every revision, by test, blend, date and replicate.
pub(crate) fn runs(dossier: &Dossier, cast: &Cast<'_>) -> Vec<RunRow> {
    let superseded: Vec<i64> = dossier.results.iter().filter_map(|run| run.supersedes).collect();
    let mut sorted: Vec<&RunResult> = dossier.results.iter().collect();
    sorted.sort_by(|a, b| {
        (&a.key, &a.blend, a.date, a.replicate, a.id).cmp(&(&b.key, &b.blend, b.date, b.replicate, b.id))
    });
    sorted
        .into_iter()
        .map(|run| {
            let is_superseded = run.id.is_some_and(|id| superseded.contains(&id));
            row(run, is_superseded.then_some("superseded"), dossier, cast)
        })
        .collect()
}

fn row(run: &RunResult, superseded: Option<&'static str>, dossier: &Dossier, cast: &Cast<'_>) -> RunRow {
    let quantity = dossier.test(&run.key).map(|(_, quantity)| quantity);
    let label = quantity.map_or_else(|| run.key.to_string(), |quantity| quantity.label.clone());
    let value = words::value(&run.value);
    let (state, class) = state(run, superseded);
    RunRow {
        test: label,
        blend: run.blend.to_string(),
        role: cast.role_words(&run.blend),
        written: written(run),
        value: quantity.map_or_else(
            || value.clone(),
            |quantity| words::with_unit(&value, quantity.unit),
        ),
        rig: run.rig.as_ref().map(ToString::to_string).unwrap_or_default(),
        date: words::date(run.date),
        replicate: run.replicate,
        state,
        class,
        remark: remark(run),
    }
}

/// Value and unit as written.
pub(crate) fn written(run: &RunResult) -> String {
    match (run.value_as_written.trim(), run.unit_as_written.as_str()) {
        ("", _) => "no value".to_string(),
        (value, "" | "-") => value.to_string(),
        (value, unit) => format!("{value} {unit}"),
    }
}

/// What became of a run, in words and as a word for style sheet and tests.
pub(crate) fn state(run: &RunResult, superseded: Option<&'static str>) -> (&'static str, &'static str) {
    if let Some(word) = superseded {
        return ("corrected by a later entry", word);
    }
    match (run.status, run.source, run.purpose) {
        (ResultStatus::Void, ..) => ("void: does not count", "void"),
        (_, ResultSource::DataSheet, _) => ("data sheet: never weighed", "data-sheet"),
        (ResultStatus::Suspect, ..) => ("suspect: counts", "suspect"),
        (_, _, Purpose::Stopped) => ("stopped for cause", "stopped"),
        (_, _, Purpose::ReferenceCheck) => ("reference check", "valid"),
        _ => ("counts", "valid"),
    }
}

/// Everything that is to be known about a run besides its value.
pub(crate) fn remark(run: &RunResult) -> String {
    let off_ladder = if run.off_ladder {
        "load between two steps of the ladder"
    } else {
        ""
    };
    [
        run.conditions.as_str(),
        run.reason.as_str(),
        off_ladder,
        run.note.as_str(),
    ]
    .into_iter()
    .filter(|text| !text.is_empty())
    .collect::<Vec<_>>()
    .join("; ")
}
