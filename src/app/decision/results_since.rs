//! Results that were added, corrected or voided since a decision was signed.

use crate::app::decision::frozen::{Row, Tables};
use crate::app::decision::since::{ChangeKind, EvidenceChange};
use std::collections::BTreeMap;

/// The columns by which the same run is recognised.
const RUN: [&str; 6] = ["blend", "method", "quantity", "rig", "date", "replicate"];

/// What became of each run; runs whose rows are the same are left out.
pub(crate) fn results_since(
    then: &Tables,
    now: &Tables,
    label: &impl Fn(&str, &str) -> String,
) -> Vec<EvidenceChange> {
    let (Some(old), Some(new)) = (then.get("results.csv"), now.get("results.csv")) else {
        return Vec::new();
    };
    let (old, new) = (by_run(old), by_run(new));
    let gone = old.iter().filter(|(run, _)| !new.contains_key(*run));
    let gone = gone.map(|(run, rows)| change(ChangeKind::Gone, run, Some(current(rows)), None, label));
    let there = new.iter().filter_map(|(run, rows)| {
        let now = current(rows);
        let Some(earlier) = old.get(run) else {
            return Some(change(ChangeKind::Added, run, None, Some(now), label));
        };
        let then = current(earlier);
        let is_void = |row: &Row| cell(row, "status") == "void";
        let kind = if is_void(now) && !is_void(then) {
            ChangeKind::Voided
        } else if rows.len() > earlier.len() || said(then) != said(now) {
            ChangeKind::Corrected
        } else {
            return None;
        };
        Some(change(kind, run, Some(then), Some(now), label))
    });
    gone.chain(there).collect()
}

type Run<'a> = [&'a str; RUN.len()];

fn by_run(rows: &[Row]) -> BTreeMap<Run<'_>, Vec<&Row>> {
    let mut runs: BTreeMap<Run<'_>, Vec<&Row>> = BTreeMap::new();
    for row in rows {
        runs.entry(RUN.map(|column| cell(row, column)))
            .or_default()
            .push(row);
    }
    runs
}

/// The revision that no other one of the run corrects.
fn current<'a>(rows: &[&'a Row]) -> &'a Row {
    let is_corrected = |row: &Row| {
        let id = cell(row, "id");
        !id.is_empty() && rows.iter().any(|other| cell(other, "supersedes") == id)
    };
    let newest = rows.iter().rev().find(|row| !is_corrected(row));
    newest.copied().unwrap_or(rows[rows.len() - 1])
}

fn cell<'a>(row: &'a Row, column: &str) -> &'a str {
    row.get(column).map_or("", String::as_str)
}

/// Value, unit, what it counts, and why.
fn said(row: &Row) -> String {
    let value = match (cell(row, "value"), cell(row, "unit")) {
        ("", _) => "no value".to_string(),
        (value, "" | "-") => value.to_string(),
        (value, unit) => format!("{value} {unit}"),
    };
    let status = match cell(row, "status") {
        "valid" => "",
        other => other,
    };
    let parts = [value.as_str(), status, cell(row, "reason")];
    let parts = parts.into_iter().filter(|part| !part.is_empty());
    parts.collect::<Vec<_>>().join(", ")
}

fn change(
    kind: ChangeKind,
    [blend, method, quantity, rig, date, replicate]: &Run<'_>,
    then: Option<&Row>,
    now: Option<&Row>,
    label: &impl Fn(&str, &str) -> String,
) -> EvidenceChange {
    let of = label(method, quantity);
    let given = |before: &str, text: &str| match text {
        "" => String::new(),
        text => format!("{before}{text}"),
    };
    let (on, at) = (given(" on ", rig), given(", ", date));
    let words = |row: Option<&Row>| row.map_or_else(|| "not there".to_string(), said);
    EvidenceChange {
        kind,
        what: format!("{blend}, {of}, run {replicate}{on}{at}"),
        then: words(then),
        now: words(now),
    }
}
