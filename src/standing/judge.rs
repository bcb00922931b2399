//! From the records of a trial to its standing.

use crate::records::{BlendCode, Dossier, TestKey};
use crate::standing::blocks::Adjust;
use crate::standing::cautions::{self, Facts, LEAST_COVERAGE, RESOLVED, RESOLVED_OF_TWO};
use crate::standing::choice::Choice;
use crate::standing::kernel::{self, Fitted, Selection, Weighting, Who};
use crate::standing::per_test::{raw_estimates, tests};
use crate::standing::prepare::{Departure, Prepared, prepare};
use crate::standing::summary::{CandidateStanding, Doubt, Standing};
use crate::standing::{Severity, WhatIf, gates, rests_on};
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
    let as_read = Departure {
        adjust: Adjust::Raw,
        from: Some(&prepared),
        ..Departure::NONE
    };
    let raw = prepare(dossier, what_if, as_read);
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
        tests: tests(
            &prepared,
            &choice,
            kernel.as_ref(),
            &raw_estimates(&prepared, &raw),
        ),
        alternatives: Vec::new(),
        leave_outs: Vec::new(),
        cautions: Vec::new(),
        gates,
    };
    let (Some(fitted), Some(kernel)) = (prepared.fitted.as_ref(), kernel) else {
        let facts = Facts {
            without_reference: without_reference(&prepared),
            ..Facts::of_nothing(dossier)
        };
        standing.cautions = cautions::all(&standing, &facts);
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
    standing.alternatives = rests_on::alternatives(dossier, &prepared, &raw, &choice);
    note_leave_outs(&mut standing);
    let facts = facts(dossier, &prepared, &choice, fitted, &kernel);
    standing.cautions = cautions::all(&standing, &facts);
    name_leader(&mut standing, facts.fill_changes);
    standing
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
    let mut facts = Facts {
        without_reference: without_reference(prepared),
        ..Facts::of_nothing(dossier)
    };
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

/// Tests that were run, but not on a known-good reference oil.
fn without_reference(prepared: &Prepared) -> BTreeSet<TestKey> {
    let tests = prepared.tests.iter().map(|test| &test.evidence);
    let without = tests.filter(|evidence| evidence.is_run() && evidence.good.is_none());
    without.map(|evidence| evidence.key().clone()).collect()
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
