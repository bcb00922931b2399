//! What is wrong with a cell, a row or a file, in words that lead to the place.

use std::fmt;

/// One thing that is wrong.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Fault {
    /// File name.
    pub file: String,
    /// Line, from 1 (the header); 0 where the file as a whole is meant.
    pub line: u64,
    /// Column name, empty where the row as a whole is meant.
    pub column: String,
    /// The offending text as it stands there, cut after 200 characters.
    pub text: String,
    /// What is wrong with it, with the mend.
    pub problem: String,
}

impl Fault {
    pub(crate) fn new(file: &str, line: u64, column: &str, text: &str, problem: impl Into<String>) -> Self {
        Self {
            file: file.to_string(),
            line,
            column: column.to_string(),
            text: text.chars().take(200).collect(),
            problem: problem.into(),
        }
    }
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.file)?;
        if self.line > 0 {
            write!(f, " line {}", self.line)?;
        }
        if !self.column.is_empty() {
            write!(f, ", {}", self.column)?;
        }
        if !self.text.is_empty() {
            write!(f, " '{}'", self.text)?;
        }
        write!(f, ": {}", self.problem)
    }
}
