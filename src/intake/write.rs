//! An archive as the files of a folder, in the form in which a folder is read.

use crate::catalogue::Bounds;
use crate::intake::csv_escape::escaped;
use crate::intake::methods::Methods;
use crate::intake::{ArchiveFiles, ValueCells, read_result};
use crate::records::table::FileColumns;
use crate::records::{AcceptedAs, Archive, ResultStatus, RunNumber, RunResult, same_runs};
use rust_xlsxwriter::{DocProperties, ExcelDateTime, Format, Workbook, XlsxError};
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

/// Lines of cells as a workbook of one sheet, the first line at its head. What is a number is kept as one; nothing is a
/// formula. The same lines give the same file.
///
/// # Errors
/// What went wrong with the file: more lines, columns or letters than a sheet holds.
pub fn write_workbook(file: &'static str, lines: &[Vec<String>]) -> Result<Vec<u8>, WriteFault> {
    let written = || -> Result<Vec<u8>, XlsxError> {
        let mut book = Workbook::new();
        // no clock: a workbook would carry the moment at which it was made
        let made = ExcelDateTime::from_ymd(2000, 1, 1)?;
        book.set_properties(&DocProperties::new().set_creation_datetime(&made));
        let sheet = book.add_worksheet();
        let head = Format::new().set_bold().set_text_wrap();
        for (row, line) in (0..).zip(lines) {
            for (column, cell) in (0..).zip(line) {
                match cell.parse::<f64>().ok().filter(|number| number.is_finite()) {
                    Some(number) => sheet.write_number(row, column, number)?,
                    None if row == 0 => sheet.write_string_with_format(row, column, cell, &head)?,
                    None => sheet.write_string(row, column, cell)?,
                };
            }
        }
        sheet.set_freeze_panes(1, 1)?;
        book.save_to_buffer()
    };
    written().map_err(|error| WriteFault {
        file,
        problem: error.to_string(),
    })
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

#[cfg(test)]
mod tests {
    use super::*;
    use calamine::{Data, Reader};

    #[test]
    fn a_number_is_one_in_a_workbook_and_a_formula_is_only_its_letters() {
        let lines = [
            ["blend", "load, kgf"],
            ["=1+1", "250"],
            ["+x", "> 800"],
            ["NaN", "1e3"],
        ];
        let lines = lines.map(|line| line.map(String::from).to_vec());
        let file = write_workbook("a.xlsx", &lines).unwrap();
        let mut book: calamine::Xlsx<_> =
            calamine::open_workbook_from_rs(std::io::Cursor::new(file)).unwrap();
        let sheet = book.worksheet_range_at(0).unwrap().unwrap();
        let text = |text: &str| Data::String(text.to_string());
        let cells: Vec<Vec<Data>> = sheet.rows().skip(1).map(<[Data]>::to_vec).collect();
        assert_eq!(cells[0], [text("=1+1"), Data::Float(250.0)]);
        assert_eq!(cells[1], [text("+x"), text("> 800")]);
        assert_eq!(cells[2], [text("NaN"), Data::Float(1000.0)]);
        let formulas = book.worksheet_formula(&book.sheet_names()[0]).unwrap();
        assert!(formulas.is_empty());
    }

    #[test]
    fn more_letters_than_a_cell_holds_are_refused() {
        let of = |letters: usize| write_workbook("a.xlsx", &[vec!["x".repeat(letters)]]);
        assert!(of(32_767).is_ok());
        assert!(of(32_768).unwrap_err().problem.contains("32,767"));
    }
}
