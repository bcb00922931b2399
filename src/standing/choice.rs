//! Which tests and candidates count in a standing, and with which weights.

use crate::catalogue::Use;
use crate::standing::kernel::{Fitted, Selection, Weighting};
use crate::standing::prepare::{Prepared, Test};
use crate::standing::summary::{GateStanding, Validity};
use crate::standing::{WhatIf, cautions, gates};
use std::collections::{BTreeMap, BTreeSet};

/// Which tests and candidates count, and with which weights.
pub(crate) struct Choice {
    /// Weights and exclusions for the kernel.
    pub(crate) selection: Selection,
    /// Weight per fitted test.
    pub(crate) weights: Vec<f64>,
    /// Weight per fitted test if every test sorted.
    pub(crate) weights_if_sorting: Vec<f64>,
    /// Why a test of the trial is not weighed.
    pub(crate) excluded: BTreeMap<usize, String>,
    /// Why a candidate is out.
    pub(crate) out: BTreeMap<usize, String>,
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
        let mut out = BTreeMap::new();
        for (place, blend) in prepared.candidates.iter().enumerate() {
            if let Some(why) = gates::why_out(gates, blend) {
                out.insert(place, why);
            }
        }
        let candidates_out = if what_if.lets_in_gated {
            BTreeSet::new()
        } else {
            out.keys().copied().collect()
        };
        if what_if.lets_in_gated {
            out.clear();
        }
        let selection = Selection {
            weighting: Weighting::Instead(weights.clone()),
            candidates_out,
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

    /// The same choice with other weights.
    pub(crate) fn with_weighting(&self, weighting: Weighting) -> Selection {
        Selection {
            weighting,
            excluded_tests: self.weightless(),
            ..self.selection.clone()
        }
    }

    /// Places, in the kernel's order, of tests that weigh nothing.
    pub(crate) fn weightless(&self) -> BTreeSet<usize> {
        (0..self.weights.len())
            .filter(|at| self.weights[*at] <= 0.0)
            .collect()
    }
}

fn why_excluded(test: &Test, what_if: &WhatIf) -> Option<String> {
    let key = test.evidence.key();
    if what_if.leaves_out(key) {
        return Some("left out in this what-if".to_string());
    }
    match test.evidence.test.used_to {
        Use::Weigh => {}
        Use::Gate => return Some("a gate: not weighed".to_string()),
        Use::Show => return Some(shown_because(test)),
    }
    if what_if.weights.contains_key(key) {
        return None;
    }
    test.likeness.not_weighed.clone()
}

fn shown_because(test: &Test) -> String {
    match test.evidence.test.reason.as_str() {
        "" => "shown, not weighed".to_string(),
        reason => format!("shown, not weighed: {reason}"),
    }
}

/// Which comparison of known lubricants says that a fitted test does not sort them.
fn why_not_sorting(fitted: &Fitted, at: usize) -> Option<String> {
    let validity = validity(fitted, at);
    cautions::why_not_sorting(&validity).map(|(why, p)| format!("does not sort: {why} (P {p:.2})"))
}

/// How a fitted test sorted lubricants whose order is known.
pub(crate) fn validity(fitted: &Fitted, at: usize) -> Validity {
    let validity = fitted.tests()[at].validity();
    Validity {
        good_over_poor: validity.good_over_poor,
        middle_between: validity.middle_between,
        good_over_control: validity.good_over_control,
    }
}

fn weights(prepared: &Prepared, what_if: &WhatIf, excluded: &BTreeMap<usize, String>) -> Vec<f64> {
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

/// Weights set by hand can add up to more than one vote for a method: then its quantities share the one.
fn held_to_one_vote(prepared: &Prepared, mut weights: Vec<f64>) -> Vec<f64> {
    let mut sums: BTreeMap<&str, f64> = BTreeMap::new();
    for (at, place) in prepared.fitted_tests.iter().enumerate() {
        *sums
            .entry(&prepared.tests[*place].evidence.key().method)
            .or_default() += weights[at];
    }
    for (at, place) in prepared.fitted_tests.iter().enumerate() {
        weights[at] /= sums[prepared.tests[*place].evidence.key().method.as_str()].max(1.0);
    }
    weights
}
