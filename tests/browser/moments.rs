//! The three moments the program is for, from the list to their end, with scripting and without: a meeting, a support
//! engineer beside a user, and somebody who looks for an old trial.

use crate::bench::{Bench, ENTER, ESCAPE, Scripting};
use crate::{in_browser, in_own_archive};
use fantoccini::Locator;

const BOTH: [Scripting; 2] = [Scripting::On, Scripting::Off];

/// List, trial, explanation, method, by following the links a person would.
async fn walk_to_the_method(bench: &Bench) {
    let page = &bench.client;
    bench.open("/").await;
    let trial = page.find(Locator::Css("a[href='/trials/pitch-drive-full']"));
    trial.await.unwrap().click().await.unwrap();
    let row = Locator::Css("[data-test='fb_ep_oil/weld'] > summary");
    page.wait().for_element(row).await.unwrap().click().await.unwrap();
    let test = "[data-test='fb_ep_oil/weld'] a[data-explain]";
    page.wait()
        .for_element(Locator::Css(test))
        .await
        .unwrap()
        .click()
        .await
        .unwrap();
    let answer = page
        .wait()
        .for_element(Locator::Css("[data-answer]"))
        .await
        .unwrap();
    assert!(answer.text().await.unwrap().starts_with("No."));
    assert_eq!(
        bench.words_of("[data-question]").await,
        "Does a weld load of 400 kgf make T-11 the better oil for this planetary pitch drive?"
    );
    assert_eq!(
        page.find_all(Locator::Css("[data-ladder]")).await.unwrap().len(),
        11
    );
    let method = page.find(Locator::Css("a[href^='/methods/fb_ep_oil']"));
    method.await.unwrap().click().await.unwrap();
    page.wait()
        .for_element(Locator::Css("[data-steps]"))
        .await
        .unwrap();
    assert!(
        page.current_url()
            .await
            .unwrap()
            .path()
            .ends_with("/methods/fb_ep_oil")
    );
    let back = page.find(Locator::Css("[data-back]"));
    back.await.unwrap().click().await.unwrap();
    page.wait()
        .for_element(Locator::Css("[data-answer]"))
        .await
        .unwrap();
}

#[test]
fn the_walk_from_the_list_to_a_method_works_with_scripting() {
    in_browser(Scripting::On, |bench| async move {
        walk_to_the_method(&bench).await;
        hold_up_a_number(&bench).await;
        bench.end().await;
    });
}

#[test]
fn the_walk_from_the_list_to_a_method_works_without_scripting() {
    in_browser(Scripting::Off, |bench| async move {
        walk_to_the_method(&bench).await;
        hold_up_a_number(&bench).await;
        bench.end().await;
    });
}

#[test]
fn another_blend_is_chosen_by_the_form() {
    in_browser(Scripting::Off, |bench| async move {
        bench.open("/trials/pitch-drive-full/tests/rb_oil").await;
        let page = &bench.client;
        let answer = page.find(Locator::Css("[data-answer]")).await.unwrap();
        assert!(answer.text().await.unwrap().starts_with("Yes"));
        let option = page.find(Locator::Css("select[name='blend'] option[value='T-11']"));
        option.await.unwrap().click().await.unwrap();
        let button = page.find(Locator::Css(".choose button"));
        button.await.unwrap().click().await.unwrap();
        let verdict = Locator::Css("[data-conclusion][data-verdict='no']");
        page.wait().for_element(verdict).await.unwrap();
        bench.end().await;
    });
}

#[test]
fn without_scripting_no_script_of_the_page_runs() {
    in_browser(Scripting::Off, |bench| async move {
        bench.open("/trials/pitch-drive-full").await;
        let tags = bench
            .client
            .find_all(Locator::Css("[data-candidate][role='button']"));
        assert!(tags.await.unwrap().is_empty(), "the page's script ran");
        bench.end().await;
    });
}

/// The share of draws of each candidate, as the page shows it.
async fn shares(bench: &Bench) -> Vec<(String, String)> {
    let mut found = Vec::new();
    for row in bench
        .client
        .find_all(Locator::Css("[data-candidate-row]"))
        .await
        .unwrap()
    {
        let code = row.attr("data-candidate-row").await.unwrap().unwrap();
        let share = row.find(Locator::Css("[data-share]")).await.unwrap();
        found.push((code, share.text().await.unwrap()));
    }
    found
}

