//! The scale between two reference oils: 0 is the known poor one, 1 the known good one, and beyond them ever slower.

/// Position of a value that lies `ratio` of the way from the known poor to the known good: the ratio itself between
/// the two, beyond them logarithmic, so that more is always better and no test shouts. With a head-room of 0 nothing
/// counts beyond them, with an infinite one everything does in full.
///
/// # Formula
/// Beyond the known good 1 + h ln(1 + (x - 1) / h), beyond the known poor -h ln(1 - x / h) (ours).
#[inline]
pub fn position(ratio: f64, head_room: f64) -> f64 {
    let beyond = (ratio - 1.0).max(-ratio);
    if beyond <= 0.0 || head_room.is_infinite() {
        return ratio;
    }
    let slowed = if head_room > 0.0 {
        // takes less time than ln_1p, and is as exact beside the whole ways that it is added to
        head_room * (1.0 + beyond / head_room).ln()
    } else {
        0.0
    };
    if ratio > 1.0 { 1.0 + slowed } else { -slowed }
}

/// The least ratio that has a position: the inverse of [`position`]. With a head-room of 0 there is none beyond the
/// reference oils, and theirs is returned.
pub fn ratio(position: f64, head_room: f64) -> f64 {
    let slowed = (position - 1.0).max(-position);
    if slowed <= 0.0 || head_room.is_infinite() {
        return position;
    }
    let beyond = if head_room > 0.0 {
        head_room * (slowed / head_room).exp_m1()
    } else {
        0.0
    };
    if position > 1.0 { 1.0 + beyond } else { -beyond }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn between_the_reference_oils_a_position_is_the_ratio_and_beyond_them_ever_less() {
        for inside in [0.0, 0.25, 1.0] {
            assert_eq!(position(inside, 0.5), inside);
        }
        let beyond = [1.0, 2.0, 3.0, 4.0].map(|x| position(x, 0.5));
        let steps: Vec<f64> = beyond.windows(2).map(|pair| pair[1] - pair[0]).collect();
        assert!(
            steps.windows(2).all(|pair| pair[0] > pair[1] && pair[1] > 0.0),
            "{beyond:?}"
        );
        assert_eq!([position(9.0, 0.0), position(-9.0, 0.0)], [1.0, 0.0]);
        assert_eq!(
            [position(9.0, f64::INFINITY), position(-9.0, f64::INFINITY)],
            [9.0, -9.0]
        );
    }

    proptest! {
        #[test]
        fn a_ratio_comes_back_from_its_position(x in -50.0..50.0f64, head_room in 0.05..2.0f64) {
            let back = ratio(position(x, head_room), head_room);
            prop_assert!((back - x).abs() < 1e-9 * x.abs().max(1.0), "{back}");
            prop_assert_eq!(ratio(x, f64::INFINITY), x);
        }

        #[test]
        fn a_better_value_never_has_a_worse_position(x in -50.0..50.0f64, more in 0.0..5.0f64, head_room in 0.0..2.0f64) {
            prop_assert!(position(x + more, head_room) >= position(x, head_room));
            prop_assert!((position(1.0 - x, head_room) - (1.0 - position(x, head_room))).abs() < 1e-12);
        }
    }
}
