//! Judging a trial off the threads that answer requests, and what of it is remembered or kept.

use crate::desk::DeskError;
use crate::records::{BlendCode, Dossier, Role, TrialSlug};
use crate::standing::{CandidateStanding, Sensitivity, Severity, Standing, WhatIf, judge, sensitivity};
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;
use std::sync::{Arc, Mutex, PoisonError};

/// The standing of a trial. It takes the processor for a while, so it runs on a thread of its own.
pub(crate) async fn judged(dossier: Arc<Dossier>, what_if: WhatIf) -> Result<Standing, DeskError> {
    tokio::task::spawn_blocking(move || judge(&dossier, &what_if))
        .await
        .map_err(|error| DeskError::Inside(format!("judging a trial: {error}")))
}

/// What single changes of the resemblance decide in a trial, on a thread of its own as well.
pub(crate) async fn sensitive(dossier: Arc<Dossier>, what_if: WhatIf) -> Result<Sensitivity, DeskError> {
    tokio::task::spawn_blocking(move || sensitivity(&dossier, &what_if))
        .await
        .map_err(|error| DeskError::Inside(format!("judging a trial on other scales: {error}")))
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
    /// Whether a gate has put it out.
    pub is_out: bool,
}

/// What a list shows of a standing.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub(crate) struct Summary {
    pub(crate) leader: Option<String>,
    pub(crate) front_runner: Option<String>,
    pub(crate) p_best: Option<f64>,
    pub(crate) cautions: usize,
    worst: Option<String>,
    pub(crate) candidates: Vec<CandidateScore>,
}

/// Which program judged, and how it wrote down what it found: what another one kept is judged again.
pub(crate) const EDITION: &str = concat!(env!("CARGO_PKG_VERSION"), " summary 1");

impl Summary {
    pub(crate) fn of(standing: &Standing, dossier: &Dossier) -> Self {
        let front = standing.front_runner.as_ref();
        let place = |blend: &BlendCode| dossier.with_role(Role::Candidate).position(|code| code == blend);
        let score = |candidate: &CandidateStanding| {
            Some(CandidateScore {
                blend: candidate.blend.to_string(),
                place: place(&candidate.blend)?,
                score: candidate.score,
                is_out: candidate.out.is_some(),
            })
        };
        let worst = standing.cautions.iter().map(|caution| caution.severity).min();
        Self {
            leader: standing.leader.as_ref().map(ToString::to_string),
            front_runner: front.map(ToString::to_string),
            p_best: front.and_then(|blend| standing.candidate(blend)?.p_best),
            cautions: standing.cautions.len(),
            worst: worst.map(|severity| severity.word().to_string()),
            candidates: standing.candidates.iter().filter_map(score).collect(),
        }
    }

    /// The most severe of its cautions.
    pub(crate) fn worst(&self) -> Option<Severity> {
        let word = self.worst.as_deref()?;
        let all = [Severity::Stop, Severity::High, Severity::Medium, Severity::Note];
        all.into_iter().find(|severity| severity.word() == word)
    }
}

/// What was computed for one state of the file. A write by anybody makes another state, and it is forgotten; so is all of
/// it when more is held than `MOST`.
#[derive(Debug)]
pub(crate) struct Remembered<K, V, const MOST: usize> {
    state: Mutex<(i64, BTreeMap<K, V>)>,
}

impl<K, V, const MOST: usize> Default for Remembered<K, V, MOST> {
    fn default() -> Self {
        Self {
            state: Mutex::new((0, BTreeMap::new())),
        }
    }
}

impl<K: Ord, V: Clone, const MOST: usize> Remembered<K, V, MOST> {
    pub(crate) fn get(&self, writes: i64, key: &K) -> Option<V> {
        let state = self.state.lock().unwrap_or_else(PoisonError::into_inner);
        (state.0 == writes).then(|| state.1.get(key).cloned()).flatten()
    }

    pub(crate) fn put(&self, writes: i64, key: K, value: V) {
        let mut state = self.state.lock().unwrap_or_else(PoisonError::into_inner);
        if state.0 < writes || state.1.len() >= MOST {
            *state = (writes.max(state.0), BTreeMap::new());
        }
        if state.0 == writes {
            state.1.insert(key, value);
        }
    }
}

/// Standings by trial and question, so that a page asked for again need not judge again.
pub(crate) type Standings = Remembered<(TrialSlug, String), Arc<Standing>, 64>;
/// What single changes of the resemblance decide, by trial and question.
pub(crate) type Sensitivities = Remembered<(TrialSlug, String), Arc<Sensitivity>, 64>;
