//! Records as rows of the database, by the columns that each of them names.

use crate::prose::faults::cell_problem;
use crate::records::table::{
    Cell, CellProblem, Column, Columns, Field, Record, Source, cells_of, columns_of,
};
use crate::store::{Problem, StoreError};
use sqlx::encode::{Encode, IsNull};
use sqlx::error::BoxDynError;
use sqlx::sqlite::{SqliteArgumentsBuffer, SqliteRow, SqliteTypeInfo, SqliteValueRef};
use sqlx::{AssertSqlSafe, Decode, Row, Sqlite, SqliteConnection, Type, TypeInfo, ValueRef};

pub(crate) type Connection = SqliteConnection;
pub(crate) type Written = Result<(), StoreError>;

impl Type<Sqlite> for Cell {
    fn type_info() -> SqliteTypeInfo {
        <String as Type<Sqlite>>::type_info()
    }

    fn compatible(_: &SqliteTypeInfo) -> bool {
        true
    }
}

impl Encode<'_, Sqlite> for Cell {
    fn encode_by_ref(&self, arguments: &mut SqliteArgumentsBuffer) -> Result<IsNull, BoxDynError> {
        match self {
            Self::Empty => Ok(IsNull::Yes),
            Self::Text(text) => Encode::<Sqlite>::encode_by_ref(text, arguments),
            Self::Real(number) => Encode::<Sqlite>::encode_by_ref(number, arguments),
            Self::Whole(number) => Encode::<Sqlite>::encode_by_ref(number, arguments),
            Self::Flag(is_so) => Encode::<Sqlite>::encode_by_ref(&i64::from(*is_so), arguments),
        }
    }
}

impl<'r> Decode<'r, Sqlite> for Cell {
    fn decode(value: SqliteValueRef<'r>) -> Result<Self, BoxDynError> {
        if value.is_null() {
            return Ok(Self::Empty);
        }
        let kind = value.type_info().name().to_string();
        Ok(match kind.as_str() {
            "INTEGER" => Self::Whole(<i64 as Decode<Sqlite>>::decode(value)?),
            "REAL" => Self::Real(<f64 as Decode<Sqlite>>::decode(value)?),
            _ => Self::Text(<String as Decode<Sqlite>>::decode(value)?),
        })
    }
}

