//! Reading the archive: whole, for one trial, or one kind of record by itself.

use crate::catalogue::{Method, MethodId, built_in_method};
use crate::prose::faults::{cell_problem, own_method_fault};
use crate::records::table::{CellProblem, Record};
use crate::records::{
    Archive, Blend, BlendCode, Component, Decision, Machine, MachineSlug, Outcome, OwnMethod, Parent,
    RawReading, Rig, RigId, RunResult, TermScale, Trial, TrialBlend, TrialRecords, TrialSlug, method_of,
};
use crate::store::table::{Connection, Reader};
use crate::store::{Problem, Store, StoreError};
use std::collections::{BTreeMap, BTreeSet};

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
    /// The trial and the rig to look for; NULL stands for all.
    fn bound(self) -> [Option<String>; 2] {
        match self {
            Self::All => [None, None],
            Self::Trial(slug) => [Some(slug.to_string()), None],
            Self::Rig(id) => [None, Some(id.to_string())],
        }
    }
}

const OF_TRIAL: &str = "WHERE $1 IS NULL OR trial = $1 ORDER BY";
const BLENDS_OF_TRIAL: &str = "WHERE $1 IS NULL OR blend IN \
    (SELECT blend FROM trial_blends WHERE trial = $1 UNION SELECT blend FROM results WHERE trial = $1) ORDER BY";

