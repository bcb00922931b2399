//! What cannot be a result is refused by every door, what is not usual comes in on a second yes alone: an archive folder, a
//! file, the forms, JSON, a number held up.

use crate::folder::{DAY, accepted, faults, files, only_fault, with, with_line, write_to};
use crate::import::{Bench, trial};
use crate::import_http::small;
use crate::pages::{Pages, set};
use crate::support::explained;
use crate::support::trials::a_against_b;
use likewear::facade::app::{App, AppError, Correction, ImportPreview, StartWith, Verdict};
use likewear::facade::explain::{Ask, QuotedAsk};
use likewear::facade::intake::{ArchiveFiles, read_folder, write_folder};
use likewear::facade::records::AcceptedAs;
use std::process::Command;

/// Scars of the four-ball wear test for oils at 392 N: the ball is 12.7 mm, usual are 0.3 to 1.3 mm (ours).
const SCAR: &str = "B-1,fb_wear_oil_B,scar";
const HEADER: &str = "blend,method,quantity,value,unit,rig,date,replicate,accepted\n";

/// The small archive with a line of a scar more.
fn folder(value: &str, status: &str, reason: &str) -> ArchiveFiles {
    let line = format!("slow-drive,{SCAR},{value},mm,,2026-04-01,1,,,test,{status},{reason},measured,");
    with_line(files(), "results.csv", &line)
}

/// Rows of results with a column `accepted`.
fn with_accepted(lines: &[(&str, &str)]) -> ArchiveFiles {
    let mut files = files();
    let text = String::from_utf8(files["results.csv"].clone()).unwrap();
    let mut text: String = text.lines().enumerate().fold(String::new(), |text, (at, line)| {
        text + line + if at == 0 { ",accepted\n" } else { ",\n" }
    });
    for (line, accepted) in lines {
        text += &format!("{line},{accepted}\n");
    }
    files.insert("results.csv".to_string(), text.into_bytes());
    files
}

async fn looked(bench: &Bench, rows: &str) -> ImportPreview {
    let text = format!("{HEADER}{rows}");
    let (app, trial) = (&bench.app, trial());
    app.preview_import(text.as_bytes(), "runs.csv", Some(&trial))
        .await
        .unwrap()
}

fn row(value: &str, accepted: &str) -> String {
    format!("{SCAR},{value},mm,,2026-04-01,1,{accepted}\n")
}

#[test]
fn a_folder_refuses_what_is_impossible_and_names_the_slip() {
    let fault = only_fault(&folder("450", "valid", ""));
    assert_eq!((fault.column.as_str(), fault.text.as_str()), ("value", "450"));
    assert!(
        fault.problem.contains("12.7 mm") && fault.problem.contains("0.45 mm"),
        "{fault}"
    );
    assert_eq!(faults(&folder("0.45", "valid", "")), Vec::<String>::new());
}

#[test]
fn a_folder_asks_about_what_is_unusual_and_takes_a_yes_in_its_column() {
    let fault = only_fault(&folder("2", "valid", ""));
    assert!(
        fault.problem.contains("'unusual' in the column accepted"),
        "{fault}"
    );
    let line = format!("slow-drive,{SCAR},2,mm,,2026-04-01,1,,,test,valid,,measured,");
    let archive = accepted(&with_accepted(&[(&line, "unusual")])).archive;
    assert_eq!(archive.results.last().unwrap().accepted, [AcceptedAs::Unusual]);
    // what is written comes in again
    let written = write_folder(&archive).unwrap();
    assert_eq!(
        accepted(&written).archive.results.last().unwrap().accepted,
        [AcceptedAs::Unusual]
    );
    let fault = only_fault(&with_accepted(&[(&line, "yes")]));
    assert_eq!(fault.column, "accepted");
    assert!(fault.problem.contains("unusual, same-run"), "{fault}");
}

