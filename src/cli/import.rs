//! import: a file of results, one run per row.

use crate::app::{AppError, ImportPreview};
use crate::cli::print::{answer, counted, diagnostic};
use crate::cli::standing::trial_of;
use crate::cli::{Answer, ImportArguments, with_archive};
use anyhow::{Context, anyhow};
use std::io::Read;
use std::path::Path;

/// One byte more than is taken in, so that a longer file is known as such without reading all of it.
const ENOUGH: u64 = 64 * 1024 * 1024 + 1;

pub(super) async fn import(arguments: &ImportArguments) -> anyhow::Result<Answer> {
    let file = arguments.file.display().to_string();
    let bytes = read(&arguments.file).with_context(|| format!("cannot read {file}"))?;
    let trial = arguments.trial.as_deref().map(trial_of).transpose();
    let trial = trial.map_err(|problem| anyhow!("--trial {problem}"))?;
    if !arguments.data.exists() {
        // A new file has no trial to which a run could belong, and nothing of a refused file is kept.
        diagnostic(&format!(
            "refused: {} does not exist, so that there is no trial to import into; load an archive folder first",
            arguments.data.display()
        ));
        return Ok(Answer::No);
    }
    let done = with_archive(&arguments.data, async |app| {
        if arguments.check {
            app.preview_import(&bytes, &file, trial.as_ref()).await
        } else {
            app.confirm_import(&bytes, &file, trial.as_ref()).await
        }
    });
    match done.await? {
        Ok(preview) => report(&preview, arguments),
        Err(refused @ (AppError::NoSuchTrial(_) | AppError::TooLarge(_) | AppError::NotText(_))) => {
            diagnostic(&format!("{file}: {refused}; nothing was written"));
            Ok(Answer::No)
        }
        Err(other) => Err(other).with_context(|| format!("cannot import {file}")),
    }
}

fn read(path: &Path) -> std::io::Result<Vec<u8>> {
    let mut bytes = Vec::new();
    std::fs::File::open(path)?.take(ENOUGH).read_to_end(&mut bytes)?;
    Ok(bytes)
}

fn report(preview: &ImportPreview, arguments: &ImportArguments) -> anyhow::Result<Answer> {
    for (row, line, problem) in preview.refusals() {
        diagnostic(&place(
            &preview.name,
            row,
            line,
            &problem.column,
            &problem.text,
            &problem.problem,
        ));
    }
    for (row, line, question) in preview.questions() {
        let (name, cell) = (&preview.name, &question);
        diagnostic(&place(name, row, line, &cell.column, &cell.text, &cell.problem));
    }
    for row in &preview.rows {
        for remark in row.draft.iter().flat_map(|draft| &draft.remarks) {
            diagnostic(&format!(
                "note: {}",
                place(&preview.name, row.row, row.line, "", "", remark)
            ));
        }
    }
    for (heading, _) in preview.unread_columns() {
        diagnostic(&format!(
            "note: {}: the column '{heading}' is not read",
            preview.name
        ));
    }
    let counts = preview.counts();
    answer(&format!(
        "{} new, {} there already, {} would change, {} refused, {} asked about, {} not run",
        counts.new, counts.same, counts.changes, counts.refused, counts.asked, counts.not_run
    ))?;
    let file = arguments.data.display();
    let new = counted(counts.new, "result");
    if !preview.is_accepted() {
        diagnostic(&format!("{}: nothing was written", preview.name));
        return Ok(Answer::No);
    }
    if arguments.check {
        answer(&format!(
            "no fault; {new} would be added to {file}, nothing was written"
        ))?;
    } else {
        answer(&format!("{new} added to {file}"))?;
    }
    Ok(Answer::Done)
}

/// `results.csv row 5 (line 7), value '1,234': can be read …`.
fn place(name: &str, row: u64, line: u64, column: &str, text: &str, problem: &str) -> String {
    let mut place = name.to_string();
    if row > 0 {
        place.push_str(&format!(" row {row}"));
    }
    if line != row {
        place.push_str(&format!(" (line {line})"));
    }
    if !column.is_empty() {
        place.push_str(&format!(", {column}"));
    }
    if !text.is_empty() {
        place.push_str(&format!(" '{text}'"));
    }
    format!("{place}: {problem}")
}
