//! A number from a data sheet, from the list of trials to a printed sheet.

use crate::bench::{Bench, Scripting};
use crate::in_browser;
use crate::paper::assert_says;
use fantoccini::Locator;

async fn click(bench: &Bench, place: &str) {
    let waiting = bench.client.wait();
    let found = waiting.for_element(Locator::Css(place)).await.unwrap();
    found.click().await.unwrap();
}

/// Three actions: the link, the form, the printer.
#[test]
fn a_number_is_asked_about_from_the_list_and_handed_over_on_paper_in_three_actions() {
    for scripting in [Scripting::On, Scripting::Off] {
        in_browser(scripting, |bench| async move {
            bench.open("/").await;
            click(&bench, "main [data-number]").await;
            let number = bench
                .client
                .wait()
                .for_element(Locator::Css("#value"))
                .await
                .unwrap();
            number.send_keys("315 kgf").await.unwrap();
            click(&bench, "#test option[value='pitch-drive-full/fb_ep_oil/weld']").await;
            click(&bench, "#blend option[value='T-03']").await;
            click(&bench, "[data-number-form] .choose button").await;
            let question = bench.text_of("[data-question]").await;
            assert_eq!(question, "Is 315 kgf better than our T-03 at 250 kgf?");
            let answer = bench.words_of("[data-answer]").await;
            assert_eq!(
                answer,
                "No. 315 kgf is the load step after 250 kgf, and this test cannot tell neighbours apart."
            );
            let say = bench.words_of("[data-say]").await;
            let paper = bench.paper().await;
            for words in [&question, &answer] {
                assert_says(&paper, words, 2..=2);
            }
            assert!(say.split_whitespace().count() <= 60, "{say}");
            bench.end().await;
        });
    }
}
