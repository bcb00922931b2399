//! The report of a trial: one page to print, one file that needs nothing else, the same from page and command line.

use crate::folder::{files, write_to};
use crate::pages::Pages;
use likewear::facade::app::StartWith;
use scraper::{Html, Selector};
use std::process::{Command, Output};

fn likewear(pages: &Pages, arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_likewear"))
        .current_dir(pages.folder.path())
        .args(arguments)
        .output()
        .unwrap()
}

fn said(output: &Output) -> (i32, String) {
    let words = String::from_utf8(output.stderr.clone()).unwrap();
    (output.status.code().unwrap(), words)
}

async fn small() -> Pages {
    let pages = Pages::with(StartWith::Nothing).await;
    write_to(&pages.path("small"), &files());
    pages.app.load(&pages.path("small")).await.unwrap();
    pages
}

/// What a file asks of the world outside it.
fn leads_out(file: &str) -> Vec<String> {
    let page = Html::parse_document(file);
    let all = Selector::parse("*").unwrap();
    let mut found = Vec::new();
    for element in page.select(&all) {
        let element = element.value();
        if ["script", "form", "iframe", "object", "img"].contains(&element.name()) {
            found.push(element.name().to_string());
        }
        for name in ["href", "src", "action", "srcset", "xlink:href"] {
            let address = element.attr(name).unwrap_or("#");
            if !address.starts_with('#') && address != "data:," {
                found.push(address.to_string());
            }
        }
    }
    found
}

/// It judges the whole demo trial, since its size is the question.
#[tokio::test(flavor = "multi_thread")]
async fn the_largest_trial_of_the_demo_is_one_file_that_asks_for_nothing() {
    let pages = Pages::with(StartWith::Demo).await;
    let file = pages.get("/trials/pitch-drive-full/report?download").await;
    assert_eq!(file.status, 200);
    assert!(file.body.len() < 2_000_000, "{} bytes", file.body.len());
    assert_eq!(leads_out(&file.body), Vec::<String>::new());
    assert!(!file.body.contains("@import") && !file.body.contains("url("));
    let records = pages.json("/api/trials/pitch-drive-full").await;
    let entries = records["results"].as_array().unwrap().len();
    assert_eq!(file.count("[data-report-runs] tbody tr"), entries, "every entry");
    let standing = pages.json("/api/trials/pitch-drive-full/standing").await;
    assert_eq!(
        file.text("[data-sentence]"),
        standing["sentence"].as_str().unwrap()
    );
    assert_eq!(
        file.count("[data-caution]"),
        (standing["cautions"].as_array().unwrap().iter())
            .filter(|one| one["kind"] != "gate-failed")
            .count(),
        "a rejected blend has its reason beside it"
    );
    assert!(
        file.text("[data-made]")
            .contains(&format!("seed {}", standing["seed"]))
    );
    assert!(file.text("[data-made]").contains(env!("CARGO_PKG_VERSION")));
    assert!(file.count("[data-report-methods] li") > 5 && file.count("[data-report-contacts] tbody tr") > 1);
    assert!(
        file.body.contains("control fluids are never")
            || file.body.contains("Control fluids are run in test rigs only")
    );
    assert!(file.count("details.test[open] svg") > 10, "the strips are in it");

    let page = pages.get("/trials/pitch-drive-full/report").await;
    assert!(
        page.count("nav a") > 3 && page.count("style") == 0,
        "the page is one of ours"
    );
    assert_eq!(page.count("[data-what-if-form]"), 0);
}

#[tokio::test(flavor = "multi_thread")]
async fn the_command_mends_in_words_and_leaves_no_half_file() {
    let pages = small().await;
    std::fs::write(pages.path("r.html"), "what was there").unwrap();
    let (code, words) = said(&likewear(
        &pages,
        &["report", "fast-drive", "--data", "a.db", "--out", "r.html"],
    ));
    assert_eq!(code, 2);
    assert!(
        words.contains("there is no trial 'fast-drive'; there are: slow-drive"),
        "{words}"
    );
    assert_eq!(
        std::fs::read_to_string(pages.path("r.html")).unwrap(),
        "what was there"
    );
    let (code, words) = said(&likewear(
        &pages,
        &["report", "slow-drive", "--data", "a.db", "--out", "no/r.html"],
    ));
    assert!(
        code == 2 && words.contains("cannot write no/r.html"),
        "{code}: {words}"
    );
    let done = likewear(
        &pages,
        &["report", "slow-drive", "--data", "a.db", "--out", "r.html"],
    );
    assert_eq!(said(&done).0, 0);
    let file = std::fs::read_to_string(pages.path("r.html")).unwrap();
    let page = pages.get("/trials/slow-drive/report?download").await;
    assert_eq!(file, page.body, "the same bytes from the page");
    assert!(file.starts_with("<!doctype html>") && file.trim_end().ends_with("</html>"));
    assert!(!pages.path("r.html.making").exists());
    assert_eq!(pages.get("/trials/fast-drive/report").await.status, 404);
}

#[tokio::test(flavor = "multi_thread")]
async fn a_backup_is_a_whole_archive_of_its_own_while_the_file_is_open() {
    let pages = small().await;
    let done = likewear(&pages, &["backup", "copy.db", "--data", "a.db"]);
    assert_eq!(said(&done), (0, String::new()));
    let other = likewear::facade::app::App::open(&pages.path("copy.db"))
        .await
        .unwrap();
    assert_eq!(other.archive().await.unwrap(), pages.app.archive().await.unwrap());
    assert_eq!(other.check().await.unwrap(), []);
    let (code, words) = said(&likewear(&pages, &["backup", "copy.db", "--data", "a.db"]));
    assert!(
        code == 2 && words.contains("copy.db exists already"),
        "{code}: {words}"
    );
    let (code, _) = said(&likewear(&pages, &["backup", "no/copy.db", "--data", "a.db"]));
    assert_eq!(code, 2);
    assert!(!pages.path("copy.db.making").exists());
}
