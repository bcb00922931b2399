//! Importing a file of results: all of it or nothing, twice is once, and what a command says of it.

use crate::folder::{files, with_line, write_to};
use likewear::facade::app::{App, AppError, StartWith, Verdict};
use likewear::facade::catalogue::Value;
use likewear::facade::intake::{KnownNames, LongRefusal, read_long};
use likewear::facade::records::{Archive, RunResult, TrialSlug};
use proptest::prelude::*;
use std::process::{Command, Output};
use tempfile::TempDir;

const HEADER: &str = "blend,method,quantity,value,unit,rig,date,replicate,note\n";

pub(crate) struct Bench {
    pub(crate) folder: TempDir,
    pub(crate) app: App,
}

impl Bench {
    /// The small archive, in a file.
    pub(crate) async fn new() -> Self {
        let folder = tempfile::tempdir().unwrap();
        let app = App::create(&folder.path().join("a.db"), StartWith::Nothing)
            .await
            .unwrap();
        write_to(&folder.path().join("small"), &files());
        app.load(&folder.path().join("small")).await.unwrap();
        Self { folder, app }
    }

    pub(crate) async fn results(&self) -> Vec<RunResult> {
        self.app.archive().await.unwrap().results
    }
}

pub(crate) fn trial() -> TrialSlug {
    TrialSlug::new("slow-drive").unwrap()
}

fn two_rows() -> String {
    format!(
        "{HEADER}B-1,own_bench,depth,\"8,2\",um,R-1,2026-04-01,1,\"a note, in\ntwo lines\"\n\
         B-2,own_bench,load,> 250,kgf,R-1,2026-04-01,1,\n"
    )
}

#[tokio::test]
async fn a_confirmed_file_is_written_once_however_often_it_is_sent() {
    let bench = Bench::new().await;
    let before = bench.results().await;
    let text = two_rows();
    let looked = bench
        .app
        .preview_import(text.as_bytes(), "runs.csv", Some(&trial()))
        .await
        .unwrap();
    assert_eq!((looked.counts().new, looked.written), (2, false));
    assert_eq!(bench.results().await, before);
    let done = bench
        .app
        .confirm_import(text.as_bytes(), "folder/runs.csv", Some(&trial()))
        .await
        .unwrap();
    assert!(done.written);
    let after = bench.results().await;
    assert_eq!(after[..before.len()], before[..]);
    let new = &after[before.len()..];
    assert_eq!(new.len(), 2);
    assert_eq!(
        (new[0].value.clone(), new[0].origin.as_str()),
        (Value::Exact(8.2), "runs.csv row 2")
    );
    assert_eq!(new[1].origin, "runs.csv row 3");
    assert_eq!(new[0].note, "a note, in\ntwo lines");
    assert!(!new[0].entered_at.is_empty());
    let again = bench
        .app
        .confirm_import(text.as_bytes(), "runs.csv", Some(&trial()))
        .await
        .unwrap();
    assert_eq!((again.counts().new, again.counts().same), (0, 2));
    assert_eq!(bench.results().await, after);
    assert_eq!(bench.app.check().await.unwrap(), []);
}

#[tokio::test]
async fn one_refused_or_changing_row_keeps_every_row_out() {
    let bench = Bench::new().await;
    let before = bench.app.archive().await.unwrap();
    for bad in [
        "B-9,own_bench,depth,8,um,R-1,2026-04-02,1,\n",
        "B-1,own_bench,depth,10,um,R-1,2024-04-07,1,\n",
    ] {
        let text = two_rows() + bad;
        let done = bench
            .app
            .confirm_import(text.as_bytes(), "runs.csv", Some(&trial()))
            .await
            .unwrap();
        assert!(!done.written && done.refusals().len() == 1, "{bad}");
        assert_eq!(bench.app.archive().await.unwrap(), before, "{bad}");
    }
    let text = HEADER.to_string() + "B-1,own_bench,depth,10,um,R-1,2024-04-07,1,\n";
    let done = bench
        .app
        .preview_import(text.as_bytes(), "runs.csv", Some(&trial()))
        .await
        .unwrap();
    let (row, _, problem) = &done.refusals()[0];
    assert_eq!(
        (*row, problem.column.as_str(), problem.text.as_str()),
        (2, "value", "10")
    );
    assert!(problem.problem.contains("'9 um'") && problem.problem.contains("'10 um'"));
}

#[tokio::test]
async fn what_was_imported_goes_out_as_a_folder_and_comes_back_equal() {
    let bench = Bench::new().await;
    let text = "blend;method;quantity;value;unit;date;status;reason;purpose;note\n\
                B-1;own_bench;depth;1,234;um;24.11.2026;;;;=1+1\n\
                B-2;own_bench;depth;0,5;um;24.11.2026;void;wrong oil;;\n\
                B-2;own_bench;load;;kgf;24.11.2026;;;stopped;\n\
                B-1;own_bench;load;pass 160 / fail 200;kgf;24.11.2026;;;;\n";
    let done = bench
        .app
        .confirm_import(text.as_bytes(), "runs.csv", Some(&trial()))
        .await
        .unwrap();
    assert!(done.written, "{:?}", done.refusals());
    let out = bench.folder.path().join("out");
    bench.app.export(&out).await.unwrap();
    let other = App::create(&bench.folder.path().join("b.db"), StartWith::Nothing)
        .await
        .unwrap();
    other.load(&out).await.unwrap();
    assert_eq!(
        other.archive().await.unwrap().results,
        bench.app.archive().await.unwrap().results
    );
}

