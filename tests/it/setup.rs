//! Trials set up in their form: typed, refused beside the field, copied, changed while they run.

use crate::pages::{Fields, Pages, set};
use likewear::facade::app::StartWith;
use likewear::facade::records::{TrialSlug, TrialStatus};

const FORM: &str = "[data-setup-form]";

/// A trial on the demo's machine and blends, as people type it.
async fn filled(pages: &Pages) -> Fields {
    let mut fields = pages.get("/trials/new").await.form(FORM);
    for (name, value) in [
        ("slug", "wheel-flank-screen"),
        ("title", "Wheel flank screen"),
        ("question", "Which blend protects the flanks longest?"),
        ("machine", "lock-gate-winch"),
        ("opened_on", "2026-11-02"),
        ("b0.blend", "T-04"),
        ("b1.blend", "T-02"),
        ("t0.test", "fb_ep_oil/weld"),
        ("t0.reason", "always run"),
        ("t1.test", "cu_d130/class"),
        ("t1.use", "gate"),
        ("t1.limit", "<= 1b"),
    ] {
        set(&mut fields, name, value);
    }
    fields
}

async fn saved(pages: &Pages) {
    let mut fields = filled(pages).await;
    set(&mut fields, "do", "save");
    let page = pages.post("/trials/new", &fields).await;
    assert_eq!(
        (page.status, page.location.as_str()),
        (303, "/trials/wheel-flank-screen/plan"),
        "{:?} {:?}",
        page.text("[data-problem]"),
        page.texts(".fault:not(:empty)")
    );
}

fn slug(text: &str) -> TrialSlug {
    TrialSlug::new(text).unwrap()
}

#[tokio::test(flavor = "multi_thread")]
async fn a_trial_is_set_up_from_nothing_and_its_plan_answers_before_anything_is_run() {
    let pages = Pages::with(StartWith::Demo).await;
    let empty = pages.get("/trials/new").await;
    assert_eq!(empty.count("[data-blend-row]"), 4);
    assert_eq!(
        empty.count(".fault:not(:empty)"),
        0,
        "an empty form accuses nobody"
    );
    saved(&pages).await;
    let records = pages.app.records(&slug("wheel-flank-screen")).await.unwrap();
    assert_eq!(records.trial.status, TrialStatus::Planned);
    assert_eq!(records.trial.blends.len(), 2, "rows left empty are passed over");
    assert_eq!(records.trial.tests[1].limit, "<= 1b");
    assert_eq!(records.trial.machine_version, records.newest_machine_version);
    for place in ["", "/plan", "/results", "/setup"] {
        let page = pages.get(&format!("/trials/wheel-flank-screen{place}")).await;
        assert_eq!(page.status, 200, "{place}");
    }
    assert_eq!(pages.app.check().await.unwrap(), []);
}

#[tokio::test(flavor = "multi_thread")]
async fn every_fault_of_a_set_up_stands_beside_its_field_and_nothing_typed_is_lost() {
    let pages = Pages::with(StartWith::Demo).await;
    let mut fields = filled(&pages).await;
    for (name, value) in [
        ("slug", "Wheel Flank!"),
        ("question", ""),
        ("opened_on", "03/04/26"),
        ("b1.blend", "T-04"),
        ("b2.blend", "X-99"),
        ("b2.role", "known-good"),
        ("t0.cost", "-3"),
        ("t0.known_good", "K-01"),
        ("t1.limit", "<= 7z"),
        ("do", "save"),
    ] {
        set(&mut fields, name, value);
    }
    let page = pages.post("/trials/new", &fields).await;
    assert_eq!(page.status, 422);
    for (field, words) in [
        ("slug", "small letters"),
        ("question", "is empty"),
        ("opened-on", ""),
        ("b1-blend", "stands in an earlier row"),
        ("b2-blend", "is no blend of this file"),
        ("t0-cost", "must not be below 0"),
        ("t0-known-good", "not among the blends"),
        ("t1-limit", "is not one of the classes"),
    ] {
        let fault = page.text(&format!("#f-{field}-fault"));
        assert!(!fault.is_empty() && fault.contains(words), "{field}: '{fault}'");
    }
    assert_eq!(page.count(".fault:not(:empty)"), 8);
    fields.remove("do");
    assert_eq!(page.form(FORM), fields);
    assert!(pages.app.records(&slug("wheel-flank-screen")).await.is_err());
}

