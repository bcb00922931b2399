//! What a lead rests on: shares of it, tipping factors, and how many independent tests the weights amount to.

/// Correlation taken between two tests of one rig (our judgement, no source).
pub const RIG_CORRELATION: f64 = 0.8;

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
            if part.abs() < NOTHING {
                continue;
            }
            let found = Tipping {
                factor: 1.0 - lead / part,
                rival,
            };
            if part > 0.0 && (0.0..1.0).contains(&found.factor) {
                let nearer = tip.down.is_none_or(|known| found.factor > known.factor);
                tip.down = if nearer { Some(found) } else { tip.down };
            }
            if part < 0.0 && found.factor > 1.0 && found.factor <= 1.0 / weight {
                let nearer = tip.up.is_none_or(|known| found.factor < known.factor);
                tip.up = if nearer { Some(found) } else { tip.up };
            }
        }
    }
    tips
}

/// Effective number of tests: (sum w)^2 / (w' C w), where C is 1 on the diagonal, `within` between tests of one rig
/// and 0 elsewhere. 0 when nothing is weighed.
pub fn effective_number(weights: &[f64], rigs: &[&str], within: f64) -> f64 {
    let sum: f64 = weights.iter().sum();
    let mut spread = 0.0;
    for (i, (a, rig_a)) in weights.iter().zip(rigs).enumerate() {
        for (j, (b, rig_b)) in weights.iter().zip(rigs).enumerate() {
            let correlation = if i == j {
                1.0
            } else if rig_a == rig_b {
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
    fn level_blends_have_no_shares_and_no_tipping_factor() {
        assert_eq!(lead_shares(&WEIGHTS, &FRONT, &FRONT), None);
        assert_eq!(
            tipping(&WEIGHTS, &FRONT, &[(1, &FRONT)]),
            vec![TestTipping::default(); 3]
        );
    }

    #[test]
    fn tests_of_one_rig_count_for_less() {
        // closed form (Kish), worked by hand
        assert!((effective_number(&WEIGHTS, &["a", "b", "c"], 0.8) - 1.0 / 0.38).abs() < 1e-14);
        assert!((effective_number(&WEIGHTS, &["a", "a", "c"], 0.8) - 1.0 / 0.62).abs() < 1e-14);
        assert_eq!(effective_number(&[0.0, 0.0], &["a", "b"], 0.8), 0.0);
        assert_eq!(effective_number(&[], &[], 0.8), 0.0);
    }
}
