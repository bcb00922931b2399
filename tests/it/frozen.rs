//! What was signed, after all that it was signed on has changed.

use crate::decision::{PLACE, signed, snapshots, trial};
use crate::machines_editor::second_version;
use crate::pages::{Pages, set};
use sqlx::sqlite::SqliteConnectOptions;
use sqlx::{AssertSqlSafe, ConnectOptions, Connection};

/// The machine in a second version with which the trial is judged from here on, by the program's own forms.
async fn another_machine(pages: &Pages) {
    let saved = second_version(pages, "drive", |fields| {
        set(fields, "c0.p.sliding_m_s.lo", "2");
        set(fields, "c0.p.sliding_m_s.hi", "3");
    });
    let saved = saved.await;
    assert_eq!(saved.status, 303, "{:?}", saved.texts(".fault:not(:empty)"));
    let place = "/trials/slow-drive/machine";
    let mut fields = pages.get(place).await.form("[data-adopt-form]");
    set(&mut fields, "reason", "measured anew");
    assert_eq!(pages.post(place, &fields).await.status, 303);
}

async fn void_every_run(pages: &Pages) {
    let records = pages.app.records(&trial()).await.unwrap();
    let counts = records
        .results
        .iter()
        .filter(|result| result.voided_at.is_empty());
    for id in counts.filter_map(|result| result.id) {
        // What the folder brought as void is void already.
        let _ = pages
            .app
            .void_result(&trial(), id, "the oil was mislabelled")
            .await;
    }
}

/// What no form changes once there are results, as another program would.
async fn another_set_up_and_method(pages: &Pages) {
    let file = SqliteConnectOptions::new().filename(pages.path("a.db"));
    let mut file = file.connect().await.unwrap();
    for sql in [
        "UPDATE trials SET title = 'Renamed', question = 'Another question?' WHERE trial = 'slow-drive'",
        "UPDATE trial_blends SET role = 'control' WHERE trial = 'slow-drive' AND blend = 'B-2'",
        "UPDATE trial_methods SET used_to = 'show' WHERE trial = 'slow-drive' AND quantity = 'depth'",
        "DELETE FROM trial_methods WHERE trial = 'slow-drive' AND quantity = 'colour'",
        "UPDATE methods SET title = 'Another bench', caution = 'other' WHERE method = 'own_bench'",
        "UPDATE method_quantities SET label = 'Groove', unit = 'mm', better = 'higher', repeatability = 1, reproducibility = 9 \
         WHERE method = 'own_bench' AND quantity = 'depth'",
    ] {
        sqlx::query(AssertSqlSafe(sql)).execute(&mut file).await.unwrap();
    }
    file.close().await.unwrap();
}

#[tokio::test(flavor = "multi_thread")]
async fn what_was_signed_reads_the_same_after_set_up_method_machine_and_every_run_have_changed() {
    let pages = signed().await;
    let record = async || pages.get(PLACE).await.texts("[data-decision]");
    let json = async || pages.json("/api/trials/slow-drive/decisions").await["decisions"].clone();
    let (words, frozen, bytes) = (record().await, json().await, snapshots(&pages).await);
    assert!(words[0].contains("less wear where the drive fails") && words[0].contains("Wear depth"));
    another_machine(&pages).await;
    void_every_run(&pages).await;
    another_set_up_and_method(&pages).await;
    assert_eq!(record().await, words);
    assert_eq!(json().await, frozen);
    assert_eq!(snapshots(&pages).await, bytes);
    let page = pages.get(PLACE).await;
    let kinds = page.texts("[data-change] td:first-child");
    for kind in ["result voided", "role", "test or gate", "machine", "method"] {
        assert!(kinds.contains(&kind.to_string()), "{kind} is not in {kinds:?}");
    }
    for path in ["/trials/slow-drive", "/trials/slow-drive/report"] {
        assert_eq!(pages.get(path).await.status, 200, "{path}");
    }
}
