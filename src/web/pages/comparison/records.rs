//! Gates as a table, and what was entered and became of it in numbers and words.

use crate::catalogue::MethodId;
use crate::prose::gates::{gate_limit, gate_reading, gate_results};
use crate::records::{AcceptedAs, GateOutcome, Purpose, ResultSource, ResultStatus, RunResult, TrialRecords};
use crate::standing::Standing;
use crate::web::pages::comparison::cast::Cast;
use crate::web::preferences::preferences;
use std::collections::BTreeMap;

/// A gate for one candidate.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct GateRow {
    pub(crate) label: String,
    pub(crate) method: MethodId,
    pub(crate) standard: String,
    pub(crate) limit: String,
    pub(crate) index: Option<usize>,
    pub(crate) blend: String,
    pub(crate) results: String,
    pub(crate) reading: String,
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
        limit: gate_limit(gate, preferences()),
        index: cast.index(&gate.blend),
        blend: gate.blend.to_string(),
        results: gate_results(gate, preferences()),
        reading: gate_reading(gate, preferences()),
        outcome: gate.outcome.word(),
        class: class(gate.outcome),
    })
    .collect()
}

/// By what an outcome is styled.
pub(crate) fn class(outcome: GateOutcome) -> &'static str {
    match outcome {
        GateOutcome::Pass => "pass",
        GateOutcome::Fail => "fail",
        GateOutcome::InDoubt => "in-doubt",
        GateOutcome::NotRun => "not-run",
    }
}

/// How much was entered: how many entries, and how many of them are corrected, void, suspect or from a data sheet.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(crate) struct RunCounts {
    pub(crate) entries: usize,
    /// `2 corrected, 1 void`; empty where every entry counts.
    pub(crate) besides: String,
}

/// The entries of a trial, counted.
pub(crate) fn counts(records: &TrialRecords) -> RunCounts {
    let superseded: Vec<i64> = records.results.iter().filter_map(|run| run.supersedes).collect();
    let mut of_class: BTreeMap<&'static str, usize> = BTreeMap::new();
    for run in &records.results {
        let is_superseded = run.id.is_some_and(|id| superseded.contains(&id));
        let (_, class) = state(run, is_superseded.then_some("superseded"));
        *of_class.entry(class).or_default() += 1;
    }
    let words = [
        ("superseded", "corrected by a later entry"),
        ("void", "void"),
        ("suspect", "suspect"),
        ("stopped", "stopped for cause"),
        ("data-sheet", "from a data sheet"),
    ];
    let besides: Vec<String> = words
        .iter()
        .filter_map(|(class, words)| Some(format!("{} {words}", of_class.get(class)?)))
        .collect();
    RunCounts {
        entries: records.results.len(),
        besides: besides.join(", "),
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
    let accepted = |what, words| if run.is_accepted(what) { words } else { "" };
    [
        run.conditions.as_str(),
        run.reason.as_str(),
        off_ladder,
        accepted(AcceptedAs::Unusual, "unusual, and said to be right"),
        accepted(
            AcceptedAs::SameRun,
            "like another run, and said to be one of its own",
        ),
        run.note.as_str(),
    ]
    .into_iter()
    .filter(|text| !text.is_empty())
    .collect::<Vec<_>>()
    .join("; ")
}
