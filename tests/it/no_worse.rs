//! Trials that ask whether candidates are no worse than one blend, as folders, forms, pages, JSON and command line have
//! them.

use crate::folder::{accepted, faults, files, only_fault, with};
use crate::pages::{Fields, Pages, set};
use likewear::facade::app::StartWith;
use likewear::facade::intake::ArchiveFiles;
use likewear::facade::records::{Asks, BlendCode, TrialSlug};
use std::process::Command;

const DEMO: &str = "pitch-drive-base-oil-supplier";

/// The small archive, its trial asking so.
fn asking(short: &str, asks: &str, against: &str, margin: &str) -> ArchiveFiles {
    let files = with(
        "trials.csv",
        "machine_confidence,invented",
        "machine_confidence,invented,short,asks,against,margin",
    );
    let text = String::from_utf8(files["trials.csv"].clone()).unwrap();
    let row = format!("medium,yes,{short},{asks},{against},{margin}");
    let mut files = files;
    files.insert(
        "trials.csv".into(),
        text.replacen("medium,yes", &row, 1).into_bytes(),
    );
    files
}

#[test]
fn a_folder_may_say_what_a_trial_asks_and_an_older_one_asks_which_to_choose() {
    let trial = |files: &ArchiveFiles| accepted(files).archive.trials[0].clone();
    let older = trial(&files());
    assert_eq!(
        (older.asks, older.against, older.margin, older.short.as_str()),
        (None, None, None, "")
    );
    let sixty = "x".repeat(60);
    let asked = trial(&asking(&sixty, "no-worse", "B-1", "\"0,5\""));
    assert_eq!(asked.asks, Some(Asks::NoWorse));
    assert_eq!((asked.against, asked.margin), (BlendCode::new("B-1"), Some(0.5)));
    assert_eq!(asked.short, sixty);
    assert_eq!(
        trial(&asking("", "no-worse", "GOOD", "")).margin,
        None,
        "one critical difference"
    );
    assert_eq!(trial(&asking("", "choose", "", "")).asks, Some(Asks::Choose));
}

#[test]
fn what_a_trial_cannot_ask_is_refused_with_its_cell() {
    let long = "x".repeat(61);
    for (files, fault) in [
        (asking(&long, "", "", ""), format!("trials.csv:2:short:{long}")),
        (asking("", "equal", "", ""), "trials.csv:2:asks:equal".into()),
        (asking("", "no-worse", "", ""), "trials.csv:2:against:".into()),
        (asking("", "", "B-1", ""), "trials.csv:2:against:B-1".into()),
        (asking("", "choose", "", "1"), "trials.csv:2:margin:1".into()),
        (asking("", "no-worse", "B-1", "0"), "trials.csv:2:margin:0".into()),
        (
            asking("", "no-worse", "B-1", "\"1,2,3\""),
            "trials.csv:2:margin:1,2,3".into(),
        ),
        (
            asking("", "no-worse", "B-9", ""),
            "trials.csv:2:against:B-9".into(),
        ),
    ] {
        assert!(faults(&files).contains(&fault), "{fault}: {:?}", faults(&files));
    }
    let elsewhere = crate::folder::with_line(
        asking("", "no-worse", "OTHER", ""),
        "blends.csv",
        "OTHER,another,oil,,,,,,,,,",
    );
    assert!(
        only_fault(&elsewhere)
            .problem
            .contains("is not a blend of this trial")
    );
    let alone = crate::folder::also(
        asking("", "no-worse", "B-1", ""),
        "trial_blends.csv",
        "B-2,candidate,",
        "B-2,control,",
    );
    assert!(only_fault(&alone).problem.contains("is the only candidate"));
}

async fn typed(pages: &Pages, more: &[(&str, &str)]) -> Fields {
    let mut fields = pages.get("/trials/new").await.form("[data-setup-form]");
    let usual = [
        ("slug", "same-oil-other-source"),
        ("title", "Same oil, other source"),
        ("question", "Is T-04 no worse than T-03?"),
        ("short", "T-04 for T-03?"),
        ("machine", "tidal-pitch-drive"),
        ("b0.blend", "T-04"),
        ("b1.blend", "T-03"),
        ("t0.test", "rb_oil/roller_wear"),
        ("asks", "no-worse"),
        ("against", "T-03"),
        ("margin", "0,5"),
        ("do", "save"),
    ];
    for (name, value) in usual.iter().chain(more) {
        set(&mut fields, name, value);
    }
    fields
}

