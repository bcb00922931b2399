//! Processes that end with the test program, however it ends, and one archive served to every test that only reads.

use std::io::{BufRead, BufReader, Read};
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::sync::OnceLock;

/// Ends the process as soon as nobody holds the other end of its input: also where a test program is killed.
const KEEPER: &str =
    r#"folder=$1; shift; "$@" & kept=$!; read -r _; kill "$kept"; wait "$kept"; rm -rf "$folder""#;

/// A process with a folder of its own, both gone when this value is.
pub(crate) struct Kept(Child);

impl Kept {
    /// Starts a program; `folder` is removed after it has ended.
    pub(crate) fn start(folder: &Path, command: &[&str]) -> Self {
        let child = Command::new("sh")
            .args(["-c", KEEPER, "keeper"])
            .arg(folder)
            .args(command)
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .unwrap();
        Self(child)
    }

    fn first_line(&mut self) -> String {
        let mut line = String::new();
        let mut printed = BufReader::new(self.0.stdout.take().unwrap());
        printed.read_line(&mut line).unwrap();
        // What it prints later has to go somewhere.
        std::thread::spawn(move || printed.read_to_end(&mut Vec::new()));
        line
    }
}

impl Drop for Kept {
    fn drop(&mut self) {
        drop(self.0.stdin.take());
        let _ = self.0.wait();
    }
}

/// The built program on a free port, with the demo in a new file.
pub(crate) struct Archive {
    /// Where it answers, without a slash at the end.
    pub(crate) address: String,
    _server: Kept,
}

impl Archive {
    /// The one that is only read: what it computed for one test it remembers for the next.
    pub(crate) fn shared() -> &'static Self {
        static SHARED: OnceLock<Archive> = OnceLock::new();
        SHARED.get_or_init(Self::own)
    }

    /// One that may be written to.
    pub(crate) fn own() -> Self {
        let folder = tempfile::tempdir().unwrap().keep();
        let file = folder.join("browser.db");
        let program = env!("CARGO_BIN_EXE_likewear");
        let command = [
            program,
            "serve",
            "--listen",
            "127.0.0.1:0",
            "--data",
            file.to_str().unwrap(),
        ];
        let mut server = Kept::start(&folder, &command);
        // The first line may tell that the demo was made.
        let line = server.first_line();
        let at = line
            .find("http://")
            .unwrap_or_else(|| panic!("no address in '{line}'"));
        let address = line[at..].trim().trim_end_matches('/').to_string();
        Self {
            address,
            _server: server,
        }
    }
}
