//! What is known of a cell before its own results: proper and wide, because results may all be one-sided.

/// A normal prior on the working scale.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Prior {
    /// Mean.
    pub mean: f64,
    /// Standard deviation, positive.
    pub sd: f64,
}

impl Prior {
    /// Logarithm of the density at `x`, but for a constant.
    pub(crate) fn log_density(&self, x: f64) -> f64 {
        -0.5 * ((x - self.mean) / self.sd).powi(2)
    }

    /// Any cell with results: N(middle of the test's data, (half their range + 8 sd)^2), the same for all of a test, so
    /// that equal results give equal posteriors.
    ///
    /// `range`: least and greatest number named by any result of the test; `sd`: of one result.
    pub fn of_results(range: (f64, f64), sd: f64) -> Self {
        Self {
            mean: 0.5 * (range.0 + range.1),
            sd: 0.5 * (range.1 - range.0) + 8.0 * sd,
        }
    }

    /// A candidate without results between two references: N(midpoint of their means, gap^2), the gap at least the
    /// critical difference. The caller has applied the cap to both means.
    pub fn between_references(good: f64, poor: f64, critical_difference: f64) -> Self {
        Self {
            mean: 0.5 * (good + poor),
            sd: (good - poor).abs().max(critical_difference),
        }
    }

    /// A candidate without results beside one reference: N(middle of the scale, its length^2). The ends are those of the
    /// scale, twice the reproducibility apart.
    pub fn across(ends: (f64, f64)) -> Self {
        Self {
            mean: 0.5 * (ends.0 + ends.1),
            sd: (ends.1 - ends.0).abs(),
        }
    }
}
