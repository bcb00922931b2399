//! The lead over each other candidate: which change of weights would take it away.

use crate::records::{BlendCode, TestKey};
use crate::standing::facts::Known;
use crate::standing::kernel::{Ranking, common_factor, tipping_factors};
use crate::standing::prepare::Prepared;
use crate::standing::rests_on::key_at;
use serde::Serialize;
use std::collections::BTreeMap;

/// The smallest common change of weights that levels the front-runner and a rival: every test that favours the
/// front-runner weighs so much less, every test that favours the rival so much more.
///
/// Of all changes that level the two it has the smallest greatest factor; see
/// [`common_factor`].
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct CommonChange {
    /// The factor, at least 1.
    pub factor: f64,
    /// Tests whose weight is multiplied by it, those that tell most first.
    pub raise: Vec<TestKey>,
    /// Tests whose weight is divided by it, those that tell most first.
    pub lower: Vec<TestKey>,
}

/// The front-runner's lead over one other candidate.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Rival {
    /// The other candidate.
    pub blend: BlendCode,
    /// Difference of the scores.
    pub lead: f64,
    /// Share of draws in which the front-runner scores above it.
    pub front_wins: f64,
    /// Tests whose weight alone levels the two, with the factor on it: below 1 it falls, above 1 it rises.
    pub tips: BTreeMap<TestKey, f64>,
    /// The common change that levels the two; `None` where no test favours the rival, so that no weights put it in front.
    #[serde(rename = "common_change")]
    pub change: Option<CommonChange>,
}

/// Contributions w |d| below this are no difference.
const NOTHING: f64 = 1e-9;

/// Every rival of the front-runner, greatest score first.
pub(crate) fn rivals(known: &Known) -> Vec<Rival> {
    let Known { prepared, kernel, .. } = *known;
    let Some(front) = kernel.front_runner else {
        return Vec::new();
    };
    let others = kernel.ranked.iter().filter(|place| **place != front);
    others
        .map(|place| rival(prepared, kernel, front, *place))
        .collect()
}

fn rival(prepared: &Prepared, kernel: &Ranking, front: usize, place: usize) -> Rival {
    // in the order of their keys, so that sums do not depend on the order of tests
    let mut order: Vec<usize> = (0..kernel.weights.len())
        .filter(|at| kernel.weights[*at] > 0.0)
        .collect();
    order.sort_by_key(|at| key_at(prepared, *at));
    let of = |values: &[f64]| -> Vec<f64> { order.iter().map(|at| values[*at]).collect() };
    let weights = of(&kernel.weights);
    let (own, others) = (
        of(&kernel.mean_positions[front]),
        of(&kernel.mean_positions[place]),
    );
    let factors = order.iter().zip(tipping_factors(&weights, &own, &others));
    let tips = factors.filter_map(|(at, factor)| Some((key_at(prepared, *at), factor?)));
    let change = common_factor(&weights, &own, &others).map(|factor| {
        let mut parts: Vec<(TestKey, f64)> = (0..order.len())
            .map(|i| (key_at(prepared, order[i]), weights[i] * (own[i] - others[i])))
            .filter(|(_, part)| part.abs() > NOTHING)
            .collect();
        parts.sort_by(|a, b| b.1.abs().total_cmp(&a.1.abs()).then(a.0.cmp(&b.0)));
        let keys = |sign: f64| {
            let of_sign = parts.iter().filter(|(_, part)| sign * part > 0.0);
            of_sign.map(|(key, _)| key.clone()).collect()
        };
        CommonChange {
            factor,
            raise: keys(-1.0),
            lower: keys(1.0),
        }
    });
    Rival {
        blend: prepared.candidates[place].clone(),
        lead: kernel.scores[front] - kernel.scores[place],
        front_wins: kernel.pairwise_wins[front][place],
        tips: tips.collect(),
        change,
    }
}
