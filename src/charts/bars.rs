//! Bars: a share of draws, a weight, a contribution to the lead.

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

/// The share of draws in which a candidate ranks first.
pub fn share_bar(candidate: usize, share: Amount) -> Svg {
    bar(share, Role::Candidate(candidate), 160.0, 12.0)
}

/// The weight of a test.
pub fn weight_bar(weight: Amount) -> Svg {
    bar(weight, Role::Accent, 64.0, 9.0)
}

/// What a test adds to the lead or takes from it, on a scale from `-greatest` to `greatest`.
pub fn contribution_bar(contribution: f64, greatest: f64) -> Svg {
    const WIDTH: f64 = 84.0;
    const HEIGHT: f64 = 11.0;
    let mut picture = Picture::new(WIDTH, HEIGHT);
    picture.draw(|pen| {
        let middle = WIDTH / 2.0;
        let share = contribution / greatest;
        if share.is_finite() {
            let end = middle + share.clamp(-1.0, 1.0) * middle;
            let role = if share < 0.0 { Role::Loss } else { Role::Accent };
            pen.area((middle.min(end), 1.0), (middle.max(end), HEIGHT - 1.0), role, 1.0);
        }
        pen.line(&[(middle, 0.0), (middle, HEIGHT)], Role::Quiet, 1.0);
    });
    picture.finish("")
}

#[cfg(test)]
mod tests {
    use super::*;

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

    #[test]
    fn a_loss_and_a_gain_differ_in_role_and_side() {
        assert!(contribution_bar(-0.1, 0.2).to_string().contains("--loss"));
        assert!(contribution_bar(0.1, 0.2).to_string().contains("--accent"));
        let none = contribution_bar(f64::NAN, 0.0).to_string();
        assert!(!none.contains("--accent") && !none.contains("NaN"));
    }
}
