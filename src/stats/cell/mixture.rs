//! What is known of a value when the deviation of its results is in doubt too: a distribution for each part of that doubt.

use crate::stats::cell::{Posterior, Prior, QuantileTable};
use crate::stats::draws::Stream;
use crate::stats::lattice;
use crate::stats::normal;

/// Points of a normal distribution where it is summed over, up to this many deviations either side.
const NORMAL_POINTS: i32 = 400;
const NORMAL_REACH: f64 = 8.0;

/// Halvings of the way between the parts' own quantiles: down to a millionth of a millionth of it.
const HALVINGS: usize = 40;

/// What is known of a value within one part of the doubt.
#[derive(Clone, Debug)]
pub enum Distribution {
    /// Results read as numbers, and cells without results: in closed form.
    Normal {
        /// Mean.
        mean: f64,
        /// Standard deviation.
        sd: f64,
    },
    /// Everything else.
    Gridded(Posterior),
}

impl Distribution {
    /// The normal prior after results that were read as numbers, each with standard deviation `sd`.
    pub fn after_numbers(prior: Prior, numbers: &[f64], sd: f64) -> Self {
        let (of_prior, of_one) = (prior.sd.powi(-2), sd.powi(-2));
        let precision = of_prior + numbers.len() as f64 * of_one;
        let sum = prior.mean * of_prior + numbers.iter().sum::<f64>() * of_one;
        Self::Normal {
            mean: sum / precision,
            sd: precision.sqrt().recip(),
        }
    }

    fn mean(&self) -> f64 {
        match self {
            Self::Normal { mean, .. } => *mean,
            Self::Gridded(posterior) => posterior.mean(),
        }
    }

    #[cfg(feature = "facade")]
    fn sd(&self) -> f64 {
        match self {
            Self::Normal { sd, .. } => *sd,
            Self::Gridded(posterior) => posterior.sd(),
        }
    }

    fn probability_below(&self, x: f64) -> f64 {
        match self {
            Self::Normal { mean, sd } => normal::cumulative((x - mean) / sd),
            Self::Gridded(posterior) => posterior.probability_below(x),
        }
    }

    fn quantile(&self, p: f64) -> f64 {
        match self {
            Self::Normal { mean, sd } => mean + sd * normal::quantile(p),
            Self::Gridded(posterior) => posterior.quantile(p),
        }
    }

    /// Values and their probabilities, which add up to 1.
    pub fn points(&self) -> Vec<(f64, f64)> {
        match self {
            Self::Gridded(posterior) => posterior.points().collect(),
            Self::Normal { mean, sd } => {
                let step = NORMAL_REACH / f64::from(NORMAL_POINTS);
                let at = |i: i32| step * f64::from(i);
                let density = |i: i32| normal::log_density(at(i)).exp();
                let total: f64 = (-NORMAL_POINTS..=NORMAL_POINTS).map(density).sum();
                (-NORMAL_POINTS..=NORMAL_POINTS)
                    .map(|i| (mean + sd * at(i), density(i) / total))
                    .collect()
            }
        }
    }

    /// Probability that the value, moved by `-own_shift` and held at `cap`, is above the other's, moved by
    /// `-other_shift` and held at the same cap. Equal values at the cap do not count.
    fn above_other(&self, other: &Self, cap: f64, own_shift: f64, other_shift: f64) -> f64 {
        if let (
            Self::Normal { mean, sd },
            Self::Normal {
                mean: others,
                sd: its,
            },
        ) = (self, other)
            && cap.is_infinite()
        {
            let ahead = (mean - own_shift) - (others - other_shift);
            return normal::cumulative(ahead / sd.hypot(*its));
        }
        let below = |t: f64| other.probability_below((t - own_shift).min(cap) + other_shift);
        let points = self.points();
        let with_weight = points.iter().filter(|(_, weight)| *weight > 1e-18);
        with_weight.map(|(t, weight)| weight * below(*t)).sum()
    }
}

/// Equally likely distributions of one value, a part of the doubt about the deviation each.
#[derive(Clone, Debug)]
pub struct Mixture {
    parts: Vec<Distribution>,
    mean: f64,
}

impl Mixture {
    /// `None` without any part.
    pub fn new(parts: Vec<Distribution>) -> Option<Self> {
        let number = parts.len() as f64;
        let mean = parts.iter().map(Distribution::mean).sum::<f64>() / number;
        (!parts.is_empty()).then_some(Self { parts, mean })
    }

    /// Number of its parts.
    pub fn parts(&self) -> usize {
        self.parts.len()
    }

    /// Mean on the working scale.
    pub fn mean(&self) -> f64 {
        self.mean
    }

    /// Standard deviation on the working scale, over all parts.
    #[cfg(feature = "facade")]
    pub fn sd(&self) -> f64 {
        let square = |part: &Distribution| part.sd().powi(2) + (part.mean() - self.mean).powi(2);
        (self.parts.iter().map(square).sum::<f64>() / self.parts.len() as f64).sqrt()
    }

