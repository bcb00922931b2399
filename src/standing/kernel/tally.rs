//! Scores of a stretch of draws, and what is counted over them. Stretches have a fixed length and are added up in their
//! order, so the number of threads changes nothing.

use crate::standing::kernel::positions::place;
use crate::standing::kernel::selection::{Beside, Weighed};

/// Draws per stretch: the positions of one stretch stay in the processor's cache.
pub(super) const STRETCH: usize = 256;

/// Scores closer than this (as a part of the total weight) are level.
pub(super) const TIE: f64 = 1e-12;

/// Scores of one stretch, not divided by the total weight. Lists are test after test, or candidate after candidate.
pub(super) struct Stretch {
    /// Its first draw.
    pub(super) from: usize,
    /// Weight per counted test and draw.
    pub(super) weights: Vec<f64>,
    /// Sum of them per draw; positive.
    pub(super) total: Vec<f64>,
    /// Weighted sum of positions per present candidate and draw.
    pub(super) sums: Vec<f64>,
}

impl Weighed<'_> {
    /// Where each stretch starts and how long it is.
    pub(super) fn stretches(&self) -> Vec<(usize, usize)> {
        let draws = self.fitted.input.draws;
        (0..draws)
            .step_by(STRETCH)
            .map(|from| (from, STRETCH.min(draws - from)))
            .collect()
    }

    pub(super) fn stretch(&self, from: usize, len: usize) -> Stretch {
        let mut stretch = self.stretch_of_weights(from, len);
        stretch.sums = self.sums(&stretch);
        stretch
    }

    /// A stretch before anything is summed but the weights.
    pub(super) fn stretch_of_weights(&self, from: usize, len: usize) -> Stretch {
        let mut weights = vec![0.0; self.counted.len() * len];
        let mut total = vec![0.0; len];
        for (&k, weights) in self.counted.iter().zip(weights.chunks_exact_mut(len)) {
            self.draws.write(k, from, weights);
            let add = |(sum, weight): (&mut f64, &f64)| *sum += weight;
            total.iter_mut().zip(weights.iter()).for_each(add);
        }
        Stretch {
            from,
            weights,
            total,
            sums: Vec::new(),
        }
    }

    fn sums(&self, stretch: &Stretch) -> Vec<f64> {
        let number = stretch.from / STRETCH;
        if let Some(kept) = self.kept.get() {
            return kept[number].clone();
        }
        if let Some((Beside { other, changed }, kept)) = self
            .beside
            .as_ref()
            .and_then(|beside| Some((beside, beside.other.kept.get()?)))
        {
            let mut sums = kept[number].clone();
            other.sum(&mut sums, stretch, changed, |sum, term| sum - term);
            self.sum(&mut sums, stretch, changed, |sum, term| sum + term);
            return sums;
        }
        let mut sums = vec![0.0; self.present.len() * stretch.total.len()];
        let all: Vec<usize> = (0..self.counted.len()).collect();
        self.sum(&mut sums, stretch, &all, |sum, term| sum + term);
        sums
    }

    /// Takes weight * position of some of the counted tests, by place among them, into the sums of every present
    /// candidate (adds it or takes it away): test after test in their order, several of them in one go over the sums.
    pub(super) fn sum(
        &self,
        sums: &mut [f64],
        stretch: &Stretch,
        places: &[usize],
        with: impl Fn(f64, f64) -> f64,
    ) {
        let len = stretch.total.len();
        let weights = |at: usize| &stretch.weights[at * len..][..len];
        let mut anew = [[0.0; STRETCH]; TOGETHER];
        for (&i, sums) in self.present.iter().zip(sums.chunks_exact_mut(len)) {
            for places in places.chunks(TOGETHER) {
                let mut anew = anew.iter_mut();
                let mut term =
                    |at: usize| (weights(at), self.positions(at, i, stretch.from, anew.next(), len));
                if let [a, b, c, d] = *places {
                    let [(wa, a), (wb, b), (wc, c), (wd, d)] = [term(a), term(b), term(c), term(d)];
                    for x in 0..len {
                        let sum = with(sums[x], wa[x] * f64::from(a[x]));
                        let sum = with(sum, wb[x] * f64::from(b[x]));
                        let sum = with(sum, wc[x] * f64::from(c[x]));
                        sums[x] = with(sum, wd[x] * f64::from(d[x]));
                    }
                } else {
                    for at in places {
                        let (weights, positions) = term(*at);
                        for ((sum, weight), &position) in sums.iter_mut().zip(weights).zip(positions) {
                            *sum = with(*sum, weight * f64::from(position));
                        }
                    }
                }
            }
        }
    }

    /// Positions of a candidate in a counted test in some draws, written to `anew` where they are of another head-room.
    fn positions<'a>(
        &'a self,
        at: usize,
        candidate: usize,
        from: usize,
        anew: Option<&'a mut [f32; STRETCH]>,
        len: usize,
    ) -> &'a [f32] {
        let test = &self.fitted.tests[self.counted[at]];
        match anew.filter(|_| self.head_room != test.head_room) {
            None => &test.positions[candidate][from..][..len],
            Some(anew) => {
                place(
                    &test.ratios[candidate][from..][..len],
                    self.head_room,
                    &mut anew[..len],
                );
                &anew[..len]
            }
        }
    }
}

/// Tests that are added in one go.
const TOGETHER: usize = 4;

