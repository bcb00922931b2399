//! The list of trials: found by a query, each with what was kept of it when it was judged last.

use crate::app::judged::{EDITION, Summary};
use crate::app::{App, AppError, PAGE_LENGTH, TrialLine, TrialList, TrialQuery};
use crate::catalogue::MethodId;
use crate::records::{BlendCode, TrialSlug};
use crate::standing::WhatIf;
use crate::store::{TrialFilter, TrialHead};
use std::collections::BTreeMap;
use std::sync::Arc;

impl App {
    /// A page of the trials that a query leaves, the latest first, each with what was kept of it; one that nothing is
    /// kept of is judged now.
    ///
    /// # Errors
    /// `Damaged` where a stored value cannot be read.
    pub async fn list_trials(&self, query: &TrialQuery) -> Result<TrialList, AppError> {
        let first = query.page.max(1).saturating_sub(1).saturating_mul(PAGE_LENGTH);
        let (total, heads) = self
            .store()
            .page_of_trials(&query.filter, first, PAGE_LENGTH)
            .await?;
        let summaries = self.summaries(&heads).await?;
        let trials = heads.into_iter().zip(summaries);
        let trials = trials
            .map(|(head, summary)| TrialLine { head, summary })
            .collect();
        Ok(TrialList { total, trials })
    }

    /// The names of all trials, the latest first, without judging them.
    ///
    /// # Errors
    /// `Damaged` where a stored value cannot be read.
    pub async fn trial_names(&self) -> Result<Vec<TrialSlug>, AppError> {
        let heads = self.store().list_trials(&TrialFilter::default()).await?;
        Ok(heads.into_iter().map(|head| head.trial).collect())
    }

    /// The trials in which a method stands, the latest first.
    ///
    /// # Errors
    /// `Damaged` where a stored value cannot be read.
    pub(crate) async fn trials_of_method(&self, method: &MethodId) -> Result<Vec<TrialHead>, AppError> {
        let filter = TrialFilter {
            method: Some(method.clone()),
            ..TrialFilter::default()
        };
        Ok(self.store().list_trials(&filter).await?)
    }

    /// In how many trials each method stands; a method that stands in none is not there.
    ///
    /// # Errors
    /// `Store` where the file cannot be read.
    pub(crate) async fn trials_by_method(&self) -> Result<BTreeMap<String, usize>, AppError> {
        let found = self.store().count_facets(&TrialFilter::default()).await?;
        Ok(found.methods.into_iter().collect())
    }

    /// The trials that hold any of some blends, the latest first.
    pub(crate) async fn trials_with(
        &self,
        blends: impl Iterator<Item = &BlendCode>,
    ) -> Result<Vec<TrialHead>, AppError> {
        let mut heads: Vec<TrialHead> = Vec::new();
        for blend in blends {
            heads.extend(self.store().trials_with_blend(blend).await?);
        }
        heads.sort_by(|a, b| b.opened_on.cmp(&a.opened_on).then(a.trial.cmp(&b.trial)));
        heads.dedup_by(|a, b| a.trial == b.trial);
        Ok(heads)
    }

    async fn summaries(&self, heads: &[TrialHead]) -> Result<Vec<Summary>, AppError> {
        let writes = self.store().writes().await?;
        let slugs: Vec<&TrialSlug> = heads.iter().map(|head| &head.trial).collect();
        let kept = self.store().kept_summaries(&slugs, EDITION).await?;
        let mut summaries = Vec::new();
        let mut judged_now = Vec::new();
        for trial in slugs {
            let known = kept.get(trial.as_str());
            if let Some(summary) = known.and_then(|text| serde_json::from_str(text).ok()) {
                summaries.push(summary);
                continue;
            }
            let records = Arc::new(self.records(trial).await?);
            // the whole standing is kept too: who opens the trial from the list need not wait for it again
            let standing = self.standing(writes, &records, &WhatIf::default()).await?;
            let summary = Summary::of(&standing, &records);
            let text = serde_json::to_string(&summary).map_err(AppError::unwritten("a summary"))?;
            judged_now.push((trial.clone(), text));
            summaries.push(summary);
        }
        if !judged_now.is_empty() {
            self.store().keep_summaries(&judged_now, EDITION, writes).await?;
        }
        Ok(summaries)
    }
}
