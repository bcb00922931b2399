//! What each test weighs for a machine, with the comparison that it comes from, and which tests and candidates count.

use crate::catalogue::Use;
use crate::contact::ContactError;
use crate::records::GateOutcome;
use crate::standing::kernel::{Fitted, KernelError, Selection, Weighting};
use crate::standing::prepare::{Prepared, Test};
use crate::standing::summary::GateStanding;
use crate::standing::{WhatIf, cautions};
use std::collections::{BTreeMap, BTreeSet};

/// Why a test is not weighed.
#[derive(Clone, Debug, PartialEq)]
pub enum NotWeighed {
    /// A question leaves it out.
    LeftOut,
    /// It is a gate.
    Gate,
    /// The trial shows it only, for this reason, which may be empty.
    Shown {
        /// The reason in the records.
        reason: String,
    },
    /// Nothing rubs in it.
    NoContact,
    /// Its contact cannot be computed.
    ContactNotComputed(ContactError),
    /// A contact of the machine cannot be computed.
    MachineNotComputed {
        /// Which.
        contact: String,
        /// Why.
        error: ContactError,
    },
    /// Pressure, sliding speed or slide-roll ratio is not known on one side.
    TermsUnknown,
    /// It scores no failure mode that matters in the machine.
    NoModeThatMatters,
    /// There are values from data sheets only.
    DataSheetOnly,
    /// It was not run.
    NotRun,
    /// No known-good reference oil was run.
    NoReference,
    /// One reference oil was run and no reproducibility is stated: the scale has no length.
    NoReproducibility,
    /// Nothing says how far its results scatter.
    NoPrecision,
    /// The numbers cannot be worked out.
    NotComputed(KernelError),
    /// It does not sort lubricants whose order is known.
    DoesNotSort {
        /// Which comparison says so.
        reason: NotSorting,
        /// Probability of the right order.
        probability: f64,
    },
    /// Its weight is 0.
    NoWeight,
}

/// Which comparison of known lubricants says that a test does not sort them.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NotSorting {
    /// The control fluid does as well as the known good.
    ControlAsGood,
    /// It does not tell the known good from the known poor.
    GoodLikePoor,
    /// The middle reference does not lie between the others.
    MiddleOutside,
}
/// Which tests and candidates count, and with which weights.
pub(crate) struct Choice {
    /// Weights and exclusions for the kernel.
    pub(crate) selection: Selection,
    /// Weight per fitted test.
    pub(crate) weights: Vec<f64>,
    /// Weight per fitted test if every test sorted.
    pub(crate) weights_if_sorting: Vec<f64>,
    /// Why a test of the trial is not weighed.
    pub(crate) excluded: BTreeMap<usize, NotWeighed>,
    /// The gates that a candidate failed, where it is out for them.
    pub(crate) out: BTreeMap<usize, Vec<GateStanding>>,
}

impl Choice {
    pub(crate) fn new(prepared: &Prepared, what_if: &WhatIf, gates: &[GateStanding]) -> Self {
        let mut excluded = prepared.unfitted.clone();
        let mut sorting_only = BTreeMap::new();
        for (at, place) in prepared.fitted_tests.iter().enumerate() {
            let test = &prepared.tests[*place];
            if let Some(why) = why_excluded(test, what_if) {
                excluded.insert(*place, why);
            } else if let Some(why) = prepared
                .fitted
                .as_ref()
                .and_then(|fitted| why_not_sorting(fitted, at))
            {
                sorting_only.insert(*place, why);
            }
        }
        let weights_if_sorting = weights(prepared, what_if, &excluded);
        if !what_if.lets_in_not_sorting {
            excluded.extend(sorting_only);
        }
        let weights = weights(prepared, what_if, &excluded);
        let mut out: BTreeMap<usize, Vec<GateStanding>> = BTreeMap::new();
        for gate in gates.iter().filter(|gate| gate.outcome == GateOutcome::Fail) {
            let place = prepared.candidates.iter().position(|blend| **blend == gate.blend);
            if let Some(place) = place.filter(|_| !what_if.lets_in_gated) {
                out.entry(place).or_default().push(gate.clone());
            }
        }
        let selection = Selection {
            weighting: Weighting::Instead(weights.clone()),
            candidates_out: out.keys().copied().collect(),
            ..Selection::default()
        };
        Self {
            selection,
            weights,
            weights_if_sorting,
            excluded,
            out,
        }
    }