impl Reader<'_> {
    /// The records of a table that belong to no other ones.
    async fn all<R: Record<Owner = ()>>(
        &mut self,
        rest: &str,
        bound: &[Option<String>],
    ) -> Result<Vec<R>, StoreError> {
        let read = self.read::<R>(rest, bound).await?;
        Ok(read.into_iter().map(|((), record)| record).collect())
    }

    /// Gives each record its parts in the order in which they are read.
    async fn parts<P, R>(
        &mut self,
        of: &mut [P],
        into: impl Fn(&mut P) -> &mut Vec<R>,
        rest: &str,
        bound: &[Option<String>],
    ) -> Result<(), StoreError>
    where
        P: Parent,
        R: Record<Owner = P::Name>,
    {
        let named = of
            .iter()
            .enumerate()
            .map(|(at, parent)| (parent.name_in_parts(), at));
        let places: BTreeMap<P::Name, usize> = named.collect();
        for (owner, part) in self.read::<R>(rest, bound).await? {
            if let Some(at) = places.get(&owner) {
                into(&mut of[*at]).push(part);
            }
        }
        Ok(())
    }

    async fn components(&mut self) -> Result<Vec<Component>, StoreError> {
        self.all("ORDER BY id", &[]).await
    }

    async fn blends(&mut self, scope: Scope<'_>) -> Result<Vec<Blend>, StoreError> {
        let [trial, _] = scope.bound();
        let bound = [trial];
        let mut blends = self.all(&format!("{BLENDS_OF_TRIAL} id"), &bound).await?;
        let rest = format!("{BLENDS_OF_TRIAL} blend, place");
        self.parts(
            &mut blends,
            |blend: &mut Blend| &mut blend.composition,
            &rest,
            &bound,
        )
        .await?;
        Ok(blends)
    }

    /// Every version of every machine, or of one, the first version first.
    async fn machines(&mut self, only: Option<&MachineSlug>) -> Result<Vec<Machine>, StoreError> {
        let bound = [only.map(ToString::to_string)];
        let rest = "WHERE $1 IS NULL OR machine = $1 \
            ORDER BY (SELECT m.id FROM machines m WHERE m.machine = machine_versions.machine), version";
        let mut machines = self.all(rest, &bound).await?;
        let rest = "WHERE $1 IS NULL OR machine = $1 ORDER BY machine, version, place";
        self.parts(
            &mut machines,
            |machine: &mut Machine| &mut machine.contacts,
            rest,
            &bound,
        )
        .await?;
        Ok(machines)
    }

    async fn own_methods(&mut self) -> Result<Vec<OwnMethod>, StoreError> {
        let mut methods = self.all("ORDER BY id", &[]).await?;
        let rest = "ORDER BY method, place";
        self.parts(
            &mut methods,
            |method: &mut OwnMethod| &mut method.quantities,
            rest,
            &[],
        )
        .await?;
        Ok(methods)
    }

    async fn rigs(&mut self) -> Result<Vec<Rig>, StoreError> {
        let mut rigs: Vec<Rig> = self.all("ORDER BY id", &[]).await?;
        let methods: Vec<(String, String)> =
            sqlx::query_as("SELECT rig, method FROM rig_methods ORDER BY rig, place")
                .fetch_all(&mut *self.connection)
                .await?;
        for (id, method) in methods {
            if let Some(rig) = rigs.iter_mut().find(|rig| rig.id.as_str() == id) {
                match MethodId::new(&method) {
                    Some(method) => rig.methods.push(method),
                    None => self.problems.push(Problem::new(
                        format!("rig_methods, method '{method}'"),
                        &cell_problem(&CellProblem::NoValue),
                    )),
                }
            }
        }
        Ok(rigs)
    }

    async fn trials(&mut self, scope: Scope<'_>) -> Result<Vec<Trial>, StoreError> {
        let [trial, _] = scope.bound();
        let bound = [trial];
        let (by_id, by_place) = (format!("{OF_TRIAL} id"), format!("{OF_TRIAL} trial, place"));
        let mut trials = self.all(&by_id, &bound).await?;
        self.parts(
            &mut trials,
            |trial: &mut Trial| &mut trial.blends,
            &by_place,
            &bound,
        )
        .await?;
        self.parts(&mut trials, |trial| &mut trial.tests, &by_place, &bound)
            .await?;
        self.parts(&mut trials, |trial| &mut trial.adoptions, &by_id, &bound)
            .await?;
        Ok(trials)
    }

    pub(crate) async fn term_scales(&mut self, scope: Scope<'_>) -> Result<Vec<TermScale>, StoreError> {
        let [trial, _] = scope.bound();
        self.all(&format!("{OF_TRIAL} id"), &[trial]).await
    }

    /// Every revision of every result; of a rig also one that a correction moved to another rig.
    pub(crate) async fn results(&mut self, scope: Scope<'_>) -> Result<Vec<RunResult>, StoreError> {
        let rest = "WHERE ($1 IS NULL OR trial = $1) AND ($2 IS NULL OR rig = $2 \
            OR supersedes IN (SELECT o.id FROM results o WHERE o.rig = $2)) ORDER BY id";
        self.all(rest, &scope.bound()).await
    }

    async fn readings(&mut self) -> Result<Vec<RawReading>, StoreError> {
        self.all("ORDER BY id", &[]).await
    }

    async fn decisions(&mut self, scope: Scope<'_>) -> Result<Vec<Decision>, StoreError> {
        let [trial, _] = scope.bound();
        self.all(&format!("{OF_TRIAL} id"), &[trial]).await
    }

    async fn decisions_on(&mut self, blend: &BlendCode) -> Result<Vec<Decision>, StoreError> {
        let rest = "WHERE chosen = $1 ORDER BY decided_on, id";
        self.all(rest, &[Some(blend.to_string())]).await
    }

    async fn outcomes(&mut self) -> Result<Vec<Outcome>, StoreError> {
        self.all("ORDER BY id", &[]).await
    }

    /// Everything that can be read.
    pub(crate) async fn archive(&mut self) -> Result<Archive, StoreError> {
        Ok(Archive {
            components: self.components().await?,
            blends: self.blends(Scope::All).await?,
            machines: self.machines(None).await?,
            own_methods: self.own_methods().await?,
            rigs: self.rigs().await?,
            trials: self.trials(Scope::All).await?,
            term_scales: self.term_scales(Scope::All).await?,
            results: self.results(Scope::All).await?,
            readings: self.readings().await?,
            decisions: self.decisions(Scope::All).await?,
            outcomes: self.outcomes().await?,
        })
    }

    /// The methods that the tests of a trial name, each once.
    async fn methods_of(&mut self, trial: &Trial) -> Result<Vec<Method>, StoreError> {
        let own = self.own_methods().await?;
        let mut methods: Vec<Method> = Vec::new();
        for test in &trial.tests {
            let id = &test.key.method;
            if methods.iter().any(|method| &method.id == id) {
                continue;
            }
            match (
                built_in_method(id.as_str()),
                own.iter().find(|rows| &rows.id == id),
            ) {
                (Some(method), _) => methods.push(method.clone()),
                (None, Some(rows)) => match method_of(rows) {
                    Ok(method) => methods.push(method),
                    Err(fault) => self
                        .problems
                        .push(Problem::new(format!("methods, {id}"), &own_method_fault(&fault))),
                },
                (None, None) => {
                    let what = format!("trial_methods, {} {}", trial.slug, test.key);
                    self.problems
                        .push(Problem::new(what, "names a method that is not known"));
                }
            }
        }
        Ok(methods)
    }
}

