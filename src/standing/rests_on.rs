//! What the front-runner's place rests on: who would be in front with something left out, or under other assumptions.

use crate::catalogue::MethodId;
use crate::records::{BlendCode, RunResult, TestKey, TrialRecords};
use crate::standing::facts::Known;
use crate::standing::kernel::{Fitted, Selection, ShortRanking as Without, Weighting};
use crate::standing::levels::{Block, Levels};
use crate::standing::prepare::{HEAD_ROOM, MOST_HEAD_ROOM, Prepared};
use crate::standing::weights::Choice;
use crate::standing::without_results::{Part, weights_by_key, without_part};
use jiff::civil::Date;
use rayon::prelude::*;
use serde::Serialize;
use std::collections::{BTreeMap, BTreeSet};

/// What is assumed otherwise than usual.
#[derive(Clone, Debug, PartialEq)]
pub enum Assumption {
    /// The machine has this contact only.
    OnlyContact(String),
    /// How far beyond the references a position counts.
    HeadRoom(f64),
    /// All weights are equal.
    EqualWeights,
    /// All proportions of the weights are equally likely.
    AnyProportions,
    /// Tests that do not sort count.
    TestsThatDoNotSort,
    /// Results are not adjusted for severity.
    AsRead,
}

/// Who would be in front under another assumption.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Alternative {
    /// The assumption.
    pub what: Assumption,
    /// Who is in front; `None` when nothing is left to weigh.
    #[serde(rename = "leader")]
    pub front_runner: Option<BlendCode>,
    /// Its share of first places.
    pub p_best: Option<f64>,
    /// Whether it may be called the leader, stops aside.
    pub may_be_named: bool,
    /// Score and share of first places of every candidate of the standing, where anything is left to weigh.
    pub candidates: BTreeMap<BlendCode, Under>,
}

/// How a candidate stands under another assumption.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Under {
    /// Score.
    pub score: f64,
    /// Share of first places.
    pub p_best: f64,
}

/// What was left out.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, strum::EnumDiscriminants)]
#[strum_discriminants(
    name(LeftOutKind),
    doc = "What kind of thing was left out.",
    derive(strum::IntoStaticStr),
    strum(serialize_all = "lowercase")
)]
pub enum LeftOut {
    /// One quantity.
    Quantity(TestKey),
    /// One method, by its id, with all its quantities.
    Method(MethodId),
    /// All results of one rig.
    Rig(String),
    /// All extreme-condition screens.
    #[strum_discriminants(strum(serialize = "all screens"))]
    ExtremeScreens,
    /// All results of one laboratory.
    Laboratory(String),
    /// All results of one block.
    Block(Block),
    /// One run of one blend, with everything that was measured in it.
    Run(NamedRun),
    /// One result that is doubted, or all of a blend in a test that are.
    #[strum_discriminants(strum(serialize = "doubted run"))]
    DoubtedRuns(Vec<NamedRun>),
}

impl LeftOut {
    /// What kind of thing.
    pub fn kind(&self) -> LeftOutKind {
        self.into()
    }

    /// Whether it is one that a claim must be able to do without.
    pub(crate) fn is_method_rig_or_laboratory(&self) -> bool {
        matches!(
            self.kind(),
            LeftOutKind::Method | LeftOutKind::Rig | LeftOutKind::Laboratory
        )
    }
}

impl LeftOutKind {
    /// Its word.
    pub fn word(self) -> &'static str {
        self.into()
    }
}

/// By what a run is called.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct NamedRun {
    /// The blend.
    pub blend: BlendCode,
    /// Its replicate number.
    pub replicate: u32,
    /// Start of the run.
    pub date: Option<Date>,
}

impl NamedRun {
    /// The run of a result.
    pub(crate) fn of(result: &RunResult) -> Self {
        Self {
            blend: result.blend.clone(),
            replicate: result.replicate,
            date: result.date,
        }
    }
}