#[tokio::test(flavor = "multi_thread")]
async fn a_gate_without_a_limit_that_can_be_read_is_refused_beside_its_limit() {
    let pages = Pages::with(StartWith::Demo).await;
    for (limit, words) in [
        ("", "a gate needs one"),
        ("about 1b", "is not a limit"),
        (">= ten", "is not one of the classes"),
    ] {
        let mut fields = filled(&pages).await;
        set(&mut fields, "t1.limit", limit);
        set(&mut fields, "do", "save");
        let page = pages.post("/trials/new", &fields).await;
        assert_eq!(page.status, 422, "{limit}");
        let fault = page.text("#f-t1-limit-fault");
        assert!(fault.contains(words), "{limit}: {fault}");
        assert_eq!(page.count(".fault:not(:empty)"), 1);
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn rows_come_and_go_by_button_with_what_was_typed_kept() {
    let pages = Pages::with(StartWith::Demo).await;
    let mut fields = filled(&pages).await;
    set(&mut fields, "do", "add.blend");
    let page = pages.post("/trials/new", &fields).await;
    assert_eq!((page.status, page.count("[data-blend-row]")), (200, 5));
    let mut fields = page.form(FORM);
    assert_eq!(fields["b1.blend"], "T-02");
    set(&mut fields, "do", "remove.blend.0");
    let page = pages.post("/trials/new", &fields).await;
    let mut fields = page.form(FORM);
    assert_eq!(
        (page.count("[data-blend-row]"), fields["b0.blend"].as_str()),
        (4, "T-02")
    );
    set(&mut fields, "do", "remove.test.0");
    let page = pages.post("/trials/new", &fields).await;
    assert_eq!(page.form(FORM)["t0.test"], "cu_d130/class");
    assert_eq!(page.form(FORM)["title"], "Wheel flank screen");
}

#[tokio::test(flavor = "multi_thread")]
async fn a_copy_takes_blends_and_tests_of_a_past_trial_but_no_result_and_no_name() {
    let pages = Pages::with(StartWith::Demo).await;
    let past = pages.app.records(&slug("pitch-drive-full")).await.unwrap();
    assert!(!past.results.is_empty());
    let comparison = pages.get("/trials/pitch-drive-full").await;
    assert_eq!(comparison.count("a[href='/trials/new?from=pitch-drive-full']"), 1);
    let page = pages.get("/trials/new?from=pitch-drive-full").await;
    assert_eq!((page.status, page.count("[data-copied]")), (200, 1));
    let mut fields = page.form(FORM);
    assert_eq!(fields["slug"], "");
    set(&mut fields, "do", "save");
    let unnamed = pages.post("/trials/new", &fields).await;
    assert_eq!(unnamed.status, 422);
    assert!(unnamed.text("#f-slug-fault").contains("is empty"));
    set(&mut fields, "slug", "pitch-drive-full");
    let taken = pages.post("/trials/new", &fields).await;
    assert_eq!(taken.status, 422);
    assert!(taken.text("#f-slug-fault").contains("another trial"));
    set(&mut fields, "slug", "pitch-drive-again");
    let page = pages.post("/trials/new", &fields).await;
    assert_eq!(page.status, 303, "{:?}", page.texts(".fault:not(:empty)"));
    let copy = pages.app.records(&slug("pitch-drive-again")).await.unwrap();
    assert_eq!(copy.trial.blends, past.trial.blends);
    assert_eq!(copy.trial.tests, past.trial.tests);
    assert_eq!(copy.trial.machine, past.trial.machine);
    assert!(copy.results.is_empty() && copy.decisions.is_empty());
    assert!(copy.trial.invented, "a copy of an invented trial says so");
    assert_eq!(pages.get("/trials/new?from=nothing").await.status, 404);
}

#[tokio::test(flavor = "multi_thread")]
async fn a_running_trial_keeps_what_has_results_and_says_why_a_test_judges_otherwise() {
    let pages = Pages::with(StartWith::Demo).await;
    let records = pages.app.records(&slug("pitch-drive-full")).await.unwrap();
    assert_eq!(records.trial.status, TrialStatus::Running);
    let place = "/trials/pitch-drive-full/setup";
    let opened = pages.get(place).await;
    let mut fields = opened.form(FORM);
    set(&mut fields, "do", "save");
    let unchanged = pages.post(place, &fields).await;
    assert_eq!(
        unchanged.status,
        303,
        "{:?}",
        unchanged.texts(".fault:not(:empty)")
    );
    let again = pages.app.records(&slug("pitch-drive-full")).await.unwrap();
    assert_eq!(again, records, "saving what is there changes nothing");

    let run = |row: &usize| {
        let key = &records.trial.tests[*row].key;
        records.results.iter().any(|result| &result.key == key)
    };
    let row = (0..records.trial.tests.len()).find(run).unwrap();
    let mut other = fields.clone();
    let shown = if fields[&format!("t{row}.use")] == "show" {
        "weigh"
    } else {
        "show"
    };
    set(&mut other, &format!("t{row}.use"), shown);
    let page = pages.post(place, &other).await;
    assert_eq!(page.status, 422);
    assert!(
        page.text(&format!("#f-t{row}-reason-fault"))
            .contains("write here why")
    );
    set(
        &mut other,
        &format!("t{row}.reason"),
        "the rig was found unfit for this oil",
    );
    assert_eq!(pages.post(place, &other).await.status, 303);

    let mut without = pages.get(place).await.form(FORM);
    set(&mut without, &format!("t{row}.test"), "");
    for field in ["limit", "reason", "cost", "days", "known_good", "known_poor"] {
        set(&mut without, &format!("t{row}.{field}"), "");
    }
    let candidate = records.results[0].blend.to_string();
    let part = records
        .trial
        .blends
        .iter()
        .position(|part| part.blend.as_str() == candidate);
    let role = if fields[&format!("b{}.role", part.unwrap())] == "control" {
        "reference"
    } else {
        "control"
    };
    set(&mut without, &format!("b{}.role", part.unwrap()), role);
    set(&mut without, "do", "save");
    let page = pages.post(place, &without).await;
    assert_eq!(page.status, 422);
    assert!(page.text("#f-tests-fault").contains("it stays in the trial"));
    assert!(
        page.text(&format!("#f-b{}-role-fault", part.unwrap()))
            .contains("its role stays")
    );
}

#[tokio::test(flavor = "multi_thread")]
async fn a_closed_trial_keeps_its_set_up_and_a_form_of_another_page_changes_nothing() {
    let pages = Pages::with(StartWith::Demo).await;
    let list = pages.json("/api/trials?status=closed").await;
    let closed = list["trials"][0]["trial"].as_str().unwrap();
    assert_eq!(pages.get(&format!("/trials/{closed}/setup")).await.status, 409);
    let mut fields = filled(&pages).await;
    set(&mut fields, "do", "save");
    set(&mut fields, "token", "0");
    assert_eq!(pages.post("/trials/new", &fields).await.status, 403);
    assert!(pages.app.records(&slug("wheel-flank-screen")).await.is_err());
}
