//! What a lead rests on: shares of it, tipping factors, and how many independent tests the weights amount to.

pub use crate::resemblance::FAMILY_CORRELATION;

/// Contributions w |d| below this are no difference.
const NOTHING: f64 = 1e-9;

/// Share of the lead that each test supplies: w_k d_k / D.
///
/// where d_k = `front`_k - `rival`_k (mean positions) and D = sum of w d. A share above 1 means that without the test
/// the pair would reverse. `None` when the two are level.
pub fn lead_shares(weights: &[f64], front: &[f64], rival: &[f64]) -> Option<Vec<f64>> {
    let parts = contributions(weights, front, rival);
    let lead: f64 = parts.iter().sum();
    (lead.abs() > NOTHING).then(|| parts.iter().map(|part| part / lead).collect())
}

fn contributions(weights: &[f64], front: &[f64], rival: &[f64]) -> Vec<f64> {
    weights
        .iter()
        .zip(front.iter().zip(rival))
        .map(|(w, (f, r))| w * (f - r))
        .collect()
}

/// A weight factor at which the front-runner and a rival are level.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Tipping {
    /// The pair is level when the test's weight is multiplied by this.
    pub factor: f64,
    /// The rival, by place in the input.
    pub rival: usize,
}

/// Tipping factors of one test, over all rivals.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct TestTipping {
    /// The largest in [0, 1): the weight falls.
    pub down: Option<Tipping>,
    /// The smallest in (1, 1 / weight]: the weight rises, but not above 1.
    pub up: Option<Tipping>,
}

/// Tipping factors t = 1 - D / (w_k d_k) of every test: `front` against each of `rivals` (place and mean positions).
/// Contributions w |d| below 1e-9 are left out.
pub fn tipping(weights: &[f64], front: &[f64], rivals: &[(usize, &[f64])]) -> Vec<TestTipping> {
    let mut tips = vec![TestTipping::default(); weights.len()];
    for &(rival, positions) in rivals {
        let parts = contributions(weights, front, positions);
        let lead: f64 = parts.iter().sum();
        for ((tip, &part), &weight) in tips.iter_mut().zip(&parts).zip(weights) {
            let Some(factor) = factor_that_levels(part, lead, weight) else {
                continue;
            };
            let found = Tipping { factor, rival };
            if factor < 1.0 {
                let nearer = tip.down.is_none_or(|known| factor > known.factor);
                tip.down = if nearer { Some(found) } else { tip.down };
            } else {
                let nearer = tip.up.is_none_or(|known| factor < known.factor);
                tip.up = if nearer { Some(found) } else { tip.up };
            }
        }
    }
    tips
}

/// t = 1 - lead / part where it can be reached: in [0, 1) for a test that favours the front-runner, in (1, 1 / weight]
/// for one that favours the rival, since no weight exceeds 1.
fn factor_that_levels(part: f64, lead: f64, weight: f64) -> Option<f64> {
    let factor = 1.0 - lead / part;
    let falls = part > NOTHING && (0.0..1.0).contains(&factor);
    let rises = part < -NOTHING && factor > 1.0 && factor <= 1.0 / weight;
    (falls || rises).then_some(factor)
}

/// Tipping factors of every test against one rival: below 1 the weight falls, above 1 it rises; `None` where no weight of
/// that test alone levels the pair.
pub fn tipping_factors(weights: &[f64], front: &[f64], rival: &[f64]) -> Vec<Option<f64>> {
    let parts = contributions(weights, front, rival);
    let lead: f64 = parts.iter().sum();
    let factor = |(part, weight): (&f64, &f64)| factor_that_levels(*part, lead, *weight);
    parts.iter().zip(weights).map(factor).collect()
}

/// The smallest common change of weights that levels two blends: the weight of every test that favours the front-runner
/// divided by f, of every test that favours the rival multiplied by f.
///
/// # Formula
/// f = sqrt(P / N), where P is the sum of w d over tests with d > 0 and N that of w |d| over tests with d < 0: then
/// P / f = N f. Of all changes that level the pair this one has the smallest greatest |ln factor|: with every factor
/// within 1/f'..f' and f' < f, the sum stays at least P / f' - N f' > 0. `None` where no test favours the rival (no weights put it in front), or where the front-runner does not lead.
pub fn common_factor(weights: &[f64], front: &[f64], rival: &[f64]) -> Option<f64> {
    let parts = contributions(weights, front, rival);
    let sum = |sign: f64| -> f64 {
        let of_sign = parts.iter().map(|part| sign * part);
        of_sign.filter(|part| *part > NOTHING).sum()
    };
    let (for_front, for_rival) = (sum(1.0), sum(-1.0));
    (for_rival > 0.0 && for_front >= for_rival).then(|| (for_front / for_rival).sqrt())
}

