//! The file: what its triggers refuse, what survives, what `check` finds.

use crate::folder::{accepted, also, archive, files, with, with_line};
use likewear::facade::catalogue::{MethodId, Value};
use likewear::facade::records::{
    Archive, BlendCode, Component, ComponentName, Level, ResultStatus, Role, TrialSlug,
};
use likewear::facade::store::{Conflict, Store, StoreError, TrialFilter};
use sqlx::sqlite::SqliteConnectOptions;
use sqlx::{AssertSqlSafe, ConnectOptions, Connection, Row, SqliteConnection};
use std::path::{Path, PathBuf};
use tempfile::TempDir;

const NOW: &str = "2026-11-24T08:00:00Z";

struct Place {
    _folder: TempDir,
    path: PathBuf,
}

fn place() -> Place {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("archive.db");
    Place {
        _folder: folder,
        path,
    }
}

/// A new file that holds an archive.
async fn stored(path: &Path, archive: &Archive) -> Store {
    let store = Store::open_new(path).await.unwrap();
    store.insert_archive(archive, NOW).await.unwrap();
    store
}

/// Another program at the same file, which knows nothing of our settings.
async fn stranger(path: &Path) -> SqliteConnection {
    SqliteConnectOptions::new()
        .filename(path)
        .connect()
        .await
        .unwrap()
}

async fn run(connection: &mut SqliteConnection, sql: &str) -> Result<u64, String> {
    let done = sqlx::query(AssertSqlSafe(sql.to_string()))
        .execute(connection)
        .await;
    done.map(|done| done.rows_affected())
        .map_err(|error| error.to_string())
}

async fn conflicts(store: &Store, archive: &Archive) -> Vec<Conflict> {
    match store.insert_archive(archive, NOW).await {
        Err(StoreError::Conflicts(conflicts)) => conflicts,
        other => panic!("{other:?}"),
    }
}

#[tokio::test]
async fn what_is_stored_reads_back_with_its_numbers_and_the_time_of_entry() {
    let place = place();
    let mut expected = archive();
    let store = stored(&place.path, &expected).await;
    for (index, result) in expected.results.iter_mut().enumerate() {
        result.id = Some(index as i64 + 1);
        result.entered_at = NOW.to_string();
    }
    for machine in &mut expected.machines {
        machine.entered_at = NOW.to_string();
    }
    assert_eq!(store.read_archive().await.unwrap(), expected);
    assert_eq!(store.check().await.unwrap(), []);
}

#[tokio::test]
async fn the_file_is_opened_with_full_synchronisation_a_log_and_foreign_keys() {
    let place = place();
    let store = stored(&place.path, &archive()).await;
    let settings = store.settings().await.unwrap();
    for (name, expected) in [
        ("journal_mode", "wal"),
        ("synchronous", "2"),
        ("foreign_keys", "1"),
    ] {
        assert_eq!(settings.get(name).map(String::as_str), Some(expected), "{name}");
    }
    store.close().await.unwrap();
    let mut other = stranger(&place.path).await;
    let tables = sqlx::query(
        "SELECT name FROM pragma_table_list WHERE type = 'table' AND strict = 0 AND name NOT LIKE 'sqlite%'",
    )
    .fetch_all(&mut other)
    .await
    .unwrap();
    let loose: Vec<String> = tables.iter().map(|row| row.get(0)).collect();
    assert_eq!(loose, ["_sqlx_migrations"], "every table of ours is STRICT");
}

#[tokio::test]
async fn after_closing_nothing_is_left_in_the_log() {
    let place = place();
    stored(&place.path, &archive()).await.close().await.unwrap();
    let log = place.path.with_file_name("archive.db-wal");
    assert!(!log.exists() || std::fs::metadata(&log).unwrap().len() == 0);
    let copy = place.path.with_file_name("copy.db");
    std::fs::copy(&place.path, &copy).unwrap();
    let copied = Store::open(&copy).await.unwrap();
    assert_eq!(copied.read_archive().await.unwrap().results.len(), 9);
}

