//! Seeded streams of random numbers. A stream depends on the seed and on its own key alone, never on the order in which
//! streams are opened or on the number of threads, so leaving one out changes no other.

use rand_distr::{Beta, Distribution, Exp1, StandardNormal};
use rand_xoshiro::Xoshiro256PlusPlus;
use rand_xoshiro::rand_core::{Rng, SeedableRng};

use crate::stats::cell::{Posterior, QuantileTable};

/// A key made of texts and numbers, the same on every machine and in every build (FNV-1a, then mixed;
/// public-domain functions, constants from memory).
#[derive(Clone, Copy, Debug)]
pub struct StreamKey(u64);

impl StreamKey {
    /// An empty key of one kind ("cell", "weight", ...).
    pub fn new(kind: &str) -> Self {
        Self(0xcbf2_9ce4_8422_2325).text(kind)
    }

    /// Adds a text; its length is added too, so that ("ab", "c") differs from ("a", "bc").
    pub fn text(self, text: &str) -> Self {
        text.bytes().fold(self, Self::byte).number(text.len() as u64)
    }

    /// Adds a number.
    pub fn number(self, number: u64) -> Self {
        number.to_le_bytes().into_iter().fold(self, Self::byte)
    }

    /// The finished key.
    pub fn value(self) -> u64 {
        mix(self.0)
    }

    fn byte(self, byte: u8) -> Self {
        Self((self.0 ^ u64::from(byte)).wrapping_mul(0x0000_0100_0000_01b3))
    }
}

/// Spreads every bit of the input over the whole word (finaliser of the splitmix64 generator).
fn mix(mut z: u64) -> u64 {
    z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
    z ^ (z >> 31)
}

/// One stream of random numbers.
#[derive(Clone, Debug)]
pub struct Stream(Xoshiro256PlusPlus);

impl Stream {
    /// The stream of a seed and a key.
    pub fn new(seed: u64, key: u64) -> Self {
        Self(Xoshiro256PlusPlus::seed_from_u64(mix(seed
            .wrapping_add(0x9e37_79b9_7f4a_7c15)
            ^ key)))
    }

    /// 64 random bits.
    #[inline]
    pub fn word(&mut self) -> u64 {
        self.0.next_u64()
    }

    /// Uniform in [0, 1), with 53 random bits.
    #[inline]
    pub fn uniform(&mut self) -> f64 {
        (self.word() >> 11) as f64 * (1.0 / (1u64 << 53) as f64)
    }

    /// Standard normal.
    pub fn normal(&mut self) -> f64 {
        StandardNormal.sample(&mut self.0)
    }

    /// Exponential with mean 1. Several of them, divided by their sum, are uniform weights that add up to 1.
    pub fn exponential(&mut self) -> f64 {
        Exp1.sample(&mut self.0)
    }
}

/// A weight between 0 and 1 with a mean and a concentration: Beta(mean c, (1 - mean) c).
#[derive(Clone, Debug)]
pub struct UncertainWeight {
    beta: Option<Beta<f64>>,
    /// The logarithm of weight / (1 - weight), where the Beta is not too steep at an end for a grid.
    log_odds: Option<Posterior>,
}

impl UncertainWeight {
    /// Mean weights are held within these limits, where a Beta still has a shape; a mean of 0 is 0 in every draw.
    pub const MEAN_LIMITS: (f64, f64) = (0.001, 0.99);

    /// No draw of a weight whose mean is not 0 lies below this, so that a sum of weights can always be divided by.
    const SMALLEST: f64 = 1e-12;

    /// `mean` within 0..=1, `concentration` positive; `None` otherwise.
    pub fn new(mean: f64, concentration: f64) -> Option<Self> {
        if !(0.0..=1.0).contains(&mean) || !concentration.is_finite() || concentration <= 0.0 {
            return None;
        }
        if mean == 0.0 {
            return Some(Self {
                beta: None,
                log_odds: None,
            });
        }
        let held = mean.clamp(Self::MEAN_LIMITS.0, Self::MEAN_LIMITS.1);
        let (a, b) = (held * concentration, (1.0 - held) * concentration);
        Some(Self {
            beta: Some(Beta::new(a, b).ok()?),
            log_odds: log_odds(a, b),
        })
    }

    /// So many weights. The uniform numbers of the stream are turned into weights one by one, so that two weights whose
    /// means differ little are drawn nearly alike from one stream.
    pub fn draws(&self, number: usize, stream: &mut Stream) -> Vec<f64> {
        let Some(log_odds) = &self.log_odds else {
            return (0..number).map(|_| self.draw(stream)).collect();
        };
        let mut weights = vec![0.0; number];
        QuantileTable::new(log_odds).draw(stream, &mut weights);
        for weight in &mut weights {
            *weight = (1.0 / (1.0 + (-*weight).exp())).max(Self::SMALLEST);
        }
        weights
    }

    /// One weight.
    pub fn draw(&self, stream: &mut Stream) -> f64 {
        match &self.beta {
            None => 0.0,
            Some(beta) => {
                let weight = beta.sample(&mut stream.0);
                // a Beta with a tiny parameter can underflow
                if weight > Self::SMALLEST {
                    weight
                } else {
                    Self::SMALLEST
                }
            }
        }
    }
}

