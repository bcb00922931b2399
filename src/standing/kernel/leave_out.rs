//! Who is in front, and how often, when tests are left out, and where the doubt about it comes from.

use crate::standing::kernel::input::Missing;
use crate::standing::kernel::selection::Weighed;
use crate::standing::kernel::tally::{Stretch, count_firsts, count_wins};
use crate::standing::kernel::{Claim, KernelError, Ranking};
use rayon::prelude::*;
use std::cmp::Reverse;
use std::collections::BTreeSet;

/// The standing in short without some tests. Lists follow the input's candidates.
#[derive(Clone, Debug, PartialEq)]
pub struct ShortRanking {
    /// Greatest score with mean weights; `None` where nothing is left.
    pub front_runner: Option<usize>,
    /// Part of the draws in which the candidate ranks first; all 0 where nothing is left.
    pub p_best: Vec<f64>,
    /// Score with mean weights and mean positions; all 0 where nothing is left.
    pub scores: Vec<f64>,
    /// Sum of the mean weights that are left.
    pub total_weight: f64,
    /// What the candidate asked about may claim, or else the front-runner; nothing where nothing is left.
    pub claim: Claim,
}

/// Tests that are left out (places in the input), and whose claim is looked at: the front-runner's of what is left where
/// no candidate is named.
#[derive(Clone, Debug, Default)]
pub struct WithoutTests {
    /// The tests.
    pub tests: BTreeSet<usize>,
    /// The candidate, by place in the input.
    pub claim_of: Option<usize>,
}

impl From<BTreeSet<usize>> for WithoutTests {
    fn from(tests: BTreeSet<usize>) -> Self {
        Self {
            tests,
            claim_of: None,
        }
    }
}

impl Weighed<'_> {
    /// The standing without what is counted over the draws beside first places and the front-runner's claim (no ranks,
    /// wins and intervals), and in short without each set of tests.
    ///
    /// # Errors
    /// [`KernelError`] when a set names what is not there.
    pub(crate) fn first_places(
        &self,
        sets: &[WithoutTests],
    ) -> Result<(Ranking, Vec<ShortRanking>), KernelError> {
        let mut standing = self.without_draws();
        let with_none: Vec<WithoutTests> = sets.iter().cloned().chain([WithoutTests::default()]).collect();
        let mut without = self.leave_out(&with_none)?;
        if let Some(whole) = without.pop() {
            standing.p_best = whole.p_best;
            standing.claim = whole.claim;
        }
        Ok((standing, without))
    }

    /// Who is in front without some tests; `None` where nothing is left.
    pub(crate) fn front_without(&self, set: &BTreeSet<usize>) -> Option<usize> {
        let left_out = |k: usize| set.contains(&k);
        let ranked = self.ranked(&self.scores(left_out));
        ranked
            .first()
            .copied()
            .filter(|_| self.total_weight(left_out) > 0.0)
    }

    /// For each set of tests, the standing in short without them, on the same draws.
    ///
    /// # Errors
    /// [`KernelError`] when a set names what is not there.
    pub fn leave_out(&self, sets: &[WithoutTests]) -> Result<Vec<ShortRanking>, KernelError> {
        let tests = self.fitted.tests.len();
        let mut last = sets.iter().filter_map(|set| set.tests.last());
        if let Some(last) = last.find(|k| **k >= tests) {
            return Err(KernelError::NotThere(Missing::LeftOutTest(*last)));
        }
        let claimants: Vec<Option<usize>> = sets
            .iter()
            .map(|set| {
                let front = self.front_without(&set.tests)?;
                Some(set.claim_of.unwrap_or(front))
            })
            .collect();
        let counted = self.count_without(sets, &claimants);
        let in_short = sets.iter().zip(claimants).zip(counted);
        Ok(in_short
            .map(|((set, claimant), counted)| self.short(&set.tests, claimant, &counted))
            .collect())
    }

    fn short(&self, set: &BTreeSet<usize>, claimant: Option<usize>, counted: &Counted) -> ShortRanking {
        let left_out = |k: usize| set.contains(&k);
        let scores = self.scores(left_out);
        let ranked = self.ranked(&scores);
        let mut p_best = vec![0.0; scores.len()];
        let draws = self.fitted.input.draws as f64;
        if claimant.is_some() {
            for (&i, first) in self.present.iter().zip(&counted.firsts) {
                p_best[i] = first / draws;
            }
        }
        let claim = |of: usize| {
            let wins = self.present.iter().zip(&counted.wins);
            let of_rivals = wins.filter(|(rival, _)| **rival != of);
            Claim {
                p_best: p_best[of],
                least_win: of_rivals.map(|(_, wins)| wins / draws).fold(1.0, f64::min),
                ..self.claim(of, &ranked, &left_out)
            }
        };
        ShortRanking {
            front_runner: claimant.and_then(|_| ranked.first().copied()),
            claim: claimant.map(claim).unwrap_or_default(),
            total_weight: self.total_weight(left_out),
            p_best,
            scores,
        }
    }

    /// First places per set and present candidate, and how often the claimant is above each: the sums of all tests less
    /// those of the set, draw by draw.
    fn count_without(&self, sets: &[WithoutTests], claimants: &[Option<usize>]) -> Vec<Counted> {
        let n = self.present.len();
        let place = |claimant: &Option<usize>| self.present.iter().position(|i| Some(*i) == *claimant);
        // what is left out most often is taken away first, once for all sets that begin alike
        let how_often = |at: &usize| {
            let left_out = sets.iter().filter(|set| set.tests.contains(&self.counted[*at]));
            left_out.count()
        };
        let mut often_first: Vec<usize> = (0..self.counted.len()).collect();
        often_first.sort_by_cached_key(|at| Reverse(how_often(at)));
        let asked: Vec<Asked> = sets
            .iter()
            .zip(claimants)
            .map(|(set, claimant)| {
                let gone = often_first.iter().copied();
                let gone = gone.filter(|&at| set.tests.contains(&self.counted[at]));
                (gone.collect(), place(claimant))
            })
            .collect();
        // a method of one quantity, its quantity, and a screen together with all screens ask the same more than once
        let mut unlike = asked.clone();
        unlike.sort_unstable();
        unlike.dedup();
        let parts: Vec<Vec<Counted>> = self
            .stretches()
            .into_par_iter()
            .map(|(from, len)| {
                let stretch = self.stretch(from, len);
                self.count_in(&stretch, &stretch.sums, &unlike, 0)
            })
            .collect();
        let sum = |asked: &Asked| {
            let mut sum = Counted::none(n);
            if let Ok(place) = unlike.binary_search(asked) {
                parts.iter().for_each(|part| sum.add(&part[place]));
            }
            sum
        };
        asked.iter().map(sum).collect()
    }

    /// Counts each of some sets in one stretch, in their order. All of them begin with so many tests alike, and the sums
    /// are without those.
    fn count_in(&self, stretch: &Stretch, sums: &[f64], sets: &[Asked], alike: usize) -> Vec<Counted> {
        let mut counted = Vec::with_capacity(sets.len());
        let mut ahead = sets;
        while let [(gone, claimant), others @ ..] = ahead {
            let Some(next) = gone.get(alike) else {
                counted.push(Counted::of(sums, &stretch.total, *claimant));
                ahead = others;
                continue;
            };
            let (branch, others) = ahead.split_at(ahead.partition_point(|(gone, _)| gone[alike] <= *next));
            // they are sorted: what the last has in common with the first, all have
            let last = branch.last().map_or(&[][..], |(gone, _)| gone);
            let common = gone.iter().zip(last).take_while(|(one, other)| one == other);
            let common = common.count();
            let mut without = sums.to_vec();
            self.sum(&mut without, stretch, &gone[alike..common], |sum, term| {
                sum - term
            });
            counted.extend(self.count_in(stretch, &without, branch, common));
            ahead = others;
        }
        counted
    }
}

