//! The bar of a weight, the square of a resemblance.

use crate::charts::pen::Picture;
use crate::charts::role::Role;
use crate::charts::svg::Svg;

/// A number from 0 to 1 for a bar; what is not a number draws an empty one.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Amount(f64);

impl Amount {
    /// The amount, brought into 0 to 1.
    pub fn new(value: Option<f64>) -> Self {
        Self(value.filter(|v| v.is_finite()).unwrap_or(0.0).clamp(0.0, 1.0))
    }
}

fn bar(amount: Amount, role: Role, width: f64, height: f64) -> Svg {
    let mut picture = Picture::new(width, height);
    picture.draw(|pen| {
        pen.area((0.0, 0.0), (width, height), Role::Trough, 1.0);
        let length = (amount.0 * width).max(if amount.0 > 0.0 { 1.0 } else { 0.0 });
        pen.area((0.0, 0.0), (length, height), role, 1.0);
    });
    picture.finish("")
}

/// The weight of a test.
pub fn weight_bar(weight: Amount) -> Svg {
    bar(weight, Role::Accent, 64.0, 9.0)
}

/// Side of the largest square.
const SIDE: f64 = 18.0;

/// A square whose area is the resemblance: filled where the test covers what it stands for, hollow where it is too unlike.
pub fn cover_square(resemblance: Amount, covers: bool) -> Svg {
    let mut picture = Picture::new(SIDE, SIDE);
    picture.draw(|pen| {
        let half = 0.5 * SIDE * resemblance.0.sqrt().max(0.2);
        let (near, far) = (0.5 * SIDE - half, 0.5 * SIDE + half);
        if covers {
            pen.area((near, near), (far, far), Role::Accent, 1.0);
        } else {
            let (near, far) = (near + 0.5, far - 0.5);
            let corners = [(near, near), (far, near), (far, far), (near, far), (near, near)];
            pen.outline(&corners, Role::Quiet, 1.0);
        }
    });
    picture.finish("")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_square_is_filled_only_where_the_test_covers() {
        let drawn = |covers| cover_square(Amount::new(Some(0.5)), covers).to_string();
        assert!(drawn(true).contains("--accent") && !drawn(false).contains("--accent"));
    }

    #[test]
    fn a_bar_of_nothing_has_no_filled_part() {
        for value in [None, Some(0.0), Some(f64::NAN), Some(-1.0)] {
            assert!(!weight_bar(Amount::new(value)).to_string().contains("--accent"));
        }
        assert!(
            weight_bar(Amount::new(Some(7.0)))
                .to_string()
                .contains("--accent")
        );
    }
}
