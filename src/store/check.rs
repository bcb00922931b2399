//! Whether the file is whole: the database's own checks, and the rules that its tables cannot hold.

use crate::catalogue::{MethodId, built_in_method};
use crate::prose::faults::{limit_fault, own_method_fault};
use crate::records::{
    Archive, Asks, BlendCode, Level, Limit, Machine, ResultStatus, RunResult, TestKey, is_whole_blend,
    is_whole_machine, method_of,
};
use crate::store::table::Reader;
use crate::store::{Store, StoreError};
use sqlx::Row;
use std::collections::{BTreeMap, BTreeSet};
use std::fmt;

/// One thing that is not as it must be.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Problem {
    /// Where: table and key.
    pub what: String,
    /// What is wrong.
    pub problem: String,
}

impl Problem {
    pub(crate) fn new(what: impl Into<String>, problem: &str) -> Self {
        Self {
            what: what.into(),
            problem: problem.to_string(),
        }
    }
}

impl fmt::Display for Problem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}: {}", self.what, self.problem)
    }
}

impl Store {
    /// Everything that is wrong with the file; empty when it is whole.
    pub async fn check(&self) -> Result<Vec<Problem>, StoreError> {
        let mut transaction = self.begin_read().await?;
        let mut problems = Vec::new();
        let lines = sqlx::query("PRAGMA integrity_check")
            .fetch_all(&mut *transaction)
            .await?;
        for line in lines {
            let words: String = line.try_get(0)?;
            if words != "ok" {
                problems.push(Problem::new("the file", &words));
            }
        }
        let orphans = sqlx::query("PRAGMA foreign_key_check")
            .fetch_all(&mut *transaction)
            .await?;
        for row in orphans {
            let (table, parent): (String, String) = (row.try_get(0)?, row.try_get(2)?);
            let number: Option<i64> = row.try_get(1)?;
            let what = format!("{table}, row {}", number.unwrap_or_default());
            let problem = format!("names something that is not in {parent}");
            problems.push(Problem::new(what, &problem));
        }
        let mut reader = Reader::new(&mut transaction);
        let archive = match reader.archive().await {
            Ok(archive) => archive,
            Err(error) => {
                problems.push(Problem::new("the file", &error.to_string()));
                return Ok(problems);
            }
        };
        problems.extend(reader.problems);
        blends(&archive, &mut problems);
        machines(&archive, &mut problems);
        methods(&archive, &mut problems);
        trials(&archive, &mut problems);
        results(&archive.results, &mut problems);
        Ok(problems)
    }
}

fn blends(archive: &Archive, problems: &mut Vec<Problem>) {
    let parents: BTreeMap<&BlendCode, &BlendCode> = archive
        .blends
        .iter()
        .filter_map(|blend| Some((&blend.code, blend.parent.as_ref()?)))
        .collect();
    for blend in &archive.blends {
        let what = format!("blends, {}", blend.code);
        let sum: f64 = blend.composition.iter().map(|(_, wt_pct)| wt_pct).sum();
        if !blend.composition.is_empty() && !is_whole_blend(sum) {
            problems.push(Problem::new(
                &what,
                &format!("the components sum to {sum:.2} wt%, not to 100"),
            ));
        }
        let mut seen = BTreeSet::new();
        let mut at = parents.get(&blend.code);
        while let Some(parent) = at {
            if *parent == &blend.code {
                problems.push(Problem::new(
                    &what,
                    "the line of parents leads back to the blend itself",
                ));
                break;
            }
            at = if seen.insert(*parent) {
                parents.get(parent)
            } else {
                None
            };
        }
    }
}

fn machines(archive: &Archive, problems: &mut Vec<Problem>) {
    for machine in &archive.machines {
        let sum: f64 = machine.contacts.iter().map(|contact| contact.share).sum();
        if !machine.contacts.is_empty() && !is_whole_machine(sum) {
            let problem = format!("the shares of its contacts sum to {sum:.3}, not to 1");
            problems.push(Problem::new(format!("machines, {}", machine.slug), &problem));
        }
    }
    for trial in &archive.trials {
        let is_its =
            |machine: &&Machine| machine.slug == trial.machine && machine.version == trial.machine_version;
        if !archive.machines.iter().any(|machine| is_its(&machine)) {
            let problem = format!("names a version {} that its machine lacks", trial.machine_version);
            problems.push(Problem::new(format!("trials, {}", trial.slug), &problem));
        }
    }
}