/// Who would be in front with something left out.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct LeaveOut {
    /// What is left out.
    #[serde(rename = "name")]
    pub left_out: LeftOut,
    /// Tests that fall away.
    pub tests: Vec<TestKey>,
    /// Whether all that falls away are extreme-condition screens.
    pub extreme: bool,
    /// Who is in front then; `None` when nothing is left to weigh.
    pub front_runner: Option<BlendCode>,
    /// Share of draws in which that one ranks first.
    pub p_best: Option<f64>,
    /// Probability that the front changes: share of draws in which another than the front-runner of everything ranks
    /// first; `None` when nothing is left to weigh.
    pub p_changes: Option<f64>,
    /// Whether somebody else is in front, or nothing is left.
    pub changes: bool,
    /// Whether whoever is in front then may be called the leader, stops aside.
    pub may_be_named: bool,
}

/// Who is in front without each quantity, each method, all extreme-condition screens together, each rig, each laboratory,
/// and each block of a rig.
pub(crate) fn leave_outs(known: &Known) -> Vec<LeaveOut> {
    let Some(front) = known.front() else {
        return Vec::new();
    };
    let Known { prepared, choice, .. } = *known;
    let mut sets = sets_to_leave_out(prepared, choice);
    let (whole, partial) = groups_of_blocks(known.case.records, prepared, choice);
    sets.extend(whole);
    let tests: Vec<BTreeSet<usize>> = sets.iter().map(|set| set.tests.clone()).collect();
    let without = known.rule.without(known.named(), &tests);
    let mut outs: Vec<LeaveOut> = sets
        .iter()
        .zip(without)
        .map(|(set, (without, may_be_named))| LeaveOut {
            may_be_named,
            ..set.leave_out(prepared, &without, front)
        })
        .collect();
    let levels: BTreeMap<&TestKey, &Levels> = (prepared.tests.iter())
        .map(|test| (test.evidence.key(), &test.evidence.levels))
        .collect();
    let block_of = |result: &RunResult| Some(levels.get(&result.key)?.block_of(result));
    let partial: Vec<LeaveOut> = partial
        .into_par_iter()
        .map(|(set, blocks)| {
            let part = Part {
                left_out: set.left_out,
                tests: set.tests.iter().map(|at| key_at(prepared, *at)).collect(),
                holds: &|result| block_of(result).is_some_and(|block| blocks.contains(&block)),
            };
            without_part(known, front, part)
        })
        .collect();
    outs.extend(partial);
    outs
}

/// Each method, and all together, that are extreme-condition screens.
pub(crate) fn screens(prepared: &Prepared, choice: &Choice) -> Vec<TestSet> {
    let mut sets = sets_to_leave_out(prepared, choice);
    sets.retain(|set| set.extreme && set.left_out.kind() != LeftOutKind::Quantity);
    sets
}

/// Some tests that are left out together.
pub(crate) struct TestSet {
    left_out: LeftOut,
    /// Places in the kernel's order.
    pub(crate) tests: BTreeSet<usize>,
    extreme: bool,
}

fn sets_to_leave_out(prepared: &Prepared, choice: &Choice) -> Vec<TestSet> {
    let weighed: Vec<usize> = choice.weighed().collect();
    let extreme = |at: &usize| prepared.fitted_test(*at).likeness.is_extreme();
    let mut sets = Vec::new();
    let mut methods: BTreeMap<MethodId, BTreeSet<usize>> = BTreeMap::new();
    for at in &weighed {
        let key = prepared.fitted_test(*at).evidence.key();
        methods.entry(key.method.clone()).or_default().insert(*at);
        sets.push(TestSet {
            left_out: LeftOut::Quantity(key.clone()),
            tests: BTreeSet::from([*at]),
            extreme: extreme(at),
        });
    }
    for (method, tests) in methods {
        sets.push(TestSet {
            left_out: LeftOut::Method(method),
            extreme: tests.iter().all(extreme),
            tests,
        });
    }
    let screens: BTreeSet<usize> = weighed.iter().copied().filter(extreme).collect();
    if !screens.is_empty() {
        sets.push(TestSet {
            left_out: LeftOut::ExtremeScreens,
            tests: screens,
            extreme: true,
        });
    }
    sets
}

