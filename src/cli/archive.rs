//! load, export, check.

use crate::app::{App, AppError, Loaded, StartWith, preview_first_load};
use crate::cli::print::{answer, counted, diagnostic, written_to};
use crate::cli::{Answer, CheckArguments, ExportArguments, LoadArguments, with_archive};
use anyhow::Context;

pub(super) async fn load(arguments: &LoadArguments) -> anyhow::Result<Answer> {
    match load_or_look(arguments).await {
        Ok(loaded) => report(&loaded, arguments),
        Err(AppError::Refused(faults)) => {
            let why = format!("for {}", counted(faults.len(), "fault"));
            Ok(refused(&faults, &format!("refused {why}; nothing was written")))
        }
        Err(AppError::Conflicts(conflicts)) => {
            let changes = format!("{} would change", counted(conflicts.len(), "record"));
            Ok(refused(
                &conflicts,
                &format!("refused: {changes}; nothing was written"),
            ))
        }
        Err(other) => Err(other).with_context(|| format!("cannot load {}", arguments.folder.display())),
    }
}

/// No, with everything that stands against it.
fn refused<T: std::fmt::Display>(why: &[T], in_short: &str) -> Answer {
    why.iter().for_each(|one| diagnostic(&one.to_string()));
    diagnostic(in_short);
    Answer::No
}

async fn load_or_look(arguments: &LoadArguments) -> Result<Loaded, AppError> {
    let folder = &arguments.folder;
    if !arguments.data.exists() {
        // A refused folder leaves no file behind.
        let first = preview_first_load(folder)?;
        if arguments.check {
            return Ok(first);
        }
        App::create(&arguments.data, StartWith::Nothing)
            .await?
            .close()
            .await?;
    }
    let loaded = with_archive(&arguments.data, async |app| {
        if arguments.check {
            app.preview_load(folder).await
        } else {
            app.load(folder).await
        }
    });
    loaded.await?
}

fn report(loaded: &Loaded, arguments: &LoadArguments) -> anyhow::Result<Answer> {
    for warning in &loaded.warnings {
        diagnostic(&format!("note: {warning}"));
    }
    for (kind, count) in loaded.added.counts() {
        answer(&format!(
            "{kind}: {} new, {} there already",
            count.new, count.same
        ))?;
    }
    let new = counted(loaded.added.new_records(), "record");
    let file = arguments.data.display();
    if arguments.check {
        answer(&format!(
            "no fault; {new} would be added to {file}, nothing was written"
        ))?;
    } else {
        answer(&format!("{new} added to {file}"))?;
    }
    Ok(Answer::Done)
}

pub(super) async fn export(arguments: &ExportArguments) -> anyhow::Result<Answer> {
    let (file, folder) = (&arguments.data, &arguments.folder);
    let written = with_archive(file, async |app| app.export(folder).await);
    written.await?.context("cannot export")?;
    written_to(&file.display(), folder)
}

pub(super) async fn check(arguments: &CheckArguments) -> anyhow::Result<Answer> {
    let problems = with_archive(&arguments.data, async |app| app.check().await).await??;
    let file = arguments.data.display();
    if problems.is_empty() {
        answer(&format!("{file} is whole"))?;
        return Ok(Answer::Done);
    }
    let found = counted(problems.len(), "problem");
    Ok(refused(&problems, &format!("{found} in {file}")))
}
