//! Plain chart descriptions to SVG text. Nothing outside this room names the drawing library, which writes through one
//! backend of ours.
//!
//! A chart is described in words and numbers ([`StripChart`], [`ScoreChart`], [`ContactPicture`]) and drawn to an
//! [`Svg`]. Colours are roles ([`Role`]): they leave this room as CSS custom properties, so that dark mode, print and
//! highlighting need no second drawing. Points that are not finite are left out; points outside a scale are drawn at
//! its edge with their value.
//!
//! **Invariant:** no colour value and no `NaN` in a finished drawing (tested).

mod bars;
mod contact_picture;
mod control;
mod family;
mod footprint;
mod ladder;
mod lanes;
mod marks;
mod outcomes;
mod pen;
mod plane;
mod role;
mod scale;
mod section;
mod strip;
mod svg;
mod ticks;
mod treat_rate;
mod two_bodies;

pub use bars::{Amount, cover_square, weight_bar};
pub use contact_picture::{ContactKind, ContactPicture, Detail};
pub use control::{Certainty, ControlChart, ControlPoint, ControlStretch, control_chart};
pub use family::{FamilyChart, FamilyRow};
pub use footprint::{FootprintChart, Outline};
pub use ladder::LadderChart;
pub use marks::{legend_control, legend_failed, legend_mark, legend_said, mark_words};
pub use outcomes::{OutcomeMark, OutcomeRank, OutcomeStrip};
pub use pen::arc;
pub use plane::{Look, PlaneAxis, PlaneChart, PlaneScale, PlaneSeries};
pub use role::Role;
pub use scale::Width;
#[cfg(test)]
pub use section::TextBox;
pub use section::{
    AreaChart, AreaShape, Arrow, ClassForm, DimensionLine, Heads, Place, SectionChart, Shape, circle, disc,
    length,
};
pub use strip::{
    Anchors, Ends, ReferenceKind, ReferenceLine, RunKind, RunTick, ScoreChart, Span, StripChart, StripMark,
    Who,
};
pub use svg::Svg;
pub use ticks::{Axis, AxisKind};
pub use treat_rate::{RateChart, RatePoint};
pub use two_bodies::{AreaForm, TwoBodiesPicture};