/// Lights one candidate by keyboard in every chart at once, and puts it out again.
async fn highlight(bench: &Bench) {
    bench.tab_to("[data-candidate]").await;
    bench.press(ENTER).await;
    let lit = "return [document.querySelector('[data-lights]').dataset.lit, document.activeElement.dataset.candidate,
        document.activeElement.getAttribute('aria-pressed')]";
    let state = bench.script(lit).await;
    assert!(
        state[0].is_string() && state[0] == state[1] && state[2] == "true",
        "{state}"
    );
    bench.press(ESCAPE).await;
    assert!(bench.script(lit).await[0].is_null(), "Escape does not put it out");
}

/// Leaves the first test out, by keyboard, and reads what is before and after.
async fn ask_what_if(bench: &Bench, scripting: Scripting, before: &[(String, String)]) {
    let page = &bench.client;
    bench.tab_to("nav [data-ask]").await;
    bench.press(ENTER).await;
    if scripting == Scripting::On {
        let opened = "return document.querySelector('.drawer [name]') === document.activeElement";
        bench.until(opened).await;
    } else {
        bench.tab_to("[name='without']").await;
    }
    let test = bench.script("return document.activeElement.value").await;
    bench.press(" ").await;
    bench.press(ENTER).await;
    page.wait()
        .for_element(Locator::Css("main [data-what-if]"))
        .await
        .unwrap();
    let address = page.current_url().await.unwrap();
    let asked: Vec<String> = address
        .query_pairs()
        .filter(|(name, _)| name == "without")
        .map(|(_, value)| value.into_owned())
        .collect();
    assert_eq!(
        asked,
        [test.as_str().unwrap()],
        "the address does not hold the question"
    );
    let (leader, share) = before.first().unwrap();
    let told = bench.text_of("main [data-before]").await;
    assert!(
        told.contains(leader.as_str()) && told.contains(share.as_str()),
        "{told}"
    );
}

/// Follows every caution to the place that shows it, then the first one by a click.
async fn read_cautions(bench: &Bench) {
    let missing = "return Array.from(document.querySelectorAll('[data-caution] a')).map((link) => link.getAttribute('href'))
        .filter((href) => href.startsWith('#') && !document.getElementById(href.slice(1)))";
    assert_eq!(
        bench.script(missing).await,
        serde_json::json!([]),
        "nothing is where a caution leads"
    );
    let line = bench.client.find(Locator::Css(".cautions li summary"));
    line.await.unwrap().click().await.unwrap();
    let link = bench.client.find(Locator::Css("[data-caution] a")).await.unwrap();
    let leads = link.attr("href").await.unwrap().unwrap();
    link.click().await.unwrap();
    assert!(
        bench
            .client
            .current_url()
            .await
            .unwrap()
            .as_str()
            .ends_with(&leads)
    );
}

#[test]
fn a_meeting_reads_asks_and_prints() {
    for scripting in BOTH {
        in_browser(scripting, |bench| async move {
            let page = &bench.client;
            bench.open("/").await;
            let front = bench
                .text_of("[data-trial='/trials/lock-gate-worm-gear'] .who")
                .await;
            let link = page.find(Locator::Css(".trials a[href='/trials/lock-gate-worm-gear']"));
            link.await.unwrap().click().await.unwrap();
            let sentence = bench.words_of("[data-sentence]").await;
            let before = shares(&bench).await;
            let (leader, share) = before.first().unwrap();
            assert!(
                front.contains(leader.as_str()) && front.contains(share.as_str()),
                "{front}"
            );
            assert!(
                sentence.contains(leader.as_str()) && sentence.contains(share.as_str()),
                "{sentence}"
            );
            if scripting == Scripting::On {
                highlight(&bench).await;
            }
            read_cautions(&bench).await;
            ask_what_if(&bench, scripting, &before).await;
            let back = page.find(Locator::Css(
                "[data-what-if] a[href='/trials/lock-gate-worm-gear']",
            ));
            back.await.unwrap().click().await.unwrap();
            page.wait()
                .for_element(Locator::Css("[data-sentence]"))
                .await
                .unwrap();
            assert_eq!(shares(&bench).await, before, "a question changed the evidence");
            let paper = bench.paper().await;
            crate::paper::assert_says(&paper, &sentence, 1..=3);
            bench.end().await;
        });
    }
}

