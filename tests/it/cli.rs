//! The command line as a contract: exit codes, streams, what is left behind.

use crate::folder::{also, files, with, write_to};
use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::path::Path;
use std::process::{Child, Command, Output, Stdio};
use std::time::{Duration, Instant};

fn likewear(folder: &Path, arguments: &[&str]) -> Output {
    command(folder, arguments).output().unwrap()
}

fn command(folder: &Path, arguments: &[&str]) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_likewear"));
    command.current_dir(folder).args(arguments).env_remove("RUST_LOG");
    command
}

fn code(output: &Output) -> i32 {
    output.status.code().unwrap()
}

fn out(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).unwrap()
}

fn err(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).unwrap()
}

/// A server that is ended when the test ends.
struct Server {
    child: Child,
    address: String,
}

impl Server {
    fn start(folder: &Path, arguments: &[&str]) -> Self {
        let mut child = command(folder, arguments)
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        let mut line = String::new();
        BufReader::new(child.stdout.as_mut().unwrap())
            .read_line(&mut line)
            .unwrap();
        let address = line
            .split("http://")
            .nth(1)
            .and_then(|rest| rest.split('/').next());
        let address = address
            .unwrap_or_else(|| panic!("no address in '{line}'"))
            .to_string();
        Self { child, address }
    }

    fn get(&self, path: &str) -> String {
        let mut stream = TcpStream::connect(&self.address).unwrap();
        write!(
            stream,
            "GET {path} HTTP/1.1\r\nHost: {}\r\nConnection: close\r\n\r\n",
            self.address
        )
        .unwrap();
        let mut answer = String::new();
        stream.read_to_string(&mut answer).unwrap();
        answer
    }

    /// Ends it with a signal and returns its exit code.
    fn end_with(&mut self, signal: &str) -> i32 {
        let id = self.child.id().to_string();
        assert!(
            Command::new("kill")
                .args([signal, &id])
                .status()
                .unwrap()
                .success()
        );
        let until = Instant::now() + Duration::from_secs(20);
        loop {
            if let Some(status) = self.child.try_wait().unwrap() {
                return status.code().unwrap();
            }
            assert!(Instant::now() < until, "the server does not end");
            std::thread::sleep(Duration::from_millis(20));
        }
    }
}

