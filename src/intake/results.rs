//! results.csv, with the history that an exported folder carries.

use crate::catalogue::{Bounds, Method, Quantity};
use crate::intake::cells::Cells;
use crate::intake::folder::Folder;
use crate::intake::methods::Methods;
use crate::intake::run_rules::{foreign_rig, future};
use crate::intake::{ReadValue, ValueCells, read_result};
use crate::prose::faults::{asked_of_a_row, may_be_the_same_run, unusual};
use crate::records::table::{Record, column};
use crate::records::{
    AcceptedAs, Purpose, ResultStatus, Rig, RunKey, RunNumber, RunResult, Trial, TrialBlend, TrialSlug,
    TrialTest, same_runs,
};
use jiff::civil::Date;
use std::collections::{BTreeMap, BTreeSet};

/// What the rows of results are read by.
struct Rules<'a> {
    methods: &'a Methods,
    rigs: &'a [Rig],
    today: Date,
    /// Ids of entries that a later one corrects.
    superseded: BTreeSet<String>,
}

/// `today` is the day of entry of rows that give none.
pub(crate) fn results(
    folder: &mut Folder,
    methods: &Methods,
    trials: &[Trial],
    rigs: &[Rig],
    today: Date,
) -> Vec<RunResult> {
    let table = folder.table::<RunResult>();
    let column = |heading: &'static str| {
        let cells = table.rows.iter().map(move |row| table.cell(row, heading).trim());
        cells.map(str::to_string)
    };
    let rules = Rules {
        methods,
        rigs,
        today,
        superseded: column("supersedes").filter(|id| !id.is_empty()).collect(),
    };
    let lines = table.rows.iter().map(|row| row.line);
    let without_number = lines
        .zip(column("replicate"))
        .filter(|(_, number)| number.is_empty());
    let without_number: BTreeSet<u64> = without_number.map(|(line, _)| line).collect();
    let rows = folder.read_with(|cells| result(&rules, cells));
    let rows: Vec<(u64, RunResult)> = rows
        .into_iter()
        .map(|(line, (), result)| (line, result))
        .collect();
    refuse_double_ids(folder, &rows);
    refuse_broken_histories(folder, &rows);
    ask_about_same_runs(folder, &rows, &without_number);
    warn_of_strangers(folder, trials, &rows);
    rows.into_iter().map(|(_, result)| result).collect()
}

fn result(rules: &Rules<'_>, cells: &mut Cells<'_>) -> Option<((), RunResult)> {
    let status: Option<ResultStatus> = cells.peek(&column("status"));
    // an entry that counts no more stays as it was written
    let is_past = status == Some(ResultStatus::Void) || rules.superseded.contains(cells.trimmed("id"));
    let mut last_passed = String::new();
    let mut sound = true;
    if let Some((_, quantity)) = rules.methods.test(cells)
        && let Some(method) = rules.methods.known_method(cells, "method")
    {
        let conditions = cells.trimmed("conditions");
        let bounds = match is_past {
            true => Bounds::open(quantity),
            false => Bounds::of(method, quantity, conditions),
        };
        if let Some(read) = work_out_value(cells, &bounds) {
            sound = is_past || says_yes_to_what_is_asked(cells, &read, quantity);
            last_passed = read.last_passed;
        }
        sound &= is_past || is_run_by_its_rig(rules, cells, method);
    }
    sound &= is_past || is_there_when_entered(rules, cells);
    let result: Option<((), RunResult)> = cells.record();
    let no_reason = matches!(status, Some(ResultStatus::Void | ResultStatus::Suspect))
        && cells.trimmed("reason").is_empty();
    let voided_all_the_same = matches!(status, Some(ResultStatus::Valid | ResultStatus::Suspect))
        && !cells.trimmed("voided_at").is_empty();
    let problem = "is empty; a void or suspect result says why";
    let reason = cells.passes("reason", no_reason.then_some(problem));
    let problem = "is given for a result that is not void";
    let voided_at = cells.passes("voided_at", voided_all_the_same.then_some(problem));
    let ((), mut result) = result.filter(|_| reason && voided_at && sound)?;
    result.last_passed = last_passed;
    if result.origin.trim().is_empty() {
        result.origin = format!("{} line {}", RunResult::FILE, cells.line());
    }
    Some(((), result))
}

