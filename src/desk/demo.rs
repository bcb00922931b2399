//! The invented trials that a new file starts with.

use crate::desk::DeskError;
use crate::intake::{ArchiveFiles, read_folder};
use crate::records::Archive;
use include_dir::{Dir, include_dir};

static DEMO: Dir<'_> = include_dir!("$CARGO_MANIFEST_DIR/demo-data");

/// The demo's archive. Its files are read like any other folder.
pub(crate) fn demo() -> Result<Archive, DeskError> {
    let name = |file: &include_dir::File<'_>| file.path().display().to_string();
    let files: ArchiveFiles = DEMO
        .files()
        .map(|file| (name(file), file.contents().to_vec()))
        .collect();
    let accepted = read_folder(&files).map_err(DeskError::Refused)?;
    Ok(accepted.archive)
}
