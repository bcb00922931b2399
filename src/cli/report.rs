//! report: a trial as one file to hand on. backup: the archive's file as it is, whole.

use crate::app::{App, AppError};
use crate::cli::print::answer;
use crate::cli::standing::no_such_trial;
use crate::cli::{Answer, BackupArguments, ReportArguments};
use crate::records::TrialSlug;
use crate::web::report_file;
use anyhow::{Context, bail};
use std::io::Write;
use std::path::Path;

pub(super) async fn report(arguments: &ReportArguments) -> anyhow::Result<Answer> {
    let Some(trial) = TrialSlug::new(&arguments.trial) else {
        bail!("'{}' is not the name of a trial", arguments.trial);
    };
    let app = App::open(&arguments.data).await?;
    let written = match report_file(&app, &trial).await {
        Err(AppError::NoSuchTrial(_)) => Err(no_such_trial(&app, &arguments.trial).await?),
        Err(other) => Err(other.into()),
        Ok(text) => put_in_place(&arguments.out, text.as_bytes()),
    };
    app.close().await?;
    written?;
    answer(&format!("{trial} written to {}", arguments.out.display()))?;
    Ok(Answer::Done)
}

/// Writes a file under another name and renames it when it is whole, so that a file under its own name is always a whole
/// one.
fn put_in_place(out: &Path, bytes: &[u8]) -> anyhow::Result<()> {
    let Some(name) = out.file_name() else {
        bail!("{} is not the name of a file", out.display());
    };
    let mut making = name.to_os_string();
    making.push(".making");
    let making = out.with_file_name(making);
    let written = std::fs::File::create(&making)
        .and_then(|mut file| {
            file.write_all(bytes)?;
            file.sync_all()
        })
        .and_then(|()| std::fs::rename(&making, out));
    if written.is_err() {
        // What is left of it is of no use; that it cannot be removed either changes nothing.
        let _ = std::fs::remove_file(&making);
    }
    written.with_context(|| format!("cannot write {}", out.display()))
}

pub(super) async fn backup(arguments: &BackupArguments) -> anyhow::Result<Answer> {
    let app = App::open(&arguments.data).await?;
    let written = app.back_up(&arguments.file).await;
    app.close().await?;
    written.context("cannot back up")?;
    answer(&format!(
        "{} written to {}",
        arguments.data.display(),
        arguments.file.display()
    ))?;
    Ok(Answer::Done)
}
