//! Signing a decision: what a signature asks for, what is frozen with it, and what is said when the evidence changes.

use crate::folder::{files, write_to};
use crate::pages::{Fields, Pages, encoded, set};
use axum::body::Body;
use axum::http::{Request, header};
use likewear::facade::app::{App, Correction, StartWith};
use likewear::facade::records::TrialSlug;
use serde_json::Value;
use tower::ServiceExt;

pub(crate) const FORM: &str = "[data-sign-form]";
pub(crate) const PLACE: &str = "/trials/slow-drive/decision";

pub(crate) fn trial() -> TrialSlug {
    TrialSlug::new("slow-drive").unwrap()
}

/// The small archive with a control fluid, behind its pages.
pub(crate) async fn small() -> Pages {
    let pages = Pages::with(StartWith::Nothing).await;
    let mut files = files();
    for (file, line) in [
        ("blends.csv", "SYRUP,sugar syrup,other,,,,,,,,,\n"),
        ("trial_blends.csv", "slow-drive,SYRUP,control,\n"),
    ] {
        files.get_mut(file).unwrap().extend_from_slice(line.as_bytes());
    }
    write_to(&pages.path("small"), &files);
    pages.app.load(&pages.path("small")).await.unwrap();
    pages
}

/// The form filled in, with a sentence on every caution.
pub(crate) async fn filled(pages: &Pages) -> Fields {
    let mut fields = pages.get(PLACE).await.form(FORM);
    let said: Vec<String> = fields
        .keys()
        .filter(|name| name.starts_with("said."))
        .cloned()
        .collect();
    assert!(
        !said.is_empty(),
        "the trial must have a grave caution to be of use here"
    );
    for (place, name) in said.iter().enumerate() {
        set(&mut fields, name, &format!("Seen, and weighed as point {place}."));
    }
    set(&mut fields, "kind", "scale up");
    set(&mut fields, "chosen", "B-2");
    set(&mut fields, "signed_by", "lubrication engineer");
    set(&mut fields, "reason", "less wear where the drive fails");
    set(&mut fields, "dissent", "the workshop would wait");
    set(&mut fields, "date", "2024-07-01");
    fields
}

pub(crate) async fn signed() -> Pages {
    let pages = small().await;
    let page = pages.post(PLACE, &filled(&pages).await).await;
    assert_eq!(
        (page.status, page.location.as_str()),
        (303, PLACE),
        "{}",
        page.body
    );
    pages
}

pub(crate) async fn snapshots(pages: &Pages) -> Vec<String> {
    let records = pages.app.records(&trial()).await.unwrap();
    records
        .decisions
        .iter()
        .map(|decision| decision.snapshot.clone())
        .collect()
}

async fn add_a_result(app: &App) {
    let row =
        "blend,method,quantity,value,unit,rig,date,replicate\nB-1,own_bench,depth,4.1,um,R-1,2024-08-01,1\n";
    let done = app
        .confirm_import(row.as_bytes(), "more.csv", Some(&trial()))
        .await
        .unwrap();
    assert!(done.written);
}

#[tokio::test(flavor = "multi_thread")]
async fn every_grave_caution_wants_its_own_sentence_and_nothing_typed_is_lost() {
    let pages = small().await;
    let whole = filled(&pages).await;
    let names: Vec<&String> = whole.keys().filter(|name| name.starts_with("said.")).collect();
    let standing = pages.json("/api/trials/slow-drive/standing").await;
    let cautions = standing["cautions"].as_array().unwrap();
    let is_grave = |caution: &&Value| caution["severity"] == "stop" || caution["severity"] == "high";
    assert_eq!(names.len(), cautions.iter().filter(is_grave).count());
    assert!(
        cautions.len() > names.len(),
        "a caution that is not grave asks for no sentence"
    );
    for name in names {
        for left in ["", "  ", "ok"] {
            let mut fields = whole.clone();
            set(&mut fields, name, left);
            let page = pages.post(PLACE, &fields).await;
            assert_eq!(page.status, 422, "{name} '{left}'");
            let again = page.form(FORM);
            assert_eq!(again["reason"], whole["reason"]);
            assert_eq!(again["dissent"], whole["dissent"]);
            assert_eq!(again["chosen"], "B-2");
            assert_eq!(page.texts(".fault:not(:empty)").len(), 1, "{name} '{left}'");
            assert_eq!(
                page.count("[data-caution] .fault:not(:empty)"),
                1,
                "beside its caution"
            );
        }
    }
    assert_eq!(snapshots(&pages).await, [""], "only the decision of the folder");
}

