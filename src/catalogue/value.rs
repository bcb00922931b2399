//! A result as what it is: a reading, an interval between steps, or a bound. A cap is never a number.

use crate::catalogue::Unusual;

/// A value in its quantity's unit.
#[derive(Clone, Debug, PartialEq)]
pub enum Value {
    /// A reading.
    Exact(f64),
    /// Above `lo`, at most `hi`.
    Between {
        /// The last step passed, or the lower end of a range.
        lo: f64,
        /// The first step failed, or the upper end of a range.
        hi: f64,
    },
    /// Did not fail at this step, the last one run.
    Above(f64),
    /// Failed at or before this step, or less than can be measured.
    Below(f64),
    /// A named class.
    Class(String),
    /// No value: the run was stopped for cause before it had one.
    Stopped,
}

impl Value {
    /// An interval; `None` when its ends are in the wrong order.
    pub fn between(lo: f64, hi: f64) -> Option<Self> {
        if lo == hi {
            Some(Self::Exact(lo))
        } else {
            (lo < hi).then_some(Self::Between { lo, hi })
        }
    }

    /// Whether two values are the same but for the rounding of a conversion: one part in a thousand million (ours).
    pub fn is_same(&self, other: &Self) -> bool {
        let near = |a: f64, b: f64| (a - b).abs() <= 1e-9 * a.abs().max(b.abs());
        match (self, other) {
            (Self::Exact(a), Self::Exact(b))
            | (Self::Above(a), Self::Above(b))
            | (Self::Below(a), Self::Below(b)) => near(*a, *b),
            (Self::Between { lo, hi }, Self::Between { lo: a, hi: b }) => near(*lo, *a) && near(*hi, *b),
            _ => self == other,
        }
    }

    /// Whether the last step run was passed.
    pub fn is_capped(&self) -> bool {
        matches!(self, Self::Above(_))
    }

    /// The step at which it failed; a cap counts as the last step run.
    pub fn failing_step(&self) -> Option<f64> {
        match *self {
            Self::Exact(value) | Self::Above(value) | Self::Below(value) => Some(value),
            Self::Between { hi, .. } => Some(hi),
            Self::Class(_) | Self::Stopped => None,
        }
    }

    /// The last step that was passed; a failure at the first step counts as that step.
    pub fn passed_step(&self) -> Option<f64> {
        match *self {
            Self::Exact(value) | Self::Above(value) | Self::Below(value) => Some(value),
            Self::Between { lo, .. } => Some(lo),
            Self::Class(_) | Self::Stopped => None,
        }
    }
}

/// A value as somebody wrote it, after its characters are understood and before the quantity says what it means.
#[derive(Clone, Debug, PartialEq)]
pub enum Written {
    /// A bare number.
    Number(f64),
    /// `>12`, `12+`.
    Above(f64),
    /// `<30`.
    Below(f64),
    /// `30-35`, or the pair pass 11 / fail 12.
    Range(f64, f64),
    /// Words: a class, pass, a rating.
    Word(String),
}

/// What a written value means for its quantity.
#[derive(Clone, Debug, PartialEq)]
pub struct Reading {
    /// The value.
    pub value: Value,
    /// The load is not a step of the ladder; laboratories run intermediate steps, so it keeps its own bounds.
    pub off_ladder: bool,
    /// Why it is asked whether it is right.
    pub unusual: Option<Unusual>,
}

impl From<Value> for Reading {
    /// A reading that needs no ladder.
    fn from(value: Value) -> Self {
        Self {
            value,
            off_ladder: false,
            unusual: None,
        }
    }
}