#[tokio::test]
async fn another_program_can_neither_delete_nor_change_what_is_append_only() {
    let place = place();
    let store = stored(&place.path, &archive()).await;
    let before = store.read_archive().await.unwrap();
    let mut other = stranger(&place.path).await;
    for sql in [
        "DELETE FROM results WHERE id = 1",
        "DELETE FROM results",
        "UPDATE results SET value_lo = 1, value_hi = 1 WHERE id = 1",
        "UPDATE results SET note = 'x' WHERE id = 1",
        "UPDATE results SET id = 99 WHERE id = 1",
        "UPDATE results SET status = 'valid' WHERE status = 'void'",
        "UPDATE results SET status = 'void' WHERE id = 1",
        "UPDATE results SET status = 'void', voided_at = '2026-11-24', void_reason = '' WHERE id = 1",
        "UPDATE results SET status = 'void', voided_at = '2026-11-24', void_reason = 'x', note = 'y' WHERE id = 1",
        "INSERT OR REPLACE INTO results SELECT * FROM results WHERE id = 1",
        "DELETE FROM readings",
        "UPDATE readings SET value = '0'",
        "INSERT OR REPLACE INTO readings SELECT * FROM readings",
        "DELETE FROM decisions",
        "UPDATE decisions SET chosen = 'B-2'",
        "INSERT OR REPLACE INTO decisions SELECT * FROM decisions",
        "DELETE FROM machine_versions",
        "UPDATE machine_versions SET note = 'x'",
        "INSERT OR REPLACE INTO machine_versions SELECT * FROM machine_versions",
        "DELETE FROM machine_contacts",
        "UPDATE machine_contacts SET share = 0.5",
        "INSERT OR REPLACE INTO machine_contacts SELECT * FROM machine_contacts",
        "INSERT INTO machine_adoptions (trial, from_version, to_version, adopted_at, reason) \
         VALUES ('slow-drive', 2, 1, '', 'x')",
        "UPDATE trials SET machine_version = 2",
        "INSERT INTO trials SELECT 99, 'other', title, question, machine, status, opened_on, closed_on, \
         machine_confidence, invented, 7, '', NULL, NULL, NULL FROM trials",
    ] {
        let refusal = run(&mut other, sql).await.expect_err(sql);
        let of_ours = [
            "append-only",
            "stays as it is",
            "CHECK constraint",
            "follow each other",
            "from the one it has",
            "keeps the version it was judged with",
            "no such version",
        ];
        assert!(
            of_ours.iter().any(|words| refusal.contains(words)),
            "{sql}: {refusal}"
        );
    }
    assert_eq!(store.read_archive().await.unwrap(), before);
}

#[tokio::test]
async fn replacing_a_run_under_another_number_is_refused_too() {
    let place = place();
    stored(&place.path, &archive()).await;
    let mut other = stranger(&place.path).await;
    let columns = "trial, blend, method, quantity, value_kind, value_lo, value_hi, value_class, off_ladder, \
        value_as_written, unit_as_written, rig, run_on, replicate, campaign, conditions, purpose, status, reason, source, \
        note, origin, entered_at";
    let sql = format!(
        "INSERT OR REPLACE INTO results (id, {columns}) SELECT 77, {columns} FROM results WHERE id = 1"
    );
    assert!(run(&mut other, &sql).await.unwrap_err().contains("already there"));
}

#[tokio::test]
async fn a_result_is_voided_once_and_stays_readable_with_its_reason() {
    let place = place();
    let store = stored(&place.path, &archive()).await;
    let mut other = stranger(&place.path).await;
    let void = |reason: &str| {
        format!(
            "UPDATE results SET status = 'void', voided_at = '2026-11-25', void_reason = '{reason}' WHERE id = 4"
        )
    };
    assert_eq!(run(&mut other, &void("wrong ball")).await, Ok(1));
    assert!(run(&mut other, &void("second thoughts")).await.is_err());
    let result = store.read_archive().await.unwrap().results.remove(3);
    assert_eq!(result.status, ResultStatus::Void);
    assert_eq!(
        (result.reason.as_str(), result.voided_at.as_str()),
        ("wrong ball", "2026-11-25")
    );
    assert_eq!(result.value, Value::Exact(8.5));
}

