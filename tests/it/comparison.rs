//! The comparison page: its size, its sentence, its questions and its ways of being looked at. All data is invented.

use crate::pages::Pages;
use crate::support::{FAST_MESH, SLOW_ROLLERS, TrialBuilder, code, trial_on};
use calamine::{DataType, Reader};
use likewear::facade::app::StartWith;
use likewear::facade::prose::answer::{answer, facts};
use likewear::facade::prose::standing::sentence as sentence_of;
use likewear::facade::records::{DutyFactors, TrialRecords};
use likewear::facade::standing::{Anchor, AskedFault, FitCache, Standing, WhatIf, judge};
use likewear::facade::units::DisplayPreferences;
use std::io::Cursor;

/// Slugs of all trials.
async fn trials(pages: &Pages) -> Vec<String> {
    let list = pages.json("/api/trials").await;
    let trials = list["trials"].as_array().unwrap().iter();
    trials
        .map(|one| one["trial"].as_str().unwrap().to_string())
        .collect()
}

/// Ours: what a slow projector PC still opens at once.
const MOST_BYTES: usize = 300_000;

#[tokio::test(flavor = "multi_thread")]
async fn every_comparison_of_the_demo_is_under_300_kilobytes() {
    let pages = Pages::with(StartWith::Demo).await;
    let trials = trials(&pages).await;
    assert!(trials.len() >= 5);
    for trial in trials {
        // the page is as large with few draws as with many
        let page = pages.get(&format!("/trials/{trial}?draws=200")).await;
        assert_eq!(page.status, 200, "{trial}");
        assert!(page.body.len() < MOST_BYTES, "{trial}: {} bytes", page.body.len());
        // a caution names its test also where that is a requirement
        for line in page.texts(".cautions li summary") {
            assert!(!line.trim_end().ends_with(':'), "{trial}: {line}");
        }
    }
}

fn with_draws(records: &TrialRecords, what_if: WhatIf) -> Standing {
    judge(
        records,
        &WhatIf {
            draws: 2_000,
            ..what_if
        },
        &FitCache::default(),
    )
}

fn sentence(records: &TrialRecords) -> String {
    sentence_of(
        records,
        &with_draws(records, WhatIf::default()),
        DisplayPreferences::default(),
    )
}

/// Two oils of known behaviour far apart, and results of candidates on a bench that runs the machine's contact.
fn wear(results: &[(&str, &[&str])]) -> TrialBuilder {
    wear_on(SLOW_ROLLERS, results)
}

fn wear_on(contact: &str, results: &[(&str, &[&str])]) -> TrialBuilder {
    let trial = trial_on(contact, &["rolling wear"], &[])
        .good("GOOD")
        .poor("POOR")
        .own_bench("bench", "rolling wear")
        .runs("GOOD", WEAR, &["0.40", "0.42", "0.38"])
        .runs("POOR", WEAR, &["1.40", "1.42", "1.38"]);
    results.iter().fold(trial, |trial, (blend, values)| {
        trial.candidate(blend).runs(blend, WEAR, values)
    })
}

const WEAR: &str = "bench/wear";
const CLEAR: [(&str, &[&str]); 2] = [
    ("A-1", &["0.42", "0.44", "0.40"]),
    ("B-2", &["1.10", "1.12", "1.08"]),
];

#[test]
fn a_clear_lead_is_said_as_one() {
    let said = sentence(&wear(&CLEAR).build());
    assert!(
        said.starts_with(
            "A-1 is favoured: it comes first in more than 99 of 100 simulations; B-2 in fewer than 1 of 100. "
        ),
        "{said}"
    );
}

/// The title of a trial's page, with the facts under it.
fn answered(records: &TrialRecords) -> (String, String, Vec<String>) {
    let standing = with_draws(records, WhatIf::default());
    let answer = answer(records, &standing);
    (answer.verdict, answer.untested, facts(&standing))
}

