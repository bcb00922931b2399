//! Prior times likelihood on a grid: moments, quantiles, comparisons and draws.

use crate::stats::cell::likelihoods::Likelihoods;
use crate::stats::cell::part::Part;
use crate::stats::cell::{Grid, Prior};
use crate::stats::observation::Observation;

/// Points with weight from which on a grid is fine enough for a posterior.
const ENOUGH: usize = 102;

/// Points of the grid over the part that matters, where the whole grid is too coarse: some twenty to a standard deviation.
const FINER: usize = 401;

/// The posterior of one cell, kept where it has weight. Between the points the density is taken as flat within each
/// point's interval.
#[derive(Clone, Debug)]
pub struct Posterior {
    grid: Grid,
    /// Place in the grid of the first point with weight.
    first: usize,
    /// Probability of each point's interval, of those with weight; they add up to 1.
    weights: Vec<f64>,
    /// Probability up to the upper edge of each point's interval; the last is exactly 1.
    cumulative: Vec<f64>,
    mean: f64,
    #[cfg_attr(
        not(feature = "facade"),
        expect(dead_code, reason = "checks of the grid look at it")
    )]
    edge_mass: f64,
}

impl Posterior {
    /// Posterior from results, on the grid of `likelihoods` and with what it has kept. `None` where results and prior exclude
    /// each other so far that no point of the grid has any weight. Results are summed in their fixed order.
    ///
    /// When the grid is too coarse for the posterior, it is computed again on the part of the grid that matters: a
    /// normal prior times these likelihoods is log-concave, so that part is one interval.
    pub fn from_likelihoods(
        prior: Prior,
        likelihoods: &Likelihoods,
        observations: &[Observation],
    ) -> Option<Self> {
        let mut sorted = observations.to_vec();
        sorted.sort_by(Observation::order);
        let mut part = Part::of(prior, likelihoods, &sorted)?;
        let edges = part.edge_mass();
        for _ in 0..8 {
            if part.points() >= ENOUGH {
                break;
            }
            let finer = Likelihoods::new(part.finer_grid(FINER), likelihoods.sd);
            part = Part::of(prior, &finer, &sorted)?;
        }
        Self::from_part(&part, edges)
    }

    /// The distribution whose log density is `log_density`, log-concave and known up to a constant, on the part of
    /// `lo..=hi` that matters; `None` where it has no weight there.
    pub(crate) fn of_density(lo: f64, hi: f64, log_density: impl Fn(f64) -> f64) -> Option<Self> {
        let part = |grid: Grid| {
            let column: Vec<f64> = grid.points().map(&log_density).collect();
            Part::that_matters(grid, 0, &column)
        };
        let part = part(part(Grid::between(lo, hi, Grid::POINTS))?.finer_grid(Grid::POINTS))?;
        Self::from_part(&part, part.edge_mass())
    }

    fn from_part(part: &Part, edge_mass: f64) -> Option<Self> {
        let mut weights = part.weights();
        let total: f64 = weights.iter().sum();
        if !total.is_finite() || total <= 0.0 {
            return None;
        }
        weights.iter_mut().for_each(|w| *w /= total);
        let (grid, first) = (part.grid, part.first);
        let weighted = weights.iter().zip(grid.points_from(first));
        let mean: f64 = weighted.map(|(w, t)| w * t).sum();
        let cumulative = running_sum_to_one(&weights);
        Some(Self {
            grid,
            first,
            weights,
            cumulative,
            mean,
            edge_mass,
        })
    }

    /// The points with weight and the probability of each one's interval; the probabilities add up to 1.
    pub fn points(&self) -> impl ExactSizeIterator<Item = (f64, f64)> + '_ {
        self.grid
            .points_from(self.first)
            .zip(self.weights.iter().copied())
    }

    /// Mean on the working scale.
    pub fn mean(&self) -> f64 {
        self.mean
    }

    /// Standard deviation on the working scale.
    #[cfg(feature = "facade")]
    pub fn sd(&self) -> f64 {
        let variance: f64 = self.points().map(|(t, w)| w * (t - self.mean).powi(2)).sum();
        variance.sqrt()
    }

    /// Probability that fell on the two outermost points: above about 1e-6 the grid cuts something off.
    #[cfg(feature = "facade")]
    pub fn edge_mass(&self) -> f64 {
        self.edge_mass
    }

    /// Probability that the value is at most `x`.
    #[inline]
    pub fn probability_below(&self, x: f64) -> f64 {
        let place = self.place(x);
        if place <= 0.0 {
            return 0.0;
        }
        if place >= self.weights.len() as f64 {
            return 1.0;
        }
        let i = place as usize;
        let before = if i == 0 { 0.0 } else { self.cumulative[i - 1] };
        before + (place - i as f64) * self.weights[i]
    }

    /// Probability that the value is above `x`.
    #[cfg(feature = "facade")]
    pub fn probability_above(&self, x: f64) -> f64 {
        1.0 - self.probability_below(x)
    }

    /// Where `x` falls, in steps from the lower edge of the interval of the first point with weight.
    #[inline]
    fn place(&self, x: f64) -> f64 {
        self.grid.place(x) - self.first as f64
    }

    /// Value below which the probability is `p`: the inverse of the piecewise straight cumulative probability, so a
    /// uniform number in [0, 1) becomes a draw that is spread inside the point's interval.
    pub fn quantile(&self, p: f64) -> f64 {
        let p = p.clamp(0.0, 1.0);
        self.quantile_at(p, self.cumulative.partition_point(|c| *c <= p))
    }

    /// The quantile of each of several probabilities, asked for in rising order.
    pub(crate) fn quantiles_in_order(&self) -> impl FnMut(f64) -> f64 + '_ {
        let mut i = 0;
        move |p| {
            while self.cumulative.get(i).is_some_and(|c| *c <= p) {
                i += 1;
            }
            self.quantile_at(p, i)
        }
    }

    /// The quantile of a probability that is reached within the interval of weighted point `i`, or of the last one.
    #[inline]
    fn quantile_at(&self, p: f64, i: usize) -> f64 {
        let i = i.min(self.weights.len() - 1);
        let before = if i == 0 { 0.0 } else { self.cumulative[i - 1] };
        let within = if self.weights[i] > 0.0 {
            ((p - before) / self.weights[i]).min(1.0)
        } else {
            0.5
        };
        self.grid.point(self.first + i) + (within - 0.5) * self.grid.step()
    }
}

/// The last is exactly 1, so that no draw lands beyond the last point.
fn running_sum_to_one(weights: &[f64]) -> Vec<f64> {
    let last = weights.len() - 1;
    let mut sum = 0.0;
    let add = |(i, w): (usize, &f64)| {
        sum += w;
        if i < last { f64::min(sum, 1.0) } else { 1.0 }
    };
    weights.iter().enumerate().map(add).collect()
}
