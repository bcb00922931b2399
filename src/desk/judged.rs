//! Judging a trial off the threads that answer requests, and remembering the summaries of lists.

use crate::desk::DeskError;
use crate::records::{Dossier, TrialSlug};
use crate::standing::{Sensitivity, Severity, Standing, WhatIf, judge, sensitivity};
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

/// What a list shows of a standing.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Summary {
    pub(crate) leader: Option<String>,
    pub(crate) front_runner: Option<String>,
    pub(crate) p_best: Option<f64>,
    pub(crate) cautions: usize,
    pub(crate) worst: Option<Severity>,
}

impl Summary {
    pub(crate) fn of(standing: &Standing) -> Self {
        let front = standing.front_runner.as_ref();
        Self {
            leader: standing.leader.as_ref().map(ToString::to_string),
            front_runner: front.map(ToString::to_string),
            p_best: front.and_then(|blend| standing.candidate(blend)?.p_best),
            cautions: standing.cautions.len(),
            worst: standing.cautions.iter().map(|caution| caution.severity).min(),
        }
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

/// Summaries of lists, by trial.
pub(crate) type Summaries = Remembered<TrialSlug, Summary, 20_000>;
/// Standings by trial and question, so that a page asked for again need not judge again.
pub(crate) type Standings = Remembered<(TrialSlug, String), Arc<Standing>, 64>;
/// What single changes of the resemblance decide, by trial and question.
pub(crate) type Sensitivities = Remembered<(TrialSlug, String), Arc<Sensitivity>, 64>;
