//! A question put to a comparison: answered while it is put, in a drawer with before and after at its top, and by a link to
//! whom it is sent.

use crate::bench::{Bench, Scripting};
use crate::in_browser;
use fantoccini::Locator;

const PAGE: &str = "/trials/sugar-mill-bearing-grease";

/// One change after the other: the duty, a weight, the head-room, a reference oil, a test left out.
const CHANGES: [(&str, &str); 5] = [
    ("duty.speed", "5"),
    ("weight.lo_grease_wear/scar", "0.5"),
    ("head_room", "0.05"),
    ("known_poor", "none"),
    ("without", "fb_wear_grease/scar"),
];

/// All that a question changes on the page, as it is read.
const PARTS: [&str; 4] = ["#live-answer", "#standing", "#cautions", "#tests"];

async fn figures(bench: &Bench) -> Vec<String> {
    let mut figures = Vec::new();
    for part in PARTS {
        figures.push(bench.words_of(part).await);
    }
    figures
}

async fn change(bench: &Bench, field: &str, value: &str) {
    let (place, is_typed) = match field {
        "without" => (format!("[name='without'][value='{value}']"), false),
        "known_poor" => (format!("[name='{field}'] option[value='{value}']"), false),
        _ => (format!("[name='{field}']"), true),
    };
    let found = bench.client.find(Locator::Css(&place)).await.unwrap();
    if is_typed {
        found.send_keys(value).await.unwrap();
    } else {
        found.click().await.unwrap();
    }
}

/// Makes each change and waits for its answer; gives the link of the last one and what it says.
async fn ask_beside(bench: &Bench) -> (String, Vec<String>) {
    bench.open(PAGE).await;
    let as_it_is = bench.words_of("[data-leads]").await;
    bench.script("window.was_not_left = true").await;
    let opener = bench.client.find(Locator::Css("nav [data-ask]")).await.unwrap();
    opener.click().await.unwrap();
    bench
        .until("return document.querySelector('.drawer [name]') === document.activeElement")
        .await;
    let mut last = bench.words_of("#standing").await;
    for (field, value) in CHANGES {
        change(bench, field, value).await;
        let answered = format!(
            "return new URL(location.href).searchParams.get('{field}') === '{value}' && window.was_not_left === true"
        );
        bench.until(&answered).await;
        let now = bench.words_of("#standing").await;
        assert_ne!(now, last, "{field} changed nothing");
        let before = bench.words_of(".drawer [data-before]").await;
        assert!(before.starts_with(&as_it_is), "{before}");
        last = now;
    }
    assert!(bench.text_of("[data-said]").await.starts_with("Computed."));
    let after = bench.words_of(".drawer [data-after]").await;
    assert!(
        after.starts_with(&bench.words_of("[data-leads]").await),
        "{after}"
    );
    let address = bench.client.current_url().await.unwrap();
    let link = format!("{}?{}", address.path(), address.query().unwrap());
    (link, figures(bench).await)
}

async fn follow(bench: &Bench, place: &str) {
    let found = bench.client.find(Locator::Css(place)).await.unwrap();
    found.click().await.unwrap();
}

#[test]
fn a_question_is_answered_beside_itself_and_its_link_and_its_form_say_the_same_without_scripting() {
    let asked = in_browser(Scripting::On, |bench| async move {
        let asked = ask_beside(&bench).await;
        bench.end().await;
        asked
    });
    let Some((link, beside)) = asked else { return };
    in_browser(Scripting::Off, |bench| async move {
        bench.open(&link).await;
        assert_eq!(figures(&bench).await, beside, "{link}");
        bench.open(PAGE).await;
        assert_ne!(figures(&bench).await, beside);
        follow(&bench, "nav [data-ask]").await;
        for (field, value) in CHANGES {
            change(&bench, field, value).await;
        }
        follow(&bench, "[data-what-if-form] button").await;
        bench.text_of("[data-status]").await;
        follow(&bench, "[data-what-if] [data-whole]").await;
        assert_eq!(figures(&bench).await, beside, "the form says something else");
        bench.end().await;
    });
}

/// Three screens, read at six metres: the arrow keys go from one to the next and back, and no further.
#[test]
fn on_a_wall_the_arrow_keys_go_from_screen_to_screen() {
    const RIGHT: &str = "\u{E014}";
    const LEFT: &str = "\u{E012}";
    in_browser(Scripting::On, |bench| async move {
        bench.open("/trials/pitch-drive-full?view=projected").await;
        for (key, hash) in [
            (RIGHT, "#screen-2"),
            (RIGHT, "#screen-3"),
            (RIGHT, "#screen-3"),
            (LEFT, "#screen-2"),
            (LEFT, "#screen-1"),
            (LEFT, "#screen-1"),
        ] {
            bench.press(key).await;
            bench.until(&format!("return location.hash === '{hash}'")).await;
            let tops = "return Array.from(document.querySelectorAll('[data-screen]'))
                .map((one) => [one.id, Math.abs(one.getBoundingClientRect().top) < 2])
                .filter((one) => one[1]).map((one) => '#' + one[0])";
            assert_eq!(bench.script(tops).await, serde_json::json!([hash]));
        }
        bench.end().await;
    });
}