#[test]
fn only_a_leader_is_said_to_lead_and_what_was_not_tested_bounds_it() {
    let (clear, untested, told) = answered(&wear(&CLEAR).build());
    assert_eq!((clear.as_str(), untested.as_str()), ("A-1 leads.", ""));
    assert_eq!(
        told[0],
        "A-1 comes first in more than 99 of 100 simulations; B-2 in fewer than 1 of 100"
    );
    let modes = trial_on(SLOW_ROLLERS, &["rolling wear", "bronze wear"], &[])
        .good("GOOD")
        .poor("POOR")
        .own_bench("bench", "rolling wear")
        .runs("GOOD", WEAR, &["0.40", "0.42", "0.38"])
        .runs("POOR", WEAR, &["1.40", "1.42", "1.38"]);
    let bounded = CLEAR.iter().fold(modes, |trial, (blend, values)| {
        trial.candidate(blend).runs(blend, WEAR, values)
    });
    let (verdict, untested, _) = answered(&bounded.build());
    assert_eq!(untested, "Bronze wear is not tested.");
    assert_eq!(verdict, "A-1 leads, as far as tested.");
    let level: [(&str, &[&str]); 2] = [("A-1", &["0.70", "0.72"]), ("B-2", &["0.70", "0.72"])];
    let (verdict, _, told) = answered(&wear(&level).build());
    assert!(verdict.starts_with("No leader. "), "{verdict}");
    assert!(
        told.len() >= 2 && told.iter().all(|fact| !fact.contains("leads")),
        "{told:?}"
    );
    let one: [(&str, &[&str]); 1] = [("A-1", &["0.42", "0.44"])];
    let (verdict, _, told) = answered(&wear(&one).build());
    assert_eq!(verdict, "A-1 is the only candidate: no comparison.");
    assert_eq!(told, Vec::<String>::new());
    assert_eq!(answered(&wear(&[]).build()).0, "There is no candidate yet.");
}

#[test]
fn two_that_read_the_same_are_level_and_neither_leads() {
    let records = wear(&[
        ("A-1", &["0.70", "0.72", "0.71"]),
        ("B-2", &["0.70", "0.72", "0.71"]),
    ])
    .build();
    let said = sentence(&records);
    assert!(
        said.starts_with("No leader can be named:") && said.contains("are level"),
        "{said}"
    );
    assert!(
        said.contains("A-1") && said.contains("B-2") && !said.contains("in front"),
        "{said}"
    );
}

/// A-1 and C-3 share the first places that their scores deserve; B-2, of which half is not known, takes more than either.
#[test]
fn where_score_and_first_places_disagree_both_are_named_and_neither_leads() {
    let records = wear(&[("A-1", &["0.8"]), ("B-2", &["0.8"]), ("C-3", &["0.8"])])
        .own_bench("other", "rolling wear")
        .runs("GOOD", "other/wear", &["0.40", "0.42", "0.38"])
        .runs("POOR", "other/wear", &["1.40", "1.42", "1.38"])
        .runs("A-1", "other/wear", &["0.8"])
        .runs("C-3", "other/wear", &["0.8"])
        .build();
    let said = sentence(&records);
    assert!(said.starts_with("No leader can be named: "), "{said}");
    assert!(
        said.contains(" has the greater score, B-2 comes first more often.") && !said.contains("in front"),
        "{said}"
    );
}

#[test]
fn what_the_question_names_and_nobody_tested_is_said_with_the_answer() {
    let mut records = wear(&CLEAR).build();
    records.trial.question = "Which oil spares the bronze wheel at a cold start?".to_string();
    let said = sentence(&records);
    assert!(
        said.contains(" Not tested: bronze wear and low-temperature flow."),
        "{said}"
    );
    records.trial.question = "Which oil keeps rolling wear low?".to_string();
    let said = sentence(&records);
    assert!(!said.contains("Not tested"), "{said}");
}

#[test]
fn without_reference_oils_nothing_is_weighed_and_the_sentence_says_why() {
    let trial = trial_on(SLOW_ROLLERS, &["rolling wear"], &[]).own_bench("bench", "rolling wear");
    let trial = trial.candidate("A-1").candidate("B-2");
    let said = sentence(
        &trial
            .runs("A-1", WEAR, &["0.5"])
            .runs("B-2", WEAR, &["1.1"])
            .build(),
    );
    assert!(
        said.starts_with("Nothing is weighed:") && said.contains("reference oils"),
        "{said}"
    );
}

