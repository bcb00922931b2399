//! Archive folders on disk.

use crate::app::AppError;
use crate::intake::ArchiveFiles;
use std::fs;
use std::io::Write;
use std::path::Path;

/// More than this in one file is refused before it is read into memory.
const MOST_BYTES: u64 = 64 * 1024 * 1024;

/// The CSV files of a folder.
pub(crate) fn read_files(folder: &Path) -> Result<ArchiveFiles, AppError> {
    let entries = fs::read_dir(folder).map_err(|error| AppError::file(folder, words(&error)))?;
    let mut files = ArchiveFiles::new();
    for entry in entries {
        let path = entry
            .map_err(|error| AppError::file(folder, words(&error)))?
            .path();
        let name = path
            .file_name()
            .unwrap_or_default()
            .to_string_lossy()
            .into_owned();
        if !path.is_file() || !name.to_lowercase().ends_with(".csv") {
            continue;
        }
        let length = fs::metadata(&path).map_err(|error| AppError::file(&path, words(&error)))?;
        if length.len() > MOST_BYTES {
            return Err(AppError::file(&path, "is longer than 64 MB"));
        }
        let bytes = fs::read(&path).map_err(|error| AppError::file(&path, words(&error)))?;
        files.insert(name, bytes);
    }
    Ok(files)
}

/// Writes the files into a folder that does not exist yet or holds no archive.
pub(crate) fn write_files(folder: &Path, files: &ArchiveFiles) -> Result<(), AppError> {
    for name in files.keys() {
        if folder.join(name).exists() {
            let problem = format!("holds {name} already; name a new folder, or one without an archive");
            return Err(AppError::file(folder, problem));
        }
    }
    fs::create_dir_all(folder).map_err(|error| AppError::file(folder, words(&error)))?;
    for (name, bytes) in files {
        let path = folder.join(name);
        let written = fs::File::create_new(&path).and_then(|mut file| {
            file.write_all(bytes)?;
            file.sync_all()
        });
        written.map_err(|error| AppError::file(&path, words(&error)))?;
    }
    Ok(())
}

fn words(error: &std::io::Error) -> String {
    match error.kind() {
        std::io::ErrorKind::NotFound => "does not exist".to_string(),
        std::io::ErrorKind::NotADirectory => "is not a folder".to_string(),
        std::io::ErrorKind::PermissionDenied => "may not be read or written here".to_string(),
        _ => format!("cannot be used: {error}"),
    }
}
