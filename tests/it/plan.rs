//! `/trials/{trial}/plan`: what planned tests speak of, what they could show, what to run next, and what runs cost.

use crate::import_http::small;
use crate::pages::Pages;
use likewear::facade::app::StartWith;
use serde_json::Value;

const FULL: &str = "/trials/pitch-drive-full/plan";

#[tokio::test]
async fn every_test_of_the_trial_is_a_row_and_every_failure_mode_a_column() {
    let bench = Pages::with(StartWith::Demo).await;
    let page = bench.get(FULL).await;
    assert_eq!(page.status, 200);
    let trial = bench.json("/api/trials/pitch-drive-full").await;
    let tests = trial["tests"]
        .as_array()
        .or(trial["methods"].as_array())
        .unwrap()
        .len();
    assert_eq!(page.count("[data-line]"), tests);
    let modes = page.count("th.mode");
    assert!(modes > 5);
    assert_eq!(page.count("[data-covered] [data-cover]"), modes);
    assert_eq!(page.count("[data-line]:first-child td.cover"), 2 * modes);
}

#[tokio::test]
async fn a_main_mode_that_nothing_covers_is_the_answer_and_its_column_is_marked() {
    let bench = Pages::with(StartWith::Demo).await;
    let full = bench.get(FULL).await;
    let answer = full.texts("[data-answer]").concat();
    assert!(answer.starts_with("No test covers bronze wear"), "{answer}");
    assert!(full.texts("[data-cover=open]").iter().any(|foot| foot == "none"));
    assert!(full.texts("[data-beside]")[0].contains("No listed test would cover bronze wear"));
    // what another method would cover is offered in a row of its own
    assert!(full.count("[data-would]") > 0);
    let first = bench.get("/trials/pitch-drive-first-screen/plan").await;
    assert!(full.count("[data-cover=covered]") > first.count("[data-cover=covered]"));
}

#[tokio::test]
async fn every_link_of_the_matrix_leads_to_a_page_that_is_there() {
    let bench = Pages::with(StartWith::Demo).await;
    for trial in [
        "pitch-drive-full",
        "lock-gate-worm-gear",
        "sugar-mill-bearing-grease",
    ] {
        let page = bench.get(&format!("/trials/{trial}/plan")).await;
        let links = page.values_of("[data-plan] th a", "href");
        assert!(links.len() > 5);
        for link in links {
            assert_eq!(bench.get(&link).await.status, 200, "{link}");
        }
    }
}

#[tokio::test]
async fn more_runs_cost_more_and_show_no_less() {
    let bench = Pages::with(StartWith::Demo).await;
    let chance = |page: &crate::pages::Page, key: &str| -> f64 {
        let row = page
            .texts(&format!("[data-line='{key}'] td.begins.nowrap"))
            .concat();
        row.split(" of 100").next().unwrap().trim().parse().unwrap()
    };
    let cost = |page: &crate::pages::Page| -> f64 {
        let total = page.texts("[data-total] td.n.begins b").concat();
        total.replace(' ', "").parse().unwrap()
    };
    let (one, four) = (bench.get(FULL).await, bench.get(&format!("{FULL}?runs=4")).await);
    assert!(chance(&four, "fb_ep_oil/weld") > chance(&one, "fb_ep_oil/weld"));
    assert!(cost(&four) > 3.9 * cost(&one));
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
async fn costs_are_kept_for_the_trial_all_of_them_or_none() {
    let pages = small().await;
    let plan = "/trials/slow-drive/plan";
    let costs = format!("{plan}/costs");
    let cost = "[name='cost.own_bench']";
    let form = |typed: &'static str| [("cost.own_bench", typed), ("days.own_bench", "2")];
    assert_eq!(pages.form(&costs, &form("5")).await.status, 403);
    let token = pages.token().await;
    let send = |typed: &'static str| {
        let mut fields = form(typed).to_vec();
        fields.push(("token", token.as_str()));
        let (pages, costs) = (&pages, &costs);
        async move { pages.form(costs, &fields).await }
    };
    for (typed, kept) in [("1250,5", "1250.5"), ("1.500,5", "1500.5")] {
        assert_eq!(send(typed).await.status, 303, "{typed}");
        assert_eq!(pages.get(plan).await.value(cost), kept);
    }
    for (typed, words) in [
        ("dear", "'dear' is not a number"),
        ("12,500", "can be read as 12.500 and as 12500"),
        ("1 500", "'1 500' is not a number"),
        (
            "1000000001",
            "'1000000001' is not a number from 0 to 1 000 000 000",
        ),
    ] {
        let refused = send(typed).await;
        assert_eq!(refused.status, 422, "{typed}");
        assert_eq!(refused.value(cost), typed);
        assert_eq!(refused.value("[name='days.own_bench']"), "2");
        assert!(refused.texts(".fault")[0].contains(words), "{typed}");
        assert_eq!(refused.values_of("[data-problem] a", "href"), ["#cost.own_bench"]);
        assert_eq!(pages.get(plan).await.value(cost), "1500.5");
    }
    assert_eq!(send("1000000000").await.status, 303);
}
