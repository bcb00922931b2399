//! What the front-runner's place rests on: leaving things out, other assumptions, single runs.

use crate::records::{BlendCode, Dossier, TestKey};
use crate::standing::choice::Choice;
use crate::standing::kernel::{self, Fitted, LeftOut as Without, Selection, Weighting};
use crate::standing::prepare::{HEAD_ROOM, Prepared};
use crate::standing::without_results::{weights_by_key, without_rig};
use crate::standing::{Alternative, LeaveOut, LeftOut, WhatIf};
use std::collections::{BTreeMap, BTreeSet};

/// The assumption that severity is not adjusted.
pub(crate) const AS_READ: &str = "results as read, not adjusted for severity";

/// Who is in front without each quantity, each method, each rig, and all extreme-condition screens together.
pub(crate) fn leave_outs(
    dossier: &Dossier,
    what_if: &WhatIf,
    prepared: &Prepared,
    choice: &Choice,
    kernel: &kernel::Standing,
) -> Vec<LeaveOut> {
    let (Some(fitted), Some(front)) = (prepared.fitted.as_ref(), kernel.front_runner) else {
        return Vec::new();
    };
    let front = prepared.candidates[front];
    let mut sets = sets_to_leave_out(prepared, choice);
    let (whole, partial) = rigs(prepared, choice);
    sets.extend(whole);
    let without = fitted.leave_out(
        &choice.selection,
        &sets.iter().map(|set| set.tests.clone()).collect::<Vec<_>>(),
    );
    let mut outs: Vec<LeaveOut> = sets
        .iter()
        .zip(without.unwrap_or_default())
        .map(|(set, without)| leave_out(prepared, set, &without, front))
        .collect();
    outs.extend(
        partial
            .iter()
            .map(|rig| without_rig(dossier, what_if, prepared, choice, rig, front)),
    );
    outs
}

/// Who is in front without each method, and without all together, that are extreme-condition screens.
pub(crate) fn leave_outs_of_screens(
    prepared: &Prepared,
    choice: &Choice,
    kernel: &kernel::Standing,
) -> Vec<LeaveOut> {
    let (Some(fitted), Some(front)) = (prepared.fitted.as_ref(), kernel.front_runner) else {
        return Vec::new();
    };
    let mut sets = sets_to_leave_out(prepared, choice);
    sets.retain(|set| set.extreme && set.left_out != LeftOut::Quantity);
    let tests: Vec<BTreeSet<usize>> = sets.iter().map(|set| set.tests.clone()).collect();
    let without = fitted.leave_out(&choice.selection, &tests).unwrap_or_default();
    sets.iter()
        .zip(without)
        .map(|(set, without)| leave_out(prepared, set, &without, prepared.candidates[front]))
        .collect()
}

/// Some tests that are left out together.
struct TestSet {
    left_out: LeftOut,
    name: String,
    /// Places in the kernel's order.
    tests: BTreeSet<usize>,
    extreme: bool,
}

fn sets_to_leave_out(prepared: &Prepared, choice: &Choice) -> Vec<TestSet> {
    let weighed: Vec<usize> = (0..choice.weights.len())
        .filter(|at| choice.weights[*at] > 0.0)
        .collect();
    let extreme = |at: &usize| prepared.tests[prepared.fitted_tests[*at]].likeness.extreme;
    let mut sets = Vec::new();
    let mut methods: BTreeMap<String, BTreeSet<usize>> = BTreeMap::new();
    for at in &weighed {
        let key = prepared.tests[prepared.fitted_tests[*at]].evidence.key();
        methods.entry(key.method.clone()).or_default().insert(*at);
        let (name, tests) = (key.to_string(), BTreeSet::from([*at]));
        sets.push(TestSet {
            left_out: LeftOut::Quantity,
            name,
            tests,
            extreme: extreme(at),
        });
    }
    for (name, tests) in methods {
        let extreme = tests.iter().all(extreme);
        sets.push(TestSet {
            left_out: LeftOut::Method,
            name,
            tests,
            extreme,
        });
    }
    let screens: BTreeSet<usize> = weighed.iter().copied().filter(extreme).collect();
    if !screens.is_empty() {
        let name = "all extreme screens".to_string();
        sets.push(TestSet {
            left_out: LeftOut::ExtremeScreens,
            name,
            tests: screens,
            extreme: true,
        });
    }
    sets
}

