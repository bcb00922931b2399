//! Who may be called the leader: the rule (ours), on everything and on what is left without something.

use crate::records::{BlendCode, GateOutcome, TestKey};
use crate::standing::GateStanding;
use crate::standing::kernel::{Claim, ShortRanking, Weighed, WithoutTests};
use crate::standing::prepare::Prepared;
use crate::standing::summary::Doubt;
use std::collections::BTreeSet;

/// P(best) from which a leader may be named.
pub const RESOLVED: f64 = 0.8;
/// Share of draws in which it must score above each single rival.
pub const PAIRWISE: f64 = 0.9;
/// Share of the weight that must have been run on it.
pub const LEAST_COVERAGE: f64 = 0.6;
/// Greatest resemblance to a single contact from which a test is like the machine.
pub const ALIKE: f64 = 0.4;
/// Share of the weight that must come from tests that are.
pub const LEAST_ALIKE: f64 = 0.5;

/// What the rule looks at beside the draws.
#[derive(Clone, Debug)]
pub(crate) struct LeaderRule {
    extreme: BTreeSet<TestKey>,
    alike: BTreeSet<TestKey>,
    /// Candidates of which a requirement is in doubt on the wrong side of its limit.
    gate_in_doubt: BTreeSet<BlendCode>,
}

/// A weighed trial with the names of its places.
#[derive(Clone, Copy)]
pub(crate) struct Named<'f> {
    pub(crate) weighed: &'f Weighed<'f>,
    /// Tests in the kernel's order.
    pub(crate) tests: &'f [TestKey],
    /// Candidates in the kernel's order.
    pub(crate) candidates: &'f [&'f BlendCode],
}

impl LeaderRule {
    pub(crate) fn new(prepared: &Prepared, gates: &[GateStanding]) -> Self {
        let keys = |holds: &dyn Fn(usize) -> bool| -> BTreeSet<TestKey> {
            let fitted = 0..prepared.fitted_tests.len();
            let chosen = fitted.filter(|at| holds(*at));
            chosen
                .map(|at| prepared.fitted_test(at).evidence.key().clone())
                .collect()
        };
        let likeness = |at: usize| &prepared.fitted_test(at).likeness;
        let in_doubt = gates
            .iter()
            .filter(|gate| gate.outcome == GateOutcome::InDoubt && gate.on_the_wrong_side);
        Self {
            extreme: keys(&|at| likeness(at).is_extreme()),
            alike: keys(&|at| likeness(at).best.is_some_and(|best| best >= ALIKE)),
            gate_in_doubt: in_doubt.map(|gate| gate.blend.clone()).collect(),
        }
    }

    /// Share of the weight that comes from tests like the machine, without some tests; 0 where nothing is left.
    pub(crate) fn weight_from_alike(&self, named: Named, weights: &[f64], left_out: &BTreeSet<usize>) -> f64 {
        let left = || (0..weights.len()).filter(|at| !left_out.contains(at));
        let total: f64 = left().map(|at| weights[at]).sum();
        let alike = left().filter(|at| self.alike.contains(&named.tests[*at]));
        let sum = alike.fold(0.0, |sum, at| sum + weights[at]);
        if total > 0.0 { sum / total } else { 0.0 }
    }

    /// Everything but the stops that keeps `front` from being called the leader, by what it may claim with everything
    /// that is weighed and without the extreme-condition screens.
    pub(crate) fn doubts(
        &self,
        front: &BlendCode,
        claim: Claim,
        without_screens: Option<Claim>,
        weight_from_alike: f64,
    ) -> Vec<Doubt> {
        let apart = |claim: Claim| claim.p_best >= RESOLVED && claim.least_win >= PAIRWISE;
        let found = [
            (Doubt::NotResolved, !apart(claim)),
            (
                Doubt::ScreensDecide,
                apart(claim) && without_screens.is_some_and(|without| !apart(without)),
            ),
            (Doubt::ThinCoverage, claim.coverage < LEAST_COVERAGE),
            (Doubt::FillChanges, !claim.holds_when_filled),
            (Doubt::FewAlike, weight_from_alike < LEAST_ALIKE),
            (Doubt::GateUndecided, self.gate_in_doubt.contains(front)),
        ];
        let held = found.into_iter().filter(|(_, holds)| *holds);
        held.map(|(doubt, _)| doubt).collect()
    }

    /// The standing in short without each set of tests, and whether whoever is then in front may be called the leader,
    /// but for stops.
    pub(crate) fn without(&self, named: Named, sets: &[BTreeSet<usize>]) -> Vec<(ShortRanking, bool)> {
        self.try_without(named, sets).unwrap_or_default()
    }

