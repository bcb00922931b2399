//! An empty archive leads to its first comparison; blends are entered in their form.

use crate::pages::{Fields, Pages, set};
use likewear::facade::app::StartWith;

const BLEND: &str = "[data-blend-form]";

async fn blend(pages: &Pages, code: &str, more: &[(&str, &str)]) -> crate::pages::Page {
    let mut fields = pages.get("/blends/new").await.form(BLEND);
    for (name, value) in [
        ("code", code),
        ("kv40", "220"),
        ("kv100", "19,1"),
        ("c0.component", "base oil"),
        ("c0.class", "base stock"),
        ("c0.wt_pct", "97.5"),
        ("c1.component", "phosphate"),
        ("c1.class", "antiwear"),
        ("c1.wt_pct", "2.5"),
    ] {
        set(&mut fields, name, value);
    }
    for (name, value) in more {
        set(&mut fields, name, value);
    }
    set(&mut fields, "do", "save");
    pages.post("/blends/new", &fields).await
}

#[tokio::test(flavor = "multi_thread")]
async fn an_empty_archive_leads_in_four_steps_and_takes_the_demo_once() {
    let pages = Pages::with(StartWith::Nothing).await;
    let first = pages.get("/").await;
    assert_eq!(first.count("[data-first] [data-step]"), 4);
    assert_eq!(first.count("[data-done='true']"), 0);
    let token = first.form("[data-demo]");
    let forged = Fields::from([("token".to_string(), "0".to_string())]);
    assert_eq!(pages.post("/demo", &forged).await.status, 403);
    let page = pages.post("/demo", &token).await;
    assert_eq!((page.status, page.location.as_str()), (303, "/"));
    // A page beyond the last trial judges none.
    let full = pages.get("/?page=2").await;
    assert_eq!(
        full.count("[data-first]"),
        0,
        "with the demo the page is as usual"
    );
    assert!(full.body.contains("7 trials"));
    assert_eq!(pages.post("/demo", &token).await.status, 409, "only once");
}

#[tokio::test(flavor = "multi_thread")]
async fn a_step_is_done_when_its_record_is_there_and_the_demo_is_no_longer_offered() {
    let pages = Pages::with(StartWith::Nothing).await;
    let page = blend(&pages, "A-1", &[]).await;
    assert_eq!(
        (page.status, page.location.as_str()),
        (303, "/blends/A-1"),
        "{}",
        page.body
    );
    let first = pages.get("/").await;
    assert_eq!(first.count("[data-step='/blends/new'][data-done='true']"), 1);
    assert_eq!(
        (first.count("[data-done='true']"), first.count("[data-demo]")),
        (1, 0)
    );
    let json = pages.json("/api/blends/A-1").await;
    assert_eq!(json["kv40_mm2_s"], 220.0);
    assert_eq!(pages.app.check().await.unwrap(), []);
}

#[tokio::test(flavor = "multi_thread")]
async fn a_blend_is_refused_beside_its_fields_and_nothing_typed_is_lost() {
    let pages = Pages::with(StartWith::Nothing).await;
    let page = blend(
        &pages,
        "A-1",
        &[
            ("kv40", "-4"),
            ("made_on", "yesterday"),
            ("parent", "Z-1"),
            ("c1.component", "base oil"),
            ("c0.wt_pct", "90"),
        ],
    )
    .await;
    assert_eq!(page.status, 422);
    for (field, words) in [
        ("kv40", "must be above 0"),
        ("made-on", ""),
        ("parent", "is no blend"),
        ("c1-component", "stands in an earlier row"),
        ("components", "sum to 92.50 wt%"),
    ] {
        let fault = page.text(&format!("#f-{field}-fault"));
        assert!(!fault.is_empty() && fault.contains(words), "{field}: '{fault}'");
    }
    assert_eq!(page.form(BLEND)["kv40"], "-4");
    assert_eq!(page.form(BLEND)["made_on"], "yesterday");
    let kept = blend(&pages, "A-2", &[("c0.wt_pct", "90"), ("odd_sum", "kept")]).await;
    assert_eq!(kept.status, 303, "{:?}", kept.texts(".fault:not(:empty)"));
    let twice = blend(&pages, "A-2", &[]).await;
    assert!(twice.text("#f-code-fault").contains("another blend"));
}

#[tokio::test(flavor = "multi_thread")]
async fn a_blend_changed_from_another_starts_with_its_components_and_not_with_its_viscosity() {
    let pages = Pages::with(StartWith::Nothing).await;
    assert_eq!(blend(&pages, "A-1", &[]).await.status, 303);
    let page = pages.get("/blends/new?from=A-1").await;
    let mut fields = page.form(BLEND);
    assert_eq!((fields["parent"].as_str(), fields["kv40"].as_str()), ("A-1", ""));
    assert_eq!(fields["c1.component"], "phosphate");
    for (name, value) in [
        ("code", "A-2"),
        ("change", "more phosphate"),
        ("c0.wt_pct", "97"),
        ("c1.wt_pct", "3"),
        ("do", "save"),
    ] {
        set(&mut fields, name, value);
    }
    let saved = pages.post("/blends/new", &fields).await;
    assert_eq!(saved.status, 303, "{:?}", saved.texts(".fault:not(:empty)"));
    assert!(pages.get("/blends/A-2").await.body.contains("more phosphate"));
    assert_eq!(pages.get("/blends/new?from=none").await.status, 404);
}
