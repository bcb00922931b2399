//! Judging before anybody asks: what is likely to be opened next is made ready while nobody waits for it.

use crate::app::{App, AppError, TrialQuery, USUAL_RUNS};
use crate::standing::WhatIf;

/// Trials at the top of the list that are made ready (ours).
const MADE_READY: usize = 10;

impl App {
    /// Makes the first page of the list ready.
    ///
    /// # Errors
    /// `Damaged` where a stored value cannot be read.
    pub async fn judge_list_ahead(&self) -> Result<(), AppError> {
        self.list_trials(&TrialQuery::open_first()).await.map(|_| ())
    }

    /// Makes the comparison, the plan and the resemblance of the trials at the top of the list ready, one after another.
    /// Does nothing where nothing was written since `seen` writes to the file. Returns the writes that it has seen.
    ///
    /// # Errors
    /// `Damaged` where a stored value cannot be read.
    pub async fn judge_trials_ahead(&self, seen: Option<i64>) -> Result<i64, AppError> {
        let writes = self.store().writes().await?;
        if seen == Some(writes) {
            return Ok(writes);
        }
        let list = self.list_trials(&TrialQuery::open_first()).await?;
        for line in list.trials.iter().take(MADE_READY) {
            let trial = &line.head.trial;
            self.resemblance(trial, &WhatIf::default()).await?;
            self.plan(trial, USUAL_RUNS).await?;
        }
        Ok(writes)
    }
}