/// Every revision of every result.
///
/// # Errors
/// `Damaged` where one of them cannot be read.
pub(crate) async fn all_results(connection: &mut Connection) -> Result<Vec<RunResult>, StoreError> {
    let mut reader = Reader::new(connection);
    let results = reader.results(Scope::All).await?;
    reader.sound(results)
}

/// A stored value that cannot be read is `Damaged` in all of these.
impl Store {
    /// The whole archive with every revision of every result.
    ///
    /// # Errors
    /// `Damaged`.
    pub async fn read_archive(&self) -> Result<Archive, StoreError> {
        let mut transaction = self.begin_read().await?;
        let mut reader = Reader::new(&mut transaction);
        let archive = reader.archive().await?;
        reader.sound(archive)
    }

    /// Trials, blends and rigs, by which a result names what it belongs to; every other part of the archive is left out.
    ///
    /// # Errors
    /// `Damaged`.
    pub async fn read_names(&self) -> Result<Archive, StoreError> {
        let mut transaction = self.begin_read().await?;
        let mut reader = Reader::new(&mut transaction);
        let names = Archive {
            blends: reader.blends(Scope::All).await?,
            rigs: reader.rigs().await?,
            trials: reader.trials(Scope::All).await?,
            ..Archive::default()
        };
        reader.sound(names)
    }

    /// The laboratory's own methods.
    ///
    /// # Errors
    /// `Damaged`.
    pub async fn read_own_methods(&self) -> Result<Vec<OwnMethod>, StoreError> {
        let mut transaction = self.begin_read().await?;
        let mut reader = Reader::new(&mut transaction);
        let methods = reader.own_methods().await?;
        reader.sound(methods)
    }

    /// All machines with their contacts in their newest versions, as they were entered.
    ///
    /// # Errors
    /// `Damaged`.
    pub async fn read_machines(&self) -> Result<Vec<Machine>, StoreError> {
        let mut transaction = self.begin_read().await?;
        let mut reader = Reader::new(&mut transaction);
        let mut newest: Vec<Machine> = Vec::new();
        for machine in reader.machines(None).await? {
            match newest.last_mut() {
                Some(earlier) if earlier.slug == machine.slug => *earlier = machine,
                _ => newest.push(machine),
            }
        }
        reader.sound(newest)
    }

    /// Every version of one machine, the first one first; empty where there is no such machine.
    ///
    /// # Errors
    /// `Damaged`.
    pub async fn read_machine_versions(&self, machine: &MachineSlug) -> Result<Vec<Machine>, StoreError> {
        let mut transaction = self.begin_read().await?;
        let mut reader = Reader::new(&mut transaction);
        let versions = reader.machines(Some(machine)).await?;
        reader.sound(versions)
    }

    /// All blends with their composition, as they were entered.
    ///
    /// # Errors
    /// `Damaged`.
    pub async fn read_blends(&self) -> Result<Vec<Blend>, StoreError> {
        let mut transaction = self.begin_read().await?;
        let mut reader = Reader::new(&mut transaction);
        let blends = reader.blends(Scope::All).await?;
        reader.sound(blends)
    }

    /// All components.
    ///
    /// # Errors
    /// `Damaged`.
    pub async fn read_components(&self) -> Result<Vec<Component>, StoreError> {
        let mut transaction = self.begin_read().await?;
        let mut reader = Reader::new(&mut transaction);
        let components = reader.components().await?;
        reader.sound(components)
    }

    /// All rigs.
    ///
    /// # Errors
    /// `Damaged`.
    pub async fn read_rigs(&self) -> Result<Vec<Rig>, StoreError> {
        let mut transaction = self.begin_read().await?;
        let mut reader = Reader::new(&mut transaction);
        let rigs = reader.rigs().await?;
        reader.sound(rigs)
    }

    /// What was decided on a blend, the oldest first.
    ///
    /// # Errors
    /// `Damaged`.
    pub async fn decisions_on_blend(&self, blend: &BlendCode) -> Result<Vec<Decision>, StoreError> {
        let mut transaction = self.begin_read().await?;
        let mut reader = Reader::new(&mut transaction);
        let decisions = reader.decisions_on(blend).await?;
        reader.sound(decisions)
    }

    /// What machines did later.
    ///
    /// # Errors
    /// `Damaged`.
    pub async fn read_outcomes(&self) -> Result<Vec<Outcome>, StoreError> {
        let mut transaction = self.begin_read().await?;
        let mut reader = Reader::new(&mut transaction);
        let outcomes = reader.outcomes().await?;
        reader.sound(outcomes)
    }