fn methods(archive: &Archive, problems: &mut Vec<Problem>) {
    for rows in &archive.own_methods {
        let what = format!("methods, {}", rows.id);
        if let Err(fault) = method_of(rows) {
            problems.push(Problem::new(&what, &own_method_fault(&fault)));
        }
        if built_in_method(rows.id.as_str()).is_some() {
            problems.push(Problem::new(&what, "has the id of a built-in method"));
        }
    }
}

fn trials(archive: &Archive, problems: &mut Vec<Problem>) {
    let own: BTreeMap<&MethodId, _> = archive
        .own_methods
        .iter()
        .filter_map(|rows| Some((&rows.id, method_of(rows).ok()?)))
        .collect();
    let quantity_of = |key: &TestKey| {
        let method = built_in_method(key.method.as_str()).or_else(|| own.get(&key.method));
        method.and_then(|method| method.quantity(&key.quantity))
    };
    for rig in &archive.rigs {
        for method in &rig.methods {
            if built_in_method(method.as_str()).is_none() && !own.contains_key(method) {
                let problem = format!("names a method '{method}' that is not known");
                problems.push(Problem::new(format!("rigs, {}", rig.id), &problem));
            }
        }
    }
    for trial in &archive.trials {
        let named = trial
            .against
            .as_ref()
            .filter(|_| trial.asks == Some(Asks::NoWorse));
        let is_there = named.is_some_and(|against| trial.blends.iter().any(|part| &part.blend == against));
        if trial.asks == Some(Asks::NoWorse) && !is_there {
            let problem = "asks no-worse, and the blend to hold candidates against is none of the trial";
            problems.push(Problem::new(format!("trials, {}", trial.slug), problem));
        }
        for level in [Level::KnownGood, Level::KnownPoor] {
            let named = trial
                .blends
                .iter()
                .filter(|part| part.level == Some(level))
                .count();
            if named > 1 {
                let problem = format!("has {named} reference oils that are {}", level.word());
                problems.push(Problem::new(format!("trials, {}", trial.slug), &problem));
            }
        }
        for test in &trial.tests {
            let what = format!("trial_methods, {} {}", trial.slug, test.key);
            let Some(quantity) = quantity_of(&test.key) else {
                problems.push(Problem::new(what, "names a method or quantity that is not known"));
                continue;
            };
            if test.used_to == crate::catalogue::Use::Gate
                && let Err(fault) = Limit::parse(&test.limit, quantity)
            {
                problems.push(Problem::new(what, &limit_fault(&fault, quantity)));
            }
        }
    }
    let unknown: BTreeSet<&TestKey> = archive
        .results
        .iter()
        .map(|result| &result.key)
        .filter(|key| quantity_of(key).is_none())
        .collect();
    for key in unknown {
        let what = format!("results of {key}");
        problems.push(Problem::new(what, "name a method or quantity that is not known"));
    }
}

fn results(results: &[RunResult], problems: &mut Vec<Problem>) {
    let by_id: BTreeMap<i64, &RunResult> = results
        .iter()
        .filter_map(|result| Some((result.id?, result)))
        .collect();
    let mut corrected = BTreeSet::new();
    for result in results {
        let what = format!("results, id {}", result.id.unwrap_or_default());
        if result.status == ResultStatus::Void && result.reason.trim().is_empty() {
            problems.push(Problem::new(&what, "is void without a reason"));
        }
        let Some(earlier) = result.supersedes else {
            continue;
        };
        if !corrected.insert(earlier) {
            problems.push(Problem::new(
                &what,
                &format!("supersedes {earlier}, which another one supersedes"),
            ));
        }
        match by_id.get(&earlier) {
            None => problems.push(Problem::new(
                &what,
                &format!("supersedes {earlier}, which is not there"),
            )),
            Some(other) if other.run_key() != result.run_key() => {
                problems.push(Problem::new(
                    &what,
                    &format!("supersedes {earlier}, which is another run"),
                ));
            }
            Some(_) if goes_in_a_circle(result, &by_id) => {
                problems.push(Problem::new(&what, "supersedes itself by way of others"));
            }
            Some(_) => {}
        }
    }
}

fn goes_in_a_circle(result: &RunResult, by_id: &BTreeMap<i64, &RunResult>) -> bool {
    let mut seen = BTreeSet::new();
    let mut at = Some(result);
    while let Some(result) = at {
        if !seen.insert(result.id) {
            return true;
        }
        at = result.supersedes.and_then(|earlier| by_id.get(&earlier).copied());
    }
    false
}
