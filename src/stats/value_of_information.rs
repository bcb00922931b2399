//! What one further result would do to what is expected of a cell, before it is run.
//!
//! A result moves the expected position of its own cell only. How far, and how likely, follows from the cell's
//! posterior: what may be read, how probable each reading is, and the mean position after it. Several moves add up as
//! independent numbers; of several candidates the one with the greatest score will be chosen.

use crate::stats::cell::Distribution;
use crate::stats::normal;
use crate::stats::observation::Observation;

/// Points to which a posterior is gathered.
const POINTS: usize = 120;
/// Evenly spaced readings that stand for all that may be read.
const READINGS: usize = 40;
/// Most values that a change is kept with.
const KEPT: usize = 64;

/// What may be read.
#[derive(Clone, Debug, PartialEq)]
pub enum Readable {
    /// A number.
    Number,
    /// The interval between two of these steps, ascending, or below the first or above the last.
    Steps(Vec<f64>),
}

/// A few points with their probability, in place of a whole posterior.
#[derive(Clone, Debug, PartialEq)]
pub struct Points {
    values: Vec<f64>,
    weights: Vec<f64>,
}

impl Points {
    /// Neighbouring points of a distribution taken together, at their mean.
    pub fn of(distribution: &Distribution) -> Self {
        let mut matters = distribution.points();
        matters.retain(|(_, weight)| *weight > 1e-9);
        let mut points = Self {
            values: Vec::new(),
            weights: Vec::new(),
        };
        for part in matters.chunks(matters.len().div_ceil(POINTS).max(1)) {
            let sum: f64 = part.iter().map(|(_, w)| w).sum();
            let moment: f64 = part.iter().map(|(t, w)| w * t).sum();
            points.values.push(moment / sum);
            points.weights.push(sum);
        }
        points
    }

    /// A normal distribution, in equally spaced points over five standard deviations either side.
    pub fn normal(mean: f64, sd: f64) -> Self {
        let place = |i: usize| -5.0 + 10.0 * i as f64 / (POINTS - 1) as f64;
        let weights: Vec<f64> = (0..POINTS).map(|i| normal::log_density(place(i)).exp()).collect();
        let sum: f64 = weights.iter().sum();
        Self {
            values: (0..POINTS).map(|i| mean + sd * place(i)).collect(),
            weights: weights.into_iter().map(|weight| weight / sum).collect(),
        }
    }

    /// The values, ascending.
    pub fn values(&self) -> &[f64] {
        &self.values
    }

    /// What one reading that scatters with standard deviation `sd` would do to the mean of `position`, one number per
    /// point. The mean of the change is 0: nobody expects to change his mind in a known direction.
    pub fn change(&self, readable: &Readable, sd: f64, position: &[f64]) -> Change {
        // A reading finer than the points cannot be told from one that is as coarse as they are.
        let sd = sd.max(self.spacing());
        let readings = match readable {
            Readable::Number => self.numbers(sd),
            Readable::Steps(steps) => intervals(steps),
        };
        let before: f64 = self.weights.iter().zip(position).map(|(w, u)| w * u).sum();
        let moved = readings.into_iter().map(|reading| {
            let likelihood = self.values.iter().map(|t| reading.log_likelihood(*t, sd).exp());
            let (mut chance, mut moment) = (0.0, 0.0);
            for ((weight, u), likelihood) in self.weights.iter().zip(position).zip(likelihood) {
                chance += weight * likelihood;
                moment += weight * likelihood * u;
            }
            let after = if chance > 0.0 { moment / chance } else { before };
            (after - before, chance)
        });
        Change::of(moved.collect())
    }

    fn spacing(&self) -> f64 {
        let gaps = self.values.windows(2).map(|pair| pair[1] - pair[0]);
        gaps.fold(0.0, f64::max)
    }

    /// Evenly spaced readings over all that may be read; the density of each is its part of the whole.
    fn numbers(&self, sd: f64) -> Vec<Observation> {
        let (Some(first), Some(last)) = (self.values.first(), self.values.last()) else {
            return Vec::new();
        };
        let (lo, hi) = (first - 4.0 * sd, last + 4.0 * sd);
        let at = |i: usize| lo + (hi - lo) * (i as f64 + 0.5) / READINGS as f64;
        (0..READINGS).map(|i| Observation::Exact(at(i))).collect()
    }
}

fn intervals(steps: &[f64]) -> Vec<Observation> {
    let below = steps.first().map(|first| Observation::Below(*first));
    let above = steps.last().map(|last| Observation::Above(*last));
    let between = steps.windows(2).map(|pair| Observation::Between {
        lo: pair[0],
        hi: pair[1],
    });
    below.into_iter().chain(between).chain(above).collect()
}

