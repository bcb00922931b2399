//! Prior times likelihood on a grid: moments, quantiles, comparisons and draws.

use thiserror::Error;

use crate::stats::cell::likelihoods::Likelihoods;
use crate::stats::cell::{Grid, NEGLIGIBLE, Prior};
use crate::stats::observation::Observation;

/// Entries of the table that says where to start the search for a quantile.
const GUIDE: usize = 2048;

/// A cell that cannot be computed.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum CellError {
    /// The results and the prior exclude each other so far that no point of the grid has any weight.
    #[error("the results leave no value possible")]
    NothingPossible,
}

/// The posterior of one cell. Between the points the density is taken as flat within each point's interval.
#[derive(Clone, Debug)]
pub struct Posterior {
    grid: Grid,
    weights: Vec<f64>,
    /// Probability up to the upper edge of each point's interval; the last is exactly 1.
    cumulative: Vec<f64>,
    /// Integral of the cumulative probability up to each upper edge.
    integral: Vec<f64>,
    guide: Vec<u16>,
    mean: f64,
    sd: f64,
    edge_mass: f64,
}

impl Posterior {
    /// Posterior from results that scatter with standard deviation `sd`, on the grid that covers prior and `range`.
    ///
    /// # Errors
    /// [`CellError::NothingPossible`].
    pub fn from_results(
        prior: Prior,
        range: Option<(f64, f64)>,
        observations: &[Observation],
        sd: f64,
    ) -> Result<Self, CellError> {
        let likelihoods = Likelihoods::new(Grid::covering(prior, range, sd), sd);
        Self::from_likelihoods(prior, &likelihoods, observations)
    }

    /// The same on the grid of `likelihoods`, with what it has kept. Results are summed in their fixed order.
    ///
    /// When the grid is too coarse for the posterior, it is computed again on the part of the grid that matters: a
    /// normal prior times these likelihoods is log-concave, so that part is one interval.
    ///
    /// # Errors
    /// [`CellError::NothingPossible`].
    pub fn from_likelihoods(
        prior: Prior,
        likelihoods: &Likelihoods,
        observations: &[Observation],
    ) -> Result<Self, CellError> {
        let mut sorted = observations.to_vec();
        sorted.sort_by(Observation::order);
        let mut log_posterior = log_posterior(prior, likelihoods, &sorted);
        let mut weights = relative_weights(&log_posterior);
        let edges = edge_mass(&weights);
        let mut grid = likelihoods.grid;
        for _ in 0..8 {
            let (from, to) = part_that_matters(&log_posterior).ok_or(CellError::NothingPossible)?;
            if to - from > 100 {
                break;
            }
            grid = Grid::between(
                grid.point(from.saturating_sub(1)),
                grid.point((to + 1).min(Grid::POINTS - 1)),
            );
            let finer = Likelihoods::new(grid, likelihoods.sd);
            log_posterior = self::log_posterior(prior, &finer, &sorted);
            weights = relative_weights(&log_posterior);
        }
        Self::from_weights(grid, weights, edges)
    }

    /// The distribution whose log density is `log_density`, log-concave and known up to a constant, on the part of
    /// `lo..=hi` that matters.
    ///
    /// # Errors
    /// [`CellError::NothingPossible`].
    pub(crate) fn of_density(lo: f64, hi: f64, log_density: impl Fn(f64) -> f64) -> Result<Self, CellError> {
        let column = |grid: Grid| -> Vec<f64> { grid.points().map(&log_density).collect() };
        let wide = Grid::between(lo, hi);
        let (from, to) = part_that_matters(&column(wide)).ok_or(CellError::NothingPossible)?;
        let grid = Grid::between(
            wide.point(from.saturating_sub(1)),
            wide.point((to + 1).min(Grid::POINTS - 1)),
        );
        let weights = relative_weights(&column(grid));
        let edges = edge_mass(&weights);
        Self::from_weights(grid, weights, edges)
    }

