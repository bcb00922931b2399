//! Finding trials by words and facets.

use crate::pages::Pages;
use likewear::facade::app::StartWith;
use serde_json::Value;
use sqlx::sqlite::SqliteConnectOptions;
use sqlx::{AssertSqlSafe, ConnectOptions, Connection};
use std::collections::BTreeSet;

pub(crate) fn names(list: &Value) -> Vec<&str> {
    let trials = list["trials"].as_array().unwrap().iter();
    trials.map(|trial| trial["trial"].as_str().unwrap()).collect()
}

pub(crate) fn tally(list: &Value, facet: &str, value: &str) -> u64 {
    let values = list["facets"][facet].as_array().unwrap().iter();
    let mut found = values.filter(|one| one["value"] == value);
    found.next().map_or(0, |one| one["trials"].as_u64().unwrap())
}

#[tokio::test(flavor = "multi_thread")]
async fn words_are_found_in_every_kind_of_text() {
    let bench = Pages::with(StartWith::Demo).await;
    for (words, one) in [
        ("bronze wheel winch", "lock-gate-worm-gear"),
        ("defoamer", "pitch-drive-defoamer-check"),
        ("polyglycol", "lock-gate-worm-gear"),
        ("T-04", "pitch-drive-defoamer-check"),
        ("borate", "pitch-drive-full"),
        ("D2783", "pitch-drive-first-screen"),
        ("emulsion dissent-or-not", ""),
        ("residues", "pitch-drive-full"),
        ("contract laboratory", "pitch-drive-full"),
        ("SUGAR mill", "sugar-mill-bearing-grease"),
    ] {
        let found = bench
            .json(&format!("/api/trials?q={}", words.replace(' ', "%20")))
            .await;
        if one.is_empty() {
            assert_eq!(found["total"], 0, "{words}");
        } else {
            assert!(names(&found).contains(&one), "{words}: {:?}", names(&found));
        }
    }
    for hostile in [
        "%22",
        "*",
        "%22%20OR%20%22a",
        "NEAR(",
        "-",
        "'",
        "a%22b",
        "%25",
        "(",
        "^",
    ] {
        assert_eq!(
            bench.get(&format!("/?q={hostile}")).await.status,
            200,
            "{hostile}"
        );
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn facets_count_under_all_other_conditions_and_narrow_with_the_words() {
    let bench = Pages::with(StartWith::Demo).await;
    let all = bench.json("/api/trials").await;
    assert_eq!(tally(&all, "kind", "planetary pitch drive"), 4);
    assert_eq!(tally(&all, "status", "closed"), 4);
    let closed = bench.json("/api/trials?status=closed").await;
    assert_eq!(closed["total"], 4);
    assert_eq!(
        tally(&closed, "status", "running"),
        2,
        "its own values stay in sight"
    );
    assert_eq!(tally(&closed, "kind", "planetary pitch drive"), 1);
    let both = bench
        .json("/api/trials?status=closed&kind=worm%20gear&q=winch")
        .await;
    assert_eq!(names(&both), ["lock-gate-worm-gear"]);
    // A trial has one machine, one status and one year: their counts add up to all that are found without that condition.
    for (list, facet) in [
        (&all, "kind"),
        (&all, "status"),
        (&all, "year"),
        (&closed, "kind"),
        (&closed, "year"),
    ] {
        let values = list["facets"][facet].as_array().unwrap().iter();
        let sum: u64 = values.map(|one| one["trials"].as_u64().unwrap()).sum();
        assert_eq!(Some(sum), list["total"].as_u64(), "{facet}");
    }
    for facet in ["kind", "method", "component", "status", "year"] {
        for one in closed["facets"][facet].as_array().unwrap().iter().take(4) {
            let value = one["value"]
                .as_str()
                .unwrap()
                .replace(' ', "%20")
                .replace('/', "%2F");
            let status = if facet == "status" { "" } else { "status=closed&" };
            let list = bench.json(&format!("/api/trials?{status}{facet}={value}")).await;
            assert_eq!(list["total"], one["trials"], "{facet} {value}");
        }
    }
    let page = bench.get("/?status=closed").await;
    assert_eq!(
        page.values_of("[data-facet='status'] option[selected]", "value"),
        ["closed"]
    );
    assert_eq!(
        page.values_of("[data-facet='status'] option[selected]", "data-trials"),
        ["4"]
    );
}

#[tokio::test(flavor = "multi_thread")]
async fn what_any_program_writes_is_found_at_once_and_what_it_changes_is_found_no_longer() {
    let bench = Pages::with(StartWith::Demo).await;
    let mut file = SqliteConnectOptions::new()
        .filename(bench.path("a.db"))
        .connect()
        .await
        .unwrap();
    let found = async |words: &str| {
        bench.json(&format!("/api/trials?q={words}")).await["total"]
            .as_u64()
            .unwrap()
    };
    assert_eq!(found("xylophone").await, 0);
    for sql in [
        "UPDATE trials SET question = 'Xylophone?' WHERE trial = 'lock-gate-worm-gear'",
        "UPDATE blends SET note = 'zither' WHERE blend = 'T-04'",
        "UPDATE trial_methods SET reason = 'because of the bassoon' WHERE trial = 'pitch-drive-full'",
        "UPDATE results SET status = 'void', voided_at = '2026-01-01T00:00:00Z', void_reason = 'cello fell on it' \
         WHERE id = (SELECT MIN(id) FROM results WHERE trial = 'pitch-drive-first-screen' AND status <> 'void')",
        "INSERT INTO decisions (trial, decided_on, chosen, reason, dissent, acknowledged, snapshot) \
         VALUES ('pitch-drive-full', '2026-01-01', 'none', 'marimba', '', '', '')",
    ] {
        sqlx::query(AssertSqlSafe(sql.to_string()))
            .execute(&mut file)
            .await
            .unwrap();
    }
    for (words, total) in [
        ("xyloph", 1),
        ("zither", 1),
        ("bassoon", 1),
        ("cello", 1),
        ("marimba", 1),
    ] {
        assert_eq!(found(words).await, total, "{words}");
    }
    sqlx::query("UPDATE trials SET question = 'Quiet?' WHERE trial = 'lock-gate-worm-gear'")
        .execute(&mut file)
        .await
        .unwrap();
    assert_eq!(found("xyloph").await, 0);
    file.close().await.unwrap();
}

#[tokio::test(flavor = "multi_thread")]
async fn two_thousand_trials_are_searched_counted_and_paged_without_judging_those_elsewhere() {
    let bench = Pages::with(StartWith::Nothing).await;
    let mut file = SqliteConnectOptions::new()
        .filename(bench.path("a.db"))
        .connect()
        .await
        .unwrap();
    for sql in [
        "INSERT INTO machines (machine, name, kind, note, caution) VALUES ('m', 'Press', 'press', '', ''), ('n', 'Mill', 'mill', '', '')",
        "INSERT INTO machine_versions (machine, version, name, kind, note, caution, change_note, entered_at) \
         SELECT machine, 1, name, kind, note, caution, '', '' FROM machines",
        "INSERT INTO components (component, class, note) VALUES ('base', 'base stock', ''), ('extra', 'antiwear', '')",
        "WITH RECURSIVE n (i) AS (SELECT 1 UNION ALL SELECT i + 1 FROM n WHERE i < 2000) \
         INSERT INTO trials (trial, title, question, machine, status, opened_on, machine_confidence, invented) \
         SELECT 'trial-' || i, 'Trial number ' || i, 'Which blend wears less in case ' || i || '?', \
         CASE i % 3 WHEN 0 THEN 'm' ELSE 'n' END, CASE i % 4 WHEN 0 THEN 'running' ELSE 'closed' END, \
         (2000 + i % 20) || '-03-04', 'medium', 1 FROM n",
        "WITH RECURSIVE n (i) AS (SELECT 1 UNION ALL SELECT i + 1 FROM n WHERE i < 4000) \
         INSERT INTO blends (blend, name, kind, change_note, nlgi, note) \
         SELECT 'B-' || i, 'blend ' || i, 'oil', 'changed the additive', '', CASE i % 100 WHEN 0 THEN 'zebra stripes' ELSE '' END FROM n",
        "INSERT INTO blend_components (blend, place, component, wt_pct) SELECT blend, 0, 'base', 97 FROM blends \
         UNION ALL SELECT blend, 1, 'extra', 3 FROM blends",
        "INSERT INTO trial_blends (trial, place, blend, role) SELECT 'trial-' || ((id + 1) / 2), id % 2, blend, 'candidate' FROM blends",
        "INSERT INTO trial_methods (trial, place, method, quantity, used_to, gate_limit, reason) \
         SELECT trial, 0, 'fb_ep_oil', 'weld', 'weigh', '', 'usual' FROM trials",
    ] {
        sqlx::query(AssertSqlSafe(sql.to_string()))
            .execute(&mut file)
            .await
            .unwrap();
    }
    let mut listed = BTreeSet::new();
    for (path, total) in [
        ("/api/trials", 2000),
        ("/api/trials?page=40", 2000),
        ("/api/trials?q=zebra", 40),
        (
            "/api/trials?q=number%20blend&kind=press&status=closed&method=fb_ep_oil&component=extra",
            500,
        ),
        ("/api/trials?q=four-ball%20wears&year=2007", 100),
    ] {
        let list = bench.json(path).await;
        assert_eq!(list["total"], total, "{path}");
        assert!(list["trials"].as_array().unwrap().len() <= 50);
        listed.extend(names(&list).iter().map(ToString::to_string));
        let judged: i64 = sqlx::query_scalar("SELECT COUNT(*) FROM trial_summaries")
            .fetch_one(&mut file)
            .await
            .unwrap();
        assert_eq!(
            judged as usize,
            listed.len(),
            "{path}: the trials of its page, and no others"
        );
    }
    let last = bench.json("/api/trials?page=41").await;
    assert_eq!(names(&last).len(), 0);
    let page = bench.get("/?q=zebra").await;
    assert_eq!(page.count("[data-trial]"), 40);
    file.close().await.unwrap();
}

#[tokio::test(flavor = "multi_thread")]
async fn kept_reasons_decisions_components_and_later_outcomes_are_found() {
    let bench = Pages::with(StartWith::Demo).await;
    let found = async |words: &str| {
        let list = bench.json(&format!("/api/trials?q={words}")).await;
        names(&list).iter().map(ToString::to_string).collect::<Vec<_>>()
    };
    assert_eq!(
        found("halve%20sulfur").await,
        ["pitch-drive-full"],
        "a decision's reason"
    );
    assert!(
        found("polyglycol")
            .await
            .contains(&"lock-gate-worm-gear".to_string())
    );
    let mut file = SqliteConnectOptions::new()
        .filename(bench.path("a.db"))
        .connect()
        .await
        .unwrap();
    for sql in [
        "INSERT INTO trial_scales (trial, term, importance, halving, reason, entered_at) \
         VALUES ('lock-gate-worm-gear', 'pressure', 2, 2, 'the ukulele said so', '2026-01-01T00:00:00Z')",
        "INSERT INTO outcomes (blend, machine, severity, source, note) \
         SELECT blend, 'lock-gate-winch', 'none', 'mandolin log', '' FROM trial_blends \
         WHERE trial = 'sugar-mill-bearing-grease' LIMIT 1",
    ] {
        sqlx::query(AssertSqlSafe(sql.to_string()))
            .execute(&mut file)
            .await
            .unwrap();
    }
    file.close().await.unwrap();
    assert_eq!(found("ukulele").await, ["lock-gate-worm-gear"]);
    assert_eq!(found("mandolin").await, ["sugar-mill-bearing-grease"]);
}

/// The trials of which a summary is kept.
async fn kept(file: &mut sqlx::SqliteConnection) -> Vec<String> {
    sqlx::query_scalar("SELECT trial FROM trial_summaries ORDER BY trial")
        .fetch_all(file)
        .await
        .unwrap()
}

#[tokio::test(flavor = "multi_thread")]
async fn a_trial_is_judged_once_for_the_list_and_again_only_when_it_changed() {
    let bench = Pages::with(StartWith::Demo).await;
    let mut file = SqliteConnectOptions::new()
        .filename(bench.path("a.db"))
        .connect()
        .await
        .unwrap();
    let list = "/api/trials?machine=lock-gate-winch";
    let cautions = async || bench.json(list).await["trials"][0]["cautions"].as_u64().unwrap();
    assert_eq!(kept(&mut file).await.len(), 0);
    let judged = cautions().await;
    assert_eq!(kept(&mut file).await, ["lock-gate-worm-gear"]);
    for sql in [
        "UPDATE trial_methods SET reason = 'other' WHERE trial = 'lock-gate-worm-gear'",
        "UPDATE blends SET note = 'other' WHERE blend IN \
         (SELECT blend FROM trial_blends WHERE trial = 'lock-gate-worm-gear')",
        "INSERT INTO decisions (trial, decided_on, chosen, reason, dissent, acknowledged, snapshot) \
         VALUES ('lock-gate-worm-gear', '2026-01-01', 'none', 'marimba', '', '', '')",
    ] {
        // What is kept is what is shown: a mark in it reaches the list, until something beneath it changes.
        sqlx::query(
            "UPDATE trial_summaries SET summary = REPLACE(summary, '\"cautions\":', '\"cautions\":9')",
        )
        .execute(&mut file)
        .await
        .unwrap();
        assert!(cautions().await >= 90);
        sqlx::query(AssertSqlSafe(sql.to_string()))
            .execute(&mut file)
            .await
            .unwrap();
        assert_eq!(kept(&mut file).await.len(), 0, "{sql}");
        assert_eq!(cautions().await, judged, "{sql}");
    }
    sqlx::query(
        "UPDATE results SET status = 'void', voided_at = '2026-01-01T00:00:00Z', void_reason = 'x' \
         WHERE id = (SELECT MIN(id) FROM results WHERE trial = 'lock-gate-worm-gear' AND status <> 'void')",
    )
    .execute(&mut file)
    .await
    .unwrap();
    assert_eq!(kept(&mut file).await.len(), 0);
    file.close().await.unwrap();
}

/// The edition under which the summaries of the demo are kept, and their fingerprint.
const KEPT_OF_THE_DEMO: (&str, u64) = ("0.2.0 summary 8", 0x804f_827e_3176_f16f);

/// FNV-1a of 64 bits, which is the same on every machine.
fn fingerprint(text: &str) -> u64 {
    let step = |hash: u64, byte: u8| (hash ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3);
    text.bytes().fold(0xcbf2_9ce4_8422_2325, step)
}

#[tokio::test(flavor = "multi_thread")]
async fn what_is_kept_of_a_trial_changes_only_with_its_edition() {
    let bench = Pages::with(StartWith::Demo).await;
    bench.json("/api/trials").await;
    let mut file = SqliteConnectOptions::new()
        .filename(bench.path("a.db"))
        .connect()
        .await
        .unwrap();
    let kept: Vec<(String, String, String)> =
        sqlx::query_as("SELECT trial, edition, summary FROM trial_summaries ORDER BY trial")
            .fetch_all(&mut file)
            .await
            .unwrap();
    file.close().await.unwrap();
    let edition = kept[0].1.as_str();
    let lines: Vec<String> = kept
        .iter()
        .map(|(trial, _, summary)| format!("{trial} {summary}"))
        .collect();
    let now = fingerprint(&lines.join("\n"));
    let (frozen_edition, frozen) = KEPT_OF_THE_DEMO;
    assert!(
        now == frozen || edition != frozen_edition,
        "what is kept of trials is another ({now:#018x}) under the same edition '{edition}', so that files would go on \
         showing what they kept: raise EDITION in src/app/judged.rs, and freeze both here\n{}",
        lines.join("\n")
    );
    assert_eq!(
        (edition, now),
        KEPT_OF_THE_DEMO,
        "freeze the new edition with its fingerprint"
    );
}

#[tokio::test(flavor = "multi_thread")]
async fn each_row_says_its_gravest_caution_in_words_and_how_many_more_there_are() {
    let bench = Pages::with(StartWith::Demo).await;
    let page = bench.get("/").await;
    let list = bench.json("/api/trials").await;
    let trials = list["trials"].as_array().unwrap();
    assert!(trials.len() >= 5);
    for trial in trials {
        let row = format!(
            "[data-trial='/trials/{}'] .warns",
            trial["trial"].as_str().unwrap()
        );
        let said = page.texts(&row).concat();
        let cautions = trial["cautions"].as_u64().unwrap();
        assert!(cautions > 1, "no trial of the demo is beyond doubt: {trial}");
        assert_eq!(page.count(&format!("{row} [data-gravest]")), 1);
        assert!(said.ends_with(&format!("+{}", cautions - 1)), "{said}");
        assert!(!said.contains(": +"), "{said}");
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn each_row_draws_its_candidates_and_says_the_same_in_words() {
    let bench = Pages::with(StartWith::Demo).await;
    let page = bench.get("/?machine=lock-gate-winch").await;
    let list = bench.json("/api/trials?machine=lock-gate-winch").await;
    let strips = page.values_of("[data-outcomes] svg", "aria-label");
    assert!(!strips.is_empty());
    for trial in list["trials"].as_array().unwrap() {
        let slug = trial["trial"].as_str().unwrap();
        let strip = page.values_of(
            &format!("[data-trial='/trials/{slug}'] [data-outcomes] svg"),
            "aria-label",
        );
        let front = trial["front_runner"].as_str().unwrap();
        let standing = if trial["leader"].is_null() {
            "comes first, no leader"
        } else {
            "leads"
        };
        let begins = format!("Scores, known poor 0, known good 1: {front} ");
        assert!(
            strip[0].starts_with(&begins) && strip[0].contains(standing),
            "{}",
            strip[0]
        );
        let words = page.texts(&format!("[data-scores] [data-scored='{slug}']"));
        assert!(
            words[0].contains(front) && words[0].contains(standing),
            "{words:?}"
        );
    }
}
