//! The numbers that cautions look at beside the standing: what would be in front otherwise, who loses where.

use crate::records::{BlendCode, TestKey};
use crate::standing::cautions::Facts;
use crate::standing::doubted::Doubted;
use crate::standing::evidence::{Cell, Evidence};
use crate::standing::kernel::{self, Fitted, Selection, ShortRanking, Weighed, Who};
use crate::standing::leader::{LeaderRule, Named};
use crate::standing::prepare::{Case, Cut, Departure, Prepared, Test, prepare};
use crate::standing::verdicts::critical_difference;
use crate::standing::weights::Choice;
use crate::standing::{Caution, Finding, Severity, Standing, out_of_control, without_results};
use std::collections::BTreeSet;

/// Resemblance above which real components speak of the machine (ours).
const RESEMBLES: f64 = 0.5;

/// Whether a test of real components speaks against a front-runner that a rival beats in it by so many times R.
fn speaks_against(resemblance: f64, times_reproducibility: f64) -> bool {
    resemblance > RESEMBLES && times_reproducibility > 1.0
}

/// A trial that was judged, with what the judgement was made from.
#[derive(Clone, Copy)]
pub(crate) struct Known<'k, 'a> {
    /// The records and the question.
    pub(crate) case: Case<'a>,
    /// The results of every test.
    pub(crate) evidence: &'a [Evidence<'a>],
    /// The trial made ready.
    pub(crate) prepared: &'k Prepared<'a>,
    /// What counts.
    pub(crate) choice: &'k Choice,
    /// The draws.
    pub(crate) fitted: &'k Fitted,
    /// The draws as the choice weighs them.
    pub(crate) weighed: &'k Weighed<'k>,
    /// The standing in numbers.
    pub(crate) kernel: &'k kernel::Ranking,
    /// Who may be called the leader.
    pub(crate) rule: &'k LeaderRule,
    /// The fitted tests, in the kernel's order.
    pub(crate) tests: &'k [TestKey],
}

