//! The change test: whether the level of a series has changed, and where.
//!
//! # Formula
//! At a place with b readings before it and a after it, of readings y each less the mean of its own series (b_s and a_s of
//! them in series s, n_s = b_s + a_s, k series in all):
//!
//! D = sum_s b_s a_s / n_s, the step d = sum(y after the place) / D, t = d sqrt(D) / s,
//! s^2 = (sum(y^2) - d^2 D) / (b + a - k - 1).
//!
//! With one series that is Student's t of two means with n - 2 degrees of freedom; with several it is the least-squares
//! step beside a level of each series. The greatest |t| over all places with three readings on either side is held against
//! Student's t at 0.01 / (2 places) (ours: 1 % for all places together, Bonferroni), then each part is looked at alone.

use crate::stats::deviation::variance_ratio_tail;

/// One reading in a series.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Reading {
    /// Which series it belongs to: each has a level of its own.
    pub series: usize,
    /// When it was made; the level can change only between two moments.
    pub moment: i64,
    /// What it read.
    pub value: f64,
}

/// Fewest readings on either side of a change (ours).
pub const LEAST_ON_A_SIDE: usize = 3;
/// Chance that a steady series is said to have changed, over all places together (ours).
const BY_CHANCE: f64 = 0.01;

/// The places at which the level has changed, in order: each the index of the first reading after a change. Readings are
/// given in order of their moments. Empty where a reading is not finite.
pub fn level_changes(readings: &[Reading]) -> Vec<usize> {
    let mut changes = Vec::new();
    if readings.iter().all(|reading| reading.value.is_finite()) {
        cut(readings, 0, &mut changes);
    }
    changes
}

fn cut(readings: &[Reading], first: usize, changes: &mut Vec<usize>) {
    let Some(place) = change(readings) else {
        return;
    };
    let (before, after) = readings.split_at(place);
    cut(before, first, changes);
    changes.push(first + place);
    cut(after, first + place, changes);
}

/// The place of the greatest step, where it is too great for a steady series.
fn change(readings: &[Reading]) -> Option<usize> {
    let steps = Steps::of(readings)?;
    let tried: Vec<(usize, f64)> = (LEAST_ON_A_SIDE..=readings.len().checked_sub(LEAST_ON_A_SIDE)?)
        .filter(|place| readings[place - 1].moment < readings[*place].moment)
        .filter_map(|place| Some((place, steps.squared_t(place)?)))
        .collect();
    let greatest = tried.iter().copied().reduce(|a, b| if b.1 > a.1 { b } else { a });
    let (place, squared_t) = greatest?;
    let chance = variance_ratio_tail(squared_t, (1.0, steps.freedom));
    (chance < BY_CHANCE / tried.len() as f64).then_some(place)
}

/// What the steps of a series are computed from.
struct Steps<'r> {
    readings: &'r [Reading],
    /// Each series with the number of its readings and their mean.
    levels: Vec<(usize, f64, f64)>,
    sum_of_squares: f64,
    freedom: f64,
    /// Variance below which a scatter is not believed.
    least: f64,
}

impl<'r> Steps<'r> {
    /// `None` where no degree of freedom is left, or where every series repeats one number.
    fn of(readings: &'r [Reading]) -> Option<Self> {
        let mut series: Vec<usize> = readings.iter().map(|reading| reading.series).collect();
        series.sort_unstable();
        series.dedup();
        let values = |one: usize| {
            let own = readings.iter().filter(move |reading| reading.series == one);
            own.map(|reading| reading.value)
        };
        let levels: Vec<(usize, f64, f64)> = series
            .iter()
            .map(|one| {
                let number = values(*one).count() as f64;
                (*one, number, values(*one).sum::<f64>() / number)
            })
            .collect();
        let gaps = series.iter().filter_map(|one| least_gap(values(*one).collect()));
        let gap = gaps.reduce(f64::min)?;
        let freedom = readings.len().checked_sub(levels.len() + 1)?;
        let mut steps = Self {
            readings,
            levels,
            sum_of_squares: 0.0,
            freedom: freedom as f64,
            least: gap * gap / 12.0,
        };
        steps.sum_of_squares = readings.iter().map(|one| steps.less_its_level(one).powi(2)).sum();
        (freedom > 0).then_some(steps)
    }

    fn less_its_level(&self, reading: &Reading) -> f64 {
        let level = self.levels.iter().find(|(series, ..)| *series == reading.series);
        reading.value - level.map_or(0.0, |(.., mean)| *mean)
    }

    /// `None` where no series has readings on both sides.
    fn squared_t(&self, place: usize) -> Option<f64> {
        let after = &self.readings[place..];
        let room = |(series, number, _): &(usize, f64, f64)| {
            let later = after.iter().filter(|one| one.series == *series).count() as f64;
            later * (number - later) / number
        };
        let room: f64 = self.levels.iter().map(room).sum();
        let moved: f64 = after.iter().map(|one| self.less_its_level(one)).sum();
        if room <= 0.0 {
            return None;
        }
        let of_step = moved * moved / room;
        let scatter = ((self.sum_of_squares - of_step) / self.freedom).max(self.least);
        Some(of_step / scatter)
    }
}