    fn from_weights(grid: Grid, mut weights: Vec<f64>, edge_mass: f64) -> Result<Self, CellError> {
        let total: f64 = weights.iter().sum();
        if !total.is_finite() || total <= 0.0 {
            return Err(CellError::NothingPossible);
        }
        weights.iter_mut().for_each(|w| *w /= total);
        let mean: f64 = weights.iter().zip(grid.points()).map(|(w, t)| w * t).sum();
        let variance: f64 = weights
            .iter()
            .zip(grid.points())
            .map(|(w, t)| w * (t - mean).powi(2))
            .sum();
        let cumulative = running_sum_to_one(&weights);
        Ok(Self {
            integral: integrate(&cumulative, grid.step()),
            guide: search_guide(&cumulative),
            grid,
            weights,
            cumulative,
            mean,
            sd: variance.sqrt(),
            edge_mass,
        })
    }

    /// The grid it stands on.
    pub fn grid(&self) -> Grid {
        self.grid
    }

    /// Probability of each point's interval; they add up to 1.
    pub fn weights(&self) -> &[f64] {
        &self.weights
    }

    /// Mean on the working scale.
    pub fn mean(&self) -> f64 {
        self.mean
    }

    /// Standard deviation on the working scale.
    pub fn sd(&self) -> f64 {
        self.sd
    }

    /// Probability that fell on the two outermost points: above about 1e-6 the grid cuts something off.
    pub fn edge_mass(&self) -> f64 {
        self.edge_mass
    }

    /// Probability that the value is at most `x`.
    #[inline]
    pub fn probability_below(&self, x: f64) -> f64 {
        let place = self.grid.place(x);
        if place <= 0.0 {
            return 0.0;
        }
        if place >= Grid::POINTS as f64 {
            return 1.0;
        }
        let i = place as usize;
        let before = if i == 0 { 0.0 } else { self.cumulative[i - 1] };
        before + (place - i as f64) * self.weights[i]
    }

    /// Probability that the value is above `x`.
    pub fn probability_above(&self, x: f64) -> f64 {
        1.0 - self.probability_below(x)
    }

    /// Value below which the probability is `p`: the inverse of the piecewise straight cumulative probability, so a
    /// uniform number in [0, 1) becomes a draw that is spread inside the point's interval.
    #[inline]
    pub fn quantile(&self, p: f64) -> f64 {
        let p = p.clamp(0.0, 1.0);
        let mut i = usize::from(self.guide[((p * GUIDE as f64) as usize).min(GUIDE - 1)]);
        while self.cumulative[i] <= p && i < Grid::POINTS - 1 {
            i += 1;
        }
        self.quantile_at(p, i)
    }

    /// The quantile of each of several probabilities, asked for in rising order.
    pub(crate) fn quantiles_in_order(&self) -> impl FnMut(f64) -> f64 + '_ {
        let mut i = 0;
        move |p| {
            while self.cumulative[i] <= p && i < Grid::POINTS - 1 {
                i += 1;
            }
            self.quantile_at(p, i)
        }
    }

    /// The quantile of a probability that is reached within the interval of point `i`.
    #[inline]
    fn quantile_at(&self, p: f64, i: usize) -> f64 {
        let before = if i == 0 { 0.0 } else { self.cumulative[i - 1] };
        let within = if self.weights[i] > 0.0 {
            ((p - before) / self.weights[i]).min(1.0)
        } else {
            0.5
        };
        self.grid.point(i) + (within - 0.5) * self.grid.step()
    }

    /// Mean of the value held within `lo..=hi` (lo <= hi): hi minus the integral of the cumulative probability.
    #[inline]
    pub fn mean_within(&self, lo: f64, hi: f64) -> f64 {
        hi - (self.integral_below(hi) - self.integral_below(lo))
    }

    /// Integral of the cumulative probability from minus infinity to `x`.
    #[inline]
    fn integral_below(&self, x: f64) -> f64 {
        let place = self.grid.place(x);
        if place <= 0.0 {
            return 0.0;
        }
        let last = Grid::POINTS - 1;
        if place >= Grid::POINTS as f64 {
            return self.integral[last] + (place - Grid::POINTS as f64) * self.grid.step();
        }
        let i = place as usize;
        let part = place - i as f64;
        let (sum, before) = if i == 0 {
            (0.0, 0.0)
        } else {
            (self.integral[i - 1], self.cumulative[i - 1])
        };
        sum + self.grid.step() * part * (before + 0.5 * part * self.weights[i])
    }

    /// Probability that this cell's value, moved by `-own_shift` and held at `cap`, is above the other's, moved by
    /// `-other_shift` and held at the same cap. Equal values at the cap do not count.
    pub fn probability_above_other(
        &self,
        other: &Self,
        cap: Option<f64>,
        own_shift: f64,
        other_shift: f64,
    ) -> f64 {
        let cap = cap.unwrap_or(f64::INFINITY);
        self.weights
            .iter()
            .zip(self.grid.points())
            .filter(|(w, _)| **w > 1e-18)
            .map(|(w, t)| w * other.probability_below((t - own_shift).min(cap) + other_shift))
            .sum()
    }
}