/// Distribution of the log odds t of a Beta(a, b): its density is x^a (1 - x)^b, where x = 1 / (1 + e^-t).
/// `None` where a or b is so small that the grid would be too coarse.
pub(crate) fn log_odds(a: f64, b: f64) -> Option<Posterior> {
    const LEAST: f64 = 0.1;
    if a < LEAST || b < LEAST {
        return None;
    }
    let top = (a / b).ln();
    // log(1 + e^t) without overflow
    let softplus = |t: f64| t.max(0.0) + (-t.abs()).exp().ln_1p();
    let log_density = |t: f64| a * t - (a + b) * softplus(t);
    // beyond these the density has fallen by more than e^50
    let reach = |shape: f64| 60.0 / shape + 12.0 / shape.sqrt();
    Posterior::of_density(top - reach(a), top + reach(b), log_density)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn weights_drawn_in_one_go_have_the_moments_of_the_beta() {
        for (mean, concentration) in [
            (0.3, 15.0),
            (0.05, 5.0),
            (0.9, 5.0),
            (0.5, 50.0),
            (0.8, 1e6),
            (0.01, 5.0),
        ] {
            let weight = UncertainWeight::new(mean, concentration).unwrap();
            let weights = weight.draws(100_000, &mut Stream::new(8, 8));
            let (drawn, variance) = moments(weights.into_iter(), 100_000);
            // mean and variance of a Beta: m and m (1 - m) / (c + 1)
            let expected = mean * (1.0 - mean) / (concentration + 1.0);
            let error = 4.0 * (expected / 1e5).sqrt();
            assert!((drawn - mean).abs() < error, "{mean} {concentration}: {drawn}");
            assert!(
                (variance / expected - 1.0).abs() < 0.05,
                "{mean} {concentration}: {variance}"
            );
        }
    }

    #[test]
    fn a_weight_moves_little_in_every_draw_when_its_mean_does() {
        let drawn = |mean: f64| {
            let weight = UncertainWeight::new(mean, 15.0).unwrap();
            weight.draws(5_000, &mut Stream::new(8, 8))
        };
        let both = drawn(0.40).into_iter().zip(drawn(0.41));
        both.for_each(|(a, b)| assert!(b > a && b - a < 0.02, "{a} {b}"));
    }

    fn moments(draws: impl Iterator<Item = f64>, n: usize) -> (f64, f64) {
        let values: Vec<f64> = draws.take(n).collect();
        let mean = values.iter().sum::<f64>() / n as f64;
        let variance = values.iter().map(|v| (v - mean).powi(2)).sum::<f64>() / n as f64;
        (mean, variance)
    }

    #[test]
    fn a_stream_is_its_seed_and_key() {
        let first = |seed, key| Stream::new(seed, key).uniform();
        assert_eq!(first(1, 2), first(1, 2));
        assert_ne!(first(1, 2), first(2, 2));
        assert_ne!(first(1, 2), first(1, 3));
        assert_ne!(first(1, 2), first(2, 1));
    }

    #[test]
    fn keys_do_not_run_into_each_other() {
        let key = |a: &str, b: &str| StreamKey::new("cell").text(a).text(b).value();
        assert_ne!(key("ab", "c"), key("a", "bc"));
        assert_ne!(StreamKey::new("cell").value(), StreamKey::new("block").value());
        // fixed for ever: stored standings must be reproducible
        assert_eq!(StreamKey::new("cell").text("a").number(7).value(), FIXED_KEY);
        assert_eq!(Stream::new(1, 2).0.next_u64(), FIXED_WORD);
    }

    #[test]
    fn streams_of_different_keys_are_uncorrelated() {
        let (mut a, mut b) = (Stream::new(9, 1), Stream::new(9, 2));
        let n = 20_000;
        let product = (0..n)
            .map(|_| (a.uniform() - 0.5) * (b.uniform() - 0.5))
            .sum::<f64>()
            / f64::from(n);
        // standard error of the mean product is (1/12) / sqrt(n) = 0.0006
        assert!(product.abs() < 0.0025, "{product}");
    }

    #[test]
    fn the_draws_have_their_moments() {
        let mut s = Stream::new(3, 4);
        let (mean, variance) = moments(std::iter::repeat_with(|| s.uniform()), 100_000);
        assert!((mean - 0.5).abs() < 0.004 && (variance - 1.0 / 12.0).abs() < 0.002);
        let (mean, variance) = moments(std::iter::repeat_with(|| s.normal()), 100_000);
        assert!(mean.abs() < 0.013 && (variance - 1.0).abs() < 0.02);
        let (mean, _) = moments(std::iter::repeat_with(|| s.exponential()), 100_000);
        assert!((mean - 1.0).abs() < 0.013);
        let weight = UncertainWeight::new(0.3, 15.0).unwrap();
        let (mean, variance) = moments(std::iter::repeat_with(|| weight.draw(&mut s)), 100_000);
        // variance of a Beta: m (1 - m) / (c + 1)
        assert!((mean - 0.3).abs() < 0.002 && (variance - 0.21 / 16.0).abs() < 3e-4);
    }

    #[test]
    fn a_weight_of_nothing_stays_nothing_and_a_tiny_one_stays_positive() {
        let mut s = Stream::new(1, 1);
        assert_eq!(UncertainWeight::new(0.0, 15.0).unwrap().draw(&mut s), 0.0);
        let tiny = UncertainWeight::new(1e-9, 5.0).unwrap();
        assert!((0..2000).all(|_| tiny.draw(&mut s) > 0.0));
        assert!(UncertainWeight::new(1.1, 5.0).is_none() && UncertainWeight::new(0.5, 0.0).is_none());
        assert!(UncertainWeight::new(f64::NAN, 5.0).is_none());
    }

    const FIXED_KEY: u64 = 5_243_652_933_107_318_070;
    const FIXED_WORD: u64 = 2_012_775_937_921_775_851;
}
