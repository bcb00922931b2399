//! Judging a trial off the threads that answer requests, and what of it is remembered or kept.

use crate::app::{AppError, EvidenceIs, Facet, newest_decision};
use crate::cache::Cache;
use crate::catalogue::Method;
use crate::prose::caution_line::{caution_line, stop_line};
use crate::prose::decisions::{day, decided_on};
use crate::records::{BlendCode, Decision, DecisionKind, Role, TrialRecords, TrialSlug, Word};
use crate::standing::{
    Answer, CandidateStanding, Equivalence, Plan, Sensitivity, Severity, Standing, WhatIf,
};
use crate::store::TrialFilter;
use serde::{Deserialize, Serialize};
use std::sync::Arc;

/// What takes the processor for a while, on a thread of its own.
pub(crate) async fn apart<T: Send + 'static>(
    work: impl FnOnce() -> T + Send + 'static,
) -> Result<T, AppError> {
    Ok(tokio::task::spawn_blocking(work).await?)
}

/// A candidate's score, as a list shows it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct CandidateScore {
    /// Code.
    pub blend: String,
    /// Its place among the candidates of the trial, which decides its mark.
    pub place: usize,
    /// Score between the known poor (0) and the known good (1); `None` where nothing is weighed.
    pub score: Option<f64>,
    /// The 90 % interval of the score.
    pub interval: Option<(f64, f64)>,
    /// Whether a gate has put it out.
    pub is_out: bool,
}

/// What a list shows of a candidate that is held against another blend.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct NoWorseInShort {
    /// The candidate.
    pub blend: String,
    /// The blend it is held against.
    pub against: String,
    /// What can be said.
    pub answer: Answer,
}

/// What a list shows of a decision.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct DecisionInShort {
    /// The word of its kind.
    pub kind: String,
    /// The blend that it is about.
    pub blend: Option<String>,
    /// Its date, ISO 8601.
    pub date: Option<String>,
    /// When it is looked at again, ISO 8601.
    pub review_on: Option<String>,
}

impl DecisionInShort {
    /// `Scale up T-03`.
    pub fn words(&self) -> String {
        let kind = DecisionKind::from_word(&self.kind).unwrap_or(DecisionKind::NoChoiceYet);
        decided_on(kind, self.blend.as_deref(), None)
    }

    /// The day on which it is looked at again, or else its own; empty where it has neither.
    pub fn when(&self) -> String {
        let date = |text: &Option<String>| text.as_ref()?.parse().ok().map(day);
        match (date(&self.review_on), date(&self.date)) {
            (Some(review), _) => format!("review {review}"),
            (None, date) => date.unwrap_or_default(),
        }
    }
}

/// What a list shows of a standing.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Summary {
    /// Who leads, where the evidence carries it.
    pub leader: Option<String>,
    /// Who is in front.
    pub front_runner: Option<String>,
    /// Share of draws in which the front-runner ranks first.
    pub p_best: Option<f64>,
    /// Number of cautions.
    pub cautions: usize,
    /// The most severe of its cautions.
    pub worst: Option<Severity>,
    /// The first of those in a few words.
    pub gravest: Option<String>,
    /// Why no leader may be named whatever the numbers, in a few words; `None` where no caution stops it.
    pub stop: Option<String>,
    /// The newest decision.
    pub decision: Option<DecisionInShort>,
    /// The scores of its candidates, the best first, those that are out last.
    pub candidates: Vec<CandidateScore>,
    /// The answer for each candidate of a trial that asks whether they are no worse than one blend.
    pub no_worse: Vec<NoWorseInShort>,
    /// Whether the evidence differs from that of its newest signed decision.
    pub evidence_changed: bool,
}

/// Which program judged, and how it wrote down what it found: what another one kept is judged again.
pub(crate) const EDITION: &str = concat!(env!("CARGO_PKG_VERSION"), " summary 8");

impl Summary {
    pub(crate) fn of(standing: &Standing, records: &TrialRecords) -> Self {
        let front = standing.front_runner.as_ref();
        let place = |blend: &BlendCode| records.with_role(Role::Candidate).position(|code| code == blend);
        let score = |candidate: &CandidateStanding| {
            Some(CandidateScore {
                blend: candidate.blend.to_string(),
                place: place(&candidate.blend)?,
                score: candidate.score,
                interval: candidate.score_lo.zip(candidate.score_hi),
                is_out: candidate.is_out(),
            })
        };
        let newest = newest_decision(records);
        let gravest = standing.cautions.iter().min_by_key(|caution| caution.severity);
        Self {
            leader: standing.leader.as_ref().map(ToString::to_string),
            front_runner: front.map(ToString::to_string),
            p_best: front.and_then(|blend| standing.candidate(blend)?.p_best),
            cautions: standing.cautions.len(),
            worst: gravest.map(|caution| caution.severity),
            gravest: gravest.map(|caution| caution_line(caution, standing)),
            stop: gravest.and_then(stop_line),
            decision: newest.map(|(decision, _)| decision_in_short(decision)),
            candidates: standing.candidates.iter().filter_map(score).collect(),
            no_worse: standing.equivalence.iter().flat_map(in_short).collect(),
            evidence_changed: newest.is_some_and(|(_, evidence)| evidence == EvidenceIs::Changed),
        }
    }
}

fn decision_in_short(decision: &Decision) -> DecisionInShort {
    DecisionInShort {
        kind: decision.decided().word().to_string(),
        blend: decision.blend().map(ToString::to_string),
        date: decision.date.map(|date| date.to_string()),
        review_on: decision.review_on.map(|date| date.to_string()),
    }
}

fn in_short(of: &Equivalence) -> impl Iterator<Item = NoWorseInShort> {
    of.candidates.iter().map(|one| NoWorseInShort {
        blend: one.blend.to_string(),
        against: of.against.to_string(),
        answer: one.answer,
    })
}

/// A trial, and everything that was asked of it in words.
pub(crate) type TrialAndQuestion = (TrialSlug, String);

/// What the answer to a question about a trial is remembered by.
pub(crate) fn question_of(trial: &TrialSlug, what_if: &WhatIf) -> TrialAndQuestion {
    (trial.clone(), format!("{what_if:?}"))
}

/// Standings by trial and question, so that a page asked for again need not judge again.
pub(crate) type Standings = Cache<TrialAndQuestion, Arc<TrialRecords>, Arc<Standing>, 64>;
/// What single changes of the resemblance decide, by trial and question.
pub(crate) type Sensitivities = Cache<TrialAndQuestion, Arc<TrialRecords>, Arc<Sensitivity>, 64>;
/// Plans by trial and number of runs, from its records and all methods.
pub(crate) type Plans = Cache<(TrialSlug, usize), (Arc<TrialRecords>, Arc<Vec<Method>>), Arc<Plan>, 16>;
/// Facets by filter: they hang on the whole file, so any write is another input.
pub(crate) type Counted = Cache<TrialFilter, i64, Arc<Vec<Facet>>, 64>;