#[test]
fn one_candidate_alone_is_not_called_the_best() {
    let said = sentence(&wear(&CLEAR[..1]).build());
    assert!(
        said.starts_with("A-1 is the only candidate that is weighed"),
        "{said}"
    );
    assert!(
        said.contains("Its score is") && !said.contains("favoured"),
        "{said}"
    );
}

#[test]
fn before_anything_is_run_and_without_a_candidate_there_is_nothing_to_say() {
    let empty = trial_on(SLOW_ROLLERS, &["rolling wear"], &[])
        .own_bench("bench", "rolling wear")
        .good("GOOD");
    let said = sentence(&empty.clone().build());
    assert!(
        said.starts_with("There is no candidate in this trial yet"),
        "{said}"
    );
    let said = sentence(&empty.candidate("A-1").candidate("B-2").build());
    assert!(said.starts_with("Nothing has been run yet"), "{said}");
}

#[test]
fn where_every_candidate_failed_a_gate_nobody_is_left() {
    let gated = |results: &[(&str, &[&str])]| {
        let trial = wear(results).gate(COPPER, "<= 1b");
        results
            .iter()
            .fold(trial, |trial, (blend, _)| trial.runs(blend, COPPER, &["3a"]))
    };
    assert_eq!(
        sentence(&gated(&CLEAR).build()),
        "No candidate is left: each of them failed a gate."
    );
    assert_eq!(
        sentence(&gated(&CLEAR[..1]).build()),
        "No candidate is left: A-1 failed a gate."
    );
}

const COPPER: &str = "cu_d130/class";

#[test]
fn another_duty_moves_the_resemblance_and_the_recorded_one_does_not() {
    let records = wear_on(FAST_MESH, &CLEAR).build();
    let resemblance = |load: f64, speed: f64| {
        let asked = WhatIf {
            duty: DutyFactors { load, speed },
            ..WhatIf::default()
        };
        let records = asked.records(&records).unwrap();
        let standing = with_draws(&records.records, asked);
        standing.tests[0].resemblance.unwrap()
    };
    let recorded = with_draws(&records, WhatIf::default()).tests[0]
        .resemblance
        .unwrap();
    assert_eq!(resemblance(1.0, 1.0), recorded);
    // the bench runs the machine's own contact: under another duty it resembles it less
    assert!(resemblance(1.0, 10.0) < recorded - 1e-3);
    assert!(resemblance(10.0, 1.0) < recorded - 1e-3);
}

#[test]
fn reference_oils_can_change_places_or_be_left_out() {
    let records = wear(&CLEAR).build();
    let under = |known_good: Option<Anchor>, known_poor: Option<Anchor>| {
        let asked = WhatIf {
            known_good,
            known_poor,
            lets_in_not_sorting: true,
            ..WhatIf::default()
        };
        let records = asked.records(&records)?;
        Ok::<_, AskedFault>(with_draws(&records.records, asked))
    };
    let oil = |name: &str| Some(Anchor::Oil(code(name)));
    let turned = under(oil("POOR"), oil("GOOD")).unwrap();
    // less wear stays better, whichever oil is called good: the test is said not to sort them, and nobody else leads
    assert_eq!(turned.front_runner, Some(code("A-1")));
    assert!(turned.tests[0].validity.good_over_poor.unwrap() < 0.05);
    // one is enough for a scale
    for (good, poor) in [(Some(Anchor::LeftOut), None), (None, Some(Anchor::LeftOut))] {
        assert_eq!(under(good, poor).unwrap().front_runner, Some(code("A-1")));
    }
    let without = under(Some(Anchor::LeftOut), Some(Anchor::LeftOut)).unwrap();
    assert_eq!((without.front_runner, without.resemblance_mass), (None, 0.0));
    assert_eq!(under(oil("GOOD"), oil("GOOD")).unwrap_err().field(), "known_poor");
    let fault = under(oil("A-1"), None).unwrap_err();
    assert!(
        matches!(&fault, AskedFault::NoReference { references, .. } if references.contains(&code("POOR")))
    );
}

