//! The rooms of `src/`, what each may use, and other rules that no compiler checks.
//!
//! A room is a module of the crate's root. The tables below say which rooms and which crates each may name. The test
//! reads the sources as tokens, so that comments, texts and grouped `use` are understood.
#![expect(clippy::unwrap_used, reason = "a test fails where it unwraps")]

mod english;

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

/// Each room with the rooms it may name, besides itself.
const ROOMS: &[(&str, &[&str])] = &[
    ("units", &[]),
    ("lubricant", &["units"]),
    ("contact", &["units", "lubricant"]),
    ("stats", &[]),
    ("catalogue", &["units", "contact", "lubricant"]),
    // A machine's record holds its contacts.
    ("records", &["units", "contact", "catalogue"]),
    (
        "resemblance",
        &["units", "contact", "lubricant", "catalogue", "records"],
    ),
    // It computes the contact that decided a test, with the reference oil in it.
    (
        "standing",
        &[
            "stats",
            "resemblance",
            "records",
            "catalogue",
            "units",
            "contact",
            "lubricant",
        ],
    ),
    ("charts", &["units"]),
    // What is wrong with a record is said in one way in a folder, in the database and on a page.
    ("intake", &["units", "records", "catalogue", "prose"]),
    ("store", &["records", "catalogue", "units", "prose"]),
    (
        "calculate",
        &["units", "lubricant", "contact", "stats", "catalogue", "intake"],
    ),
    ("drawing", &["units", "contact", "catalogue", "charts"]),
    (
        "prose",
        &[
            "units",
            "stats",
            "catalogue",
            "records",
            "resemblance",
            "standing",
        ],
    ),
    (
        "explain",
        &[
            "units",
            "lubricant",
            "contact",
            "catalogue",
            "records",
            "resemblance",
            "standing",
            "intake",
            "charts",
            "calculate",
            "drawing",
            "prose",
        ],
    ),
    ("wire", &["units", "records", "resemblance", "standing", "prose"]),
    // What was computed and still holds, whatever it is.
    ("cache", &[]),
    (
        "app",
        &[
            "units",
            "lubricant",
            "contact",
            "stats",
            "catalogue",
            "records",
            "resemblance",
            "standing",
            "charts",
            "intake",
            "store",
            "calculate",
            "drawing",
            "prose",
            "explain",
            "wire",
            "cache",
        ],
    ),
    (
        "web",
        &[
            "app",
            "charts",
            "units",
            "contact",
            "catalogue",
            "records",
            "resemblance",
            "standing",
            "calculate",
            "drawing",
            "prose",
            "explain",
            "wire",
        ],
    ),
    ("cli", &["app", "web", "records", "standing", "prose", "wire"]),
    ("main", &[]),
    ("lib", &["cli"]),
    // For tests and benches alone.
    (
        "facade",
        &[
            "units",
            "lubricant",
            "contact",
            "stats",
            "catalogue",
            "records",
            "resemblance",
            "standing",
            "intake",
            "store",
            "calculate",
            "prose",
            "explain",
            "wire",
            "app",
            "web",
        ],
    ),
];

/// Rooms without database, web, files, clock or thread randomness: time and seed are arguments.
const PURE: &[&str] = &[
    "units",
    "contact",
    "lubricant",
    "stats",
    "catalogue",
    "records",
    "resemblance",
    "standing",
];

/// Crates that only some rooms may name.
const CRATES: &[(&str, &[&str])] = &[
    ("sqlx", &["store"]),
    ("axum", &["web"]),
    ("tower", &["web"]),
    ("tower_http", &["web"]),
    ("hyper", &["web"]),
    ("cookie", &["web"]),
    ("percent_encoding", &["web"]),
    ("askama", &["web", "charts"]),
    ("plotters", &["charts"]),
    ("plotters_backend", &["charts"]),
    // The catalogue reads published tables in its tests.
    ("csv", &["intake", "catalogue"]),
    ("calamine", &["intake"]),
    ("rust_xlsxwriter", &["intake"]),
    ("clap", &["cli"]),
    ("anyhow", &["cli"]),
    ("tracing_subscriber", &["cli"]),
    ("tracing", &["store", "app", "web", "cli"]),
    ("tokio", &["app", "web", "cli"]),
    ("include_dir", &["catalogue", "app", "web"]),
    ("toml", &["catalogue", "contact"]),
    ("rand_distr", &["stats", "standing"]),
    ("rand_xoshiro", &["stats", "standing"]),
    ("rayon", &["stats", "standing"]),
];