#[tokio::test]
async fn a_row_of_a_run_that_was_corrected_since_adds_nothing() {
    let bench = Bench::new().await;
    let text = two_rows();
    bench
        .app
        .confirm_import(text.as_bytes(), "runs.csv", Some(&trial()))
        .await
        .unwrap();
    let there = bench.results().await;
    let id = there
        .iter()
        .rev()
        .find(|r| r.blend.as_str() == "B-1")
        .unwrap()
        .id
        .unwrap();
    let correction = likewear::facade::app::Correction {
        value: "8.4".into(),
        unit: "um".into(),
        reason: "misread".into(),
        accepted: false,
    };
    bench.app.correct_result(&trial(), id, &correction).await.unwrap();
    let again = bench
        .app
        .preview_import(text.as_bytes(), "runs.csv", Some(&trial()))
        .await
        .unwrap();
    assert!(again.rows.iter().all(|row| row.verdict == Verdict::AlreadyThere));
}

#[tokio::test]
async fn a_file_beyond_the_limits_or_no_text_at_all_is_refused_with_the_mend() {
    let bench = Bench::new().await;
    let look = async |bytes: &[u8]| bench.app.preview_import(bytes, "runs.csv", None).await;
    let long = vec![b'a'; (64 << 20) + 1];
    assert!(matches!(look(&long).await, Err(AppError::TooLarge(_))));
    let many = "B-1\n".repeat(200_002);
    assert!(matches!(look(many.as_bytes()).await, Err(AppError::TooLarge(_))));
    let Err(AppError::NotText(words)) = look(b"PK\x03\x04 and more").await else {
        panic!("a packed file should be refused");
    };
    assert!(words.contains("save the sheet as CSV"), "{words}");
    let nobody = TrialSlug::new("no-such-trial").unwrap();
    let refused = bench
        .app
        .preview_import(b"blend", "runs.csv", Some(&nobody))
        .await;
    assert!(matches!(refused, Err(AppError::NoSuchTrial(_))));
}

#[tokio::test]
async fn a_write_that_fails_halfway_leaves_nothing() {
    let bench = Bench::new().await;
    let before = bench.results().await;
    let mut other = sqlx::sqlite::SqliteConnectOptions::new().filename(bench.folder.path().join("a.db"));
    other = other.busy_timeout(std::time::Duration::from_secs(5));
    let mut other = sqlx::ConnectOptions::connect(&other).await.unwrap();
    // The second row of the file meets a refusal of the database after the first one was written.
    sqlx::query("CREATE TRIGGER full BEFORE INSERT ON results WHEN NEW.blend = 'B-2' BEGIN SELECT RAISE(ABORT, 'disk full'); END")
        .execute(&mut other)
        .await
        .unwrap();
    let failed = bench
        .app
        .confirm_import(two_rows().as_bytes(), "runs.csv", Some(&trial()))
        .await;
    assert!(matches!(failed, Err(AppError::Store(_))), "{failed:?}");
    assert_eq!(bench.results().await, before);
}

fn run(folder: &std::path::Path, arguments: &[&str]) -> (i32, String, String) {
    let output: Output = Command::new(env!("CARGO_BIN_EXE_likewear"))
        .current_dir(folder)
        .args(arguments)
        .output()
        .unwrap();
    let text = |bytes: &[u8]| String::from_utf8(bytes.to_vec()).unwrap();
    (
        output.status.code().unwrap(),
        text(&output.stdout),
        text(&output.stderr),
    )
}

#[test]
fn the_command_previews_imports_and_refuses_with_its_exit_codes() {
    let place = tempfile::tempdir().unwrap();
    let here = place.path();
    write_to(&here.join("small"), &files());
    assert_eq!(run(here, &["load", "small", "--data", "a.db"]).0, 0);
    std::fs::write(here.join("good.csv"), two_rows()).unwrap();
    std::fs::write(
        here.join("bad.csv"),
        two_rows() + "B-9,own_bench,depth,\"1,234\",um,R-1,2026-04-02,1,\n",
    )
    .unwrap();
    let import = |file: &str, more: &[&str]| {
        let mut arguments = vec!["import", file, "--data", "a.db", "--trial", "slow-drive"];
        arguments.extend(more);
        run(here, &arguments)
    };
    let (code, out, err) = import("bad.csv", &[]);
    assert_eq!(code, 1, "{err}");
    assert!(
        err.contains("bad.csv row 4 (line 5), blend 'B-9': is not a blend"),
        "{err}"
    );
    assert!(
        out.contains("2 new, 0 there already, 0 would change, 1 refused"),
        "{out}"
    );
    let (code, out, _) = import("good.csv", &["--check"]);
    assert!(code == 0 && out.contains("2 results would be added"), "{out}");
    let (code, out, _) = import("good.csv", &[]);
    assert!(code == 0 && out.contains("2 results added to a.db"), "{out}");
    let (code, out, _) = import("good.csv", &[]);
    assert!(code == 0 && out.contains("0 new, 2 there already"), "{out}");
    assert_eq!(import("missing.csv", &[]).0, 2);
    let (code, _, err) = run(
        here,
        &["import", "good.csv", "--data", "new.db", "--trial", "slow-drive"],
    );
    assert!(code == 1 && err.contains("new.db does not exist"), "{err}");
    assert!(!here.join("new.db").exists());
    assert_eq!(run(here, &["check", "--data", "a.db"]).0, 0);
    let (code, out, _) = run(here, &["import", "--help"]);
    assert!(code == 0 && out.contains("Example:"));
}

