//! An archive as the files of a folder, in the form in which a folder is read.

use crate::intake::ArchiveFiles;
use crate::intake::csv_escape::escaped;
use crate::records::Archive;
use crate::records::table::FileColumns;

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
pub fn write_folder(archive: &Archive) -> Result<ArchiveFiles, WriteFault> {
    let mut files = ArchiveFiles::new();
    for table in archive.files() {
        let written = write_file(&table.file, &table.rows)?;
        files.insert(table.file.name.to_string(), written);
    }
    Ok(files)
}

/// One file, with its header.
pub(crate) fn write_file(file: &FileColumns, rows: &[Vec<String>]) -> Result<Vec<u8>, WriteFault> {
    let header: Vec<&str> = file.all().collect();
    write_table(file.name, &header, rows)
}

/// Rows under a header, as a file of results that can be read again.
pub fn write_rows(header: &[&str], rows: &[Vec<String>]) -> Result<Vec<u8>, WriteFault> {
    write_table("results.csv", header, rows)
}

fn write_table(file: &'static str, header: &[&str], rows: &[Vec<String>]) -> Result<Vec<u8>, WriteFault> {
    let fault = |problem: String| WriteFault { file, problem };
    let mut writer = csv::Writer::from_writer(Vec::new());
    writer
        .write_record(header)
        .map_err(|error| fault(error.to_string()))?;
    for row in rows {
        let cells = row.iter().map(|cell| escaped(cell).into_owned());
        writer
            .write_record(cells)
            .map_err(|error| fault(error.to_string()))?;
    }
    writer.into_inner().map_err(|error| fault(error.to_string()))
}