/// Rigs that ran all of their tests alone, and rigs whose tests also ran elsewhere.
fn rigs(prepared: &Prepared, choice: &Choice) -> (Vec<TestSet>, Vec<String>) {
    let mut tests_of: BTreeMap<String, BTreeSet<usize>> = BTreeMap::new();
    let mut shared: BTreeSet<String> = BTreeSet::new();
    for at in (0..choice.weights.len()).filter(|at| choice.weights[*at] > 0.0) {
        let evidence = &prepared.tests[prepared.fitted_tests[at]].evidence;
        let rigs: BTreeSet<String> = evidence.runs().map(|(_, run)| run.block.0.clone()).collect();
        for rig in rigs.iter().filter(|rig| !rig.is_empty()) {
            tests_of.entry(rig.clone()).or_default().insert(at);
            if rigs.len() > 1 {
                shared.insert(rig.clone());
            }
        }
    }
    let extreme = |at: &usize| prepared.tests[prepared.fitted_tests[*at]].likeness.extreme;
    let whole = tests_of
        .iter()
        .filter(|(rig, _)| !shared.contains(*rig))
        .map(|(rig, tests)| TestSet {
            left_out: LeftOut::Rig,
            name: rig.clone(),
            tests: tests.clone(),
            extreme: tests.iter().all(extreme),
        });
    (whole.collect(), shared.into_iter().collect())
}

fn leave_out(prepared: &Prepared, set: &TestSet, without: &Without, front: &BlendCode) -> LeaveOut {
    let then = without
        .front_runner
        .map(|place| prepared.candidates[place].clone());
    LeaveOut {
        left_out: set.left_out,
        name: set.name.clone(),
        tests: set.tests.iter().map(|at| key_at(prepared, *at)).collect(),
        extreme: set.extreme,
        p_best: without.front_runner.map(|place| without.p_best[place]),
        p_changes: p_changes(prepared, without, front),
        changes: then.as_ref() != Some(front),
        front_runner: then,
    }
}

/// Share of draws in which another than `front` ranks first; `None` where nothing is left.
pub(crate) fn p_changes(prepared: &Prepared, without: &Without, front: &BlendCode) -> Option<f64> {
    without.front_runner?;
    let place = prepared.candidates.iter().position(|blend| *blend == front)?;
    Some(1.0 - without.p_best[place])
}

pub(crate) fn key_at(prepared: &Prepared, at: usize) -> TestKey {
    prepared.tests[prepared.fitted_tests[at]].evidence.key().clone()
}

/// Who would be in front under other assumptions, one line each.
pub(crate) fn alternatives(
    dossier: &Dossier,
    prepared: &Prepared,
    raw: &Prepared,
    choice: &Choice,
) -> Vec<Alternative> {
    let Some(fitted) = prepared.fitted.as_ref() else {
        return Vec::new();
    };
    let mut lines = Vec::new();
    let mut add =
        |what: String, selection: &Selection| lines.push(alternative(prepared, fitted, what, selection));
    for contact in &dossier.machine.contacts {
        let weights = weights_of_contact(prepared, choice, &contact.name);
        let selection = Selection {
            weighting: Weighting::Instead(weights),
            ..choice.selection.clone()
        };
        add(format!("only the contact '{}'", contact.name), &selection);
    }
    for head_room in [0.0, HEAD_ROOM, 0.5] {
        let selection = Selection {
            head_room: Some(head_room),
            ..choice.selection.clone()
        };
        add(format!("head-room {head_room} beyond the references"), &selection);
    }
    add(
        "all weights equal".to_string(),
        &choice.with_weighting(Weighting::Equal),
    );
    add(
        "all proportions of the weights equally likely".to_string(),
        &choice.with_weighting(Weighting::FlatRandom),
    );
    let sorting = Weighting::Instead(choice.weights_if_sorting.clone());
    add(
        "with tests that do not sort".to_string(),
        &Selection {
            weighting: sorting,
            ..choice.selection.clone()
        },
    );
    if let Some(fitted) = raw.fitted.as_ref() {
        let weights = weights_by_key(prepared, choice, raw);
        let selection = Selection {
            weighting: Weighting::Instead(weights),
            ..choice.selection.clone()
        };
        lines.push(alternative(raw, fitted, AS_READ.to_string(), &selection));
    }
    lines
}

