//! What to run next: how much a further run is expected to improve the choice, for its cost and its days.
//!
//! # Formula
//! With mean weights the score is additive, so a run moves only the expected positions of its own cells. The value of a
//! run is `E[max_i S_i] - max_i S_i`, the expected value of sample information, in score between the known poor (0) and
//! the known good (1) reference oil. Runs count as made beside the reference oils, in one block. Weights are taken as
//! they are: testing settles results, never weights, and [`DoubtSplit`] says how much of the doubt is either's.
//!
//! A test that was never run has no reference oils yet: its scale is taken as for a test with one reference, a gap of
//! twice the reproducibility (ours), and their runs are part of its cost. Tests that do not sort lubricants in this trial
//! are not advised, nor is an extreme-condition screen while a stop or a high caution says that the standing rests on
//! screens. First come gaps: a main failure mode of which nothing that was run speaks, with the method that closes
//! it best.

use crate::catalogue::Mode;
use crate::records::{BlendCode, TestKey};
use crate::standing::facts::Known;
use crate::standing::kernel::Ranking;
use crate::standing::prepare::Test;
use crate::standing::run_next::gaps::Offer;
use crate::standing::run_next::moves::MethodMoves;
use crate::standing::run_next::proposals::Asked;
use crate::standing::summary::{Doubt, Standing};
use crate::standing::{Caution, Finding, Severity};
use serde::{Serialize, Serializer};

mod gaps;
mod moves;
mod proposals;

/// Most candidates that are looked at, the front-runner among them.
const CONTENDERS: usize = 4;
/// A candidate that ranks first in fewer draws than this is no contender, unless it is the runner-up.
const LEAST_CHANCE: f64 = 0.02;
/// Most proposals that are kept beside the trial's own methods, each by itself.
const OTHERS_KEPT: usize = 6;

/// Whether the trial asks for the runs already.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Planned {
    /// Its tests stand in the trial.
    InTrial,
    /// The methods are known, but the trial does not name them.
    NotInTrial,
}

/// What the scale of a proposal rests on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Basis {
    /// Reference oils were run.
    Measured,
    /// Nothing was run yet: a gap of twice the reproducibility is assumed.
    Assumed,
}

/// Runs that could be made next: every method once on every blend.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct NextRun {
    /// The tests that would have results.
    pub tests: Vec<TestKey>,
    /// Title and standard of each method.
    #[serde(skip)]
    pub methods: Vec<String>,
    /// The candidates to run.
    pub blends: Vec<BlendCode>,
    /// What choosing after these runs wins on average over choosing today, in score.
    pub value: f64,
    /// Chance that another candidate is in front afterwards.
    pub leader_changes: f64,
    /// Cost of all its runs, those of reference oils too; `None` where a method's is not known.
    pub cost: Option<f64>,
    /// Days until all are done: runs of one method follow each other, methods run side by side.
    pub days: Option<f64>,
    /// Runs of reference oils that come before those of the candidates, for methods that are new to the trial.
    pub reference_runs: usize,
    /// The failure mode, a main one of the machine, of which nothing that was run speaks and these runs would.
    #[serde(serialize_with = "word_of_mode")]
    pub closes: Option<Mode>,
    /// Whether the trial names them.
    #[serde(skip)]
    pub planned: Planned,
    /// What the scale rests on.
    #[serde(skip)]
    pub basis: Basis,
}

fn word_of_mode<S: Serializer>(mode: &Option<Mode>, serializer: S) -> Result<S::Ok, S::Error> {
    mode.map(Mode::word).serialize(serializer)
}

impl NextRun {
    /// Value for one unit of cost.
    pub fn per_cost(&self) -> Option<f64> {
        self.cost.filter(|cost| *cost > 0.0).map(|cost| self.value / cost)
    }

    /// Value for one day.
    pub fn per_day(&self) -> Option<f64> {
        self.days.filter(|days| *days > 0.0).map(|days| self.value / days)
    }

    /// Whether its value, priced at `stake` for the whole way from known poor to known good, covers its cost; `None`
    /// where the cost is not known.
    pub fn is_worth(&self, stake: f64) -> Option<bool> {
        self.cost.map(|cost| self.value * stake >= cost)
    }
}

/// How much of the doubt about the front-runner comes from where.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct DoubtSplit {
    /// Share of draws in which the front-runner ranks first.
    pub as_it_is: f64,
    /// The same if every result were known exactly and only the weights were not.
    pub results_known: f64,
    /// The same if the weights were known exactly and only the results were not.
    pub weights_known: f64,
}

