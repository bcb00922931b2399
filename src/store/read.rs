//! Reading the archive, whole or for one trial.

mod alone;
pub(crate) mod entities;
mod runs;
mod trials;

use crate::catalogue::{Method, built_in_method};
use crate::records::{
    Archive, Blend, BlendCode, Machine, OwnMethod, Rig, RigId, RunResult, TrialRecords, TrialSlug, method_of,
};
use crate::store::{Problem, Store, StoreError, scales};
use sqlx::SqliteConnection;
use std::collections::BTreeSet;

/// Which rows to read.
#[derive(Clone, Copy, Debug)]
pub(crate) enum Scope<'a> {
    /// All of them.
    All,
    /// Those that belong to one trial.
    Trial(&'a TrialSlug),
    /// Those that were run on one rig.
    Rig(&'a RigId),
}

impl Scope<'_> {
    /// The trial to look for; `None` binds as NULL, which stands for all.
    pub(crate) fn trial(self) -> Option<String> {
        match self {
            Self::All | Self::Rig(_) => None,
            Self::Trial(slug) => Some(slug.to_string()),
        }
    }

    /// The rig to look for; `None` binds as NULL, which stands for all.
    fn rig(self) -> Option<String> {
        match self {
            Self::All | Self::Trial(_) => None,
            Self::Rig(id) => Some(id.to_string()),
        }
    }
}

impl Store {
    /// The whole archive with every revision of every result.
    ///
    /// # Errors
    /// `Damaged` where a stored value cannot be read.
    pub async fn read_archive(&self) -> Result<Archive, StoreError> {
        let mut transaction = self.begin_read().await?;
        let mut problems = Vec::new();
        let archive = read_all(&mut transaction, &mut problems).await?;
        sound(archive, problems)
    }

    /// Trials, blends and rigs, by which a result names what it belongs to; every other part of the archive is left out.
    ///
    /// # Errors
    /// `Damaged` where a stored value cannot be read.
    pub async fn read_names(&self) -> Result<Archive, StoreError> {
        let mut transaction = self.begin_read().await?;
        let mut problems = Vec::new();
        let names = Archive {
            blends: entities::blends(&mut transaction, Scope::All, &mut problems).await?,
            rigs: entities::rigs(&mut transaction, &mut problems).await?,
            trials: trials::trials(&mut transaction, Scope::All, &mut problems).await?,
            ..Archive::default()
        };
        sound(names, problems)
    }

    /// The laboratory's own methods.
    ///
    /// # Errors
    /// `Damaged` where a stored value cannot be read.
    pub async fn read_own_methods(&self) -> Result<Vec<OwnMethod>, StoreError> {
        let mut transaction = self.begin_read().await?;
        let mut problems = Vec::new();
        let methods = entities::own_methods(&mut transaction, &mut problems).await?;
        sound(methods, problems)
    }

    /// All that the judgement of one trial needs; `None` where there is no such trial.
    pub async fn read_trial_records(&self, trial: &TrialSlug) -> Result<Option<TrialRecords>, StoreError> {
        let mut transaction = self.begin_read().await?;
        let connection = &mut *transaction;
        let mut problems = Vec::new();
        let scope = Scope::Trial(trial);
        let trials = trials::trials(connection, scope, &mut problems).await?;
        let Some(trial) = trials.into_iter().next() else {
            return sound(None, problems);
        };
        let results = runs::results(connection, scope, &mut problems).await?;
        let decisions = runs::decisions(connection, scope, &mut problems).await?;
        let term_scales = scales::term_scales(connection, scope, &mut problems).await?;
        let mut codes: Vec<&BlendCode> = trial.blends.iter().map(|part| &part.blend).collect();
        for result in &results {
            if !codes.contains(&&result.blend) {
                codes.push(&result.blend);
            }
        }
        let all = entities::blends(connection, scope, &mut problems).await?;
        let blends: Vec<Blend> = codes.iter().filter_map(|code| find_blend(&all, code)).collect();
        let versions = entities::machines(connection, Some(&trial.machine), &mut problems).await?;
        let newest_machine_version = versions.last().map_or(1, |machine| machine.version);
        let machine: Option<Machine> = versions
            .into_iter()
            .find(|machine| machine.version == trial.machine_version);
        let named: BTreeSet<_> = results.iter().filter_map(|result| result.rig.clone()).collect();
        let rigs = entities::rigs(connection, &mut problems).await?;
        let rigs: Vec<Rig> = rigs.into_iter().filter(|rig| named.contains(&rig.id)).collect();
        let own = entities::own_methods(connection, &mut problems).await?;
        let mut methods: Vec<Method> = Vec::new();
        for test in &trial.tests {
            let id = test.key.method.as_str();
            if methods.iter().any(|method| method.id == id) {
                continue;
            }
            match (built_in_method(id), own.iter().find(|rows| rows.id == id)) {
                (Some(method), _) => methods.push(method.clone()),
                (None, Some(rows)) => match method_of(rows) {
                    Ok(method) => methods.push(method),
                    Err(fault) => problems.push(Problem::new(format!("methods, {id}"), &fault.to_string())),
                },
                (None, None) => {
                    let what = format!("trial_methods, {} {}", trial.slug, test.key);
                    problems.push(Problem::new(what, "names a method that is not known"));
                }
            }
        }
        let Some(machine) = machine else {
            problems.push(Problem::new(
                format!("trials, {}", trial.slug),
                "its machine cannot be read",
            ));
            return sound(None, problems);
        };
        let records = TrialRecords {
            trial,
            machine,
            newest_machine_version,
            blends,
            methods,
            rigs,
            results,
            decisions,
            term_scales,
        };
        sound(Some(records), problems)
    }
}

fn find_blend(all: &[Blend], code: &BlendCode) -> Option<Blend> {
    all.iter().find(|blend| &blend.code == code).cloned()
}

fn sound<T>(value: T, problems: Vec<Problem>) -> Result<T, StoreError> {
    if problems.is_empty() {
        Ok(value)
    } else {
        Err(StoreError::Damaged(problems))
    }
}

/// Every revision of every result in a scope.
pub(crate) async fn results_of(
    connection: &mut SqliteConnection,
    scope: Scope<'_>,
) -> Result<Vec<RunResult>, StoreError> {
    let mut problems = Vec::new();
    let results = runs::results(connection, scope, &mut problems).await?;
    sound(results, problems)
}

/// Everything that can be read, with a list of what cannot.
pub(crate) async fn read_all(
    connection: &mut SqliteConnection,
    problems: &mut Vec<Problem>,
) -> Result<Archive, StoreError> {
    Ok(Archive {
        components: entities::components(connection, problems).await?,
        blends: entities::blends(connection, Scope::All, problems).await?,
        machines: entities::machines(connection, None, problems).await?,
        own_methods: entities::own_methods(connection, problems).await?,
        rigs: entities::rigs(connection, problems).await?,
        trials: trials::trials(connection, Scope::All, problems).await?,
        term_scales: scales::term_scales(connection, Scope::All, problems).await?,
        results: runs::results(connection, Scope::All, problems).await?,
        readings: runs::readings(connection, problems).await?,
        decisions: runs::decisions(connection, Scope::All, problems).await?,
        outcomes: runs::outcomes(connection, problems).await?,
    })
}