/// Names in a pure room that reach for the world outside.
const OUTSIDE: &[&str] = &[
    "SystemTime",
    "Instant",
    "thread_rng",
    "from_os_rng",
    "from_entropy",
    "OsRng",
    "ThreadRng",
    "File",
    "TcpStream",
];
const OUTSIDE_STD: &[&str] = &["fs", "env", "net", "process", "thread", "os"];

const TOP_LEVEL: &[&str] = &[
    "Cargo.toml",
    "Cargo.lock",
    "README.md",
    "DEVELOPERS.md",
    "src",
    "templates",
    "static",
    "migrations",
    "tests",
    "demo-data",
    ".ci",
    ".cargo",
    ".clippy.toml",
    ".rustfmt.toml",
    ".gitignore",
];

const LONGEST_FILE: usize = 500;

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

#[derive(Clone, Debug, PartialEq)]
enum Token {
    Word(String),
    Sign(char),
    /// A text as it is written between its quotes.
    Text(String),
}

/// Words, signs and texts of a source, without comments, characters and lifetimes.
fn tokens(source: &str) -> Vec<(usize, Token)> {
    let text: Vec<char> = source.chars().collect();
    let mut found = Vec::new();
    let (mut at, mut line) = (0, 1);
    let next = |at: usize| text.get(at).copied().unwrap_or('\0');
    while at < text.len() {
        let start = at;
        match text[at] {
            '/' if next(at + 1) == '/' => {
                while at < text.len() && text[at] != '\n' {
                    at += 1;
                }
            }
            '/' if next(at + 1) == '*' => {
                let mut depth = 1;
                at += 2;
                while at < text.len() && depth > 0 {
                    match (text[at], next(at + 1)) {
                        ('/', '*') => (depth, at) = (depth + 1, at + 1),
                        ('*', '/') => (depth, at) = (depth - 1, at + 1),
                        _ => {}
                    }
                    at += 1;
                }
            }
            '"' => {
                at = after_text(&text, at + 1);
                let written = text[start + 1..at.min(text.len()) - 1].iter().collect();
                found.push((line, Token::Text(written)));
            }
            '\'' if next(at + 1) == '\\' => {
                at = (at + 3..text.len())
                    .find(|i| text[*i] == '\'')
                    .map_or(text.len(), |i| i + 1)
            }
            '\'' if next(at + 2) == '\'' => at += 3,
            '\'' => at += 1,
            c if c.is_alphanumeric() || c == '_' => {
                while next(at).is_alphanumeric() || next(at) == '_' {
                    at += 1;
                }
                let word: String = text[start..at].iter().collect();
                let is_raw = matches!(word.as_str(), "r" | "br" | "cr") && matches!(next(at), '"' | '#');
                if is_raw && let Some(end) = after_raw_text(&text, at) {
                    at = end;
                    let written: String = text[start + word.len()..end].iter().collect();
                    let written = written.trim_matches('#').trim_matches('"').to_string();
                    found.push((line, Token::Text(written)));
                } else {
                    found.push((line, Token::Word(word)));
                }
            }
            c => {
                if !c.is_whitespace() {
                    found.push((line, Token::Sign(c)));
                }
                at += 1;
            }
        }
        line += text[start..at.min(text.len())]
            .iter()
            .filter(|c| **c == '\n')
            .count();
    }
    found
}

fn after_text(text: &[char], mut at: usize) -> usize {
    while at < text.len() && text[at] != '"' {
        at += if text[at] == '\\' { 2 } else { 1 };
    }
    at + 1
}

fn after_raw_text(text: &[char], mut at: usize) -> Option<usize> {
    let hashes = text[at..].iter().take_while(|c| **c == '#').count();
    at += hashes;
    (text.get(at) == Some(&'"')).then_some(())?;
    let end: Vec<char> = std::iter::once('"')
        .chain(std::iter::repeat_n('#', hashes))
        .collect();
    let found = (at + 1..text.len()).find(|i| text[*i..].starts_with(&end))?;
    Some(found + end.len())
}

/// A path that starts at the crate's root or at another crate, or climbs with `super`.
#[derive(Clone, Debug, PartialEq)]
enum Named {
    Room(String),
    Crate(String),
    Std(String),
    Word(String),
    /// `super` so often, in so many inline modules.
    Up(usize, usize),
}