#[tokio::test(flavor = "multi_thread")]
async fn a_choice_a_reason_and_a_day_that_has_come_are_needed() {
    let pages = small().await;
    let whole = filled(&pages).await;
    for (name, typed, words) in [
        ("reason", " ", "is empty; say why"),
        (
            "kind",
            "",
            "choose one of: scale up, hold, drop, iterate, no choice yet",
        ),
        ("kind", "approve", "'approve' is no kind of decision"),
        (
            "kind",
            "no choice yet",
            "names a blend, and 'no choice yet' chooses none",
        ),
        ("chosen", "", "choose one of its candidates (B-1, B-2)"),
        ("chosen", "none", "names no blend, and 'scale up' needs one"),
        ("signed_by", " ", "write a name or a role"),
        (
            "review_on",
            "2024-06-30",
            "lies before the decision; write 2024-07-01",
        ),
        ("review_on", "soon", "is not a date"),
        ("chosen", "B-9", "is not a blend of this trial"),
        ("chosen", "GOOD", "is a reference oil"),
        ("chosen", "SYRUP", "never in a machine"),
        ("date", "", "is empty"),
        ("date", "07/01/2024", "which is the day"),
        ("date", "2199-01-01", "lies ahead"),
    ] {
        let mut fields = whole.clone();
        set(&mut fields, name, typed);
        let page = pages.post(PLACE, &fields).await;
        assert_eq!(page.status, 422, "{name} '{typed}'");
        let faults = page.texts(".fault:not(:empty)");
        assert!(
            faults.len() == 1 && faults[0].contains(words),
            "{name} '{typed}': {faults:?}"
        );
        assert!(page.text("[data-problem]").contains("Nothing was signed"));
    }
    let offered = pages.get(PLACE).await.texts("#f-chosen option");
    assert_eq!(offered, ["no blend", "B-1, first try", "B-2, second try"]);
    assert_eq!(snapshots(&pages).await.len(), 1);
}

#[tokio::test(flavor = "multi_thread")]
async fn what_is_signed_shows_its_sentences_and_the_standing_that_was_frozen() {
    let pages = signed().await;
    let page = pages.get(PLACE).await;
    let first = page.texts("[data-decision] h3")[0].clone();
    assert_eq!(first, "1 July 2024: Scale up B-2", "the newest first");
    assert_eq!(page.count("[data-decision]"), 2);
    assert!(page.texts("[data-acknowledged] [data-said]")[0].starts_with("Seen, and weighed as point"));
    assert_eq!(page.text("[data-dissent]"), "the workshop would wait");
    assert_eq!(page.text("[data-frozen-sentence]"), page.text("[data-sentence]"));
    assert_eq!(page.count("[data-frozen-candidates] tbody tr"), 2);
    assert_eq!(
        page.count("[data-nothing-frozen]"),
        1,
        "the folder's decision has none"
    );
    assert!(page.text("[data-what-it-is]").contains("not an approval"));
    let list = pages.json("/api/trials").await;
    assert_eq!(list["trials"][0]["status"], "decided");
    assert_eq!(pages.json("/api/trials/slow-drive").await["status"], "decided");
    assert_eq!(pages.json("/api/trials?status=running").await["total"], 0);
    let json = pages.json("/api/trials/slow-drive/decisions").await;
    let frozen = &json["decisions"][0]["frozen"];
    assert_eq!(frozen["engine"], env!("CARGO_PKG_VERSION"));
    assert_eq!(frozen["standing"]["trial"], "slow-drive");
    assert_eq!(frozen["inputs"]["results.csv"].as_array().unwrap().len(), 9);
    assert_eq!(frozen["inputs"]["machines.csv"][0]["version"], "1");
    assert_eq!(frozen["inputs"]["methods.csv"][0]["method"], "own_bench");
    assert!(frozen["seed"].is_u64() && frozen["draws"].is_u64());
    assert_eq!(pages.app.check().await.unwrap(), []);
}