/// What to run next.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct RunNext {
    /// Proposals: those that close a gap, then the greatest value for its cost first; those without a known cost last, by
    /// value.
    pub runs: Vec<NextRun>,
    /// Where the doubt comes from; `None` where nobody is in front.
    pub doubt: Option<DoubtSplit>,
    /// Tests with a weight that are not advised, since they do not sort lubricants in this trial.
    pub not_advised: Vec<TestKey>,
    /// Extreme-condition screens of the trial that are not advised, since its standing rests on screens.
    pub screens_not_advised: Vec<TestKey>,
    /// Main failure modes of the machine of which nothing that was run speaks, and no method of the catalogue would.
    pub stay_open: Vec<Mode>,
}

impl RunNext {
    /// The proposals that close a gap.
    pub fn gaps(&self) -> impl Iterator<Item = &NextRun> {
        self.runs.iter().filter(|run| run.closes.is_some())
    }

    /// The other proposals whose value covers their cost at a stake; empty: none is worth its cost.
    pub fn worth_their_cost(&self, stake: f64) -> impl Iterator<Item = &NextRun> {
        let settling = self.runs.iter().filter(|run| run.closes.is_none());
        settling.filter(move |run| run.is_worth(stake) == Some(true))
    }
}

/// What a wrong choice costs that misses by the whole way from known poor to known good, in the currency of the costs
/// (ours; a page lets it be changed).
pub const USUAL_STAKE: f64 = 100_000.0;

/// What to run next; nothing where nobody is in front or nobody is beside the front-runner. `standing` has its cautions.
pub(crate) fn run_next(known: &Known, standing: &Standing) -> RunNext {
    let Known {
        case,
        prepared,
        choice,
        weighed,
        kernel,
        ..
    } = *known;
    let doubt = weighed.split_of_doubt();
    let doubt = doubt.map(|[as_it_is, results_known, weights_known]| DoubtSplit {
        as_it_is,
        results_known,
        weights_known,
    });
    let not_advised = prepared.fitted_tests.iter().enumerate();
    let not_advised = not_advised
        .filter(|(at, _)| choice.weights[*at] <= 0.0 && choice.weights_if_sorting[*at] > 0.0)
        .map(|(_, place)| prepared.tests[*place].evidence.key().clone())
        .collect();
    let contenders = contenders(kernel);
    if contenders.len() < 2 {
        return RunNext {
            doubt,
            not_advised,
            ..RunNext::default()
        };
    }
    let wider = moves::wider(case.records);
    let elsewhere = moves::elsewhere(&wider, case);
    let elsewhere: Vec<&Test> = elsewhere.iter().collect();
    let mut methods = moves::in_trial(known, &contenders);
    methods.extend(moves::assumed(
        &elsewhere,
        Planned::NotInTrial,
        known,
        contenders.len(),
    ));
    let no_screens = rests_on_screens(standing);
    let is_advised = |method: &MethodMoves| !(no_screens && method.extreme);
    let in_trial = methods
        .iter()
        .filter(|method| method.planned == Planned::InTrial && !is_advised(method));
    let screens_not_advised = in_trial.flat_map(|method| method.tests.clone()).collect();
    methods.retain(is_advised);
    let nobody_ran = |test: &&Test| test.evidence.cells.iter().all(|cell| cell.results.is_empty());
    let not_run = prepared.tests.iter().filter(nobody_ran);
    let offered = not_run.map(|test| (test, Planned::InTrial));
    let offered = offered.chain(elsewhere.iter().map(|test| (*test, Planned::NotInTrial)));
    let offer = Offer {
        records: case.records,
        tests: offered
            .filter(|(test, _)| !(no_screens && test.likeness.is_extreme()))
            .collect(),
        moves: &methods,
        contenders: contenders.len(),
    };
    let gaps = offer.closing(&gaps::open(&prepared.tests, case.records));
    let asked = Asked {
        contenders: &contenders,
        standing: kernel,
        candidates: &prepared.candidates,
    };
    let everybody: Vec<usize> = (0..contenders.len()).collect();
    let closing = gaps.iter().filter_map(|(mode, method)| {
        Some(NextRun {
            closes: Some(*mode),
            ..asked.proposal(&[method.as_ref()?], &everybody)
        })
    });
    let mut runs: Vec<NextRun> = closing.collect();
    methods.retain(MethodMoves::moves_anything);
    let closed: Vec<Vec<TestKey>> = runs.iter().map(|run| run.tests.clone()).collect();
    methods.retain(|method| !closed.contains(&method.tests));
    runs.extend(kept(asked.proposals(&methods)));
    RunNext {
        runs,
        doubt,
        not_advised,
        screens_not_advised,
        stay_open: gaps
            .iter()
            .filter(|(_, method)| method.is_none())
            .map(|(mode, _)| *mode)
            .collect(),
    }
}

