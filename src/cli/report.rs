//! report: a trial as one file to hand on. backup: the archive's file as it is, whole.

use crate::cli::print::written_to;
use crate::cli::standing::{or_known_trials, trial_of};
use crate::cli::{Answer, BackupArguments, ReportArguments, with_archive};
use crate::web::report_file;
use anyhow::{Context, bail};
use std::io::Write;
use std::path::Path;

pub(super) async fn report(arguments: &ReportArguments) -> anyhow::Result<Answer> {
    let trial = trial_of(&arguments.trial)?;
    let written = with_archive(&arguments.data, async |app| {
        let text = or_known_trials(app, report_file(app, &trial).await).await?;
        put_in_place(&arguments.out, text.as_bytes())
    });
    written.await??;
    written_to(&trial, &arguments.out)
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
    let (file, copy) = (&arguments.data, &arguments.file);
    let written = with_archive(file, async |app| app.back_up(copy).await);
    written.await?.context("cannot back up")?;
    written_to(&file.display(), copy)
}
