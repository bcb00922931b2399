//! The list of methods and a method's page, as a reader narrows the one and follows the other.

use crate::pages::Pages;
use likewear::facade::app::StartWith;
use likewear::facade::catalogue::built_in;
use scraper::{Html, Selector};

fn texts(body: &str, selector: &str) -> Vec<String> {
    let page = Html::parse_document(body);
    let selector = Selector::parse(selector).unwrap();
    let found = page.select(&selector);
    found
        .map(|it| it.text().collect::<String>().trim().to_string())
        .collect()
}

fn listed(body: &str) -> Vec<String> {
    let page = Html::parse_document(body);
    let selector = Selector::parse("[data-method]").unwrap();
    let found = page.select(&selector);
    let id = |address: &str| address.trim_start_matches("/methods/").to_string();
    found.map(|it| id(it.attr("data-method").unwrap())).collect()
}

#[tokio::test(flavor = "multi_thread")]
async fn the_list_is_narrowed_by_what_a_method_is_and_whether_it_can_be_weighed() {
    let bench = Pages::with(StartWith::Nothing).await;
    let list = async |query: &str| listed(&bench.get(&format!("/methods{query}")).await.body);
    assert_eq!(list("").await.len(), built_in().len());
    let pumps = list("?apparatus=vane+pump%2C+mass+loss").await;
    assert_eq!(
        pumps,
        ["pump_vane_d6973", "pump_vane_d7043", "pump_vane_iso20763"]
    );
    let weighed = list("?apparatus=vane+pump%2C+mass+loss&weighing=weighed").await;
    assert_eq!(weighed, ["pump_vane_d7043"]);
    let seals = list("?mode=seal+damage").await;
    assert_eq!(seals, ["elastomer_iso6072"]);
    let greases = list("?lubricant=grease").await;
    let of_grease = built_in()
        .iter()
        .filter(|method| method.lubricant.word() == "grease");
    assert_eq!(greases.len(), of_grease.count());
    let gears = list("?category=IV&mode=scuffing").await;
    assert!(gears.contains(&"gear_A8".to_string()) && !gears.contains(&"rb_oil".to_string()));
    // what no method is leaves none, and says so
    let nothing = bench.get("/methods?mode=seal+damage&lubricant=grease").await;
    assert_eq!((nothing.status, listed(&nothing.body).len()), (200, 0));
    assert_eq!(texts(&nothing.body, "[data-empty] .lead").len(), 1);
    let foreign = bench.get("/methods?category=%3Cb%3E").await;
    assert_eq!((foreign.status, listed(&foreign.body).len()), (200, 0));
    assert!(!foreign.body.contains("<b>\""));
}

#[tokio::test(flavor = "multi_thread")]
async fn a_method_says_why_it_is_not_weighed_in_which_trials_it_stands_and_its_sources_in_words() {
    let bench = Pages::with(StartWith::Demo).await;
    let weld = bench.get("/methods/fb_ep_oil").await.body;
    let trials = texts(&weld, "[data-in-trial]");
    assert!(trials.len() >= 2, "{trials:?}");
    let list = bench.get("/methods").await.body;
    let selector = "[data-method='/methods/fb_ep_oil'] [data-trials]";
    assert_eq!(texts(&list, selector), [format!("in {} trials", trials.len())]);
    // one that stands in no trial says nothing of trials
    let pour = bench.get("/methods/pour_d97").await.body;
    assert!(texts(&pour, "[data-in-trial]").is_empty());
    assert_eq!(
        texts(&pour, "[data-weighing]"),
        ["Weight: never weighed: nothing rubs."]
    );
    let sources = texts(&bench.get("/methods/recip_g133").await.body, "[data-sources] tr");
    let roughness = sources
        .iter()
        .find(|row| row.contains("roughness of both bodies, Rq"));
    assert!(roughness.unwrap().contains("0.03 and 0.06 µm"), "{roughness:?}");
    assert!(sources.iter().all(|row| !row.contains('_')), "{sources:?}");
}
