//! `/trials/{trial}/enter`: one run by hand.

use crate::import_http::small;
use crate::pages::Pages;

const ENTER: &str = "/trials/slow-drive/enter";

async fn posted(pages: &Pages, fields: &[(&str, &str)]) -> crate::pages::Page {
    let token = pages.token().await;
    let mut all = vec![("token", token.as_str())];
    all.extend_from_slice(fields);
    pages.form(ENTER, &all).await
}

#[tokio::test]
async fn a_run_is_checked_then_entered_once() {
    let pages = small().await;
    let before = pages.entries().await;
    let run = [
        ("method", "own_bench"),
        ("blend", "B-1"),
        ("date", "2026-04-02"),
        ("replicate", "7"),
        ("value.depth", "0,0082"),
        ("unit.depth", "mm"),
    ];
    let mut checked = run.to_vec();
    checked.push(("do", "check"));
    let page = posted(&pages, &checked).await;
    assert_eq!(page.status, 200, "{}", page.body);
    assert!(
        page.texts("[data-read-as]").concat().contains("8.2"),
        "{}",
        page.body
    );
    assert_eq!(pages.entries().await, before);
    let done = posted(&pages, &run).await;
    assert_eq!(done.status, 303, "{}", done.body);
    assert_eq!(pages.entries().await, before + 1);
    let next = pages.get(&format!("{ENTER}?method=own_bench&entered=1")).await;
    assert!(next.texts("[data-entered]").concat().contains("is entered"));
    let again = posted(&pages, &run).await;
    assert_eq!(again.status, 422);
    assert!(again.texts("#replicate-fault").concat().contains("there already"));
    assert_eq!(pages.entries().await, before + 1);
}

#[tokio::test]
async fn what_cannot_be_used_is_said_beside_its_field_and_nothing_typed_is_lost() {
    let pages = small().await;
    let before = pages.entries().await;
    let fields = [
        ("method", "own_bench"),
        ("blend", "B-1"),
        ("date", "03/04/2026"),
        ("value.depth", "deep"),
        ("note", "a \"quoted\" note"),
    ];
    let page = posted(&pages, &fields).await;
    assert_eq!(page.status, 422);
    assert!(
        !page.texts("#date-fault").is_empty() && !page.texts("#value-depth-fault").is_empty(),
        "{}",
        page.body
    );
    assert_eq!(page.value("#value-depth"), "deep");
    assert_eq!(page.value("#note"), "a \"quoted\" note");
    assert_eq!(pages.entries().await, before);
    let empty = posted(&pages, &[("method", "own_bench"), ("blend", "B-1")]).await;
    assert!(
        empty.texts(".fault").concat().contains("nothing is entered"),
        "{}",
        empty.body
    );
    let no_token = pages
        .form(ENTER, &[("method", "own_bench"), ("value.depth", "8")])
        .await;
    assert_eq!(no_token.status, 403);
}

#[tokio::test]
async fn what_is_wrong_above_the_readings_is_said_with_what_is_wrong_in_them() {
    let pages = Pages::with(likewear::facade::app::StartWith::Demo).await;
    let trial = "/trials/pitch-drive-full/enter";
    let form = pages.get(&format!("{trial}?method=fb_wear_oil_B")).await;
    let readings = form.values_of("[data-readings] input", "name");
    let reading = readings[0].clone();
    let mut fields = form.form("[data-entry]");
    crate::pages::set(&mut fields, "blend", "T-03");
    crate::pages::set(&mut fields, "purpose", "test");
    crate::pages::set(&mut fields, "date", "the day before");
    crate::pages::set(&mut fields, "replicate", "first");
    crate::pages::set(&mut fields, &reading, "much");
    crate::pages::set(&mut fields, &readings[1], "0.42");
    crate::pages::set(&mut fields, "value.scar", "");
    let page = pages.post(trial, &fields).await;
    assert_eq!(page.status, 422, "{}", page.body);
    let wrong = page.values_of("[data-entry] [aria-invalid]", "name");
    assert_eq!(wrong, ["date", "replicate", reading.as_str()]);
    assert!(page.text("[data-problem]").contains("3 fields"), "{}", page.body);
    crate::pages::set(&mut fields, "date", "2026-04-02");
    crate::pages::set(&mut fields, "replicate", "7");
    let page = pages.post(trial, &fields).await;
    assert_eq!(
        page.values_of("[data-entry] [aria-invalid]", "name"),
        [reading.as_str()]
    );
}

#[tokio::test]
async fn the_form_is_there_for_every_method_of_the_trial_and_for_none() {
    let pages = small().await;
    assert_eq!(pages.get(ENTER).await.status, 200);
    let form = pages.get(&format!("{ENTER}?method=own_bench")).await;
    assert_eq!(form.texts("[data-entry] h2").len(), 1);
    let none = pages.get(&format!("{ENTER}?method=nothing")).await;
    assert_eq!((none.status, none.texts("[data-entry]").len()), (200, 0));
    assert_eq!(pages.get("/trials/none/enter").await.status, 404);
}
