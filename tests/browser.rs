//! The pages in a real browser, through WebDriver: the walk from the list to a method with scripting and without, a
//! phone's width, print. Needs Chromium and its driver; where there are none the tests say so and pass, except where
//! `CI` is `true`.

#![expect(
    clippy::unwrap_used,
    reason = "a browser that does not answer is a failed test"
)]
#![expect(
    clippy::print_stdout,
    reason = "a test that did not run must say so where it is read"
)]

mod browser_bench;

use browser_bench::{Bench, Scripting};
use fantoccini::Locator;
use std::path::Path;
use std::sync::{Mutex, PoisonError};

/// A runtime for one test; `None`, with words, where there is no browser.
fn browser_is_there() -> bool {
    let found = ["/usr/bin/chromium", "/usr/bin/chromedriver"]
        .iter()
        .all(|path| Path::new(path).exists());
    if !found {
        println!("NOT RUN: no chromium with chromedriver on this machine");
        let on_ci = std::env::var("CI").is_ok_and(|value| value == "true");
        assert!(!on_ci, "the gate must run the browser tests");
    }
    found
}

static TURN: Mutex<()> = Mutex::new(());

fn in_browser<F: Future<Output = ()>>(scripting: Scripting, walk: impl FnOnce(Bench) -> F) {
    if !browser_is_there() {
        return;
    }
    // One browser at a time: several at once starve each other on a small machine.
    let _turn = TURN.lock().unwrap_or_else(PoisonError::into_inner);
    let runtime = tokio::runtime::Runtime::new().unwrap();
    runtime.block_on(async { walk(Bench::start(scripting).await).await });
}

/// List, trial, explanation, method, by following the links a person would.
async fn walk_to_the_method(bench: &Bench) {
    let page = &bench.client;
    bench.open("/").await;
    let trial = page.find(Locator::Css("a[href='/trials/pitch-drive-full']"));
    trial.await.unwrap().click().await.unwrap();
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
    let heading = page.find(Locator::Css("h1")).await.unwrap().text().await.unwrap();
    assert_eq!(
        heading,
        "Does a weld load of 400 kgf make T-11 the better oil for this planetary pitch drive?"
    );
    assert_eq!(
        page.find_all(Locator::Css("[data-ladder]")).await.unwrap().len(),
        10
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
        bench.end().await;
    });
}

