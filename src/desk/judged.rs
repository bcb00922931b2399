//! Judging a trial off the threads that answer requests, and what of it is remembered or kept.

use crate::catalogue::Method;
use crate::desk::{DeskError, EvidenceIs, Facet, TrialQuery, newest_decision};
use crate::records::{BlendCode, Dossier, Role, TrialSlug};
use crate::standing::{
    CandidateStanding, Plan, Sensitivity, Severity, Standing, WhatIf, Workings, judge_knowing, sensitivity,
};
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;
use std::sync::{Arc, Mutex, PoisonError};

/// The standing of a trial. It takes the processor for a while, so it runs on a thread of its own.
pub(crate) async fn judged(
    dossier: Arc<Dossier>,
    what_if: WhatIf,
    workings: Arc<Workings>,
) -> Result<Standing, DeskError> {
    tokio::task::spawn_blocking(move || judge_knowing(&dossier, &what_if, &workings))
        .await
        .map_err(|error| DeskError::Inside(format!("judging a trial: {error}")))
}

/// What single changes of the resemblance decide in a trial, on a thread of its own as well.
pub(crate) async fn sensitive(
    dossier: Arc<Dossier>,
    what_if: WhatIf,
    workings: Arc<Workings>,
) -> Result<Sensitivity, DeskError> {
    tokio::task::spawn_blocking(move || sensitivity(&dossier, &what_if, &workings))
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
    pub(crate) evidence_changed: bool,
}

/// Which program judged, and how it wrote down what it found: what another one kept is judged again.
pub(crate) const EDITION: &str = concat!(env!("CARGO_PKG_VERSION"), " summary 3");

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
            evidence_changed: newest_decision(dossier)
                .is_some_and(|(_, evidence)| evidence == EvidenceIs::Changed),
        }
    }

    /// The most severe of its cautions.
    pub(crate) fn worst(&self) -> Option<Severity> {
        let word = self.worst.as_deref()?;
        let all = [Severity::Stop, Severity::High, Severity::Medium, Severity::Note];
        all.into_iter().find(|severity| severity.word() == word)
    }
}

/// What was computed from some inputs. It holds while nothing was written to the file, and longer where the inputs that
/// are read again are the same: what is written to one trial makes nobody judge another again. At most `MOST` are held; the
/// one that was asked for longest ago makes room.
#[derive(Debug)]
pub(crate) struct Remembered<K, I, V, const MOST: usize> {
    held: Mutex<Held<K, I, V>>,
}

#[derive(Debug)]
struct Held<K, I, V> {
    known: BTreeMap<K, Known<I, V>>,
    /// How often anything was asked for or put.
    asked: u64,
}

#[derive(Debug)]
struct Known<I, V> {
    /// Number of writes to the file at which the inputs were last seen.
    writes: i64,
    /// When it was asked for last, as counted by [`Held::asked`].
    asked: u64,
    inputs: I,
    value: V,
}

impl<K, I, V, const MOST: usize> Default for Remembered<K, I, V, MOST> {
    fn default() -> Self {
        let (known, asked) = (BTreeMap::new(), 0);
        let held = Mutex::new(Held { known, asked });
        Self { held }
    }
}

impl<K: Ord + Clone, I: PartialEq, V: Clone, const MOST: usize> Remembered<K, I, V, MOST> {
    /// What was computed at the same number of writes.
    pub(crate) fn unless_written(&self, writes: i64, key: &K) -> Option<V> {
        self.asked_for(key, |one| one.writes == writes)
    }

    /// What was computed from the same inputs, which were read at a number of writes.
    pub(crate) fn of_the_same(&self, writes: i64, key: &K, inputs: &I) -> Option<V> {
        self.asked_for(key, |one| {
            let is_same = one.inputs == *inputs;
            if is_same {
                one.writes = one.writes.max(writes);
            }
            is_same
        })
    }