/// Who is in front under a selection, and how often.
pub(crate) fn in_short(fitted: &Fitted, selection: &Selection) -> Option<Without> {
    fitted.leave_out(selection, &[BTreeSet::new()]).ok()?.pop()
}

fn alternative(prepared: &Prepared, fitted: &Fitted, what: String, selection: &Selection) -> Alternative {
    let standing = in_short(fitted, selection);
    let place = standing.as_ref().and_then(|standing| standing.front_runner);
    Alternative {
        what,
        front_runner: place.map(|place| prepared.candidates[place].clone()),
        p_best: standing
            .zip(place)
            .map(|(standing, place)| standing.p_best[place]),
    }
}

fn weights_of_contact(prepared: &Prepared, choice: &Choice, contact: &str) -> Vec<f64> {
    let raw = |at: usize| {
        let likeness = &prepared.tests[prepared.fitted_tests[at]].likeness;
        let of_contact = likeness
            .contacts
            .iter()
            .find(|likeness| likeness.contact == contact);
        let value = of_contact
            .and_then(|l| Some(l.resemblance.value? * l.relevance))
            .unwrap_or(0.0);
        if choice.weights[at] > 0.0 { value } else { 0.0 }
    };
    let raw: Vec<f64> = (0..prepared.fitted_tests.len()).map(raw).collect();
    prepared.grouped(&raw)
}

/// Tests in which a single run of the front-runner or the runner-up, moved by the repeatability, would change who is
/// in front.
pub(crate) fn single_runs(
    prepared: &Prepared,
    choice: &Choice,
    kernel: &kernel::Standing,
) -> Vec<(TestKey, BlendCode)> {
    let (Some(front), Some(lead)) = (kernel.front_runner, kernel.lead.as_ref()) else {
        return Vec::new();
    };
    let margin = lead.difference * kernel.total_weight;
    let mut found = Vec::new();
    for at in (0..choice.weights.len()).filter(|at| choice.weights[*at] > 0.0) {
        let test = &prepared.tests[prepared.fitted_tests[at]];
        let gap = gap_of(prepared, at);
        let moved = test
            .spread
            .as_ref()
            .map_or(0.0, |spread| spread.repeatability / gap);
        for (place, towards) in [(front, -1.0), (lead.rival, 1.0)] {
            let blend = prepared.candidates[place];
            let once = test.evidence.cell(blend).is_some_and(|cell| cell.runs.len() == 1);
            let position = kernel.mean_positions[place][at];
            let then = (position + towards * moved).clamp(-HEAD_ROOM, 1.0 + HEAD_ROOM);
            if once && choice.weights[at] * (then - position).abs() > margin {
                found.push((test.evidence.key().clone(), blend.clone()));
            }
        }
    }
    found
}

/// Working-scale length from position 0 to 1.
fn gap_of(prepared: &Prepared, at: usize) -> f64 {
    let fit = prepared.fitted.as_ref().map(|fitted| &*fitted.tests()[at]);
    let mean = |who| fit.and_then(|fit| fit.summary(who)).map(|summary| summary.mean);
    let test = &prepared.tests[prepared.fitted_tests[at]];
    match (mean(kernel::Who::Good), mean(kernel::Who::Poor)) {
        (Some(good), Some(poor)) => {
            let least = fit
                .and_then(|fit| fit.smallest_gap())
                .unwrap_or(f64::MIN_POSITIVE);
            (test.evidence.quantity.better.sign() * (good - poor)).max(least)
        }
        _ => test
            .spread
            .as_ref()
            .map_or(f64::MAX, |spread| 2.0 * spread.reproducibility),
    }
}
