//! A closed interval of real numbers: a machine's range of one quantity, or a test's value when its ends agree.

use serde::Deserialize;
use std::fmt;

/// `lo <= hi`, both finite. It is read from one number, or from a pair.
#[derive(Clone, Copy, Debug, PartialEq, Deserialize)]
#[serde(try_from = "OneOrTwo")]
pub struct Interval {
    lo: f64,
    hi: f64,
}

#[derive(Deserialize)]
#[serde(untagged)]
enum OneOrTwo {
    One(f64),
    Two([f64; 2]),
}

impl TryFrom<OneOrTwo> for Interval {
    /// The sum of the ends, which is not finite.
    type Error = f64;

    fn try_from(ends: OneOrTwo) -> Result<Self, f64> {
        let (OneOrTwo::One(lo) | OneOrTwo::Two([lo, _])) = ends;
        let (OneOrTwo::One(hi) | OneOrTwo::Two([_, hi])) = ends;
        Self::new(lo, hi).ok_or(lo + hi)
    }
}

impl Interval {
    /// The interval between two finite numbers, in either order; `None` when one of them is not finite.
    pub fn new(a: f64, b: f64) -> Option<Self> {
        (a.is_finite() && b.is_finite()).then(|| Self {
            lo: a.min(b),
            hi: a.max(b),
        })
    }

    /// The interval that holds one finite number.
    pub fn point(value: f64) -> Option<Self> {
        Self::new(value, value)
    }

    /// Lower end.
    pub fn lo(self) -> f64 {
        self.lo
    }

    /// Upper end.
    pub fn hi(self) -> f64 {
        self.hi
    }

    /// Whether both ends agree.
    pub fn is_point(self) -> bool {
        self.lo == self.hi
    }

    /// Gap between two intervals, 0 where they overlap.
    pub fn gap(self, other: Self) -> f64 {
        (other.lo - self.hi).max(self.lo - other.hi).max(0.0)
    }

    /// How far this interval lies above another's upper end, 0 where it does not.
    pub fn excess_over(self, other: Self) -> f64 {
        (self.lo - other.hi).max(0.0)
    }

    /// Both ends through a monotone function; `None` when an end leaves the finite numbers.
    pub fn map(self, f: impl Fn(f64) -> f64) -> Option<Self> {
        Self::new(f(self.lo), f(self.hi))
    }

    /// Both ends brought into `[lo, hi]`.
    pub fn clamp(self, lo: f64, hi: f64) -> Self {
        Self {
            lo: self.lo.clamp(lo, hi),
            hi: self.hi.clamp(lo, hi),
        }
    }

    /// The smallest interval that holds both.
    pub fn hull(self, other: Self) -> Self {
        Self {
            lo: self.lo.min(other.lo),
            hi: self.hi.max(other.hi),
        }
    }
}

impl fmt::Display for Interval {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.is_point() {
            write!(f, "{}", self.lo)
        } else {
            write!(f, "{} to {}", self.lo, self.hi)
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn between(a: f64, b: f64) -> Interval {
        Interval::new(a, b).unwrap()
    }

    #[test]
    fn overlapping_intervals_have_no_gap_and_others_the_distance_of_their_near_ends() {
        assert_eq!(between(1.0, 3.0).gap(between(2.0, 5.0)), 0.0);
        assert_eq!(between(1.0, 2.0).gap(between(5.0, 9.0)), 3.0);
        assert_eq!(between(5.0, 9.0).gap(between(1.0, 2.0)), 3.0);
    }

    #[test]
    fn only_lying_above_counts_as_excess() {
        assert_eq!(between(5.0, 9.0).excess_over(between(1.0, 2.0)), 3.0);
        assert_eq!(between(1.0, 2.0).excess_over(between(5.0, 9.0)), 0.0);
    }

    #[test]
    fn a_number_that_is_not_finite_makes_no_interval() {
        assert_eq!(Interval::new(f64::NAN, 1.0), None);
        assert_eq!(Interval::point(f64::INFINITY), None);
    }
}
