//! Machines as somebody enters and changes them: drafts, versions, and which version a trial is judged with.

use crate::app::corrections::reason;
use crate::app::machines::of_machine;
use crate::app::{App, AppError, FilmOil, now};
use crate::lubricant::Oil;
use crate::prose::machine::machine_changes;
use crate::records::{Adoption, Machine, MachineSlug, TrialSlug};
use crate::store::StoreError;

impl App {
    /// Every version of a machine, the first one first; empty where there is no such machine.
    ///
    /// # Errors
    /// `Damaged` where a stored value cannot be read.
    pub async fn machine_versions(&self, slug: &MachineSlug) -> Result<Vec<Machine>, AppError> {
        Ok(self.store().read_machine_versions(slug).await?)
    }

    /// The oil whose film a machine's contacts are computed with: that of its trials, or the usual one.
    ///
    /// # Errors
    /// `Damaged` where a stored value cannot be read.
    pub async fn oil_for(&self, machine: Option<&MachineSlug>) -> Result<(FilmOil, Option<Oil>), AppError> {
        let trials = match machine {
            Some(slug) => self.store().list_trials(&of_machine(slug)).await?,
            None => Vec::new(),
        };
        self.oil_of(&trials).await
    }

    /// Keeps a machine, new or as the version after the newest.
    ///
    /// # Errors
    /// `Question` where a new machine's slug is taken, or a version changes nothing; `NotCurrent` where somebody saved another version meanwhile.
    pub async fn save_machine(&self, machine: &Machine) -> Result<(), AppError> {
        let versions = self.machine_versions(&machine.slug).await?;
        let earlier = versions
            .iter()
            .find(|earlier| earlier.version + 1 == machine.version);
        if let Some(earlier) = earlier
            && machine_changes(earlier, machine).is_empty()
        {
            let problem = format!(
                "nothing differs from version {}; change something first",
                earlier.version
            );
            return Err(AppError::question("change", problem));
        }
        match self.store().insert_machine(machine, &now()).await {
            Err(StoreError::AlreadyThere(_)) => {
                let problem = format!(
                    "'{}' is the name of another machine; take another one",
                    machine.slug
                );
                Err(AppError::question("slug", problem))
            }
            other => Ok(other?),
        }
    }

    /// Makes a trial be judged with another version of its machine; what was decided before stays as it was signed.
    ///
    /// # Errors
    /// `NoSuchTrial`; `Question` where the machine has no such version, the trial has it already, or the reason cannot be
    /// used.
    pub async fn adopt_version(&self, trial: &TrialSlug, version: u32, why: &str) -> Result<(), AppError> {
        let records = self.records(trial).await?;
        let from_version = records.trial.machine_version;
        let newest = records.newest_machine_version;
        if !(1..=newest).contains(&version) {
            let problem = format!("the machine has no version {version}; its newest is {newest}");
            return Err(AppError::question("version", problem));
        }
        if version == from_version {
            return Err(AppError::question(
                "version",
                "the trial is judged with this version already",
            ));
        }
        let adoption = Adoption {
            from_version,
            to_version: version,
            adopted_at: now(),
            reason: reason(why)?,
        };
        Ok(self.store().adopt_machine_version(trial, &adoption).await?)
    }
}
