//! Use cases that pages, JSON and command line share.

mod views;

pub use views::{Comparison, TrialLine, TrialList, TrialQuery};