/// What a source names, with the lines.
fn named(source: &str) -> Vec<(usize, Named)> {
    let tokens = tokens(source);
    let word = |at: usize| match tokens.get(at) {
        Some((_, Token::Word(word))) => Some(word.as_str()),
        _ => None,
    };
    let sign = |at: usize, c: char| matches!(tokens.get(at), Some((_, Token::Sign(s))) if *s == c);
    let colons = |at: usize| sign(at, ':') && sign(at + 1, ':');
    let mut found = Vec::new();
    let mut blocks: Vec<bool> = Vec::new();
    for at in 0..tokens.len() {
        let line = tokens[at].0;
        if sign(at, '{') {
            blocks.push(at >= 2 && word(at - 2) == Some("mod"));
        } else if sign(at, '}') {
            blocks.pop();
        }
        let Some(this) = word(at) else { continue };
        let starts_a_path = at < 2 || !colons(at - 2);
        if !starts_a_path {
            if this == "now" && sign(at + 1, '(') {
                found.push((line, Named::Word("now()".to_string())));
            }
            continue;
        }
        if OUTSIDE.contains(&this) {
            found.push((line, Named::Word(this.to_string())));
        }
        if !colons(at + 1) {
            if at > 0 && word(at - 1) == Some("use") {
                found.push((line, Named::Crate(this.to_string())));
            }
            continue;
        }
        let first_parts = firsts(&tokens, at + 3);
        match this {
            "crate" | "likewear" => {
                found.extend(first_parts.into_iter().map(|part| (line, Named::Room(part))))
            }
            "std" | "core" | "alloc" => {
                found.extend(first_parts.into_iter().map(|part| (line, Named::Std(part))))
            }
            "super" => {
                let mut ups = 1;
                while word(at + 3 * ups) == Some("super") && colons(at + 3 * ups - 2) {
                    ups += 1;
                }
                let inline = blocks.iter().filter(|is_module| **is_module).count();
                found.push((line, Named::Up(ups, inline)));
            }
            "self" | "Self" => {}
            other => found.push((line, Named::Crate(other.to_string()))),
        }
    }
    found
}

/// The next part of a path, or the first parts of the paths in a group.
fn firsts(tokens: &[(usize, Token)], at: usize) -> Vec<String> {
    match tokens.get(at).map(|(_, token)| token) {
        Some(Token::Word(word)) => vec![word.clone()],
        Some(Token::Sign('{')) => {
            let mut parts = Vec::new();
            let mut depth = 0;
            let mut expecting = false;
            for (_, token) in &tokens[at..] {
                match token {
                    Token::Sign('{') => {
                        depth += 1;
                        expecting = depth == 1;
                    }
                    Token::Sign('}') => depth -= 1,
                    Token::Sign(',') => expecting = depth == 1,
                    Token::Word(word) if expecting => {
                        parts.push(word.clone());
                        expecting = false;
                    }
                    _ => {}
                }
                if depth == 0 {
                    break;
                }
            }
            parts
        }
        _ => Vec::new(),
    }
}

fn room_of(path: &Path) -> String {
    let first = path
        .components()
        .next()
        .map(|part| part.as_os_str().to_string_lossy().into_owned());
    first.unwrap_or_default().trim_end_matches(".rs").to_string()
}

/// How many modules deep a file stands: `room/mod.rs` and `room.rs` one, `room/part.rs` two.
fn depth_of(path: &Path) -> usize {
    let parts = path.components().count();
    match path.file_stem().and_then(|name| name.to_str()) {
        Some("mod") => parts - 1,
        Some("lib" | "main") if parts == 1 => 0,
        _ => parts,
    }
}

