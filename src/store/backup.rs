//! A copy of the whole file as it is at one moment.

use crate::store::{Store, StoreError};
use std::path::Path;

impl Store {
    /// Copies everything into a file that does not exist yet, also while others write. The copy is made under another name
    /// and renamed when it is complete and on disk.
    ///
    /// # Errors
    /// `AlreadyThere` where something has that name; `NotOurs` where its folder cannot be written to.
    pub async fn back_up(&self, copy: &Path) -> Result<(), StoreError> {
        if copy.exists() {
            return Err(StoreError::AlreadyThere(copy.display().to_string()));
        }
        let unusable = |problem: String| StoreError::NotOurs {
            path: copy.to_path_buf(),
            problem: format!("cannot be written: {problem}"),
        };
        let Some(name) = copy.file_name() else {
            return Err(unusable("it is not the name of a file".to_string()));
        };
        let mut making = name.to_os_string();
        making.push(".making");
        let making = copy.with_file_name(making);
        let Some(target) = making.to_str() else {
            return Err(unusable("its name is not UTF-8".to_string()));
        };
        let mut connection = self.writer().acquire().await?;
        let copied = sqlx::query("VACUUM INTO $1")
            .bind(target)
            .execute(&mut *connection)
            .await
            .map_err(|error| unusable(error.to_string()));
        let kept = copied.and_then(|_| {
            std::fs::File::open(&making)
                .and_then(|file| file.sync_all())
                .and_then(|()| std::fs::rename(&making, copy))
                .map_err(|error| unusable(error.to_string()))
        });
        if kept.is_err() {
            // What is left of it is of no use; that it cannot be removed either changes nothing.
            let _ = std::fs::remove_file(&making);
        }
        kept
    }
}
