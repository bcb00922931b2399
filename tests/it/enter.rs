//! `/trials/{trial}/enter`: one run by hand.

use crate::folder::{files, write_to};
use crate::import_http::small;
use crate::pages::{Pages, set};
use likewear::facade::app::StartWith;
use likewear::facade::catalogue::built_in;

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
    let pages = Pages::with(StartWith::Demo).await;
    let trial = "/trials/pitch-drive-full/enter";
    let form = pages.get(&format!("{trial}?method=fb_wear_oil_B")).await;
    let readings = form.values_of("[data-readings] input", "name");
    let reading = readings[0].clone();
    let mut fields = form.form("[data-entry]");
    set(&mut fields, "blend", "T-03");
    set(&mut fields, "purpose", "test");
    set(&mut fields, "date", "the day before");
    set(&mut fields, "replicate", "first");
    set(&mut fields, &reading, "much");
    set(&mut fields, &readings[1], "0.42");
    set(&mut fields, "value.scar", "");
    let page = pages.post(trial, &fields).await;
    assert_eq!(page.status, 422, "{}", page.body);
    let wrong = page.values_of("[data-entry] [aria-invalid]", "name");
    assert_eq!(wrong, ["date", "replicate", reading.as_str()]);
    assert!(page.text("[data-problem]").contains("3 fields"), "{}", page.body);
    set(&mut fields, "date", "2026-04-02");
    set(&mut fields, "replicate", "7");
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

/// Every built-in method in the one trial of the small archive.
async fn with_every_method() -> Pages {
    let pages = Pages::with(StartWith::Nothing).await;
    let mut files = files();
    let tests = files.get_mut("trial_methods.csv").unwrap();
    for method in built_in() {
        for quantity in &method.quantities {
            let row = format!("slow-drive,{},{},show,,,,,,\n", method.id, quantity.id);
            tests.extend_from_slice(row.as_bytes());
        }
    }
    write_to(&pages.path("every"), &files);
    pages.app.load(&pages.path("every")).await.unwrap();
    pages
}

/// A sound reading by the name of its cell, `r0.along`; only a course takes more than one row.
fn sound(method: &str, cell: &str) -> &'static str {
    let (row, column) = cell.split_once('.').unwrap();
    match (row, column) {
        ("r0", "along" | "across") => "0.61",
        ("r0", "load") if method.starts_with("lo_") => "100",
        ("r0", "load") => "80",
        ("r0", "scar") => "0.40",
        ("r0", "outcome") => "passed",
        ("r0", "stage") => "9",
        ("r0", "widths") => "1.5; 2",
        ("r0", "roller_before" | "cage_before") => "52.00",
        ("r0", "roller_after" | "cage_after") => "51.98",
        ("r0", "before") => "20",
        ("r0", "after") => "21",
        ("r0", "hours") => "1000",
        ("r1", "hours") => "1168",
        ("r0", "acid") => "1.5",
        ("r1", "acid") => "2.5",
        ("r0", "minutes") => "0",
        ("r1", "minutes") => "300",
        ("r0", "pressure") => "1300",
        ("r1", "pressure") => "1100",
        ("r0", column) => panic!("no reading for {column}"),
        _ => "",
    }
}

#[tokio::test]
async fn readings_in_every_cell_that_the_form_of_a_method_asks_for_are_accepted() {
    let pages = with_every_method().await;
    let mut forms = 0;
    for method in built_in() {
        let form = pages.get(&format!("{ENTER}?method={}", method.id)).await;
        let cells = form.values_of("[data-readings] [name]", "name");
        assert_eq!(cells.is_empty(), method.readings.is_none(), "{}", method.id);
        if cells.is_empty() {
            continue;
        }
        let mut fields = form.form("[data-entry]");
        set(&mut fields, "blend", "B-1");
        set(&mut fields, "date", "2026-04-02");
        set(&mut fields, "do", "check");
        for cell in &cells {
            set(&mut fields, cell, sound(method.id.as_str(), cell));
        }
        let page = pages.post(ENTER, &fields).await;
        assert_eq!(page.status, 200, "{}: {:?}", method.id, page.texts(".fault"));
        assert_eq!(page.count("[data-read-as]"), 1, "{}", method.id);
        forms += 1;
    }
    assert_eq!(forms, 21);
}

#[tokio::test]
async fn the_grease_bearing_asks_for_no_cage_since_it_scores_none() {
    let pages = with_every_method().await;
    let columns = async |method: &str| {
        let form = pages.get(&format!("{ENTER}?method={method}")).await;
        form.texts("[data-readings] thead th").concat()
    };
    assert!(columns("rb_oil").await.contains("Cage"));
    assert!(!columns("rb_grease").await.contains("Cage"));
}

#[tokio::test]
async fn a_rig_that_does_not_run_the_test_is_refused_by_the_names_of_the_methods() {
    let pages = Pages::with(StartWith::Demo).await;
    let trial = "/trials/pitch-drive-full/enter";
    let form = pages.get(&format!("{trial}?method=fb_wear_oil_B")).await;
    let fault = |rig: String| {
        let mut fields = form.form("[data-entry]");
        for (name, value) in [
            ("blend", "T-03"),
            ("rig", rig.as_str()),
            ("date", "2026-04-02"),
            ("replicate", "7"),
        ] {
            set(&mut fields, name, value);
        }
        set(&mut fields, "value.scar", "0.45");
        let pages = &pages;
        async move { pages.post(trial, &fields).await.text("#rig-fault") }
    };
    let said = fault("GS-1".to_string()).await;
    assert!(
        said.contains("does not run Four-ball wear, oil, 40 kgf (ASTM D4172, condition B)"),
        "{said}"
    );
    assert!(!said.contains('_'), "{said}");
    let rig = pages.app.archive().await.unwrap().rigs.into_iter().find(|rig| {
        rig.methods
            .iter()
            .any(|method| method.as_str() == "fb_wear_oil_B")
    });
    assert_eq!(fault(rig.unwrap().id.to_string()).await, "");
}
