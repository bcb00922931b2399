//! Every kind of page as it is met: at a desk and on a phone, light and dark.

use crate::bench::{Bench, Look, Scripting};
use crate::in_browser;
use crate::node::node_tools;
use crate::pages::{Page, pages};
use std::collections::BTreeSet;

const LOOKS: [Look; 4] = [Look::DeskLight, Look::DeskDark, Look::PhoneLight, Look::PhoneDark];

/// The first page of each route is looked at in every way, those after it on a phone.
fn looks(pages: &[&Page]) -> Vec<(String, &'static [Look])> {
    let mut routes = BTreeSet::new();
    let look = |page: &&Page| {
        let is_first = routes.insert(page.route.clone());
        let looks = if is_first { &LOOKS[..] } else { &LOOKS[2..3] };
        (page.path.clone(), looks)
    };
    pages.iter().map(look).collect()
}

async fn assert_open_to_all(bench: &Bench, axe: &str, pages: &[&Page]) {
    let mut found = Vec::new();
    for (path, looks) in looks(pages) {
        bench.open(&path).await;
        bench.script(axe).await;
        for look in looks {
            for fault in bench.audit(*look).await {
                found.push(format!("{path}, {look:?}: {fault}"));
            }
        }
    }
    assert!(found.is_empty(), "{} faults\n{}", found.len(), found.join("\n"));
}

/// Two tests share the pages, so that two browsers look at them.
fn pages_of_trials(is_wanted: impl Fn(bool) -> bool) {
    let Some(node) = node_tools() else { return };
    in_browser(Scripting::On, |bench| async move {
        let wanted: Vec<&Page> = pages()
            .iter()
            .filter(|page| is_wanted(page.route.starts_with("/trials/")))
            .collect();
        assert!(wanted.len() > 10, "{} pages", wanted.len());
        assert_open_to_all(&bench, &node.axe(), &wanted).await;
        bench.end().await;
    });
}

#[test]
fn no_page_of_a_trial_keeps_anybody_out_or_scrolls_sideways() {
    pages_of_trials(|is_of_trial| is_of_trial);
}

#[test]
fn no_other_page_keeps_anybody_out_or_scrolls_sideways() {
    pages_of_trials(|is_of_trial| !is_of_trial);
}

#[test]
fn the_audit_finds_what_is_wrong() {
    let Some(node) = node_tools() else { return };
    in_browser(Scripting::On, |bench| async move {
        bench.open("/calculate").await;
        bench.script(&node.axe()).await;
        let spoil = "document.querySelector('main').insertAdjacentHTML('beforeend', \
            '<p class=\"faint\">hardly to be read</p><input class=\"bare\"><svg width=\"9\" height=\"9\"></svg><pre>' + 'wide '.repeat(99) + '</pre>'); \
            document.querySelector('.faint').style.color = '#777'; document.querySelector('.bare').style.outline = 'none'; \
            document.querySelector('.faint').animate([{ opacity: 1 }, { opacity: 0.9 }], 1e6);";
        bench.script(spoil).await;
        let found = bench.audit(Look::PhoneLight).await.join("\n");
        for fault in [
            "color-contrast",
            "label (",
            "a drawing without words",
            "it scrolls sideways",
            "no ring on INPUT.bare",
            "something moves",
        ] {
            assert!(found.contains(fault), "{fault} is not in {found}");
        }
        assert!(
            bench
                .audit(Look::DeskDark)
                .await
                .concat()
                .contains("color-contrast")
        );
        bench.end().await;
    });
}