/// Writes a record. `further` are columns that only the database has.
pub(crate) async fn insert<R: Record>(
    connection: &mut Connection,
    owner: &R::Owner,
    record: &R,
    further: &[(&'static str, Cell)],
) -> Written {
    let columns = columns_of::<R>().into_iter().zip(cells_of(owner, record));
    let stored = columns.filter(|(column, _)| !column.stored.is_empty());
    let cells = stored.map(|(column, cell)| (column.stored, cell));
    let (names, cells): (Vec<&str>, Vec<Cell>) = cells.chain(further.iter().cloned()).unzip();
    let places: Vec<String> = (1..=names.len()).map(|place| format!("${place}")).collect();
    let sql = format!(
        "INSERT INTO {} ({}) VALUES ({})",
        R::TABLE,
        names.join(", "),
        places.join(", ")
    );
    let mut query = sqlx::query(AssertSqlSafe(sql));
    for cell in cells {
        query = query.bind(cell);
    }
    query.execute(connection).await?;
    Ok(())
}

/// Writes a record over the row that a column names, but for the columns that are kept.
pub(crate) async fn update<R: Record>(
    connection: &mut Connection,
    owner: &R::Owner,
    record: &R,
    (named_by, name): (&str, &str),
    kept: &[&str],
) -> Written {
    let columns = columns_of::<R>().into_iter().zip(cells_of(owner, record));
    let changed: Vec<(Column, Cell)> = columns
        .filter(|(column, _)| !column.stored.is_empty() && !kept.contains(&column.stored))
        .collect();
    let places = changed.iter().zip(1..);
    let sets: Vec<String> = places
        .map(|((column, _), at)| format!("{} = ${at}", column.stored))
        .collect();
    let last = changed.len() + 1;
    let sql = format!(
        "UPDATE {} SET {} WHERE {named_by} = ${last}",
        R::TABLE,
        sets.join(", ")
    );
    let mut query = sqlx::query(AssertSqlSafe(sql));
    for (_, cell) in changed {
        query = query.bind(cell);
    }
    query.bind(name).execute(connection).await?;
    Ok(())
}

/// Writes the parts of a record, each with its place among them.
pub(crate) async fn insert_parts<R: Record>(
    connection: &mut Connection,
    owner: &R::Owner,
    parts: &[R],
) -> Written {
    for (at, part) in parts.iter().enumerate() {
        insert(connection, owner, part, &[place(at)]).await?;
    }
    Ok(())
}

/// Where a part stands among those of its record.
pub(crate) fn place(at: usize) -> (&'static str, Cell) {
    ("place", Cell::Whole(i64::try_from(at).unwrap_or(i64::MAX)))
}

/// Reads rows in one state of the file, and lists what in them cannot be read.
pub(crate) struct Reader<'c> {
    pub(crate) connection: &'c mut Connection,
    pub(crate) problems: Vec<Problem>,
}

impl<'c> Reader<'c> {
    pub(crate) fn new(connection: &'c mut Connection) -> Self {
        Self {
            connection,
            problems: Vec::new(),
        }
    }

    /// The records of a table with their owners. `rest` follows the table's name; `$1`, `$2` are bound in order.
    pub(crate) async fn read<R: Record>(
        &mut self,
        rest: &str,
        bound: &[Option<String>],
    ) -> Result<Vec<(R::Owner, R)>, StoreError> {
        let columns = columns_of::<R>()
            .into_iter()
            .filter(|column| !column.stored.is_empty());
        let expressions: Vec<&str> = columns
            .map(|column| expression(R::TABLE, column.stored))
            .collect();
        let sql = format!("SELECT {} FROM {} {rest}", expressions.join(", "), R::TABLE);
        let mut query = sqlx::query(AssertSqlSafe(sql));
        for value in bound {
            query = query.bind(value.clone());
        }
        let rows = query.fetch_all(&mut *self.connection).await?;
        self.take(R::TABLE, &rows, |row| {
            let (owner, record) = (R::Owner::read(row), R::read(row));
            owner.zip(record)
        })
    }

    /// What can be read of rows.
    pub(crate) fn take<T>(
        &mut self,
        table: &'static str,
        rows: &[SqliteRow],
        read: impl Fn(&mut Stored<'_>) -> Option<T>,
    ) -> Result<Vec<T>, StoreError> {
        let mut items = Vec::new();
        for row in rows {
            let mut stored = Stored {
                table,
                row,
                problems: &mut self.problems,
                failure: None,
            };
            items.extend(read(&mut stored));
            if let Some(failure) = stored.failure {
                return Err(failure.into());
            }
        }
        Ok(items)
    }

    /// What was read, where all of it could be.
    ///
    /// # Errors
    /// `Damaged`.
    pub(crate) fn sound<T>(self, value: T) -> Result<T, StoreError> {
        if self.problems.is_empty() {
            Ok(value)
        } else {
            Err(StoreError::Damaged(self.problems))
        }
    }
}

/// How a column is read. Why a result is void stands beside what was said of it before.
fn expression(table: &str, column: &'static str) -> &'static str {
    match (table, column) {
        ("results", "reason") => "COALESCE(void_reason, reason) AS reason",
        _ => column,
    }
}

/// One stored row. What cannot be read is noted, not skipped in silence.
pub(crate) struct Stored<'a> {
    table: &'static str,
    row: &'a SqliteRow,
    problems: &'a mut Vec<Problem>,
    /// The database could not hand out a cell.
    failure: Option<sqlx::Error>,
}

impl Source for Stored<'_> {
    fn field<T: Field>(&mut self, column: &Column) -> Option<T> {
        if column.stored.is_empty() {
            return T::of_cell(Cell::Empty);
        }
        match self.row.try_get(column.stored) {
            Ok(cell) => T::of_cell(cell).or_else(|| self.refuse(column, CellProblem::NoValue)),
            Err(error) => {
                self.failure = Some(error);
                None
            }
        }
    }

    fn refuse<T>(&mut self, column: &Column, problem: CellProblem) -> Option<T> {
        let cell: Cell = self.row.try_get(column.stored).unwrap_or(Cell::Empty);
        let what = format!("{}, {} '{cell}'", self.table, column.stored);
        self.problems.push(Problem::new(what, &cell_problem(&problem)));
        None
    }
}
