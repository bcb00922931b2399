//! The cells of one row, read into their types. Every fault is noted; `None` says that one was.

use crate::catalogue::Mode;
use crate::intake::table::{Row, Table};
use crate::intake::{Fault, read_date, read_number};
use crate::prose::faults::{cell_problem, no_mode};
use crate::records::table::{
    Cell, CellProblem, Column, Columns, Field, Kind, Range, Record, Source, Stands, items,
};
use crate::records::{Blend, Component, Machine, Rig, Trial};
use std::collections::{BTreeMap, BTreeSet};

/// What is said of a number outside a column's range.
fn outside(range: Range) -> &'static str {
    match range {
        Range::Any => "",
        Range::Above0 => "must be above 0",
        Range::From0 => "must not be below 0",
        Range::From0To1 => "must lie between 0 and 1",
        Range::From0To100 => "must lie between 0 and 100",
    }
}

/// What is said of a cell that holds no value of its kind.
fn no_value(kind: Kind, text: &str, may_be_empty: bool) -> String {
    let problem = match kind {
        Kind::Word(allowed) if may_be_empty => {
            return format!("use one of: {}, or leave it empty", allowed());
        }
        Kind::Word(allowed) => return format!("use one of: {}", allowed()),
        Kind::Words(allowed) => return format!("use words of: {}, with ';' between", allowed()),
        Kind::Number => "is empty; a number belongs here",
        Kind::Count | Kind::Id => "is not a whole number from 1",
        _ if text.is_empty() => "is empty",
        _ => "is longer than 120 characters",
    };
    problem.to_string()
}

/// One row and the list to which its faults go.
pub(crate) struct Cells<'a> {
    table: &'a Table,
    row: &'a Row,
    pub(crate) names: &'a Names,
    faults: &'a mut Vec<Fault>,
    /// What stands in columns that only the database has, by their names there.
    worked_out: BTreeMap<&'static str, Cell>,
}

impl Source for Cells<'_> {
    fn field<T: Field>(&mut self, column: &Column) -> Option<T> {
        if column.heading.is_empty() {
            return self.worked_out.remove(column.stored).and_then(T::of_cell);
        }
        let text = self.trimmed(column.heading);
        let value = match T::KIND {
            Kind::Text if column.is_trimmed => T::of_cell(Cell::Text(text.to_string())),
            Kind::Text => T::of_cell(Cell::Text(self.text(column.heading))),
            // Whoever looks the methods up says what is wrong with their ids.
            Kind::Method => return T::of_cell(Cell::Text(text.to_string())),
            _ if text.is_empty() && T::MAY_BE_EMPTY => T::of_cell(Cell::Empty),
            kind => T::of_cell(self.cell(column, kind)?),
        };
        let value =
            value.or_else(|| self.refuse(column.heading, no_value(T::KIND, text, T::MAY_BE_EMPTY)))?;
        if let Some(file) = column.defined_in
            && !text.is_empty()
            && self.names.lack(file, text)
        {
            return self.refuse(column.heading, format!("is not defined in {file}"));
        }
        Some(value)
    }

    fn refuse<T>(&mut self, column: &Column, problem: CellProblem) -> Option<T> {
        Cells::refuse(self, column.heading, cell_problem(&problem))
    }
}

impl<'a> Cells<'a> {
    pub(crate) fn new(table: &'a Table, row: &'a Row, names: &'a Names, faults: &'a mut Vec<Fault>) -> Self {
        Self {
            table,
            row,
            names,
            faults,
            worked_out: BTreeMap::new(),
        }
    }

    /// A cell that holds something, as far as its kind says what; `None` notes a fault.
    fn cell(&mut self, column: &Column, kind: Kind) -> Option<Cell> {
        let text = self.trimmed(column.heading);
        match kind {
            Kind::Text | Kind::Name | Kind::Method | Kind::Word(_) | Kind::Words(_) => {
                Some(Cell::Text(text.to_string()))
            }
            Kind::Number if text.is_empty() => Some(Cell::Empty),
            Kind::Number => match read_number(text) {
                Ok(number) if column.range.holds(number) => Some(Cell::Real(number)),
                Ok(_) => self.refuse(column.heading, outside(column.range)),
                Err(problem) => self.refuse(column.heading, problem.to_string()),
            },
            Kind::Date => match read_date(text) {
                Ok(date) => Some(date.to_cell()),
                Err(problem) => self.refuse(column.heading, problem.to_string()),
            },
            Kind::Count if text.is_empty() => Some(Cell::Whole(1)),
            Kind::Count | Kind::Id => {
                let number = text.parse::<i64>().ok().filter(|number| *number >= 1);
                let number = number.map(Cell::Whole);
                number.or_else(|| self.refuse(column.heading, "is not a whole number from 1"))
            }
            Kind::Modes => self.modes(column.heading).map(|modes| modes.to_cell()),
        }
    }

