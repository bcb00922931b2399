//! What is wrong with a cell, a row or a file, in words that lead to the place.

use serde::Serialize;
use std::fmt;

/// A field of a form, an address or a posted question that cannot be used.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct FieldFault {
    /// The field as it is named there: `blend`, `value.scar`, `weight.fb_ep_oil/weld`.
    pub field: String,
    /// What is wrong with it, with the mend.
    pub problem: String,
}

impl FieldFault {
    /// A fault of a field.
    pub fn new(field: impl Into<String>, problem: impl Into<String>) -> Self {
        Self {
            field: field.into(),
            problem: problem.into(),
        }
    }
}

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
