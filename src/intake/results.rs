//! results.csv, with the history that an exported folder carries.

use crate::catalogue::Quantity;
use crate::intake::cells::Cells;
use crate::intake::folder::Folder;
use crate::intake::methods::Methods;
use crate::intake::read_result;
use crate::records::table::{Record, column};
use crate::records::{Purpose, ResultStatus, RunKey, RunResult, Trial, TrialBlend, TrialSlug, TrialTest};
use std::collections::{BTreeMap, BTreeSet};

pub(crate) fn results(folder: &mut Folder, methods: &Methods, trials: &[Trial]) -> Vec<RunResult> {
    let rows = folder.read_with(|cells| result(methods, cells));
    let rows: Vec<(u64, RunResult)> = rows
        .into_iter()
        .map(|(line, (), result)| (line, result))
        .collect();
    refuse_double_ids(folder, &rows);
    refuse_broken_histories(folder, &rows);
    warn_of_strangers(folder, trials, &rows);
    rows.into_iter().map(|(_, result)| result).collect()
}

fn result(methods: &Methods, cells: &mut Cells<'_>) -> Option<((), RunResult)> {
    if let Some((_, quantity)) = methods.test(cells) {
        work_out_value(cells, quantity);
    }
    let result: Option<((), RunResult)> = cells.record();
    let status: Option<ResultStatus> = cells.peek(&column("status"));
    let no_reason = matches!(status, Some(ResultStatus::Void | ResultStatus::Suspect))
        && cells.trimmed("reason").is_empty();
    let voided_all_the_same = matches!(status, Some(ResultStatus::Valid | ResultStatus::Suspect))
        && !cells.trimmed("voided_at").is_empty();
    let problem = "is empty; a void or suspect result says why";
    let reason = cells.passes("reason", no_reason.then_some(problem));
    let problem = "is given for a result that is not void";
    let voided_at = cells.passes("voided_at", voided_all_the_same.then_some(problem));
    let ((), mut result) = result.filter(|_| reason && voided_at)?;
    if result.origin.trim().is_empty() {
        result.origin = format!("{} line {}", RunResult::FILE, cells.line());
    }
    Some(((), result))
}

/// The value as its quantity understands it; the purpose may be unreadable, which is noted with it.
fn work_out_value(cells: &mut Cells<'_>, quantity: &Quantity) {
    let purpose = cells.peek(&column("purpose")).unwrap_or(Purpose::Stopped);
    match read_result(cells.trimmed("value"), cells.trimmed("unit"), quantity, purpose) {
        Ok(Some(reading)) => {
            cells.work_out(&RunResult::VALUE, &reading.value);
            cells.work_out(&RunResult::OFF_LADDER, &reading.off_ladder);
        }
        Ok(None) => {
            cells.refuse::<()>("value", "says not run: leave the row out");
        }
        Err(fault) => {
            cells.refuse::<()>(fault.column, fault.problem);
        }
    }
}

fn refuse_double_ids(folder: &mut Folder, rows: &[(u64, RunResult)]) {
    let mut seen: BTreeMap<i64, u64> = BTreeMap::new();
    for (line, result) in rows {
        let Some(id) = result.id else { continue };
        if let Some(first) = seen.get(&id) {
            let problem = format!("stands in line {first} already");
            folder.refuse::<RunResult>(*line, "id", &id.to_string(), problem);
        } else {
            seen.insert(id, *line);
        }
    }
}

/// A run is entered once. More rows of the same run are corrections, each of which supersedes the one before it.
fn refuse_broken_histories(folder: &mut Folder, rows: &[(u64, RunResult)]) {
    let by_id: BTreeMap<i64, &RunResult> = rows
        .iter()
        .filter_map(|(_, result)| Some((result.id?, result)))
        .collect();
    let mut first_entries: BTreeMap<RunKey, u64> = BTreeMap::new();
    let mut superseded: BTreeMap<i64, u64> = BTreeMap::new();
    for (line, result) in rows {
        let Some(earlier) = result.supersedes else {
            if let Some(first) = first_entries.get(&result.run_key()) {
                let problem = format!(
                    "the same trial, blend, method, quantity, rig, date and replicate stand in line {first} already; \
                     number the replicates"
                );
                let text = result.replicate.to_string();
                folder.refuse::<RunResult>(*line, "replicate", &text, problem);
            } else {
                first_entries.insert(result.run_key(), *line);
            }
            continue;
        };
        let problem = match by_id.get(&earlier) {
            None => Some("is not the id of a result in this file".to_string()),
            Some(other) if other.run_key() != result.run_key() => {
                Some("is the id of another run".to_string())
            }
            Some(_) if goes_in_a_circle(result, &by_id) => {
                Some("leads back to the result itself".to_string())
            }
            Some(_) => superseded
                .get(&earlier)
                .map(|first| format!("is corrected in line {first} already")),
        };
        superseded.entry(earlier).or_insert(*line);
        if let Some(problem) = problem {
            let text = earlier.to_string();
            folder.refuse::<RunResult>(*line, "supersedes", &text, problem);
        }
    }
}

fn goes_in_a_circle(result: &RunResult, by_id: &BTreeMap<i64, &RunResult>) -> bool {
    let mut seen = BTreeSet::new();
    let mut at = Some(result);
    while let Some(result) = at {
        if let Some(id) = result.id
            && !seen.insert(id)
        {
            return true;
        }
        at = result.supersedes.and_then(|earlier| by_id.get(&earlier).copied());
    }
    false
}

/// A result of a blend or a test that its trial does not name is kept, but nothing weighs it.
fn warn_of_strangers(folder: &mut Folder, trials: &[Trial], rows: &[(u64, RunResult)]) {
    let trials: BTreeMap<&TrialSlug, &Trial> = trials.iter().map(|trial| (&trial.slug, trial)).collect();
    for (line, result) in rows {
        let Some(trial) = trials.get(&result.trial) else {
            continue;
        };
        let mut warn = |column: &str, text: &str, file: &str| {
            let problem = format!("is not in {file} for this trial; nothing weighs the result");
            folder.warn::<RunResult>(*line, column, text, problem);
        };
        if !trial.blends.iter().any(|part| part.blend == result.blend) {
            warn("blend", result.blend.as_str(), TrialBlend::FILE);
        }
        if !trial.tests.iter().any(|test| test.key == result.key) {
            warn("quantity", &result.key.to_string(), TrialTest::FILE);
        }
    }
}