    /// The record of the row with its owner. All cells of both are read, also behind a faulty one.
    pub(crate) fn record<R: Record>(&mut self) -> Option<(R::Owner, R)> {
        let owner = R::Owner::read(self);
        let record = R::read(self);
        owner.zip(record)
    }

    /// Puts a value under columns that a folder lacks.
    pub(crate) fn work_out<C, T: Stands<C>>(&mut self, under: &C, value: &T) {
        let (mut columns, mut cells) = (Vec::new(), Vec::new());
        T::push_columns(under, &mut columns);
        value.push_cells(under, &mut cells);
        let names = columns.into_iter().map(|column| column.stored);
        self.worked_out.extend(names.zip(cells));
    }

    /// The value of a column, without a word about what is wrong with it.
    pub(crate) fn peek<T: Field>(&self, column: &Column) -> Option<T> {
        let mut unsaid = Vec::new();
        Cells::new(self.table, self.row, self.names, &mut unsaid).field(column)
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
    pub(crate) fn refuse<T>(&mut self, heading: &str, problem: impl Into<String>) -> Option<T> {
        if self.table.has(heading) {
            let text = self.trimmed(heading);
            let fault = Fault::new(self.table.file.name, self.row.line, heading, text, problem);
            self.faults.push(fault);
        }
        None
    }

    /// Notes a fault of a cell where there is one; whether there is none.
    pub(crate) fn passes(&mut self, heading: &str, fault: Option<impl Into<String>>) -> bool {
        let passes = fault.is_none();
        if let Some(problem) = fault {
            self.refuse::<()>(heading, problem);
        }
        passes
    }

    /// Failure modes, each once.
    fn modes(&mut self, heading: &str) -> Option<Vec<Mode>> {
        let mut modes = Vec::new();
        let mut sound = true;
        for word in items(self.trimmed(heading)) {
            let problem = match Mode::from_word(word) {
                Some(mode) if !modes.contains(&mode) => {
                    modes.push(mode);
                    continue;
                }
                Some(_) => format!("'{word}' stands twice"),
                None => no_mode(word),
            };
            sound = false;
            self.refuse::<()>(heading, problem);
        }
        sound.then_some(modes)
    }
}

/// The names that the files of a folder define.
pub(crate) struct Names(BTreeMap<&'static str, Defined>);

/// The names that a file defines; `None` where the file is too damaged to tell.
type Defined = Option<BTreeSet<String>>;

impl Names {
    /// Those of each record's file, in the first column of its key.
    pub(crate) fn of(tables: &BTreeMap<&'static str, Table>) -> Self {
        let defined = |file: &'static str, heading: &str| {
            let table = &tables[file];
            let cells = table.rows.iter().map(|row| table.cell(row, heading).trim());
            let names = cells.filter(|name| !name.is_empty()).map(str::to_string);
            (file, table.has(heading).then(|| names.collect()))
        };
        Self(BTreeMap::from([
            defined(Component::FILE, "component"),
            defined(Blend::FILE, "blend"),
            defined(Machine::FILE, "machine"),
            defined(Rig::FILE, "rig"),
            defined(Trial::FILE, "trial"),
        ]))
    }

    /// Those that these files define; every other file may define any name.
    pub(crate) fn defined<const N: usize>(files: [(&'static str, BTreeSet<String>); N]) -> Self {
        Self(files.map(|(file, names)| (file, Some(names))).into())
    }

    /// Whether a file that can be read does not define a name.
    pub(crate) fn lack(&self, file: &str, name: &str) -> bool {
        let defined = self.0.get(file).and_then(Option::as_ref);
        defined.is_some_and(|names| !names.contains(name))
    }
}