/// A run may be void because it was misread, and a correction keeps what it corrects: both stay as they are.
#[test]
fn what_counts_no_more_comes_in_as_it_was_written() {
    assert_eq!(faults(&folder("450", "void", "misread")), Vec::<String>::new());
    let mut text = String::from_utf8(files()["results.csv"].clone()).unwrap();
    let header = text.lines().next().unwrap().to_string();
    text = header + ",id,supersedes\n";
    let line = |value: &str, reason: &str| {
        format!("slow-drive,{SCAR},{value},mm,,2026-04-01,1,,,test,valid,{reason},measured,")
    };
    text += &format!(
        "{},1,\n{},2,1\n",
        line("450", ""),
        line("0.45", "corrected: misread")
    );
    let mut files = files();
    files.insert("results.csv".to_string(), text.clone().into_bytes());
    assert!(read_folder(&files, DAY).is_ok());
    files.insert(
        "results.csv".to_string(),
        text.replace("0.45", "450").into_bytes(),
    );
    assert!(read_folder(&files, DAY).is_err());
}

/// Rows that were entered before the program asked: what stands in an archive is written with a yes to it.
#[test]
fn an_export_says_yes_to_what_stands_in_the_archive() {
    let line = format!("slow-drive,{SCAR},2,mm,,2026-04-01,1,,,test,valid,,measured,");
    let mut archive = accepted(&with_accepted(&[(&line, "unusual")])).archive;
    archive.results.last_mut().unwrap().accepted.clear();
    let written = write_folder(&archive).unwrap();
    assert!(read_folder(&written, DAY).is_ok());
}

#[tokio::test]
async fn a_file_is_refused_asked_about_or_taken_by_its_values() {
    let bench = Bench::new().await;
    let before = bench.results().await.len();
    for (rows, verdict) in [
        (row("450", ""), "refused"),
        (row("450", "unusual"), "refused"),
        (row("2", ""), "asked"),
        (row("2", "unusual"), "new"),
        (row("0.45", ""), "new"),
    ] {
        let preview = looked(&bench, &rows).await;
        assert_eq!(preview.rows[0].verdict.word(), verdict, "{rows}");
        assert_eq!(preview.is_accepted(), verdict == "new", "{rows}");
    }
    let text = format!("{HEADER}{}", row("2", ""));
    let asked = bench
        .app
        .confirm_import(text.as_bytes(), "runs.csv", Some(&trial()))
        .await
        .unwrap();
    assert!(!asked.written && matches!(asked.rows[0].verdict, Verdict::Asked(_)));
    assert_eq!(bench.results().await.len(), before);
    let done = bench
        .app
        .confirm_asked_import(text.as_bytes(), "runs.csv", Some(&trial()))
        .await
        .unwrap();
    assert!(done.written);
    let last = bench.results().await.pop().unwrap();
    assert_eq!(last.accepted, [AcceptedAs::Unusual]);
    // the same file again adds nothing, and asks nothing
    assert_eq!(
        looked(&bench, &row("2", "")).await.rows[0].verdict,
        Verdict::AlreadyThere
    );
}

#[tokio::test]
async fn json_names_what_is_asked_beside_what_is_refused() {
    let pages = small().await;
    let post = async |text: String| {
        let request =
            axum::http::Request::post("/api/import?trial=slow-drive").header("content-type", "text/csv");
        pages.send(request, text).await
    };
    let answer = post(format!("{HEADER}{}", row("2", ""))).await;
    assert_eq!(answer.status, 422);
    let body = answer.as_json();
    assert_eq!(body["refused"].as_array().unwrap().len(), 0);
    assert_eq!(
        (&body["asked"][0]["row"], &body["asked"][0]["column"]),
        (&2.into(), &"value".into())
    );
    assert!(
        body["asked"][0]["problem"]
            .as_str()
            .unwrap()
            .contains("0.3 to 1.3 mm")
    );
    let answer = post(format!("{HEADER}{}", row("450", "unusual"))).await;
    assert_eq!(
        (answer.status, answer.as_json()["refused"][0]["column"].as_str()),
        (422, Some("value"))
    );
    let answer = post(format!("{HEADER}{}", row("2", "unusual"))).await;
    assert_eq!((answer.status, &answer.as_json()["written"]), (200, &true.into()));
}

