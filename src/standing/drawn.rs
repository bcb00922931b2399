//! How a test is drawn: a scale of positions, estimates and raw runs on it.

use crate::catalogue::{Better, Scale, Value};
use crate::records::{BlendCode, ResultSource, Role};
use crate::units::Unit;
use std::collections::BTreeMap;

/// A mean with an interval, on the position scale.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Position {
    /// Mean.
    pub mean: f64,
    /// 5 % quantile.
    pub lo: f64,
    /// 95 % quantile.
    pub hi: f64,
}

/// What fixes the position scale of a test.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Anchored {
    /// Known poor at 0, known good at 1.
    Both,
    /// One reference only; the other end is twice the reproducibility away.
    One,
    /// No reference: the scale spans the data and means nothing else.
    None,
}

/// One raw run as the plot shows it, on the position scale.
#[derive(Clone, Debug, PartialEq)]
pub struct RunMark {
    /// The blend.
    pub blend: BlendCode,
    /// Its role.
    pub role: Role,
    /// The value in the quantity's unit.
    pub value: Value,
    /// Position of the lower bound; equal to `hi` for a reading, `None` when unbounded.
    pub lo: Option<f64>,
    /// Position of the upper bound.
    pub hi: Option<f64>,
    /// Data-sheet values are drawn open and never weighed.
    pub source: ResultSource,
    /// What is known against it: `suspect`, `beyond the critical range`, `rig out of control`, or `other conditions`
    /// (shown, not pooled).
    pub mark: Option<&'static str>,
}

/// How a test is drawn: position u stands for `zero + u * per_position` on the working scale.
#[derive(Clone, Debug, PartialEq)]
pub struct Strip {
    /// What fixes the scale.
    pub anchored: Anchored,
    /// Working scale.
    pub scale: Scale,
    /// Unit of the ticks.
    pub unit: Unit,
    /// Which way is better.
    pub better: Better,
    /// Working value at position 0.
    pub zero: f64,
    /// Working value of one position; negative where lower is better.
    pub per_position: f64,
    /// Position of the cap, where there is one.
    pub cap: Option<f64>,
    /// Steps in the quantity's unit, for the ticks of a ladder.
    pub steps: Vec<f64>,
    /// Half width, in positions, of the band within which a single result cannot be told from a reference.
    pub band: Option<f64>,
    /// Where each blend's estimate is drawn: on the axis, not held within the head-room of the score.
    pub marks: BTreeMap<BlendCode, Position>,
    /// Raw runs.
    pub runs: Vec<RunMark>,
}

impl Strip {
    /// The position of a value in the quantity's unit; `None` where the scale has no such value.
    pub fn position_of(&self, value: f64) -> Option<f64> {
        let working = self.scale.to_working(value)?;
        Some((working - self.zero) / self.per_position).filter(|position| position.is_finite())
    }

    /// The value, in the quantity's unit, that stands at a position.
    pub fn value_at(&self, position: f64) -> f64 {
        self.scale.from_working(self.zero + position * self.per_position)
    }
}
