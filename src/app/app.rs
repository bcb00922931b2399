//! The app: what people ask of an archive.

use crate::app::demo::demo;
use crate::app::error::NoMethod;
use crate::app::folder::{read_files, write_files};
use crate::app::judged::{Counted, Plans, Sensitivities, Standings, apart, question_of};
use crate::app::question::refuse_nonsense;
use crate::app::{AppError, Loaded};
use crate::catalogue::{Method, built_in};
use crate::explain::{Ask, Explanation, explain};
use crate::intake::{Accepted, read_folder, write_folder, write_lines, write_workbook};
use crate::prose::reasons::asked_fault;
use crate::records::{Archive, TrialRecords, TrialSlug, method_of};
use crate::standing::Comparison;
use crate::standing::{FitCache, Standing, WhatIf, judge};
use crate::store::{Added, Problem, Store};
use std::path::Path;
use std::sync::Arc;

/// Trials on one page of a list.
pub const PAGE_LENGTH: usize = 50;

/// What a new file starts with.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum StartWith {
    /// The invented trials.
    Demo,
    /// Nothing.
    Nothing,
}

/// What people ask of an archive.
#[derive(Debug)]
pub struct App {
    store: Store,
    standings: Standings,
    /// What was found for earlier questions: the next one about a trial has most of what it needs.
    pub(crate) fit_cache: Arc<FitCache>,
    pub(crate) sensitivities: Sensitivities,
    pub(crate) plans: Plans,
    pub(crate) counted: Counted,
}

impl App {
    /// Opens a file that exists.
    ///
    /// # Errors
    /// `File` where it cannot be used, with the reason.
    pub async fn open(path: &Path) -> Result<Self, AppError> {
        Ok(Self::over(Store::open(path).await?))
    }

    /// Creates a file. It is made under another name and renamed when it is complete, so that a file under its own
    /// name is always a whole one.
    ///
    /// # Errors
    /// `File` where it exists already or its folder does not.
    pub async fn create(path: &Path, start_with: StartWith) -> Result<Self, AppError> {
        if path.exists() {
            return Err(AppError::file(path, "exists already"));
        }
        let mut name = path.file_name().unwrap_or_default().to_os_string();
        name.push(".making");
        let making = path.with_file_name(name);
        // A leftover of a start that was broken off.
        if making.exists() {
            std::fs::remove_file(&making).map_err(|error| AppError::file(&making, error))?;
        }
        let store = Store::open_new(&making).await?;
        if start_with == StartWith::Demo {
            store.insert_archive(&demo()?, &now()).await?;
        }
        store.close().await?;
        std::fs::rename(&making, path).map_err(|error| AppError::file(path, error))?;
        Self::open(path).await
    }

    fn over(store: Store) -> Self {
        Self {
            store,
            standings: Standings::default(),
            fit_cache: Arc::default(),
            sensitivities: Sensitivities::default(),
            plans: Plans::default(),
            counted: Counted::default(),
        }
    }

    pub(crate) fn store(&self) -> &Store {
        &self.store
    }

    /// Brings everything into the file and lets go of it.
    ///
    /// # Errors
    /// `Store` where that failed; the next opening repairs it.
    pub async fn close(self) -> Result<(), AppError> {
        Ok(self.store.close().await?)
    }

    /// Lets go of the file while others still hold the app, as a server's last act.
    ///
    /// # Errors
    /// Those of [`App::close`].
    pub async fn close_shared(&self) -> Result<(), AppError> {
        Ok(self.store.clone().close().await?)
    }

    /// Takes an archive folder in: all of it or nothing.
    ///
    /// # Errors
    /// `Refused` with every fault, `Conflicts` with every record that is there with other values.
    pub async fn load(&self, folder: &Path) -> Result<Loaded, AppError> {
        let accepted = accepted(folder)?;
        let added = self.store.insert_archive(&accepted.archive, &now()).await?;
        Ok(Loaded::of(added, accepted))
    }

    /// What [`App::load`] would do; nothing is kept.
    ///
    /// # Errors
    /// Those of [`App::load`].
    pub async fn preview_load(&self, folder: &Path) -> Result<Loaded, AppError> {
        let accepted = accepted(folder)?;
        let added = self.store.preview_archive(&accepted.archive).await?;
        Ok(Loaded::of(added, accepted))
    }

    /// Writes the archive as a folder, with every revision.
    ///
    /// # Errors
    /// `File` where the folder holds an archive already or cannot be written.
    pub async fn export(&self, folder: &Path) -> Result<(), AppError> {
        let files = write_folder(&self.archive().await?).map_err(AppError::unwritten("the archive"))?;
        write_files(folder, &files)
    }

    /// Copies the file as it is at one moment, also while others write to it.
    ///
    /// # Errors
    /// `File` where something has that name already, or the copy cannot be written.
    pub async fn back_up(&self, copy: &Path) -> Result<(), AppError> {
        Ok(self.store.back_up(copy).await?)
    }

    /// Everything that is wrong with the file; empty when it is whole.
    ///
    /// # Errors
    /// `Store` where the file cannot be read at all.
    pub async fn check(&self) -> Result<Vec<Problem>, AppError> {
        Ok(self.store.check().await?)
    }

    /// The whole archive.
    ///
    /// # Errors
    /// `Damaged` where a stored value cannot be read.
    pub async fn archive(&self) -> Result<Archive, AppError> {
        Ok(self.store.read_archive().await?)
    }

