//! One stored row, read into the types of the records. What cannot be read is noted, not skipped in silence.

use crate::store::{Problem, StoreError};
use jiff::civil::Date;
use sqlx::Row;
use sqlx::sqlite::SqliteRow;

/// A row of a table, and the list to which what cannot be read goes.
pub(crate) struct Stored<'a> {
    table: &'static str,
    row: &'a SqliteRow,
    problems: &'a mut Vec<Problem>,
}

impl<'a> Stored<'a> {
    pub(crate) fn new(table: &'static str, row: &'a SqliteRow, problems: &'a mut Vec<Problem>) -> Self {
        Self { table, row, problems }
    }

    fn get<T>(&self, column: &str) -> Result<T, StoreError>
    where
        T: sqlx::Type<sqlx::Sqlite> + sqlx::Decode<'a, sqlx::Sqlite>,
    {
        Ok(self.row.try_get(column)?)
    }

    pub(crate) fn text(&self, column: &str) -> Result<String, StoreError> {
        self.get(column)
    }

    pub(crate) fn optional_text(&self, column: &str) -> Result<Option<String>, StoreError> {
        self.get(column)
    }

    pub(crate) fn real(&self, column: &str) -> Result<Option<f64>, StoreError> {
        self.get(column)
    }

    pub(crate) fn integer(&self, column: &str) -> Result<i64, StoreError> {
        self.get(column)
    }

    pub(crate) fn optional_integer(&self, column: &str) -> Result<Option<i64>, StoreError> {
        self.get(column)
    }

    /// The number of a version, from 1; `None` notes it.
    pub(crate) fn version(&mut self, column: &str) -> Result<Option<u32>, StoreError> {
        let number = self.integer(column)?;
        let version = u32::try_from(number).ok().filter(|version| *version >= 1);
        Ok(version.or_else(|| self.refuse(column, &number.to_string(), "is not the number of a version")))
    }

    pub(crate) fn is_set(&self, column: &str) -> Result<bool, StoreError> {
        Ok(self.get::<i64>(column)? != 0)
    }

    /// Notes a value that cannot be read.
    pub(crate) fn refuse<T>(&mut self, column: &str, text: &str, problem: &str) -> Option<T> {
        let what = format!("{}, {column} '{text}'", self.table);
        self.problems.push(Problem::new(what, problem));
        None
    }

    /// A text as one of a closed list or a name; `None` notes it.
    pub(crate) fn read<T>(
        &mut self,
        column: &str,
        read: impl Fn(&str) -> Option<T>,
    ) -> Result<Option<T>, StoreError> {
        let text = self.text(column)?;
        Ok(read(&text).or_else(|| self.refuse(column, &text, "is not a value of this column")))
    }

    /// The same, where nothing may be stored; the outer `None` notes it.
    pub(crate) fn read_optional<T>(
        &mut self,
        column: &str,
        read: impl Fn(&str) -> Option<T>,
    ) -> Result<Option<Option<T>>, StoreError> {
        match self.optional_text(column)? {
            None => Ok(Some(None)),
            Some(text) => Ok(read(&text)
                .map(Some)
                .or_else(|| self.refuse(column, &text, "is not a value of this column"))),
        }
    }

    /// A date, where one is stored.
    pub(crate) fn date(&mut self, column: &str) -> Result<Option<Option<Date>>, StoreError> {
        self.read_optional(column, |text| text.parse().ok())
    }
}