/// Whether a stop or a high caution says that the standing rests on screens.
fn rests_on_screens(standing: &Standing) -> bool {
    let extreme = |key: &TestKey| standing.test(key).is_some_and(|test| test.extreme);
    let says = |caution: &&Caution| match &caution.finding {
        Finding::RestsOnOneExtremeScreen { .. } | Finding::OnlyScreens { .. } => true,
        Finding::ClaimHinges(hinge) => hinge.tests.iter().all(extreme),
        _ => false,
    };
    let grave = standing
        .cautions
        .iter()
        .filter(|caution| caution.severity <= Severity::High);
    grave.filter(says).count() > 0
}

/// All proposals of one test of the trial, and of the others the first, which are worth most for their cost.
fn kept(mut runs: Vec<NextRun>) -> Vec<NextRun> {
    let mut others = 0;
    runs.retain(|run| {
        let own = run.planned == Planned::InTrial && run.methods.len() == 1;
        others += usize::from(!own);
        own || others <= OTHERS_KEPT
    });
    runs
}

/// The front-runner and those that may come to lead, by score.
fn contenders(standing: &Ranking) -> Vec<usize> {
    match standing.front_runner {
        Some(_) => may_lead(&standing.ranked, &standing.p_best),
        None => Vec::new(),
    }
}

/// Of candidates by score: the first two, and those that rank first often enough.
fn may_lead(ranked: &[usize], p_best: &[f64]) -> Vec<usize> {
    let ranked = ranked.iter().copied().enumerate();
    let may_lead = ranked.filter(|(rank, place)| *rank < 2 || p_best[*place] >= LEAST_CHANCE);
    may_lead.map(|(_, place)| place).take(CONTENDERS).collect()
}

/// What the sentence above the proposals has to say of settling the order.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NextFinding {
    /// There is no choice to improve.
    NothingToChoose,
    /// No single test or small bundle is worth its cost.
    NoneIsWorthIt,
    /// Some are.
    SomeAreWorthIt,
}

impl RunNext {
    /// What the proposals come to at a stake.
    pub fn finding(&self, stake: f64, no_leader_because: &[Doubt]) -> NextFinding {
        if self.doubt.is_none() || no_leader_because.contains(&Doubt::Alone) {
            NextFinding::NothingToChoose
        } else if self.worth_their_cost(stake).next().is_some() {
            NextFinding::SomeAreWorthIt
        } else {
            NextFinding::NoneIsWorthIt
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_contender_is_one_of_the_first_two_or_ranks_first_in_2_per_cent_of_the_draws() {
        for (p, may) in [(0.02 - 1e-9, false), (0.02, true), (0.02 + 1e-9, true)] {
            let contenders = may_lead(&[2, 0, 1], &[0.0, p, 0.9]);
            assert_eq!(contenders.contains(&1), may, "{p}");
            assert_eq!(contenders[..2], [2, 0], "{p}");
        }
    }

    #[test]
    fn there_are_four_contenders_at_most() {
        for (candidates, contenders) in [(3, 3), (4, 4), (5, 4)] {
            let ranked: Vec<usize> = (0..candidates).collect();
            assert_eq!(may_lead(&ranked, &[0.2; 5]), ranked[..contenders]);
        }
    }

    #[test]
    fn beside_the_single_tests_of_the_trial_six_proposals_are_kept() {
        let run = |planned: Planned, methods: usize| NextRun {
            tests: Vec::new(),
            methods: vec![String::new(); methods],
            blends: Vec::new(),
            value: 0.1,
            leader_changes: 0.1,
            cost: None,
            days: None,
            reference_runs: 0,
            closes: None,
            planned,
            basis: Basis::Measured,
        };
        for (others, left) in [(5, 5), (6, 6), (7, 6)] {
            let mut runs = vec![run(Planned::InTrial, 2); others];
            runs.extend(vec![run(Planned::InTrial, 1); 9]);
            assert_eq!(kept(runs).len(), left + 9, "{others}");
            assert_eq!(
                kept(vec![run(Planned::NotInTrial, 1); others]).len(),
                left,
                "{others}"
            );
        }
    }
}
