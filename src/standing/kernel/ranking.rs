//! The standing: scores, first places, ranks, and what the front-runner's lead rests on.

use rayon::prelude::*;

use crate::standing::kernel::influence::{
    FAMILY_CORRELATION, TestTipping, effective_number, lead_shares, tipping,
};
use crate::standing::kernel::selection::Weighed;
use crate::standing::kernel::tally::{Order, count_firsts, count_order};

/// Score with a candidate's missing cells at the worst and at the best position.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Fill {
    /// Missing cells at -head-room.
    pub worst: f64,
    /// Missing cells at 1 + head-room.
    pub best: f64,
}

/// What can be claimed of one candidate on what is weighed.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Claim {
    /// Part of the draws in which it ranks first; ties share.
    pub p_best: f64,
    /// The smallest part of the draws in which it is above any single rival; ties count half, 1 without a rival.
    pub least_win: f64,
    /// Share of the weight on tests that were run on it.
    pub coverage: f64,
    /// Whether with its own gaps filled worst it is still above every rival with its gaps filled best.
    pub holds_when_filled: bool,
}

/// The front-runner's lead over the runner-up.
#[derive(Clone, Debug, PartialEq)]
pub struct Lead {
    /// Runner-up, by place in the input.
    pub rival: usize,
    /// Difference of the two scores.
    pub difference: f64,
    /// Share of the lead that each test supplies; above 1: without it the two change places. `None` when level.
    pub shares: Option<Vec<f64>>,
}

/// Everything about one selection. Lists follow the input's candidates or tests. Where nothing is weighed or nobody is
/// in the standing there is no front-runner, and probabilities and scores are 0. Candidates that are out have
/// probabilities 0 and a score all the same.
#[derive(Clone, Debug, PartialEq)]
pub struct Ranking {
    /// Greatest score with mean weights.
    pub front_runner: Option<usize>,
    /// Candidates of the standing, greatest score first.
    pub ranked: Vec<usize>,
    /// Score with mean weights and mean positions (computed on grids, no random numbers).
    pub scores: Vec<f64>,
    /// 5 % and 95 % points of the score over the draws.
    pub score_intervals: Vec<(f64, f64)>,
    /// Part of the draws in which the candidate ranks first; ties share.
    pub p_best: Vec<f64>,
    /// Part of the draws with rank 1, 2, ... (second index); ties share.
    pub rank_probabilities: Vec<Vec<f64>>,
    /// Part of the draws in which the first candidate is above the second; ties count half, 1/2 against itself.
    pub pairwise_wins: Vec<Vec<f64>>,
    /// Greatest Monte Carlo standard error of a probability of ranking first.
    pub monte_carlo_error: f64,
    /// Mean weight per test, 0 where it does not count.
    pub weights: Vec<f64>,
    /// Sum of the mean weights.
    pub total_weight: f64,
    /// Mean position per candidate (first index) and test.
    pub mean_positions: Vec<Vec<f64>>,
    /// Share of the weight on tests that were run, per candidate.
    pub coverage: Vec<f64>,
    /// Score with missing cells filled worst and best, per candidate.
    pub fills: Vec<Fill>,
    /// What the front-runner may claim on this selection.
    pub claim: Claim,
    /// Lead over the runner-up; `None` with fewer than two candidates.
    pub lead: Option<Lead>,
    /// Weight factors at which a rival draws level, per test.
    pub tipping: Vec<TestTipping>,
    /// Effective number of tests with 0.8 correlation within a family of apparatus.
    pub effective_tests: f64,
}

impl Ranking {
    /// The same where no order of the candidates is asked for: nobody is in front, nothing is led.
    pub(crate) fn without_order(self) -> Self {
        Self {
            front_runner: None,
            lead: None,
            ..self
        }
    }
}

