//! Pages on paper.

use crate::bench::Scripting;
use crate::in_browser;
use std::io::Write;
use std::ops::RangeInclusive;
use std::process::{Command, Stdio};

/// Fails unless the paper has so many sheets and says this. Where no program turns a PDF into text, its sheets are
/// counted and its words are not read.
pub(crate) fn assert_says(paper: &[u8], words: &str, sheets: RangeInclusive<usize>) {
    assert!(paper.starts_with(b"%PDF"), "{} bytes", paper.len());
    let raw = String::from_utf8_lossy(paper);
    let count = raw.matches("/Type /Page\n").count() + raw.matches("/Type /Page ").count();
    assert!(sheets.contains(&count), "{count} sheets");
    let Some(text) = text_of(paper) else {
        println!("NOT READ: no pdftotext on this machine");
        return;
    };
    let flat = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        flat(&text).contains(&flat(words)),
        "'{words}' is not on paper: {text}"
    );
}

fn text_of(paper: &[u8]) -> Option<String> {
    let mut reader = Command::new("pdftotext")
        .args(["-layout", "-", "-"])
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .ok()?;
    let mut input = reader.stdin.take().unwrap();
    let paper = paper.to_vec();
    let writing = std::thread::spawn(move || input.write_all(&paper).unwrap());
    let answer = reader.wait_with_output().unwrap();
    writing.join().unwrap();
    Some(String::from_utf8_lossy(&answer.stdout).into_owned())
}

#[test]
fn an_explanation_prints_on_one_sheet_and_a_plan_with_its_sentence() {
    in_browser(Scripting::Off, |bench| async move {
        bench.open("/trials/pitch-drive-full/tests/fb_ep_oil").await;
        let answer = bench.text_of("[data-answer]").await;
        assert_says(&bench.paper().await, &answer, 1..=1);
        bench.open("/trials/pitch-drive-defoamer-check/plan").await;
        let heading = bench.text_of("h1").await;
        assert_says(&bench.paper().await, &heading, 1..=4);
        bench.end().await;
    });
}
