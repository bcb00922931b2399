//! From the records of a trial to its standing.

use crate::catalogue::Use;
use crate::records::{BlendCode, Dossier, TestKey};
use crate::standing::blocks::Adjust;
use crate::standing::cautions::{self, Facts, LEAST_COVERAGE, RESOLVED, RESOLVED_OF_TWO};
use crate::standing::kernel::{self, Fitted, Selection, Weighting, Who};
use crate::standing::prepare::{Departure, HEAD_ROOM, Prepared, Test, prepare};
use crate::standing::summary::{
    CandidateStanding, Doubt, Estimate, GateStanding, Position, Standing, TestStanding, Tip, Validity,
};
use crate::standing::{Severity, WhatIf, gates, rests_on, strip};
use std::collections::{BTreeMap, BTreeSet};

/// The standing of a trial. Every input has one: where nothing can be weighed, it says so.
pub fn judge(dossier: &Dossier, what_if: &WhatIf) -> Standing {
    let prepared = prepare(dossier, what_if, Departure::NONE);
    let evidence: Vec<_> = prepared.tests.iter().map(|test| test.evidence.clone()).collect();
    let gates = gates::judge(&evidence);
    let choice = Choice::new(&prepared, what_if, &gates);
    let kernel = prepared
        .fitted
        .as_ref()
        .and_then(|fitted| fitted.standing(&choice.selection).ok());
    let raw = raw_estimates(dossier, what_if, &prepared);
    let mut standing = Standing {
        trial: dossier.trial.slug.clone(),
        machine: dossier.machine.slug.clone(),
        draws: what_if.draws,
        seed: what_if.seed,
        resemblance_mass: kernel.as_ref().map_or(0.0, |kernel| kernel.total_weight),
        effective_tests: kernel
            .as_ref()
            .map(|k| k.effective_tests_by_rig)
            .filter(|n| *n > 0.0),
        front_runner: None,
        leader: None,
        runner_up: None,
        resolved: false,
        no_leader_because: Vec::new(),
        candidates: candidates(&prepared, &choice, kernel.as_ref()),
        tests: tests(&prepared, &choice, kernel.as_ref(), &raw),
        alternatives: Vec::new(),
        leave_outs: Vec::new(),
        cautions: Vec::new(),
        gates,
    };
    let (Some(fitted), Some(kernel)) = (prepared.fitted.as_ref(), kernel) else {
        standing.cautions = cautions::all(&standing, &Facts::of_nothing(dossier));
        return standing;
    };
    let code = |place: usize| prepared.candidates[place].clone();
    standing.front_runner = kernel.front_runner.map(code);
    standing.runner_up = kernel
        .front_runner
        .and_then(|_| kernel.ranked.get(1))
        .map(|place| code(*place));
    standing.resolved = is_resolved(&kernel);
    standing.leave_outs = rests_on::leave_outs(dossier, what_if, &prepared, &choice, &kernel);
    standing.alternatives = rests_on::alternatives(dossier, what_if, &prepared, &choice);
    note_leave_outs(&mut standing);
    let facts = facts(dossier, &prepared, &choice, fitted, &kernel);
    standing.cautions = cautions::all(&standing, &facts);
    name_leader(&mut standing, facts.fill_changes);
    standing
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
    pub(crate) excluded: BTreeMap<usize, String>,
    /// Why a candidate is out.
    pub(crate) out: BTreeMap<usize, String>,
}