#[test]
fn the_command_says_no_to_a_row_that_is_asked_about() {
    let folder = tempfile::tempdir().unwrap();
    let run = |arguments: &[&str]| {
        let mut command = Command::new(env!("CARGO_BIN_EXE_likewear"));
        command
            .current_dir(folder.path())
            .args(arguments)
            .output()
            .unwrap()
    };
    write_to(&folder.path().join("small"), &files());
    assert!(run(&["load", "small", "--data", "a.db"]).status.success());
    for (accepted, code) in [("", 1), ("unusual", 0)] {
        std::fs::write(
            folder.path().join("runs.csv"),
            format!("{HEADER}{}", row("2", accepted)),
        )
        .unwrap();
        let done = run(&["import", "runs.csv", "--data", "a.db", "--trial", "slow-drive"]);
        assert_eq!(done.status.code(), Some(code), "{done:?}");
        let said = String::from_utf8(done.stderr).unwrap();
        assert_eq!(said.contains("runs.csv row 2, value '2'"), code == 1, "{said}");
    }
}

#[tokio::test]
async fn the_preview_page_takes_one_yes_for_all_rows_that_are_asked_about() {
    let pages = small().await;
    let before = pages.entries().await;
    let token = pages.token().await;
    let text = format!("{HEADER}{}{}", row("2", ""), row("0.5", "").replace(",1,", ",2,"));
    let fields = [
        ("token", token.as_str()),
        ("trial", "slow-drive"),
        ("text", text.as_str()),
    ];
    let preview = pages.form("/import", &fields).await;
    assert_eq!(
        preview.count("[data-row][data-verdict='asked']"),
        1,
        "{}",
        preview.body
    );
    assert_eq!(preview.count("[data-asked] input[type=checkbox][required]"), 1);
    assert!(
        preview
            .text("[data-confirm-form] button")
            .contains("Write 2 results")
    );
    let mut fields = preview.form("[data-confirm-form]");
    fields.remove("accepted");
    let asked = pages.post("/import/confirm", &fields).await;
    assert_eq!((asked.status, pages.entries().await), (409, before));
    let mut fields = asked.form("[data-confirm-form]");
    set(&mut fields, "accepted", "yes");
    assert_eq!(pages.post("/import/confirm", &fields).await.status, 303);
    assert_eq!(pages.entries().await, before + 2);
    let list = pages.get("/trials/slow-drive/results").await;
    assert!(
        list.body.contains("said to be right"),
        "an unusual result carries its mark"
    );
    let plain = pages
        .form(
            "/import",
            &[
                ("token", token.as_str()),
                ("trial", "slow-drive"),
                ("text", &text.replace(",2,mm", ",0.6,mm")),
            ],
        )
        .await;
    assert_eq!(plain.count("[data-asked]"), 0);
}

/// The small archive, whose trial asks for the four-ball wear test too.
async fn with_wear_test() -> Pages {
    let pages = Pages::with(StartWith::Nothing).await;
    let line = "slow-drive,fb_wear_oil_B,scar,show,,,,,,";
    write_to(
        &pages.path("wear"),
        &with_line(files(), "trial_methods.csv", line),
    );
    pages.app.load(&pages.path("wear")).await.unwrap();
    pages
}

#[tokio::test]
async fn the_entry_form_refuses_asks_once_more_and_enters() {
    let pages = with_wear_test().await;
    let before = pages.entries().await;
    let token = pages.token().await;
    let enter = async |value: &str, more: &[(&str, &str)]| {
        let mut fields = vec![
            ("token", token.as_str()),
            ("method", "fb_wear_oil_B"),
            ("blend", "B-1"),
            ("date", "2026-04-01"),
            ("value.scar", value),
            ("unit.scar", "mm"),
        ];
        fields.extend_from_slice(more);
        pages.form("/trials/slow-drive/enter", &fields).await
    };
    let refused = enter("450", &[("accepted", "yes")]).await;
    assert_eq!(refused.status, 422);
    assert!(
        refused.text("#value-scar-fault").contains("0.45 mm"),
        "{}",
        refused.body
    );
    let asked = enter("2", &[]).await;
    assert_eq!(
        (asked.status, asked.count("[data-asked] input[type=checkbox]")),
        (422, 1)
    );
    assert!(
        asked.text("#accepted-fault").contains("is not usual"),
        "{}",
        asked.body
    );
    assert_eq!(pages.entries().await, before);
    assert_eq!(enter("2", &[("accepted", "yes")]).await.status, 303);
    assert_eq!(pages.entries().await, before + 1);
    // nothing is asked of a usual value
    assert_eq!(enter("0.5", &[("replicate", "2")]).await.status, 303);
    // readings lead to the same question: three balls of 2 mm
    let balls: Vec<(String, &str)> = (0..3)
        .flat_map(|ball| ["along", "across"].map(|side| (format!("r{ball}.{side}"), "2")))
        .collect();
    let mut readings: Vec<(&str, &str)> = balls.iter().map(|(name, mm)| (name.as_str(), *mm)).collect();
    readings.push(("replicate", "3"));
    let asked = enter("", &readings).await;
    assert_eq!(
        (asked.status, asked.count("[data-asked]")),
        (422, 1),
        "{}",
        asked.body
    );
}