#[test]
fn a_position_beyond_the_references_counts_more_with_more_head_room() {
    let records = wear(&[("A-1", &["0.10", "0.12", "0.11"]), CLEAR[1]]).build();
    let score = |head_room: f64| {
        let standing = with_draws(
            &records,
            WhatIf {
                head_room,
                ..WhatIf::default()
            },
        );
        standing.candidates[0].score.unwrap()
    };
    assert!(score(0.0) <= 1.0 && score(0.5) > score(0.25) && score(0.25) > score(0.0));
}

/// The smallest trial of the demo that has a standing.
const SMALL: &str = "/trials/pitch-drive-first-screen?draws=200";

#[tokio::test(flavor = "multi_thread")]
async fn the_page_is_looked_at_by_links_alone_and_every_link_keeps_the_question() {
    let pages = Pages::with(StartWith::Demo).await;
    let asked = pages
        .get(&format!("{SMALL}&duty.load=2&head_room=0.25&order=contact"))
        .await;
    assert_eq!(asked.status, 200);
    let orders = asked.values_of("[data-orders] a", "href");
    assert_eq!(orders.len(), 2);
    let wall = asked.values_of("[data-project]", "href");
    for link in orders.iter().chain(&wall) {
        assert!(
            link.contains("duty.load=2") && link.contains("head_room=0.25"),
            "{link}"
        );
        assert_eq!(
            pages.get(link.split('#').next().unwrap()).await.status,
            200,
            "{link}"
        );
    }
    assert!(!asked.texts("[data-group]").is_empty());
    assert!(!asked.texts("[data-duty] li").is_empty());
    assert!(asked.texts("[data-what-if]")[0].contains("the machine at 2 times its load"));
    let refused = pages.get(&format!("{SMALL}&order=sideways")).await;
    assert_eq!(refused.status, 422);
}

#[tokio::test(flavor = "multi_thread")]
async fn on_a_wall_stand_the_sentence_the_ranking_and_the_strips_and_nothing_to_operate() {
    let pages = Pages::with(StartWith::Demo).await;
    let app = pages.get(&format!("{SMALL}&duty.speed=2")).await;
    let wall = pages.get(&format!("{SMALL}&duty.speed=2&view=projected")).await;
    assert_eq!(wall.status, 200);
    assert_eq!(wall.texts("[data-sentence]"), app.texts("[data-sentence]"));
    for nothing in ["form", "nav", "details", "table", "input"] {
        assert!(wall.texts(nothing).is_empty(), "{nothing}");
    }
    let weighed = app.texts("[data-test] [data-contribution]").len();
    assert_eq!(wall.texts("[data-test]").len(), weighed.min(6));
    assert_eq!(wall.count("[data-screen]"), 3);
    assert_eq!(wall.count("#screen-3 [data-next-step]"), 1);
    let large = pages.get("/trials/pitch-drive-full?view=projected").await;
    assert_eq!(large.count("[data-test]"), 6);
    assert!(
        large
            .text("#screen-2")
            .contains("5 lighter tests on the whole page")
    );
    let back = wall.values_of("[data-back]", "href");
    assert!(
        back[0].contains("duty.speed=2") && !back[0].contains("projected"),
        "{back:?}"
    );
}