impl Choice {
    fn new(prepared: &Prepared, what_if: &WhatIf, gates: &[GateStanding]) -> Self {
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

fn validity(fitted: &Fitted, at: usize) -> Validity {
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
        if let Some(weight) = by_hand.filter(|_| !excluded.contains_key(place)) {
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

fn is_resolved(kernel: &kernel::Standing) -> bool {
    let limit = if kernel.ranked.len() == 2 {
        RESOLVED_OF_TWO
    } else {
        RESOLVED
    };
    kernel
        .front_runner
        .is_some_and(|front| kernel.p_best[front] >= limit)
}

fn candidates(
    prepared: &Prepared,
    choice: &Choice,
    kernel: Option<&kernel::Standing>,
) -> Vec<CandidateStanding> {
    let ranked: Vec<usize> = kernel.map(|kernel| kernel.ranked.clone()).unwrap_or_default();
    let rest = (0..prepared.candidates.len()).filter(|place| !ranked.contains(place));
    let order: Vec<usize> = ranked.iter().copied().chain(rest).collect();
    order
        .into_iter()
        .map(|place| candidate(prepared, choice, kernel, place))
        .collect()
}

fn candidate(
    prepared: &Prepared,
    choice: &Choice,
    kernel: Option<&kernel::Standing>,
    place: usize,
) -> CandidateStanding {
    let weighed = kernel.filter(|kernel| kernel.front_runner.is_some());
    let inside = weighed.filter(|_| !choice.out.contains_key(&place));
    CandidateStanding {
        blend: prepared.candidates[place].clone(),
        p_best: inside.map(|kernel| kernel.p_best[place]),
        score: weighed.map(|kernel| kernel.scores[place]),
        score_lo: inside.map(|kernel| kernel.score_intervals[place].0),
        score_hi: inside.map(|kernel| kernel.score_intervals[place].1),
        ranks: inside
            .map(|kernel| kernel.rank_probabilities[place][..kernel.ranked.len()].to_vec())
            .unwrap_or_default(),
        coverage: weighed.map_or(0.0, |kernel| kernel.coverage[place]),
        score_worst_fill: weighed.map(|kernel| kernel.fills[place].worst),
        score_best_fill: weighed.map(|kernel| kernel.fills[place].best),
        out: choice.out.get(&place).cloned(),
    }
}

type RawEstimates = BTreeMap<TestKey, BTreeMap<BlendCode, Estimate>>;

/// Estimates as read, of the tests in which severity moves something.
fn raw_estimates(dossier: &Dossier, what_if: &WhatIf, prepared: &Prepared) -> RawEstimates {
    let Some(fitted) = prepared.fitted.as_ref() else {
        return BTreeMap::new();
    };
    let adjusted = |at: usize| {
        let key = &fitted.input().tests[at].key;
        let of_test = |block: &&kernel::BlockInput| block.key.split(' ').next() == Some(key.as_str());
        fitted
            .input()
            .blocks
            .iter()
            .filter(of_test)
            .any(|block| block.shift.mean != 0.0)
    };
    if !(0..fitted.tests().len()).any(adjusted) {
        return BTreeMap::new();
    }
    // Cells do not need many draws.
    let few = WhatIf {
        draws: 200,
        ..what_if.clone()
    };
    let streams = Some(prepared.streams.clone());
    let raw = prepare(
        dossier,
        &few,
        Departure {
            adjust: Adjust::Raw,
            streams,
            ..Departure::NONE
        },
    );
    let Some(raw_fit) = raw.fitted.as_ref() else {
        return BTreeMap::new();
    };
    let of_test = |(at, place): (usize, &usize)| {
        let evidence = &raw.tests[*place].evidence;
        let estimates = strip::estimates(evidence, &raw_fit.tests()[at], &raw.candidates);
        adjusted(at).then(|| (evidence.key().clone(), estimates))
    };
    raw.fitted_tests.iter().enumerate().filter_map(of_test).collect()
}

fn tests(
    prepared: &Prepared,
    choice: &Choice,
    kernel: Option<&kernel::Standing>,
    raw: &RawEstimates,
) -> Vec<TestStanding> {
    let with_contact =
        (0..prepared.tests.len()).filter(|place| prepared.tests[*place].evidence.test.used_to != Use::Gate);
    let mut tests: Vec<TestStanding> = with_contact
        .map(|place| test_standing(prepared, choice, kernel, raw, place))
        .collect();
    tests.sort_by(|a, b| {
        let mass = |test: &TestStanding| test.resemblance.unwrap_or(-1.0);
        b.weight
            .total_cmp(&a.weight)
            .then(mass(b).total_cmp(&mass(a)))
            .then(a.key.cmp(&b.key))
    });
    tests
}

fn test_standing(
    prepared: &Prepared,
    choice: &Choice,
    kernel: Option<&kernel::Standing>,
    raw: &RawEstimates,
    place: usize,
) -> TestStanding {
    let test = &prepared.tests[place];
    let evidence = &test.evidence;
    let at = prepared.fitted_tests.iter().position(|fitted| *fitted == place);
    let fit = at
        .zip(prepared.fitted.as_ref())
        .map(|(at, fitted)| &fitted.tests()[at]);
    let estimates = match fit {
        Some(fit) => strip::estimates(evidence, fit, &prepared.candidates),
        None => strip::plain_estimates(evidence),
    };
    let weight = at.map_or(0.0, |at| choice.weights[at]);
    let kernel_at = kernel.filter(|kernel| kernel.front_runner.is_some()).zip(at);
    let share = kernel_at
        .filter(|_| weight > 0.0)
        .and_then(|(k, at)| Some(k.lead.as_ref()?.shares.as_ref()?[at]));
    let lead = kernel
        .and_then(|kernel| kernel.lead.as_ref())
        .map(|lead| lead.difference);
    let tip = |tip: Option<kernel::Tipping>| {
        tip.map(|tip| Tip {
            factor: tip.factor,
            to: prepared.candidates[tip.rival].clone(),
        })
    };
    let tipping = kernel_at
        .map(|(kernel, at)| kernel.tipping[at])
        .unwrap_or_default();
    TestStanding {
        key: evidence.key().clone(),
        title: evidence.method.title.clone(),
        label: evidence.quantity.label.clone(),
        standard: evidence.method.standard.clone(),
        category: evidence.method.category.word(),
        used_to: evidence.test.used_to,
        weight,
        resemblance: test.likeness.resemblance,
        relevance: test
            .likeness
            .resemblance
            .filter(|r| *r > 0.0)
            .map(|r| test.likeness.raw_weight / r),
        extreme: test.likeness.extreme,
        excluded: choice
            .excluded
            .get(&place)
            .cloned()
            .or_else(|| (weight <= 0.0).then(|| "weight set to 0".to_string())),
        contacts: test.likeness.contacts.clone(),
        lead_share: share,
        lead_contribution: share.zip(lead).map(|(share, lead)| share * lead),
        leader_without: None,
        tips_down: tip(tipping.down),
        tips_up: tip(tipping.up),
        validity: at
            .zip(prepared.fitted.as_ref())
            .map(|(at, fitted)| validity(fitted, at))
            .unwrap_or_default(),
        positions: positions(prepared, test, kernel_at),
        strip: strip::strip(test, fit, &estimates),
        estimates,
        raw_estimates: raw.get(evidence.key()).cloned().unwrap_or_default(),
        runs: evidence
            .cells
            .iter()
            .map(|cell| cell.runs.len() + cell.stopped.len())
            .sum(),
        precision: test
            .spread
            .as_ref()
            .map(|spread| spread.words.clone())
            .unwrap_or_default(),
    }
}

/// Positions of candidates and of the control fluid.
fn positions(
    prepared: &Prepared,
    test: &Test,
    kernel_at: Option<(&kernel::Standing, usize)>,
) -> BTreeMap<BlendCode, Position> {
    let (Some((kernel, at)), Some(fitted)) = (kernel_at, prepared.fitted.as_ref()) else {
        return BTreeMap::new();
    };
    let (fit, sign) = (&fitted.tests()[at], test.evidence.quantity.better.sign());
    let mut positions = BTreeMap::new();
    for (place, blend) in prepared.candidates.iter().enumerate() {
        let mean = kernel.mean_positions[place][at];
        let run = test.evidence.cell(blend).is_some_and(|cell| cell.is_run());
        if let Some(position) =
            strip::position(fit, Who::Candidate(place), mean, sign, HEAD_ROOM).filter(|_| run)
        {
            positions.insert((*blend).clone(), position);
        }
    }
    let control = test
        .evidence
        .control
        .zip(strip::position_of_fluid(fit, Who::Control, sign, HEAD_ROOM));
    positions.extend(control.map(|(blend, position)| (blend.clone(), position)));
    positions
}

/// Each test is told who is in front without it.
fn note_leave_outs(standing: &mut Standing) {
    let by_name: BTreeMap<&str, &Option<BlendCode>> = standing
        .leave_outs
        .iter()
        .filter(|out| out.left_out == crate::standing::LeftOut::Quantity)
        .map(|out| (out.name.as_str(), &out.front_runner))
        .collect();
    let without: Vec<Option<BlendCode>> = standing
        .tests
        .iter()
        .map(|test| {
            by_name
                .get(test.key.to_string().as_str())
                .and_then(|b| (*b).clone())
        })
        .collect();
    for (test, leader) in standing.tests.iter_mut().zip(without) {
        test.leader_without = leader;
    }
}

fn facts<'a>(
    dossier: &'a Dossier,
    prepared: &Prepared,
    choice: &Choice,
    fitted: &Fitted,
    kernel: &kernel::Standing,
) -> Facts<'a> {
    let mut facts = Facts::of_nothing(dossier);
    let Some(front) = kernel.front_runner else {
        return facts;
    };
    for (at, place) in prepared.fitted_tests.iter().enumerate() {
        let evidence = &prepared.tests[*place].evidence;
        let run = evidence
            .cell(prepared.candidates[front])
            .is_some_and(|cell| cell.is_run());
        if let Some(p) = fitted
            .probability_better(at, Who::Poor, Who::Candidate(front))
            .filter(|_| run)
        {
            facts.below_poor.insert(evidence.key().clone(), p);
        }
        facts
            .weight_if_sorting
            .insert(evidence.key().clone(), choice.weights_if_sorting[at]);
    }
    for rival in kernel.ranked.iter().filter(|rival| **rival != front) {
        facts.beats.insert(
            prepared.candidates[*rival].clone(),
            kernel.pairwise_wins[front][*rival],
        );
    }
    let front_of = |selection: &Selection| {
        let standing = rests_on::in_short(fitted, selection)?;
        standing
            .front_runner
            .map(|place| prepared.candidates[place].clone())
    };
    let all_in = Selection {
        candidates_out: BTreeSet::new(),
        ..choice.selection.clone()
    };
    facts.front_with_gated = front_of(&all_in);
    facts.front_with_equal_weights = front_of(&choice.with_weighting(Weighting::Equal));
    facts.fill_changes = kernel.ranked.len() > 1 && !kernel.front_holds_when_filled;
    facts.single_runs = rests_on::single_runs(prepared, choice, kernel);
    facts
}

fn name_leader(standing: &mut Standing, fill_changes: bool) {
    let Some(front) = standing.front_runner.clone() else {
        return;
    };
    let mut doubts = Vec::new();
    if standing
        .cautions
        .iter()
        .any(|caution| caution.severity == Severity::Stop)
    {
        doubts.push(Doubt::Stop);
    }
    if !standing.resolved {
        doubts.push(Doubt::NotResolved);
    }
    if standing
        .candidate(&front)
        .is_none_or(|candidate| candidate.coverage < LEAST_COVERAGE)
    {
        doubts.push(Doubt::ThinCoverage);
    }
    if fill_changes {
        doubts.push(Doubt::FillChanges);
    }
    if standing.runner_up.is_none() {
        doubts = vec![Doubt::Alone];
    }
    standing.leader = doubts.is_empty().then_some(front);
    standing.no_leader_because = doubts;
}
