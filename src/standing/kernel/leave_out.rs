//! Who is in front, and how often, when tests are left out, and where the doubt about it comes from.

use crate::standing::kernel::input::Missing;
use crate::standing::kernel::selection::Resolved;
use crate::standing::kernel::tally::count_firsts;
use crate::standing::kernel::weights::WeightDraws;
use crate::standing::kernel::{Fitted, KernelError, Ranking, Selection};
use rayon::prelude::*;
use std::borrow::Cow;
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
}

impl Fitted {
    /// For each set of tests (places in the input), the standing in short without them, on the same draws.
    ///
    /// # Errors
    /// [`KernelError`] when the selection or a set names what is not there.
    pub fn leave_out(
        &self,
        selection: &Selection,
        sets: &[BTreeSet<usize>],
    ) -> Result<Vec<ShortRanking>, KernelError> {
        self.resolve(selection)?.leave_out(sets)
    }

    /// The standing without what is counted over the draws beside first places (no ranks, wins and intervals), and in
    /// short without each set of tests.
    ///
    /// # Errors
    /// As for [`Fitted::leave_out`].
    pub fn first_places(
        &self,
        selection: &Selection,
        sets: &[BTreeSet<usize>],
    ) -> Result<(Ranking, Vec<ShortRanking>), KernelError> {
        let resolved = self.resolve(selection)?;
        let mut standing = resolved.without_draws();
        let with_none: Vec<BTreeSet<usize>> = sets.iter().cloned().chain([BTreeSet::new()]).collect();
        let mut without = resolved.leave_out(&with_none)?;
        if let Some(whole) = without.pop() {
            standing.p_best = whole.p_best;
        }
        Ok((standing, without))
    }
}

impl Resolved<'_> {
    fn leave_out(&self, sets: &[BTreeSet<usize>]) -> Result<Vec<ShortRanking>, KernelError> {
        let tests = self.fitted.tests.len();
        let mut last = sets.iter().filter_map(|set| set.last());
        if let Some(last) = last.find(|k| **k >= tests) {
            return Err(KernelError::NotThere(Missing::LeftOutTest(*last)));
        }
        let firsts = self.firsts_without(sets);
        let in_short = sets.iter().zip(firsts);
        Ok(in_short.map(|(set, firsts)| self.short(set, firsts)).collect())
    }

    fn short(&self, set: &BTreeSet<usize>, firsts: Vec<f64>) -> ShortRanking {
        let total_weight = self.total_weight(|k| set.contains(&k));
        let scores = self.scores(|k| set.contains(&k));
        let mut p_best = vec![0.0; scores.len()];
        if total_weight > 0.0 {
            let draws = self.fitted.input.draws as f64;
            self.present
                .iter()
                .zip(firsts)
                .for_each(|(&i, first)| p_best[i] = first / draws);
        }
        ShortRanking {
            front_runner: self
                .ranked(&scores)
                .first()
                .copied()
                .filter(|_| total_weight > 0.0),
            p_best,
            scores,
            total_weight,
        }
    }

    /// First places per set and present candidate: the sums of all tests less those of the set, draw by draw.
    fn firsts_without(&self, sets: &[BTreeSet<usize>]) -> Vec<Vec<f64>> {
        let n = self.present.len();
        let places: Vec<Vec<usize>> = sets
            .iter()
            .map(|set| {
                (0..self.counted.len())
                    .filter(|&at| set.contains(&self.counted[at]))
                    .collect()
            })
            .collect();
        let parts: Vec<Vec<f64>> = self
            .stretches()
            .into_par_iter()
            .map(|(from, len)| {
                let stretch = self.stretch(from, len);
                let mut firsts = vec![0.0; sets.len() * n];
                let mut sums = stretch.sums.clone();
                for (places, firsts) in places.iter().zip(firsts.chunks_exact_mut(n.max(1))) {
                    sums.copy_from_slice(&stretch.sums);
                    for &at in places {
                        let weights = &stretch.weights[at * len..(at + 1) * len];
                        self.add(&mut sums, self.counted[at], weights, from, -1.0);
                    }
                    count_firsts(&sums, &stretch.total, firsts);
                }
                firsts
            })
            .collect();
        let sum = |at: usize| parts.iter().map(|part| part[at]).sum::<f64>();
        (0..sets.len())
            .map(|set| (0..n).map(|i| sum(set * n + i)).collect())
            .collect()
    }
}

impl Fitted {
    /// Part of the draws in which the front-runner ranks first: as it is, with every position at its mean (only the
    /// weights are open), with every weight at its mean (only the results are open). `None` where nobody is in front.
    ///
    /// # Errors
    /// [`KernelError`] when the selection names what is not there or its weights are out of range.
    pub fn split_of_doubt(&self, selection: &Selection) -> Result<Option<[f64; 3]>, KernelError> {
        let open = self.resolve(selection)?;
        if open.total_weight(|_| false) <= 0.0 {
            return Ok(None);
        }
        let ranked = open.ranked(&open.scores(|_| false));
        let Some(front) = ranked
            .first()
            .and_then(|front| open.present.iter().position(|i| i == front))
        else {
            return Ok(None);
        };
        let mut certain = self.resolve(selection)?;
        certain.draws = Cow::Owned(WeightDraws::certain(&self.methods, &certain.weights, &self.input));
        Ok(Some([
            open.share_of_firsts(front, Positions::Drawn),
            open.share_of_firsts(front, Positions::Means),
            certain.share_of_firsts(front, Positions::Drawn),
        ]))
    }
}

/// Which positions are weighed.
#[derive(Clone, Copy)]
enum Positions {
    Drawn,
    Means,
}

impl Resolved<'_> {
    fn share_of_firsts(&self, front: usize, positions: Positions) -> f64 {
        let stretches = self.stretches();
        let counts: Vec<f64> = stretches
            .par_iter()
            .map(|&(from, len)| {
                let mut stretch = self.stretch(from, len);
                if let Positions::Means = positions {
                    self.put_means(&mut stretch.sums, &stretch.weights, len);
                }
                let mut firsts = vec![0.0; self.present.len()];
                count_firsts(&stretch.sums, &stretch.total, &mut firsts);
                firsts[front]
            })
            .collect();
        counts.iter().sum::<f64>() / self.fitted.input.draws as f64
    }

    fn put_means(&self, sums: &mut [f64], weights: &[f64], len: usize) {
        sums.fill(0.0);
        for (&k, weights) in self.counted.iter().zip(weights.chunks_exact(len)) {
            for (&i, sums) in self.present.iter().zip(sums.chunks_exact_mut(len)) {
                let mean = self.means[k][i];
                sums.iter_mut()
                    .zip(weights)
                    .for_each(|(sum, weight)| *sum += weight * mean);
            }
        }
    }
}
