//! One CSV file of an archive folder as rows with line numbers.

use crate::intake::Fault;
use crate::intake::csv_escape::unescaped;
use crate::records::table::FileColumns;
use std::collections::BTreeSet;

/// A file longer than this is not read.
pub(crate) const MOST_BYTES: usize = 64 * 1024 * 1024;
/// A file with more rows than this is not read.
pub(crate) const MOST_ROWS: usize = 200_000;

/// Whether a row's cells can be told apart.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Condition {
    /// As many cells as columns, all of them text.
    Sound,
    /// Reported already; only its key is looked at, so that nothing else is said to be missing because of it.
    Damaged,
}

/// One row.
#[derive(Debug)]
pub(crate) struct Row {
    /// Line on which it starts, from 1.
    pub(crate) line: u64,
    pub(crate) condition: Condition,
    cells: Vec<String>,
}

/// One file.
#[derive(Debug)]
pub(crate) struct Table {
    pub(crate) file: FileColumns,
    header: Vec<String>,
    pub(crate) rows: Vec<Row>,
}

impl Table {
    /// A file that is not there: none of those.
    pub(crate) fn missing(file: FileColumns) -> Self {
        Self {
            file,
            header: Vec::new(),
            rows: Vec::new(),
        }
    }

    /// A file with one row, whose cells are typed under these columns. A line break or tab in a cell is a space.
    pub(crate) fn of_fields(file: FileColumns, fields: &[(&str, &str)]) -> Self {
        let one_line = |text: &str| text.trim().replace(char::is_control, " ");
        Self {
            file,
            header: fields.iter().map(|(column, _)| column.to_string()).collect(),
            rows: vec![Row {
                line: 0,
                condition: Condition::Sound,
                cells: fields.iter().map(|(_, text)| one_line(text)).collect(),
            }],
        }
    }

    /// The rows of a file, and what is wrong with its header and its rows.
    pub(crate) fn read(file: FileColumns, bytes: &[u8], faults: &mut Vec<Fault>) -> Self {
        let name = file.name;
        let mut table = Self::missing(file);
        if bytes.len() > MOST_BYTES {
            let problem = format!("is longer than {} MB", MOST_BYTES / 1024 / 1024);
            faults.push(Fault::new(name, 0, "", "", problem));
            return table;
        }
        let bytes = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes);
        let mut reader = csv::ReaderBuilder::new()
            .flexible(true)
            .has_headers(false)
            .from_reader(bytes);
        let mut records = reader.byte_records();
        match records.next() {
            Some(Ok(record)) => table.header = read_header(&table.file, &record, faults),
            _ => faults.push(Fault::new(
                name,
                0,
                "",
                "",
                "is empty; its first line names the columns",
            )),
        }
        for record in records {
            if table.rows.len() >= MOST_ROWS {
                let problem = format!("has more than {MOST_ROWS} rows");
                faults.push(Fault::new(name, 0, "", "", problem));
                break;
            }
            match record {
                Ok(record) if record.iter().all(|cell| cell.trim_ascii().is_empty()) => {}
                Ok(record) => {
                    let line = line_of(&record, bytes);
                    let row = read_row(name, &table.header, &record, line, faults);
                    table.rows.push(row);
                }
                Err(error) => faults.push(Fault::new(name, 0, "", "", error.to_string())),
            }
        }
        table
    }

    /// Whether the file has a column, or would have it if it were there.
    pub(crate) fn has(&self, column: &str) -> bool {
        self.header.is_empty() && self.rows.is_empty() || self.header.iter().any(|name| name == column)
    }

    /// The cell of a row under a column; empty where the column is missing.
    pub(crate) fn cell<'a>(&self, row: &'a Row, column: &str) -> &'a str {
        let at = self.header.iter().position(|name| name == column);
        at.and_then(|at| row.cells.get(at)).map_or("", String::as_str)
    }
}

fn read_header(file: &FileColumns, record: &csv::ByteRecord, faults: &mut Vec<Fault>) -> Vec<String> {
    let header: Vec<String> = record
        .iter()
        .map(|cell| String::from_utf8_lossy(cell).trim().to_string())
        .collect();
    let allowed: Vec<&str> = file.all().collect();
    let mut seen = BTreeSet::new();
    for name in &header {
        if !allowed.contains(&name.as_str()) {
            let problem = format!("is not a column of this file; it has {}", allowed.join(", "));
            faults.push(Fault::new(file.name, 1, name, name, problem));
        } else if !seen.insert(name.as_str()) {
            faults.push(Fault::new(file.name, 1, name, name, "stands twice in the header"));
        }
    }
    for name in file.columns.iter().filter(|name| !seen.contains(*name)) {
        faults.push(Fault::new(file.name, 1, name, "", "the column is missing"));
    }
    header
}

/// The line on which a record's first cell stands; the reader counts from the blank lines before it.
fn line_of(record: &csv::ByteRecord, bytes: &[u8]) -> u64 {
    let Some(position) = record.position() else {
        return 0;
    };
    let from = usize::try_from(position.byte()).unwrap_or(usize::MAX);
    let blank = bytes.get(from..).unwrap_or_default().iter();
    let newlines = blank
        .take_while(|byte| matches!(byte, b'\r' | b'\n'))
        .filter(|byte| **byte == b'\n');
    position.line() + newlines.count() as u64
}

fn read_row(
    file: &str,
    header: &[String],
    record: &csv::ByteRecord,
    line: u64,
    faults: &mut Vec<Fault>,
) -> Row {
    let before = faults.len();
    if record.len() != header.len() {
        let problem = format!(
            "the row has {} cells and the header {}",
            record.len(),
            header.len()
        );
        let text = String::from_utf8_lossy(record.as_slice()).into_owned();
        faults.push(Fault::new(file, line, "", &text, problem));
    }
    let mut cells = Vec::new();
    for (at, bytes) in record.iter().enumerate() {
        let column = header.get(at).map_or("", String::as_str);
        let text = String::from_utf8_lossy(bytes).into_owned();
        if std::str::from_utf8(bytes).is_err() {
            let problem = "is not UTF-8; save the file as UTF-8";
            faults.push(Fault::new(file, line, column, &text, problem));
        } else if bytes.contains(&0) {
            let problem = "holds a NUL character; save the file as UTF-8";
            faults.push(Fault::new(file, line, column, &text.replace('\0', " "), problem));
        }
        cells.push(unescaped(&text).to_string());
    }
    let condition = if faults.len() == before {
        Condition::Sound
    } else {
        Condition::Damaged
    };
    Row {
        line,
        condition,
        cells,
    }
}
