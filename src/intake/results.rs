//! results.csv, with the history that an exported folder carries.

use crate::catalogue::{Quantity, Reading};
use crate::intake::cells::Cells;
use crate::intake::folder::{Folder, Names};
use crate::intake::methods::Methods;
use crate::intake::{Fault, read_result};
use crate::records::rows::{RESULTS, TRIAL_BLENDS, TRIAL_METHODS};
use crate::records::{
    BlendCode, Purpose, ResultSource, ResultStatus, RigId, RunKey, RunResult, TestKey, Trial, TrialSlug,
};
use std::collections::{BTreeMap, BTreeSet};

pub(crate) fn results(folder: &mut Folder, methods: &Methods, trials: &[Trial]) -> Vec<RunResult> {
    let rows = folder.read(RESULTS, |names, cells| result(names, methods, cells));
    refuse_double_ids(folder, &rows);
    refuse_broken_histories(folder, &rows);
    warn_of_strangers(folder, trials, &rows);
    rows.into_iter().map(|(_, result)| result).collect()
}

fn result(names: &Names<'_>, methods: &Methods, cells: &mut Cells<'_>) -> Option<RunResult> {
    let trial = cells.reference("trial", TrialSlug::new, names.trials, "trials.csv");
    let blend = cells.reference("blend", BlendCode::new, names.blends, "blends.csv");
    let test = methods.test(cells);
    let purpose = cells.word("purpose", Purpose::from_word, &Purpose::allowed());
    let reading = test
        .as_ref()
        .and_then(|(_, quantity)| value(cells, quantity, purpose));
    let rig = cells.optional_reference("rig", RigId::new, names.rigs, "rigs.csv");
    let date = cells.date("date");
    let replicate = cells.replicate();
    let status = cells.word("status", ResultStatus::from_word, &ResultStatus::allowed());
    let reason = reason(cells, status);
    let source = cells.word("source", ResultSource::from_word, &ResultSource::allowed());
    let id = cells.id("id");
    let supersedes = cells.id("supersedes");
    let voided_at = voided_at(cells, status);
    let origin = match cells.text("origin") {
        blank if blank.trim().is_empty() => format!("{} line {}", RESULTS.name, cells.line()),
        given => given,
    };
    let (key, reading): (TestKey, Reading) = (test?.0, reading?);
    Some(RunResult {
        id: id?,
        trial: trial?,
        blend: blend?,
        key,
        value: reading.value,
        off_ladder: reading.off_ladder,
        value_as_written: cells.text("value"),
        unit_as_written: cells.text("unit"),
        rig: rig?,
        date: date?,
        replicate: replicate?,
        campaign: cells.text("campaign"),
        conditions: cells.text("conditions"),
        purpose: purpose?,
        status: status?,
        reason: reason?,
        source: source?,
        note: cells.text("note"),
        supersedes: supersedes?,
        entered_at: cells.text("entered_at"),
        voided_at: voided_at?,
        origin,
    })
}

/// The value as its quantity understands it; the purpose may be unreadable, which is noted already.
fn value(cells: &mut Cells<'_>, quantity: &Quantity, purpose: Option<Purpose>) -> Option<Reading> {
    let purpose_as_read = purpose.unwrap_or(Purpose::Stopped);
    match read_result(
        cells.trimmed("value"),
        cells.trimmed("unit"),
        quantity,
        purpose_as_read,
    ) {
        Ok(Some(reading)) => Some(reading),
        Ok(None) => cells.refuse("value", "says not run: leave the row out"),
        Err(fault) => cells.refuse(fault.column, fault.problem),
    }
}

fn reason(cells: &mut Cells<'_>, status: Option<ResultStatus>) -> Option<String> {
    let needs_one = matches!(status, Some(ResultStatus::Void | ResultStatus::Suspect));
    if needs_one && cells.trimmed("reason").is_empty() {
        return cells.refuse("reason", "is empty; a void or suspect result says why");
    }
    Some(cells.text("reason"))
}

fn voided_at(cells: &mut Cells<'_>, status: Option<ResultStatus>) -> Option<String> {
    let text = cells.text("voided_at");
    if !text.trim().is_empty() && matches!(status, Some(ResultStatus::Valid | ResultStatus::Suspect)) {
        return cells.refuse("voided_at", "is given for a result that is not void");
    }
    Some(text)
}

fn refuse_double_ids(folder: &mut Folder, rows: &[(u64, RunResult)]) {
    let mut seen: BTreeMap<i64, u64> = BTreeMap::new();
    for (line, result) in rows {
        let Some(id) = result.id else { continue };
        if let Some(first) = seen.get(&id) {
            let problem = format!("stands in line {first} already");
            let fault = Fault::new(RESULTS.name, *line, "id", &id.to_string(), problem);
            folder.faults.push(fault);
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
                folder
                    .faults
                    .push(Fault::new(RESULTS.name, *line, "replicate", &text, problem));
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
            folder
                .faults
                .push(Fault::new(RESULTS.name, *line, "supersedes", &text, problem));
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
            folder
                .warnings
                .push(Fault::new(RESULTS.name, *line, column, text, problem));
        };
        if !trial.blends.iter().any(|part| part.blend == result.blend) {
            warn("blend", result.blend.as_str(), TRIAL_BLENDS.name);
        }
        if !trial.tests.iter().any(|test| test.key == result.key) {
            warn("quantity", &result.key.to_string(), TRIAL_METHODS.name);
        }
    }
}
