//! Files as laboratories send them, each row with the verdict that it must get.

use crate::folder::{files, write_to};
use likewear::facade::app::{App, CellProblem, ImportRow, StartWith, Verdict};
use likewear::facade::catalogue::Value;
use likewear::facade::records::TrialSlug;
use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/awkward")
}

/// A row of the table of verdicts.
#[derive(Debug, PartialEq, Eq, PartialOrd, Ord)]
struct Expected {
    row: u64,
    verdict: String,
    column: String,
    says: String,
    read_as: String,
}

fn table() -> BTreeMap<String, Vec<Expected>> {
    let mut reader = csv::Reader::from_path(folder().join("verdicts.csv")).unwrap();
    let mut files: BTreeMap<String, Vec<Expected>> = BTreeMap::new();
    for record in reader.records() {
        let record = record.unwrap();
        let rows = files.entry(record[0].to_string()).or_default();
        if record[1].is_empty() {
            continue;
        }
        rows.push(Expected {
            row: record[1].parse().unwrap(),
            verdict: record[2].to_string(),
            column: record[3].to_string(),
            says: record[4].to_string(),
            read_as: record[5].to_string(),
        });
    }
    files
}

fn read_as(row: &ImportRow) -> String {
    let Some(draft) = &row.draft else {
        return String::new();
    };
    let run = &draft.result;
    let value = match &run.value {
        Value::Exact(value) => value.to_string(),
        Value::Between { lo, hi } => format!("{lo} to {hi}"),
        Value::Above(lo) => format!("> {lo}"),
        Value::Below(hi) => format!("< {hi}"),
        Value::Class(class) => class.clone(),
        Value::Stopped => "stopped".to_string(),
    };
    let date = run.date.map_or("no date".to_string(), |date| date.to_string());
    let words = [&run.key.to_string(), &value, &date, &run.conditions];
    words
        .into_iter()
        .filter(|word| !word.is_empty())
        .cloned()
        .collect::<Vec<_>>()
        .join("; ")
}

fn problem(row: &ImportRow) -> (String, String) {
    match &row.verdict {
        Verdict::Refused(problems) => (
            problems
                .iter()
                .map(|p| p.column.clone())
                .collect::<Vec<_>>()
                .join("+"),
            problems
                .iter()
                .map(|p| p.problem.clone())
                .collect::<Vec<_>>()
                .join("; "),
        ),
        Verdict::Asked(questions) => {
            let cells = questions.iter().map(|question| &question.cell);
            let part = |of: fn(&CellProblem) -> &String| cells.clone().map(of).cloned().collect::<Vec<_>>();
            (
                part(|cell| &cell.column).join("+"),
                part(|cell| &cell.problem).join("; "),
            )
        }
        Verdict::Changes { there, given } => (String::new(), format!("{there} -> {given}")),
        _ => Default::default(),
    }
}

async fn app() -> (tempfile::TempDir, App) {
    let place = tempfile::tempdir().unwrap();
    let app = App::create(&place.path().join("a.db"), StartWith::Nothing)
        .await
        .unwrap();
    write_to(&place.path().join("small"), &files());
    app.load(&place.path().join("small")).await.unwrap();
    (place, app)
}

#[tokio::test]
async fn every_row_of_every_awkward_file_gets_its_verdict() {
    let (_place, app) = app().await;
    let trial = TrialSlug::new("slow-drive").unwrap();
    let table = table();
    let there: BTreeSet<String> = std::fs::read_dir(folder())
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .filter(|name| name != "verdicts.csv")
        .collect();
    assert_eq!(
        there,
        table.keys().cloned().collect(),
        "each file stands in the table"
    );
    let mut wrong = Vec::new();
    for (file, expected) in &table {
        let bytes = std::fs::read(folder().join(file)).unwrap();
        let preview = app.preview_import(&bytes, file, Some(&trial)).await.unwrap();
        let rows: Vec<u64> = preview.rows.iter().map(|row| row.row).collect();
        let wanted: Vec<u64> = expected.iter().map(|row| row.row).collect();
        if rows != wanted {
            wrong.push(format!("{file}: rows {rows:?}, expected {wanted:?}"));
        }
        for (row, expected) in preview.rows.iter().zip(expected) {
            let (column, words) = problem(row);
            let found = Expected {
                row: row.row,
                verdict: row.verdict.word().to_string(),
                column,
                says: if !expected.says.is_empty() && words.contains(&expected.says) {
                    expected.says.clone()
                } else {
                    words
                },
                read_as: read_as(row),
            };
            if &found != expected {
                wrong.push(format!("{file}: found {found:?}\n    expected {expected:?}"));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}