    /// The same choice with these weights, uncertain in the same way.
    pub(crate) fn weighing(&self, weights: Vec<f64>) -> Selection {
        Selection {
            weighting: Weighting::Instead(weights),
            ..self.selection.clone()
        }
    }

    /// The same choice with other weights.
    pub(crate) fn with_weighting(&self, weighting: Weighting) -> Selection {
        Selection {
            weighting,
            excluded_tests: self.weightless(),
            ..self.selection.clone()
        }
    }

    /// Places, in the kernel's order, of tests that weigh something.
    pub(crate) fn weighed(&self) -> impl Iterator<Item = usize> + '_ {
        (0..self.weights.len()).filter(|at| self.weights[*at] > 0.0)
    }

    /// Places, in the kernel's order, of tests that weigh nothing.
    pub(crate) fn weightless(&self) -> BTreeSet<usize> {
        (0..self.weights.len())
            .filter(|at| self.weights[*at] <= 0.0)
            .collect()
    }
}

fn why_excluded(test: &Test, what_if: &WhatIf) -> Option<NotWeighed> {
    let key = test.evidence.key();
    if what_if.leaves_out(key) {
        return Some(NotWeighed::LeftOut);
    }
    match test.evidence.test.used_to {
        Use::Weigh => {}
        Use::Gate => return Some(NotWeighed::Gate),
        Use::Show => {
            let reason = test.evidence.test.reason.clone();
            return Some(NotWeighed::Shown { reason });
        }
    }
    if what_if.weights.contains_key(key) {
        return None;
    }
    test.likeness.not_weighed.clone()
}

/// Which comparison of known lubricants says that a fitted test does not sort them.
fn why_not_sorting(fitted: &Fitted, at: usize) -> Option<NotWeighed> {
    let (reason, probability) = cautions::why_not_sorting(&fitted.tests()[at].validity())?;
    Some(NotWeighed::DoesNotSort { reason, probability })
}

fn weights(prepared: &Prepared, what_if: &WhatIf, excluded: &BTreeMap<usize, NotWeighed>) -> Vec<f64> {
    let raw_of = |place: &usize| match excluded.contains_key(place) {
        true => 0.0,
        false => prepared.tests[*place].likeness.raw_weight,
    };
    let raw: Vec<f64> = prepared.fitted_tests.iter().map(raw_of).collect();
    let mut weights = prepared.grouped(&raw);
    for (at, place) in prepared.fitted_tests.iter().enumerate() {
        let by_hand = what_if.weights.get(prepared.tests[*place].evidence.key());
        if let Some(weight) = by_hand.filter(|weight| !weight.is_nan() && !excluded.contains_key(place)) {
            weights[at] = weight.clamp(0.0, 1.0);
        }
    }
    held_to_one_vote(prepared, weights)
}

/// Weights set by hand can add up to more than one vote for a family of methods: then its quantities share the one.
fn held_to_one_vote(prepared: &Prepared, mut weights: Vec<f64>) -> Vec<f64> {
    let family = |place: &usize| prepared.tests[*place].evidence.method.family();
    let mut sums: BTreeMap<&str, f64> = BTreeMap::new();
    for (place, weight) in prepared.fitted_tests.iter().zip(&weights) {
        *sums.entry(family(place)).or_default() += weight;
    }
    for (place, weight) in prepared.fitted_tests.iter().zip(&mut weights) {
        *weight /= sums[family(place)].max(1.0);
    }
    weights
}