/// Adds to `firsts` (per candidate) the draws in which it has the greatest sum; ties share a draw.
pub(super) fn count_firsts(sums: &[f64], total: &[f64], firsts: &mut [f64]) {
    let len = total.len();
    let mut limit = vec![f64::NEG_INFINITY; len];
    for sums in sums.chunks_exact(len) {
        limit
            .iter_mut()
            .zip(sums)
            .for_each(|(top, &s)| *top = if s > *top { s } else { *top });
    }
    limit
        .iter_mut()
        .zip(total)
        .for_each(|(top, total)| *top -= TIE * total);
    let counts: Vec<f64> = sums
        .chunks_exact(len)
        .map(|sums| at_or_above(sums, &limit))
        .collect();
    // every draw has a first; more of them than draws means that some share one
    if counts.iter().sum::<f64>() > len as f64 {
        share_firsts(sums, &limit, firsts);
    } else {
        firsts
            .iter_mut()
            .zip(counts)
            .for_each(|(first, count)| *first += count);
    }
}

/// In how many draws the sum reaches the limit.
fn at_or_above(sums: &[f64], limit: &[f64]) -> f64 {
    let reaches = sums.iter().zip(limit).filter(|(s, limit)| s >= limit);
    reaches.count() as f64
}

fn share_firsts(sums: &[f64], limit: &[f64], firsts: &mut [f64]) {
    let len = limit.len();
    let mut share = vec![0.0; len];
    for sums in sums.chunks_exact(len) {
        for ((count, &s), &limit) in share.iter_mut().zip(sums).zip(limit) {
            *count += if s >= limit { 1.0 } else { 0.0 };
        }
    }
    share
        .iter_mut()
        .for_each(|count: &mut f64| *count = count.recip());
    for (first, sums) in firsts.iter_mut().zip(sums.chunks_exact(len)) {
        let mut won = 0.0;
        for ((&share, &s), &limit) in share.iter().zip(sums).zip(limit) {
            won += if s >= limit { share } else { 0.0 };
        }
        *first += won;
    }
}

/// Adds to `wins` (per candidate) the draws in which the one at place `of` is above it; ties count half.
pub(super) fn count_wins(of: usize, sums: &[f64], total: &[f64], wins: &mut [f64]) {
    let len = total.len();
    let own = &sums[of * len..(of + 1) * len];
    for (win, sums) in wins.iter_mut().zip(sums.chunks_exact(len)) {
        let mut won = 0.0;
        for ((own, other), total) in own.iter().zip(sums).zip(total) {
            let (difference, tolerance) = (own - other, TIE * total);
            let above = if difference > tolerance { 0.5 } else { 0.0 };
            let not_below = if difference >= -tolerance { 0.5 } else { 0.0 };
            won += above + not_below;
        }
        *win += won;
    }
}

/// Ranks and pairwise wins of one stretch, indexed by place among the present candidates.
pub(super) struct Order {
    /// rank_counts[i * n + r]: draws in which i has rank r; ties share the ranks they span.
    pub(super) ranks: Vec<f64>,
    /// wins[i * n + j]: draws in which i is above j; ties count half.
    pub(super) wins: Vec<f64>,
}

pub(super) fn count_order(sums: &[f64], total: &[f64], number: usize) -> Order {
    let len = total.len();
    let mut above = vec![0.0; number * len];
    let mut level = vec![0.0; number * len];
    let mut wins = vec![0.0; number * number];
    for i in 0..number {
        for j in i + 1..number {
            let (mut won, mut tied) = (0.0, 0.0);
            let (left, right) = above.split_at_mut(j * len);
            let (left, right) = (&mut left[i * len..(i + 1) * len], &mut right[..len]);
            let (mine, theirs) = (&sums[i * len..(i + 1) * len], &sums[j * len..(j + 1) * len]);
            for x in 0..len {
                let (difference, tolerance) = (mine[x] - theirs[x], TIE * total[x]);
                let wins = if difference > tolerance { 1.0 } else { 0.0 };
                let loses = if difference < -tolerance { 1.0 } else { 0.0 };
                right[x] += wins;
                left[x] += loses;
                won += wins;
                tied += 1.0 - wins - loses;
            }
            wins[i * number + j] = won + 0.5 * tied;
            wins[j * number + i] = len as f64 - wins[i * number + j];
            if tied > 0.0 {
                mark_level(mine, theirs, total, &mut level, (i, j));
            }
        }
    }
    let mut ranks = vec![0.0; number * number];
    for i in 0..number {
        for x in 0..len {
            let (first, ties) = (above[i * len + x] as usize, level[i * len + x] as usize);
            let last = (first + ties).min(number - 1);
            let share = 1.0 / (last - first + 1) as f64;
            ranks[i * number + first..=i * number + last]
                .iter_mut()
                .for_each(|r| *r += share);
        }
    }
    Order { ranks, wins }
}

fn mark_level(mine: &[f64], theirs: &[f64], total: &[f64], level: &mut [f64], pair: (usize, usize)) {
    let len = total.len();
    for x in 0..len {
        if (mine[x] - theirs[x]).abs() <= TIE * total[x] {
            level[pair.0 * len + x] += 1.0;
            level[pair.1 * len + x] += 1.0;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Sums of the same numbers in another order differ in their last digits.
    #[test]
    fn scores_are_level_within_a_millionth_of_a_millionth_of_the_weight() {
        let total = [4.0];
        for (by, level) in [(0.0, true), (0.9 * TIE, true), (1.1 * TIE, false)] {
            let sums = [1.0, 1.0 - by * total[0]];
            let mut firsts = [0.0; 2];
            count_firsts(&sums, &total, &mut firsts);
            let order = count_order(&sums, &total, 2);
            let (shares, wins) = match level {
                true => ([0.5, 0.5], [0.0, 0.5, 0.5, 0.0]),
                false => ([1.0, 0.0], [0.0, 1.0, 0.0, 0.0]),
            };
            assert_eq!(firsts, shares, "{by}");
            assert_eq!(order.wins, wins, "{by}");
            assert_eq!(order.ranks, [shares[0], shares[1], shares[1], shares[0]], "{by}");
        }
    }
}