impl Weighed<'_> {
    /// The standing, on the same draws as every other.
    pub fn ranking(&self) -> Ranking {
        let mut standing = self.without_draws();
        if standing.front_runner.is_some() {
            self.add_draws(&mut standing);
        }
        standing
    }

    /// All that follows from mean weights and mean positions.
    pub(super) fn without_draws(&self) -> Ranking {
        let number = self.fitted.input.candidate_streams.len();
        let total_weight = self.total_weight(|_| false);
        let scores = self.scores(|_| false);
        let ranked = self.ranked(&scores);
        let front = ranked.first().copied().filter(|_| total_weight > 0.0);
        let mean_positions: Vec<Vec<f64>> = (0..number)
            .map(|i| (0..self.weights.len()).map(|k| self.mean(k, i)).collect())
            .collect();
        let in_order = |values: &[f64]| -> Vec<f64> { self.counted.iter().map(|&k| values[k]).collect() };
        let families: Vec<&str> = self
            .counted
            .iter()
            .map(|&k| self.fitted.input.tests[k].family.as_str())
            .collect();
        let counted_weights = in_order(&self.weights);
        let nothing = |_: usize| false;
        let fills: Vec<Fill> = (0..number).map(|i| self.fill(i, &nothing)).collect();
        Ranking {
            front_runner: front,
            score_intervals: scores.iter().map(|&s| (s, s)).collect(),
            p_best: vec![0.0; number],
            rank_probabilities: vec![vec![0.0; number]; number],
            pairwise_wins: vec![vec![0.0; number]; number],
            monte_carlo_error: 0.0,
            weights: self.weights.clone(),
            total_weight,
            coverage: (0..number).map(|i| self.coverage(i, &nothing)).collect(),
            claim: front.map_or_else(Claim::default, |front| self.claim(front, &ranked, &nothing)),
            lead: front.and_then(|f| self.lead(f, *ranked.get(1)?, &scores, &mean_positions)),
            tipping: front.map_or_else(
                || vec![TestTipping::default(); self.weights.len()],
                |f| self.tipping_of(f, &mean_positions),
            ),
            effective_tests: effective_number(&counted_weights, &families, FAMILY_CORRELATION),
            fills,
            mean_positions,
            ranked,
            scores,
        }
    }

    fn was_run(&self, candidate: usize, test: usize) -> bool {
        self.fitted.tests[test].candidates[candidate].results > 0
    }

    /// What can be said of a candidate before anything is counted over draws.
    pub(super) fn claim(&self, of: usize, ranked: &[usize], left_out: &impl Fn(usize) -> bool) -> Claim {
        let number = self.fitted.input.candidate_streams.len();
        let fills: Vec<Fill> = (0..number).map(|i| self.fill(i, left_out)).collect();
        Claim {
            p_best: 0.0,
            least_win: 0.0,
            coverage: self.coverage(of, left_out),
            holds_when_filled: holds_when_filled(of, ranked, &fills),
        }
    }

    fn coverage(&self, candidate: usize, left_out: &impl Fn(usize) -> bool) -> f64 {
        let total = self.total_weight(left_out);
        let counted = self.counted.iter().filter(|k| !left_out(**k));
        let run = counted.filter(|k| self.was_run(candidate, **k));
        if total > 0.0 {
            run.map(|&k| self.weights[k]).sum::<f64>() / total
        } else {
            0.0
        }
    }

    fn fill(&self, candidate: usize, left_out: &impl Fn(usize) -> bool) -> Fill {
        let total = self.total_weight(left_out);
        let with = |missing: f64| {
            let position = |k: usize| {
                if self.was_run(candidate, k) {
                    self.mean(k, candidate)
                } else {
                    missing
                }
            };
            let counted = self.counted.iter().filter(|k| !left_out(**k));
            let sum: f64 = counted.map(|&k| self.weights[k] * position(k)).sum();
            if total > 0.0 { sum / total } else { 0.0 }
        };
        Fill {
            worst: with(-self.head_room),
            best: with(1.0 + self.head_room),
        }
    }

    /// Values of the counted tests in summing order, so that sums do not depend on the input's order.
    fn counted_of(&self, values: &[f64]) -> Vec<f64> {
        self.counted.iter().map(|&k| values[k]).collect()
    }

    fn lead(&self, front: usize, rival: usize, scores: &[f64], positions: &[Vec<f64>]) -> Option<Lead> {
        let of = |values: &[f64]| self.counted_of(values);
        let shares = lead_shares(&of(&self.weights), &of(&positions[front]), &of(&positions[rival]));
        let to_input_order = |shares: Vec<f64>| {
            let mut all = vec![0.0; self.weights.len()];
            self.counted
                .iter()
                .zip(shares)
                .for_each(|(&k, share)| all[k] = share);
            all
        };
        Some(Lead {
            rival,
            difference: scores[front] - scores[rival],
            shares: shares.map(to_input_order),
        })
    }

    fn tipping_of(&self, front: usize, positions: &[Vec<f64>]) -> Vec<TestTipping> {
        let mut rivals: Vec<usize> = self.present.iter().copied().filter(|&i| i != front).collect();
        rivals.sort_by_key(|&i| self.fitted.input.candidate_streams[i]);
        let counted: Vec<(usize, Vec<f64>)> = rivals
            .into_iter()
            .map(|i| (i, self.counted_of(&positions[i])))
            .collect();
        let borrowed: Vec<(usize, &[f64])> = counted.iter().map(|(i, p)| (*i, p.as_slice())).collect();
        let tips = tipping(
            &self.counted_of(&self.weights),
            &self.counted_of(&positions[front]),
            &borrowed,
        );
        let mut all = vec![TestTipping::default(); self.weights.len()];
        self.counted.iter().zip(tips).for_each(|(&k, tip)| all[k] = tip);
        all
    }

    /// All that is counted over the draws.
    fn add_draws(&self, standing: &mut Ranking) {
        let n = self.present.len();
        let counted: Vec<_> = self
            .stretches()
            .into_par_iter()
            .map(|(from, len)| {
                let stretch = self.stretch(from, len);
                let mut firsts = vec![0.0; n];
                count_firsts(&stretch.sums, &stretch.total, &mut firsts);
                let order = count_order(&stretch.sums, &stretch.total, n);
                ((firsts, order), (stretch.total, stretch.sums))
            })
            .collect();
        let (parts, stretches): (Vec<_>, Vec<_>) = counted.into_iter().unzip();
        let draws = self.fitted.input.draws as f64;
        for (a, &i) in self.present.iter().enumerate() {
            standing.p_best[i] = parts.iter().map(|(firsts, _)| firsts[a]).sum::<f64>() / draws;
            for (b, &j) in self.present.iter().enumerate() {
                let sum = |of: fn(&Order) -> &[f64]| {
                    parts.iter().map(|(_, order)| of(order)[a * n + b]).sum::<f64>() / draws
                };
                standing.rank_probabilities[i][b] = sum(|order| &order.ranks);
                standing.pairwise_wins[i][j] = if i == j { 0.5 } else { sum(|order| &order.wins) };
            }
        }
        if let Some(front) = standing.front_runner {
            let rivals = self.present.iter().filter(|rival| **rival != front);
            let wins = rivals.map(|rival| standing.pairwise_wins[front][*rival]);
            standing.claim.p_best = standing.p_best[front];
            standing.claim.least_win = wins.fold(1.0, f64::min);
        }
        let error = |p: &f64| (p * (1.0 - p)).max(0.0).sqrt() / draws.sqrt();
        standing.monte_carlo_error = standing.p_best.iter().map(error).fold(0.0, f64::max);
        let intervals: Vec<(f64, f64)> = (0..n)
            .into_par_iter()
            .map(|a| {
                let scores = stretches.iter().flat_map(|(total, sums)| {
                    let sums = &sums[a * total.len()..][..total.len()];
                    sums.iter().zip(total).map(|(sum, total)| sum / total)
                });
                middle_90(scores.collect())
            })
            .collect();
        self.present
            .iter()
            .zip(intervals)
            .for_each(|(&i, interval)| standing.score_intervals[i] = interval);
        self.kept
            .get_or_init(|| stretches.into_iter().map(|(_, sums)| sums).collect());
    }
}

