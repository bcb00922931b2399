//! The pages in a real browser, through WebDriver: the walks of a meeting, of a support engineer and of somebody who looks
//! for an old trial, with scripting and without; forms by keyboard; every kind of page for accessibility, on a phone, in
//! the dark, on paper; and what is sent as valid HTML. Needs Chromium and its driver, and for accessibility and HTML the
//! node packages of `package.json`; where they are missing the tests say so and pass, except where `CI` is `true`.

#![expect(
    clippy::unwrap_used,
    reason = "a browser that does not answer is a failed test"
)]
#![expect(
    clippy::print_stdout,
    reason = "a test that did not run must say so where it is read"
)]

mod access;
mod bench;
mod forms;
mod kept;
mod moments;
mod node;
mod number;
mod pages;
mod paper;
mod plain_http;
mod served;
mod what_if;

use bench::{Bench, Scripting};
use kept::Archive;
use std::path::Path;

/// Whether there is a browser; says so where there is none.
fn browser_is_there() -> bool {
    let found = ["/usr/bin/chromium", "/usr/bin/chromedriver"]
        .iter()
        .all(|path| Path::new(path).exists());
    if !found {
        println!("NOT RUN: no chromium with chromedriver on this machine");
        let on_ci = std::env::var("CI").is_ok_and(|value| value == "true");
        assert!(!on_ci, "the gate must run the browser tests");
    }
    found
}

/// Walks in the archive that every test reads and none writes to.
fn in_browser<T, F: Future<Output = T>>(scripting: Scripting, walk: impl FnOnce(Bench) -> F) -> Option<T> {
    browser_is_there().then(|| walk_in(Archive::shared(), scripting, walk))
}

/// Walks in a new archive, which the walk may write to.
fn in_own_archive<F: Future<Output = ()>>(scripting: Scripting, walk: impl FnOnce(Bench) -> F) {
    if browser_is_there() {
        walk_in(&Archive::own(), scripting, walk);
    }
}

fn walk_in<T, F: Future<Output = T>>(
    archive: &Archive,
    scripting: Scripting,
    walk: impl FnOnce(Bench) -> F,
) -> T {
    let runtime = tokio::runtime::Runtime::new().unwrap();
    runtime.block_on(async { walk(Bench::start(archive, scripting).await).await })
}
