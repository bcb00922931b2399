//! Kinds of decisions: what each asks for, how it is said on every page, and how records from before there were kinds read.

use crate::decision::{FORM, PLACE, filled, signed, small, snapshots, trial};
use crate::folder::{files, write_to};
use crate::pages::{Pages, set};
use likewear::facade::app::{App, StartWith};
use sqlx::sqlite::SqliteConnectOptions;
use sqlx::{AssertSqlSafe, ConnectOptions, Connection};

const HEAD: &str = "trial,date,chosen,reason,dissent,acknowledged,snapshot";

async fn load(pages: &Pages, decisions: &str) -> Result<(), String> {
    let mut files = files();
    files.insert("decisions.csv".into(), decisions.to_string().into_bytes());
    write_to(&pages.path("more"), &files);
    let loaded = pages.app.load(&pages.path("more")).await;
    loaded.map(|_| ()).map_err(|refused| format!("{refused:?}"))
}

#[tokio::test(flavor = "multi_thread")]
async fn each_kind_is_signed_with_the_blend_it_needs_and_only_scaling_up_decides_the_trial() {
    let pages = small().await;
    for (kind, blend, review, words, status) in [
        ("scale up", "B-2", "", "Scale up B-2", "decided"),
        (
            "hold",
            "B-1",
            "2024-07-01",
            "Hold B-1, review 1 July 2024",
            "running",
        ),
        ("drop", "B-1", "", "Drop B-1", "running"),
        (
            "iterate",
            "B-1",
            "2027-01-12",
            "Iterate B-1, review 12 January 2027",
            "running",
        ),
        ("iterate", "", "", "Iterate", "running"),
        (
            "scale up",
            "B-1",
            "12 January 2027",
            "Scale up B-1, review 12 January 2027",
            "decided",
        ),
        ("no choice yet", "", "", "No choice yet", "running"),
    ] {
        let mut fields = filled(&pages).await;
        for (name, typed) in [("kind", kind), ("chosen", blend), ("review_on", review)] {
            set(&mut fields, name, typed);
        }
        assert_eq!(pages.post(PLACE, &fields).await.status, 303, "{words}");
        let page = pages.get(PLACE).await;
        assert_eq!(
            page.texts("[data-decision] h3")[0],
            format!("1 July 2024: {words}")
        );
        let line = pages.get("/trials/slow-drive").await.text("[data-decision-line]");
        assert!(line.starts_with(&format!("1 July 2024: {words}")), "{line}");
        let report = pages.get("/trials/slow-drive/report").await;
        assert_eq!(
            report.texts("[data-decision] h3")[0],
            format!("1 July 2024: {words}")
        );
        let of_trial = pages.json("/api/trials/slow-drive").await;
        let of_list = pages.json("/api/trials").await;
        assert_eq!(of_trial["status"], status, "{words}");
        assert_eq!(of_list["trials"][0]["status"], status, "{words}");
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn a_kind_that_needs_a_blend_is_refused_without_one_and_another_is_not() {
    let pages = small().await;
    for (kind, status) in [
        ("scale up", 422),
        ("hold", 422),
        ("drop", 422),
        ("iterate", 303),
        ("no choice yet", 303),
    ] {
        let mut fields = filled(&pages).await;
        set(&mut fields, "kind", kind);
        set(&mut fields, "chosen", "");
        let page = pages.post(PLACE, &fields).await;
        assert_eq!(page.status, status, "{kind}");
        if status == 422 {
            let again = page.form(FORM);
            assert_eq!(
                (again["kind"].as_str(), again["signed_by"].as_str()),
                (kind, "lubrication engineer")
            );
        }
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn a_signers_name_ends_where_it_is_too_long() {
    let pages = small().await;
    for (length, status) in [(121, 422), (120, 303), (119, 303)] {
        let mut fields = filled(&pages).await;
        set(&mut fields, "signed_by", &"n".repeat(length));
        assert_eq!(pages.post(PLACE, &fields).await.status, status, "{length}");
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn who_signed_and_what_comes_next_are_shown_handed_on_and_survive_the_folder() {
    let pages = small().await;
    let mut fields = filled(&pages).await;
    for (name, typed) in [
        ("kind", "hold"),
        ("review_on", "2027-01-12"),
        ("next", "run foaming"),
    ] {
        set(&mut fields, name, typed);
    }
    assert_eq!(pages.post(PLACE, &fields).await.status, 303);
    let out = pages.path("out");
    pages.app.export(&out).await.unwrap();
    let other = Pages::with(StartWith::Nothing).await;
    other.app.load(&out).await.unwrap();
    for pages in [&pages, &other] {
        let page = pages.get(PLACE).await;
        assert_eq!(page.text("[data-signed-by]"), "Signed by lubrication engineer");
        assert_eq!(page.text("[data-next]"), "Next: run foaming");
        let json = pages.json("/api/trials/slow-drive/decisions").await["decisions"][0].clone();
        for (field, value) in [
            ("kind", "hold"),
            ("chosen", "B-2"),
            ("signed_by", "lubrication engineer"),
            ("review_on", "2027-01-12"),
            ("next", "run foaming"),
        ] {
            assert_eq!(json[field], value, "{field}");
        }
        let blend = pages.get("/blends/B-2").await.texts("[data-decided]");
        assert_eq!(blend.len(), 1);
        assert!(
            blend[0].starts_with("1 July 2024: Hold B-2, review 12 January 2027"),
            "{blend:?}"
        );
        let none = pages.get("/blends/B-1").await;
        assert_eq!(none.count("[data-decided]"), 0);
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn a_folder_without_kinds_reads_as_what_its_decisions_were() {
    let pages = Pages::with(StartWith::Nothing).await;
    let rows = "slow-drive,2024-06-01,none,more runs first,,,\nslow-drive,2024-06-02,B-1,less wear,,,\n";
    load(&pages, &format!("{HEAD}\n{rows}")).await.unwrap();
    let headings = pages.get(PLACE).await.texts("[data-decision] h3");
    assert_eq!(
        headings,
        ["2 June 2024: Scale up B-1", "1 June 2024: No choice yet"]
    );
    assert_eq!(pages.get(PLACE).await.count("[data-signed-by], [data-next]"), 0);
}

#[tokio::test(flavor = "multi_thread")]
async fn a_folder_whose_kind_and_blend_do_not_go_together_is_refused() {
    for (chosen, kind, problem) in [
        ("none", "scale up", "names no blend, and 'scale up' needs one"),
        ("none", "hold", "names no blend, and 'hold' needs one"),
        ("none", "drop", "names no blend, and 'drop' needs one"),
        (
            "B-1",
            "no choice yet",
            "names a blend, and 'no choice yet' chooses none",
        ),
        ("none", "iterate", ""),
        ("B-1", "iterate", ""),
        ("B-1", "drop", ""),
        ("none", "", ""),
    ] {
        let pages = Pages::with(StartWith::Nothing).await;
        let row = format!("slow-drive,2024-06-01,{chosen},why,,,,{kind}");
        let loaded = load(&pages, &format!("{HEAD},kind\n{row}\n")).await;
        match loaded {
            Ok(()) => assert_eq!(problem, "", "{chosen} {kind}"),
            Err(refused) => assert!(!problem.is_empty() && refused.contains(problem), "{refused}"),
        }
    }
}

/// Takes a file back to how it was before decisions had kinds.
async fn before_there_were_kinds(pages: &Pages) {
    let file = SqliteConnectOptions::new().filename(pages.path("a.db"));
    let mut file = file.connect().await.unwrap();
    for sql in [
        "DROP INDEX decisions_signed",
        "DROP INDEX decisions_on_blend",
        "DROP INDEX decisions_newest",
        "CREATE INDEX decisions_by_trial ON decisions (trial)",
        "DROP TRIGGER words_of_new_decision",
        "ALTER TABLE decisions DROP COLUMN kind",
        "ALTER TABLE decisions DROP COLUMN signed_by",
        "ALTER TABLE decisions DROP COLUMN review_on",
        "ALTER TABLE decisions DROP COLUMN next_action",
        "CREATE INDEX decisions_signed ON decisions (trial, decided_on, id, chosen) WHERE snapshot <> ''",
        "CREATE TRIGGER words_of_new_decision AFTER INSERT ON decisions BEGIN SELECT 1; END",
        "ALTER TABLE methods DROP COLUMN safety",
        "ALTER TABLE blends DROP COLUMN base_oil_kv100_mm2_s",
        "DELETE FROM _sqlx_migrations WHERE version >= 12",
    ] {
        sqlx::query(AssertSqlSafe(sql)).execute(&mut file).await.unwrap();
    }
    file.close().await.unwrap();
}

#[tokio::test(flavor = "multi_thread")]
async fn a_file_from_before_there_were_kinds_opens_with_its_frozen_decision_byte_for_byte() {
    let Pages { app, folder, .. } = {
        let pages = signed().await;
        before_there_were_kinds(&pages).await;
        pages
    };
    let file = folder.path().join("a.db");
    let frozen = {
        let mut file = SqliteConnectOptions::new()
            .filename(&file)
            .connect()
            .await
            .unwrap();
        let sql = "SELECT snapshot FROM decisions WHERE trial = $1 ORDER BY id";
        let kept: Vec<String> = sqlx::query_scalar(sql)
            .bind(trial().to_string())
            .fetch_all(&mut file)
            .await
            .unwrap();
        file.close().await.unwrap();
        kept
    };
    app.close_shared().await.unwrap();
    let again = Pages::over(App::open(&file).await.unwrap(), folder);
    assert_eq!(snapshots(&again).await, frozen);
    let page = again.get(PLACE).await;
    let headings = page.texts("[data-decision] h3");
    assert_eq!(
        headings,
        ["1 July 2024: Scale up B-2", "1 June 2024: No choice yet"]
    );
    assert_eq!(page.count("[data-since='same']"), 1);
    assert_eq!(again.json("/api/trials").await["trials"][0]["status"], "decided");
    assert_eq!(again.app.check().await.unwrap(), []);
}

#[tokio::test(flavor = "multi_thread")]
async fn the_demo_says_what_was_decided_on_each_blend() {
    let pages = Pages::with(StartWith::Demo).await;
    let record = pages.get("/trials/pitch-drive-full/decision").await;
    assert_eq!(
        record.texts("[data-decision] h3"),
        [
            "18 June 2025: No choice yet, review 17 September 2025",
            "3 February 2025: Hold T-13, review 2 February 2026",
            "20 January 2025: Hold T-12, review 21 July 2025",
            "29 July 2024: Iterate T-01, review 30 September 2024",
            "22 July 2024: Drop T-11",
        ]
    );
    assert_eq!(record.count("[data-signed-by]"), 5);
    let dropped = pages.get("/blends/T-11").await.texts("[data-decided]");
    assert!(
        dropped[0].starts_with("22 July 2024: Drop T-11 leads weld load"),
        "{dropped:?}"
    );
}
