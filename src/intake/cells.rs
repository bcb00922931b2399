//! The cells of one row, read into their types. Every fault is noted; `None` says that one was.

use crate::catalogue::Mode;
use crate::intake::table::{Row, Table};
use crate::intake::{Fault, read_date, read_number};
use jiff::civil::Date;
use std::collections::BTreeSet;
use std::fmt;

/// The names that a file defines; `None` where the file is too damaged to tell.
pub(crate) type Defined = Option<BTreeSet<String>>;

/// Which numbers a column takes.
#[derive(Clone, Copy)]
pub(crate) enum Range {
    Above0,
    From0,
    From0To1,
    From0To100,
    Any,
}

impl Range {
    fn holds(self, number: f64) -> bool {
        match self {
            Self::Above0 => number > 0.0,
            Self::From0 => number >= 0.0,
            Self::From0To1 => (0.0..=1.0).contains(&number),
            Self::From0To100 => (0.0..=100.0).contains(&number),
            Self::Any => true,
        }
    }
}

impl fmt::Display for Range {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Above0 => "must be above 0",
            Self::From0 => "must not be below 0",
            Self::From0To1 => "must lie between 0 and 1",
            Self::From0To100 => "must lie between 0 and 100",
            Self::Any => "",
        })
    }
}

/// One row and the list to which its faults go.
pub(crate) struct Cells<'a> {
    table: &'a Table,
    row: &'a Row,
    faults: &'a mut Vec<Fault>,
}

impl<'a> Cells<'a> {
    pub(crate) fn new(table: &'a Table, row: &'a Row, faults: &'a mut Vec<Fault>) -> Self {
        Self { table, row, faults }
    }

    /// Line of the row.
    pub(crate) fn line(&self) -> u64 {
        self.row.line
    }

    /// The cell as it stands.
    pub(crate) fn text(&self, column: &str) -> String {
        self.table.cell(self.row, column).to_string()
    }

    /// The cell without surrounding space.
    pub(crate) fn trimmed(&self, column: &str) -> &'a str {
        self.table.cell(self.row, column).trim()
    }

    /// Notes what is wrong with a cell. A column that the file lacks was reported with its header.
    pub(crate) fn refuse<T>(&mut self, column: &str, problem: impl Into<String>) -> Option<T> {
        if self.table.has(column) {
            let text = self.trimmed(column);
            let fault = Fault::new(self.table.file.name, self.row.line, column, text, problem);
            self.faults.push(fault);
        }
        None
    }

    /// A name that must be there.
    pub(crate) fn name<T>(&mut self, column: &str, new: impl Fn(&str) -> Option<T>) -> Option<T> {
        let text = self.trimmed(column);
        new(text).or_else(|| {
            let problem = if text.is_empty() {
                "is empty"
            } else {
                "is longer than 120 characters"
            };
            self.refuse(column, problem)
        })
    }

    /// A name that must be there and be defined.
    pub(crate) fn reference<T>(
        &mut self,
        column: &str,
        new: impl Fn(&str) -> Option<T>,
        defined: &Defined,
        defined_in: &str,
    ) -> Option<T> {
        let name = self.name(column, new)?;
        if defined
            .as_ref()
            .is_some_and(|names| !names.contains(self.trimmed(column)))
        {
            return self.refuse(column, format!("is not defined in {defined_in}"));
        }
        Some(name)
    }

    /// A name that may be left out; the outer `None` is a fault.
    pub(crate) fn optional_reference<T>(
        &mut self,
        column: &str,
        new: impl Fn(&str) -> Option<T>,
        defined: &Defined,
        defined_in: &str,
    ) -> Option<Option<T>> {
        if self.trimmed(column).is_empty() {
            return Some(None);
        }
        self.reference(column, new, defined, defined_in).map(Some)
    }

    /// A number that may be left out; the outer `None` is a fault.
    pub(crate) fn optional_number(&mut self, column: &str, range: Range) -> Option<Option<f64>> {
        let text = self.trimmed(column);
        if text.is_empty() {
            return Some(None);
        }
        match read_number(text) {
            Ok(number) if range.holds(number) => Some(Some(number)),
            Ok(_) => self.refuse(column, range.to_string()),
            Err(problem) => self.refuse(column, problem.to_string()),
        }
    }

    /// A number that must be there.
    pub(crate) fn number(&mut self, column: &str, range: Range) -> Option<f64> {
        match self.optional_number(column, range)? {
            Some(number) => Some(number),
            None => self.refuse(column, "is empty; a number belongs here"),
        }
    }

    /// A date that may be left out; the outer `None` is a fault.
    pub(crate) fn date(&mut self, column: &str) -> Option<Option<Date>> {
        let text = self.trimmed(column);
        if text.is_empty() {
            return Some(None);
        }
        match read_date(text) {
            Ok(date) => Some(Some(date)),
            Err(problem) => self.refuse(column, problem.to_string()),
        }
    }

    /// A word of a closed list.
    pub(crate) fn word<T>(
        &mut self,
        column: &str,
        from_word: impl Fn(&str) -> Option<T>,
        allowed: &str,
    ) -> Option<T> {
        let text = self.trimmed(column);
        from_word(text).or_else(|| self.refuse(column, format!("use one of: {allowed}")))
    }

    /// A word of a closed list, or nothing; the outer `None` is a fault.
    pub(crate) fn optional_word<T>(
        &mut self,
        column: &str,
        from_word: impl Fn(&str) -> Option<T>,
        allowed: &str,
    ) -> Option<Option<T>> {
        if self.trimmed(column).is_empty() {
            return Some(None);
        }
        self.word(column, from_word, &format!("{allowed}, or leave it empty"))
            .map(Some)
    }

    /// The number of a run, from 1; an empty cell is the first.
    pub(crate) fn replicate(&mut self) -> Option<u32> {
        let text = self.trimmed("replicate");
        if text.is_empty() {
            return Some(1);
        }
        let number = text.parse::<u32>().ok().filter(|number| *number >= 1);
        number.or_else(|| self.refuse("replicate", "is not a whole number from 1"))
    }

    /// An id, where the file has one.
    pub(crate) fn id(&mut self, column: &str) -> Option<Option<i64>> {
        let text = self.trimmed(column);
        if text.is_empty() {
            return Some(None);
        }
        let id = text.parse::<i64>().ok().filter(|id| *id >= 1);
        id.map(Some)
            .or_else(|| self.refuse(column, "is not a whole number from 1"))
    }

    /// The number of a version, from 1; an empty cell is the first.
    pub(crate) fn version(&mut self, column: &str) -> Option<u32> {
        match self.id(column)? {
            None => Some(1),
            Some(number) => match u32::try_from(number) {
                Ok(version) => Some(version),
                Err(_) => self.refuse(column, "is not a whole number from 1"),
            },
        }
    }

    /// Failure modes with `;` between.
    pub(crate) fn modes(&mut self, column: &str) -> Option<Vec<Mode>> {
        let mut modes = Vec::new();
        let mut sound = true;
        for word in list(self.trimmed(column)) {
            match word.parse::<Mode>() {
                Ok(mode) if modes.contains(&mode) => {
                    sound = false;
                    self.refuse::<()>(column, format!("'{word}' stands twice"));
                }
                Ok(mode) => modes.push(mode),
                Err(problem) => {
                    sound = false;
                    self.refuse::<()>(column, problem.to_string());
                }
            }
        }
        sound.then_some(modes)
    }
}

/// The items of a cell with `;` between.
pub(crate) fn list(text: &str) -> Vec<&str> {
    text.split(';')
        .map(str::trim)
        .filter(|item| !item.is_empty())
        .collect()
}
