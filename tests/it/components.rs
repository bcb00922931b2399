//! `/components`: which blends hold one, where they stand by how much of it, and when a line may be drawn.

use crate::pages::Pages;
use likewear::facade::app::StartWith;

#[tokio::test]
async fn every_component_of_the_demo_has_a_page_with_the_blends_that_hold_it() {
    let bench = Pages::with(StartWith::Demo).await;
    let list = bench.get("/components").await;
    let links = list.values_of("[data-components] tbody th a", "href");
    assert!(links.len() > 5);
    for link in &links {
        let page = bench.get(link).await;
        assert_eq!(page.status, 200, "{link}");
        assert!(
            page.count("[data-blends] tbody tr") + page.count("[data-not-held]") > 0,
            "{link}"
        );
    }
}

#[tokio::test]
async fn a_class_counts_its_components_together() {
    let bench = Pages::with(StartWith::Demo).await;
    let list = bench.get("/components").await;
    let classes = list.values_of("[data-components] tbody td a", "href");
    let page = bench.get(&classes[0]).await;
    assert_eq!(page.status, 200);
    assert!(page.count("[data-blends] tbody tr") > 0);
}

#[tokio::test]
async fn points_are_listed_by_treat_rate_and_a_line_is_refused_with_its_reason() {
    let bench = Pages::with(StartWith::Demo).await;
    let links = bench
        .get("/components")
        .await
        .values_of("[data-components] tbody th a", "href");
    let (mut tests, mut refused) = (0, 0);
    for link in &links {
        let page = bench.get(link).await;
        tests += page.count("[data-rate-test]");
        refused += page.count("[data-trend='too few'], [data-trend=chance]");
        for finding in page.texts("[data-trend='too few'] [data-finding]") {
            assert!(finding.starts_with("No line is drawn"), "{finding}");
        }
    }
    assert!(tests > 0 && refused > 0, "{tests} {refused}");
}

#[tokio::test]
async fn what_is_not_there_is_not_found_and_an_empty_archive_says_so() {
    let bench = Pages::with(StartWith::Nothing).await;
    assert_eq!(bench.get("/components/none").await.status, 404);
    assert_eq!(bench.get("/component-classes/none").await.status, 404);
    assert_eq!(bench.get("/components").await.count("[data-nothing]"), 1);
}
