//! Why the app could not do what was asked.

use crate::catalogue::MethodId;
use crate::explain::AskFault;
use crate::intake::Fault;
use crate::prose::faults::own_method_fault;
use crate::records::{OwnMethodFault, TestKey};
use crate::store::{Conflict, Problem, StoreError};
use std::error::Error;
use std::path::{Path, PathBuf};

/// Why the app could not do what was asked.
#[derive(Debug, thiserror::Error)]
pub enum AppError {
    /// There is no such trial.
    #[error("there is no trial '{0}'")]
    NoSuchTrial(String),
    /// The trial has no such result.
    #[error("the trial has no result {0}")]
    NoSuchResult(i64),
    /// A result can no longer be corrected or voided: why.
    #[error("{0}")]
    NotCurrent(String),
    /// A file of results beyond the limits.
    #[error("{0}")]
    TooLarge(String),
    /// A file of results that is no CSV, with the mend.
    #[error("{0}")]
    NotText(String),
    /// A question that makes no sense here: which field, and what is wrong with it.
    #[error("{field}: {problem}")]
    Question {
        /// The field.
        field: String,
        /// What is wrong, with the mend.
        problem: String,
    },
    /// A folder was refused whole; nothing of it was kept.
    #[error("the folder is refused: {} faults", .0.len())]
    Refused(Vec<Fault>),
    /// A folder was refused whole because it differs from what is there; nothing of it was kept.
    #[error("the folder is refused: {} records are there with other values", .0.len())]
    Conflicts(Vec<Conflict>),
    /// Stored values that cannot be read.
    #[error("the archive is damaged: {} stored values cannot be read", .0.len())]
    Damaged(Vec<Problem>),
    /// A file or folder that cannot be used, with the mend.
    #[error("{} {problem}", path.display())]
    File {
        /// Its path.
        path: PathBuf,
        /// What is wrong.
        problem: String,
    },
    /// The database refused or failed.
    #[error("the archive's file cannot be used")]
    Store(#[source] StoreError),
    /// A laboratory's own method whose rows are no method.
    #[error("the method {id}")]
    Method {
        /// Its id.
        id: MethodId,
        /// What is wrong with its rows.
        source: Box<NoMethod>,
    },
    /// A result of a test that no method has.
    #[error("result {result} names a test that is not known, {test}")]
    UnknownTest {
        /// The result's id.
        result: i64,
        /// The test.
        test: TestKey,
    },
    /// What was computed on a thread of its own did not come to its end.
    #[error("a computation broke off")]
    BrokenOff(#[from] tokio::task::JoinError),
    /// Something that could not be written down.
    #[error("{what} cannot be written")]
    Unwritten {
        /// What it is.
        what: &'static str,
        /// What the writer says.
        source: Box<dyn Error + Send + Sync>,
    },
}

/// Why rows are no method.
#[derive(Debug, thiserror::Error)]
#[error("{}", own_method_fault(.0))]
pub struct NoMethod(pub OwnMethodFault);

impl AppError {
    pub(crate) fn file(path: &Path, problem: impl ToString) -> Self {
        Self::File {
            path: path.to_path_buf(),
            problem: problem.to_string(),
        }
    }

    pub(crate) fn question(field: &str, problem: impl Into<String>) -> Self {
        Self::Question {
            field: field.to_string(),
            problem: problem.into(),
        }
    }

    pub(crate) fn unwritten<E: Error + Send + Sync + 'static>(what: &'static str) -> impl FnOnce(E) -> Self {
        move |error| Self::Unwritten {
            what,
            source: Box::new(error),
        }
    }
}

impl From<AskFault> for AppError {
    fn from(fault: AskFault) -> Self {
        Self::question(fault.field, fault.problem)
    }
}

impl From<StoreError> for AppError {
    fn from(error: StoreError) -> Self {
        match error {
            StoreError::NotFound(what) => Self::file(Path::new(&what), "does not exist"),
            StoreError::AlreadyThere(what) => Self::file(Path::new(&what), "exists already"),
            StoreError::NotOurs { path, problem } => Self::File { path, problem },
            StoreError::Conflicts(conflicts) => Self::Conflicts(conflicts),
            StoreError::NotCurrent(problem) => Self::NotCurrent(problem),
            StoreError::Damaged(problems) => Self::Damaged(problems),
            StoreError::Db(_) | StoreError::Tables(_) => Self::Store(error),
        }
    }
}