#[tokio::test]
async fn a_second_insert_adds_nothing_also_after_a_void() {
    let place = place();
    let store = stored(&place.path, &archive()).await;
    let again = store.insert_archive(&archive(), "later").await.unwrap();
    assert_eq!(again.new_records(), 0);
    assert!(again.counts().map(|(_, count)| count.same).sum::<usize>() > 20);
    let mut other = stranger(&place.path).await;
    let void = "UPDATE results SET status = 'void', voided_at = 'x', void_reason = 'spilt' WHERE id = 1";
    run(&mut other, void).await.unwrap();
    assert_eq!(
        store
            .insert_archive(&archive(), "later")
            .await
            .unwrap()
            .new_records(),
        0
    );
    assert_eq!(
        store.read_archive().await.unwrap().results[0].status,
        ResultStatus::Void
    );
}

#[tokio::test]
async fn other_values_under_the_same_key_are_refused_and_both_are_named() {
    let place = place();
    let store = stored(&place.path, &archive()).await;
    let before = store.read_archive().await.unwrap();
    let mut changed = with("results.csv", "depth,5.5,um", "depth,5.7,um");
    changed = also(changed, "blends.csv", "second try", "third try");
    changed = also(changed, "composition.csv", "B-1,base A,97.5", "B-1,base A,97.4");
    changed = with_line(changed, "components.csv", "additive C,antioxidant,");
    let found = conflicts(&store, &accepted(&changed).archive).await;
    let words: Vec<String> = found.iter().map(ToString::to_string).collect();
    assert_eq!(words.len(), 3, "{words:#?}");
    assert!(words[0].contains("97.5") && words[0].contains("97.4"));
    assert_eq!(
        words[1],
        "blend B-2: there is name 'second try', given is name 'third try'"
    );
    assert_eq!(
        words[2],
        "result slow-drive, GOOD, own_bench/depth, R-1, 2024-04-01, replicate 1: there is value '5.5', given is value '5.7'"
    );
    assert_eq!(
        store.read_archive().await.unwrap(),
        before,
        "nothing of it is kept"
    );
}

#[tokio::test]
async fn a_trial_takes_new_blends_tests_and_results_in_behind_its_own() {
    let place = place();
    let store = stored(&place.path, &archive()).await;
    let mut more = with_line(files(), "blends.csv", "B-3,third try,oil,,B-2,,,,,,,");
    more = with_line(more, "trial_blends.csv", "slow-drive,B-3,candidate,");
    more = with_line(
        more,
        "results.csv",
        "slow-drive,B-3,own_bench,depth,6,um,R-1,2024-05-10,1,2024Q2,,test,valid,,measured,",
    );
    let added = store.insert_archive(&accepted(&more).archive, NOW).await.unwrap();
    assert_eq!(added.new_records(), 3);
    let records = store
        .read_trial_records(&TrialSlug::new("slow-drive").unwrap())
        .await
        .unwrap()
        .unwrap();
    assert_eq!(records.trial.blends[4].blend.as_str(), "B-3");
    assert_eq!(records.results.last().unwrap().id, Some(10));
    let mut second_good = accepted(&more).archive;
    let parts = &mut second_good.trials[0].blends;
    parts.remove(0);
    parts[3].role = Role::Reference;
    parts[3].level = Some(Level::KnownGood);
    parts[3].blend = BlendCode::new("B-4").unwrap();
    second_good.blends[4].code = BlendCode::new("B-4").unwrap();
    second_good.results.truncate(9);
    let found = conflicts(&store, &second_good).await;
    assert_eq!(
        (found.len(), found[0].there.as_str(), found[0].given.as_str()),
        (1, "GOOD", "B-4")
    );
}

