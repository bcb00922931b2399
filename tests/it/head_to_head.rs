//! `/trials/{trial}/head-to-head`: any two blends of a trial, test by test.

use crate::pages::Pages;
use likewear::facade::app::StartWith;

const PAIR: &str = "/trials/pitch-drive-full/head-to-head";

#[tokio::test]
async fn two_blends_turned_round_say_the_opposite() {
    let bench = Pages::with(StartWith::Demo).await;
    let page = |one: &str, other: &str| {
        let (bench, path) = (&bench, format!("{PAIR}?one={one}&other={other}"));
        async move { bench.get(&path).await }
    };
    let (there, back) = (page("T-03", "T-11").await, page("T-11", "T-03").await);
    assert_eq!((there.status, back.status), (200, 200));
    let told = |page: &crate::pages::Page| page.values_of("[data-pair] tbody tr", "data-told");
    let opposite = |told: &String| match told.as_str() {
        "better" => "worse".to_string(),
        "worse" => "better".to_string(),
        other => other.to_string(),
    };
    let turned: Vec<String> = told(&back).iter().map(opposite).collect();
    assert_eq!(told(&there), turned);
    assert!(told(&there).contains(&"better".to_string()) && told(&there).contains(&"worse".to_string()));
    let answer = there.texts("[data-answer]").concat();
    assert!(answer.starts_with("T-03 is better than T-11 in "), "{answer}");
    // a reference oil and what is out can be chosen too
    assert_eq!(page("REF-H", "REF-L").await.status, 200);
}

#[tokio::test]
async fn without_a_choice_the_first_two_of_the_standing_stand_side_by_side() {
    let bench = Pages::with(StartWith::Demo).await;
    let standing = bench
        .json("/api/trials/pitch-drive-full/standing?draws=20000")
        .await;
    let first = standing["candidates"][0]["blend"].as_str().unwrap();
    let second = standing["candidates"][1]["blend"].as_str().unwrap();
    let page = bench.get(PAIR).await;
    assert_eq!(page.value("#one option[selected]"), first);
    assert_eq!(page.value("#other option[selected]"), second);
    // one chosen: the other is another
    let page = bench.get(&format!("{PAIR}?one={second}")).await;
    assert_eq!(page.value("#other option[selected]"), first);
}

#[tokio::test]
async fn a_pair_that_is_none_is_refused() {
    let bench = Pages::with(StartWith::Demo).await;
    for query in ["one=T-03&other=T-03", "one=T-99", "other=%3Cscript%3E"] {
        let page = bench.get(&format!("{PAIR}?{query}")).await;
        assert_eq!(page.status, 422, "{query}");
    }
    assert_eq!(bench.get("/trials/none/head-to-head").await.status, 404);
}
