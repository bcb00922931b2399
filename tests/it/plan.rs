//! `/trials/{trial}/plan`: what planned tests speak of, what they could show, what to run next, and what runs cost.

use crate::import_http::small;
use crate::pages::Pages;
use likewear::facade::app::StartWith;
use serde_json::Value;

const FULL: &str = "/trials/pitch-drive-full/plan";

#[tokio::test]
async fn every_test_of_the_trial_stands_beside_every_contact_of_the_machine() {
    let bench = Pages::with(StartWith::Demo).await;
    let page = bench.get(FULL).await;
    assert_eq!(page.status, 200);
    let trial = bench.json("/api/trials/pitch-drive-full").await;
    let tests = trial["tests"]
        .as_array()
        .or(trial["methods"].as_array())
        .unwrap()
        .len();
    assert_eq!(page.count("[data-coverage] tbody tr"), tests);
    assert!(page.count("[data-modes] tbody tr") > 0);
    assert!(page.texts("[data-together]")[0].contains("with a chance of"));
}

#[tokio::test]
async fn a_mode_that_nothing_speaks_of_is_said_and_what_would_is_named() {
    let bench = Pages::with(StartWith::Demo).await;
    let first = bench.get("/trials/pitch-drive-first-screen/plan").await;
    assert!(first.count("[data-cover=open]") > 0);
    let full = bench.get(FULL).await;
    assert!(full.count("[data-cover=covered]") > first.count("[data-cover=covered]"));
}

#[tokio::test]
async fn what_speaks_of_a_mode_leads_to_a_page_that_is_there_and_a_gate_to_the_gates() {
    let bench = Pages::with(StartWith::Demo).await;
    for trial in [
        "pitch-drive-full",
        "lock-gate-worm-gear",
        "sugar-mill-bearing-grease",
    ] {
        let page = bench.get(&format!("/trials/{trial}/plan")).await;
        let links = page.values_of("[data-modes] td a", "href");
        let gates = format!("/trials/{trial}#gates");
        assert!(links.contains(&gates), "{links:?}");
        let there = bench.get(&format!("/trials/{trial}")).await;
        assert_eq!(there.count("#gates"), 1);
        for link in links.iter().filter(|link| **link != gates) {
            assert_eq!(bench.get(link).await.status, 200, "{link}");
        }
    }
}

#[tokio::test]
async fn more_runs_show_more() {
    let bench = Pages::with(StartWith::Demo).await;
    let chance = |page: &str| -> f64 {
        let after = page.split("with a chance of ").nth(1).unwrap();
        after.split(" %").next().unwrap().trim().parse().unwrap()
    };
    let one = bench.get(FULL).await.texts("[data-together]").concat();
    let four = bench
        .get(&format!("{FULL}?runs=4"))
        .await
        .texts("[data-together]")
        .concat();
    assert!(chance(&four) >= chance(&one), "{one} / {four}");
}

#[tokio::test]
async fn page_and_json_propose_the_same_runs() {
    let bench = Pages::with(StartWith::Demo).await;
    let json = bench.json("/api/trials/pitch-drive-first-screen/standing").await;
    let runs = json["run_next"].as_array().unwrap();
    assert!(!runs.is_empty());
    for page in [
        "/trials/pitch-drive-first-screen",
        "/trials/pitch-drive-first-screen/plan",
    ] {
        let page = bench.get(page).await;
        assert_eq!(page.count("[data-next] tbody tr"), runs.len());
    }
    // gaps come first, whatever closing them shows for its cost
    let (closing, settling): (Vec<&Value>, Vec<&Value>) =
        runs.iter().partition(|run| run["closes"].is_string());
    assert!(!closing.is_empty() && runs[0] == *closing[0]);
    let by_cost: Vec<f64> = (settling.iter())
        .filter_map(|run| run["per_cost"].as_f64())
        .collect();
    assert!(by_cost.windows(2).all(|pair| pair[0] >= pair[1]));
}

#[tokio::test]
async fn a_question_without_meaning_is_refused_and_names_the_field() {
    let bench = Pages::with(StartWith::Demo).await;
    for (query, field) in [
        ("runs=0", "runs"),
        ("runs=x", "runs"),
        ("stake=-1", "stake"),
        ("stake=nan", "stake"),
        ("stake=12,500", "can be read as"),
        ("stake=1+500", "stake"),
    ] {
        let page = bench.get(&format!("{FULL}?{query}")).await;
        assert_eq!(page.status, 422, "{query}");
        assert!(page.body.contains(field));
    }
    assert_eq!(bench.get(&format!("{FULL}?runs=&stake=")).await.status, 200);
    assert_eq!(bench.get("/trials/none/plan").await.status, 404);
}

#[tokio::test]
async fn costs_are_kept_for_the_trial_and_change_what_is_advised() {
    let pages = small().await;
    let plan = "/trials/slow-drive/plan";
    let form = |cost: &'static str| [("method", "own_bench"), ("cost", cost), ("days", "2")];
    assert_eq!(pages.form(&format!("{plan}/costs"), &form("5")).await.status, 403);
    let token = pages.token().await;
    let with_token = |cost: &'static str| {
        let mut fields = form(cost).to_vec();
        fields.push(("token", token.as_str()));
        fields
    };
    let kept = pages.form(&format!("{plan}/costs"), &with_token("1250,5")).await;
    assert_eq!(kept.status, 303);
    let page = pages.get(plan).await;
    assert_eq!(page.value("[data-costs=own_bench] input[name=cost]"), "1250.5");
    let refused = pages.form(&format!("{plan}/costs"), &with_token("dear")).await;
    assert_eq!(refused.status, 422);
    assert_eq!(refused.value("[data-costs=own_bench] input[name=cost]"), "dear");
    assert!(refused.texts(".fault")[0].contains("'dear' is not a number"));
    for (typed, words) in [
        ("12,500", "can be read as 12.500 and as 12500"),
        ("1 500", "'1 500' is not a number"),
    ] {
        let refused = pages.form(&format!("{plan}/costs"), &with_token(typed)).await;
        assert_eq!(refused.status, 422, "{typed}");
        assert!(refused.texts(".fault")[0].contains(words), "{typed}");
    }
    let kept = pages.form(&format!("{plan}/costs"), &with_token("1.500,5")).await;
    assert_eq!(kept.status, 303);
    let page = pages.get(plan).await;
    assert_eq!(page.value("[data-costs=own_bench] input[name=cost]"), "1500.5");
}
