//! The list of trials: found by a query, each with what was kept of it when it was judged last.

use crate::app::judged::{EDITION, Summary};
use crate::app::{App, AppError, PAGE_LENGTH, Sort, TrialLine, TrialList, TrialQuery};
use crate::catalogue::MethodId;
use crate::records::{BlendCode, Trial, TrialSlug};
use crate::standing::WhatIf;
use crate::store::{Part, TrialFilter, TrialHead, TrialOrder};
use std::cmp::Reverse;
use std::collections::BTreeMap;
use std::sync::Arc;

impl App {
    /// A page of the trials that a query leaves, each with what was kept of it; one that nothing is
    /// kept of is judged now.
    ///
    /// # Errors
    /// `Damaged` where a stored value cannot be read.
    pub async fn list_trials(&self, query: &TrialQuery) -> Result<TrialList, AppError> {
        let part = Part {
            order: match query.sort {
                Sort::Kept(order) => order,
                Sort::Verdict | Sort::Caution => TrialOrder::OpenFirst,
            },
            is_reversed: query.is_reversed && !query.sort.needs_judging(),
            skipped: query.page.max(1).saturating_sub(1).saturating_mul(PAGE_LENGTH),
            length: PAGE_LENGTH,
        };
        let (total, heads) = self.store().page_of_trials(&query.filter, part).await?;
        let summaries = self.summaries(&heads).await?;
        let slugs: Vec<&TrialSlug> = heads.iter().map(|head| &head.trial).collect();
        let mut hits = self.store().hits(&query.filter.words, &slugs).await?;
        let trials = heads.into_iter().zip(summaries);
        let mut trials: Vec<TrialLine> = trials
            .map(|(head, summary)| TrialLine {
                hits: hits.remove(head.trial.as_str()).unwrap_or_default(),
                head,
                summary,
            })
            .collect();
        if total <= PAGE_LENGTH {
            sort(&mut trials, query);
        }
        Ok(TrialList { total, trials })
    }

    /// All trials with their tests, in the order in which they were entered.
    ///
    /// # Errors
    /// `Damaged` where a stored value cannot be read.
    pub async fn trials_with_their_tests(&self) -> Result<Vec<Trial>, AppError> {
        Ok(self.store().read_names().await?.trials)
    }

    /// How many trials there are.
    ///
    /// # Errors
    /// `Store` where the file cannot be read.
    pub async fn count_trials(&self) -> Result<usize, AppError> {
        let all = TrialFilter::default();
        let (count, _) = self.store().page_of_trials(&all, Part::default()).await?;
        Ok(count)
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

/// Orders trials by what was judged; those that are alike keep their order.
fn sort(trials: &mut [TrialLine], query: &TrialQuery) {
    match query.sort {
        Sort::Kept(_) => return,
        Sort::Verdict => trials.sort_by(|a, b| {
            let share = |line: &TrialLine| line.summary.p_best.unwrap_or(-1.0);
            let kinds = verdict_rank(&a.summary).cmp(&verdict_rank(&b.summary));
            kinds.then(share(b).total_cmp(&share(a)))
        }),
        Sort::Caution => trials.sort_by_key(|line| {
            let summary = &line.summary;
            (summary.worst.is_none(), summary.worst, Reverse(summary.cautions))
        }),
    }
    if query.is_reversed {
        trials.reverse();
    }
}

/// Leaders, answers, who is first without leading, what was stopped, nothing.
fn verdict_rank(summary: &Summary) -> u8 {
    if summary.leader.is_some() {
        0
    } else if !summary.no_worse.is_empty() {
        1
    } else if summary.stop.is_some() {
        3
    } else if summary.front_runner.is_some() {
        2
    } else {
        4
    }
}
