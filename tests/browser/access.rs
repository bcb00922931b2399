//! Every kind of page as it is met: at a desk and on a phone, light and dark.

use crate::bench::{Bench, Look, Scripting};
use crate::in_browser;
use crate::node::node_tools;
use crate::pages::{Page, pages};
use std::collections::BTreeMap;

/// How the pages of one route are looked at, one after the other: by the first one both a desk and a phone, light and dark
/// have been met. Every look is met by many pages; what a colour scheme and a width do together is not asked of each.
const FIRST: [Look; 2] = [Look::DeskLight, Look::PhoneDark];
const LATER: [Look; 2] = [Look::PhoneLight, Look::DeskDark];

fn looks(pages: &[&'static Page]) -> Vec<(String, &'static [Look])> {
    let mut before: BTreeMap<&str, usize> = BTreeMap::new();
    let look = |page: &&'static Page| {
        let count = before.entry(&page.route).or_insert(0);
        *count += 1;
        let looks = match *count {
            1 => &FIRST[..],
            later => std::slice::from_ref(&LATER[later % 2]),
        };
        (page.path.clone(), looks)
    };
    pages.iter().map(look).collect()
}

async fn assert_open_to_all(bench: &Bench, axe: &str, pages: &[&'static Page]) {
    bench.bring(axe).await;
    let mut found = Vec::new();
    for (path, looks) in looks(pages) {
        bench.open(&path).await;
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
        let wanted: Vec<&'static Page> = pages()
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
        bench.bring(&node.axe()).await;
        bench.open("/calculate").await;
        let spoil = "document.querySelector('main').insertAdjacentHTML('beforeend', \
            '<p class=\"faint\">hardly to be read</p><input class=\"bare\"><svg width=\"9\" height=\"9\"></svg><details><summary>more</summary><input class=\"shut\"></details><pre>' + 'wide '.repeat(99) + '</pre>'); \
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
            "class=\"shut\"",
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

#[test]
fn the_end_of_a_walk_notices_an_error_and_a_request_to_another_host() {
    in_browser(Scripting::On, |bench| async move {
        bench.open("/calculate").await;
        assert_eq!(bench.found().await, [""; 0]);
        bench
            .script("setTimeout(() => { throw new Error('broken') })")
            .await;
        // The same machine by another name is another host, and no network is needed for it.
        let (_, port) = bench.address.rsplit_once(':').unwrap();
        let elsewhere = format!("http://localhost:{port}/calculate");
        bench.client.goto(&elsewhere).await.unwrap();
        let found = bench.found().await.join("\n");
        assert!(found.contains("broken"), "{found}");
        assert!(found.contains(&format!("a page asked {elsewhere}")), "{found}");
    });
}
