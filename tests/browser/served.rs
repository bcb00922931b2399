//! What is sent, before a browser sees it: every page is linked, is valid HTML and stays small.

use crate::kept::Archive;
use crate::node::{NodeTools, node_tools};
use crate::pages::{pages, routes};
use crate::plain_http::get;
use std::collections::{BTreeMap, BTreeSet};
use std::io::Write;
use std::process::{Command, Stdio};

/// Old addresses that lead on to where their page is now.
const LEAD_ON: &[&str] = &["/trials", "/trials/{trial}/resemblance"];

#[test]
fn every_page_can_be_reached_by_links_from_the_list() {
    let reached: BTreeSet<&str> = pages().iter().map(|page| page.route.as_str()).collect();
    let missed: Vec<String> = routes()
        .into_iter()
        .filter(|route| !reached.contains(route.as_str()) && !LEAD_ON.contains(&route.as_str()))
        .collect();
    assert!(missed.is_empty(), "no link leads to {missed:?}");
    assert!(reached.len() > 25, "the walk ended early: {reached:?}");
}

/// Ours: a page of this size is there at once over a slow line to a shared machine.
const MOST_BYTES: usize = 300_000;

#[test]
fn no_page_is_heavy() {
    let heavy: Vec<String> = pages()
        .iter()
        .filter(|page| page.html.len() > MOST_BYTES)
        .map(|page| format!("{}: {} bytes", page.path, page.html.len()))
        .collect();
    assert!(heavy.is_empty(), "{heavy:#?}");
}

/// What the validator says of these pages, a line a fault.
fn faults(node: &NodeTools, pages: &BTreeMap<&str, &str>) -> String {
    let mut validator = Command::new("node")
        .arg(node.folder.join("validate.cjs"))
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    let text = serde_json::to_string(pages).unwrap();
    let mut input = validator.stdin.take().unwrap();
    let writing = std::thread::spawn(move || input.write_all(text.as_bytes()).unwrap());
    let answer = validator.wait_with_output().unwrap();
    writing.join().unwrap();
    assert!(answer.status.success(), "the validator stopped");
    String::from_utf8(answer.stdout).unwrap()
}

#[test]
fn every_page_is_valid_html() {
    let Some(node) = node_tools() else { return };
    let mut all: BTreeMap<&str, &str> = pages()
        .iter()
        .map(|page| (page.path.as_str(), page.html.as_str()))
        .collect();
    let nothing = get(&Archive::shared().address, "/nothing-here");
    assert_eq!(nothing.status, 404);
    all.insert("/nothing-here", &nothing.body);
    let faults = faults(&node, &all);
    assert!(faults.is_empty(), "{faults}");
}

#[test]
fn the_validator_finds_what_is_wrong() {
    let Some(node) = node_tools() else { return };
    let wrong = "<!DOCTYPE html><html lang=\"en\"><head><title>x</title></head><body>\
        <p id=\"a\"><span id=\"a\"></p><p><div>a</div></p><img src=\"x\"><p aria-describedby=\"none\">b</p></body></html>";
    let found = faults(&node, &BTreeMap::from([("/wrong", wrong)]));
    for rule in ["no-dup-id", "close-order", "wcag/h37", "no-missing-references"] {
        assert!(found.contains(rule), "{rule} is not in {found}");
    }
}
