//! The posterior of one blend in one test, on a grid of the working scale.

mod grid;
mod likelihoods;
mod mixture;
mod part;
mod posterior;
mod prior;
mod quantile_table;

pub use grid::Grid;
pub use likelihoods::Likelihoods;
pub use mixture::{Distribution, Mixture, Sampler};
pub use posterior::Posterior;
pub use prior::Prior;
pub use quantile_table::QuantileTable;

/// Log posterior below the greatest one at which a point no longer matters (its weight is below 1e-21).
const NEGLIGIBLE: f64 = 50.0;

#[cfg(test)]
mod tests {
    use super::*;
    use crate::stats::observation::Observation::{self, Above, Between, Exact};

    const STANDARD: Prior = Prior { mean: 0.0, sd: 1.0 };

    fn range(observations: &[Observation]) -> Option<(f64, f64)> {
        observations
            .iter()
            .map(|o| o.ends())
            .reduce(|a, b| (a.0.min(b.0), a.1.max(b.1)))
    }

    fn cell(prior: Prior, observations: &[Observation], sd: f64) -> Posterior {
        let likelihoods = Likelihoods::new(Grid::covering(prior, range(observations), 8.0 * sd), sd);
        Posterior::from_likelihoods(prior, &likelihoods, observations).unwrap()
    }

    #[test]
    fn censored_posteriors_have_the_published_moments() {
        // definition (prior N(0,1), sd 0.5), recomputed with mpmath 1.4.1
        for (observations, mean, sd) in [
            (
                vec![Between { lo: 0.2, hi: 0.6 }],
                0.316602128386164,
                0.456607138359436,
            ),
            (vec![Above(1.0)], 1.28909245800973, 0.607877126654897),
            (
                vec![Between { lo: 0.2, hi: 0.6 }, Above(1.0)],
                0.788522371030214,
                0.363893811491683,
            ),
            (vec![Exact(0.4), Exact(0.8)], 0.533333333333333, 0.333333333333333),
        ] {
            // a right-censored result reaches 5e-6 beyond the prior's 5 sd: a grid of 8 sd shows the rest is exact
            let wide = Likelihoods::new(Grid::between(-8.0, 8.0, Grid::POINTS), 0.5);
            let posterior = Posterior::from_likelihoods(STANDARD, &wide, &observations).unwrap();
            assert!(
                (posterior.mean() - mean).abs() < 1e-6,
                "{observations:?}: {}",
                posterior.mean()
            );
            assert!(
                (posterior.sd() - sd).abs() < 1e-6,
                "{observations:?}: {}",
                posterior.sd()
            );
            assert!(posterior.edge_mass() < 1e-12);
            let ruled = cell(STANDARD, &observations, 0.5);
            assert!((ruled.mean() - mean).abs() < 1e-5 && (ruled.sd() - sd).abs() < 2e-5);
            assert!(ruled.edge_mass() < 1e-6);
        }
        // a grid that cuts something off says so
        let narrow = Likelihoods::new(Grid::between(-1.0, 1.0, Grid::POINTS), 0.5);
        assert!(
            Posterior::from_likelihoods(STANDARD, &narrow, &[Above(1.0)])
                .unwrap()
                .edge_mass()
                > 1e-4
        );
    }

    #[test]
    fn a_missing_cell_is_its_prior() {
        let posterior = cell(Prior { mean: 3.0, sd: 2.0 }, &[], 0.1);
        assert!((posterior.mean() - 3.0).abs() < 1e-9 && (posterior.sd() - 2.0).abs() < 1e-4);
        assert!((posterior.quantile(0.5) - 3.0).abs() < 1e-6);
        assert!((posterior.quantile(0.05) - (3.0 - 1.6448536 * 2.0)).abs() < 1e-3);
    }

    #[test]
    fn a_far_outlier_does_not_make_the_grid_too_coarse() {
        // the exact posterior of a normal prior and one exact result: precision-weighted mean
        let prior = Prior { mean: 0.0, sd: 1e5 };
        let posterior = cell(prior, &[Exact(7.3), Exact(7.3)], 0.01);
        assert!((posterior.mean() - 7.3).abs() < 1e-6);
        assert!((posterior.sd() - 0.01 / 2f64.sqrt()).abs() < 1e-6);
    }

    #[test]
    fn the_order_of_results_changes_no_bit() {
        let results = [Exact(0.3), Between { lo: 0.1, hi: 0.7 }, Above(0.2), Exact(0.9)];
        let mut reversed = results;
        reversed.reverse();
        let (given, turned) = (cell(STANDARD, &results, 0.4), cell(STANDARD, &reversed, 0.4));
        assert!(given.points().eq(turned.points()));
    }

    #[test]
    fn quantiles_and_probabilities_undo_each_other() {
        let posterior = cell(STANDARD, &[Above(1.0)], 0.5);
        for p in [1e-6, 0.05, 0.5, 0.95, 0.999999] {
            assert!((posterior.probability_below(posterior.quantile(p)) - p).abs() < 1e-12);
        }
        assert_eq!(posterior.probability_below(-1e9), 0.0);
        assert_eq!(posterior.probability_above(1e9), 0.0);
        assert!(posterior.quantile(1.0).is_finite() && posterior.quantile(0.0).is_finite());
    }

    #[test]
    fn priors_follow_the_references() {
        assert_eq!(Prior::of_results((2.0, 6.0), 0.5), Prior { mean: 4.0, sd: 6.0 });
        assert_eq!(
            Prior::between_references(5.0, 3.0, 1.0),
            Prior { mean: 4.0, sd: 2.0 }
        );
        assert_eq!(Prior::between_references(3.2, 3.0, 1.0).sd, 1.0);
        assert_eq!(Prior::across((1.0, 5.0)), Prior { mean: 3.0, sd: 4.0 });
    }
}
