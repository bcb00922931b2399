//! One test on the shared position scale: references, candidates with intervals, raw runs, caps, control fluids.

mod draw;
mod row;
mod score;

use crate::charts::ticks::Axis;

pub use score::ScoreChart;

/// How much of the scale is fixed by reference oils.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Anchors {
    /// Known poor at 0 and known good at 1.
    Both,
    /// Known good at 1 only: drawn in a frame, the scale is the test's own.
    Good,
    /// Known poor at 0 only: likewise.
    Poor,
    /// None: likewise, and no reference line.
    None,
}

impl Anchors {
    /// Positions of the reference lines.
    pub(in crate::charts) fn lines(self) -> &'static [f64] {
        match self {
            Self::Both => &[0.0, 1.0],
            Self::Good => &[1.0],
            Self::Poor => &[0.0],
            Self::None => &[],
        }
    }
}

/// Which reference a line stands for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[expect(
    clippy::enum_variant_names,
    reason = "known good, known middle and known poor are words of the trade"
)]
pub enum ReferenceKind {
    /// Dashed.
    KnownPoor,
    /// Thin.
    KnownMiddle,
    /// Solid.
    KnownGood,
}

/// A reference oil as a line across the strip.
#[derive(Clone, Debug, PartialEq)]
pub struct ReferenceLine {
    /// Which.
    pub kind: ReferenceKind,
    /// Its position.
    pub position: f64,
    /// What a pointer on it says.
    pub title: String,
    /// Its raw runs.
    pub runs: Vec<RunTick>,
}

/// Whose mark it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Who {
    /// A candidate, by its place in the trial.
    Candidate(usize),
    /// A control fluid.
    Control,
    /// Another oil, whose number was only said: drawn open.
    Said,
}

/// An estimate with its interval, as positions.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Span {
    /// Estimate.
    pub mean: f64,
    /// Lower end.
    pub lo: f64,
    /// Upper end.
    pub hi: f64,
}

/// How an estimate ends.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Ends {
    /// On both sides.
    Interval,
    /// At the cap, open beyond it.
    Capped,
}

/// Where a raw run comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum RunKind {
    /// Measured.
    Measured,
    /// From a data sheet: drawn open.
    DataSheet,
}

/// One raw run, as positions; a missing end is open.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RunTick {
    /// Lower end.
    pub lo: Option<f64>,
    /// Upper end.
    pub hi: Option<f64>,
    /// Where it comes from.
    pub kind: RunKind,
}

/// One blend on the strip.
#[derive(Clone, Debug, PartialEq)]
pub struct StripMark {
    /// Whose.
    pub who: Who,
    /// What a pointer on it says.
    pub title: String,
    /// The estimate; `None` where only a data sheet speaks.
    pub span: Option<Span>,
    /// How it ends.
    pub ends: Ends,
    /// The estimate in words, drawn where it lies outside the strip.
    pub value_words: String,
    /// Raw runs.
    pub runs: Vec<RunTick>,
}

/// One test.
#[derive(Clone, Debug, PartialEq)]
pub struct StripChart {
    /// Ticks.
    pub axis: Axis,
    /// What fixes the scale.
    pub anchors: Anchors,
    /// Reference oils.
    pub references: Vec<ReferenceLine>,
    /// Half width of the band around each of the two ends, in ways from 0 to 1.
    pub band: Option<f64>,
    /// Position of the cap.
    pub cap: Option<f64>,
    /// Blends, most important first.
    pub marks: Vec<StripMark>,
    /// What the strip shows, in words.
    pub finding: String,
}