#[tokio::test(flavor = "multi_thread")]
async fn changed_evidence_is_told_record_by_record_and_never_touches_what_was_signed() {
    let pages = signed().await;
    let frozen = snapshots(&pages).await;
    let comparison = "/trials/slow-drive";
    assert_eq!(pages.get(PLACE).await.count("[data-since='same']"), 1);
    assert!(
        !pages
            .get(comparison)
            .await
            .text("[data-decision-line]")
            .contains("changed")
    );

    assert_eq!(pages.get("/").await.count("[data-evidence-changed]"), 0);

    add_a_result(&pages.app).await;
    assert_eq!(pages.get("/").await.count("[data-evidence-changed]"), 1);
    let page = pages.get(PLACE).await;
    assert_eq!(page.count("[data-since='changed']"), 1);
    assert_eq!(page.texts("[data-change] td:first-child"), ["result added"]);
    assert_eq!(page.count("[data-then-now]"), 2);
    assert!(
        pages
            .get(comparison)
            .await
            .text("[data-decision-line]")
            .contains("evidence has changed since")
    );

    let records = pages.app.records(&trial()).await.unwrap();
    let id = |written: &str| {
        let result = records
            .results
            .iter()
            .find(|result| result.value_as_written == written);
        result.unwrap().id.unwrap()
    };
    let correction = Correction {
        value: "9.5".into(),
        unit: "um".into(),
        reason: "misread".into(),
        accepted: false,
    };
    pages
        .app
        .correct_result(&trial(), id("9"), &correction)
        .await
        .unwrap();
    pages
        .app
        .void_result(&trial(), id("6.5"), "wrong oil")
        .await
        .unwrap();
    let page = pages.get(PLACE).await;
    let kinds = page.texts("[data-change] td:first-child");
    assert_eq!(kinds, ["result added", "result corrected", "result voided"]);
    let cells = page.texts("[data-change='result corrected'] td").join(" | ");
    assert!(
        cells.contains("9 um") && cells.contains("9.5 um, corrected: misread"),
        "{cells}"
    );
    assert_eq!(snapshots(&pages).await, frozen, "byte for byte");
}

#[tokio::test(flavor = "multi_thread")]
async fn what_was_not_seen_is_not_signed() {
    let pages = small().await;
    let fields = filled(&pages).await;
    add_a_result(&pages.app).await;
    let page = pages.post(PLACE, &fields).await;
    assert_eq!(page.status, 409);
    let again = page.form(FORM);
    assert_eq!(again["reason"], fields["reason"]);
    assert_ne!(again["seen"], fields["seen"]);
    assert_eq!(snapshots(&pages).await.len(), 1);
    // The form as it came back, looked at again, signs; sent twice it signs once.
    let mut again = again;
    let said: Vec<String> = again
        .keys()
        .filter(|name| name.starts_with("said."))
        .cloned()
        .collect();
    for name in said {
        set(&mut again, &name, "Looked at again with the new run.");
    }
    assert_eq!(pages.post(PLACE, &again).await.status, 303);
    assert_eq!(pages.post(PLACE, &again).await.status, 409);
    assert_eq!(snapshots(&pages).await.len(), 2);
}

