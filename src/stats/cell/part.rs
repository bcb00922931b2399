//! The part of a grid where a log posterior matters.

use crate::stats::cell::likelihoods::Likelihoods;
use crate::stats::cell::{Grid, NEGLIGIBLE, Prior};
use crate::stats::observation::Observation;

/// The log posterior, but for a constant, at the points of a grid where it matters.
pub(super) struct Part {
    pub(super) grid: Grid,
    /// Place in the grid of the first of the points.
    pub(super) first: usize,
    log_weights: Vec<f64>,
    top: f64,
}

impl Part {
    /// Log prior times likelihood. `None` where no point has any weight.
    pub(super) fn of(prior: Prior, likelihoods: &Likelihoods, sorted: &[Observation]) -> Option<Self> {
        let grid = likelihoods.grid;
        let points = likelihoods.points_that_can_matter(prior, sorted);
        let mut column: Vec<f64> = points.clone().map(|i| prior.log_density(grid.point(i))).collect();
        for &observation in sorted {
            likelihoods.add_to(&mut column, points.clone(), observation);
        }
        Self::that_matters(grid, points.start, &column)
    }

    /// What matters of a column that begins at point `from` of the grid.
    pub(super) fn that_matters(grid: Grid, from: usize, column: &[f64]) -> Option<Self> {
        let top = column.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        if !top.is_finite() {
            return None;
        }
        let matters = |l: &f64| l - top > -NEGLIGIBLE;
        let (first, last) = (
            column.iter().position(matters)?,
            column.iter().rposition(matters)?,
        );
        Some(Self {
            grid,
            first: from + first,
            log_weights: column[first..=last].to_vec(),
            top,
        })
    }

    /// How many points.
    pub(super) fn points(&self) -> usize {
        self.log_weights.len()
    }

    /// Weights relative to the greatest.
    pub(super) fn weights(&self) -> Vec<f64> {
        self.log_weights.iter().map(|l| (l - self.top).exp()).collect()
    }

    /// Probability on the two outermost points of the grid.
    pub(super) fn edge_mass(&self) -> f64 {
        let last = self.first + self.points() - 1;
        let ends = [
            (self.first == 0, 0),
            (last == self.grid.number() - 1, self.points() - 1),
        ];
        if ends.iter().all(|(at_edge, _)| !at_edge) {
            return 0.0;
        }
        let weights = self.weights();
        let at_edges = ends
            .iter()
            .filter(|(at_edge, _)| *at_edge)
            .map(|(_, i)| weights[*i]);
        at_edges.sum::<f64>() / weights.iter().sum::<f64>()
    }

    /// A grid of so many points over this part alone and one of its points more on either side.
    pub(super) fn finer_grid(&self, number: usize) -> Grid {
        let last = self.first + self.points() - 1;
        Grid::between(
            self.grid.point(self.first.saturating_sub(1)),
            self.grid.point((last + 1).min(self.grid.number() - 1)),
            number,
        )
    }
}