/// The value as its quantity understands it; the purpose may be unreadable, which is noted with it.
fn work_out_value(cells: &mut Cells<'_>, bounds: &Bounds<'_>) -> Option<ReadValue> {
    let purpose = cells.peek(&column("purpose")).unwrap_or(Purpose::Stopped);
    let of_value = ValueCells {
        value: cells.trimmed("value"),
        unit: cells.trimmed("unit"),
        last_passed: cells.trimmed("last_passed"),
    };
    match read_result(&of_value, bounds, purpose) {
        Ok(Some(read)) => {
            cells.work_out(&RunResult::VALUE, &read.reading.value);
            cells.work_out(&RunResult::OFF_LADDER, &read.reading.off_ladder);
            Some(read)
        }
        Ok(None) => cells.refuse("value", "says not run: leave the row out"),
        Err(fault) => cells.refuse(fault.column, fault.problem),
    }
}

/// Whether the row says yes to a value that is asked about, where it is.
fn says_yes_to_what_is_asked(cells: &mut Cells<'_>, read: &ReadValue, quantity: &Quantity) -> bool {
    // an unreadable cell is noted with the others
    let Some(accepted) = cells.peek::<Vec<AcceptedAs>>(&column("accepted")) else {
        return true;
    };
    let open = read
        .reading
        .unusual
        .as_ref()
        .filter(|_| !accepted.contains(&AcceptedAs::Unusual));
    let question = open.map(|why| asked_of_a_row(&unusual(why, quantity.unit), AcceptedAs::Unusual));
    cells.passes("value", question)
}

fn is_run_by_its_rig(rules: &Rules<'_>, cells: &mut Cells<'_>, method: &Method) -> bool {
    let rig = rules
        .rigs
        .iter()
        .find(|rig| rig.id.as_str() == cells.trimmed("rig"));
    let fault =
        rig.and_then(|rig| foreign_rig(rig, method, |id| rules.methods.known(id), |it| it.id.to_string()));
    cells.passes("rig", fault)
}

/// Whether the run was made before it was entered.
fn is_there_when_entered(rules: &Rules<'_>, cells: &mut Cells<'_>) -> bool {
    let day: Option<Date> = cells.peek(&column("date")).flatten();
    let entered: Option<String> = cells.peek(&column("entered_at"));
    let entered = entered.and_then(|moment| moment.get(..10)?.parse::<Date>().ok());
    cells.passes(
        "date",
        day.and_then(|day| future(day, entered.unwrap_or(rules.today))),
    )
}

/// A run that equals an earlier one but for a missing rig, date or number needs a yes that it is another one.
fn ask_about_same_runs(folder: &mut Folder, rows: &[(u64, RunResult)], without_number: &BTreeSet<u64>) {
    let superseded: BTreeSet<i64> = rows.iter().filter_map(|(_, result)| result.supersedes).collect();
    let counts = |(_, result): &&(u64, RunResult)| {
        result.status != ResultStatus::Void && !result.id.is_some_and(|id| superseded.contains(&id))
    };
    let current: Vec<&(u64, RunResult)> = rows.iter().filter(counts).collect();
    let number = |line: &u64| match without_number.contains(line) {
        true => RunNumber::Missing,
        false => RunNumber::Given,
    };
    let numbered: Vec<(&RunResult, RunNumber)> = current
        .iter()
        .map(|(line, result)| (result, number(line)))
        .collect();
    let found = same_runs(&numbered).into_iter().zip(&current);
    for (earlier, (line, result)) in found {
        let Some(earlier) = earlier.filter(|_| !result.is_accepted(AcceptedAs::SameRun)) else {
            continue;
        };
        let question = may_be_the_same_run(&format!("the run of line {}", current[earlier].0));
        let text = result.replicate.to_string();
        let question = asked_of_a_row(&question, AcceptedAs::SameRun);
        folder.refuse::<RunResult>(*line, "replicate", &text, question);
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
