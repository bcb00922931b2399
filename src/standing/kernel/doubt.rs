//! Where the doubt about the front-runner comes from: the results, or the weights.

use crate::standing::kernel::selection::{Resolved, Selection};
use crate::standing::kernel::tally::count_firsts;
use crate::standing::kernel::weights::WeightDraws;
use crate::standing::kernel::{Fitted, KernelError};
use rayon::prelude::*;
use std::borrow::Cow;

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
