//! Why the store could not do what was asked.

use crate::store::{Conflict, Problem};
use std::path::PathBuf;

/// Why the store could not do what was asked.
#[derive(Debug, thiserror::Error)]
pub enum StoreError {
    /// There is no such file or record.
    #[error("{0} does not exist")]
    NotFound(String),
    /// Something with that name is there already.
    #[error("{0} exists already")]
    AlreadyThere(String),
    /// The file is not one of ours.
    #[error("{} {problem}", path.display())]
    NotOurs {
        /// The file.
        path: PathBuf,
        /// What it is instead.
        problem: String,
    },
    /// The same key is there with other values; nothing was written.
    #[error("{} records are there with other values", .0.len())]
    Conflicts(Vec<Conflict>),
    /// A result can no longer be corrected or voided: why.
    #[error("{0}")]
    NotCurrent(String),
    /// What is stored cannot be understood.
    #[error("{} stored values cannot be read; the first: {}", .0.len(), .0.first().map(ToString::to_string).unwrap_or_default())]
    Damaged(Vec<Problem>),
    /// The database refused or failed.
    #[error("the database: {0}")]
    Db(#[from] sqlx::Error),
    /// The tables could not be brought up to date.
    #[error("the database: {0}")]
    Tables(#[from] sqlx::migrate::MigrateError),
}
