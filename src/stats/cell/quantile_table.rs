//! Quantiles of a posterior, tabulated for many draws.

use crate::stats::cell::Posterior;
use crate::stats::draws::Stream;

/// Strips of equal probability between the tails, as a power of two.
const STRIPS_LOG2: u32 = 10;

/// Strips of equal probability, were there no tails.
const STRIPS: usize = 1 << STRIPS_LOG2;

/// Strips at either end that are left to the tail: a probability of 1/64.
const TAIL_STRIPS: usize = STRIPS / 64;

/// Halvings of the probability that the table follows into either tail; beyond them the exact quantile is taken.
const HALVINGS: usize = 14;

/// Entries per halving, as a power of two.
const ENTRIES_LOG2: usize = 5;

/// Steps from entry to entry per tail.
const ENTRIES: usize = HALVINGS << ENTRIES_LOG2;

/// Bits of the number 1, and those that are the fraction of a number.
const ONE: u64 = 1023 << 52;
const FRACTION: u64 = (1 << 52) - 1;

/// Bits of a number that lie below the place in the tail's table and say how far on the way to the next entry it is.
const BITS_BELOW_ENTRY: usize = 52 - ENTRIES_LOG2;

/// Random bits that lie below the strip and say how far on the way to the next one it is, and the 1/2 after the last.
const BITS_BELOW_STRIP: u32 = 32 - STRIPS_LOG2;
const HALF: u64 = 1 << (51 - BITS_BELOW_STRIP);

/// Quantiles of a posterior, with a straight line between two of them: at strips of equal probability, and in either
/// tail, from a probability of 1/64 outwards, at probabilities that lie closer together the further out they are, 32 to
/// each halving. For a normal posterior no quantile is off by more than 2.5e-4 of its standard deviation, 28 times less
/// than the Monte Carlo error of a mean over 20 000 draws. Like the exact quantile it never falls as the probability
/// rises.
#[derive(Clone, Debug)]
pub struct QuantileTable<'a> {
    posterior: &'a Posterior,
    strips: Box<[f64; STRIPS + 1]>,
    /// From the smallest probability up to 1/64, and the same from the top.
    lower: Box<[f64; ENTRIES + 1]>,
    upper: Box<[f64; ENTRIES + 1]>,
}

impl<'a> QuantileTable<'a> {
    /// The table of a posterior.
    pub fn new(posterior: &'a Posterior) -> Self {
        let mut strips = Box::new([0.0; STRIPS + 1]);
        let (mut lower, mut upper) = (Box::new([0.0; ENTRIES + 1]), Box::new([0.0; ENTRIES + 1]));
        let mut walk = posterior.quantiles_in_order();
        for (place, quantile) in lower.iter_mut().enumerate() {
            *quantile = walk(probability_at(place));
        }
        for (place, quantile) in strips
            .iter_mut()
            .enumerate()
            .take(STRIPS - TAIL_STRIPS + 1)
            .skip(TAIL_STRIPS)
        {
            *quantile = walk(place as f64 / STRIPS as f64);
        }
        for (place, quantile) in upper.iter_mut().enumerate().rev() {
            *quantile = walk(1.0 - probability_at(place));
        }
        Self {
            posterior,
            strips,
            lower,
            upper,
        }
    }

    /// As many draws as `values` is long. Each word of the stream gives two.
    #[inline]
    pub fn draw(&self, stream: &mut Stream, values: &mut [f64]) {
        for pair in values.chunks_mut(2) {
            let word = stream.word();
            pair[0] = self.quantile((word >> 32) as u32);
            if let Some(second) = pair.get_mut(1) {
                *second = self.quantile(word as u32);
            }
        }
    }

