//! load, export, check.

use crate::app::{App, AppError, Loaded, StartWith, preview_first_load};
use crate::cli::print::{answer, counted, diagnostic};
use crate::cli::{Answer, CheckArguments, ExportArguments, LoadArguments};
use anyhow::Context;

pub(super) async fn load(arguments: &LoadArguments) -> anyhow::Result<Answer> {
    match load_or_look(arguments).await {
        Ok(loaded) => report(&loaded, arguments),
        Err(AppError::Refused(faults)) => {
            faults.iter().for_each(|fault| diagnostic(&fault.to_string()));
            diagnostic(&format!(
                "refused for {}; nothing was written",
                counted(faults.len(), "fault")
            ));
            Ok(Answer::No)
        }
        Err(AppError::Conflicts(conflicts)) => {
            conflicts
                .iter()
                .for_each(|conflict| diagnostic(&conflict.to_string()));
            diagnostic(&format!(
                "refused: {} would change; nothing was written",
                counted(conflicts.len(), "record")
            ));
            Ok(Answer::No)
        }
        Err(other) => Err(other).with_context(|| format!("cannot load {}", arguments.folder.display())),
    }
}

async fn load_or_look(arguments: &LoadArguments) -> Result<Loaded, AppError> {
    let exists = arguments.data.exists();
    if arguments.check && !exists {
        return preview_first_load(&arguments.folder);
    }
    if !exists {
        // A refused folder leaves no file behind.
        preview_first_load(&arguments.folder)?;
    }
    let app = if exists {
        App::open(&arguments.data).await?
    } else {
        App::create(&arguments.data, StartWith::Nothing).await?
    };
    let loaded = if arguments.check {
        app.preview_load(&arguments.folder).await
    } else {
        app.load(&arguments.folder).await
    };
    app.close().await?;
    loaded
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
    let app = App::open(&arguments.data).await?;
    let written = app.export(&arguments.folder).await;
    app.close().await?;
    written.context("cannot export")?;
    answer(&format!(
        "{} written to {}",
        arguments.data.display(),
        arguments.folder.display()
    ))?;
    Ok(Answer::Done)
}

pub(super) async fn check(arguments: &CheckArguments) -> anyhow::Result<Answer> {
    let app = App::open(&arguments.data).await?;
    let problems = app.check().await;
    app.close().await?;
    let problems = problems?;
    let file = arguments.data.display();
    if problems.is_empty() {
        answer(&format!("{file} is whole"))?;
        return Ok(Answer::Done);
    }
    problems
        .iter()
        .for_each(|problem| diagnostic(&problem.to_string()));
    diagnostic(&format!("{} in {file}", counted(problems.len(), "problem")));
    Ok(Answer::No)
}