    /// Every result of a rig over all trials with every revision, also one that a correction moved to another rig.
    ///
    /// # Errors
    /// `Damaged`.
    pub async fn read_results_of_rig(&self, rig: &RigId) -> Result<Vec<RunResult>, StoreError> {
        let mut transaction = self.begin_read().await?;
        let mut reader = Reader::new(&mut transaction);
        let results = reader.results(Scope::Rig(rig)).await?;
        reader.sound(results)
    }

    /// The blends of one trial with their roles.
    ///
    /// # Errors
    /// `Damaged`.
    pub async fn read_parts(&self, trial: &TrialSlug) -> Result<Vec<TrialBlend>, StoreError> {
        let mut transaction = self.begin_read().await?;
        let mut reader = Reader::new(&mut transaction);
        let found = reader.trials(Scope::Trial(trial)).await?;
        let parts = found.into_iter().next().map(|trial| trial.blends);
        reader.sound(parts.unwrap_or_default())
    }

    /// All that the judgement of one trial needs; `None` where there is no such trial.
    ///
    /// # Errors
    /// `Damaged`.
    pub async fn read_trial_records(&self, trial: &TrialSlug) -> Result<Option<TrialRecords>, StoreError> {
        let mut transaction = self.begin_read().await?;
        let mut reader = Reader::new(&mut transaction);
        let scope = Scope::Trial(trial);
        let Some(trial) = reader.trials(scope).await?.into_iter().next() else {
            return reader.sound(None);
        };
        let results = reader.results(scope).await?;
        let decisions = reader.decisions(scope).await?;
        let term_scales = reader.term_scales(scope).await?;
        let mut codes: Vec<&BlendCode> = trial.blends.iter().map(|part| &part.blend).collect();
        for result in &results {
            if !codes.contains(&&result.blend) {
                codes.push(&result.blend);
            }
        }
        let all = reader.blends(scope).await?;
        let find = |code: &&BlendCode| all.iter().find(|blend| blend.code == **code).cloned();
        let blends: Vec<Blend> = codes.iter().filter_map(find).collect();
        let versions = reader.machines(Some(&trial.machine)).await?;
        let newest_machine_version = versions.last().map_or(1, |machine| machine.version);
        let machine = versions
            .into_iter()
            .find(|machine| machine.version == trial.machine_version);
        let named: BTreeSet<_> = results.iter().filter_map(|result| result.rig.clone()).collect();
        let rigs = reader.rigs().await?.into_iter();
        let rigs: Vec<Rig> = rigs.filter(|rig| named.contains(&rig.id)).collect();
        let methods = reader.methods_of(&trial).await?;
        let Some(machine) = machine else {
            let what = format!("trials, {}", trial.slug);
            reader
                .problems
                .push(Problem::new(what, "its machine cannot be read"));
            return reader.sound(None);
        };
        reader.sound(Some(TrialRecords {
            trial,
            machine,
            newest_machine_version,
            blends,
            methods,
            rigs,
            results,
            decisions,
            term_scales,
        }))
    }

    /// Whether a rig has results of an invented trial; without a rig, whether the file holds invented trials and no other.
    ///
    /// # Errors
    /// `Db`.
    pub async fn has_invented_trials(&self, rig: Option<&RigId>) -> Result<bool, StoreError> {
        let mut transaction = self.begin_read().await?;
        let found = sqlx::query_scalar(
            "SELECT CASE WHEN $1 IS NULL THEN \
             EXISTS (SELECT 1 FROM trials WHERE invented = 1) AND NOT EXISTS (SELECT 1 FROM trials WHERE invented = 0) \
             ELSE EXISTS (SELECT 1 FROM results r JOIN trials t ON t.trial = r.trial \
             WHERE r.rig = $1 AND t.invented = 1) END",
        )
        .bind(rig.map(ToString::to_string))
        .fetch_one(&mut *transaction)
        .await?;
        Ok(found)
    }

    /// In how many trials each blend takes part.
    ///
    /// # Errors
    /// `Db`.
    pub async fn count_trials_of_blends(&self) -> Result<Vec<(BlendCode, usize)>, StoreError> {
        let mut transaction = self.begin_read().await?;
        let counts: Vec<(String, i64)> =
            sqlx::query_as("SELECT blend, COUNT(*) FROM trial_blends GROUP BY blend ORDER BY blend")
                .fetch_all(&mut *transaction)
                .await?;
        let counts = counts
            .into_iter()
            .filter_map(|(blend, count)| Some((BlendCode::new(&blend)?, usize::try_from(count).ok()?)));
        Ok(counts.collect())
    }
}
