//! Results with their corrections: the same run is recognised by its key, a correction by what it supersedes.

use crate::prose::faults::asked_of_a_row;
use crate::records::table::row_of;
use crate::records::{AcceptedAs, ResultStatus, RunKey, RunNumber, RunResult, same_runs};
use crate::store::Conflict;
use crate::store::merge::differences;
use std::collections::{BTreeMap, BTreeSet};

/// The results that are new, with their ids; how many are there already; and the conflicts.
///
/// A given result equals a stored one where every cell but the history's agrees. A stored result that was voided later
/// still equals the row from which it came. An id that comes with a result is kept, others are numbered on.
pub(super) fn sort(there: &[RunResult], given: &[RunResult]) -> (Vec<RunResult>, usize, Vec<Conflict>) {
    let ids = there.iter().chain(given).filter_map(|result| result.id);
    let mut sorting = Sorting {
        by_id: there
            .iter()
            .filter_map(|result| Some((result.id?, result)))
            .collect(),
        next_id: ids.max().unwrap_or(0) + 1,
        stored_as: BTreeMap::new(),
        new: Vec::new(),
        same: 0,
        conflicts: Vec::new(),
    };
    let known = by_run(there);
    let mut runs = by_run(given);
    sorting.ask_about_same_runs(there, given);
    for result in given {
        // Runs in the order of the file, each when its first row comes.
        let run = result.run_key();
        if let Some(revisions) = runs.remove(&run) {
            let stored = known.get(&run).map_or(&[][..], Vec::as_slice);
            sorting.run(stored, &revisions);
        }
    }
    (sorting.new, sorting.same, sorting.conflicts)
}

/// The revisions of each run, the first entry first.
fn by_run(results: &[RunResult]) -> BTreeMap<RunKey, Vec<&RunResult>> {
    let mut runs: BTreeMap<RunKey, Vec<&RunResult>> = BTreeMap::new();
    for result in results {
        runs.entry(result.run_key()).or_default().push(result);
    }
    for revisions in runs.values_mut() {
        let mut ordered: Vec<&RunResult> = Vec::new();
        let mut last: Option<i64> = None;
        while let Some(next) = revisions.iter().find(|result| result.supersedes == last) {
            ordered.push(next);
            last = next.id;
            if last.is_none() || ordered.len() > revisions.len() {
                break;
            }
        }
        if ordered.len() == revisions.len() {
            *revisions = ordered;
        }
    }
    runs
}

struct Sorting<'a> {
    by_id: BTreeMap<i64, &'a RunResult>,
    next_id: i64,
    /// Ids as given, to ids as stored.
    stored_as: BTreeMap<i64, i64>,
    new: Vec<RunResult>,
    same: usize,
    conflicts: Vec<Conflict>,
}

