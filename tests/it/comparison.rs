//! The comparison page of every trial of the demo.

use crate::pages::Pages;
use likewear::desk::StartWith;

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
        println!("{trial}: {} bytes", page.body.len());
    }
}
