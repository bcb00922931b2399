//! Weights per draw. A method has one uncertain weight; its quantities share it in fixed proportions, because one run
//! has one vote.

use std::collections::BTreeMap;
use std::sync::Arc;

use rayon::prelude::*;

use crate::catalogue::MethodId;
use crate::standing::fit_cache::ByKey;
use crate::standing::kernel::{KernelInput, TestInput};
use crate::stats::draws::{Stream, StreamKey, UncertainWeight};

/// The methods and their tests, in the order of their names and keys.
#[derive(Clone, Debug)]
pub(super) struct Methods {
    names: Vec<MethodId>,
    /// The family of each: methods of one family take their own weights at one quantile of the doubt.
    families: Vec<String>,
    members: Vec<Vec<usize>>,
    /// Method of each test.
    of_test: Vec<usize>,
}

impl Methods {
    pub(super) fn new(tests: &[TestInput], order: &[usize]) -> Self {
        let mut by_name: BTreeMap<&MethodId, Vec<usize>> = BTreeMap::new();
        for &k in order {
            by_name.entry(&tests[k].method).or_default().push(k);
        }
        let mut of_test = vec![0; tests.len()];
        for (m, members) in by_name.values().enumerate() {
            members.iter().for_each(|&k| of_test[k] = m);
        }
        Self {
            names: by_name.keys().map(|name| (*name).clone()).collect(),
            families: by_name
                .values()
                .map(|members| tests[members[0]].family.clone())
                .collect(),
            members: by_name.into_values().collect(),
            of_test,
        }
    }

    fn sum(&self, method: usize, weights: &[f64]) -> f64 {
        self.members[method].iter().map(|&k| weights[k]).sum()
    }

    /// Every method weighs the same; its tests (those not excluded) share the weight in proportion to `weights`, or
    /// evenly where all of those are 0.
    pub(super) fn equal(&self, weights: &[f64], excluded: impl Fn(usize) -> bool) -> Vec<f64> {
        let mut equal = vec![0.0; weights.len()];
        for members in &self.members {
            let present: Vec<usize> = members.iter().copied().filter(|&k| !excluded(k)).collect();
            let sum: f64 = present.iter().map(|&k| weights[k]).sum();
            for &k in &present {
                equal[k] = if sum > 0.0 {
                    weights[k] / sum
                } else {
                    1.0 / present.len() as f64
                };
            }
        }
        equal
    }
}

/// Weights that were drawn before: a method with the same mean has the same draws in every what-if, so they need not be
/// drawn twice.
pub(super) type DrawnBefore = Arc<ByKey<DrawnAs, Arc<Vec<f64>>, MOST_DRAWN>>;

/// Most lists of drawn weights that are held: 40 MB of the usual length (ours).
const MOST_DRAWN: usize = 256;

/// Family, mean, concentration, draws and seed of drawn weights.
pub(super) type DrawnAs = (String, u64, u64, usize, u64);

/// The weight of every test in every draw: its share of its method, times the method's drawn weight.
#[derive(Clone, Debug)]
pub(super) struct WeightDraws {
    shares: Vec<f64>,
    method: Vec<usize>,
    drawn: Vec<Arc<Vec<f64>>>,
}

impl WeightDraws {
    /// Each method's weight from a Beta with its mean and the input's concentration; the family's random numbers serve all
    /// of its methods.
    pub(super) fn uncertain(
        methods: &Methods,
        weights: &[f64],
        input: &KernelInput,
        before: &DrawnBefore,
    ) -> Self {
        Self::new(methods, weights, input.draws, |mean, method| {
            let family = &methods.families[method];
            let concentration = input.concentration.to_bits();
            let drawn_as = (
                family.clone(),
                mean.to_bits(),
                concentration,
                input.draws,
                input.seed,
            );
            before.get_or(drawn_as, || {
                let mut stream = Stream::new(input.seed, StreamKey::new("weight").text(family).value());
                // check_weights holds the mean within 0..=1 but for rounding, and the concentration is checked
                let weight = UncertainWeight::new(mean.min(1.0), input.concentration);
                Arc::new(
                    weight.map_or_else(|| vec![mean; input.draws], |w| w.draws(input.draws, &mut stream)),
                )
            })
        })
    }

    /// The same weights in every draw.
    pub(super) fn certain(methods: &Methods, weights: &[f64], input: &KernelInput) -> Self {
        Self::new(methods, weights, input.draws, |mean, _| {
            Arc::new(vec![mean; input.draws])
        })
    }

    /// All proportions of the methods equally likely (exponential numbers, uniform once divided by their sum).
    pub(super) fn flat(methods: &Methods, weights: &[f64], input: &KernelInput) -> Self {
        Self::new(methods, weights, input.draws, |_, method| {
            let name = &methods.names[method];
            let mut stream = Stream::new(input.seed, StreamKey::new("flat").text(name.as_str()).value());
            Arc::new((0..input.draws).map(|_| stream.exponential()).collect())
        })
    }

    fn new(
        methods: &Methods,
        weights: &[f64],
        draws: usize,
        draw: impl Fn(f64, usize) -> Arc<Vec<f64>> + Sync + Send,
    ) -> Self {
        let sums: Vec<f64> = (0..methods.families.len())
            .map(|m| methods.sum(m, weights))
            .collect();
        let nothing = Arc::new(vec![0.0; draws]);
        let drawn = (sums.par_iter().enumerate())
            .map(|(method, &sum)| {
                if sum > 0.0 {
                    draw(sum, method)
                } else {
                    Arc::clone(&nothing)
                }
            })
            .collect();
        let share = |(k, &weight): (usize, &f64)| {
            let sum = sums[methods.of_test[k]];
            if sum > 0.0 { weight / sum } else { 0.0 }
        };
        Self {
            shares: weights.iter().enumerate().map(share).collect(),
            method: methods.of_test.clone(),
            drawn,
        }
    }

    /// Whether they are the other's, draw by draw.
    pub(super) fn are(&self, other: &Self) -> bool {
        let mut pairs = self.drawn.iter().zip(&other.drawn);
        self.shares == other.shares
            && self.method == other.method
            && self.drawn.len() == other.drawn.len()
            && pairs.all(|(one, other)| Arc::ptr_eq(one, other) || one == other)
    }

    /// Weights of test `k` in `draws` from `from` on, written to `out`.
    pub(super) fn write(&self, k: usize, from: usize, out: &mut [f64]) {
        let share = self.shares[k];
        let drawn = &self.drawn[self.method[k]][from..from + out.len()];
        out.iter_mut()
            .zip(drawn)
            .for_each(|(weight, drawn)| *weight = share * drawn);
    }
}