    /// The same with a table of its own for each draw.
    pub fn draw_from<'t>(
        stream: &mut Stream,
        tables: impl Iterator<Item = &'t QuantileTable<'a>>,
        values: &mut [f64],
    ) where
        'a: 't,
    {
        let mut word = 0;
        for (i, (value, table)) in values.iter_mut().zip(tables).enumerate() {
            word = if i % 2 == 0 { stream.word() } else { word << 32 };
            *value = table.quantile((word >> 32) as u32);
        }
    }

    /// Value below which the probability is (`bits` + 1/2) / 2^32.
    #[inline(always)]
    fn quantile(&self, bits: u32) -> f64 {
        let strip = (bits >> BITS_BELOW_STRIP) as usize;
        if strip.wrapping_sub(TAIL_STRIPS) >= STRIPS - 2 * TAIL_STRIPS {
            return self.quantile_in_tail(probability(bits));
        }
        // the bits below the strip, and the 1/2 after them, as the fraction of a number between 1 and 2
        let below = (u64::from(bits) << (52 - BITS_BELOW_STRIP) | HALF) & FRACTION;
        let part = f64::from_bits(ONE | below) - 1.0;
        let (here, next) = (self.strips[strip], self.strips[strip + 1]);
        here + part * (next - here)
    }

    #[cold]
    fn quantile_in_tail(&self, p: f64) -> f64 {
        let (tail, tail_probability) = if p < 0.5 {
            (&self.lower, p)
        } else {
            (&self.upper, 1.0 - p)
        };
        let bits = tail_probability.to_bits();
        let place = ((bits >> BITS_BELOW_ENTRY) as usize).wrapping_sub(FIRST);
        if place >= ENTRIES {
            return self.posterior.quantile(p);
        }
        let part = f64::from_bits(ONE | (bits << ENTRIES_LOG2) & FRACTION) - 1.0;
        tail[place] + part * (tail[place + 1] - tail[place])
    }
}

/// Leading bits of the smallest probability in a tail's table, 1/64 less all halvings.
const FIRST: usize = (1023 - 6 - HALVINGS) << ENTRIES_LOG2;

fn probability_at(place: usize) -> f64 {
    f64::from_bits(((FIRST + place) as u64) << BITS_BELOW_ENTRY)
}

/// The probability that 32 random bits stand for, the middle of their interval.
fn probability(bits: u32) -> f64 {
    (f64::from(bits) + 0.5) / (1u64 << 32) as f64
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::stats::cell::{Grid, Likelihoods, Prior};
    use crate::stats::observation::Observation::{self, Above, Exact};

    fn posterior(observations: &[Observation]) -> Posterior {
        let prior = Prior { mean: 0.0, sd: 1.0 };
        let likelihoods = Likelihoods::new(Grid::covering(prior, Some((0.0, 2.0)), 4.0), 0.5);
        Posterior::from_likelihoods(prior, &likelihoods, observations).unwrap()
    }

    #[test]
    fn no_quantile_is_off_by_more_than_a_four_thousandth_of_the_deviation() {
        for observations in [vec![], vec![Exact(0.4), Exact(0.9)], vec![Above(2.0)]] {
            let posterior = posterior(&observations);
            let table = QuantileTable::new(&posterior);
            let ends = [0, 1, 4_000, 5_000, u32::MAX - 5_000, u32::MAX];
            let strips = (1..STRIPS as u32).flat_map(|strip| [(strip << 22) - 1, strip << 22]);
            for bits in (0..=u32::MAX).step_by(99_991).chain(strips).chain(ends) {
                let p = probability(bits);
                let (tabled, exact) = (table.quantile(bits), posterior.quantile(p));
                // far out in a tail the table may lie a point of the grid inside
                let bound = 2.5e-4 * posterior.sd()
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
    fn more_random_bits_never_have_a_smaller_quantile() {
        let posterior = posterior(&[Exact(0.7)]);
        let table = QuantileTable::new(&posterior);
        let quantiles: Vec<f64> = (0..=u32::MAX)
            .step_by(9_973)
            .map(|bits| table.quantile(bits))
            .collect();
        assert!(quantiles.windows(2).all(|pair| pair[0] <= pair[1]));
    }

    #[test]
    fn a_word_gives_two_draws_and_an_odd_number_of_draws_is_the_beginning_of_an_even_one() {
        let posterior = posterior(&[Exact(0.7)]);
        let table = QuantileTable::new(&posterior);
        let drawn = |number: usize| {
            let mut values = vec![0.0; number];
            table.draw(&mut Stream::new(1, 2), &mut values);
            values
        };
        let word = Stream::new(1, 2).word();
        assert_eq!(drawn(1), [table.quantile((word >> 32) as u32)]);
        assert_eq!(drawn(2)[1], table.quantile(word as u32));
        assert_eq!(drawn(5), drawn(6)[..5]);
    }

    #[test]
    fn the_first_entry_is_the_tail_after_all_halvings() {
        assert_eq!(probability_at(0), 0.5f64.powi(HALVINGS as i32) / 64.0);
        assert_eq!(probability_at(ENTRIES), 1.0 / 64.0);
    }
}
