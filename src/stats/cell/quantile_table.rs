//! Quantiles of a posterior, tabulated for many draws.

use crate::stats::cell::Posterior;

/// Halvings of the probability that the table follows into either tail; beyond them the exact quantile is taken.
const HALVINGS: usize = 20;

/// Entries per halving, as a power of two.
const ENTRIES_LOG2: usize = 5;

/// Steps from entry to entry per tail.
const ENTRIES: usize = HALVINGS << ENTRIES_LOG2;

/// Entries of both tails.
const BOTH_TAILS: usize = 2 * (ENTRIES + 1);

/// Bits of the number 1, and those that are the fraction of a number.
const ONE: u64 = 1023 << 52;
const FRACTION: u64 = (1 << 52) - 1;

/// Bits of a number that lie below the place in the table and say how far on the way to the next entry it is.
const BITS_BELOW: usize = 52 - ENTRIES_LOG2;

/// Quantiles of a posterior at probabilities that lie closer together the further out in a tail they are: 32 to each
/// halving of the probability, taken from the bits of the number, with a straight line between two of them. For a
/// normal posterior no quantile is off by more than 2e-4 of its standard deviation, 35 times less than the Monte Carlo
/// error of a mean over 20 000 draws. Like the exact quantile it never falls as the probability rises.
#[derive(Clone, Debug)]
pub struct QuantileTable<'a> {
    posterior: &'a Posterior,
    /// Lower tail from the smallest probability up to 1/2, then the upper tail in the same order.
    quantiles: Box<[f64; BOTH_TAILS]>,
}

impl<'a> QuantileTable<'a> {
    /// The table of a posterior.
    pub fn new(posterior: &'a Posterior) -> Self {
        let mut quantiles = Box::new([0.0; BOTH_TAILS]);
        let (lower, upper) = quantiles.split_at_mut(ENTRIES + 1);
        let mut walk = posterior.quantiles_in_order();
        for (place, quantile) in lower.iter_mut().enumerate() {
            *quantile = walk(probability_at(place));
        }
        for (place, quantile) in upper.iter_mut().enumerate().rev() {
            *quantile = walk(1.0 - probability_at(place));
        }
        Self { posterior, quantiles }
    }

    /// Value below which the probability is `p`, for `0 <= p < 1`.
    #[inline(always)]
    pub fn quantile(&self, p: f64) -> f64 {
        // no branch: which half a random number falls into cannot be foreseen
        let tail = usize::from(p >= 0.5) * (ENTRIES + 1);
        let tail_probability = if p < 1.0 - p { p } else { 1.0 - p };
        let bits = tail_probability.to_bits();
        let place = ((bits >> BITS_BELOW) as usize).wrapping_sub(FIRST);
        if place >= ENTRIES {
            return self.posterior.quantile(p);
        }
        // the bits below the place, moved up to be the fraction of a number between 1 and 2
        let part = f64::from_bits(ONE | (bits << ENTRIES_LOG2) & FRACTION) - 1.0;
        let (here, next) = (self.quantiles[tail + place], self.quantiles[tail + place + 1]);
        here + part * (next - here)
    }
}

/// Leading bits of the smallest probability in the table, 1/2 less all halvings.
const FIRST: usize = (1022 - HALVINGS) << ENTRIES_LOG2;

fn probability_at(place: usize) -> f64 {
    f64::from_bits(((FIRST + place) as u64) << BITS_BELOW)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::stats::cell::Prior;
    use crate::stats::observation::Observation::{self, Above, Exact};

    fn posterior(observations: &[Observation]) -> Posterior {
        let prior = Prior { mean: 0.0, sd: 1.0 };
        Posterior::from_results(prior, Some((0.0, 2.0)), observations, 0.5).unwrap()
    }

    #[test]
    fn no_quantile_is_off_by_more_than_two_ten_thousandths_of_the_deviation() {
        for observations in [vec![], vec![Exact(0.4), Exact(0.9)], vec![Above(2.0)]] {
            let posterior = posterior(&observations);
            let table = QuantileTable::new(&posterior);
            let n = 40_000;
            let tails = [1e-9, 1e-6, 5e-7, 1e-4, 1.0 - 1e-4, 1.0 - 1e-6];
            let even = (0..n).map(|i| f64::from(i) / f64::from(n));
            for p in even.chain(tails).chain([0.0, 0.5, 0.25, 0.75]) {
                let (tabled, exact) = (table.quantile(p), posterior.quantile(p));
                // a quantile at 0 or 1 is an end of the grid, and close to it the table may lie a point inside
                let bound = 2e-4 * posterior.sd()
                    + if (1e-5..1.0 - 1e-5).contains(&p) {
                        0.0
                    } else {
                        1e-3
                    };
                assert!((tabled - exact).abs() <= bound, "{p}: {tabled} is not {exact}");
            }
        }
    }

    #[test]
    fn a_greater_probability_never_has_a_smaller_quantile() {
        let posterior = posterior(&[Exact(0.7)]);
        let table = QuantileTable::new(&posterior);
        let mut before = f64::NEG_INFINITY;
        for i in 0..200_000 {
            let quantile = table.quantile(f64::from(i) / 200_000.0);
            assert!(quantile >= before);
            before = quantile;
        }
    }

    #[test]
    fn the_first_entry_is_one_half_after_all_halvings() {
        assert_eq!(probability_at(0), 0.5f64.powi(HALVINGS as i32 + 1));
        assert_eq!(probability_at(ENTRIES), 0.5);
    }
}
