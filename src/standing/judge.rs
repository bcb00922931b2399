//! From the records of a trial to its standing.

use crate::records::{Asked, TrialRecords};
use crate::standing::cautions::{self, Facts};
use crate::standing::doubted::doubted;
use crate::standing::equivalence::equivalence;
use crate::standing::facts::Known;
use crate::standing::fit_cache::{FitCache, KnownOfRecords};
use crate::standing::kernel::{Ranking, Weighed};
use crate::standing::leader::LeaderRule;
use crate::standing::per_test::{PerTest, RawEstimates, raw_estimates};
use crate::standing::prepare::{Case, Departure, Prepared, prepare};
use crate::standing::rivals::rivals;
use crate::standing::run_next::run_next;
use crate::standing::shifts::Adjust;
use crate::standing::strip::RunMarks;
use crate::standing::summary::{CandidateStanding, Doubt, GateStanding, Standing, TestStanding};
use crate::standing::verdicts::verdicts;
use crate::standing::weights::Choice;
use crate::standing::without_results::without_doubted;
use crate::standing::{
    LeaveOut, RunNext, Severity, WhatIf, gates, out_of_control, rests_on, without_results,
};
use rayon::prelude::*;
use std::collections::{BTreeMap, BTreeSet};

/// The standing of a trial. Every input has one: where nothing can be weighed, it says so. What was found for another
/// question about the trial is not computed again; the standing is the same, bit for bit.
pub fn judge(records: &TrialRecords, what_if: &WhatIf, fit_cache: &FitCache) -> Standing {
    let of_records = fit_cache.of(records, what_if);
    let case = Case {
        records,
        what_if,
        fits: &fit_cache.fits,
        known: &of_records,
    };
    let prepared = prepare(case, Departure::NONE);
    let as_read = Departure {
        adjust: Adjust::Raw,
        from: Some(&prepared),
        ..Departure::NONE
    };
    let raw = prepare(case, as_read);
    let evidence: Vec<_> = prepared.tests.iter().map(|test| test.evidence.clone()).collect();
    let doubted = doubted(&prepared.tests);
    let out_of_control: Vec<_> = evidence.iter().flat_map(out_of_control::results).collect();
    let marks = RunMarks::new(&doubted, &out_of_control);
    let raw_estimates = raw_estimates(&prepared, &raw);
    let gates = gates::judge(records, &prepared.tests);
    let choice = Choice::new(&prepared, what_if, &gates);
    let weighed = weigh(&prepared, &choice);
    let kernel = weighed.as_ref().map(|weighed| {
        let ranking = weighed.ranking();
        if asks_for_a_choice(records) {
            ranking
        } else {
            ranking.without_order()
        }
    });
    let begun = Begun {
        case,
        prepared: &prepared,
        choice: &choice,
        kernel: kernel.as_ref(),
    };
    let tests = begun.per_test(&raw_estimates, &marks).those(|_| true);
    let mut standing = begun.standing(tests, gates);
    note_verdicts(&mut standing, &prepared, &of_records);
    standing.not_tested = cautions::not_tested(&standing, records, &evidence);
    standing.equivalence = equivalence(records, &prepared, &standing);
    let (Some(fitted), Some(weighed), Some(kernel)) = (prepared.fitted.as_ref(), &weighed, kernel) else {
        standing.cautions = cautions::all(&standing, &Facts::of_nothing(records, &evidence, &doubted));
        return standing;
    };
    standing.monte_carlo_error = kernel.front_runner.map(|_| kernel.monte_carlo_error);
    let rule = LeaderRule::new(&prepared, &standing.gates);
    let tests = prepared.fitted_keys();
    let known = Known {
        case,
        evidence: &evidence,
        prepared: &prepared,
        choice: &choice,
        fitted,
        weighed,
        kernel: &kernel,
        rule: &rule,
        tests: &tests,
    };
    if standing.equivalence.is_some() {
        let facts = known.facts_without_front(&standing, &doubted);
        standing.cautions = cautions::all(&standing, &facts);
        return standing;
    }
    standing.rivals = rivals(&known);
    standing.leave_outs = rests_on::leave_outs(&known);
    let (tried, single) = without_results::single_runs(&known);
    standing.runs_left_out = tried;
    standing.leave_outs.extend(single);
    standing.leave_outs.extend(without_doubted(&known, &doubted));
    standing.alternatives = rests_on::alternatives(&known, &raw);
    let facts = known.facts(&standing, &doubted);
    standing.cautions = cautions::that_stop(&standing, &facts);
    name_leader(&mut standing, &known);
    standing.cautions = cautions::all(&standing, &facts);
    standing.run_next = run_next(&known, &standing);
    standing
}