/// Places among the counted tests of those that are left out, and the claimant's among the present candidates.
type Asked = (Vec<usize>, Option<usize>);

/// Draws in which each present candidate is first, and in which the claimant is above it.
struct Counted {
    firsts: Vec<f64>,
    wins: Vec<f64>,
}

impl Counted {
    fn none(candidates: usize) -> Self {
        Self {
            firsts: vec![0.0; candidates],
            wins: vec![0.0; candidates],
        }
    }

    fn of(sums: &[f64], total: &[f64], claimant: Option<usize>) -> Self {
        let mut counted = Self::none(sums.len() / total.len());
        count_firsts(sums, total, &mut counted.firsts);
        if let Some(claimant) = claimant {
            count_wins(claimant, sums, total, &mut counted.wins);
        }
        counted
    }

    fn add(&mut self, other: &Self) {
        let add = |(sum, one): (&mut f64, &f64)| *sum += one;
        self.firsts.iter_mut().zip(&other.firsts).for_each(add);
        self.wins.iter_mut().zip(&other.wins).for_each(add);
    }
}

impl Weighed<'_> {
    /// Part of the draws in which the front-runner ranks first: as it is, with every position at its mean (only the
    /// weights are open), with every weight at its mean (only the results are open). `None` where nobody is in front.
    pub(crate) fn split_of_doubt(&self) -> Option<[f64; 3]> {
        if self.total_weight(|_| false) <= 0.0 {
            return None;
        }
        let ranked = self.ranked(&self.scores(|_| false));
        let front = ranked.first()?;
        let front = self.present.iter().position(|i| i == front)?;
        Some([
            self.share_of_firsts(front, Positions::Drawn),
            self.share_of_firsts(front, Positions::Means),
            self.with_certain_weights()
                .share_of_firsts(front, Positions::Drawn),
        ])
    }
}

/// Which positions are weighed.
#[derive(Clone, Copy)]
enum Positions {
    Drawn,
    Means,
}

impl Weighed<'_> {
    fn share_of_firsts(&self, front: usize, positions: Positions) -> f64 {
        let stretches = self.stretches();
        let counts: Vec<f64> = stretches
            .par_iter()
            .map(|&(from, len)| {
                let stretch = match positions {
                    Positions::Drawn => self.stretch(from, len),
                    Positions::Means => self.stretch_of_means(from, len),
                };
                let mut firsts = vec![0.0; self.present.len()];
                count_firsts(&stretch.sums, &stretch.total, &mut firsts);
                firsts[front]
            })
            .collect();
        counts.iter().sum::<f64>() / self.fitted.input.draws as f64
    }

    fn stretch_of_means(&self, from: usize, len: usize) -> Stretch {
        let mut stretch = self.stretch_of_weights(from, len);
        let mut sums = vec![0.0; self.present.len() * len];
        let weights = stretch.weights.chunks_exact(len);
        for (&k, weights) in self.counted.iter().zip(weights) {
            for (&i, sums) in self.present.iter().zip(sums.chunks_exact_mut(len)) {
                let mean = self.mean(k, i);
                sums.iter_mut()
                    .zip(weights)
                    .for_each(|(sum, weight)| *sum += weight * mean);
            }
        }
        stretch.sums = sums;
        stretch
    }
}
