//! The test methods that ship with the program, one data file each, every value with a source mark.

mod bounds;
mod file;
pub mod four_ball_ep;
#[cfg(test)]
mod later_tests;
mod library;
mod mark;
mod method;
mod mode;
mod names;
mod old_words;
#[cfg(test)]
mod published_tests;
mod quantity;
pub mod readings;
mod scale;
pub(crate) mod stated_values;
mod surroundings;
mod value;

pub use bounds::{Bounds, Impossible, Slip, Unusual, slip};
pub use file::{
    ContactFault, FileFault, conditions_from_json, conditions_to_json, contact_from_json, contact_to_json,
    from_word, method_from_toml, own_mark,
};
pub use library::{built_in, built_in_method, built_in_text};
pub use mark::{Mark, Sourced, take_marks};
pub use method::{Category, Condition, LoadRule, Lubricant, Method, MethodContact, NamedContact, Origin};
pub use mode::Mode;
pub use names::MethodId;
pub(crate) use names::names;
pub(crate) use old_words::alike;
pub use old_words::{OldWords, Words, bare_standard};
pub use quantity::{
    Better, FailsBy, PlainNumber, Precision, PrecisionKind, PressureFrom, Quantity, ReadingFault, Use,
};
pub use readings::Readings;
pub use scale::{Scale, ScaleFault, ScaleKind, ScaleParts, step_around};
pub use value::{Reading, Value, Written};
