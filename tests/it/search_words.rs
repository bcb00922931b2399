//! Searching trials in the words that people use, and where those words stand.

use crate::pages::Pages;
use crate::search::{names, tally};
use likewear::facade::app::StartWith;

#[tokio::test(flavor = "multi_thread")]
async fn a_code_is_found_however_it_is_written_and_words_of_the_trade_find_each_other() {
    let bench = Pages::with(StartWith::Demo).await;
    let found = async |words: &str| {
        let list = bench
            .json(&format!("/api/trials?q={}", words.replace(' ', "%20")))
            .await;
        let mut names: Vec<String> = names(&list).iter().map(ToString::to_string).collect();
        names.sort();
        names
    };
    let with_t_04 = found("T-04").await;
    assert_eq!(with_t_04, ["pitch-drive-defoamer-check"]);
    for words in ["t04", "T04", "t-04"] {
        assert_eq!(found(words).await, with_t_04, "{words}");
    }
    let with_glycol = found("polyalkylene glycol").await;
    assert!(with_glycol.contains(&"lock-gate-worm-gear".to_string()));
    assert!(!with_glycol.contains(&"sugar-mill-bearing-grease".to_string()));
    for words in ["PAG", "pag", "polyglycol", "Polyalkylene-Glycol"] {
        assert_eq!(found(words).await, with_glycol, "{words}");
    }
    assert_eq!(found("fourball").await, found("four-ball").await);
    assert_eq!(found("extreme pressure").await, found("EP").await);
    assert_eq!(found("rigs programme that is not there").await, [""; 0]);
}

#[tokio::test(flavor = "multi_thread")]
async fn decisions_are_found_by_what_they_decided_and_by_who_signed_them() {
    let bench = Pages::with(StartWith::Demo).await;
    for (words, all) in [
        ("dropped", vec!["pitch-drive-full"]),
        ("drop T-11", vec!["pitch-drive-full"]),
        ("on hold", vec!["pitch-drive-defoamer-check", "pitch-drive-full"]),
        (
            "scaled up",
            vec![
                "ferry-ramp-hydraulic-fluid",
                "lock-gate-worm-gear",
                "sugar-mill-bearing-grease",
            ],
        ),
        ("mill maintenance lead", vec!["sugar-mill-bearing-grease"]),
        ("winch drain-and-flush sheet", vec!["lock-gate-worm-gear"]),
    ] {
        let list = bench
            .json(&format!("/api/trials?q={}", words.replace(' ', "%20")))
            .await;
        let mut found = names(&list);
        found.sort_unstable();
        assert_eq!(found, all, "{words}");
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn each_trial_that_is_found_says_where_and_marks_the_words() {
    let bench = Pages::with(StartWith::Demo).await;
    for (words, marked, place) in [
        ("t04", "T-04", "question: "),
        ("dropped", "Drop T-11", "decision: "),
        ("PAG", "polyalkylene glycol", "decision: "),
        ("borate", "borate", "blend T-12: "),
        ("fourball", "Four-ball", "question: "),
        ("contract", "contract", "rig "),
    ] {
        let page = bench.get(&format!("/?q={words}")).await;
        let rows = page.count("[data-trial]");
        assert!(
            rows > 0 && page.count("[data-hits]") == rows,
            "{words}: a hit in each row"
        );
        let marks = page.texts("[data-hits] mark");
        assert!(
            marks.iter().any(|mark| mark.eq_ignore_ascii_case(marked)),
            "{words}: {marks:?}"
        );
        let said = page.texts("[data-hits]");
        assert!(
            said.iter().any(|text| text.starts_with(place)),
            "{words}: {said:?}"
        );
    }
    let two = bench.get("/?q=bronze%20dropped").await;
    assert_eq!(
        two.text("[data-hits]").matches(" · ").count(),
        1,
        "one for each word"
    );
    assert_eq!(bench.get("/").await.count("[data-hits]"), 0);
    let json = bench.json("/api/trials?q=t04").await;
    assert_eq!(json["trials"][0]["matched"], serde_json::json!(["T-04"]));
}

#[tokio::test(flavor = "multi_thread")]
async fn a_search_is_narrowed_by_what_was_decided_and_by_year() {
    let bench = Pages::with(StartWith::Demo).await;
    let all = bench.json("/api/trials").await;
    let values = all["facets"]["outcome"].as_array().unwrap();
    let sum: u64 = values.iter().map(|one| one["trials"].as_u64().unwrap()).sum();
    assert_eq!(Some(sum), all["total"].as_u64());
    for (outcome, trials) in [
        (
            "scale up",
            vec![
                "ferry-ramp-hydraulic-fluid",
                "lock-gate-worm-gear",
                "sugar-mill-bearing-grease",
            ],
        ),
        ("nothing decided", vec!["pitch-drive-base-oil-supplier"]),
        ("drop", vec![]),
    ] {
        let path = format!("/api/trials?outcome={}", outcome.replace(' ', "%20"));
        let list = bench.json(&path).await;
        let mut found = names(&list);
        found.sort_unstable();
        assert_eq!(found, trials, "{outcome}");
        assert_eq!(tally(&all, "outcome", outcome), trials.len() as u64);
    }
    let both = bench.json("/api/trials?q=oil&outcome=scale%20up&year=2022").await;
    assert_eq!(names(&both), ["lock-gate-worm-gear"]);
    let page = bench.get("/?q=oil&outcome=scale%20up").await;
    assert_eq!(
        page.values_of("[data-facet='outcome'] option[selected]", "value"),
        ["scale up"]
    );
}