#[tokio::test]
async fn numbers_and_corrections_are_kept_and_a_taken_number_is_refused() {
    let first = place();
    let mut history = archive();
    for (index, result) in history.results.iter_mut().enumerate() {
        result.id = Some(index as i64 * 10 + 10);
    }
    let mut correction = history.results[0].clone();
    (correction.id, correction.supersedes) = (Some(500), Some(10));
    correction.value = Value::Exact(5.6);
    correction.value_as_written = "5.6".into();
    history.results.push(correction);
    let store = stored(&first.path, &history).await;
    let there = store.read_archive().await.unwrap();
    assert_eq!(there.results.last().unwrap().supersedes, Some(10));
    assert_eq!(store.insert_archive(&there, NOW).await.unwrap().new_records(), 0);
    assert_eq!(
        store.insert_archive(&archive(), NOW).await.unwrap().new_records(),
        0,
        "the first entry is known"
    );

    let second = place();
    let plain = stored(&second.path, &archive()).await;
    assert_eq!(
        plain.insert_archive(&there, NOW).await.unwrap().new_records(),
        1,
        "the correction alone"
    );
    let corrected = plain.read_archive().await.unwrap();
    assert_eq!(
        corrected.results.last().unwrap().supersedes,
        Some(1),
        "it points to the number in this file"
    );
    assert_eq!(plain.check().await.unwrap(), []);

    let mut taken = archive();
    taken.results.truncate(1);
    taken.results[0].replicate = 7;
    taken.results[0].id = Some(2);
    let found = conflicts(&plain, &taken).await;
    assert_eq!((found[0].what, found[0].key.as_str()), ("result id", "2"));
}

#[tokio::test]
async fn two_corrections_of_one_result_are_refused() {
    let place = place();
    let mut history = archive();
    history.results.truncate(1);
    history.results[0].id = Some(1);
    let revision = |id, value: &str| {
        let mut revision = history.results[0].clone();
        (revision.id, revision.supersedes) = (Some(id), Some(1));
        revision.value_as_written = value.into();
        revision.value = Value::Exact(value.parse().unwrap());
        revision
    };
    let mut one = history.clone();
    one.results.push(revision(2, "5.6"));
    let store = stored(&place.path, &one).await;
    let mut other = history.clone();
    other.results.push(revision(3, "5.7"));
    assert_eq!(conflicts(&store, &other).await.len(), 1);
}

#[tokio::test]
async fn a_write_that_breaks_off_half_way_leaves_nothing() {
    let place = place();
    let store = stored(&place.path, &archive()).await;
    let before = store.read_archive().await.unwrap();
    // The component is written first; the outcome's foreign key fails after it.
    let mut broken = archive();
    broken.components.push(Component {
        name: ComponentName::new("additive C").unwrap(),
        class: String::new(),
        note: String::new(),
    });
    broken.outcomes[0].blend = BlendCode::new("nobody").unwrap();
    assert!(matches!(
        store.insert_archive(&broken, NOW).await,
        Err(StoreError::Db(_))
    ));
    assert_eq!(store.read_archive().await.unwrap(), before);

    let mut other = stranger(&place.path).await;
    let mut transaction = other.begin_with("BEGIN IMMEDIATE").await.unwrap();
    run(
        &mut transaction,
        "INSERT INTO components (component, class, note) VALUES ('half', '', '')",
    )
    .await
    .unwrap();
    drop(transaction);
    drop(other);
    assert_eq!(store.read_archive().await.unwrap(), before);
}

#[tokio::test]
async fn a_preview_writes_nothing() {
    let place = place();
    let store = Store::open_new(&place.path).await.unwrap();
    let added = store.preview_archive(&archive()).await.unwrap();
    assert!(added.new_records() > 20);
    assert_eq!(store.read_archive().await.unwrap(), Archive::default());
    assert_eq!(store.writes().await.unwrap(), 0);
}

#[tokio::test]
async fn every_write_is_counted_and_a_load_of_nothing_new_is_none() {
    let place = place();
    let store = stored(&place.path, &archive()).await;
    assert_eq!(store.writes().await.unwrap(), 1);
    store.insert_archive(&archive(), NOW).await.unwrap();
    assert_eq!(store.writes().await.unwrap(), 1);
}

