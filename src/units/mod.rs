//! Intervals, unit words and exact factors. Everything inside the program is SI; units exist at the edge only.

mod interval;
mod measure;
mod numbers;
mod shown;
mod unit;

pub use interval::Interval;
pub use measure::Measure;
pub use numbers::number_words;
pub use shown::{DecimalSign, ForceUnit, InUnit, PressureUnit, Shown, TemperatureUnit, Thousands};
pub use unit::{Dimension, Unit, UnknownUnit};
