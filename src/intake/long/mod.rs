//! The long form of results: one run per row, under headings that laboratories use.
//!
//! **Invariant:** every row that is not blank has a finding; a value that can be read in two ways is refused unless the
//! file as a whole settles it.

mod columns;
mod conventions;
mod methods;
mod row;
mod split;
mod text;

pub use columns::{COLUMNS, ColumnUse, ColumnWords, Field};
pub use conventions::{DateOrder, Decimal};

use crate::catalogue::Method;
use crate::intake::long::columns::{Heading, heading, known_among};
use crate::intake::long::conventions::{date_order, decimal_sign};
use crate::intake::long::row::{Reader, text_of};
use crate::intake::long::split::{Ending, Record, first_row, split};
use crate::intake::long::text::{Decoded, decode, not_text};
use crate::intake::table::{MOST_BYTES, MOST_ROWS};
use crate::records::{AcceptedAs, Blend, Rig, RunKey, RunResult, Trial, TrialSlug};
use jiff::civil::Date;
use std::collections::BTreeMap;

/// The names that a row may use.
#[derive(Clone, Copy, Debug)]
pub struct KnownNames<'a> {
    /// Trials with their blends and tests.
    pub trials: &'a [Trial],
    /// Blends.
    pub blends: &'a [Blend],
    /// Rigs.
    pub rigs: &'a [Rig],
    /// Methods, the built-in ones and the laboratory's own.
    pub methods: &'a [Method],
    /// The day of entry.
    pub today: Date,
}

/// A file as it was understood.
#[derive(Clone, Debug, PartialEq)]
pub struct LongFile {
    /// Its encoding.
    pub encoding: &'static str,
    /// The word for what separates its cells.
    pub separator: &'static str,
    /// The decimal sign that its values settle.
    pub decimal: Option<Decimal>,
    /// The order that its dates settle.
    pub order: Option<DateOrder>,
    /// Its headings, and how each was understood.
    pub columns: Vec<(String, ColumnUse)>,
    /// Its rows in order. What is wrong with the file as a whole stands at row 1, or 0 where it has none.
    pub rows: Vec<LongRow>,
}

/// One row.
#[derive(Clone, Debug, PartialEq)]
pub struct LongRow {
    /// Its number as a spreadsheet shows it; the header is 1.
    pub row: u64,
    /// The line on which it starts.
    pub line: u64,
    /// Its cells in short.
    pub said: String,
    /// What it says, or why it says nothing usable.
    pub finding: Finding,
}

/// What a row says.
#[derive(Clone, Debug, PartialEq)]
pub enum Finding {
    /// A run.
    Run(Box<DraftRun>),
    /// That the test was not run: nothing is kept of it.
    NotRun,
    /// Nothing usable: every cell that is wrong.
    Refused(Vec<CellProblem>),
}

/// A run as a row states it.
#[derive(Clone, Debug, PartialEq)]
pub struct DraftRun {
    /// The run.
    pub result: RunResult,
    /// The columns of the archive that the row fills.
    pub stated: Vec<&'static str>,
    /// What somebody should know about it.
    pub remarks: Vec<String>,
    /// What is asked about it, and nobody said yes to.
    pub asked: Vec<Question>,
}

/// What is asked about a cell, and what a yes to it is called.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Question {
    /// The cell with the question.
    pub cell: CellProblem,
    /// What is said yes to.
    pub what: AcceptedAs,
}

/// A cell that cannot be used.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CellProblem {
    /// The column; empty where the row as a whole is meant.
    pub column: String,
    /// The cell's text, cut after 200 characters.
    pub text: String,
    /// What is wrong with it, with the mend.
    pub problem: String,
}

impl CellProblem {
    pub(crate) fn new(column: &str, text: &str, problem: impl Into<String>) -> Self {
        Self {
            column: column.to_string(),
            text: text
                .chars()
                .take(200)
                .map(|c| if c.is_control() { ' ' } else { c })
                .collect(),
            problem: problem.into(),
        }
    }
}

/// Why a file is not looked into.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum LongRefusal {
    /// Its length.
    #[error("is longer than {} MB", MOST_BYTES / 1024 / 1024)]
    TooLong,
    /// Its rows.
    #[error("has more than {MOST_ROWS} rows")]
    TooManyRows,
    /// It is no text.
    #[error("is {0}")]
    NotText(&'static str),
}

const SEPARATORS: [(char, &str); 3] = [(',', "comma"), (';', "semicolon"), ('\t', "tab")];

/// Reads a file of one run per row. `trial` is for rows that name none; `name` goes into each run's origin.
///
/// # Errors
/// Where the file is too large, or no text.
pub fn read_long(
    bytes: &[u8],
    name: &str,
    trial: Option<&TrialSlug>,
    known: &KnownNames<'_>,
) -> Result<LongFile, LongRefusal> {
    if bytes.len() > MOST_BYTES {
        return Err(LongRefusal::TooLong);
    }
    if let Some(words) = not_text(bytes) {
        return Err(LongRefusal::NotText(words));
    }
    let Decoded { text, encoding } = decode(bytes);
    let (separator, separator_word) = separator_of(&text);
    let (records, ending) = split(&text, separator);
    if ending == Ending::TooManyRows {
        return Err(LongRefusal::TooManyRows);
    }
    let mut records = records.into_iter().skip_while(names_the_separator);
    let header = records.next();
    let records: Vec<Record> = records.collect();
    Ok(LongFile {
        encoding,
        separator: separator_word,
        ..read_records(header.as_ref(), &records, ending, name, trial, known)
    })
}