#[tokio::test]
async fn a_second_start_finds_what_the_first_one_left() {
    let place = place();
    stored(&place.path, &archive()).await.close().await.unwrap();
    let store = Store::open(&place.path).await.unwrap();
    assert_eq!(store.read_archive().await.unwrap().results.len(), 9);
    assert!(matches!(
        Store::open_new(&place.path).await,
        Err(StoreError::AlreadyThere(_))
    ));
}

#[tokio::test]
async fn what_is_not_ours_is_refused_and_left_as_it_is() {
    let place = place();
    assert!(matches!(
        Store::open(&place.path).await,
        Err(StoreError::NotFound(_))
    ));
    std::fs::write(
        &place.path,
        "not a database, but long enough to be taken for one ".repeat(20),
    )
    .unwrap();
    let refusal = Store::open(&place.path).await.unwrap_err().to_string();
    assert!(refusal.contains("is not a database"), "{refusal}");
    std::fs::remove_file(&place.path).unwrap();

    let options = SqliteConnectOptions::new()
        .filename(&place.path)
        .create_if_missing(true);
    let mut theirs = options.connect().await.unwrap();
    run(&mut theirs, "CREATE TABLE letters (id INTEGER)")
        .await
        .unwrap();
    theirs.close().await.unwrap();
    let bytes = std::fs::read(&place.path).unwrap();
    let refusal = Store::open(&place.path).await.unwrap_err().to_string();
    assert!(refusal.contains("another program"), "{refusal}");
    assert_eq!(std::fs::read(&place.path).unwrap(), bytes);

    let nowhere = place.path.with_file_name("no").join("archive.db");
    assert!(matches!(
        Store::open_new(&nowhere).await,
        Err(StoreError::NotFound(_))
    ));
    assert!(Store::open(place.path.parent().unwrap()).await.is_err());
}

#[tokio::test]
async fn check_finds_what_a_stranger_broke() {
    for (sql, words) in [
        (
            "UPDATE blend_components SET wt_pct = 50 WHERE blend = 'B-1' AND component = 'base A'",
            "sum to 52.50",
        ),
        (
            "DROP TRIGGER machine_contacts_are_never_changed; UPDATE machine_contacts SET share = 0.9 WHERE contact = 'mesh'",
            "sum to 1.300",
        ),
        (
            "DROP TRIGGER machine_contacts_are_never_changed; UPDATE machine_contacts SET parameters = 'x' WHERE contact = 'mesh'",
            "cannot be read",
        ),
        (
            "DROP TRIGGER machine_contacts_are_never_changed; UPDATE machine_contacts SET main_modes = 'boredom'",
            "is not a value of this column",
        ),
        (
            "DROP TRIGGER trials_change_to_a_version_that_is_there; \
             DROP TRIGGER trials_keep_the_version_they_were_judged_with; UPDATE trials SET machine_version = 9",
            "names a version 9",
        ),
        (
            "UPDATE blends SET made_on = '2024-02-30' WHERE blend = 'B-1'",
            "is not a value of this column",
        ),
        (
            "UPDATE blends SET parent = 'B-2' WHERE blend = 'B-1'",
            "leads back",
        ),
        (
            "UPDATE method_quantities SET unit = 'furlong' WHERE quantity = 'depth'",
            "furlong",
        ),
        (
            "UPDATE trial_methods SET method = 'nobody' WHERE quantity = 'load'",
            "not known",
        ),
        (
            "UPDATE trial_methods SET gate_limit = '<= 9z' WHERE quantity = 'colour'",
            "9z",
        ),
        (
            "UPDATE rig_methods SET method = 'nobody' WHERE method = 'own_bench'",
            "nobody",
        ),
        (
            "DELETE FROM components WHERE component = 'base A'",
            "not in components",
        ),
        (
            "INSERT INTO results SELECT 90, trial, 'B-1', method, quantity, value_kind, value_lo, value_hi, value_class, \
             off_ladder, value_as_written, unit_as_written, rig, run_on, replicate, campaign, conditions, purpose, status, \
             reason, source, note, origin, entered_at, 1, voided_at, void_reason, accepted, last_passed FROM results \
             WHERE id = 2",
            "which is another run",
        ),
        (
            "DROP INDEX trial_blends_one_known_good_and_poor; \
             UPDATE trial_blends SET level = 'known-good' WHERE level = 'known-poor'",
            "2 reference oils",
        ),
        (
            "DROP TRIGGER results_are_only_voided_and_only_once; \
             UPDATE results SET supersedes = 2 WHERE id = 1; UPDATE results SET supersedes = 1 WHERE id = 2; \
             UPDATE results SET trial = 'slow-drive', blend = 'GOOD', run_on = '2024-04-01' WHERE id = 2",
            "by way of others",
        ),
    ] {
        let place = place();
        let store = stored(&place.path, &archive()).await;
        let mut other = stranger(&place.path).await;
        sqlx::raw_sql("PRAGMA foreign_keys = OFF")
            .execute(&mut other)
            .await
            .unwrap();
        sqlx::raw_sql(AssertSqlSafe(sql.to_string()))
            .execute(&mut other)
            .await
            .unwrap();
        let problems: Vec<String> = store
            .check()
            .await
            .unwrap()
            .iter()
            .map(ToString::to_string)
            .collect();
        assert!(
            problems.iter().any(|problem| problem.contains(words)),
            "{sql}: {problems:?}"
        );
    }
}