    /// The distribution in the middle of the doubt.
    pub fn central(&self) -> &Distribution {
        &self.parts[self.parts.len() / 2]
    }

    /// Value below which the probability is `p`, by bisection between the parts' own.
    pub fn quantile(&self, p: f64) -> f64 {
        let of_parts = || self.parts.iter().map(|part| part.quantile(p));
        let (mut lo, mut hi) = (
            of_parts().fold(f64::INFINITY, f64::min),
            of_parts().fold(f64::NEG_INFINITY, f64::max),
        );
        for _ in 0..HALVINGS {
            let middle = 0.5 * (lo + hi);
            if self.probability_below(middle) < p {
                lo = middle;
            } else {
                hi = middle;
            }
        }
        0.5 * (lo + hi)
    }

    fn probability_below(&self, x: f64) -> f64 {
        let sum: f64 = self.parts.iter().map(|part| part.probability_below(x)).sum();
        sum / self.parts.len() as f64
    }

    /// Which of the parts a share of the doubt between 0 and 1 falls into.
    #[inline]
    pub fn part_at(&self, share: f64) -> usize {
        ((share * self.parts.len() as f64) as usize).min(self.parts.len() - 1)
    }

    /// Probability that the value is above the other's within one part of each, as for two single distributions.
    pub fn part_above_other(
        &self,
        part: usize,
        (other, others): (&Self, usize),
        cap: f64,
        own_shift: f64,
        other_shift: f64,
    ) -> f64 {
        self.parts[part].above_other(&other.parts[others], cap, own_shift, other_shift)
    }

    /// The value at every point of the lattice: within the part that `share` names for a point, the quantile of the
    /// point's coordinate `dimension`.
    pub fn on_lattice(&self, dimension: usize, share: impl Fn(usize) -> f64) -> Vec<f64> {
        let axis = lattice::axis(dimension);
        if let Some(normal) = self.normal_parts() {
            let value = |point: usize| {
                let (mean, sd) = normal[self.part_at(share(point))];
                mean + sd * axis.normal(point)
            };
            return (0..lattice::POINTS).map(value).collect();
        }
        let mut walks: Vec<_> = self.gridded().map(Posterior::quantiles_in_order).collect();
        let mut values = vec![0.0; lattice::POINTS];
        for point in axis.in_order() {
            values[point] = walks[self.part_at(share(point))](axis.coordinate(point));
        }
        values
    }

    /// Mean and deviation of each part, where they are normal. The parts are all of one kind, since they have the same
    /// results.
    fn normal_parts(&self) -> Option<Vec<(f64, f64)>> {
        let normal = |part: &Distribution| match part {
            Distribution::Normal { mean, sd } => Some((*mean, *sd)),
            Distribution::Gridded(_) => None,
        };
        self.parts.iter().map(normal).collect()
    }

    fn gridded(&self) -> impl Iterator<Item = &Posterior> {
        self.parts.iter().filter_map(|part| match part {
            Distribution::Normal { .. } => None,
            Distribution::Gridded(posterior) => Some(posterior),
        })
    }
}

/// A mixture made ready for many draws.
pub enum Sampler<'a> {
    /// Mean and deviation of each part.
    Normal(Vec<(f64, f64)>),
    /// Quantiles of each part.
    Tabled(Vec<QuantileTable<'a>>),
}

impl<'a> Sampler<'a> {
    /// Tables of a mixture.
    pub fn new(mixture: &'a Mixture) -> Self {
        mixture.normal_parts().map_or_else(
            || Self::Tabled(mixture.gridded().map(QuantileTable::new).collect()),
            Self::Normal,
        )
    }

