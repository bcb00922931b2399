//! How the tests of a trial resemble its machine, made arguable: what each term counts, changing that with a reason,
//! and whether it decides anything.

use crate::app::corrections::reason;
use crate::app::judged::{apart, question_of};
use crate::app::{App, AppError};
use crate::intake::read_number;
use crate::prose::faults::scale_fault;
use crate::records::{Term, TermScale, TermScaleFault, TrialSlug};
use crate::resemblance::{Scale, Scales};
use crate::standing::{Comparison, ResemblanceView, Sensitivity, WhatIf, scale_lines, sensitivity};

use std::sync::Arc;

/// A change of a term's scale as it was typed; what is left empty stays as it is.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct ScaleChange {
    /// The term's word.
    pub term: String,
    /// Importance.
    pub importance: String,
    /// Halving distance in the term's own measure.
    pub halving: String,
    /// Why.
    pub reason: String,
}

impl App {
    /// How the tests of a trial resemble its machine under a question, and whether that decides anything.
    ///
    /// # Errors
    /// Those of [`App::compare`].
    pub async fn resemblance(
        &self,
        trial: &TrialSlug,
        what_if: &WhatIf,
    ) -> Result<ResemblanceView, AppError> {
        let comparison = self.compare(trial, what_if).await?;
        let sensitivity = self.sensitivity(&comparison).await?;
        Ok(ResemblanceView {
            scales: scale_lines(&comparison),
            comparison,
            sensitivity,
        })
    }

    async fn sensitivity(&self, comparison: &Comparison) -> Result<Arc<Sensitivity>, AppError> {
        let writes = self.store().writes().await?;
        let (records, asked) = (comparison.records.clone(), comparison.what_if.clone());
        let fits = self.fit_cache.clone();
        let found = apart(move || Arc::new(sensitivity(&records, &asked, &fits)));
        let key = question_of(&comparison.records.trial.slug, &comparison.what_if);
        let inputs = comparison.records.clone();
        self.sensitivities.get_or(writes, key, inputs, found).await
    }

    /// Keeps another scale of one term for a trial. Earlier ones stay; the newest counts.
    ///
    /// # Errors
    /// `NoSuchTrial`; `Question` with the field that cannot be used; `NotCurrent` where a newer change is there.
    pub async fn change_scale(&self, trial: &TrialSlug, change: &ScaleChange) -> Result<(), AppError> {
        let records = self.records(trial).await?;
        let term = Term::from_word(&change.term).ok_or_else(|| {
            let problem = format!("is not one of the eleven terms; write one of {}", Term::allowed());
            AppError::question("term", problem)
        })?;
        let there = Scales::of_trial(&records.term_scales).of(term);
        let importance = typed("importance", &change.importance)?;
        let halving = typed("halving", &change.halving)?;
        if importance.is_none() && halving.is_none() {
            let problem = "is empty, and so is the halving distance; write what is to change";
            return Err(AppError::question("importance", problem));
        }
        let asked = Scale {
            importance: importance.unwrap_or(there.importance),
            halving: halving.or(there.halving),
        };
        TermScale::checked_importance(asked.importance).map_err(refused)?;
        if let Some(halving) = halving {
            TermScale::checked_halving(term, halving).map_err(refused)?;
        }
        if asked == there {
            return Err(AppError::question(
                "importance",
                "is what counts in this trial already",
            ));
        }
        let now = TermScale::moment(&jiff::Timestamp::now().to_string());
        let scale = TermScale {
            trial: trial.clone(),
            term,
            importance: asked.importance,
            halving: asked.halving,
            reason: reason(&change.reason)?,
            entered_at: now.unwrap_or_default(),
        };
        Ok(self.store().insert_term_scale(&scale).await?)
    }
}

fn typed(field: &str, text: &str) -> Result<Option<f64>, AppError> {
    if text.trim().is_empty() {
        return Ok(None);
    }
    match read_number(text.trim()) {
        Ok(number) => Ok(Some(number)),
        Err(problem) => Err(AppError::question(field, problem.to_string())),
    }
}

fn refused(fault: TermScaleFault) -> AppError {
    AppError::question(fault.field(), scale_fault(fault))
}
