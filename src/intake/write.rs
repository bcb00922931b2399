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
fn write_file(file: &FileColumns, rows: &[Vec<String>]) -> Result<Vec<u8>, WriteFault> {
    let fault = |problem: String| WriteFault {
        file: file.name,
        problem,
    };
    let mut writer = csv::Writer::from_writer(Vec::new());
    writer
        .write_record(file.all())
        .map_err(|error| fault(error.to_string()))?;
    for row in rows {
        let cells = row.iter().map(|cell| escaped(cell).into_owned());
        writer
            .write_record(cells)
            .map_err(|error| fault(error.to_string()))?;
    }
    writer.into_inner().map_err(|error| fault(error.to_string()))
}