impl Sorting<'_> {
    /// A run that equals one that is there but for a missing rig or date needs a yes that it is another one.
    fn ask_about_same_runs(&mut self, there: &[RunResult], given: &[RunResult]) {
        let known: BTreeSet<RunKey> = there.iter().map(RunResult::run_key).collect();
        let all = || there.iter().chain(given);
        let superseded: BTreeSet<i64> = all().filter_map(|result| result.supersedes).collect();
        let counts = |result: &&RunResult| {
            result.status != ResultStatus::Void && !result.id.is_some_and(|id| superseded.contains(&id))
        };
        let stored = there.iter().filter(counts);
        let new = given.iter().filter(|result| !known.contains(&result.run_key()));
        let rows: Vec<&RunResult> = stored.clone().chain(new.filter(counts)).collect();
        let from = stored.count();
        let numbered: Vec<_> = rows.iter().map(|row| (*row, RunNumber::Given)).collect();
        let found = same_runs(&numbered);
        for (at, row) in rows.iter().enumerate().skip(from) {
            if let Some(earlier) = found[at].filter(|earlier| *earlier < from)
                && !row.is_accepted(AcceptedAs::SameRun)
            {
                self.conflicts.push(Conflict {
                    what: "result",
                    key: words_of(&row.run_key()),
                    there: format!("the run {}", of_run(&rows[earlier].run_key())),
                    given: asked_of_a_row("a run that may be the same", AcceptedAs::SameRun),
                });
            }
        }
    }

    fn run(&mut self, stored: &[&RunResult], revisions: &[&RunResult]) {
        let mut from = 0;
        let mut tip = stored.last().and_then(|result| result.id);
        for given in revisions {
            let equal = stored[from..].iter().position(|there| is_same(there, given));
            if let Some(at) = equal {
                self.same += 1;
                if let (Some(given_id), Some(stored_id)) = (given.id, stored[from + at].id) {
                    self.stored_as.insert(given_id, stored_id);
                }
                from += at + 1;
                continue;
            }
            let supersedes = given
                .supersedes
                .map(|id| self.stored_as.get(&id).copied().unwrap_or(id));
            if supersedes != tip {
                self.refuse(stored, given);
                return;
            }
            tip = self.add(given, supersedes);
        }
    }

    fn refuse(&mut self, stored: &[&RunResult], given: &RunResult) {
        let there = stored.last().map(|result| compared(result)).unwrap_or_default();
        let last_passed = |result: &RunResult| format!("last_passed '{}'", result.last_passed);
        let (there, words) = differences(&there, &compared(given)).unwrap_or_else(|| match stored.last() {
            Some(last) if last.last_passed != given.last_passed => (last_passed(last), last_passed(given)),
            _ => ("another history".to_string(), "this one".to_string()),
        });
        self.conflicts.push(Conflict {
            what: "result",
            key: words_of(&given.run_key()),
            there,
            given: words,
        });
    }

    /// The id under which it will be stored; `None` where the id is another run's.
    fn add(&mut self, given: &RunResult, supersedes: Option<i64>) -> Option<i64> {
        let id = given.id.unwrap_or(self.next_id);
        if let Some(other) = self.by_id.get(&id) {
            self.conflicts.push(Conflict {
                what: "result id",
                key: id.to_string(),
                there: words_of(&other.run_key()),
                given: words_of(&given.run_key()),
            });
            return None;
        }
        if given.id.is_none() {
            self.next_id += 1;
        }
        self.stored_as.insert(id, id);
        self.new.push(RunResult {
            id: Some(id),
            supersedes,
            ..given.clone()
        });
        Some(id)
    }
}

/// The cells by which two revisions are compared: all but the history.
fn compared(result: &RunResult) -> Vec<(&'static str, String)> {
    let row = row_of(&(), result).into_iter();
    let needed = row.filter(|(column, _)| !column.is_optional);
    needed.map(|(column, text)| (column.heading, text)).collect()
}

/// Two revisions that are written alike may still say otherwise: by the last load that passed.
fn is_same(there: &RunResult, given: &RunResult) -> bool {
    let voided_since = there.status == ResultStatus::Void
        && !there.voided_at.is_empty()
        && given.status != ResultStatus::Void;
    let differing = compared(there)
        .into_iter()
        .zip(compared(given))
        .filter(|(a, b)| a.1 != b.1);
    let same_cells = differing
        .map(|(a, _)| a.0)
        .all(|column| voided_since && matches!(column, "status" | "reason"));
    same_cells && (there.last_passed == given.last_passed || there.value.is_same(&given.value))
}

fn words_of(run: &RunKey) -> String {
    format!("{}, {}, {}, {}", run.trial, run.blend, run.key, of_run(run))
}

/// Rig, date and number of a run.
pub(super) fn of_run(run: &RunKey) -> String {
    let rig = run.rig.as_ref().map_or("no rig".to_string(), ToString::to_string);
    let date = run.date.map_or("no date".to_string(), |date| date.to_string());
    format!("{rig}, {date}, replicate {}", run.replicate)
}