#[tokio::test(flavor = "multi_thread")]
async fn the_form_asks_it_keeps_it_and_changes_it() {
    let pages = Pages::with(StartWith::Demo).await;
    for (change, field, words) in [
        (("against", ""), "against", "names the blend"),
        (("against", "T-01"), "against", "is not a blend of this trial"),
        (("against", "X-77"), "against", "is not defined"),
        (("margin", "-1"), "margin", "must be above 0"),
        (("margin", "half"), "margin", ""),
        (
            (
                "short",
                "It is asked here in more than sixty characters, which is too many",
            ),
            "short",
            "write at most 60",
        ),
    ] {
        let page = pages.post("/trials/new", &typed(&pages, &[change]).await).await;
        let fault = page.text(&format!("#f-{field}-fault"));
        assert!(
            page.status == 422 && !fault.is_empty() && fault.contains(words),
            "{change:?}: '{fault}'"
        );
    }
    let page = pages.post("/trials/new", &typed(&pages, &[]).await).await;
    assert_eq!(page.status, 303, "{:?}", page.texts(".fault:not(:empty)"));
    let slug = TrialSlug::new("same-oil-other-source").unwrap();
    let kept = async || pages.app.records(&slug).await.unwrap().trial;
    let trial = kept().await;
    assert_eq!(
        (trial.asks, trial.against, trial.margin),
        (Some(Asks::NoWorse), BlendCode::new("T-03"), Some(0.5))
    );
    let json = pages.json("/api/trials/same-oil-other-source").await;
    assert_eq!(
        (&json["asks"], &json["against"], &json["margin"]),
        (&"no-worse".into(), &"T-03".into(), &0.5.into())
    );
    assert_eq!(json["short"], "T-04 for T-03?");
    assert!(
        pages
            .get("/")
            .await
            .texts(".trials th.what > a")
            .contains(&"T-04 for T-03?".to_string())
    );
    let setup = "/trials/same-oil-other-source/setup";
    let mut again = pages.get(setup).await.form("[data-setup-form]");
    assert_eq!(again.get("margin").map(String::as_str), Some("0.5"));
    for (name, value) in [("asks", "choose"), ("do", "save")] {
        set(&mut again, name, value);
    }
    assert_eq!(pages.post(setup, &again).await.status, 303);
    let trial = kept().await;
    assert_eq!(
        (trial.asks, trial.against, trial.margin),
        (None, None, None),
        "what is not asked is not kept"
    );
    assert_eq!(pages.app.check().await.unwrap(), []);
}

#[tokio::test(flavor = "multi_thread")]
async fn its_page_answers_first_with_a_small_table_and_names_nobody_first() {
    let pages = Pages::with(StartWith::Demo).await;
    let json = pages.json(&format!("/api/trials/{DEMO}/standing")).await;
    let page = pages.get(&format!("/trials/{DEMO}")).await;
    let sentence = page.text("[data-sentence]");
    assert_eq!(sentence, json["sentence"].as_str().unwrap());
    assert!(
        sentence.starts_with("Not answered: T-05 may be worse than T-03 by up to"),
        "{sentence}"
    );
    assert!(sentence.contains("No test covers bronze wear"), "{sentence}");
    assert_eq!(
        page.count("[data-no-worse] tbody tr"),
        json["equivalence"].as_array().unwrap().len()
    );
    assert_eq!(page.count("[data-no-worse] tbody tr"), 3);
    assert_eq!(
        page.count("[data-candidate-row]") + page.count("#changed") + page.count("#next"),
        0
    );
    for place in [
        "",
        "?view=projected",
        "/report",
        "/decision",
        "/plan",
        "/weights",
        "/results",
        "/tests/rb_oil",
    ] {
        let page = pages.get(&format!("/trials/{DEMO}{place}")).await;
        assert_eq!(page.status, 200, "{place}");
        if ["", "?view=projected", "/report"].contains(&place) {
            for word in ["front-runner", "No leader", "is favoured", "in front"] {
                assert!(!page.body.contains(word), "{place}: {word}");
            }
        }
    }
    let list = pages.get("/").await;
    let row = list.text(&format!("[data-trial='/trials/{DEMO}'] .who"));
    assert_eq!(row, "T-05 not yet shown to be no worse than T-03");
    assert!(list.body.contains("T-05 in place of T-03: no more wear?"));
}

#[test]
fn the_command_line_prints_the_answer_and_every_test() {
    let here = tempfile::tempdir().unwrap();
    let likewear = |arguments: &[&str]| {
        let mut command = Command::new(env!("CARGO_BIN_EXE_likewear"));
        let output = command.current_dir(here.path()).args(arguments).output().unwrap();
        assert!(output.status.success(), "{output:?}");
        String::from_utf8(output.stdout).unwrap()
    };
    let demo = concat!(env!("CARGO_MANIFEST_DIR"), "/demo-data");
    likewear(&["load", demo, "--data", "a.db"]);
    let printed = likewear(&["standing", DEMO, "--data", "a.db"]);
    assert!(
        printed.contains("Not answered: T-05 may be worse than T-03"),
        "{printed}"
    );
    for key in [
        "fb_wear_oil_B/scar",
        "gear_lowspeed_wear/mass_loss",
        "rb_oil/roller_wear",
    ] {
        let row = printed.lines().find(|line| line.starts_with(key)).unwrap();
        assert!(
            row.contains("T-05") && (row.contains("worse") || row.contains("better")),
            "{row}"
        );
    }
    assert!(!printed.contains("ranks first"), "{printed}");
}
