//! How records stand in tables: each says once under which columns its fields stand, and the archive folder, the database,
//! the comparison of two archives and what is frozen with a decision all follow that.

use crate::records::{PeriodFault, PresetFault};
use std::fmt;

/// What stands in one cell.
#[derive(Clone, Debug, PartialEq)]
pub enum Cell {
    /// Nothing.
    Empty,
    /// A text, a word, a name or a date.
    Text(String),
    /// A number.
    Real(f64),
    /// A whole number.
    Whole(i64),
    /// Whether something is so.
    Flag(bool),
}

/// As the archive folder writes it.
impl fmt::Display for Cell {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Empty => Ok(()),
            Self::Text(text) => f.write_str(text),
            Self::Real(number) => number.fmt(f),
            Self::Whole(number) => number.fmt(f),
            Self::Flag(true) => f.write_str("yes"),
            Self::Flag(false) => f.write_str("no"),
        }
    }
}

/// Which numbers a column takes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Range {
    /// All.
    Any,
    /// Those above 0.
    Above0,
    /// 0 and above.
    From0,
    /// 0 to 1.
    From0To1,
    /// 0 to 100.
    From0To100,
}

impl Range {
    /// Whether a number is one of those.
    pub fn holds(self, number: f64) -> bool {
        match self {
            Self::Any => true,
            Self::Above0 => number > 0.0,
            Self::From0 => number >= 0.0,
            Self::From0To1 => (0.0..=1.0).contains(&number),
            Self::From0To100 => (0.0..=100.0).contains(&number),
        }
    }
}

/// A column of a table.
#[derive(Clone, Copy, Debug)]
pub struct Column {
    /// Its heading in the archive folder; empty where only the database has it.
    pub heading: &'static str,
    /// Its name in the database; empty where only the archive folder has it.
    pub stored: &'static str,
    /// It is written behind the others, and may be missing when a folder is loaded.
    pub is_optional: bool,
    /// Space around its texts says nothing.
    pub is_trimmed: bool,
    /// An empty text is stored as nothing.
    pub is_null_when_empty: bool,
    /// Which numbers it takes.
    pub range: Range,
    /// The file of the folder that defines the names in it.
    pub defined_in: Option<&'static str>,
}

/// A column that has one name everywhere.
pub const fn column(name: &'static str) -> Column {
    Column {
        heading: name,
        stored: name,
        is_optional: false,
        is_trimmed: false,
        is_null_when_empty: false,
        range: Range::Any,
        defined_in: None,
    }
}

impl Column {
    /// With another name in the database.
    pub const fn stored_as(self, stored: &'static str) -> Self {
        Self { stored, ..self }
    }

    /// Only in the database.
    pub const fn only_stored(self) -> Self {
        Self { heading: "", ..self }
    }

    /// Only in the archive folder.
    pub const fn only_in_folder(self) -> Self {
        Self { stored: "", ..self }
    }

    /// Written behind the others, and not needed in a folder.
    pub const fn optional(self) -> Self {
        Self {
            is_optional: true,
            ..self
        }
    }

    /// With texts around which space says nothing.
    pub const fn trimmed(self) -> Self {
        Self {
            is_trimmed: true,
            ..self
        }
    }

    /// With an empty text stored as nothing.
    pub const fn null_when_empty(self) -> Self {
        Self {
            is_null_when_empty: true,
            ..self
        }
    }

    /// With numbers of a range.
    pub const fn within(self, range: Range) -> Self {
        Self { range, ..self }
    }

    /// With names that a file of the folder defines.
    pub const fn defined_in(self, file: &'static str) -> Self {
        Self {
            defined_in: Some(file),
            ..self
        }
    }
}