#[tokio::test]
async fn a_correction_is_held_against_the_same_ranges() {
    let bench = Bench::new().await;
    let text = format!("{HEADER}{}", row("0.45", ""));
    bench
        .app
        .confirm_import(text.as_bytes(), "runs.csv", Some(&trial()))
        .await
        .unwrap();
    let id = bench.results().await.pop().unwrap().id.unwrap();
    let correct = async |value: &str, accepted: bool| {
        let correction = Correction {
            value: value.into(),
            unit: "mm".into(),
            reason: "misread".into(),
            accepted,
        };
        bench.app.correct_result(&trial(), id, &correction).await
    };
    for (value, accepted, refused_at) in [("450", true, "value"), ("2", false, "accepted")] {
        match correct(value, accepted).await {
            Err(AppError::Question { field, .. }) => assert_eq!(field, refused_at, "{value}"),
            other => panic!("{value}: {other:?}"),
        }
    }
    correct("2", true).await.unwrap();
    assert_eq!(
        bench.results().await.pop().unwrap().accepted,
        [AcceptedAs::Unusual]
    );
}

#[tokio::test]
async fn the_form_of_a_correction_asks_in_one_line() {
    let pages = small().await;
    let text = format!("{HEADER}{}", row("0.45", ""));
    pages
        .app
        .confirm_import(text.as_bytes(), "runs.csv", Some(&trial()))
        .await
        .unwrap();
    let id = pages
        .app
        .archive()
        .await
        .unwrap()
        .results
        .pop()
        .unwrap()
        .id
        .unwrap();
    let address = format!("/trials/slow-drive/results/{id}/correct");
    let mut fields = pages.get(&address).await.form("[data-result-form]");
    assert!(!fields.contains_key("accepted"));
    set(&mut fields, "value", "2");
    set(&mut fields, "reason", "the other ball");
    let asked = pages.post(&address, &fields).await;
    assert_eq!(
        (asked.status, asked.count("[data-asked] input[type=checkbox]")),
        (422, 1),
        "{}",
        asked.body
    );
    set(&mut fields, "accepted", "yes");
    assert_eq!(pages.post(&address, &fields).await.status, 303);
}

#[test]
fn a_number_held_up_is_refused_where_it_cannot_be_and_doubted_where_it_is_not_usual() {
    let held = |value: &str, standard: &str| {
        let trial = a_against_b(&["adhesive wear"], &[])
            .weigh("fb_wear_oil_B/scar")
            .runs("GOOD", "fb_wear_oil_B/scar", &["0.40"])
            .runs("POOR", "fb_wear_oil_B/scar", &["0.80"])
            .runs("A", "fb_wear_oil_B/scar", &["0.50"]);
        let ask = Ask {
            quoted: Some(QuotedAsk {
                value: value.into(),
                unit: "mm".into(),
                standard: standard.into(),
                ..QuotedAsk::default()
            }),
            ..explained::about_method("fb_wear_oil_B")
        };
        explained::explained(trial, &ask).quoted.unwrap()
    };
    let refused = held("450", "");
    assert!(
        refused.said.is_none() && refused.faults[0].problem.contains("0.45 mm"),
        "{refused:?}"
    );
    let told = |value: &str, standard: &str| held(value, standard).said.unwrap().conclusion.concat();
    assert!(told("2", "").contains("is not usual"));
    assert!(!told("0.5", "").contains("is not usual"));
    // of a standard that is not known here nothing is known to be impossible
    assert!(!told("450", "other").contains("is not usual"));
}