/// Whether a front-runner with its own gaps filled worst is above every rival with its gaps filled best.
fn holds_when_filled(front: usize, ranked: &[usize], fills: &[Fill]) -> bool {
    let mut rivals = ranked.iter().filter(|place| **place != front);
    rivals.all(|&rival| fills[front].worst > fills[rival].best)
}

/// 5 % and 95 % points of at least one number (nearest rank).
fn middle_90(mut values: Vec<f64>) -> (f64, f64) {
    let last = values.len() - 1;
    let mut at = |part: f64| {
        let place = (part * last as f64).round() as usize;
        *values.select_nth_unstable_by(place, f64::total_cmp).1
    };
    (at(0.05), at(0.95))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_front_runner_at_its_worst_must_be_above_every_rival_at_its_best() {
        const FRONT: Fill = Fill {
            worst: 0.5,
            best: 0.9,
        };
        for (best, holds) in [(0.5 - 1e-9, true), (0.5, false), (0.5 + 1e-9, false)] {
            let rival = Fill { worst: 0.1, best };
            let low = Fill {
                worst: 0.0,
                best: 0.2,
            };
            assert_eq!(
                holds_when_filled(0, &[0, 1, 2], &[FRONT, low, rival]),
                holds,
                "{best}"
            );
            // who is out of the standing is no rival
            assert!(holds_when_filled(0, &[0, 1], &[FRONT, low, rival]), "{best}");
        }
    }
}