#[tokio::test(flavor = "multi_thread")]
async fn json_takes_the_same_question_and_says_what_it_changed() {
    let pages = Pages::with(StartWith::Demo).await;
    let path = "/api/trials/pitch-drive-first-screen/standing?draws=200";
    let standing = pages.json(&format!("{path}&duty.load=2&head_room=0")).await;
    assert_eq!(
        (&standing["asked"]["duty_load"], &standing["head_room"]),
        (&2.0.into(), &0.0.into())
    );
    assert!(!standing["asked"]["changed"].as_array().unwrap().is_empty());
    for wrong in [
        "duty.load=0.01",
        "head_room=1.1",
        "known_good=NOBODY",
        "duty.speed=fast",
    ] {
        assert_eq!(pages.get(&format!("{path}&{wrong}")).await.status, 422, "{wrong}");
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn every_page_of_a_trial_carries_its_bar_with_the_page_marked() {
    let pages = Pages::with(StartWith::Demo).await;
    let trial = "/trials/pitch-drive-full";
    for (path, marked) in [
        ("", "Comparison"),
        ("?head_room=0.25", "What if"),
        ("/weights", "Weights"),
        ("/plan", "Plan"),
        ("/results", "Runs 438"),
        ("/enter", "Runs 438"),
        ("/decision", "Decision"),
        ("/setup", "Set-up"),
        ("/report", "Print"),
    ] {
        let page = pages.get(&format!("{trial}{path}")).await;
        assert_eq!(page.status, 200, "{path}");
        assert_eq!(page.texts(".trial-bar [aria-current]"), [marked], "{path}");
        assert_eq!(page.count(".trial-bar nav a"), 8, "{path}");
        assert_eq!(page.count(".trial-bar .badge"), 1, "it says demo once: {path}");
    }
    let explained = pages.get(&format!("{trial}/tests/fb_ep_oil")).await;
    assert_eq!(explained.count(".trial-bar [aria-current]"), 0);
    // what is decided keeps its set-up
    let decided = pages.get("/trials/pitch-drive-defoamer-check").await;
    assert_eq!(decided.count(".trial-bar nav a"), 7);
    assert_eq!(decided.count(".trial-bar a[href$='/setup']"), 0);
}

#[tokio::test(flavor = "multi_thread")]
async fn the_grid_of_readings_says_what_was_read_with_a_sign_and_goes_out_as_a_file() {
    let pages = Pages::with(StartWith::Demo).await;
    let page = pages.get("/trials/lock-gate-worm-gear").await;
    let standing = pages.json("/api/trials/lock-gate-worm-gear/standing").await;
    let rows = page.count("[data-readings-grid] tbody tr");
    let tests = page.count("[data-readings-grid] thead th") - 1;
    assert!(
        rows > standing["candidates"].as_array().unwrap().len(),
        "references too"
    );
    assert!(page.count("[data-sign='+']") > 0 && page.count("[data-sign='=']") > 0);
    let file = pages.get("/trials/lock-gate-worm-gear/readings.csv").await;
    assert_eq!(file.status, 200);
    let mut lines = csv::Reader::from_reader(file.body.as_bytes());
    assert_eq!(lines.headers().unwrap().len(), 2 + tests);
    let lines: Vec<csv::StringRecord> = lines.records().map(Result::unwrap).collect();
    assert_eq!(lines.len(), rows);
    let said = page.texts("[data-readings-grid] tbody tr").join(" ");
    for read in lines.iter().flat_map(|line| line.iter().skip(2)) {
        assert!(said.contains(read), "{read}");
    }
    assert_eq!(pages.get("/trials/none/readings.csv").await.status, 404);

    let book = pages.get("/trials/lock-gate-worm-gear/readings.xlsx").await;
    let mut opened: calamine::Xlsx<_> = calamine::open_workbook_from_rs(Cursor::new(&book.bytes)).unwrap();
    let sheet = opened.worksheet_range_at(0).unwrap().unwrap();
    assert_eq!(sheet.height(), 1 + rows);
    let mut numbers = 0;
    for (row, line) in sheet.rows().skip(1).zip(&lines) {
        for (cell, read) in row.iter().zip(line.iter()) {
            assert_eq!(cell.to_string(), read, "{cell:?}");
            numbers += usize::from(cell.is_float());
        }
    }
    assert!(numbers > rows, "what is a number is one");
    let again = pages.get("/trials/lock-gate-worm-gear/readings.xlsx").await;
    assert_eq!(book.bytes, again.bytes, "no clock is in it");
    assert_eq!(pages.get("/trials/none/readings.xlsx").await.status, 404);
}
