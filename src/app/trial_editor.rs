//! Trials as somebody sets them up: drafts, copies of past trials, another set-up of one that is not decided yet.

use crate::app::{App, AppError};
use crate::catalogue::Method;
use crate::intake::{SettingUp, SetupNames, TrialDraft, TrialReading, read_trial};
use crate::records::{BlendCode, Machine, OwnMethod, Trial, TrialRecords};
use crate::store::StoreError;

/// What the form of a set-up offers.
#[derive(Clone, Debug, PartialEq)]
pub struct SetupChoices {
    /// All machines, each in its newest version.
    pub machines: Vec<Machine>,
    /// All blends with their names, as they were entered.
    pub blends: Vec<(BlendCode, String)>,
    /// Built-in methods and the laboratory's own, by id.
    pub methods: Vec<Method>,
    codes: Vec<BlendCode>,
    own_methods: Vec<OwnMethod>,
}

impl SetupChoices {
    /// What a draft comes to; `again` is the trial that is set up again.
    pub fn read(&self, draft: &TrialDraft, again: Option<&TrialRecords>) -> TrialReading {
        let names = SetupNames {
            machines: &self.machines,
            blends: &self.codes,
            methods: &self.methods,
            own_methods: &self.own_methods,
        };
        let setting_up = again.map_or(SettingUp::New, |records| {
            SettingUp::Again(&records.trial, &records.results)
        });
        read_trial(draft, names, setting_up)
    }
}

impl App {
    /// What the form of a set-up offers.
    ///
    /// # Errors
    /// `Damaged` where a stored value cannot be read.
    pub async fn setup_choices(&self) -> Result<SetupChoices, AppError> {
        let blends = self.store().read_blends().await?;
        Ok(SetupChoices {
            machines: self.store().read_machines().await?,
            codes: blends.iter().map(|blend| blend.code.clone()).collect(),
            blends: blends.into_iter().map(|blend| (blend.code, blend.name)).collect(),
            methods: self.methods().await?,
            own_methods: self.store().read_own_methods().await?,
        })
    }

    /// Keeps a new trial.
    ///
    /// # Errors
    /// `Question` where its slug is taken.
    pub async fn save_trial(&self, trial: &Trial) -> Result<(), AppError> {
        match self.store().insert_trial(trial).await {
            Err(StoreError::AlreadyThere(_)) => {
                let problem = format!("'{}' is the name of another trial; take another one", trial.slug);
                Err(AppError::question("slug", problem))
            }
            other => Ok(other?),
        }
    }

    /// Keeps another set-up of a trial.
    ///
    /// # Errors
    /// `NotCurrent` where the trial is decided or closed, or something that has results by now is no longer in it.
    pub async fn change_trial(&self, trial: &Trial) -> Result<(), AppError> {
        Ok(self.store().change_trial(trial).await?)
    }
}
