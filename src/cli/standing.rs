//! standing: the comparison of a trial in words or as JSON.

use crate::app::{App, AppError};
use crate::cli::print::answer;
use crate::cli::{Answer, StandingArguments, with_archive};
use crate::prose::gates::failed_gates;
use crate::prose::no_worse;
use crate::prose::reasons::not_weighed;
use crate::prose::resemblance::departures;
use crate::prose::standing as words;
use crate::records::{BlendCode, TrialSlug};
use crate::standing::scale_lines;
use crate::standing::{ComparedTest, Comparison, Equivalence};
use crate::standing::{WhatIf, Without};
use crate::wire::standing_json;
use anyhow::{anyhow, bail};

pub(super) async fn standing(arguments: &StandingArguments) -> anyhow::Result<Answer> {
    let what_if = WhatIf {
        without: without(&arguments.without)?,
        ..WhatIf::default()
    };
    let trial = trial_of(&arguments.trial);
    let comparison = with_archive(&arguments.data, async |app| {
        match app.compare(&trial?, &what_if).await {
            Err(AppError::Question { field, problem }) => bail!("--{field}: {problem}"),
            other => or_known_trials(app, other).await,
        }
    });
    let comparison = comparison.await??;
    if arguments.json {
        answer(&serde_json::to_string_pretty(&standing_json(&comparison))?)?;
    } else {
        lines(&comparison).iter().try_for_each(|line| answer(line))?;
    }
    Ok(Answer::Done)
}

fn without(items: &[String]) -> anyhow::Result<Vec<Without>> {
    let item = |text: &String| {
        Without::parse(text).ok_or_else(|| anyhow!("--without '{text}': write METHOD or METHOD/QUANTITY"))
    };
    items.iter().map(item).collect()
}

/// The trial that is named.
pub(super) fn trial_of(text: &str) -> anyhow::Result<TrialSlug> {
    TrialSlug::new(text).ok_or_else(|| anyhow!("'{text}' is not the name of a trial"))
}

/// What was found of a trial, or that there is none such, with those that are there.
pub(super) async fn or_known_trials<T>(app: &App, found: Result<T, AppError>) -> anyhow::Result<T> {
    let Err(AppError::NoSuchTrial(trial)) = found else {
        return Ok(found?);
    };
    let known: Vec<String> = app.trial_names().await?.iter().map(ToString::to_string).collect();
    bail!("there is no trial '{trial}'; there are: {}", known.join(", "))
}

fn lines(comparison: &Comparison) -> Vec<String> {
    let standing = &comparison.standing;
    let mut lines = Vec::new();
    if comparison.records.trial.invented {
        lines.push("Invented data.".to_string());
    }
    lines.push(words::sentence(&comparison.records, standing, Default::default()));
    let departs = departures(&scale_lines(comparison));
    if !departs.is_empty() {
        lines.push(departs);
    }
    let candidates = standing.candidates.iter().map(|candidate| {
        let score = match (candidate.score, candidate.score_lo, candidate.score_hi) {
            (Some(score), Some(lo), Some(hi)) => format!("{score:.2} ({lo:.2} to {hi:.2})"),
            (Some(score), ..) => format!("{score:.2}"),
            _ => "-".to_string(),
        };
        vec![
            candidate.blend.to_string(),
            candidate.p_best.map_or("-".to_string(), words::of_100),
            score,
            words::per_cent(candidate.coverage),
            failed_gates(&candidate.failed, Default::default()),
        ]
    });
    lines.push(String::new());
    if let Some(equivalence) = &standing.equivalence {
        lines.extend(table(
            &[
                "test",
                "blend",
                "critical differences",
                "worse by up to (90 %)",
                "margin",
            ],
            compared(equivalence),
        ));
    } else {
        lines.extend(table(
            &["candidate", "comes first", "score (90 %)", "run", "out because"],
            candidates,
        ));
    }
    let tests = standing.tests.iter().map(|test| {
        vec![
            test.key.to_string(),
            format!("{:.3}", test.weight),
            test.resemblance
                .map_or("-".to_string(), |value| format!("{value:.2}")),
            if test.extreme { "extreme" } else { "" }.to_string(),
            (test.excluded.as_ref())
                .map(|why| not_weighed(why, Default::default()))
                .unwrap_or_default(),
        ]
    });
    lines.push(String::new());
    lines.extend(table(
        &["test", "weight", "resemblance", "screen", "not weighed because"],
        tests,
    ));
    lines.push(String::new());
    if standing.cautions.is_empty() {
        lines.push("No caution.".to_string());
    }
    for caution in &standing.cautions {
        let (heading, text) = words::caution(caution, standing, Default::default());
        lines.push(format!("[{}] {heading}: {text}", caution.severity.word()));
    }
    lines
}

/// Test by test, how far each candidate may be worse.
fn compared(equivalence: &Equivalence) -> impl Iterator<Item = Vec<String>> {
    let row = move |blend: &BlendCode, test: &ComparedTest| match &test.told {
        Ok(told) => vec![
            test.key.to_string(),
            blend.to_string(),
            no_worse::difference(told, Default::default()),
            no_worse::times(told.worst(), Default::default()),
            no_worse::within(told.within).to_string(),
        ],
        Err(why) => vec![
            test.key.to_string(),
            blend.to_string(),
            no_worse::not_told(why),
            "-".to_string(),
            "-".to_string(),
        ],
    };
    let each = equivalence.candidates.iter();
    each.flat_map(move |one| one.tests.iter().map(move |test| row(&one.blend, test)))
}

/// Rows in columns as wide as their longest cell.
fn table(header: &[&str], rows: impl Iterator<Item = Vec<String>>) -> Vec<String> {
    let mut all: Vec<Vec<String>> = vec![header.iter().map(ToString::to_string).collect()];
    all.extend(rows);
    let width = |column: usize| {
        all.iter()
            .filter_map(|row| row.get(column))
            .map(|cell| cell.chars().count())
            .max()
    };
    let widths: Vec<usize> = (0..header.len())
        .map(|column| width(column).unwrap_or(0))
        .collect();
    let line = |row: &Vec<String>| {
        let cells = row
            .iter()
            .zip(&widths)
            .map(|(cell, width)| format!("{cell:width$}"));
        cells.collect::<Vec<_>>().join("  ").trim_end().to_string()
    };
    all.iter().map(line).collect()
}
