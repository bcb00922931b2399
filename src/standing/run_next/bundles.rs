//! Single methods and pairs of methods, on one contender or several.

use crate::records::BlendCode;
use crate::standing::kernel::Standing;
use crate::standing::run_next::moves::MethodMoves;
use crate::standing::run_next::{Basis, NextRun, Planned};
use crate::stats::value_of_information::{Change, Prospect, chance_of_another, expected_gain};

/// Methods that are tried in pairs.
const PAIRED: usize = 4;
/// Value below which a run changes nothing that could be seen.
const LEAST_VALUE: f64 = 1e-5;

/// The best proposal of every method and of the pairs of the best methods; the greatest value for its cost first.
pub(super) fn proposals(
    methods: &[MethodMoves],
    contenders: &[usize],
    standing: &Standing,
    candidates: &[&BlendCode],
) -> Vec<NextRun> {
    let on = |chosen: &[&MethodMoves], on: &[usize]| proposal(chosen, on, contenders, standing, candidates);
    let sets = sets(contenders.len());
    let best = |chosen: &[&MethodMoves]| -> Option<NextRun> {
        let all = sets
            .iter()
            .map(|set| on(chosen, set))
            .filter(|run| run.value > LEAST_VALUE);
        all.reduce(|best, other| if better(&other, &best) { other } else { best })
    };
    let mut singles: Vec<(NextRun, &MethodMoves)> = methods
        .iter()
        .filter_map(|method| best(&[method]).map(|run| (run, method)))
        .collect();
    singles.sort_by(|a, b| order(&a.0, &b.0));
    let paired: Vec<&MethodMoves> = singles.iter().take(PAIRED).map(|(_, method)| *method).collect();
    let mut runs: Vec<NextRun> = singles.into_iter().map(|(run, _)| run).collect();
    for (place, first) in paired.iter().enumerate() {
        for second in &paired[place + 1..] {
            runs.extend(best(&[first, second]));
        }
    }
    runs.sort_by(order);
    runs
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
    standing: &Standing,
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
