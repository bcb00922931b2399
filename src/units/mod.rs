//! Intervals, unit words, exact factors and the scale between reference oils. Everything inside the program is SI; units exist at the edge only.

mod display;
mod interval;
mod measure;
mod position;
mod unit;

pub use display::{
    DecimalSign, DisplayPreferences, ForceUnit, InUnit, PressureUnit, TemperatureUnit, Thousands,
};
pub use interval::Interval;
pub use measure::Measure;
pub use position::{position, ratio};
pub use unit::{Dimension, Unit, UnknownUnit};