impl Drop for Server {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

#[test]
fn every_command_explains_itself_with_an_example() {
    let here = tempfile::tempdir().unwrap();
    for arguments in [
        &["--help"][..],
        &["serve", "--help"],
        &["load", "--help"],
        &["standing", "--help"],
        &["report", "--help"],
        &["export", "--help"],
        &["backup", "--help"],
        &["check", "--help"],
    ] {
        let help = likewear(here.path(), arguments);
        assert_eq!(code(&help), 0, "{arguments:?}");
        assert!(out(&help).contains("Example:\n  likewear"), "{arguments:?}");
    }
    let version = likewear(here.path(), &["--version"]);
    assert_eq!(
        out(&version).trim(),
        concat!("likewear ", env!("CARGO_PKG_VERSION"))
    );
}

#[test]
fn what_is_no_command_exits_with_2() {
    let here = tempfile::tempdir().unwrap();
    for arguments in [&["sing"][..], &["load"], &["serve", "--port", "1"], &["standing"]] {
        let refused = likewear(here.path(), arguments);
        assert_eq!((code(&refused), out(&refused).as_str()), (2, ""), "{arguments:?}");
        assert!(!err(&refused).is_empty());
    }
}

#[test]
fn a_load_creates_its_file_without_the_demo_and_a_second_one_adds_nothing() {
    let here = tempfile::tempdir().unwrap();
    write_to(&here.path().join("small"), &files());
    let first = likewear(here.path(), &["load", "small", "--data", "a.db"]);
    assert_eq!(code(&first), 0, "{}", err(&first));
    assert!(out(&first).contains("result: 9 new, 0 there already"));
    assert!(out(&first).contains("trial: 1 new"));
    let second = likewear(here.path(), &["load", "small", "--data", "a.db"]);
    assert_eq!(code(&second), 0);
    assert!(
        out(&second).ends_with("0 records added to a.db\n"),
        "{}",
        out(&second)
    );
    let whole = likewear(here.path(), &["check", "--data", "a.db"]);
    assert_eq!((code(&whole), out(&whole).as_str()), (0, "a.db is whole\n"));
}

#[test]
fn a_refused_folder_exits_with_1_lists_every_fault_and_leaves_no_file() {
    let here = tempfile::tempdir().unwrap();
    let bad = with("results.csv", "depth,5.5,um", "depth,n/a,um");
    let bad = also(bad, "results.csv", "POOR,own_bench", "POR,own_bench");
    write_to(&here.path().join("bad"), &bad);
    for arguments in [
        &["load", "bad", "--data", "a.db"][..],
        &["load", "bad", "--data", "a.db", "--check"],
    ] {
        let refused = likewear(here.path(), arguments);
        assert_eq!((code(&refused), out(&refused).as_str()), (1, ""));
        let words = err(&refused);
        assert!(
            words.contains("results.csv line 2, value 'n/a': says not run: leave the row out"),
            "{words}"
        );
        assert!(
            words.contains("results.csv line 3, blend 'POR': is not defined in blends.csv"),
            "{words}"
        );
        assert!(words.contains("2 faults; nothing was written"));
        assert!(!here.path().join("a.db").exists());
    }
}

#[test]
fn a_refused_folder_leaves_an_existing_file_as_it_was() {
    let here = tempfile::tempdir().unwrap();
    write_to(&here.path().join("small"), &files());
    likewear(here.path(), &["load", "small", "--data", "a.db"]);
    let before = std::fs::read(here.path().join("a.db")).unwrap();
    write_to(
        &here.path().join("bad"),
        &with("results.csv", "depth,9,um", "depth,8,um"),
    );
    let refused = likewear(here.path(), &["load", "bad", "--data", "a.db"]);
    assert_eq!(code(&refused), 1);
    assert!(
        err(&refused).contains("there is value '9', given is value '8'"),
        "{}",
        err(&refused)
    );
    assert_eq!(std::fs::read(here.path().join("a.db")).unwrap(), before);
}

#[test]
fn a_check_of_a_folder_writes_nothing() {
    let here = tempfile::tempdir().unwrap();
    write_to(&here.path().join("small"), &files());
    let looked = likewear(here.path(), &["load", "small", "--data", "a.db", "--check"]);
    assert_eq!(code(&looked), 0);
    assert!(out(&looked).contains("nothing was written"));
    assert!(!here.path().join("a.db").exists());
    likewear(here.path(), &["load", "small", "--data", "a.db"]);
    let again = likewear(here.path(), &["load", "small", "--data", "a.db", "--check"]);
    assert!(
        out(&again).contains("0 records would be added"),
        "{}",
        out(&again)
    );
}

#[test]
fn an_export_loads_again_as_the_same_rows() {
    let here = tempfile::tempdir().unwrap();
    write_to(&here.path().join("small"), &files());
    likewear(here.path(), &["load", "small", "--data", "a.db"]);
    assert_eq!(
        code(&likewear(here.path(), &["export", "out", "--data", "a.db"])),
        0
    );
    assert_eq!(
        code(&likewear(here.path(), &["load", "out", "--data", "b.db"])),
        0
    );
    assert_eq!(
        code(&likewear(here.path(), &["export", "again", "--data", "b.db"])),
        0
    );
    for entry in std::fs::read_dir(here.path().join("out")).unwrap() {
        let path = entry.unwrap().path();
        let other = here.path().join("again").join(path.file_name().unwrap());
        assert_eq!(
            std::fs::read(&path).unwrap(),
            std::fs::read(other).unwrap(),
            "{}",
            path.display()
        );
    }
    let over = likewear(here.path(), &["export", "out", "--data", "a.db"]);
    assert_eq!(code(&over), 2);
}

#[test]
fn a_standing_is_given_in_words_and_as_json() {
    let here = tempfile::tempdir().unwrap();
    write_to(&here.path().join("small"), &files());
    likewear(here.path(), &["load", "small", "--data", "a.db"]);
    let words = likewear(here.path(), &["standing", "slow-drive", "--data", "a.db"]);
    assert_eq!(code(&words), 0);
    assert!(out(&words).starts_with("Invented data.\n"));
    assert!(out(&words).contains("own_bench/depth"));
    let json = likewear(
        here.path(),
        &["standing", "slow-drive", "--data", "a.db", "--json"],
    );
    let json: serde_json::Value = serde_json::from_str(&out(&json)).unwrap();
    assert_eq!(json["trial"], "slow-drive");
    assert_eq!(json["front_runner"], "B-2");
    let again = likewear(
        here.path(),
        &["standing", "slow-drive", "--data", "a.db", "--json"],
    );
    assert_eq!(
        serde_json::from_str::<serde_json::Value>(&out(&again)).unwrap(),
        json
    );
    let without = [
        "standing",
        "slow-drive",
        "--data",
        "a.db",
        "--json",
        "--without",
        "own_bench/depth",
    ];
    let without: serde_json::Value = serde_json::from_str(&out(&likewear(here.path(), &without))).unwrap();
    assert_eq!(without["front_runner"], serde_json::Value::Null);
}

#[test]
fn a_standing_of_what_is_not_there_exits_with_2_and_says_what_is() {
    let here = tempfile::tempdir().unwrap();
    write_to(&here.path().join("small"), &files());
    likewear(here.path(), &["load", "small", "--data", "a.db"]);
    let missing = likewear(here.path(), &["standing", "fast-drive", "--data", "a.db"]);
    assert_eq!(code(&missing), 2);
    assert!(err(&missing).contains("slow-drive"));
    let typo = likewear(
        here.path(),
        &[
            "standing",
            "slow-drive",
            "--data",
            "a.db",
            "--without",
            "own_bank",
        ],
    );
    assert_eq!(code(&typo), 2);
    assert!(err(&typo).contains("own_bench/depth"));
}

#[test]
fn files_that_cannot_be_used_exit_with_2_and_are_named() {
    let here = tempfile::tempdir().unwrap();
    write_to(&here.path().join("small"), &files());
    std::fs::write(here.path().join("text.db"), "no database\n".repeat(100)).unwrap();
    for (arguments, words) in [
        (&["check", "--data", "none.db"][..], "none.db does not exist"),
        (&["check", "--data", "text.db"], "text.db is not a database"),
        (&["standing", "x", "--data", "text.db"], "is not a database"),
        (&["load", "small", "--data", "no/a.db"], "no does not exist"),
        (&["load", "nowhere", "--data", "a.db"], "nowhere does not exist"),
        (
            &["serve", "--data", "no/a.db", "--listen", "127.0.0.1:0"],
            "no does not exist",
        ),
        (
            &["serve", "--data", "text.db", "--listen", "127.0.0.1:0"],
            "is not a database",
        ),
        (
            &["serve", "--data", "small", "--listen", "127.0.0.1:0"],
            "is a folder",
        ),
        (
            &["serve", "--data", "a.db", "--listen", "0.0.0.0:0"],
            "only this machine",
        ),
        (
            &["serve", "--data", "a.db", "--listen", "somewhere"],
            "write an address",
        ),
    ] {
        let refused = likewear(here.path(), arguments);
        assert_eq!((code(&refused), out(&refused).as_str()), (2, ""), "{arguments:?}");
        assert!(err(&refused).contains(words), "{arguments:?}: {}", err(&refused));
    }
    assert_eq!(
        std::fs::read_to_string(here.path().join("text.db")).unwrap(),
        "no database\n".repeat(100)
    );
}

#[test]
fn check_exits_with_1_on_a_file_with_a_problem() {
    let here = tempfile::tempdir().unwrap();
    write_to(
        &here.path().join("odd"),
        &with("composition.csv", "B-1,base A,97.5", "B-1,base A,50"),
    );
    let loaded = likewear(here.path(), &["load", "odd", "--data", "a.db"]);
    assert_eq!(code(&loaded), 0);
    assert!(
        err(&loaded).contains("sum to 52.50 wt%"),
        "the load says so: {}",
        err(&loaded)
    );
    let found = likewear(here.path(), &["check", "--data", "a.db"]);
    assert_eq!((code(&found), out(&found).as_str()), (1, ""));
    assert!(err(&found).contains("blends, B-1: the components sum to 52.50 wt%"));
}

#[cfg(unix)]
#[test]
fn a_first_start_creates_the_demo_and_the_address_answers_when_it_is_printed() {
    let here = tempfile::tempdir().unwrap();
    let mut server = Server::start(
        here.path(),
        &["serve", "--data", "a.db", "--listen", "127.0.0.1:0"],
    );
    let answer = server.get("/healthz");
    assert!(answer.starts_with("HTTP/1.1 200"), "{answer}");
    assert!(answer.contains(r#""ok":true"#) && answer.contains(env!("CARGO_PKG_VERSION")));
    let standing = likewear(here.path(), &["standing", "pitch-drive-full", "--data", "a.db"]);
    assert_eq!(code(&standing), 0, "the demo is there: {}", err(&standing));
    assert_eq!(server.end_with("-TERM"), 0);
    let log = here.path().join("a.db-wal");
    assert!(
        !log.exists() || std::fs::metadata(log).unwrap().len() == 0,
        "nothing stays in the log"
    );
}

#[cfg(unix)]
#[test]
fn a_second_start_keeps_what_was_there() {
    let here = tempfile::tempdir().unwrap();
    write_to(&here.path().join("small"), &files());
    let arguments = ["serve", "--data", "a.db", "--listen", "127.0.0.1:0"];
    let mut first = Server::start(here.path(), &[&arguments[..], &["--empty"]].concat());
    let loaded = likewear(here.path(), &["load", "small", "--data", "a.db"]);
    assert_eq!(
        code(&loaded),
        0,
        "a load goes through while the server runs: {}",
        err(&loaded)
    );
    assert_eq!(first.end_with("-INT"), 0);
    let mut second = Server::start(here.path(), &arguments);
    assert_eq!(second.end_with("-TERM"), 0);
    let again = likewear(here.path(), &["load", "small", "--data", "a.db"]);
    assert!(out(&again).ends_with("0 records added to a.db\n"));
    let missing = likewear(here.path(), &["standing", "pitch-drive-full", "--data", "a.db"]);
    assert!(
        err(&missing).contains("there are: slow-drive"),
        "no demo came in: {}",
        err(&missing)
    );
}

#[cfg(unix)]
#[test]
fn a_busy_port_exits_with_2_says_what_to_do_and_creates_nothing() {
    let here = tempfile::tempdir().unwrap();
    let taken = std::net::TcpListener::bind("127.0.0.1:0").unwrap();
    let address = taken.local_addr().unwrap().to_string();
    let refused = likewear(here.path(), &["serve", "--data", "b.db", "--listen", &address]);
    assert_eq!((code(&refused), out(&refused).as_str()), (2, ""));
    assert!(
        err(&refused).contains("in use") && err(&refused).contains("--listen"),
        "{}",
        err(&refused)
    );
    assert!(!here.path().join("b.db").exists());
}

#[cfg(unix)]
#[test]
fn a_request_that_never_ends_does_not_keep_the_server_from_ending() {
    let here = tempfile::tempdir().unwrap();
    let mut server = Server::start(
        here.path(),
        &["serve", "--data", "a.db", "--listen", "127.0.0.1:0", "--empty"],
    );
    let mut hanging = TcpStream::connect(&server.address).unwrap();
    write!(hanging, "GET /healthz HTTP/1.1\r\nHost: ").unwrap();
    assert_eq!(server.end_with("-TERM"), 0);
}

/// Killed at any moment, a load has either written everything or nothing.
#[cfg(unix)]
#[test]
fn a_killed_load_leaves_all_or_nothing() {
    let here = tempfile::tempdir().unwrap();
    write_to(&here.path().join("small"), &files());
    likewear(here.path(), &["load", "small", "--data", "small.db"]);
    let demo = concat!(env!("CARGO_MANIFEST_DIR"), "/demo-data");
    let mut seen = std::collections::BTreeSet::new();
    for step in 0..12u32 {
        let file = format!("{step}.db");
        std::fs::copy(here.path().join("small.db"), here.path().join(&file)).unwrap();
        let mut child = command(here.path(), &["load", demo, "--data", &file])
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn()
            .unwrap();
        std::thread::sleep(Duration::from_millis(u64::from(step) * 8));
        child.kill().unwrap();
        child.wait().unwrap();
        let whole = likewear(here.path(), &["check", "--data", &file]);
        assert_eq!(code(&whole), 0, "{}", err(&whole));
        let again = likewear(here.path(), &["load", demo, "--data", &file, "--check"]);
        let added = out(&again);
        let results = added.lines().find(|line| line.starts_with("result: ")).unwrap();
        let none_new = results.starts_with("result: 0 new");
        assert!(
            none_new || results.ends_with(", 0 there already"),
            "after {} ms: {added}",
            step * 8
        );
        seen.insert(none_new);
    }
    assert!(seen.contains(&false), "no load was killed before it was done");
}
