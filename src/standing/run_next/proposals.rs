//! Which methods on which contenders are worth most for their cost.

use crate::records::BlendCode;
use crate::standing::kernel::Ranking;
use crate::standing::run_next::moves::MethodMoves;
use crate::standing::run_next::{Basis, NextRun, Planned};
use crate::stats::value_of_information::{Change, Prospect, chance_of_another, expected_gain};

/// Methods that are tried in pairs.
const PAIRED: usize = 4;
/// Value below which a run changes nothing that could be seen.
const LEAST_VALUE: f64 = 1e-5;

/// Who is looked at, and how they stand.
pub(super) struct Asked<'a> {
    pub(super) contenders: &'a [usize],
    pub(super) standing: &'a Ranking,
    pub(super) candidates: &'a [&'a BlendCode],
}

impl Asked<'_> {
    /// The best proposal of every method and of the pairs of the best methods; the greatest value for its cost first. Two
    /// methods of one family that are both new tell much the same: they are no pair.
    pub(super) fn proposals(&self, methods: &[MethodMoves]) -> Vec<NextRun> {
        let sets = sets(self.contenders.len());
        let best = |chosen: &[&MethodMoves]| -> Option<NextRun> {
            let all = sets
                .iter()
                .map(|set| self.proposal(chosen, set))
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
        let pairs = pairs.iter().filter(|[one, other]| !tell_the_same(one, other));
        runs.extend(pairs.filter_map(|pair| best(pair)));
        runs.sort_by(order);
        runs
    }
}

/// Whether two methods are new and of one family of apparatus.
fn tell_the_same(one: &MethodMoves, other: &MethodMoves) -> bool {
    let new = |method: &MethodMoves| method.basis == Basis::Assumed;
    one.family == other.family && new(one) && new(other)
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

impl Asked<'_> {
    /// Every chosen method once on every contender of a set, by its place among them.
    pub(super) fn proposal(&self, chosen: &[&MethodMoves], set: &[usize]) -> NextRun {
        let change = |place: usize| {
            let moved = chosen
                .iter()
                .filter(|_| set.contains(&place))
                .map(|method| &method.changes[place]);
            moved.fold(Change::none(), |sum, change| sum.and(change))
        };
        let scores = &self.standing.scores;
        let mut prospects: Vec<Prospect> = (self.contenders.iter().enumerate())
            .map(|(place, candidate)| Prospect {
                score: scores[*candidate],
                change: change(place),
            })
            .collect();
        // Who is no contender keeps his score, and may still be second.
        let ranked = self.standing.ranked.iter();
        let others = ranked.filter(|place| !self.contenders.contains(place));
        prospects.extend(others.map(|place| Prospect {
            score: scores[*place],
            change: Change::none(),
        }));
        // of one method: all its runs, of an amount that each takes
        let of_runs = |amount: fn(&MethodMoves) -> Option<f64>| {
            let of_method = |method: &&MethodMoves| {
                amount(method).map(|each| each * (set.len() + method.reference_runs) as f64)
            };
            chosen.iter().map(of_method).collect::<Option<Vec<f64>>>()
        };
        NextRun {
            tests: chosen.iter().flat_map(|method| method.tests.clone()).collect(),
            methods: chosen.iter().map(|method| method.title.clone()).collect(),
            blends: set
                .iter()
                .map(|place| self.candidates[self.contenders[*place]].clone())
                .collect(),
            value: expected_gain(&prospects),
            leader_changes: chance_of_another(&prospects),
            cost: of_runs(|method| method.cost).map(|costs| costs.iter().sum()),
            days: of_runs(|method| method.days).map(|days| days.into_iter().fold(0.0, f64::max)),
            reference_runs: chosen.iter().map(|method| method.reference_runs).sum(),
            closes: None,
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
}

#[cfg(test)]
mod tests {
    use super::*;

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
}
