//! What was found for one question about a trial and holds for others: fits of tests, verdicts, and the trial without
//! some of its results. Weights, exclusions and the machine's duty touch none of it.

use crate::records::{TestKey, TrialRecords};
use crate::standing::WhatIf;
use crate::standing::kernel::{Fitted, KnownFits};
use crate::standing::verdicts::Verdict;
use std::collections::BTreeMap;
use std::sync::{Arc, Mutex, OnceLock, PoisonError};

/// Most sets of records about which something is held, those asked about last (ours): a trial, and the same with other
/// reference oils. With 20 candidates a rest holds some 5 MB.
const MOST_RECORDS: usize = 2;
/// Most rests of one trial that are held, and most means (ours).
const MOST_RESTS: usize = 40;
const MOST_MEANS: usize = 10_000;

/// What is known already. An answer with it is the same, bit for bit, as without; shared between threads.
#[derive(Debug, Default)]
pub struct FitCache {
    pub(crate) fits: KnownFits,
    of_records: Mutex<Vec<Arc<KnownOfRecords>>>,
}

/// What is known of some records, whatever the weights.
#[derive(Debug)]
pub(crate) struct KnownOfRecords {
    records: TrialRecords,
    /// Draws and seed.
    settings: (usize, u64),
    /// Per test, in the trial's order.
    pub(crate) verdicts: OnceLock<Vec<Vec<Verdict>>>,
    /// What is left, by head-room and the places of the results that are left out; `None` where nothing is.
    pub(crate) rests: ByKey<(HeadRoom, Vec<usize>), Option<Arc<Rest>>, MOST_RESTS>,
    /// Mean positions of candidates in a test without some runs; `None` where the test loses its scale.
    pub(crate) means: ByKey<(HeadRoom, CellWithout), Option<MeansOf>, MOST_MEANS>,
}

/// Mean positions by the place of the candidate.
pub(crate) type MeansOf = Vec<(usize, f64)>;
/// Bits of a head-room.
pub(crate) type HeadRoom = u64;
/// The place of a test, a blend, and the places of those of its runs that are left out.
pub(crate) type CellWithout = (usize, String, Vec<usize>);

/// What is left of a trial without some results.
#[derive(Debug)]
pub(crate) struct Rest {
    pub(crate) fitted: Fitted,
    /// Its tests, in the kernel's order.
    pub(crate) tests: Vec<TestKey>,
}

impl FitCache {
    /// What is known of these records under a question's draws.
    pub(crate) fn of(&self, records: &TrialRecords, what_if: &WhatIf) -> Arc<KnownOfRecords> {
        let settings = (what_if.draws, what_if.seed);
        let mut all = self.of_records.lock().unwrap_or_else(PoisonError::into_inner);
        let known = all
            .iter()
            .position(|one| one.settings == settings && same_but_the_machine(&one.records, records));
        let asked = match known {
            Some(place) => all.remove(place),
            None => Arc::new(KnownOfRecords {
                records: records.clone(),
                settings,
                verdicts: OnceLock::new(),
                rests: ByKey::default(),
                means: ByKey::default(),
            }),
        };
        if all.len() >= MOST_RECORDS {
            all.remove(0);
        }
        all.push(Arc::clone(&asked));
        asked
    }
}

/// Whether two records differ at most in the machine, the scales of the resemblance and what was decided.
fn same_but_the_machine(one: &TrialRecords, other: &TrialRecords) -> bool {
    let TrialRecords {
        trial,
        machine: _,
        newest_machine_version: _,
        blends,
        methods,
        rigs,
        results,
        decisions: _,
        term_scales: _,
    } = one;
    *results == other.results
        && *trial == other.trial
        && *blends == other.blends
        && *methods == other.methods
        && *rigs == other.rigs
}

/// Values that are computed once for each key; all are forgotten when more than `MOST` are held. Two threads that ask at one time both compute it, and agree.
#[derive(Debug)]
pub(crate) struct ByKey<K, V, const MOST: usize>(Mutex<BTreeMap<K, V>>);

impl<K, V, const MOST: usize> Default for ByKey<K, V, MOST> {
    fn default() -> Self {
        Self(Mutex::default())
    }
}

impl<K: Ord, V: Clone, const MOST: usize> ByKey<K, V, MOST> {
    pub(crate) fn get_or(&self, key: K, compute: impl FnOnce() -> V) -> V {
        let known = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(value) = known.get(&key) {
            return value.clone();
        }
        drop(known);
        let value = compute();
        let mut known = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        if known.len() >= MOST {
            known.clear();
        }
        known.insert(key, value.clone());
        value
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_value_is_computed_once_and_no_more_are_held_than_the_most() {
        let values: ByKey<usize, usize, 2> = ByKey::default();
        assert_eq!(values.get_or(1, || 10), 10);
        assert_eq!(values.get_or(1, || 11), 10, "it was known");
        values.get_or(2, || 20);
        values.get_or(3, || 30);
        assert_eq!(values.get_or(3, || 31), 30);
        assert_eq!(values.get_or(1, || 12), 12, "the first ones were forgotten");
    }
}
