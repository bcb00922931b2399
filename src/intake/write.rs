//! An archive as the files of a folder, in the form in which a folder is read.

use crate::catalogue::Bounds;
use crate::intake::csv_escape::escaped;
use crate::intake::methods::Methods;
use crate::intake::{ArchiveFiles, ValueCells, read_result};
use crate::records::table::FileColumns;
use crate::records::{AcceptedAs, Archive, ResultStatus, RunNumber, RunResult, same_runs};
use std::collections::BTreeSet;

/// Why a file could not be put together.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{file}: {problem}")]
pub struct WriteFault {
    /// File name.
    pub file: &'static str,
    /// What went wrong.
    pub problem: String,
}

/// Every file of an archive folder, with a header also where there is no row.
///
/// What a reader of the folder would ask about is said yes to: it stands in the archive. That holds too where it was entered
/// before anybody asked, or under wider ranges.
pub fn write_folder(archive: &Archive) -> Result<ArchiveFiles, WriteFault> {
    let mut files = ArchiveFiles::new();
    let answered = Archive {
        results: answered(archive),
        ..archive.clone()
    };
    for table in answered.files() {
        let written = write_file(&table.file, &table.rows)?;
        files.insert(table.file.name.to_string(), written);
    }
    Ok(files)
}

/// The results with a yes to all that is asked about.
fn answered(archive: &Archive) -> Vec<RunResult> {
    let methods = Methods::of(&archive.own_methods);
    let mut results = archive.results.clone();
    let superseded: BTreeSet<i64> = results.iter().filter_map(|result| result.supersedes).collect();
    let counts = |result: &RunResult| {
        result.status != ResultStatus::Void && !result.id.is_some_and(|id| superseded.contains(&id))
    };
    let mut rows: Vec<&mut RunResult> = results.iter_mut().filter(|result| counts(result)).collect();
    let numbered: Vec<(&RunResult, RunNumber)> = rows.iter().map(|row| (&**row, RunNumber::Given)).collect();
    let doubted = same_runs(&numbered);
    for (row, earlier) in rows.iter_mut().zip(doubted) {
        if earlier.is_some() {
            row.accept(AcceptedAs::SameRun);
        }
        if is_unusual(&methods, row) {
            row.accept(AcceptedAs::Unusual);
        }
    }
    results
}

fn is_unusual(methods: &Methods, result: &RunResult) -> bool {
    let method = methods.known(&result.key.method);
    let quantity = method.and_then(|method| method.quantity(&result.key.quantity));
    let Some((method, quantity)) = method.zip(quantity) else {
        return false;
    };
    let cells = ValueCells {
        value: &result.value_as_written,
        unit: &result.unit_as_written,
        last_passed: &result.last_passed,
    };
    let bounds = Bounds::of(method, quantity, &result.conditions);
    let read = read_result(&cells, &bounds, result.purpose);
    read.is_ok_and(|read| read.is_some_and(|read| read.reading.unusual.is_some()))
}

/// One file, with its header.
fn write_file(file: &FileColumns, rows: &[Vec<String>]) -> Result<Vec<u8>, WriteFault> {
    let header: Vec<String> = file.all().map(ToString::to_string).collect();
    write_lines(file.name, [&header].into_iter().chain(rows))
}

/// Lines of cells as a CSV file; a cell that a spreadsheet would run as a formula carries an apostrophe.
///
/// # Errors
/// What went wrong with the file; lines of unlike length are refused.
pub fn write_lines<'l>(
    file: &'static str,
    lines: impl IntoIterator<Item = &'l Vec<String>>,
) -> Result<Vec<u8>, WriteFault> {
    let fault = |problem: String| WriteFault { file, problem };
    let mut writer = csv::Writer::from_writer(Vec::new());
    for line in lines {
        let cells = line.iter().map(|cell| escaped(cell).into_owned());
        let written = writer.write_record(cells);
        written.map_err(|error| fault(error.to_string()))?;
    }
    writer.into_inner().map_err(|error| fault(error.to_string()))
}