    fn try_without(&self, named: Named, sets: &[BTreeSet<usize>]) -> Option<Vec<(ShortRanking, bool)>> {
        let weighed = named.weighed;
        let screens = self.weighed_screens(named);
        let fronts: Vec<Option<usize>> = sets.iter().map(|set| weighed.front_without(set)).collect();
        let whole = sets.iter().cloned().map(WithoutTests::from);
        let with_screens_out = sets.iter().zip(&fronts).map(|(set, front)| WithoutTests {
            tests: set.union(&screens).copied().collect(),
            claim_of: *front,
        });
        let asked: Vec<WithoutTests> = if screens.is_empty() {
            whole.collect()
        } else {
            whole.chain(with_screens_out).collect()
        };
        let mut found = weighed.leave_out(&asked).ok()?;
        let without_screens = found.split_off(sets.len());
        let several = weighed.candidates_in() > 1;
        let judged = found.into_iter().enumerate().map(|(at, short)| {
            let left_out = &sets[at];
            let named_leader = short.front_runner.is_some_and(|front| {
                let touches = screens.iter().any(|screen| !left_out.contains(screen));
                let other = without_screens.get(at).filter(|_| touches);
                let alike = self.weight_from_alike(named, weighed.weights(), left_out);
                let claim = other.map(|other| other.claim);
                let doubts = self.doubts(named.candidates[front], short.claim, claim, alike);
                several && doubts.is_empty()
            });
            (short, named_leader)
        });
        Some(judged.collect())
    }

    /// What the front-runner of everything may claim without the extreme-condition screens; `None` where none is weighed.
    pub(crate) fn claim_without_screens(&self, named: Named) -> Option<Claim> {
        let tests = self.weighed_screens(named);
        if tests.is_empty() {
            return None;
        }
        let claim_of = named.weighed.front_without(&BTreeSet::new());
        let asked = WithoutTests { tests, claim_of };
        let short = named.weighed.leave_out(&[asked]).ok()?.pop()?;
        Some(short.claim)
    }

    fn weighed_screens(&self, named: Named) -> BTreeSet<usize> {
        let weights = named.weighed.weights();
        let screens = (0..named.tests.len()).filter(|at| self.extreme.contains(&named.tests[*at]));
        screens.filter(|at| weights[*at] > 0.0).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::support::code;

    const SURE: Claim = Claim {
        p_best: 1.0,
        least_win: 1.0,
        coverage: 1.0,
        holds_when_filled: true,
    };

    fn doubts(claim: Claim, without_screens: Option<Claim>, alike: f64) -> Vec<Doubt> {
        let rule = LeaderRule {
            extreme: BTreeSet::new(),
            alike: BTreeSet::new(),
            gate_in_doubt: BTreeSet::new(),
        };
        rule.doubts(&code("A"), claim, without_screens, alike)
    }

    #[test]
    fn a_leader_ranks_first_in_eight_of_ten_draws_and_is_above_each_rival_in_nine() {
        let of = |p_best, least_win| {
            let claim = Claim {
                p_best,
                least_win,
                ..SURE
            };
            doubts(claim, None, 1.0)
        };
        assert_eq!(of(0.8, 0.9), []);
        assert_eq!(of(0.799, 0.9), [Doubt::NotResolved]);
        assert_eq!(of(0.8, 0.899), [Doubt::NotResolved]);
    }

    #[test]
    fn it_does_so_without_the_screens_too() {
        let of = |p_best, least_win| {
            let without = Claim {
                p_best,
                least_win,
                ..Claim::default()
            };
            doubts(SURE, Some(without), 1.0)
        };
        assert_eq!(of(0.8, 0.9), [], "coverage and gaps are those of everything");
        assert_eq!(of(0.799, 0.9), [Doubt::ScreensDecide]);
        assert_eq!(of(0.8, 0.899), [Doubt::ScreensDecide]);
        assert_eq!(of(0.0, 0.0), [Doubt::ScreensDecide], "nothing is left");
    }

    #[test]
    fn six_tenths_of_the_weight_were_run_on_it_and_no_filling_changes_the_front() {
        let of = |coverage, holds_when_filled| {
            let claim = Claim {
                coverage,
                holds_when_filled,
                ..SURE
            };
            doubts(claim, None, 1.0)
        };
        assert_eq!(of(0.6, true), []);
        assert_eq!(of(0.599, true), [Doubt::ThinCoverage]);
        assert_eq!(of(0.6, false), [Doubt::FillChanges]);
    }

    #[test]
    fn half_of_the_weight_comes_from_tests_like_the_machine() {
        assert_eq!(doubts(SURE, None, 0.5), []);
        assert_eq!(doubts(SURE, None, 0.499), [Doubt::FewAlike]);
    }

    #[test]
    fn no_requirement_of_it_is_in_doubt_on_the_wrong_side() {
        let rule = LeaderRule {
            extreme: BTreeSet::new(),
            alike: BTreeSet::new(),
            gate_in_doubt: BTreeSet::from([code("IN-DOUBT")]),
        };
        assert_eq!(
            rule.doubts(&code("IN-DOUBT"), SURE, None, 1.0),
            [Doubt::GateUndecided]
        );
        assert_eq!(rule.doubts(&code("OTHER"), SURE, None, 1.0), []);
    }
}
