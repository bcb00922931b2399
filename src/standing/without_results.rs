//! Who would be in front without some of the results: those of a rig, of a campaign, of a run, or runs that are doubted. The tests stay, with
//! their weights and with what is left.

use crate::records::{BlendCode, RunResult, TestKey};
use crate::standing::blocks::Adjust;
use crate::standing::choice::Choice;
use crate::standing::doubted::Doubted;
use crate::standing::fit_cache::Rest;
use crate::standing::kernel::{LeftOut as Without, Selection, Weighting};
use crate::standing::prepare::{Case, Departure, Prepared, prepare};
use crate::standing::rests_on::{key_at, p_changes};
use crate::standing::single_runs::run_name;
use crate::standing::{LeaveOut, LeftOut};
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

/// The trial judged without some results, on the same streams and with the same weights; `None` where nothing is left
/// that can be weighed.
fn without_results(
    case: Case,
    prepared: &Prepared,
    choice: &Choice,
    leaves_out: &dyn Fn(&RunResult) -> bool,
) -> Option<Without> {
    let places = case.records.results.iter().enumerate();
    let gone: Vec<usize> = places
        .filter(|(_, result)| leaves_out(result))
        .map(|(place, _)| place)
        .collect();
    let rest = case
        .known
        .rests
        .get_or((case.what_if.head_room.to_bits(), gone), || {
            rest(case, prepared, leaves_out)
        })?;
    let selection = Selection {
        weighting: Weighting::Instead(weights_by_key(prepared, choice, &rest.tests)),
        ..choice.selection.clone()
    };
    let without = rest.fitted.leave_out(&selection, &[BTreeSet::new()]).ok()?;
    without.into_iter().next()
}

fn rest(case: Case, prepared: &Prepared, leaves_out: &dyn Fn(&RunResult) -> bool) -> Option<Arc<Rest>> {
    let departure = Departure {
        leaves_out,
        adjust: Adjust::Severity,
        from: Some(prepared),
    };
    let rest = prepare(case, departure);
    Some(Arc::new(Rest {
        tests: rest.fitted_keys(),
        fitted: rest.fitted?,
    }))
}

/// What is left out, and how it is called.
pub(crate) struct Part<'p> {
    /// What kind of thing.
    pub(crate) left_out: LeftOut,
    /// Its name.
    pub(crate) name: String,
    /// Tests whose results it touches.
    pub(crate) tests: Vec<TestKey>,
    /// Which results fall away.
    pub(crate) holds: &'p dyn Fn(&RunResult) -> bool,
}

/// Who is in front without some results, of tests that stay with what is left.
pub(crate) fn without_part(
    case: Case,
    prepared: &Prepared,
    choice: &Choice,
    front: &BlendCode,
    part: Part,
) -> LeaveOut {
    let standing = without_results(case, prepared, choice, part.holds);
    let place = standing.as_ref().and_then(|standing| standing.front_runner);
    let then = place.map(|place| prepared.candidates[place].clone());
    LeaveOut {
        left_out: part.left_out,
        name: part.name,
        tests: part.tests,
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

/// Who is in front without each of the doubted results. Of runs that lie too far apart each is left out in turn, since
/// nothing says which of them is wrong.
pub(crate) fn without_doubted(
    case: Case,
    prepared: &Prepared,
    choice: &Choice,
    front: &BlendCode,
    doubted: &[Doubted],
) -> Vec<LeaveOut> {
    let weighed = |key: &TestKey| {
        let mut places = 0..choice.weights.len();
        places.any(|at| choice.weights[at] > 0.0 && &key_at(prepared, at) == key)
    };
    let mut seen: Vec<*const RunResult> = Vec::new();
    let mut outs = Vec::new();
    for one in doubted.iter().filter(|one| weighed(one.key)) {
        for doubtful in &one.results {
            if seen.contains(&std::ptr::from_ref(*doubtful)) {
                continue;
            }
            seen.push(std::ptr::from_ref(*doubtful));
            let part = Part {
                left_out: LeftOut::DoubtedRun,
                name: run_name(&doubtful.blend, doubtful.date, doubtful.replicate),
                tests: vec![one.key.clone()],
                holds: &|result| std::ptr::eq(*doubtful, result),
            };
            outs.push(without_part(case, prepared, choice, front, part));
        }
    }
    outs
}

/// The weights of a choice for another preparation, by test; a test that is not there weighs nothing.
pub(crate) fn weights_by_key(prepared: &Prepared, choice: &Choice, other: &[TestKey]) -> Vec<f64> {
    let by_key: BTreeMap<TestKey, f64> = (0..choice.weights.len())
        .map(|at| (key_at(prepared, at), choice.weights[at]))
        .collect();
    let weight = |key: &TestKey| by_key.get(key).copied().unwrap_or(0.0);
    other.iter().map(weight).collect()
}
