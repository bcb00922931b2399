//! Taking in runs that come without history: a run is new, there already, or there with something else.

use crate::records::table::row_of;
use crate::records::{AcceptedAs, RawReading, ResultStatus, RunKey, RunNumber, RunResult, same_runs};
use crate::store::history::of_run;
use crate::store::read::all_results;
use crate::store::table::insert;
use crate::store::write::{finish, write_result};
use crate::store::{Store, StoreError};
use std::collections::{BTreeMap, BTreeSet};

/// A run as it was given, and which columns were stated; the others say nothing about what is there.
#[derive(Clone, Debug, PartialEq)]
pub struct GivenRun {
    /// The run, without an id.
    pub result: RunResult,
    /// Column names of `results.csv`.
    pub stated: Vec<&'static str>,
}

impl GivenRun {
    fn number(&self) -> RunNumber {
        match self.stated.contains(&"replicate") {
            true => RunNumber::Given,
            false => RunNumber::Missing,
        }
    }
}

/// What becomes of a given run.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Fate {
    /// No run has its key yet.
    New,
    /// The run is there with everything that was stated, or was before a later correction.
    AlreadyThere,
    /// The run is there with something else.
    Changes {
        /// What is there, where the two differ.
        there: String,
        /// What is given, where the two differ.
        given: String,
    },
    /// Another run, there or given before it, differs from it only in a rig, a date or a number that one of the two does
    /// not give, and nobody said that it is another one.
    MayBeThere {
        /// That other run: rig, date, number.
        other: String,
    },
}

/// Columns that are compared as text where they are stated. The value is compared as what it was read as.
const COMPARED: [&str; 8] = [
    "last_passed",
    "campaign",
    "conditions",
    "purpose",
    "status",
    "reason",
    "source",
    "note",
];

impl Store {
    /// What would become of each run; nothing is written.
    ///
    /// # Errors
    /// `Damaged` where a stored result cannot be read.
    pub async fn fates(&self, given: &[GivenRun]) -> Result<Vec<Fate>, StoreError> {
        let mut transaction = self.begin_read().await?;
        let there = all_results(&mut transaction).await?;
        Ok(fates(&there, given))
    }

    /// Writes the runs that are new, in one transaction; nothing where one of them would change what is there or may be there
    /// already.
    /// `entered_at` is ISO 8601.
    ///
    /// # Errors
    /// `Damaged` where a stored result cannot be read; `Db`, and then nothing is written.
    pub async fn insert_runs(&self, given: &[GivenRun], entered_at: &str) -> Result<Vec<Fate>, StoreError> {
        self.insert_runs_with_readings(given, &[], entered_at).await
    }

    /// The same, with the readings behind the runs; these are written only where a run is new.
    ///
    /// # Errors
    /// Those of [`Store::insert_runs`].
    pub async fn insert_runs_with_readings(
        &self,
        given: &[GivenRun],
        readings: &[RawReading],
        entered_at: &str,
    ) -> Result<Vec<Fate>, StoreError> {
        let mut transaction = self.begin_write().await?;
        let there = all_results(&mut transaction).await?;
        let fates = fates(&there, given);
        let stands_against = |fate: &Fate| matches!(fate, Fate::Changes { .. } | Fate::MayBeThere { .. });
        let changes = fates.iter().any(stands_against);
        let new = || given.iter().zip(&fates).filter(|(_, fate)| **fate == Fate::New);
        if changes || new().next().is_none() {
            transaction.rollback().await?;
            return Ok(fates);
        }
        for (run, _) in new() {
            write_result(&mut transaction, &run.result, entered_at).await?;
        }
        for reading in readings {
            insert(&mut transaction, &(), reading, &[]).await?;
        }
        finish(transaction).await?;
        Ok(fates)
    }
}

fn fates(there: &[RunResult], given: &[GivenRun]) -> Vec<Fate> {
    let superseded: BTreeSet<i64> = there.iter().filter_map(|result| result.supersedes).collect();
    let mut by_run: BTreeMap<RunKey, Vec<&RunResult>> = BTreeMap::new();
    for result in there {
        by_run.entry(result.run_key()).or_default().push(result);
    }
    let doubted = doubted(there, &superseded, given);
    given
        .iter()
        .zip(doubted)
        .map(|(run, doubted)| {
            let Some(revisions) = by_run.get(&run.result.run_key()) else {
                return doubted.unwrap_or(Fate::New);
            };
            let current = revisions
                .iter()
                .find(|result| result.id.is_none_or(|id| !superseded.contains(&id)));
            fate(revisions, current.or(revisions.last()).copied(), run)
        })
        .collect()
}

/// Which given runs may be another one, there or given before them, unless somebody said that they are not.
fn doubted(there: &[RunResult], superseded: &BTreeSet<i64>, given: &[GivenRun]) -> Vec<Option<Fate>> {
    let is_current = |result: &&RunResult| {
        let corrected = result.id.is_some_and(|id| superseded.contains(&id));
        result.status != ResultStatus::Void && !corrected
    };
    let there = there.iter().filter(is_current);
    let mut rows: Vec<(&RunResult, RunNumber)> = there.map(|result| (result, RunNumber::Given)).collect();
    let from = rows.len();
    rows.extend(given.iter().map(|run| (&run.result, run.number())));
    let doubt = |(at, earlier): (usize, &Option<usize>)| {
        let open = !given[at].result.is_accepted(AcceptedAs::SameRun);
        let (other, _) = rows[earlier.filter(|_| open)?];
        Some(Fate::MayBeThere {
            other: of_run(&other.run_key()),
        })
    };
    same_runs(&rows)[from..].iter().enumerate().map(doubt).collect()
}

fn fate(revisions: &[&RunResult], current: Option<&RunResult>, run: &GivenRun) -> Fate {
    if revisions.iter().any(|there| differences(there, run).is_empty()) {
        return Fate::AlreadyThere;
    }
    let differing = current.map(|there| differences(there, run)).unwrap_or_default();
    let words = |side: fn(&(String, String)) -> &String| {
        differing.iter().map(side).cloned().collect::<Vec<_>>().join(", ")
    };
    Fate::Changes {
        there: words(|(there, _)| there),
        given: words(|(_, given)| given),
    }
}

/// Where a stored result and a given run differ: `column 'text'` of each.
fn differences(there: &RunResult, run: &GivenRun) -> Vec<(String, String)> {
    let mut differing = Vec::new();
    let given = &run.result;
    if !there.value.is_same(&given.value) {
        let words = |r: &RunResult| {
            let written = format!("{} {}", r.value_as_written.trim(), r.unit_as_written.trim());
            format!("value '{}'", written.trim())
        };
        differing.push((words(there), words(given)));
    }
    // A result that was voided later is still the run from which it came.
    let voided_since = !there.voided_at.is_empty();
    let cells = row_of(&(), there).into_iter().zip(row_of(&(), given));
    for ((column, a), (_, b)) in cells {
        let column = column.heading;
        let is_history = voided_since && matches!(column, "status" | "reason");
        let counts = COMPARED.contains(&column) && run.stated.contains(&column) && !is_history;
        if counts && a.trim() != b.trim() {
            differing.push((format!("{column} '{a}'"), format!("{column} '{b}'")));
        }
    }
    differing
}
