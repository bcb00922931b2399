//! The page that says how every number is computed, and what it says of where numbers come from.

use crate::pages::Pages;
use likewear::facade::app::StartWith;
use likewear::facade::catalogue::built_in;
use scraper::{Html, Selector};

/// A count without the sign between its thousands.
fn figure(text: &str) -> usize {
    let digits: String = text.chars().filter(char::is_ascii_digit).collect();
    digits.parse().unwrap()
}

#[tokio::test(flavor = "multi_thread")]
async fn the_page_of_numbers_counts_the_marks_of_every_method() {
    let bench = Pages::with(StartWith::Nothing).await;
    let page = Html::parse_document(&bench.get("/about").await.body);
    let rows = Selector::parse("[data-marks] tbody tr").unwrap();
    let cells = Selector::parse("th, td").unwrap();
    let mut told = Vec::new();
    for row in page.select(&rows) {
        let cells: Vec<String> = row.select(&cells).map(|cell| cell.text().collect()).collect();
        told.push((cells[0].clone(), figure(&cells[1])));
    }
    let mut counted = Vec::new();
    for words in [
        "seen",
        "from memory, not seen",
        "computed",
        "common practice, no source",
        "ours",
    ] {
        let sources = built_in().iter().flat_map(|method| &method.sources);
        counted.push((
            words.to_string(),
            sources.filter(|value| value.mark.words() == words).count(),
        ));
    }
    assert_eq!(told, counted);
    assert!(told.iter().all(|(_, values)| *values > 0));
}
