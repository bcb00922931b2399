//! Every kind of page as it is met: at a desk and on a phone, light and dark, with what is folded up opened too.

use crate::bench::{Look, Scripting};
use crate::in_browser;
use crate::node::node_tools;
use crate::pages::pages;

/// A page of the demo's large trial each, besides those the walk finds.
const ALSO: &[&str] = &[
    "/trials/pitch-drive-full/tests/fb_ep_oil",
    "/trials/pitch-drive-full/tests/fb_wear_oil_B",
    "/trials/sugar-mill-bearing-grease/tests/rb_grease",
    "/trials/pitch-drive-full/plan",
];

const LOOKS: &[Look] = &[Look::DeskLight, Look::DeskDark, Look::PhoneLight, Look::PhoneDark];

#[test]
fn no_page_keeps_anybody_out_or_scrolls_sideways() {
    let Some(node) = node_tools() else { return };
    in_browser(Scripting::On, |bench| async move {
        let axe = node.axe();
        let mut found = Vec::new();
        let walked = pages().iter().map(|page| page.path.as_str());
        for path in walked.chain(ALSO.iter().copied()) {
            bench.open(path).await;
            bench.script(&axe).await;
            for look in LOOKS {
                for fault in bench.audit(*look).await {
                    found.push(format!("{path}, {look:?}: {fault}"));
                }
            }
        }
        assert!(found.is_empty(), "{} faults\n{}", found.len(), found.join("\n"));
        bench.end().await;
    });
}

#[test]
fn the_audit_finds_what_is_wrong() {
    let Some(node) = node_tools() else { return };
    in_browser(Scripting::On, |bench| async move {
        bench.open("/calculate").await;
        bench.script(&node.axe()).await;
        let spoil = "document.querySelector('main').insertAdjacentHTML('beforeend', \
            '<p class=\"faint\">hardly to be read</p><input><svg width=\"9\" height=\"9\"></svg><pre>' + 'wide '.repeat(99) + '</pre>'); \
            document.querySelector('.faint').style.color = '#888';";
        bench.script(spoil).await;
        let found = bench.audit(Look::PhoneLight).await.join("\n");
        for fault in ["color-contrast", "label", "a drawing without words", "it scrolls sideways"] {
            assert!(found.contains(fault), "{fault} is not in {found}");
        }
        bench.end().await;
    });
}

/// Of each kind of thing that can be reached by keyboard on a page, one that shows no ring when it is.
const WITHOUT_RING: &str = "
    const seen = new Set(), faults = [];
    document.querySelectorAll('a[href], button, input, select, textarea, summary, [tabindex=\"0\"]').forEach((part) => {
        const kind = part.tagName + '.' + part.className + ' in ' + part.parentElement.className;
        if (seen.has(kind) || !part.checkVisibility() || part.type === 'hidden') { return; }
        seen.add(kind);
        part.focus({ focusVisible: true });
        const drawn = [part, part.closest('.with-unit') || part].some((one) => {
            const style = getComputedStyle(one);
            return style.outlineStyle !== 'none' && parseFloat(style.outlineWidth) >= 2;
        });
        if (document.activeElement !== part) { faults.push('not reached: ' + kind); }
        else if (!drawn) { faults.push('no ring: ' + kind); }
    });
    return seen.size ? faults : ['nothing can be reached'];";

#[test]
fn what_the_keyboard_reaches_shows_where_it_is_and_nothing_moves_where_motion_is_unwanted() {
    in_browser(Scripting::On, |bench| async move {
        let mut routes = std::collections::BTreeSet::new();
        for page in pages().iter().filter(|page| routes.insert(&page.route)) {
            bench.open(&page.path).await;
            let faults = bench.script(WITHOUT_RING).await;
            assert_eq!(faults, serde_json::json!([]), "{}", page.path);
            let moves = "return [getComputedStyle(document.documentElement).scrollBehavior, document.getAnimations().length]";
            assert_eq!(bench.script(moves).await, serde_json::json!(["auto", 0]), "{}", page.path);
        }
        bench.end().await;
    });
}
