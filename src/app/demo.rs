//! The invented trials that a new file starts with.

use crate::app::{App, AppError, now, today};
use crate::intake::{ArchiveFiles, read_folder};
use crate::records::Archive;
use crate::store::Progress;
use include_dir::{Dir, include_dir};

static DEMO: Dir<'_> = include_dir!("$CARGO_MANIFEST_DIR/demo-data");

/// The demo's archive. Its files are read like any other folder.
pub(crate) fn demo() -> Result<Archive, AppError> {
    let name = |file: &include_dir::File<'_>| file.path().display().to_string();
    let files: ArchiveFiles = DEMO
        .files()
        .map(|file| (name(file), file.contents().to_vec()))
        .collect();
    let accepted = read_folder(&files, today()).map_err(AppError::Refused)?;
    Ok(accepted.archive)
}

impl App {
    /// How far the archive has come.
    ///
    /// # Errors
    /// `Store` where the file cannot be read.
    pub async fn progress(&self) -> Result<Progress, AppError> {
        Ok(self.store().progress().await?)
    }

    /// Takes the invented trials into an archive that holds nothing.
    ///
    /// # Errors
    /// `NotCurrent` where it holds something.
    pub async fn load_demo(&self) -> Result<(), AppError> {
        if !self.progress().await?.is_empty {
            let problem = "the archive is not empty any more; the demo comes into an empty one only";
            return Err(AppError::NotCurrent(problem.to_string()));
        }
        self.store().insert_archive(&demo()?, &now()).await?;
        Ok(())
    }
}
