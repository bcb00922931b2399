//! Nouns read by themselves: all machines, blends or rigs, and the results of one rig.

use crate::records::{
    Blend, BlendCode, Component, Machine, MachineSlug, Outcome, Rig, RigId, RunResult, TrialBlend, TrialSlug,
};
use crate::store::read::{Scope, entities, runs, sound, trials};
use crate::store::{Store, StoreError};

impl Store {
    /// All machines with their contacts in their newest versions, as they were entered.
    ///
    /// # Errors
    /// `Damaged` where a stored value cannot be read.
    pub async fn read_machines(&self) -> Result<Vec<Machine>, StoreError> {
        let mut transaction = self.begin_read().await?;
        let mut problems = Vec::new();
        let versions = entities::machines(&mut transaction, None, &mut problems).await?;
        let mut newest: Vec<Machine> = Vec::new();
        for machine in versions {
            match newest.last_mut() {
                Some(earlier) if earlier.slug == machine.slug => *earlier = machine,
                _ => newest.push(machine),
            }
        }
        sound(newest, problems)
    }

    /// Every version of one machine, the first one first; empty where there is no such machine.
    ///
    /// # Errors
    /// `Damaged` where a stored value cannot be read.
    pub async fn read_machine_versions(&self, machine: &MachineSlug) -> Result<Vec<Machine>, StoreError> {
        let mut transaction = self.begin_read().await?;
        let mut problems = Vec::new();
        let versions = entities::machines(&mut transaction, Some(machine), &mut problems).await?;
        sound(versions, problems)
    }

    /// All blends with their composition, as they were entered.
    ///
    /// # Errors
    /// `Damaged` where a stored value cannot be read.
    pub async fn read_blends(&self) -> Result<Vec<Blend>, StoreError> {
        let mut transaction = self.begin_read().await?;
        let mut problems = Vec::new();
        let blends = entities::blends(&mut transaction, Scope::All, &mut problems).await?;
        sound(blends, problems)
    }

    /// All components.
    ///
    /// # Errors
    /// `Damaged` where a stored value cannot be read.
    pub async fn read_components(&self) -> Result<Vec<Component>, StoreError> {
        let mut transaction = self.begin_read().await?;
        let mut problems = Vec::new();
        let components = entities::components(&mut transaction, &mut problems).await?;
        sound(components, problems)
    }

    /// All rigs.
    ///
    /// # Errors
    /// `Damaged` where a stored value cannot be read.
    pub async fn read_rigs(&self) -> Result<Vec<Rig>, StoreError> {
        let mut transaction = self.begin_read().await?;
        let mut problems = Vec::new();
        let rigs = entities::rigs(&mut transaction, &mut problems).await?;
        sound(rigs, problems)
    }

    /// What machines did later.
    ///
    /// # Errors
    /// `Damaged` where a stored value cannot be read.
    pub async fn read_outcomes(&self) -> Result<Vec<Outcome>, StoreError> {
        let mut transaction = self.begin_read().await?;
        let mut problems = Vec::new();
        let outcomes = runs::outcomes(&mut transaction, &mut problems).await?;
        sound(outcomes, problems)
    }

    /// Every result of a rig over all trials with every revision, also one that a correction moved to another rig.
    ///
    /// # Errors
    /// `Damaged` where a stored value cannot be read.
    pub async fn read_results_of_rig(&self, rig: &RigId) -> Result<Vec<RunResult>, StoreError> {
        let mut transaction = self.begin_read().await?;
        let mut problems = Vec::new();
        let results = runs::results(&mut transaction, Scope::Rig(rig), &mut problems).await?;
        sound(results, problems)
    }

    /// The blends of one trial with their roles.
    ///
    /// # Errors
    /// `Damaged` where a stored value cannot be read.
    pub async fn read_parts(&self, trial: &TrialSlug) -> Result<Vec<TrialBlend>, StoreError> {
        let mut transaction = self.begin_read().await?;
        let mut problems = Vec::new();
        let found = trials::trials(&mut transaction, Scope::Trial(trial), &mut problems).await?;
        let parts = found.into_iter().next().map(|trial| trial.blends);
        sound(parts.unwrap_or_default(), problems)
    }

    /// Whether a rig has results of an invented trial; without a rig, whether the file holds invented trials and no other.
    ///
    /// # Errors
    /// `Db`.
    pub async fn has_invented_trials(&self, rig: Option<&RigId>) -> Result<bool, StoreError> {
        let mut transaction = self.begin_read().await?;
        let found: i64 = sqlx::query_scalar(
            "SELECT CASE WHEN $1 IS NULL THEN \
             EXISTS (SELECT 1 FROM trials WHERE invented = 1) AND NOT EXISTS (SELECT 1 FROM trials WHERE invented = 0) \
             ELSE EXISTS (SELECT 1 FROM results r JOIN trials t ON t.trial = r.trial \
             WHERE r.rig = $1 AND t.invented = 1) END",
        )
        .bind(rig.map(ToString::to_string))
        .fetch_one(&mut *transaction)
        .await?;
        Ok(found != 0)
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
