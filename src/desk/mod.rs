//! Use cases that pages, JSON and command line share.

mod caution_words;
mod views;
pub mod words;

pub use views::{Comparison, TrialLine, TrialList, TrialQuery};