#[test]
fn an_import_that_is_killed_leaves_all_of_the_file_or_nothing() {
    const ROWS: usize = 15_000;
    let place = tempfile::tempdir().unwrap();
    let here = place.path();
    write_to(&here.join("small"), &files());
    assert_eq!(run(here, &["load", "small", "--data", "a.db"]).0, 0);
    let rows: String = (1..=ROWS)
        .map(|number| format!("B-2,own_bench,depth,8,um,R-1,2026-04-01,{number},\n"))
        .collect();
    std::fs::write(here.join("many.csv"), HEADER.to_string() + &rows).unwrap();
    let stored = || {
        let runtime = tokio::runtime::Runtime::new().unwrap();
        runtime.block_on(async {
            let app = App::open(&here.join("a.db")).await.unwrap();
            let count = app.archive().await.unwrap().results.len();
            assert_eq!(app.check().await.unwrap(), []);
            app.close().await.unwrap();
            count
        })
    };
    let before = stored();
    let mut killed = 0;
    for wait in [30, 80, 150, 250, 400, 600] {
        let mut child = Command::new(env!("CARGO_BIN_EXE_likewear"))
            .current_dir(here)
            .args(["import", "many.csv", "--data", "a.db", "--trial", "slow-drive"])
            .stdout(std::process::Stdio::null())
            .spawn()
            .unwrap();
        std::thread::sleep(std::time::Duration::from_millis(wait));
        child.kill().unwrap();
        killed += usize::from(!child.wait().unwrap().success());
        let after = stored();
        assert!(
            after == before || after == before + ROWS,
            "{after} results after {wait} ms, {before} before"
        );
    }
    assert!(killed > 0, "no import was killed while it ran");
}

fn known(archive: &Archive) -> KnownNames<'_> {
    KnownNames {
        trials: &archive.trials,
        blends: &archive.blends,
        rigs: &archive.rigs,
        methods: likewear::facade::catalogue::built_in(),
        today: crate::folder::DAY,
    }
}

/// Bytes that lie near a file: its letters, signs and separators in any order.
fn near_a_file() -> impl Strategy<Value = Vec<u8>> {
    let pieces = prop::sample::select(vec![
        "blend",
        "oil",
        "method",
        "value",
        "unit",
        "date",
        "trial",
        ",",
        ";",
        "\t",
        "\n",
        "\r",
        "\"",
        "\"\"",
        "B-1",
        "slow-drive",
        "gear_A8",
        "fb_ep_oil/weld",
        "1,234",
        "0.5",
        ">12",
        "pass 11 / fail 12",
        "03/04/2026",
        "-",
        "kgf",
        "=1",
        "\u{0}",
        "\u{feff}",
        "\u{fffd}",
        "é",
        "sep=;",
        "stopped",
        "condition: x",
        "1e999",
        "(mm)",
        "[mm]",
    ]);
    prop::collection::vec(pieces, 0..60).prop_map(|pieces| pieces.concat().into_bytes())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 1000, failure_persistence: None, ..ProptestConfig::default() })]
    #[test]
    fn any_bytes_are_read_or_refused(bytes in prop_oneof![prop::collection::vec(any::<u8>(), 0..400), near_a_file()]) {
        let archive = crate::folder::archive();
        match read_long(&bytes, "any", None, &known(&archive)) {
            Ok(file) => {
                let rows: Vec<u64> = file.rows.iter().map(|row| row.row).collect();
                prop_assert!(rows.is_sorted());
            }
            Err(refusal) => prop_assert!(matches!(refusal, LongRefusal::NotText(_))),
        }
    }
}

#[test]
fn a_stopped_run_of_an_archive_folder_is_written_back_blank() {
    let line = "slow-drive,B-1,own_bench,load,,kgf,R-1,2024-05-01,1,,,stopped,valid,oil lost,measured,";
    let archive = crate::folder::accepted(&with_line(files(), "results.csv", line)).archive;
    let written = likewear::facade::intake::write_folder(&archive).unwrap();
    let text = String::from_utf8(written["results.csv"].clone()).unwrap();
    assert!(text.contains("own_bench,load,,kgf,R-1,2024-05-01"), "{text}");
    let again = crate::folder::accepted(&written).archive;
    assert_eq!(again.results.last().unwrap().value, Value::Stopped);
}
