//! What to run next: how much a further run is expected to improve the choice, for its cost and its days.
//!
//! # Formula
//! With mean weights the score is additive, so a run moves only the expected positions of its own cells. The value of a
//! run is `E[max_i S_i] - max_i S_i`, the expected value of sample information, in score between the known poor (0) and
//! the known good (1) reference oil. Runs count as made beside the reference oils, in one block. Weights are taken as
//! they are: testing settles results, never weights, and [`DoubtSplit`] says how much of the doubt is either's.
//!
//! A test that was never run has no reference oils yet: its scale is taken as for a test with one reference, a gap of
//! twice the reproducibility (ours). Tests that do not sort lubricants in this trial are not advised.

use crate::records::{BlendCode, TestKey};
use crate::standing::facts::Known;
use crate::standing::kernel::Ranking;
use crate::standing::run_next::moves::MethodMoves;
use crate::standing::summary::Doubt;
use crate::stats::value_of_information::{Change, Prospect, chance_of_another, expected_gain};
use serde::Serialize;

mod moves;

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
    /// Cost of all its runs; `None` where a method's is not known.
    pub cost: Option<f64>,
    /// Days until all are done: runs of one method follow each other, methods run side by side.
    pub days: Option<f64>,
    /// Whether the trial names them.
    #[serde(skip)]
    pub planned: Planned,
    /// What the scale rests on.
    #[serde(skip)]
    pub basis: Basis,
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
    /// Proposals, the greatest value for its cost first; those without a known cost last, by value.
    pub runs: Vec<NextRun>,
    /// Where the doubt comes from; `None` where nobody is in front.
    pub doubt: Option<DoubtSplit>,
    /// Tests with a weight that are not advised, since they do not sort lubricants in this trial.
    pub not_advised: Vec<TestKey>,
}

impl RunNext {
    /// The proposals whose value covers their cost at a stake; empty: none is worth its cost.
    pub fn worth_their_cost(&self, stake: f64) -> impl Iterator<Item = &NextRun> {
        self.runs
            .iter()
            .filter(move |run| run.is_worth(stake) == Some(true))
    }
}

/// What a wrong choice costs that misses by the whole way from known poor to known good, in the currency of the costs
/// (ours; a page lets it be changed).
pub const USUAL_STAKE: f64 = 100_000.0;

/// What to run next; nothing where nobody is in front or nobody is beside the front-runner.
pub(crate) fn run_next(known: &Known) -> RunNext {
    let Known {
        case,
        prepared,
        choice,
        fitted,
        kernel,
        ..
    } = *known;
    let doubt = fitted.split_of_doubt(&choice.selection).ok().flatten();
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
            runs: Vec::new(),
        };
    }
    let mut methods = moves::in_trial(known, &contenders);
    methods.extend(moves::elsewhere(case, kernel, &contenders));
    methods.retain(MethodMoves::moves_anything);
    let runs = proposals(&methods, &contenders, kernel, &prepared.candidates);
    RunNext {
        runs: kept(runs),
        doubt,
        not_advised,
    }
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

/// What the sentence above the proposals has to say.
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

/// Methods that are tried in pairs.
const PAIRED: usize = 4;
/// Value below which a run changes nothing that could be seen.
const LEAST_VALUE: f64 = 1e-5;

/// The best proposal of every method and of the pairs of the best methods; the greatest value for its cost first.
fn proposals(
    methods: &[MethodMoves],
    contenders: &[usize],
    standing: &Ranking,
    candidates: &[&BlendCode],
) -> Vec<NextRun> {
    let on = |chosen: &[&MethodMoves], on: &[usize]| proposal(chosen, on, contenders, standing, candidates);
    let sets = sets(contenders.len());
    let best = |chosen: &[&MethodMoves]| -> Option<NextRun> {
        let all = sets
            .iter()
            .map(|set| on(chosen, set))
            .filter(|run| changes_something(run.value));
        all.reduce(|best, other| if better(&other, &best) { other } else { best })
    };
    let mut singles: Vec<(NextRun, &MethodMoves)> = methods
        .iter()
        .filter_map(|method| best(&[method]).map(|run| (run, method)))
        .collect();
    singles.sort_by(|a, b| order(&a.0, &b.0));
    let pairs = pairs(singles.iter().map(|(_, method)| *method));
    let mut runs: Vec<NextRun> = singles.into_iter().map(|(run, _)| run).collect();
    runs.extend(pairs.iter().filter_map(|pair| best(pair)));
    runs.sort_by(order);
    runs
}