/// What a file does that its room may not.
fn breaches(path: &Path, source: &str) -> Vec<String> {
    let room = room_of(path);
    let Some((_, may_use)) = ROOMS.iter().find(|(name, _)| *name == room) else {
        return vec![format!("{}: '{room}' is no room of the table", path.display())];
    };
    let mut wrong = Vec::new();
    for (line, named) in named(source) {
        let words = match named {
            Named::Room(other) if other == room || !is_room(&other) => continue,
            Named::Room(other) if may_use.contains(&other.as_str()) => continue,
            Named::Room(other) => format!("'{room}' may not use '{other}'"),
            Named::Crate(name) => match CRATES.iter().find(|(known, _)| *known == name) {
                Some((_, rooms)) if !rooms.contains(&room.as_str()) => {
                    format!("'{room}' may not name the crate '{name}'")
                }
                _ => continue,
            },
            Named::Std(part) if is_pure(&room) && OUTSIDE_STD.contains(&part.as_str()) => {
                format!("'{room}' is pure and may not name std::{part}")
            }
            Named::Word(word) if is_pure(&room) => format!("'{room}' is pure and may not name {word}"),
            Named::Up(ups, inline) if depth_of(path) + inline < ups + 1 => {
                "super leaves the room; write crate::room".to_string()
            }
            Named::Std(_) | Named::Word(_) | Named::Up(..) => continue,
        };
        wrong.push(format!("{}:{line}: {words}", path.display()));
    }
    wrong
}

fn is_room(name: &str) -> bool {
    ROOMS.iter().any(|(room, _)| *room == name)
}

fn is_pure(room: &str) -> bool {
    PURE.contains(&room)
}

fn files_below(folder: &Path, extensions: &[&str]) -> Vec<PathBuf> {
    let mut found = Vec::new();
    let Ok(entries) = fs::read_dir(folder) else {
        return found;
    };
    for entry in entries {
        let path = entry.unwrap().path();
        if path.is_dir() {
            found.extend(files_below(&path, extensions));
        } else if path
            .extension()
            .is_some_and(|ext| extensions.iter().any(|wanted| ext == *wanted))
        {
            found.push(path);
        }
    }
    found.sort();
    found
}

fn sources() -> Vec<(PathBuf, String)> {
    let src = root().join("src");
    let found: Vec<(PathBuf, String)> = files_below(&src, &["rs"])
        .into_iter()
        .map(|path| {
            (
                path.strip_prefix(&src).unwrap().to_path_buf(),
                fs::read_to_string(&path).unwrap(),
            )
        })
        .collect();
    assert!(found.len() > 50, "the sources are not where they were");
    found
}

