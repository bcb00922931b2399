//! Intervals, unit words and exact factors. Everything inside the program is SI; units exist at the edge only.

mod display;
mod interval;
mod measure;
mod unit;

pub use display::{
    DecimalSign, DisplayPreferences, ForceUnit, InUnit, PressureUnit, TemperatureUnit, Thousands,
};
pub use interval::Interval;
pub use measure::Measure;
pub use unit::{Dimension, Unit, UnknownUnit};