    fn asked_for(&self, key: &K, holds: impl FnOnce(&mut Known<I, V>) -> bool) -> Option<V> {
        let mut held = self.held.lock().unwrap_or_else(PoisonError::into_inner);
        held.asked += 1;
        let asked = held.asked;
        let one = held.known.get_mut(key)?;
        holds(one).then(|| {
            one.asked = asked;
            one.value.clone()
        })
    }

    pub(crate) fn put(&self, writes: i64, key: K, inputs: I, value: V) {
        let mut held = self.held.lock().unwrap_or_else(PoisonError::into_inner);
        held.asked += 1;
        let asked = held.asked;
        if held.known.len() >= MOST && !held.known.contains_key(&key) {
            let oldest = held.known.iter().min_by_key(|(_, one)| one.asked);
            if let Some(key) = oldest.map(|(key, _)| key.clone()) {
                held.known.remove(&key);
            }
        }
        let one = Known {
            writes,
            asked,
            inputs,
            value,
        };
        held.known.insert(key, one);
    }
}

/// A trial, and what was asked of it in words.
pub(crate) type TrialAndQuestion = (TrialSlug, String);
/// Standings by trial and question, so that a page asked for again need not judge again.
pub(crate) type Standings = Remembered<TrialAndQuestion, Arc<Dossier>, Arc<Standing>, 64>;
/// What single changes of the resemblance decide, by trial and question.
pub(crate) type Sensitivities = Remembered<TrialAndQuestion, Arc<Dossier>, Arc<Sensitivity>, 64>;
/// Plans by trial and number of runs, from its records and all methods.
pub(crate) type Plans = Remembered<(TrialSlug, usize), (Arc<Dossier>, Vec<Method>), Arc<Plan>, 16>;
/// Facets by query: they hang on the whole file, so any write forgets them.
pub(crate) type Counted = Remembered<TrialQuery, (), Arc<Vec<Facet>>, 64>;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_write_elsewhere_forgets_nothing_and_another_input_is_another_answer() {
        let remembered: Remembered<&str, f64, &str, 2> = Remembered::default();
        remembered.put(1, "trial", 0.5, "standing");
        assert_eq!(remembered.unless_written(1, &"trial"), Some("standing"));
        assert_eq!(remembered.unless_written(2, &"trial"), None);
        assert_eq!(remembered.of_the_same(2, &"trial", &0.6), None);
        assert_eq!(remembered.of_the_same(2, &"trial", &0.5), Some("standing"));
        assert_eq!(remembered.unless_written(2, &"trial"), Some("standing"));
    }

    #[test]
    fn what_was_computed_from_older_inputs_answers_for_them_alone() {
        let remembered: Remembered<&str, f64, &str, 2> = Remembered::default();
        remembered.put(5, "trial", 0.6, "newer");
        remembered.put(4, "trial", 0.5, "older, but it took longer");
        assert_eq!(remembered.unless_written(5, &"trial"), None);
        assert_eq!(remembered.of_the_same(5, &"trial", &0.6), None);
    }

    #[test]
    fn no_more_is_held_than_the_most() {
        let remembered: Remembered<usize, f64, usize, 2> = Remembered::default();
        for key in 0..5 {
            remembered.put(1, key, 0.0, key);
        }
        let held = (0..5).filter(|key| remembered.unless_written(1, key).is_some());
        assert_eq!(held.collect::<Vec<usize>>(), [3, 4]);
    }

    #[test]
    fn what_is_asked_for_again_and_again_stays() {
        let remembered: Remembered<usize, f64, usize, 2> = Remembered::default();
        for key in 0..5 {
            remembered.put(1, key, 0.0, key);
            assert_eq!(remembered.of_the_same(1, &0, &0.0), Some(0), "after {key}");
        }
        assert_eq!(remembered.unless_written(1, &4), Some(4));
        assert_eq!(remembered.unless_written(1, &3), None);
    }
}
