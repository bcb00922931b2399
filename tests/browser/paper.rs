//! Pages on paper.

use crate::bench::{Bench, Scripting};
use crate::in_browser;
use serde_json::{Value, json};
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

/// What is there to be clicked or filled in and would stand on paper too.
async fn clutter(bench: &Bench, of: &str) -> Value {
    bench.medium("print").await;
    let script = format!(
        "return Array.from(document.querySelectorAll('{of}')).filter((part) => part.checkVisibility()).map((part) => part.outerHTML.slice(0, 120))"
    );
    let found = bench.script(&script).await;
    bench.medium("").await;
    found
}

/// On these pages nothing is filled in that a reader of the paper needs.
const CONTROLS: &str = "nav, form, input:not([type=hidden]), select, textarea, button";

#[test]
fn an_explanation_prints_on_one_sheet_with_its_sources_on_a_second_also_where_it_says_most() {
    in_browser(Scripting::Off, |bench| async move {
        // A number that is held up, a worn area, a test without a reproducibility, and a caution of the trial.
        let tests = "/trials/pitch-drive-full/tests";
        for asked in [
            "lo_oil_wear?blend=T-13&quantity=scar&value=0.5&unit=mm&standard=lo_oil_wear",
            "lo_oil_wear?blend=T-13&quantity=scar",
            "fb_ep_oil?quantity=lnsl",
        ] {
            bench.open(&format!("{tests}/{asked}")).await;
            let question = bench.words_of("[data-question]").await;
            assert_says(&bench.paper().await, &question, 2..=2);
            // The empty boxes stand on paper, to be filled in.
            let others =
                "nav, select, textarea, button, form:not([data-ask-for]), input:not([type=hidden], .box)";
            assert_eq!(clutter(&bench, others).await, json!([]), "{asked}");
        }
        bench.end().await;
    });
}

#[test]
fn a_comparison_and_a_plan_print_what_they_say_and_nothing_to_click() {
    in_browser(Scripting::Off, |bench| async move {
        bench.open("/trials/lock-gate-worm-gear").await;
        let sentence = bench.words_of("[data-sentence]").await;
        assert_says(&bench.paper().await, &sentence, 1..=12);
        assert_eq!(clutter(&bench, CONTROLS).await, json!([]));
        bench.open("/trials/pitch-drive-defoamer-check/plan").await;
        let heading = bench.text_of("h1").await;
        assert_says(&bench.paper().await, &heading, 1..=4);
        assert_eq!(clutter(&bench, "nav, button").await, json!([]));
        // The fields of its costs stand on paper, as their values do.
        assert_ne!(clutter(&bench, CONTROLS).await, json!([]));
        bench.end().await;
    });
}
