//! The archive in one SQLite file. Nobody else names the database crate.
//!
//! **Invariant:** results, readings and decisions are never deleted and never overwritten; triggers in the schema hold
//! that against any program. **Invariant:** what a write did is on disk when it returns, or nothing of it is.
//! The store keeps and finds records; it judges nothing.

mod backup;
mod check;
mod error;
mod history;
mod import;
mod list;
mod merge;
mod open;
mod progress;
mod read;
mod rigs;
mod search;
mod summaries;
mod table;
mod write;

pub use check::Problem;
pub use error::StoreError;
pub use import::{Fate, GivenRun};
pub use list::{Part, TrialFilter, TrialHead, TrialOrder};
pub use merge::{Added, Conflict};
pub use open::Store;
pub use progress::Progress;
pub use search::{Hit, HitPlace};