/// How an expected value may change, and how likely each change is; ascending, mean 0.
#[derive(Clone, Debug, PartialEq)]
pub struct Change(Vec<(f64, f64)>);

impl Change {
    /// No change for certain.
    pub fn none() -> Self {
        Self(vec![(0.0, 1.0)])
    }

    fn of(mut values: Vec<(f64, f64)>) -> Self {
        let total: f64 = values.iter().map(|(_, chance)| chance).sum();
        if total.is_nan() || total <= 0.0 {
            return Self::none();
        }
        let mean = values.iter().map(|(by, chance)| by * chance).sum::<f64>() / total;
        for (by, chance) in &mut values {
            *by -= mean;
            *chance /= total;
        }
        values.sort_by(|a, b| a.0.total_cmp(&b.0));
        Self(values).kept_short()
    }

    /// The change `factor` times as large (factor at least 0).
    pub fn times(&self, factor: f64) -> Self {
        Self(self.0.iter().map(|(by, chance)| (by * factor, *chance)).collect())
    }

    /// Two independent changes together.
    pub fn and(&self, other: &Self) -> Self {
        let both = |(by, chance): &(f64, f64)| {
            let (by, chance) = (*by, *chance);
            other
                .0
                .iter()
                .map(move |(other_by, other_chance)| (by + other_by, chance * other_chance))
        };
        Self::of(self.0.iter().flat_map(both).collect())
    }

    /// Neighbouring values taken together at their mean until few are left.
    fn kept_short(self) -> Self {
        if self.0.len() <= KEPT {
            return self;
        }
        let mut short: Vec<(f64, f64)> = Vec::with_capacity(KEPT);
        let (mut part, mut moment, mut passed) = (0.0, 0.0, 0.0);
        for (by, chance) in self.0 {
            part += chance;
            moment += by * chance;
            if passed + part >= (short.len() + 1) as f64 / KEPT as f64 && part > 0.0 {
                short.push((moment / part, part));
                passed += part;
                (part, moment) = (0.0, 0.0);
            }
        }
        if part > 0.0 {
            short.push((moment / part, part));
        }
        Self(short)
    }
}

/// A score today, and how it may change.
#[derive(Clone, Debug, PartialEq)]
pub struct Prospect {
    /// Score today.
    pub score: f64,
    /// What the further results may do to it.
    pub change: Change,
}

impl Prospect {
    /// What the score may become, ascending. Sums are compared with sums, so that a value is level with itself.
    fn scores(&self) -> impl Iterator<Item = (f64, f64)> + '_ {
        self.change
            .0
            .iter()
            .map(|(by, chance)| (self.score + by, *chance))
    }

    fn at_most(&self, x: f64) -> f64 {
        let there = self.scores().take_while(|(score, _)| *score <= x);
        there.map(|(_, chance)| chance).sum()
    }

    fn below(&self, x: f64) -> f64 {
        let there = self.scores().take_while(|(score, _)| *score < x);
        there.map(|(_, chance)| chance).sum()
    }

    /// Chance to lie below `x`. Where the score moves, its values stand for a spread of them, so that being level is as
    /// often above as below; where it does not move, level is not above.
    fn not_above(&self, x: f64) -> f64 {
        if self.change == Change::none() {
            return self.at_most(x);
        }
        0.5 * (self.below(x) + self.at_most(x))
    }
}

/// What is won on average by choosing after the results instead of today.
///
/// # Formula
/// `E[max_i (s_i + d_i)] - max_i s_i`, the d_i independent with mean 0: the expected value of sample information for a
/// choice by the greatest expected score. Never negative. Exact for the values the changes are kept with.
pub fn expected_gain(prospects: &[Prospect]) -> f64 {
    let today = prospects
        .iter()
        .map(|one| one.score)
        .fold(f64::NEG_INFINITY, f64::max);
    let mut values: Vec<f64> = prospects
        .iter()
        .flat_map(|one| one.scores().map(|(score, _)| score))
        .collect();
    values.sort_by(f64::total_cmp);
    values.dedup();
    let (mut expected, mut before) = (0.0, 0.0);
    for value in values {
        let here: f64 = prospects.iter().map(|one| one.at_most(value)).product();
        expected += value * (here - before);
        before = here;
    }
    (expected - today).max(0.0)
}

/// Chance that another than the first of the list has the greatest score afterwards; level does not count.
pub fn chance_of_another(prospects: &[Prospect]) -> f64 {
    let Some((first, others)) = prospects.split_first() else {
        return 0.0;
    };
    let stays = |(by, chance): &(f64, f64)| {
        let score = first.score + by;
        let all: f64 = others.iter().map(|other| other.not_above(score)).product();
        chance * all
    };
    (1.0 - first.change.0.iter().map(stays).sum::<f64>()).clamp(0.0, 1.0)
}

#[cfg(test)]
mod tests;
