//! The sentences that pages, JSON and command line share.

pub mod answer;
pub mod caution_line;
pub mod cautions;
pub mod decisions;
pub mod faults;
pub mod gates;
pub mod machine;
pub mod no_worse;
pub mod readings;
pub mod reasons;
pub mod resemblance;
pub mod run_next;
pub mod standing;
