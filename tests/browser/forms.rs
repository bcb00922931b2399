//! What is written, by hand and by file, and a machine that is computed while it is typed.

use crate::bench::{Bench, ENTER, Scripting};
use crate::in_own_archive;
use fantoccini::Locator;

const HEADER: &str = "blend,method,quantity,value,unit,replicate,campaign";

#[test]
fn an_import_with_a_refused_row_writes_nothing_and_the_mended_one_writes_its_row() {
    in_own_archive(Scripting::Off, |bench| async move {
        let page = &bench.client;
        bench.open("/import?trial=pitch-drive-full").await;
        let good = "T-03,fb_ep_oil,weld,315,kgf,1,browser";
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
    in_own_archive(Scripting::Off, |bench| async move {
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

/// Types a text into the field that Tab leads to, then goes on from there.
async fn fill(bench: &Bench, fields: &[(&str, &str)]) {
    for (field, text) in fields {
        bench.tab_to(&format!("[name='{field}']")).await;
        bench.press(text).await;
    }
}

#[test]
fn six_scars_are_entered_without_the_mouse_and_their_mean_stands_in_the_results() {
    for scripting in [Scripting::On, Scripting::Off] {
        in_own_archive(scripting, |bench| async move {
            let entry = "/trials/pitch-drive-defoamer-check/enter";
            bench.open(&format!("{entry}?method=fb_wear_oil_B")).await;
            fill(
                &bench,
                &[("blend", "T-04"), ("rig", "FB-2"), ("date", "2025-02-30")],
            )
            .await;
            let scars = [
                ("r0.along", "0.41"),
                ("r0.across", "0.43"),
                ("r1.along", "0,42"),
                ("r1.across", "0.42"),
                ("r2.along", "0.40"),
                ("r2.across", "0.44"),
            ];
            bench.expect_refusal(entry);
            fill(&bench, &[("replicate", "9")]).await;
            fill(&bench, &scars).await;
            bench.press(ENTER).await;
            // There is no 30 February: it is said beside its field, and nothing typed is lost.
            let fault = bench.text_of("#date-fault").await;
            assert!(!fault.is_empty());
            bench.sound().await;
            let kept = bench
                .client
                .find(Locator::Css("[name='r1.along']"))
                .await
                .unwrap();
            assert_eq!(kept.prop("value").await.unwrap().as_deref(), Some("0,42"));
            bench.tab_to("[name='date']").await;
            // Tab selects what stands in a field, so that typing replaces it.
            bench.press(&format!("2025-02-28{ENTER}")).await;
            assert!(bench.text_of("[data-entered]").await.contains("is entered"));
            bench.tab_to("[data-entered] a").await;
            bench.press(ENTER).await;
            let results = bench.text_of("[data-results]").await;
            let line = results.lines().find(|line| line.contains("28 February 2025"));
            let line = line.unwrap_or_else(|| panic!("the run is not in {results}"));
            // (0.41 + 0.43 + 0.42 + 0.42 + 0.40 + 0.44) / 6 = 0.42, by hand.
            assert!(line.contains("T-04") && line.contains("0.42 mm"), "{line}");
            bench.end().await;
        });
    }
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
        in_own_archive(scripting, |bench| async move {
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