impl<'k, 'a> Known<'k, 'a> {
    /// What was weighed, with its names.
    pub(crate) fn named(&self) -> Named<'k> {
        Named {
            weighed: self.weighed,
            tests: self.tests,
            candidates: &self.prepared.candidates,
        }
    }

    /// Who is in front of the same candidates on other fits or by another selection, and whether they may be called the
    /// leader, stops aside; nothing where nothing can be weighed.
    pub(crate) fn without_on(
        &self,
        fitted: &Fitted,
        tests: &[TestKey],
        selection: &Selection,
    ) -> Vec<(ShortRanking, bool)> {
        let Ok(weighed) = fitted.weigh(selection) else {
            return Vec::new();
        };
        let named = Named {
            weighed: &weighed.beside(self.weighed),
            tests,
            candidates: &self.prepared.candidates,
        };
        self.rule.without(named, &[BTreeSet::new()])
    }

    /// Who is in front.
    pub(crate) fn front(&self) -> Option<&'a BlendCode> {
        self.kernel
            .front_runner
            .map(|place| self.prepared.candidates[place])
    }

    /// What those cautions look at that can stop a leader from being named, and whether gaps filled badly change the
    /// order.
    pub(crate) fn facts_that_stop(&self) -> Facts<'a> {
        let mut facts = Facts::of_nothing(self.case.records, self.evidence, &[]);
        if let Some(front) = self.kernel.front_runner {
            self.add_per_test(&mut facts);
            self.add_below_poor(&mut facts, front);
            facts.fill_changes = self.fill_changes();
        }
        facts
    }

    fn fill_changes(&self) -> bool {
        !self.kernel.claim.holds_when_filled
    }

    /// All that the cautions look at.
    pub(crate) fn facts(&self, standing: &Standing, doubted: &[Doubted<'a>]) -> Facts<'a> {
        let Some(front) = self.kernel.front_runner else {
            return Facts::of_nothing(self.case.records, self.evidence, doubted);
        };
        let mut facts = self.facts_without_front(standing, doubted);
        self.add_below_poor(&mut facts, front);
        let all_in = Selection {
            candidates_out: BTreeSet::new(),
            ..self.choice.selection.clone()
        };
        facts.front_with_gated = self.front_of(self.fitted, &all_in);
        facts.fill_changes = self.fill_changes();
        facts.single_runs = without_results::moved_by_r(self);
        facts.losses = self.losses(front);
        facts.within_repeatability = self.within_repeatability(front);
        if !facts.out_of_control.is_empty() {
            facts.front_uncut = self.front_uncut();
        }
        for (doubted, then) in &mut facts.doubted {
            let mut outs = standing.leave_outs.iter();
            let other = outs.find(|out| doubted.is_left_out_by(out) && out.changes);
            *then = other.and_then(|out| out.front_runner.clone());
        }
        facts
    }

    /// What hangs on nobody in front: the tests, their runs, the machine.
    pub(crate) fn facts_without_front(&self, standing: &Standing, doubted: &[Doubted<'a>]) -> Facts<'a> {
        let mut facts = Facts::of_nothing(self.case.records, self.evidence, doubted);
        self.add_per_test(&mut facts);
        let weighs = |evidence: &&Evidence| {
            let test = standing.test(evidence.key());
            test.is_some_and(|test| test.weight > 0.0)
        };
        let weighed = self.evidence.iter().filter(weighs);
        facts.out_of_control = weighed.flat_map(out_of_control::of_candidates).collect();
        facts
    }

    fn code(&self, place: usize) -> &BlendCode {
        self.prepared.candidates[place]
    }

    fn front_of(&self, fitted: &Fitted, selection: &Selection) -> Option<BlendCode> {
        let front = fitted.weigh(selection).ok()?.front_without(&BTreeSet::new());
        front.map(|place| self.code(place).clone())
    }

    /// Who would be in front with blocks that do not end where the level of a rig changed.
    fn front_uncut(&self) -> Option<BlendCode> {
        let departure = Departure {
            cut: Cut::Nowhere,
            from: Some(self.prepared),
            ..Departure::NONE
        };
        let uncut = prepare(self.case, departure);
        let weights = without_results::weights_by_key(self.prepared, self.choice, &uncut.fitted_keys());
        self.front_of(uncut.fitted.as_ref()?, &self.choice.weighing(weights))
    }

    fn test(&self, at: usize) -> &Test<'a> {
        self.prepared.fitted_test(at)
    }

    fn add_below_poor(&self, facts: &mut Facts, front: usize) {
        for at in 0..self.prepared.fitted_tests.len() {
            let evidence = &self.test(at).evidence;
            let run = evidence.cell(self.code(front)).is_some_and(Cell::is_run);
            let below = self
                .fitted
                .probability_better(at, Who::Poor, Who::Candidate(front));
            if let Some(p) = below.filter(|_| run) {
                facts.below_poor.insert(evidence.key().clone(), p);
            }
        }
    }

    fn add_per_test(&self, facts: &mut Facts) {
        for at in 0..self.prepared.fitted_tests.len() {
            let evidence = &self.test(at).evidence;
            if self.choice.weights[at] > 0.0 {
                let contacts = self.test(at).likeness.contacts.iter();
                for contact in contacts.filter(|contact| contact.relevance > 0.0) {
                    let nearest = facts.nearest.entry(contact.contact.clone()).or_default();
                    *nearest = nearest.max(contact.resemblance.value.unwrap_or(0.0));
                }
            }
            let weight = self.choice.weights_if_sorting[at];
            facts.weight_if_sorting.insert(evidence.key().clone(), weight);
        }
    }

    /// The estimate of a candidate that was run, on the working scale, greater the better, held at the cap.
    fn merit(&self, at: usize, place: usize) -> Option<f64> {
        let evidence = &self.test(at).evidence;
        let cell = evidence.cell(self.code(place));
        cell.filter(|cell| cell.is_run())?;
        let mean = self.fitted.tests()[at].summary(Who::Candidate(place))?.mean;
        Some(evidence.quantity.better.sign() * evidence.held_at_cap(mean))
    }

    /// Tests of real components that resemble the machine, sort, count, and in which a rival is better by more than R.
    fn losses(&self, front: usize) -> Vec<Caution> {
        let of_test = |at: usize| {
            let test = self.test(at);
            let resemblance = test.likeness.best?;
            let counts = !self.choice.excluded.contains_key(&self.prepared.fitted_tests[at]);
            if !counts || !test.evidence.method.category.has_components() {
                return None;
            }
            let own = self.merit(at, front)?;
            let reproducibility = test.spread.as_ref()?.reproducibility;
            let rivals = self.kernel.ranked.iter().filter(|rival| **rival != front);
            let ahead = rivals.filter_map(|rival| Some((*rival, self.merit(at, *rival)? - own)));
            let (rival, by) = ahead.max_by(|a, b| a.1.total_cmp(&b.1).then(b.0.cmp(&a.0)))?;
            let times_reproducibility = by / reproducibility;
            let finding = || Finding::LosesAtComponent {
                front_runner: self.code(front).clone(),
                rival: self.code(rival).clone(),
                times_reproducibility,
                resemblance,
            };
            speaks_against(resemblance, times_reproducibility)
                .then(|| Caution::new(Severity::High, finding()).of_test(test.evidence.key()))
        };
        (0..self.prepared.fitted_tests.len())
            .filter_map(of_test)
            .collect()
    }

    /// Whether front-runner and runner-up differ by less than the critical difference where most of the lead comes from.
    fn within_repeatability(&self, front: usize) -> Option<Caution> {
        let lead = self.kernel.lead.as_ref()?;
        let shares = lead.shares.as_ref()?;
        let at = self.choice.weighed().max_by(|a, b| {
            let key = |at: usize| self.test(at).evidence.key();
            shares[*a].total_cmp(&shares[*b]).then(key(*b).cmp(key(*a)))
        })?;
        let (a, b) = (self.merit(at, front)?, self.merit(at, lead.rival)?);
        let test = self.test(at);
        let cell = |place: usize| test.evidence.cell(self.code(place));
        let critical = critical_difference(test, cell(front)?, cell(lead.rival)?)?;
        let difference = (a - b).abs();
        let finding = || Finding::WithinRepeatability {
            blends: [front, lead.rival].map(|place| self.code(place).clone()),
            lead_share: shares[at],
            part_of_critical_difference: difference / critical,
        };
        (difference < critical)
            .then(|| Caution::new(Severity::Medium, finding()).of_test(test.evidence.key()))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn components_speak_against_a_front_runner_that_loses_by_more_than_r_where_they_resemble_above_0_5() {
        const A_LITTLE: f64 = 1e-9;
        for (resemblance, times_reproducibility, against) in [
            (0.5 - A_LITTLE, 3.0, false),
            (0.5, 3.0, false),
            (0.5 + A_LITTLE, 3.0, true),
            (0.9, 1.0 - A_LITTLE, false),
            (0.9, 1.0, false),
            (0.9, 1.0 + A_LITTLE, true),
        ] {
            let says = speaks_against(resemblance, times_reproducibility);
            assert_eq!(says, against, "{resemblance} {times_reproducibility}");
        }
    }
}
