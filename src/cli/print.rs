//! Lines to standard output and standard error.

use crate::cli::Answer;
use std::fmt::Display;
use std::io::{self, Write};
use std::path::Path;

/// One line of the answer. A reader that went away is no failure.
pub(super) fn answer(line: &str) -> io::Result<()> {
    let mut out = io::stdout().lock();
    let written = writeln!(out, "{line}").and_then(|()| out.flush());
    match written {
        Err(error) if error.kind() == io::ErrorKind::BrokenPipe => Ok(()),
        other => other,
    }
}

/// That something was written.
pub(super) fn written_to(what: &dyn Display, place: &Path) -> anyhow::Result<Answer> {
    answer(&format!("{what} written to {}", place.display()))?;
    Ok(Answer::Done)
}

/// One line for the person at the terminal.
pub(super) fn diagnostic(line: &str) {
    // Nobody is left to tell when standard error is closed.
    let _ = writeln!(io::stderr().lock(), "{line}");
}

/// `1 fault`, `2 faults`.
pub(super) fn counted(number: usize, one: &str) -> String {
    match number {
        1 => format!("1 {one}"),
        _ => format!("{number} {one}s"),
    }
}