    /// All records of a trial.
    ///
    /// # Errors
    /// `NoSuchTrial`.
    pub async fn records(&self, trial: &TrialSlug) -> Result<TrialRecords, AppError> {
        let records = self.store.read_trial_records(trial).await?;
        records.ok_or_else(|| AppError::NoSuchTrial(trial.to_string()))
    }

    /// The standing of a trial as it is, remembered until something is written to it.
    pub(crate) async fn standing_as_it_is(&self, trial: &TrialSlug) -> Result<Arc<Standing>, AppError> {
        let writes = self.store.writes().await?;
        let known = self
            .standings
            .unless_written(writes, &question_of(trial, &WhatIf::default()));
        if let Some(standing) = known {
            return Ok(standing);
        }
        let records = Arc::new(self.records(trial).await?);
        self.standing(writes, &records, &WhatIf::default()).await
    }

    pub(crate) async fn standing(
        &self,
        writes: i64,
        records: &Arc<TrialRecords>,
        what_if: &WhatIf,
    ) -> Result<Arc<Standing>, AppError> {
        let judged = async {
            let (records, what_if, fits) = (records.clone(), what_if.clone(), self.fit_cache.clone());
            apart(move || Arc::new(judge(&records, &what_if, &fits))).await
        };
        let key = question_of(&records.trial.slug, what_if);
        self.standings.get_or(writes, key, records.clone(), judged).await
    }

    /// The trial judged under a question and, where the question changes anything, also as it is.
    ///
    /// # Errors
    /// `NoSuchTrial`; `Question` where it names a test that the trial does not have, or a number out of its range.
    pub async fn compare(&self, trial: &TrialSlug, what_if: &WhatIf) -> Result<Comparison, AppError> {
        let writes = self.store.writes().await?;
        let records = Arc::new(self.records(trial).await?);
        refuse_nonsense(&records, what_if)
            .map_err(|fault| AppError::question(&fault.field, fault.problem))?;
        let (asked, duty) = if what_if.changes_the_records() {
            let asked = what_if.records(&records);
            let asked = asked.map_err(|fault| AppError::question(fault.field(), asked_fault(&fault)))?;
            (Arc::new(asked.records), asked.duty)
        } else {
            (records.clone(), Vec::new())
        };
        let standing = Arc::unwrap_or_clone(self.standing(writes, &asked, what_if).await?);
        let as_it_is = if what_if.changes_the_question() {
            let plain = WhatIf {
                draws: what_if.draws,
                seed: what_if.seed,
                ..WhatIf::default()
            };
            Some(Arc::unwrap_or_clone(
                self.standing(writes, &records, &plain).await?,
            ))
        } else {
            None
        };
        Ok(Comparison {
            records: asked,
            what_if: what_if.clone(),
            duty,
            standing,
            as_it_is,
        })
    }

    /// One test of a trial explained beside the machine, under the evidence as it is.
    ///
    /// # Errors
    /// `NoSuchTrial`; `Question` where the trial has no such test, blend or contact.
    pub async fn explain(&self, trial: &TrialSlug, ask: &Ask) -> Result<Explanation, AppError> {
        let comparison = self.compare(trial, &WhatIf::default()).await?;
        Ok(explain(&comparison, ask)?)
    }

    /// Built-in methods and the laboratory's own, sorted by id.
    ///
    /// # Errors
    /// `Damaged` where a stored method cannot be read.
    pub async fn methods(&self) -> Result<Vec<Method>, AppError> {
        let mut methods = built_in().to_vec();
        for rows in self.store.read_own_methods().await? {
            let id = || rows.id.clone();
            let refused = |fault| AppError::Method {
                id: id(),
                source: Box::new(NoMethod(fault)),
            };
            methods.push(method_of(&rows).map_err(refused)?);
        }
        methods.sort_by(|a, b| a.id.cmp(&b.id));
        Ok(methods)
    }
}

/// What a load would do to a file that does not exist yet: everything is new.
///
/// # Errors
/// `Refused` with every fault.
pub fn preview_first_load(folder: &Path) -> Result<Loaded, AppError> {
    let accepted = accepted(folder)?;
    Ok(Loaded::of(Added::all_new(&accepted.archive), accepted))
}

fn accepted(folder: &Path) -> Result<Accepted, AppError> {
    read_folder(&read_files(folder)?, today()).map_err(AppError::Refused)
}

impl Loaded {
    fn of(added: Added, accepted: Accepted) -> Self {
        let warnings = accepted.warnings;
        Self { added, warnings }
    }
}

/// Today, where the program runs.
pub fn today() -> jiff::civil::Date {
    jiff::Zoned::now().date()
}

/// The time as it is stored.
pub(crate) fn now() -> String {
    jiff::Timestamp::now().strftime("%Y-%m-%dT%H:%M:%SZ").to_string()
}

/// Lines of cells as a CSV file to hand on.
///
/// # Errors
/// `Unwritten` where it cannot be put together.
pub fn as_table(lines: &[Vec<String>]) -> Result<Vec<u8>, AppError> {
    write_lines("readings.csv", lines).map_err(AppError::unwritten("the table"))
}

/// Lines of cells as a workbook to hand on.
///
/// # Errors
/// `Unwritten` where it cannot be put together.
pub fn as_workbook(lines: &[Vec<String>]) -> Result<Vec<u8>, AppError> {
    write_workbook("readings.xlsx", lines).map_err(AppError::unwritten("the workbook"))
}