#[tokio::test]
async fn a_date_ahead_of_its_entry_is_refused_by_folder_and_file() {
    let ahead = with("results.csv", "R-1,2024-04-01,1", "R-1,2026-11-26,1");
    let ahead = {
        let mut files = ahead;
        files.remove("readings.csv");
        files
    };
    assert!(
        only_fault(&ahead)
            .problem
            .contains("lies in the future: today is 2026-11-24")
    );
    let tomorrow = with("results.csv", "R-1,2024-04-01,1", "R-1,2026-11-25,1");
    assert_eq!(faults(&tomorrow), Vec::<String>::new());
    let bench = Bench::new().await;
    let row = |date: &str| format!("{SCAR},0.45,mm,,{date},1,\n");
    assert_eq!(
        looked(&bench, &row("2190-01-01")).await.rows[0].verdict.word(),
        "refused"
    );
    assert_eq!(
        looked(&bench, &row("2026-01-01")).await.rows[0].verdict.word(),
        "new"
    );
}

/// A folder tells when each result was entered: that day counts, not today's.
#[test]
fn a_folder_judges_a_date_by_the_day_of_entry() {
    let entered = |moment: &str| {
        let text = String::from_utf8(files()["results.csv"].clone()).unwrap();
        let header = text.lines().next().unwrap();
        let line = "slow-drive,B-1,own_bench,depth,9,um,R-1,2024-04-07,1,,,test,valid,,measured,";
        let mut files = files();
        files.remove("readings.csv");
        files.insert(
            "results.csv".to_string(),
            format!("{header},entered_at\n{line},{moment}\n").into_bytes(),
        );
        read_folder(&files, DAY).is_ok()
    };
    for (moment, is_sound) in [
        ("2024-04-05T09:00:00Z", false),
        ("2024-04-06T09:00:00Z", true),
        ("2024-04-07T09:00:00Z", true),
        ("", true),
    ] {
        assert_eq!(entered(moment), is_sound, "{moment}");
    }
}

#[tokio::test]
async fn a_rig_that_does_not_run_the_method_is_refused_by_folder_and_file() {
    let line = format!("slow-drive,{SCAR},0.45,mm,R-1,2026-04-01,1,,,test,valid,,measured,");
    let fault = only_fault(&with_line(files(), "results.csv", &line));
    assert_eq!(fault.column, "rig");
    assert!(fault.problem.contains("it runs own_bench; fb_ep_oil"), "{fault}");
    let bench = Bench::new().await;
    let preview = looked(&bench, &format!("{SCAR},0.45,mm,R-1,2026-04-01,1,\n")).await;
    let refused = &preview.refusals()[0].2;
    assert_eq!(refused.column, "rig");
    let said =
        "does not run Four-ball wear, oil, 40 kgf (ASTM D4172, condition B); it runs Own bench (in-house)";
    assert!(refused.problem.contains(said), "{}", refused.problem);
    let own = looked(&bench, "B-1,own_bench,depth,9.2,um,R-1,2026-04-01,1,\n").await;
    assert_eq!(own.rows[0].verdict, Verdict::New);
}

#[tokio::test]
async fn a_run_like_another_but_for_what_it_lacks_is_asked_about() {
    // there: B-1, depth 9 um, R-1, 2024-04-07, run 1
    let bench = Bench::new().await;
    for (rows, verdict) in [
        ("B-1,own_bench,depth,9,um,,,1,\n", "asked"),
        ("B-1,own_bench,depth,9,um,R-1,,,\n", "asked"),
        ("B-1,own_bench,depth,9,um,,,1,same-run\n", "new"),
        ("B-1,own_bench,depth,9,um,,,2,\n", "new"),
        ("B-1,own_bench,depth,9.1,um,,,1,\n", "new"),
        ("B-1,own_bench,depth,9,um,R-1,2024-04-07,,\n", "already there"),
    ] {
        let preview = looked(&bench, rows).await;
        assert_eq!(preview.rows[0].verdict.word(), verdict, "{rows}");
    }
    // two rows of one file
    let both = "B-2,own_bench,depth,8,um,R-1,2026-05-01,1,\nB-2,own_bench,depth,8,um,,,,\n";
    let verdicts: Vec<&str> = looked(&bench, both)
        .await
        .rows
        .iter()
        .map(|row| row.verdict.word())
        .collect();
    assert_eq!(verdicts, ["new", "asked"]);
    let line = |rig: &str, date: &str, number: &str| {
        format!("slow-drive,B-1,own_bench,depth,9,um,{rig},{date},{number},2024Q2,,test,valid,,measured,")
    };
    let fault = only_fault(&with_line(files(), "results.csv", &line("", "", "")));
    assert_eq!(fault.column, "replicate");
    assert!(
        fault.problem.contains("'same-run' in the column accepted"),
        "{fault}"
    );
    assert_eq!(
        faults(&with_accepted(&[(&line("", "", ""), "same-run")])),
        Vec::<String>::new()
    );
    assert_eq!(
        faults(&with_line(files(), "results.csv", &line("", "", "3"))),
        Vec::<String>::new()
    );
}