/// The smallest difference between two numbers that are not equal. Readings are rounded: scatter is taken as no less than
/// that of rounding to this step, step / sqrt(12), so that a few equal readings on either side are no proof (ours).
fn least_gap(mut values: Vec<f64>) -> Option<f64> {
    values.sort_by(f64::total_cmp);
    let gaps = values.windows(2).map(|pair| pair[1] - pair[0]);
    gaps.filter(|gap| *gap > 0.0).reduce(f64::min)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::stats::draws::Stream;

    fn one_series(values: &[f64]) -> Vec<Reading> {
        let reading = |(moment, value): (i64, &f64)| Reading {
            series: 0,
            moment,
            value: *value,
        };
        (0..).zip(values).map(reading).collect()
    }

    fn changes(values: &[f64]) -> Vec<usize> {
        level_changes(&one_series(values))
    }

    /// Three readings about 0 and three about a step: t = step / (s sqrt(2/3)) with s = 1, one place, 4 degrees of freedom.
    /// Student's t at 0.005 with 4 degrees of freedom is 4.6041 (handbook table, from memory).
    #[test]
    fn a_step_is_a_change_above_students_t_at_one_per_cent_over_all_places() {
        let step = 4.6041 * (2.0f64 / 3.0).sqrt();
        let of = |step: f64| changes(&[-1.0, 0.0, 1.0, step - 1.0, step, step + 1.0]);
        assert_eq!(of(step * 0.999), Vec::<usize>::new());
        assert_eq!(of(step * 1.001), [3]);
        assert_eq!(of(-step * 1.001), [3]);
    }

    #[test]
    fn a_change_needs_three_readings_on_either_side() {
        let noise = [0.3, -0.2, 0.1, -0.4, 0.2, 0.0, -0.1, 0.4];
        for (after, found) in [(2, false), (3, true), (4, true)] {
            let mut values = noise.to_vec();
            values.extend(noise[..after].iter().map(|one| one + 50.0));
            // with two readings behind it the step is not found where it is
            assert_eq!(changes(&values).contains(&8), found, "{after}");
        }
        assert!(changes(&[0.0, 0.1, 9.0, 9.1, 9.2]).is_empty());
        assert!(changes(&[]).is_empty());
    }

    #[test]
    fn each_part_is_looked_at_again() {
        let noise = [0.3, -0.2, 0.1, -0.4, 0.2, 0.0];
        let about = |level: f64| noise.map(|one| one + level);
        let values = [about(0.0), about(20.0), about(40.0)].concat();
        assert_eq!(changes(&values), [6, 12]);
    }

    #[test]
    fn the_level_does_not_change_between_two_readings_of_one_moment() {
        let mut readings = one_series(&[0.1, -0.1, 0.0, 8.1, 7.9, 8.0, 8.1, 7.9]);
        assert_eq!(level_changes(&readings), [3]);
        readings[3].moment = readings[2].moment;
        assert_ne!(level_changes(&readings), [3]);
    }

    #[test]
    fn equal_readings_on_either_side_scatter_as_rounding_does() {
        // t = 1 / (sqrt(1/12) sqrt(2/3)) = 4.24 is below 4.60
        assert!(changes(&[1.0, 1.0, 1.0, 2.0, 2.0, 2.0]).is_empty());
        assert_eq!(changes(&[1.0, 1.0, 1.0, 1.0, 2.0, 2.0, 2.0, 2.0]), [4]);
        assert!(changes(&[1.0; 20]).is_empty());
        assert!(changes(&[1.0, f64::NAN, 1.0, 2.0, 2.0, 2.0]).is_empty());
    }

    /// Of two oils, each run all the time, every reading counts; where one is run before and the other after, nothing tells
    /// a step from their difference.
    #[test]
    fn every_series_has_its_own_level() {
        let noise = [0.3, -0.2, 0.1, -0.4, 0.2, 0.0, -0.1, 0.4, -0.3, 0.1, 0.2, -0.2];
        let of = |series: fn(usize) -> usize, step: f64| {
            let reading = |(place, noise): (usize, &f64)| Reading {
                series: series(place),
                moment: place as i64,
                value: noise + 30.0 * series(place) as f64 + if place < 6 { 0.0 } else { step },
            };
            level_changes(&noise.iter().enumerate().map(reading).collect::<Vec<_>>())
        };
        assert!(of(|place| place % 2, 0.0).is_empty());
        assert_eq!(of(|place| place % 2, 2.0), [6]);
        assert!(of(|place| place / 6, 2.0).is_empty());
    }

    /// Share of simulated series in which a change is found, standard normal but for a step before the reading at a place.
    fn found(readings: usize, step: f64, at: usize, series: usize) -> f64 {
        let mut random = Stream::new(11, 7);
        let of_one = |_| {
            let value = |place: usize| random.normal() + if place < at { 0.0 } else { step };
            let values: Vec<f64> = (0..readings).map(value).collect();
            usize::from(!changes(&values).is_empty())
        };
        (0..series).map(of_one).sum::<usize>() as f64 / series as f64
    }

    /// As the method's description has it: 1 % of steady series, 91 % of steps of 3 standard deviations at 8 of 15.
    #[test]
    fn a_steady_series_changes_once_in_a_hundred_and_three_deviations_are_found_in_nine_of_ten() {
        // 4 standard errors of a share among 3000 and 1000
        let steady = found(15, 0.0, 15, 3000);
        assert!((steady - 0.01).abs() < 0.0075, "{steady}");
        let stepped = found(15, 3.0, 7, 1000);
        assert!((stepped - 0.91).abs() < 0.037, "{stepped}");
    }
}
