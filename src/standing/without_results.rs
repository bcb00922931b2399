//! Who would be in front without some of the results: those of a rig, or runs that are doubted. The tests stay, with
//! their weights and with what is left.

use crate::records::{BlendCode, Dossier, RunResult, TestKey};
use crate::standing::blocks::Adjust;
use crate::standing::choice::Choice;
use crate::standing::doubted::{Doubted, Why};
use crate::standing::kernel::{LeftOut as Without, Selection, Weighting};
use crate::standing::prepare::{Departure, Prepared, prepare};
use crate::standing::rests_on::{key_at, p_changes};
use crate::standing::{LeaveOut, LeftOut, WhatIf};
use std::collections::{BTreeMap, BTreeSet};

/// The trial judged without some results, on the same streams and with the same weights; `None` where nothing is left
/// that can be weighed.
fn without_results(
    dossier: &Dossier,
    what_if: &WhatIf,
    prepared: &Prepared,
    choice: &Choice,
    leaves_out: &dyn Fn(&RunResult) -> bool,
) -> Option<Without> {
    let departure = Departure {
        leaves_out,
        adjust: Adjust::Severity,
        from: Some(prepared),
    };
    let rest = prepare(dossier, what_if, departure);
    let weights = weights_by_key(prepared, choice, &rest);
    let selection = Selection {
        weighting: Weighting::Instead(weights),
        ..choice.selection.clone()
    };
    let fitted = rest.fitted.as_ref()?;
    let without = fitted.leave_out(&selection, &[BTreeSet::new()]).ok()?;
    without.into_iter().next()
}

/// A rig whose tests also ran elsewhere: its results fall away, the tests stay with what is left.
pub(crate) fn without_rig(
    dossier: &Dossier,
    what_if: &WhatIf,
    prepared: &Prepared,
    choice: &Choice,
    rig: &str,
    front: &BlendCode,
) -> LeaveOut {
    let of_rig = |result: &RunResult| result.rig.as_ref().is_some_and(|id| id.as_str() == rig);
    let standing = without_results(dossier, what_if, prepared, choice, &of_rig);
    let place = standing.as_ref().and_then(|standing| standing.front_runner);
    let then = place.map(|place| prepared.candidates[place].clone());
    let touched = |place: &usize| {
        prepared.tests[*place]
            .evidence
            .runs()
            .any(|(_, run)| run.block.0 == rig)
    };
    LeaveOut {
        left_out: LeftOut::Rig,
        name: rig.to_string(),
        tests: prepared
            .fitted_tests
            .iter()
            .filter(|p| touched(p))
            .map(|p| prepared.tests[*p].evidence.key().clone())
            .collect(),
        extreme: false,
        p_best: standing
            .as_ref()
            .zip(place)
            .map(|(standing, place)| standing.p_best[place]),
        p_changes: standing
            .as_ref()
            .and_then(|standing| p_changes(prepared, standing, front)),
        changes: then.as_ref() != Some(front),
        front_runner: then,
    }
}

/// Who else would be in front without doubted runs: without the marked one, or without any one of those that lie too
/// far apart, since nothing says which of them is wrong.
pub(crate) fn front_without(
    dossier: &Dossier,
    what_if: &WhatIf,
    prepared: &Prepared,
    choice: &Choice,
    front: &BlendCode,
    doubted: &Doubted,
) -> Option<BlendCode> {
    // Who is in front follows from means: it does not need many draws.
    let few = WhatIf {
        draws: 200,
        ..what_if.clone()
    };
    let then = |leaves_out: &dyn Fn(&RunResult) -> bool| {
        let without = without_results(dossier, &few, prepared, choice, leaves_out)?;
        let place = without.front_runner?;
        Some(prepared.candidates[place].clone()).filter(|then| then != front)
    };
    match doubted.why {
        Why::Marked { .. } => then(&|result| doubted.results.iter().any(|one| std::ptr::eq(*one, result))),
        Why::FarApart { .. } => doubted
            .results
            .iter()
            .find_map(|one| then(&|result| std::ptr::eq(*one, result))),
    }
}

/// The weights of a choice for another preparation, by test; a test that is not there weighs nothing.
pub(crate) fn weights_by_key(prepared: &Prepared, choice: &Choice, other: &Prepared) -> Vec<f64> {
    let by_key: BTreeMap<TestKey, f64> = (0..choice.weights.len())
        .map(|at| (key_at(prepared, at), choice.weights[at]))
        .collect();
    let weight = |at: usize| by_key.get(&key_at(other, at)).copied().unwrap_or(0.0);
    (0..other.fitted_tests.len()).map(weight).collect()
}
