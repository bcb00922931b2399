//! Use cases that pages, JSON and command line share.

mod caution_words;
mod choices;
mod corrections;
mod demo;
#[expect(clippy::module_inception, reason = "the room is named after what it holds")]
mod desk;
mod error;
pub mod explain;
mod folder;
mod import;
mod judged;
mod standing_json;
mod views;
pub mod words;

pub use choices::Choices;
pub use corrections::Correction;
pub(crate) use desk::now;
pub use desk::{Desk, PAGE_LENGTH, StartWith, preview_first_load};
pub use error::DeskError;
pub use import::{ImportCounts, ImportPreview, ImportRow, Verdict};
pub use standing_json::standing_json;
pub use views::{Comparison, Loaded, TrialLine, TrialList, TrialQuery};