    /// As many draws as `values` is long, each from the part that `parts` names; a single part needs no naming.
    pub fn draw(&self, stream: &mut Stream, parts: &[u8], values: &mut [f64]) {
        match self {
            Self::Normal(of_parts) => {
                QuantileTable::of_standard_normal().draw(stream, values);
                for (i, value) in values.iter_mut().enumerate() {
                    let part = parts.get(i).map_or(0, |part| usize::from(*part));
                    let (mean, sd) = of_parts[part.min(of_parts.len() - 1)];
                    *value = mean + sd * *value;
                }
            }
            Self::Tabled(tables) => match &tables[..] {
                [table] => table.draw(stream, values),
                _ => {
                    let of_draws = parts.iter().map(|part| &tables[usize::from(*part)]);
                    QuantileTable::draw_from(stream, of_draws, values);
                }
            },
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::stats::cell::{Grid, Likelihoods};
    use crate::stats::observation::Observation;

    const PRIOR: Prior = Prior { mean: 0.0, sd: 1.0 };

    fn gridded(numbers: &[f64], sd: f64) -> Distribution {
        let likelihoods = Likelihoods::new(Grid::covering(PRIOR, Some((0.0, 1.0)), 8.0 * sd), sd);
        let results: Vec<Observation> = numbers.iter().copied().map(Observation::Exact).collect();
        Distribution::Gridded(Posterior::from_likelihoods(PRIOR, &likelihoods, &results).unwrap())
    }

    fn of(parts: &[Distribution]) -> Mixture {
        Mixture::new(parts.to_vec()).unwrap()
    }

    #[test]
    fn the_closed_form_is_what_the_grid_says() {
        let numbers = [0.4, 0.9];
        let (closed, gridded) = (
            Distribution::after_numbers(PRIOR, &numbers, 0.5),
            gridded(&numbers, 0.5),
        );
        assert!((closed.mean() - gridded.mean()).abs() < 1e-6);
        assert!((closed.sd() - gridded.sd()).abs() < 1e-5);
        for p in [0.01, 0.3, 0.95] {
            assert!((closed.quantile(p) - gridded.quantile(p)).abs() < 1e-4);
        }
        let sum: f64 = closed.points().iter().map(|(_, weight)| weight).sum();
        assert!((sum - 1.0).abs() < 1e-12);
    }

    #[test]
    fn a_mixture_has_the_moments_and_quantiles_of_its_parts_together() {
        let part = |mean, sd| Distribution::Normal { mean, sd };
        let both = of(&[part(-1.0, 0.1), part(1.0, 0.2)]);
        assert_eq!(both.mean(), 0.0);
        assert!((both.sd() - (1.0f64 + 0.025).sqrt()).abs() < 1e-12);
        assert!(
            (both.quantile(0.25) - -1.0).abs() < 1e-9,
            "the middle of the first"
        );
        assert!((both.quantile(0.75) - 1.0).abs() < 1e-9);
    }

    #[test]
    fn comparing_two_values_gives_the_closed_form() {
        // means 0.8 and 0.16, variance 0.2 each
        let expected = normal::cumulative(0.64 / 0.4f64.sqrt());
        for (a, b) in [
            (gridded(&[1.0], 0.5), gridded(&[0.2], 0.5)),
            (
                Distribution::after_numbers(PRIOR, &[1.0], 0.5),
                Distribution::after_numbers(PRIOR, &[0.2], 0.5),
            ),
            (
                Distribution::after_numbers(PRIOR, &[1.0], 0.5),
                gridded(&[0.2], 0.5),
            ),
        ] {
            let (a, b) = (of(&[a]), of(&[b]));
            let above = |one: &Mixture, other: &Mixture, cap, own, others| {
                one.part_above_other(0, (other, 0), cap, own, others)
            };
            let open = f64::INFINITY;
            assert!((above(&a, &b, open, 0.0, 0.0) - expected).abs() < 1e-5);
            assert!((above(&b, &a, open, 0.0, 0.0) - (1.0 - expected)).abs() < 1e-5);
            // moving both alike changes nothing; moving one by the difference of the means makes them level
            assert!((above(&a, &b, open, 0.3, 0.3) - expected).abs() < 1e-5);
            assert!((above(&a, &b, open, 0.64, 0.0) - 0.5).abs() < 1e-5);
        }
    }

    #[test]
    fn two_values_held_at_one_cap_do_not_beat_each_other() {
        for make in [gridded, |numbers: &[f64], sd| {
            Distribution::after_numbers(PRIOR, numbers, sd)
        }] {
            let (a, b) = (of(&[make(&[5.0], 0.1)]), of(&[make(&[4.0], 0.1)]));
            assert!(a.part_above_other(0, (&b, 0), f64::INFINITY, 0.0, 0.0) > 0.999);
            assert!(a.part_above_other(0, (&b, 0), 1.0, 0.0, 0.0) < 1e-9);
        }
    }

    #[test]
    fn draws_have_the_moments_of_the_parts_they_come_from() {
        let parts: Vec<u8> = (0..40_000u32).map(|i| (i % 2) as u8).collect();
        for make in [gridded, |numbers: &[f64], sd| {
            Distribution::after_numbers(PRIOR, numbers, sd)
        }] {
            let mixture = of(&[make(&[0.2], 0.1), make(&[0.8], 0.4)]);
            let mut values = vec![0.0; parts.len()];
            Sampler::new(&mixture).draw(&mut Stream::new(1, 2), &parts, &mut values);
            let mean = values.iter().sum::<f64>() / values.len() as f64;
            let variance = values.iter().map(|v| (v - mean).powi(2)).sum::<f64>() / values.len() as f64;
            assert!((mean - mixture.mean()).abs() < 0.01, "{mean}");
            assert!((variance.sqrt() / mixture.sd() - 1.0).abs() < 0.02);
            let lattice = mixture.on_lattice(2, |point| lattice::axis(3).coordinate(point));
            let mean = lattice.iter().sum::<f64>() / lattice.len() as f64;
            assert!((mean - mixture.mean()).abs() < 0.002, "{mean}");
        }
    }
}