/// Whether a proposal of this value could change what is seen.
fn changes_something(value: f64) -> bool {
    value > LEAST_VALUE
}

/// Each two of the first four.
fn pairs<T: Copy>(best_first: impl Iterator<Item = T>) -> Vec<[T; 2]> {
    let paired: Vec<T> = best_first.take(PAIRED).collect();
    let with_later = |(place, first): (usize, &T)| {
        let first = *first;
        paired[place + 1..].iter().map(move |second| [first, *second])
    };
    paired.iter().enumerate().flat_map(with_later).collect()
}

/// Which contenders are run: each alone, the first two, all.
fn sets(contenders: usize) -> Vec<Vec<usize>> {
    let mut sets: Vec<Vec<usize>> = (0..contenders).map(|one| vec![one]).collect();
    sets.push(vec![0, 1]);
    if contenders > 2 {
        sets.push((0..contenders).collect());
    }
    sets
}

fn better(one: &NextRun, other: &NextRun) -> bool {
    order(one, other).is_lt()
}

/// The greater value for its cost first; without a cost the greater value, after all that have one.
fn order(one: &NextRun, other: &NextRun) -> std::cmp::Ordering {
    let known = |run: &NextRun| run.per_cost().unwrap_or(-1.0);
    known(other)
        .total_cmp(&known(one))
        .then(other.value.total_cmp(&one.value))
        .then(one.tests.cmp(&other.tests))
        .then(one.blends.cmp(&other.blends))
}

fn proposal(
    chosen: &[&MethodMoves],
    set: &[usize],
    contenders: &[usize],
    standing: &Ranking,
    candidates: &[&BlendCode],
) -> NextRun {
    let change = |place: usize| {
        let moved = chosen
            .iter()
            .filter(|_| set.contains(&place))
            .map(|method| &method.changes[place]);
        moved.fold(Change::none(), |sum, change| sum.and(change))
    };
    let mut prospects: Vec<Prospect> = contenders
        .iter()
        .enumerate()
        .map(|(place, candidate)| Prospect {
            score: standing.scores[*candidate],
            change: change(place),
        })
        .collect();
    // Who is no contender keeps his score, and may still be second.
    let others = standing.ranked.iter().filter(|place| !contenders.contains(place));
    prospects.extend(others.map(|place| Prospect {
        score: standing.scores[*place],
        change: Change::none(),
    }));
    let runs = set.len() as f64;
    let all = |of: fn(&MethodMoves) -> Option<f64>| {
        chosen
            .iter()
            .map(|method| of(method))
            .collect::<Option<Vec<f64>>>()
    };
    NextRun {
        tests: chosen.iter().flat_map(|method| method.tests.clone()).collect(),
        methods: chosen.iter().map(|method| method.title.clone()).collect(),
        blends: set
            .iter()
            .map(|place| candidates[contenders[*place]].clone())
            .collect(),
        value: expected_gain(&prospects),
        leader_changes: chance_of_another(&prospects),
        cost: all(|method| method.cost).map(|costs| runs * costs.iter().sum::<f64>()),
        days: all(|method| method.days).map(|days| runs * days.into_iter().fold(0.0, f64::max)),
        planned: chosen
            .iter()
            .map(|method| method.planned)
            .max()
            .unwrap_or(Planned::InTrial),
        basis: chosen
            .iter()
            .map(|method| method.basis)
            .max()
            .unwrap_or(Basis::Measured),
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
    fn the_four_best_methods_are_tried_in_pairs() {
        assert_eq!(pairs(0..1), [[0; 2]; 0]);
        assert_eq!(pairs(0..3), [[0, 1], [0, 2], [1, 2]]);
        let of_four = [[0, 1], [0, 2], [0, 3], [1, 2], [1, 3], [2, 3]];
        assert_eq!(pairs(0..4), of_four);
        assert_eq!(pairs(0..5), of_four);
    }

    #[test]
    fn a_proposal_changes_something_above_a_hundred_thousandth() {
        for (value, changes) in [(0.0, false), (0.99e-5, false), (1e-5, false), (1.01e-5, true)] {
            assert_eq!(changes_something(value), changes, "{value}");
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