fn weigh<'p>(prepared: &'p Prepared, choice: &Choice) -> Option<Weighed<'p>> {
    prepared.fitted.as_ref()?.weigh(&choice.selection).ok()
}

fn asks_for_a_choice(records: &TrialRecords) -> bool {
    records.trial.asked() == Asked::Choose
}

/// Who is in front in a trial that was made ready, and who may lead, as [`judge`] says it: the same rules on the same
/// draws, without what decides neither. Of the tests only those are there on which the front-runner is worse than the
/// known poor, of the cautions those that stop; ranks, wins and intervals are not counted.
pub(crate) fn judge_lead(case: Case, prepared: &Prepared) -> Standing {
    let evidence: Vec<_> = prepared.tests.iter().map(|test| test.evidence.clone()).collect();
    let gates = gates::judge(case.records, &prepared.tests);
    let choice = Choice::new(prepared, case.what_if, &gates);
    let screens = rests_on::screens(prepared, &choice);
    let weighed = weigh(prepared, &choice);
    let counted = prepared
        .fitted
        .as_ref()
        .zip(weighed.as_ref())
        .and_then(|(fitted, weighed)| {
            let tests: Vec<_> = screens.iter().map(|set| set.tests.clone().into()).collect();
            let (ranking, without) = weighed.first_places(&tests).ok()?;
            let ordered = asks_for_a_choice(case.records);
            let ranking = if ordered { ranking } else { ranking.without_order() };
            Some(((fitted, weighed), (ranking, without)))
        });
    let begun = Begun {
        case,
        prepared,
        choice: &choice,
        kernel: counted.as_ref().map(|(_, (kernel, _))| kernel),
    };
    let Some(((fitted, weighed), (kernel, without))) = counted.as_ref() else {
        return begun.standing(Vec::new(), gates);
    };
    let rule = LeaderRule::new(prepared, &gates);
    let tests = prepared.fitted_keys();
    let known = Known {
        case,
        evidence: &evidence,
        prepared,
        choice: &choice,
        fitted,
        weighed,
        kernel,
        rule: &rule,
        tests: &tests,
    };
    let facts = known.facts_that_stop();
    let mut standing = begun.standing(begun.tests_below_poor(&facts), gates);
    if let Some(front) = kernel.front_runner {
        let front = prepared.candidates[front];
        let each = screens.iter().zip(without);
        let outs = each.map(|(set, without)| set.leave_out(prepared, without, front));
        standing.leave_outs = outs.collect();
    }
    standing.cautions = cautions::that_stop(&standing, &facts);
    name_leader(&mut standing, &known);
    standing
}

/// What a standing is made from before anything is varied.
struct Begun<'b, 'a> {
    case: Case<'b>,
    prepared: &'b Prepared<'a>,
    choice: &'b Choice,
    kernel: Option<&'b Ranking>,
}

