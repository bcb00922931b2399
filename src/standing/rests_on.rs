//! What the front-runner's place rests on: leaving things out, other assumptions.

use crate::records::{BlendCode, TestKey, TrialRecords};
use crate::standing::choice::Choice;
use crate::standing::evidence::Block;
use crate::standing::kernel::{self, Fitted, LeftOut as Without, Selection, Weighting};
use crate::standing::prepare::{Case, HEAD_ROOM, Prepared};
use crate::standing::without_results::{Part, weights_by_key, without_part};
use crate::standing::{Alternative, LeaveOut, LeftOut};
use rayon::prelude::*;
use std::collections::{BTreeMap, BTreeSet};

/// The assumption that severity is not adjusted.
pub(crate) const AS_READ: &str = "results as read, not adjusted for severity";

/// Who is in front without each quantity, each method, all extreme-condition screens together, each rig, each laboratory,
/// and each campaign of a rig.
pub(crate) fn leave_outs(
    case: Case,
    prepared: &Prepared,
    choice: &Choice,
    kernel: &kernel::Standing,
) -> Vec<LeaveOut> {
    let (Some(fitted), Some(front)) = (prepared.fitted.as_ref(), kernel.front_runner) else {
        return Vec::new();
    };
    let front = prepared.candidates[front];
    let mut sets = sets_to_leave_out(prepared, choice);
    let (whole, partial) = groups_of_blocks(case.records, prepared, choice);
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
    let partial: Vec<LeaveOut> = partial
        .into_par_iter()
        .map(|(set, blocks)| {
            let part = Part {
                left_out: set.left_out,
                name: set.name,
                tests: set.tests.iter().map(|at| key_at(prepared, *at)).collect(),
                holds: &|result| blocks.contains(&result.block()),
            };
            without_part(case, prepared, choice, front, part)
        })
        .collect();
    outs.extend(partial);
    outs
}

/// Each method, and all together, that are extreme-condition screens.
pub(crate) struct Screens(Vec<TestSet>);

impl Screens {
    pub(crate) fn of(prepared: &Prepared, choice: &Choice) -> Self {
        let mut sets = sets_to_leave_out(prepared, choice);
        sets.retain(|set| set.extreme && set.left_out != LeftOut::Quantity);
        Self(sets)
    }

    /// Places in the kernel's order.
    pub(crate) fn tests(&self) -> Vec<BTreeSet<usize>> {
        self.0.iter().map(|set| set.tests.clone()).collect()
    }

    /// Who is in front without each, from the standings without its tests.
    pub(crate) fn leave_outs(
        &self,
        prepared: &Prepared,
        without: &[Without],
        front: &BlendCode,
    ) -> Vec<LeaveOut> {
        let each = self.0.iter().zip(without);
        each.map(|(set, without)| leave_out(prepared, set, without, front))
            .collect()
    }
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

/// Rigs, laboratories and campaigns: those that ran all of their tests alone, and those whose tests also ran elsewhere,
/// with their blocks. A laboratory is left out where there are several, a campaign where its rig had several: otherwise
/// it says what the trial or the rig says.
fn groups_of_blocks(
    records: &TrialRecords,
    prepared: &Prepared,
    choice: &Choice,
) -> (Vec<TestSet>, Vec<(TestSet, BTreeSet<Block>)>) {
    let weighed: Vec<usize> = (0..choice.weights.len())
        .filter(|at| choice.weights[*at] > 0.0)
        .collect();
    let blocks_of: BTreeMap<usize, BTreeSet<Block>> = weighed
        .iter()
        .map(|at| (*at, prepared.tests[prepared.fitted_tests[*at]].evidence.blocks()))
        .collect();
    let all: BTreeSet<&Block> = blocks_of
        .values()
        .flatten()
        .filter(|(rig, _)| !rig.is_empty())
        .collect();
    let extreme = |at: &usize| prepared.tests[prepared.fitted_tests[*at]].likeness.extreme;
    let (mut whole, mut partial) = (Vec::new(), Vec::new());
    for ((left_out, name), blocks) in named_groups(records, &all) {
        let touched = |at: &&usize| !blocks_of[*at].is_disjoint(&blocks);
        let tests: BTreeSet<usize> = weighed.iter().filter(touched).copied().collect();
        let alone = tests.iter().all(|at| blocks_of[at].is_subset(&blocks));
        let extreme = alone && tests.iter().all(extreme);
        let set = TestSet {
            left_out,
            name,
            tests,
            extreme,
        };
        if alone {
            whole.push(set);
        } else {
            partial.push((set, blocks));
        }
    }
    (whole, partial)
}

/// The blocks of each rig, laboratory and campaign.
fn named_groups(
    records: &TrialRecords,
    all: &BTreeSet<&Block>,
) -> BTreeMap<(LeftOut, String), BTreeSet<Block>> {
    let lab_of = |rig: &str| {
        let known = records.rigs.iter().find(|known| known.id.as_str() == rig)?;
        (!known.lab.is_empty()).then(|| known.lab.clone())
    };
    let labs: BTreeSet<Option<String>> = all.iter().map(|(rig, _)| lab_of(rig)).collect();
    let mut groups: BTreeMap<(LeftOut, String), BTreeSet<Block>> = BTreeMap::new();
    for block in all {
        let (rig, campaign) = block;
        let mut add = |kind: LeftOut, name: String| {
            groups.entry((kind, name)).or_default().insert((*block).clone());
        };
        add(LeftOut::Rig, rig.clone());
        if let Some(lab) = lab_of(rig).filter(|_| labs.len() > 1) {
            add(LeftOut::Laboratory, lab);
        }
        if all.iter().filter(|(other, _)| other == rig).count() > 1 {
            let campaign = if campaign.is_empty() {
                "no campaign named"
            } else {
                campaign.as_str()
            };
            add(LeftOut::Block, format!("{rig}, {campaign}"));
        }
    }
    groups
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
    records: &TrialRecords,
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
    for contact in &records.machine.contacts {
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
        let weights = weights_by_key(prepared, choice, &raw.fitted_keys());
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
            .as_ref()
            .zip(place)
            .map(|(standing, place)| standing.p_best[place]),
        candidates: standing
            .filter(|standing| standing.front_runner.is_some())
            .map(|standing| {
                let inside = |place: &usize| !selection.candidates_out.contains(place);
                let of = |place: usize| (standing.scores[place], standing.p_best[place]);
                let places = (0..prepared.candidates.len()).filter(inside);
                places
                    .map(|place| (prepared.candidates[place].clone(), of(place)))
                    .collect()
            })
            .unwrap_or_default(),
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