/// A folder of one run more, which lacks rig and date, over an archive that has the run already.
#[tokio::test]
async fn a_load_over_an_archive_asks_the_same() {
    let bench = Bench::new().await;
    let load = async |name: &str, accepted: &str| {
        let line = "slow-drive,B-1,own_bench,depth,9,um,,,1,2024Q2,,test,valid,,measured,";
        let mut files = with_accepted(&[(line, accepted)]);
        let text = String::from_utf8(files["results.csv"].clone()).unwrap();
        let lines: Vec<&str> = text.lines().collect();
        let alone = format!("{}\n{}\n", lines[0], lines[lines.len() - 1]);
        files.insert("results.csv".to_string(), alone.into_bytes());
        write_to(&bench.folder.path().join(name), &files);
        bench.app.load(&bench.folder.path().join(name)).await
    };
    match load("asked", "").await {
        Err(AppError::Conflicts(conflicts)) => {
            assert!(
                conflicts[0].to_string().contains("'same-run'"),
                "{}",
                conflicts[0]
            );
        }
        other => panic!("{other:?}"),
    }
    assert!(load("accepted", "same-run").await.is_ok());
}

/// A laboratory's own quantity has its ranges in its row, or takes those of the method it is based on.
#[test]
fn own_quantities_have_ranges_of_their_own() {
    let own = |ranges: &str, depth: &str| {
        let text = String::from_utf8(files()["method_quantities.csv"].clone()).unwrap();
        let lines: Vec<String> = text
            .lines()
            .enumerate()
            .map(|(at, line)| match at {
                0 => format!("{line},possible,usual"),
                1 => format!("{line},{ranges}"),
                _ => format!("{line},,"),
            })
            .collect();
        let mut files = with(
            "results.csv",
            "own_bench,depth,5.5",
            &format!("own_bench,depth,{depth}"),
        );
        files.insert(
            "method_quantities.csv".to_string(),
            (lines.join("\n") + "\n").into_bytes(),
        );
        faults(&files)
    };
    assert_eq!(own("0;100,1;50", "5.5"), Vec::<String>::new());
    assert_eq!(own("0;100,1;50", "60"), ["results.csv:2:value:60"]);
    assert_eq!(own("0;100,", "60"), Vec::<String>::new());
    assert_eq!(own("0;100,", "101"), ["results.csv:2:value:101"]);
    for wrong in ["100;0,", "0,", "0;1;2,", "a;b,"] {
        assert_eq!(own(wrong, "5.5").len(), 1, "{wrong}");
    }
}

#[tokio::test]
async fn the_demo_comes_in_unchanged_and_its_export_too() {
    let folder = tempfile::tempdir().unwrap();
    let app = App::create(&folder.path().join("demo.db"), StartWith::Demo)
        .await
        .unwrap();
    let archive = app.archive().await.unwrap();
    assert!(archive.results.iter().all(|run| run.accepted.is_empty()));
    app.export(&folder.path().join("out")).await.unwrap();
    let again = App::create(&folder.path().join("again.db"), StartWith::Nothing)
        .await
        .unwrap();
    again.load(&folder.path().join("out")).await.unwrap();
    assert_eq!(again.archive().await.unwrap().results, archive.results);
}