/// How a field is written, which decides how a text is read and what is said of one that cannot be.
#[derive(Clone, Copy, Debug)]
pub enum Kind {
    /// Any text.
    Text,
    /// A name of 1 to 120 characters.
    Name,
    /// Ids of methods, with `;` between where there are several. Whether there is such a method is looked up beside, and
    /// what is wrong is said there.
    Method,
    /// A word of a closed list, whose words this gives.
    Word(fn() -> String),
    /// A number.
    Number,
    /// A calendar date.
    Date,
    /// A whole number from 1; an empty cell is the first.
    Count,
    /// The id of a row, a whole number from 1.
    Id,
    /// Failure modes with `;` between.
    Modes,
    /// Words of a closed list with `;` between; this gives the list.
    Words(fn() -> String),
}

/// A value that stands in one cell.
pub trait Field: Sized {
    /// How it is written.
    const KIND: Kind;
    /// Whether its cell may be empty.
    const MAY_BE_EMPTY: bool = false;

    /// Its cell.
    fn to_cell(&self) -> Cell;

    /// The value of a cell; `None` where it cannot be one.
    fn of_cell(cell: Cell) -> Option<Self>;
}

/// Where the cells of a row are read from.
pub trait Source {
    /// The value under a column; `None` says that what is wrong with it was noted.
    fn field<T: Field>(&mut self, column: &Column) -> Option<T>;

    /// Notes what is wrong under a column.
    fn refuse<T>(&mut self, column: &Column, problem: CellProblem) -> Option<T>;
}

/// What is wrong with a cell beside others.
#[derive(Clone, Debug, PartialEq)]
pub enum CellProblem {
    /// It holds no value of its column.
    NoValue,
    /// A kind of value that does not go with the stored bounds.
    OtherBounds,
    /// A preset that cannot be read.
    Preset(PresetFault),
    /// Two days that make no period.
    Period(PeriodFault),
}

/// A value that stands under one column or several.
pub trait Stands<C>: Sized {
    /// The columns under which it is written.
    fn push_columns(under: &C, columns: &mut Vec<Column>);

    /// Its cells, in the order of those columns.
    fn push_cells(&self, under: &C, cells: &mut Vec<Cell>);

    /// The value that stands there.
    fn read(under: &C, source: &mut impl Source) -> Option<Self>;
}

impl<T: Field> Stands<Column> for T {
    fn push_columns(under: &Column, columns: &mut Vec<Column>) {
        columns.push(*under);
    }

    fn push_cells(&self, under: &Column, cells: &mut Vec<Cell>) {
        cells.push(match self.to_cell() {
            Cell::Text(text) if under.is_null_when_empty && text.is_empty() => Cell::Empty,
            cell => cell,
        });
    }

    fn read(under: &Column, source: &mut impl Source) -> Option<Self> {
        source.field(under)
    }
}

/// What knows its own columns.
pub trait Columns: Sized {
    /// Its columns.
    fn push_columns(columns: &mut Vec<Column>);

    /// Its cells, in the order of its columns.
    fn push_cells(&self, cells: &mut Vec<Cell>);

    /// Reads it from a row. Every faulty cell of the row is noted, not only the first.
    fn read(source: &mut impl Source) -> Option<Self>;
}

impl Columns for () {
    fn push_columns(_: &mut Vec<Column>) {}

    fn push_cells(&self, _: &mut Vec<Cell>) {}

    fn read(_: &mut impl Source) -> Option<Self> {
        Some(())
    }
}

/// A record with a table of its own.
pub trait Record: Columns {
    /// What names the record that it belongs to, in columns before its own; `()` where it belongs to none.
    type Owner: Columns;
    /// Its file in the archive folder.
    const FILE: &'static str;
    /// Its table in the database.
    const TABLE: &'static str;
    /// The headings under which no two rows of a file are alike.
    const KEY: &'static [&'static str];
}

/// All columns of a record's table, those of its owner first.
pub fn columns_of<R: Record>() -> Vec<Column> {
    let mut columns = Vec::new();
    R::Owner::push_columns(&mut columns);
    R::push_columns(&mut columns);
    columns
}