#[tokio::test(flavor = "multi_thread")]
async fn a_further_decision_follows_and_choosing_none_opens_the_trial_again() {
    let pages = signed().await;
    for (kind, chosen) in [("scale up", "B-2"), ("no choice yet", "")] {
        let mut fields = filled(&pages).await;
        set(&mut fields, "kind", kind);
        set(&mut fields, "chosen", chosen);
        assert_eq!(pages.post(PLACE, &fields).await.status, 303, "{chosen}");
    }
    let page = pages.get(PLACE).await;
    assert_eq!(page.texts("[data-decision] h3")[0], "1 July 2024: No choice yet");
    assert_eq!(page.count("[data-decision]"), 4);
    assert_eq!(pages.json("/api/trials/slow-drive").await["status"], "running");
    assert_eq!(pages.json("/api/trials").await["trials"][0]["status"], "running");
}

#[tokio::test(flavor = "multi_thread")]
async fn what_was_frozen_survives_the_folder_and_the_folder_adds_nothing_twice() {
    let pages = signed().await;
    // A second one of the same day and choice is another decision.
    assert_eq!(pages.post(PLACE, &filled(&pages).await).await.status, 303);
    let out = pages.path("out");
    pages.app.export(&out).await.unwrap();
    let again = pages.app.load(&out).await.unwrap();
    assert_eq!(again.added.new_records(), 0);
    let other = Pages::with(StartWith::Nothing).await;
    other.app.load(&out).await.unwrap();
    assert_eq!(snapshots(&other).await, snapshots(&pages).await);
    let page = other.get(PLACE).await;
    assert_eq!(page.count("[data-since='same']"), 1, "{}", page.text("#since"));
    assert_eq!(other.json("/api/trials").await["trials"][0]["status"], "decided");
}

#[tokio::test(flavor = "multi_thread")]
async fn what_another_engine_froze_is_shown_as_far_as_it_can_be_read() {
    let pages = small().await;
    let mut files = files();
    let rows = [
        r#"slow-drive,2024-06-02,B-1,bare,,,"{""sentence"":""B-1 it is."",""candidates"":[{""blend"":""B-1"",""later"":1}]}""#,
        r#"slow-drive,2024-06-03,B-1,odd,,,"[1,2]""#,
        r#"slow-drive,2024-06-04,B-1,later,,words only,"{""engine"":9,""standing"":{""candidates"":{}},""inputs"":{""results.csv"":[]}}""#,
    ];
    let text = format!(
        "trial,date,chosen,reason,dissent,acknowledged,snapshot\nslow-drive,2024-06-01,none,more runs first,,,\n{}\n",
        rows.join("\n")
    );
    files.insert("decisions.csv".into(), text.into_bytes());
    write_to(&pages.path("more"), &files);
    pages.app.load(&pages.path("more")).await.unwrap();
    let page = pages.get(PLACE).await;
    assert_eq!((page.status, page.count("[data-decision]")), (200, 4));
    assert!(page.text("[data-engine]").contains("Then computed by 9"));
    assert_eq!(page.count("[data-change='result added']"), 9);
    assert!(
        page.texts("[data-frozen-sentence]")
            .contains(&"B-1 it is.".to_string())
    );
    assert_eq!(page.text("[data-raw] pre"), "[1,2]");
    assert!(page.texts("[data-said]").contains(&"words only".to_string()));
}

#[tokio::test(flavor = "multi_thread")]
async fn a_signature_needs_the_token_and_our_own_page() {
    let pages = small().await;
    let mut fields = filled(&pages).await;
    let foreign = Request::post(PLACE)
        .header(header::HOST, "127.0.0.1:4180")
        .header(header::CONTENT_TYPE, "application/x-www-form-urlencoded")
        .header(header::ORIGIN, "http://example.org")
        .body(Body::from(encoded(&fields)))
        .unwrap();
    let router = likewear::facade::web::router(pages.app.clone());
    assert_eq!(router.oneshot(foreign).await.unwrap().status().as_u16(), 403);
    set(&mut fields, "token", "0");
    assert_eq!(pages.post(PLACE, &fields).await.status, 403);
    assert_eq!(snapshots(&pages).await.len(), 1);
    assert_eq!(pages.get("/trials/nobody/decision").await.status, 404);
}