/// Effective number of tests: (sum w)^2 / (w' C w), where C is 1 on the diagonal, `within` between tests of one family
/// and 0 elsewhere. 0 when nothing is weighed.
pub fn effective_number(weights: &[f64], families: &[&str], within: f64) -> f64 {
    let sum: f64 = weights.iter().sum();
    let mut spread = 0.0;
    for (i, (a, family_a)) in weights.iter().zip(families).enumerate() {
        for (j, (b, family_b)) in weights.iter().zip(families).enumerate() {
            let correlation = if i == j {
                1.0
            } else if family_a == family_b {
                within
            } else {
                0.0
            };
            spread += a * b * correlation;
        }
    }
    if spread > 0.0 { sum * sum / spread } else { 0.0 }
}

#[cfg(test)]
mod tests {
    use super::*;

    const WEIGHTS: [f64; 3] = [0.5, 0.3, 0.2];
    const FRONT: [f64; 3] = [0.9, 0.2, 0.5];
    const RIVAL: [f64; 3] = [0.3, 0.8, 0.6];

    #[test]
    fn shares_and_tipping_factors_have_their_closed_form() {
        // closed form, worked by hand
        let shares = lead_shares(&WEIGHTS, &FRONT, &RIVAL).unwrap();
        for (share, expected) in shares.iter().zip([3.0, -1.8, -0.2]) {
            assert!((share - expected).abs() < 1e-12);
        }
        let tips = tipping(&WEIGHTS, &FRONT, &[(1, &RIVAL)]);
        let factor = |tip: Option<Tipping>| tip.unwrap().factor;
        assert!((factor(tips[0].down) - 2.0 / 3.0).abs() < 1e-12 && tips[0].up.is_none());
        assert!((factor(tips[1].up) - 14.0 / 9.0).abs() < 1e-12 && tips[1].down.is_none());
        // the third would be level at 6 times its weight, but 0.2 can rise fivefold only
        assert_eq!(tips[2], TestTipping::default());
    }

    #[test]
    fn the_nearest_rival_is_reported() {
        let nearer = [0.35, 0.8, 0.6];
        let tips = tipping(&WEIGHTS, &FRONT, &[(1, &RIVAL), (2, &nearer)]);
        assert_eq!(tips[0].down.unwrap().rival, 2);
    }

    #[test]
    fn one_rival_has_its_own_factors() {
        // the same closed form as above
        let factors = tipping_factors(&WEIGHTS, &FRONT, &RIVAL);
        assert!((factors[0].unwrap() - 2.0 / 3.0).abs() < 1e-12);
        assert!((factors[1].unwrap() - 14.0 / 9.0).abs() < 1e-12);
        assert_eq!(factors[2], None);
    }

    #[test]
    fn the_common_factor_levels_the_pair_and_no_smaller_one_does() {
        // worked by hand: P = 0.3, N = 0.18 + 0.02
        let factor = common_factor(&WEIGHTS, &FRONT, &RIVAL).unwrap();
        assert!((factor - 1.5f64.sqrt()).abs() < 1e-12);
        let lead = |f: f64| -> f64 {
            let moved = contributions(&WEIGHTS, &FRONT, &RIVAL).into_iter();
            moved
                .map(|part| if part > 0.0 { part / f } else { part * f })
                .sum()
        };
        assert!(lead(factor).abs() < 1e-12 && lead(0.99 * factor) > 0.0);
        // a rival that nothing favours is not reached by weights, and one that leads needs no change
        assert_eq!(common_factor(&WEIGHTS, &[0.9; 3], &[0.3; 3]), None);
        assert_eq!(common_factor(&WEIGHTS, &RIVAL, &FRONT), None);
    }

    #[test]
    fn level_blends_have_no_shares_and_no_tipping_factor() {
        assert_eq!(lead_shares(&WEIGHTS, &FRONT, &FRONT), None);
        assert_eq!(
            tipping(&WEIGHTS, &FRONT, &[(1, &FRONT)]),
            vec![TestTipping::default(); 3]
        );
    }

    #[test]
    fn a_lead_has_shares_above_a_thousand_millionth() {
        for (lead, has_shares) in [(0.0, false), (0.9e-9, false), (NOTHING, false), (1.1e-9, true)] {
            for sign in [-1.0, 1.0] {
                let shares = lead_shares(&[1.0], &[sign * lead], &[0.0]);
                assert_eq!(shares, has_shares.then(|| vec![1.0]), "{sign} {lead}");
            }
        }
    }

    #[test]
    fn tests_of_one_family_count_for_less() {
        // closed form (Kish), worked by hand
        assert!((effective_number(&WEIGHTS, &["a", "b", "c"], 0.8) - 1.0 / 0.38).abs() < 1e-14);
        assert!((effective_number(&WEIGHTS, &["a", "a", "c"], 0.8) - 1.0 / 0.62).abs() < 1e-14);
        assert_eq!(effective_number(&[0.0, 0.0], &["a", "b"], 0.8), 0.0);
        assert_eq!(effective_number(&[], &[], 0.8), 0.0);
    }
}
