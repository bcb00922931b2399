//! Who is in front, and how often, when tests are left out.

use std::collections::BTreeSet;

use rayon::prelude::*;

use crate::standing::kernel::selection::Resolved;
use crate::standing::kernel::tally::count_firsts;
use crate::standing::kernel::{Fitted, KernelError, Selection, Standing};

/// The standing in short without some tests. Lists follow the input's candidates.
#[derive(Clone, Debug, PartialEq)]
pub struct LeftOut {
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
    ) -> Result<Vec<LeftOut>, KernelError> {
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
    ) -> Result<(Standing, Vec<LeftOut>), KernelError> {
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
    fn leave_out(&self, sets: &[BTreeSet<usize>]) -> Result<Vec<LeftOut>, KernelError> {
        let tests = self.fitted.tests.len();
        let mut last = sets.iter().filter_map(|set| set.last());
        if let Some(last) = last.find(|k| **k >= tests) {
            return Err(KernelError::NotThere(format!("left-out test {last}")));
        }
        let firsts = self.firsts_without(sets);
        let in_short = sets.iter().zip(firsts);
        Ok(in_short.map(|(set, firsts)| self.short(set, firsts)).collect())
    }

    fn short(&self, set: &BTreeSet<usize>, firsts: Vec<f64>) -> LeftOut {
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
        LeftOut {
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
