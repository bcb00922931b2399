//! Two blends of a trial side by side.

use crate::app::judged::apart;
use crate::app::{App, AppError};
use crate::records::{BlendCode, TestKey, TrialSlug};
use crate::standing::{Comparison, Verdict, WhatIf, head_to_head};

/// Two blends of a trial in every test.
#[derive(Clone, Debug, PartialEq)]
pub struct HeadToHead {
    /// The trial, judged as it is.
    pub comparison: Comparison,
    /// The two that are compared; `None` where the trial has fewer than two blends.
    pub pair: Option<(BlendCode, BlendCode)>,
    /// The first against the second in each test.
    pub tests: Vec<(TestKey, Option<Verdict>)>,
}

impl App {
    /// Two blends of a trial side by side; without a choice, the first two of its standing.
    ///
    /// # Errors
    /// `NoSuchTrial`; `Question` where a blend is not one of the trial, or both are the same.
    pub async fn head_to_head(
        &self,
        trial: &TrialSlug,
        (one, other): (Option<&str>, Option<&str>),
    ) -> Result<HeadToHead, AppError> {
        let comparison = self.compare(trial, &WhatIf::default()).await?;
        let records = comparison.records.clone();
        let known = |field: &str, code: &str| {
            let mut blends = records.trial.blends.iter().map(|part| &part.blend);
            let found = blends.find(|blend| blend.as_str() == code).cloned();
            found.ok_or_else(|| {
                AppError::question(field, "is not a blend of this trial; choose one of the list")
            })
        };
        let [one, other] = [
            one.map(|code| known("one", code)).transpose()?,
            other.map(|code| known("other", code)).transpose()?,
        ];
        let ranked = comparison
            .standing
            .candidates
            .iter()
            .map(|candidate| &candidate.blend);
        let others = records.trial.blends.iter().map(|part| &part.blend);
        let mut usual: Vec<BlendCode> = ranked.chain(others).cloned().collect();
        let chosen = [&one, &other];
        usual.retain(|blend| !chosen.contains(&&Some(blend.clone())));
        let mut usual = usual.into_iter();
        let first = one.or_else(|| usual.next());
        let mut usual = usual.filter(|blend| Some(blend) != first.as_ref());
        let pair = first.clone().zip(other.or_else(|| usual.next()));
        let Some((one, other)) = pair.clone() else {
            let tests = Vec::new();
            return Ok(HeadToHead {
                comparison,
                pair,
                tests,
            });
        };
        if one == other {
            return Err(AppError::question(
                "other",
                "is the same blend; choose another one",
            ));
        }
        let fits = self.fit_cache.clone();
        let tests = apart(move || head_to_head(&records, &fits, (&one, &other))).await?;
        Ok(HeadToHead {
            comparison,
            pair,
            tests,
        })
    }
}