impl<'a> Begun<'_, 'a> {
    fn standing(&self, tests: Vec<TestStanding>, gates: Vec<GateStanding>) -> Standing {
        let (prepared, kernel) = (self.prepared, self.kernel);
        let Case { records, what_if, .. } = self.case;
        let front = kernel.and_then(|kernel| kernel.front_runner);
        let code = |place: usize| prepared.candidates[place].clone();
        let second = kernel
            .filter(|_| front.is_some())
            .and_then(|kernel| kernel.ranked.get(1));
        Standing {
            trial: records.trial.slug.clone(),
            machine: records.machine.slug.clone(),
            draws: what_if.draws,
            seed: what_if.seed,
            head_room: what_if.head_room,
            resemblance_mass: kernel.map_or(0.0, |kernel| kernel.total_weight),
            effective_tests: kernel.map(|k| k.effective_tests).filter(|n| *n > 0.0),
            monte_carlo_error: None,
            front_runner: front.map(code),
            leader: None,
            runner_up: second.map(|place| code(*place)),
            resolved: false,
            weight_from_alike: 0.0,
            breaks_without: None,
            not_tested: Vec::new(),
            no_leader_because: Vec::new(),
            candidates: self.candidates(),
            tests,
            alternatives: Vec::new(),
            leave_outs: Vec::new(),
            runs_left_out: 0,
            rivals: Vec::new(),
            equivalence: None,
            cautions: Vec::new(),
            gates,
            run_next: RunNext::default(),
        }
    }

    fn candidates(&self) -> Vec<CandidateStanding> {
        let ranked: Vec<usize> = self
            .kernel
            .map(|kernel| kernel.ranked.clone())
            .unwrap_or_default();
        let rest = (0..self.prepared.candidates.len()).filter(|place| !ranked.contains(place));
        let order = ranked.iter().copied().chain(rest);
        order.map(|place| self.candidate(place)).collect()
    }

    fn candidate(&self, place: usize) -> CandidateStanding {
        let (prepared, choice, kernel) = (self.prepared, self.choice, self.kernel);
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
            wins: inside
                .map(|kernel| {
                    let others = kernel.ranked.iter().filter(|other| **other != place);
                    let against = |other: &usize| {
                        let blend = prepared.candidates[*other].clone();
                        (blend, kernel.pairwise_wins[place][*other])
                    };
                    others.map(against).collect()
                })
                .unwrap_or_default(),
            coverage: kernel
                .filter(|kernel| kernel.total_weight > 0.0)
                .map_or(0.0, |kernel| kernel.coverage[place]),
            score_worst_fill: weighed.map(|kernel| kernel.fills[place].worst),
            score_best_fill: weighed.map(|kernel| kernel.fills[place].best),
            failed: choice.out.get(&place).cloned().unwrap_or_default(),
        }
    }

    fn per_test<'p>(&'p self, raw: &'p RawEstimates, marks: &'p RunMarks) -> PerTest<'p, 'a> {
        PerTest {
            prepared: self.prepared,
            choice: self.choice,
            kernel: self.kernel,
            raw,
            marks,
        }
    }

    /// Tests on which the front-runner is probably worse than the known poor.
    fn tests_below_poor(&self, facts: &Facts) -> Vec<TestStanding> {
        let marks = RunMarks::new(&[], &[]);
        self.per_test(&BTreeMap::new(), &marks)
            .those(|test| facts.worse_than_poor(test.evidence.key()).is_some())
    }
}

/// Each test is told how its candidates stand to its reference oils.
fn note_verdicts(standing: &mut Standing, prepared: &Prepared, known: &KnownOfRecords) {
    let of_all = || {
        let places = (0..prepared.tests.len()).into_par_iter();
        places.map(|place| verdicts(prepared, place)).collect()
    };
    let of_tests = known.verdicts.get_or_init(of_all);
    for test in &mut standing.tests {
        let mut tests = prepared.tests.iter();
        let place = tests.position(|one| one.evidence.key() == &test.key);
        test.verdicts = place.map(|place| of_tests[place].clone()).unwrap_or_default();
    }
}

/// Names the leader, or says why there is none; and what would break the claim.
fn name_leader(standing: &mut Standing, known: &Known) {
    let Some(front) = standing.front_runner.clone() else {
        return;
    };
    let named = known.named();
    standing.weight_from_alike = known
        .rule
        .weight_from_alike(named, &known.choice.weights, &BTreeSet::new());
    let without_screens = known.rule.claim_without_screens(named);
    let mut doubts = known.rule.doubts(
        &front,
        known.kernel.claim,
        without_screens,
        standing.weight_from_alike,
    );
    let mut cautions = standing.cautions.iter();
    if cautions.any(|caution| caution.severity == Severity::Stop) {
        doubts.insert(0, Doubt::Stop);
    }
    if standing.runner_up.is_none() {
        doubts = vec![Doubt::Alone];
    }
    standing.leader = doubts.is_empty().then_some(front);
    standing.resolved = standing.leader.is_some();
    standing.no_leader_because = doubts;
    standing.breaks_without = standing
        .leader
        .as_ref()
        .and_then(|_| worst_break(&standing.leave_outs));
}

/// The method, rig or laboratory without which the leader would not be one, because none could be named or another is in
/// front, and ranks first most seldom.
fn worst_break(leave_outs: &[LeaveOut]) -> Option<LeaveOut> {
    let breaks = leave_outs
        .iter()
        .filter(|out| out.left_out.is_method_rig_or_laboratory() && (out.changes || !out.may_be_named));
    let stays = |out: &LeaveOut| out.p_changes.map_or(0.0, |changes| 1.0 - changes);
    breaks
        .min_by(|a, b| stays(a).total_cmp(&stays(b)).then(a.left_out.cmp(&b.left_out)))
        .cloned()
}