/// The cells of a record's row, in the order of [`columns_of`].
pub fn cells_of<R: Record>(owner: &R::Owner, record: &R) -> Vec<Cell> {
    let mut cells = Vec::new();
    owner.push_cells(&mut cells);
    record.push_cells(&mut cells);
    cells
}

/// A file of an archive folder: its name, its columns that must be there, and those that need not.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FileColumns {
    /// File name.
    pub name: &'static str,
    /// Columns that the file must have, in the order in which they are written.
    pub columns: Vec<&'static str>,
    /// Columns that are written after them and may be missing when a folder is loaded.
    pub optional: Vec<&'static str>,
}

impl FileColumns {
    /// The file of a kind of record.
    pub fn of<R: Record>() -> Self {
        let all = columns_of::<R>();
        let headings = |optional: bool| {
            let written = all.iter().filter(|column| !column.heading.is_empty());
            let wanted = written.filter(|column| column.is_optional == optional);
            wanted.map(|column| column.heading).collect()
        };
        Self {
            name: R::FILE,
            columns: headings(false),
            optional: headings(true),
        }
    }

    /// All columns in the order in which they are written.
    pub fn all(&self) -> impl Iterator<Item = &'static str> {
        self.columns.iter().chain(&self.optional).copied()
    }
}

/// A row of a file with the headings, in the order in which it is written.
pub fn row_of<R: Record>(owner: &R::Owner, record: &R) -> Vec<(Column, String)> {
    let columns = columns_of::<R>().into_iter().zip(cells_of(owner, record));
    let written = columns.filter(|(column, _)| !column.heading.is_empty());
    let mut row: Vec<(Column, String)> = written.map(|(column, cell)| (column, cell.to_string())).collect();
    row.sort_by_key(|(column, _)| column.is_optional);
    row
}

/// The structs of records. Each field stands beside its column, or beside the columns that it takes together; after `+`
/// follow fields that have tables of their own. A struct in a file is a [`Record`], another one names an owner.
macro_rules! records {
    (@owner) => { () };
    (@owner $owner:ident) => { $owner };
    ($(
        $(#[$doc:meta])*
        $name:ident $($(of $owner:ident)? in $file:literal, table $table:literal, key [$($key:literal),*])? {
            $($(#[$field_doc:meta])* $field:ident: $type:ty = $column:expr,)*
        } $(+ { $($(#[$part_doc:meta])* $part:ident: $part_type:ty,)* })?
    )*) => {$(
        $(#[$doc])*
        #[derive(Clone, Debug, PartialEq)]
        pub struct $name {
            $($(#[$field_doc])* pub $field: $type,)*
            $($($(#[$part_doc])* pub $part: $part_type,)*)?
        }

        impl $crate::records::table::Columns for $name {
            fn push_columns(columns: &mut Vec<$crate::records::table::Column>) {
                $(<$type as $crate::records::table::Stands<_>>::push_columns(&$column, columns);)*
            }

            fn push_cells(&self, cells: &mut Vec<$crate::records::table::Cell>) {
                $($crate::records::table::Stands::push_cells(&self.$field, &$column, cells);)*
            }

            fn read(source: &mut impl $crate::records::table::Source) -> Option<Self> {
                $(let $field = <$type as $crate::records::table::Stands<_>>::read(&$column, source);)*
                Some(Self {
                    $($field: $field?,)*
                    $($($part: Default::default(),)*)?
                })
            }
        }

        $(impl $crate::records::table::Record for $name {
            type Owner = $crate::records::table::records!(@owner $($owner)?);
            const FILE: &'static str = $file;
            const TABLE: &'static str = $table;
            const KEY: &'static [&'static str] = &[$($key),*];
        })?
    )*};
}
pub(crate) use records;

/// The items of a cell with `;` between.
pub fn items(text: &str) -> impl Iterator<Item = &str> {
    text.split(';').map(str::trim).filter(|item| !item.is_empty())
}
