//! The list of trials: found by a query, each with what was kept of it when it was judged last.

use crate::app::judged::{EDITION, Summary};
use crate::app::{App, AppError, PAGE_LENGTH, TrialLine, TrialList, TrialQuery};
use crate::records::TrialSlug;
use crate::standing::WhatIf;
use crate::store::{TrialFilter, TrialHead};
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
            .page_of_trials(&filter(query), first, PAGE_LENGTH)
            .await?;
        let summaries = self.summaries(&heads).await?;
        let trials = heads.into_iter().zip(summaries);
        Ok(TrialList {
            total,
            trials: trials.map(|(head, summary)| line(head, summary)).collect(),
        })
    }

    /// The names of the trials that a query leaves, the latest first, without judging them.
    ///
    /// # Errors
    /// `Damaged` where a stored value cannot be read.
    pub async fn trial_names(&self, query: &TrialQuery) -> Result<Vec<TrialSlug>, AppError> {
        let heads = self.store().list_trials(&filter(query)).await?;
        Ok(heads.into_iter().map(|head| head.trial).collect())
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
            let text =
                serde_json::to_string(&summary).map_err(|error| AppError::Inside(error.to_string()))?;
            judged_now.push((trial.clone(), text));
            summaries.push(summary);
        }
        if !judged_now.is_empty() {
            self.store().keep_summaries(&judged_now, EDITION, writes).await?;
        }
        Ok(summaries)
    }
}

pub(crate) fn filter(query: &TrialQuery) -> TrialFilter {
    TrialFilter {
        words: query.words.clone(),
        machine: query.machine.clone(),
        kind: query.kind.clone(),
        method: query.method.clone(),
        component: query.component.clone(),
        status: query.status.clone(),
        year: query.year.clone(),
    }
}

fn line(head: TrialHead, summary: Summary) -> TrialLine {
    let worst = summary.worst();
    TrialLine {
        trial: head.trial,
        title: head.title,
        question: head.question,
        machine: head.machine,
        machine_name: head.machine_name,
        status: head.status,
        opened_on: head.opened_on,
        invented: head.invented,
        leader: summary.leader,
        front_runner: summary.front_runner,
        p_best: summary.p_best,
        cautions: summary.cautions,
        worst,
        candidates: summary.candidates,
        evidence_changed: summary.evidence_changed,
    }
}