/// Rigs, laboratories and blocks: those that ran all of their tests alone, and those whose tests also ran elsewhere, with
/// their blocks. A laboratory is left out where there are several, a block where its rig had several in a test: otherwise
/// it says what the trial or the rig says.
fn groups_of_blocks(
    records: &TrialRecords,
    prepared: &Prepared,
    choice: &Choice,
) -> (Vec<TestSet>, Vec<(TestSet, BTreeSet<Block>)>) {
    let weighed: Vec<usize> = choice.weighed().collect();
    let blocks_of: BTreeMap<usize, BTreeSet<Block>> = weighed
        .iter()
        .map(|at| (*at, prepared.fitted_test(*at).evidence.blocks()))
        .collect();
    let named = |blocks: &BTreeSet<Block>| {
        let named = blocks.iter().filter(|block| !block.rig.is_empty());
        named.cloned().collect::<Vec<Block>>()
    };
    let of_tests: Vec<Vec<Block>> = blocks_of.values().map(named).collect();
    let extreme = |at: &usize| prepared.fitted_test(*at).likeness.is_extreme();
    let (mut whole, mut partial) = (Vec::new(), Vec::new());
    for (left_out, blocks) in named_groups(records, &of_tests) {
        let touched = |at: &&usize| !blocks_of[*at].is_disjoint(&blocks);
        let tests: BTreeSet<usize> = weighed.iter().filter(touched).copied().collect();
        let alone = tests.iter().all(|at| blocks_of[at].is_subset(&blocks));
        let extreme = alone && tests.iter().all(extreme);
        let set = TestSet {
            left_out,
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

/// The blocks of each rig and laboratory, and each block that is one of several of its rig in a test.
fn named_groups(records: &TrialRecords, of_tests: &[Vec<Block>]) -> BTreeMap<LeftOut, BTreeSet<Block>> {
    let lab_of = |block: &Block| records.laboratory_of(&block.rig).map(str::to_string);
    let labs: BTreeSet<Option<String>> = of_tests.iter().flatten().map(lab_of).collect();
    let mut groups: BTreeMap<LeftOut, BTreeSet<Block>> = BTreeMap::new();
    for of_test in of_tests {
        for block in of_test {
            let mut add = |left_out: LeftOut| {
                groups.entry(left_out).or_default().insert(block.clone());
            };
            add(LeftOut::Rig(block.rig.clone()));
            if let Some(lab) = lab_of(block).filter(|_| labs.len() > 1) {
                add(LeftOut::Laboratory(lab));
            }
            if of_test.iter().filter(|other| other.rig == block.rig).count() > 1 {
                add(LeftOut::Block(block.clone()));
            }
        }
    }
    groups
}

impl LeaveOut {
    /// What `without` says beside `front`, who is in front with everything; `None` where nothing is left to weigh.
    pub(crate) fn of(
        left_out: LeftOut,
        tests: Vec<TestKey>,
        without: Option<&Without>,
        prepared: &Prepared,
        front: &BlendCode,
    ) -> Self {
        let in_front = without.and_then(|without| Some((without, without.front_runner?)));
        let then = in_front.map(|(_, place)| prepared.candidates[place].clone());
        Self {
            left_out,
            tests,
            extreme: false,
            p_best: in_front.map(|(without, place)| without.p_best[place]),
            p_changes: in_front.and_then(|(without, _)| p_changes(prepared, without, front)),
            changes: then.as_ref() != Some(front),
            may_be_named: false,
            front_runner: then,
        }
    }
}

impl TestSet {
    /// Who is in front without it, from the ranking without its tests.
    pub(crate) fn leave_out(&self, prepared: &Prepared, without: &Without, front: &BlendCode) -> LeaveOut {
        let tests = self.tests.iter().map(|at| key_at(prepared, *at)).collect();
        LeaveOut {
            extreme: self.extreme,
            ..LeaveOut::of(self.left_out.clone(), tests, Some(without), prepared, front)
        }
    }
}

/// Share of draws in which another than `front` ranks first.
fn p_changes(prepared: &Prepared, without: &Without, front: &BlendCode) -> Option<f64> {
    let place = prepared.candidates.iter().position(|blend| *blend == front)?;
    Some(1.0 - without.p_best[place])
}

pub(crate) fn key_at(prepared: &Prepared, at: usize) -> TestKey {
    prepared.fitted_test(at).evidence.key().clone()
}

/// Who would be in front under other assumptions, one line each.
pub(crate) fn alternatives(known: &Known, raw: &Prepared) -> Vec<Alternative> {
    let Known { prepared, choice, .. } = *known;
    let mut lines = Vec::new();
    let usual = known.rule.without(known.named(), &[BTreeSet::new()]);
    let otherwise = |fitted: &Fitted, tests: &[TestKey], what: Assumption, selection: &Selection| {
        // with one contact, one head-room or nothing to adjust the assumption is the usual one
        let found = if *selection == choice.selection && fitted.has_the_fits_of(known.fitted) {
            usual.clone()
        } else {
            known.without_on(fitted, tests, selection)
        };
        alternative(prepared, what, selection, found.into_iter().next())
    };
    let mut add = |what: Assumption, selection: &Selection| {
        lines.push(otherwise(known.fitted, known.tests, what, selection));
    };
    for contact in &known.case.records.machine.contacts {
        let weights = weights_of_contact(prepared, choice, &contact.name);
        let selection = choice.weighing(weights);
        add(Assumption::OnlyContact(contact.name.clone()), &selection);
    }
    for head_room in [0.0, 0.25, HEAD_ROOM, MOST_HEAD_ROOM] {
        let selection = Selection {
            head_room: (head_room != known.fitted.input().head_room).then_some(head_room),
            ..choice.selection.clone()
        };
        add(Assumption::HeadRoom(head_room), &selection);
    }
    add(Assumption::EqualWeights, &choice.with_weighting(Weighting::Equal));
    add(
        Assumption::AnyProportions,
        &choice.with_weighting(Weighting::FlatRandom),
    );
    let if_sorting = choice.weighing(choice.weights_if_sorting.clone());
    add(Assumption::TestsThatDoNotSort, &if_sorting);
    if let Some(fitted) = raw.fitted.as_ref() {
        let tests = raw.fitted_keys();
        let weights = weights_by_key(prepared, choice, &tests);
        let selection = choice.weighing(weights);
        lines.push(otherwise(fitted, &tests, Assumption::AsRead, &selection));
    }
    lines
}

fn alternative(
    prepared: &Prepared,
    what: Assumption,
    selection: &Selection,
    found: Option<(Without, bool)>,
) -> Alternative {
    let may_be_named = found.as_ref().is_some_and(|(_, may_be_named)| *may_be_named);
    let standing = found.map(|(standing, _)| standing);
    let place = standing.as_ref().and_then(|standing| standing.front_runner);
    Alternative {
        what,
        may_be_named,
        front_runner: place.map(|place| prepared.candidates[place].clone()),
        p_best: standing
            .as_ref()
            .zip(place)
            .map(|(standing, place)| standing.p_best[place]),
        candidates: standing
            .filter(|standing| standing.front_runner.is_some())
            .map(|standing| {
                let inside = |place: &usize| !selection.candidates_out.contains(place);
                let of = |place: usize| Under {
                    score: standing.scores[place],
                    p_best: standing.p_best[place],
                };
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
        let likeness = &prepared.fitted_test(at).likeness;
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