/// Rows that were typed into a form under names of columns, read as those of a file are.
pub fn read_typed(
    columns: &[&str],
    rows: Vec<Vec<String>>,
    name: &str,
    trial: &TrialSlug,
    known: &KnownNames<'_>,
) -> LongFile {
    let record = |(row, cells)| Record {
        row,
        line: row,
        cells,
    };
    let header = record((1, columns.iter().map(ToString::to_string).collect()));
    let records: Vec<Record> = (2..).zip(rows).map(record).collect();
    read_records(Some(&header), &records, Ending::Whole, name, Some(trial), known)
}

fn read_records(
    header: Option<&Record>,
    records: &[Record],
    ending: Ending,
    name: &str,
    trial: Option<&TrialSlug>,
    known: &KnownNames<'_>,
) -> LongFile {
    let cells = header.map_or(&[][..], |row| &row.cells);
    let headings: Vec<Heading> = cells.iter().map(|cell| heading(cell)).collect();
    let column = |field: Field| records.iter().map(move |row| (row, field));
    let text = |(row, field): (&Record, Field)| text_of(&headings, row, field).to_string();
    let values: Vec<String> = column(Field::Value).map(text).collect();
    let dates: Vec<String> = column(Field::Date).map(text).collect();
    let mut file = LongFile {
        encoding: "",
        separator: "",
        decimal: decimal_sign(values.iter().map(String::as_str)),
        order: date_order(dates.iter().map(String::as_str)),
        columns: headings
            .iter()
            .map(|h| (h.text.clone(), h.used.clone()))
            .collect(),
        rows: Vec::new(),
    };
    let at_header = header.map_or((0, 0), |row| (row.row, row.line));
    let problems = refused_header(&headings, trial);
    if !problems.is_empty() {
        file.rows.push(LongRow {
            row: at_header.0,
            line: at_header.1,
            said: String::new(),
            finding: Finding::Refused(problems),
        });
        return file;
    }
    let reader = Reader::new(&headings, known, trial, name, file.decimal, file.order);
    let swallowing = (ending == Ending::Unclosed).then_some(records.len());
    let mut entered = BTreeMap::new();
    for (index, record) in records.iter().enumerate() {
        let finding = if Some(index + 1) == swallowing {
            let problem = "a quotation mark is opened in this row and never closed";
            Finding::Refused(vec![CellProblem::new("", "", problem)])
        } else {
            once(&mut entered, record.row, reader.read(record))
        };
        file.rows.push(LongRow {
            row: record.row,
            line: record.line,
            said: reader.said(record),
            finding,
        });
    }
    file
}

/// A run that stands in the file a second time is refused: whether it is a second run nobody can tell.
fn once(entered: &mut BTreeMap<RunKey, u64>, row: u64, finding: Finding) -> Finding {
    let Finding::Run(draft) = finding else {
        return finding;
    };
    let replicate = draft.result.replicate.to_string();
    if let Some(first) = entered.get(&draft.result.run_key()) {
        let problem = format!(
            "row {first} is the same run: same trial, blend, method, quantity, rig, date and replicate; number the replicates"
        );
        return Finding::Refused(vec![CellProblem::new("replicate", &replicate, problem)]);
    }
    entered.insert(draft.result.run_key(), row);
    Finding::Run(draft)
}

/// The separator under which the first row has the most headings that are known, then the most cells.
fn separator_of(text: &str) -> (char, &'static str) {
    let first = text.trim_start().lines().next().unwrap_or_default();
    if let Some(rest) = first.trim_end().strip_prefix("sep=")
        && let Some(given) = SEPARATORS.iter().find(|(c, _)| rest == c.to_string())
    {
        return *given;
    }
    let score = |separator: char| {
        let cells = first_row(text, separator);
        (known_among(&cells), cells.len())
    };
    // Of equals the first: max_by_key would take the last.
    let found = SEPARATORS.iter().rev().max_by_key(|(c, _)| score(*c));
    found.copied().unwrap_or(SEPARATORS[0])
}

/// A first line `sep=;`, with which some spreadsheets begin a CSV file.
fn names_the_separator(record: &Record) -> bool {
    record.row == 1 && record.cells.concat().starts_with("sep=")
}

fn refused_header(headings: &[Heading], trial: Option<&TrialSlug>) -> Vec<CellProblem> {
    if headings.is_empty() {
        let problem = "the file is empty; its first row names the columns";
        return vec![CellProblem::new("", "", problem)];
    }
    let mut problems = Vec::new();
    let mut seen: BTreeMap<Field, &str> = BTreeMap::new();
    for heading in headings {
        let ColumnUse::Field(field) = heading.used else {
            continue;
        };
        if let Some(first) = seen.get(&field) {
            let problem = format!(
                "is read as {}, and so is '{first}'; leave one of them out",
                field.name()
            );
            problems.push(CellProblem::new(field.name(), &heading.text, problem));
        } else {
            seen.insert(field, &heading.text);
        }
    }
    for field in [Field::Blend, Field::Method, Field::Value] {
        if !seen.contains_key(&field) {
            let words = COLUMNS.iter().find(|column| column.field == field);
            let synonyms = words.map_or(String::new(), |column| column.synonyms.join(", "));
            let problem = format!("no column has this heading, nor one of {synonyms}");
            problems.push(CellProblem::new(field.name(), "", problem));
        }
    }
    if trial.is_none() && !seen.contains_key(&Field::Trial) {
        let problem = "no column has this heading, and no trial was chosen for the file";
        problems.push(CellProblem::new(Field::Trial.name(), "", problem));
    }
    problems
}

/// The text of a file, whatever its encoding.
pub fn text_of_bytes(bytes: &[u8]) -> String {
    decode(bytes).text
}