#[test]
fn a_meeting_signs_its_decision_by_keyboard_and_prints_it() {
    for scripting in BOTH {
        in_own_archive(scripting, |bench| async move {
            let page = &bench.client;
            bench.open("/trials/pitch-drive-defoamer-check").await;
            let leads = "main a[href='/trials/pitch-drive-defoamer-check/decision']";
            page.find(Locator::Css(leads))
                .await
                .unwrap()
                .click()
                .await
                .unwrap();
            let sentence = bench.text_of("[data-sentence]").await;
            bench.tab_to("[name='kind']").await;
            bench.press("Scale").await;
            bench.tab_to("[name='chosen']").await;
            bench.press("T-03").await;
            let names = "return Array.from(document.querySelectorAll(\"[name^='said.']\")).map((field) => field.name)";
            let cautions = bench.script(names).await;
            let cautions = cautions.as_array().unwrap();
            assert!(
                !cautions.is_empty(),
                "this trial has no grave caution: take one that has"
            );
            for name in cautions {
                bench
                    .tab_to(&format!("[name='{}']", name.as_str().unwrap()))
                    .await;
                bench.press("Seen by all who sat here.").await;
            }
            bench.tab_to("[name='reason']").await;
            bench.press("No wear was seen that the tests can tell.").await;
            bench.tab_to("[name='signed_by']").await;
            bench.press("lubrication engineer").await;
            bench.tab_to("[name='date']").await;
            bench.press("2025-06-02").await;
            bench.tab_to("[data-sign-form] button[type='submit']").await;
            bench.press(ENTER).await;
            let decided = bench.text_of("[data-decision='T-03']").await;
            assert!(
                decided.contains("No wear was seen that the tests can tell."),
                "{decided}"
            );
            assert_eq!(
                decided.matches("Seen by all who sat here.").count(),
                cautions.len()
            );
            bench.sound().await;
            let paper = bench.paper().await;
            crate::paper::assert_says(&paper, &sentence, 1..=8);
            crate::paper::assert_says(&paper, "No wear was seen that the tests can tell.", 1..=8);
            bench.end().await;
        });
    }
}

/// Types the number that a user of the machine holds up, and reads what it says.
async fn hold_up_a_number(bench: &Bench) {
    bench.tab_to("[data-hold-up] [name='value']").await;
    bench.press(&format!("62 kgf{ENTER}")).await;
    let pair = "return document.querySelector('[data-question]').textContent.includes('62 kgf')";
    bench.until(pair).await;
    let said = bench.words_of("[data-unlike]").await;
    crate::paper::assert_says(&bench.paper().await, &said, 2..=2);
}

#[test]
fn an_old_trial_is_found_by_words_and_by_facet_and_leads_to_its_blend_and_component() {
    for scripting in BOTH {
        in_browser(scripting, |bench| async move {
            let page = &bench.client;
            bench.open("/machines").await;
            bench.tab_to("#find").await;
            bench.press(&format!("sugar mill{ENTER}")).await;
            let only = Locator::Css("[data-trial='/trials/sugar-mill-bearing-grease']");
            page.wait().for_element(only).await.unwrap();
            assert_eq!(
                page.find_all(Locator::Css("[data-trial]")).await.unwrap().len(),
                1
            );
            bench.open("/?q=oil").await;
            let all = page.find_all(Locator::Css("[data-trial]")).await.unwrap().len();
            let choice = "[data-facet='status'] option[value='closed']";
            let choice = page.find(Locator::Css(choice)).await.unwrap();
            let trials: usize = choice
                .attr("data-trials")
                .await
                .unwrap()
                .unwrap()
                .parse()
                .unwrap();
            choice.click().await.unwrap();
            let find = page.find(Locator::Css("[data-filters] button"));
            find.await.unwrap().click().await.unwrap();
            page.wait().for_element(only).await.unwrap();
            let shown = page.find_all(Locator::Css("[data-trial]")).await.unwrap().len();
            assert!(
                shown == trials && shown < all,
                "{shown} of {all}, promised {trials}"
            );
            let link = page.find(Locator::Css(
                ".trials a[href='/trials/sugar-mill-bearing-grease']",
            ));
            link.await.unwrap().click().await.unwrap();
            page.wait()
                .for_element(Locator::Css("[data-sentence]"))
                .await
                .unwrap();
            let blend = page.find(Locator::Css("[data-candidate-row] a[href='/blends/G-02']"));
            blend.await.unwrap().click().await.unwrap();
            let component = page
                .wait()
                .for_element(Locator::Css("main a[href^='/components/']"));
            let component = component.await.unwrap();
            let name = component.text().await.unwrap();
            component.click().await.unwrap();
            let held = page
                .wait()
                .for_element(Locator::Css("[data-blends]"))
                .await
                .unwrap();
            assert_eq!(bench.text_of("h1").await, name);
            assert!(held.html(true).await.unwrap().contains("G-02"));
            bench.end().await;
        });
    }
}