/// Log prior times likelihood at every point of the grid; minus infinity where it cannot matter.
fn log_posterior(prior: Prior, likelihoods: &Likelihoods, sorted: &[Observation]) -> Vec<f64> {
    let grid = likelihoods.grid;
    let points = likelihoods.points_that_can_matter(prior, sorted);
    let mut column = vec![f64::NEG_INFINITY; Grid::POINTS];
    let matters = &mut column[points.clone()];
    for (sum, i) in matters.iter_mut().zip(points.clone()) {
        *sum = prior.log_density(grid.point(i));
    }
    for &observation in sorted {
        likelihoods.add_to(matters, points.clone(), observation);
    }
    column
}

fn greatest(values: &[f64]) -> f64 {
    values.iter().copied().fold(f64::NEG_INFINITY, f64::max)
}

fn relative_weights(log_weights: &[f64]) -> Vec<f64> {
    let top = greatest(log_weights);
    log_weights
        .iter()
        .map(|l| {
            if l - top > -NEGLIGIBLE {
                (l - top).exp()
            } else {
                0.0
            }
        })
        .collect()
}

fn edge_mass(weights: &[f64]) -> f64 {
    let total: f64 = weights.iter().sum();
    if total > 0.0 {
        (weights[0] + weights[weights.len() - 1]) / total
    } else {
        1.0
    }
}

fn part_that_matters(log_weights: &[f64]) -> Option<(usize, usize)> {
    let top = greatest(log_weights);
    if !top.is_finite() {
        return None;
    }
    let matters = |l: &f64| l - top > -NEGLIGIBLE;
    Some((
        log_weights.iter().position(matters)?,
        log_weights.iter().rposition(matters)?,
    ))
}

/// From the last point with any weight on it is exactly 1, so that no draw lands on a point without weight.
fn running_sum_to_one(weights: &[f64]) -> Vec<f64> {
    let last = weights.iter().rposition(|w| *w > 0.0).unwrap_or(0);
    let mut sum = 0.0;
    let add = |(i, w): (usize, &f64)| {
        sum += w;
        if i < last { sum.min(1.0) } else { 1.0 }
    };
    weights.iter().enumerate().map(add).collect()
}

fn integrate(cumulative: &[f64], step: f64) -> Vec<f64> {
    let (mut sum, mut before) = (0.0, 0.0);
    cumulative
        .iter()
        .map(|&c| {
            sum += 0.5 * step * (before + c);
            before = c;
            sum
        })
        .collect()
}

/// Entry g is the first point whose cumulative probability exceeds g / GUIDE.
fn search_guide(cumulative: &[f64]) -> Vec<u16> {
    let mut i = 0;
    (0..GUIDE)
        .map(|g| {
            while cumulative[i] <= g as f64 / GUIDE as f64 && i < Grid::POINTS - 1 {
                i += 1;
            }
            i as u16
        })
        .collect()
}