#[test]
fn no_room_names_a_room_or_a_crate_that_it_may_not_use() {
    let wrong: Vec<String> = sources()
        .iter()
        .flat_map(|(path, source)| breaches(path, source))
        .collect();
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn every_folder_of_the_sources_is_a_room_of_the_table() {
    let rooms: BTreeSet<String> = sources().iter().map(|(path, _)| room_of(path)).collect();
    let unknown: Vec<&String> = rooms.iter().filter(|room| !is_room(room)).collect();
    assert!(unknown.is_empty(), "{unknown:?}");
}

#[test]
fn no_source_file_is_longer_than_500_lines() {
    let long: Vec<String> = sources()
        .iter()
        .map(|(path, source)| (path, source.lines().count()))
        .filter(|(_, lines)| *lines > LONGEST_FILE)
        .map(|(path, lines)| format!("{}: {lines} lines", path.display()))
        .collect();
    assert!(long.is_empty(), "{}", long.join("\n"));
}

#[test]
fn no_template_passes_text_through_unescaped() {
    for path in files_below(&root().join("templates"), &["html", "txt", "svg", "xml"]) {
        let text = fs::read_to_string(&path).unwrap();
        assert!(!passes_unescaped(&text), "{} uses |safe", path.display());
    }
}

fn passes_unescaped(template: &str) -> bool {
    template.split('|').skip(1).any(|behind| {
        let word: String = behind
            .trim_start()
            .chars()
            .take_while(|c| c.is_alphanumeric() || *c == '_')
            .collect();
        word == "safe"
    })
}

#[test]
fn nothing_unexpected_stands_at_the_top() {
    let unexpected: Vec<String> = top_level()
        .into_iter()
        .filter(|name| !TOP_LEVEL.contains(&name.as_str()))
        .collect();
    assert!(unexpected.is_empty(), "{unexpected:?}");
}

/// Tracked names where this is a checkout, else what lies there.
fn top_level() -> BTreeSet<String> {
    let listed = Command::new("git")
        .args(["ls-files", "-z"])
        .current_dir(root())
        .output();
    if let Ok(listed) = listed
        && listed.status.success()
        && !listed.stdout.is_empty()
    {
        let text = String::from_utf8(listed.stdout).unwrap();
        return text
            .split('\0')
            .filter_map(|path| path.split('/').next())
            .filter(|name| !name.is_empty())
            .map(str::to_string)
            .collect();
    }
    let entries = fs::read_dir(root())
        .unwrap()
        .map(|entry| entry.unwrap().file_name());
    let names = entries.map(|name| name.to_string_lossy().into_owned());
    let ours = |name: &String| name != "target" && name != ".git" && !name.starts_with("likewear.db");
    names.filter(ours).collect()
}

fn one_breach(path: &str, source: &str, words: &str) {
    let found = breaches(Path::new(path), source);
    assert_eq!(found.len(), 1, "{source}: {found:?}");
    assert!(found[0].contains(words), "{source}: {found:?}");
}

#[test]
fn forbidden_rooms_are_found_in_every_form_of_path() {
    one_breach("stats/a.rs", "use crate::units::Unit;", "may not use 'units'");
    one_breach(
        "records/a.rs",
        "use crate::{records::Blend, store::Store};",
        "may not use 'store'",
    );
    one_breach(
        "records/a.rs",
        "use crate::{catalogue::{Mode, Use}, app::App};",
        "may not use 'app'",
    );
    one_breach(
        "records/a.rs",
        "fn f() { let x = crate::intake::read(); }",
        "may not use 'intake'",
    );
    one_breach(
        "intake/a.rs",
        "pub(crate) use crate::\n    contact::Load;",
        "may not use 'contact'",
    );
    one_breach(
        "main.rs",
        "fn main() { likewear::store::open() }",
        "may not use 'store'",
    );
    one_breach("cellar/a.rs", "", "is no room");
}

#[test]
fn forbidden_crates_and_the_world_outside_are_found() {
    one_breach("app/a.rs", "use sqlx::Row;", "crate 'sqlx'");
    one_breach("standing/a.rs", "#[tokio::test] async fn f() {}", "crate 'tokio'");
    one_breach("store/a.rs", "use anyhow;", "crate 'anyhow'");
    one_breach(
        "web/a.rs",
        "fn f() -> plotters::style::RGBColor { todo }",
        "crate 'plotters'",
    );
    one_breach("stats/a.rs", "fn f() { std::fs::read(\"x\"); }", "std::fs");
    one_breach("stats/a.rs", "use std::{collections::BTreeMap, env};", "std::env");
    one_breach("records/a.rs", "fn f() { jiff::Timestamp::now(); }", "now()");
    one_breach(
        "stats/a.rs",
        "use std::time::Duration; fn f(x: Instant) {}",
        "Instant",
    );
}

#[test]
fn super_may_climb_within_its_room_only() {
    one_breach("stats/mod.rs", "use super::units;", "leaves the room");
    one_breach("stats/a.rs", "use super::super::units;", "leaves the room");
    one_breach(
        "stats/mod.rs",
        "mod tests { use super::super::units; }",
        "leaves the room",
    );
    for (path, source) in [
        ("stats/a.rs", "use super::b;"),
        (
            "stats/mod.rs",
            "mod tests { use super::*; fn f() { if x { super::g() } } }",
        ),
        ("stats/a/b.rs", "use super::super::c;"),
        ("stats/a.rs", "mod tests { mod deep { use super::super::b; } }"),
    ] {
        assert_eq!(
            breaches(Path::new(path), source),
            Vec::<String>::new(),
            "{source}"
        );
    }
}

#[test]
fn comments_texts_and_names_that_look_alike_are_left_alone() {
    for source in [
        "//! see crate::store\n/* use sqlx::Row; /* crate::app */ */ fn f() {}",
        "const A: &str = \"crate::store \\\" sqlx::Row\"; const B: &str = r#\"use \"sqlx::Row\"\"#; const C: char = '\"';",
        "fn f<'a>(x: &'a str) -> &'a str { x } // sqlx::Row",
        "use crate::stats::sqlx::Row; use crate::stats::{a::units, b};",
        "fn f(now: u8) { g(now) }",
    ] {
        assert_eq!(
            breaches(Path::new("stats/a.rs"), source),
            Vec::<String>::new(),
            "{source}"
        );
    }
}

#[test]
fn unescaped_text_is_found_however_it_is_spaced() {
    assert!(passes_unescaped("{{ note|safe }}"));
    assert!(passes_unescaped("{{ note | upper |  safe }}"));
    assert!(!passes_unescaped("{{ note|safely }} safe | sound"));
}
