//! What was found for one question about a trial and holds for others: fits of tests, verdicts, and the trial without
//! some of its results. Weights, exclusions and the machine's duty touch none of it.

use crate::records::{Dossier, TestKey};
use crate::standing::WhatIf;
use crate::standing::kernel::{Fitted, KnownFits};
use crate::standing::verdicts::Verdict;
use std::collections::BTreeMap;
use std::sync::{Arc, Mutex, OnceLock, PoisonError};

/// Most sets of records about which something is held (ours).
const MOST_RECORDS: usize = 8;

/// What is known already. An answer with it is the same, bit for bit, as without; shared between threads.
#[derive(Debug, Default)]
pub struct Workings {
    pub(crate) fits: KnownFits,
    of_records: Mutex<Vec<Arc<KnownOfRecords>>>,
}

/// What is known of some records, whatever the weights.
#[derive(Debug)]
pub(crate) struct KnownOfRecords {
    records: Dossier,
    settings: (usize, u64, u64),
    /// Per test, in the trial's order.
    pub(crate) verdicts: OnceLock<Vec<Vec<Verdict>>>,
    /// What is left, by the places of the results that are left out; `None` where nothing is.
    pub(crate) rests: ByKey<Vec<usize>, Option<Arc<Rest>>>,
    /// Mean positions of candidates in a test whose cell of a blend has lost some runs, by the test's place, the blend and
    /// the places of the runs; `None` where the test loses its scale.
    pub(crate) means: ByKey<(usize, String, Vec<usize>), Option<Vec<(usize, f64)>>>,
}

/// What is left of a trial without some results.
#[derive(Debug)]
pub(crate) struct Rest {
    pub(crate) fitted: Fitted,
    /// Its tests, in the kernel's order.
    pub(crate) tests: Vec<TestKey>,
}

impl Workings {
    /// What is known of these records under a question's draws.
    pub(crate) fn of(&self, dossier: &Dossier, what_if: &WhatIf) -> Arc<KnownOfRecords> {
        let settings = (what_if.draws, what_if.seed, what_if.head_room.to_bits());
        let mut all = self.of_records.lock().unwrap_or_else(PoisonError::into_inner);
        let found = all
            .iter()
            .find(|one| one.settings == settings && same_but_the_machine(&one.records, dossier));
        if let Some(found) = found {
            return Arc::clone(found);
        }
        let new = Arc::new(KnownOfRecords {
            records: dossier.clone(),
            settings,
            verdicts: OnceLock::new(),
            rests: ByKey::default(),
            means: ByKey::default(),
        });
        if all.len() >= MOST_RECORDS {
            all.remove(0);
        }
        all.push(Arc::clone(&new));
        new
    }
}

/// Whether two records differ at most in the machine, the scales of the resemblance and what was decided.
fn same_but_the_machine(one: &Dossier, other: &Dossier) -> bool {
    let Dossier {
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

/// Values that are computed once for each key. Two threads that ask at one time both compute it, and agree.
#[derive(Debug)]
pub(crate) struct ByKey<K, V>(Mutex<BTreeMap<K, V>>);

impl<K, V> Default for ByKey<K, V> {
    fn default() -> Self {
        Self(Mutex::default())
    }
}

impl<K: Ord, V: Clone> ByKey<K, V> {
    pub(crate) fn get_or(&self, key: K, compute: impl FnOnce() -> V) -> V {
        let known = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(value) = known.get(&key) {
            return value.clone();
        }
        drop(known);
        let value = compute();
        let mut known = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        known.insert(key, value.clone());
        value
    }
}