#[test]
fn the_walk_from_the_list_to_a_method_works_without_scripting() {
    in_browser(Scripting::Off, |bench| async move {
        walk_to_the_method(&bench).await;
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
fn no_page_scrolls_sideways_on_a_phone() {
    in_browser(Scripting::On, |bench| async move {
        bench.phone().await;
        for path in [
            "/",
            "/trials/pitch-drive-full",
            "/trials/pitch-drive-full/tests/fb_ep_oil",
            "/trials/pitch-drive-full/tests/fb_wear_oil_B",
            "/trials/sugar-mill-bearing-grease/tests/rb_grease",
            "/methods/fb_ep_oil",
        ] {
            bench.open(path).await;
            let wide = bench
                .script("return [document.documentElement.scrollWidth, window.innerWidth]")
                .await;
            let (scroll, window) = (wide[0].as_f64().unwrap(), wide[1].as_f64().unwrap());
            assert!(window <= 391.0, "{path}: the window is {window} wide");
            assert!(scroll <= window + 0.5, "{path}: {scroll} in {window}");
        }
        bench.end().await;
    });
}

#[test]
fn the_explanation_prints_to_paper() {
    in_browser(Scripting::On, |bench| async move {
        bench.open("/trials/pitch-drive-full/tests/fb_ep_oil").await;
        let printed = bench.client.print(fantoccini::wd::PrintConfiguration::default());
        let paper = printed.await.unwrap();
        assert!(
            paper.starts_with(b"%PDF") && paper.len() > 10_000,
            "{} bytes",
            paper.len()
        );
        bench.end().await;
    });
}

const HEADER: &str = "blend,method,quantity,value,unit,replicate,campaign";

#[test]
fn an_import_with_a_refused_row_writes_nothing_and_the_mended_one_writes_its_row() {
    in_browser(Scripting::Off, |bench| async move {
        let page = &bench.client;
        bench.open("/import?trial=pitch-drive-full").await;
        let good = "T-03,fb_ep_oil,weld,250,kgf,1,browser";
        bench
            .paste(&format!(
                "{HEADER}\n{good}\nT-99,fb_ep_oil,weld,250,kgf,1,browser\n"
            ))
            .await;
        page.wait().for_element(Locator::Css("[data-row]")).await.unwrap();
        assert_eq!(page.find_all(Locator::Css("[data-row]")).await.unwrap().len(), 2);
        let confirm = page.find_all(Locator::Css("[data-confirm-form]")).await.unwrap();
        assert!(confirm.is_empty(), "a file with a refused row can be written");
        bench.open("/import?trial=pitch-drive-full").await;
        bench.paste(&format!("{HEADER}\n{good}\n")).await;
        let write = Locator::Css("[data-confirm-form] button");
        page.wait()
            .for_element(write)
            .await
            .unwrap()
            .click()
            .await
            .unwrap();
        page.wait()
            .for_element(Locator::Css("[data-added='1']"))
            .await
            .unwrap();
        bench.end().await;
    });
}

#[test]
fn a_correction_stands_beside_what_it_corrects() {
    in_browser(Scripting::Off, |bench| async move {
        let page = &bench.client;
        bench.open("/trials/pitch-drive-full/results").await;
        let before = page.find_all(Locator::Css("[data-result]")).await.unwrap().len();
        let weld = "//tr[contains(., 'Weld load')]//a[contains(@href, '/correct')]";
        page.find(Locator::XPath(weld))
            .await
            .unwrap()
            .click()
            .await
            .unwrap();
        let value = page
            .wait()
            .for_element(Locator::Css("input[name='value']"))
            .await
            .unwrap();
        value.clear().await.unwrap();
        value.send_keys("126").await.unwrap();
        let reason = page.find(Locator::Css("input[name='reason']")).await.unwrap();
        reason.send_keys("misread by one step").await.unwrap();
        let enter = page.find(Locator::Css("[data-result-form] button"));
        enter.await.unwrap().click().await.unwrap();
        page.wait()
            .for_element(Locator::Css("[data-results]"))
            .await
            .unwrap();
        let after = page.find_all(Locator::Css("[data-result]")).await.unwrap().len();
        assert_eq!(after, before + 1);
        let shown = page
            .find(Locator::Css("[data-results]"))
            .await
            .unwrap()
            .text()
            .await
            .unwrap();
        assert!(shown.contains("misread by one step"));
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

/// Chooses a preset and types a slideway, one value in another unit.
async fn type_a_slideway(bench: &Bench) {
    let page = &bench.client;
    for (field, text) in [
        ("c0.p.length_m", "400"),
        ("c0.p.width_m", "5 cm"),
        ("c0.p.load_n.lo", "200 kgf"),
        ("c0.p.speed_m_s.lo", "0.5"),
        ("c0.p.temperature_c.lo", "40"),
    ] {
        let place = format!("[name='{field}']");
        let input = page.wait().for_element(Locator::Css(&place)).await.unwrap();
        input.send_keys(text).await.unwrap();
    }
    for (field, word) in [
        ("c0.p.supply", "bath"),
        ("c0.p.materials", "hard steel/cast iron"),
    ] {
        let place = format!("[name='{field}'] option[value='{word}']");
        page.find(Locator::Css(&place))
            .await
            .unwrap()
            .click()
            .await
            .unwrap();
    }
}

#[test]
fn a_machine_is_computed_beside_its_form_while_it_is_typed_and_by_a_button_without_scripting() {
    for scripting in [Scripting::On, Scripting::Off] {
        let by_button = matches!(scripting, Scripting::Off);
        in_browser(scripting, |bench| async move {
            bench.open("/machines/new").await;
            let page = &bench.client;
            let preset = page.find(Locator::Css("[name='c0.preset'] option[value='slideway']"));
            preset.await.unwrap().click().await.unwrap();
            let compute = ".buttons button[value='compute']";
            if by_button {
                page.find(Locator::Css(compute))
                    .await
                    .unwrap()
                    .click()
                    .await
                    .unwrap();
            }
            type_a_slideway(&bench).await;
            if by_button {
                page.find(Locator::Css(compute))
                    .await
                    .unwrap()
                    .click()
                    .await
                    .unwrap();
            }
            let sliding = "[data-contact-form='0'] [data-term='sliding'] dd";
            let sliding = page.wait().for_element(Locator::Css(sliding)).await.unwrap();
            assert_eq!(sliding.text().await.unwrap(), "0.5 m/s");
            let load = page.find(Locator::Css("[name='c0.p.load_n.lo']")).await.unwrap();
            assert_eq!(load.prop("value").await.unwrap().as_deref(), Some("200 kgf"));
            bench.end().await;
        });
    }
}