#[tokio::test]
async fn a_dossier_holds_what_the_judgement_of_its_trial_needs() {
    let place = place();
    let store = stored(&place.path, &archive()).await;
    let records = store
        .read_trial_records(&TrialSlug::new("slow-drive").unwrap())
        .await
        .unwrap()
        .unwrap();
    assert_eq!(records.machine.contacts.len(), 2);
    assert_eq!(records.blends.len(), 4);
    assert_eq!(records.methods.len(), 1);
    assert_eq!(records.rigs.len(), 1);
    assert_eq!((records.results.len(), records.decisions.len()), (9, 1));
    assert_eq!(
        store
            .read_trial_records(&TrialSlug::new("nobody").unwrap())
            .await
            .unwrap(),
        None
    );
}

#[tokio::test]
async fn trials_are_found_by_word_machine_method_component_status_and_year() {
    let place = place();
    let store = stored(&place.path, &archive()).await;
    let found = async |change: fn(&mut TrialFilter, String), text: &str| {
        let mut filter = TrialFilter::default();
        change(&mut filter, text.to_string());
        store.list_trials(&filter).await.unwrap().len()
    };
    for (text, hits) in [
        ("SLOW drive", 1),
        ("\"runs first\"", 1),
        ("runs", 1),
        ("B-2", 1),
        ("100%", 0),
        ("oil_level", 1),
        ("level_oil", 0),
        ("evel", 0),
        ("level", 1),
    ] {
        assert_eq!(
            found(|filter, text| filter.words = text, text).await,
            hits,
            "{text}"
        );
    }
    for (text, hits) in [("drive", 1), ("mill", 0)] {
        assert_eq!(
            found(|filter, text| filter.machine = text, text).await,
            hits,
            "{text}"
        );
    }
    assert_eq!(
        found(|filter, text| filter.method = MethodId::new(&text), "own_bench").await,
        1
    );
    assert_eq!(
        found(|filter, text| filter.method = MethodId::new(&text), "fb_ep_oil").await,
        0
    );
    assert_eq!(
        found(|filter, text| filter.component = text, "additive B").await,
        1
    );
    assert_eq!(found(|filter, text| filter.status = text, "closed").await, 0);
    assert_eq!(found(|filter, text| filter.year = text, "2024").await, 1);
    assert_eq!(found(|filter, text| filter.year = text, "x' OR 1=1 --").await, 0);
}
