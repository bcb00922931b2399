//! The list of trials as a table: its order, what each row says, and when it can be narrowed.

use crate::pages::{Page, Pages};
use likewear::facade::app::StartWith;
use sqlx::sqlite::SqliteConnectOptions;
use sqlx::{ConnectOptions, Connection};

/// The trials of a page in their order.
fn listed(page: &Page) -> Vec<String> {
    let paths = page.values_of("[data-trial]", "data-trial");
    let slug = |path: &String| path.trim_start_matches("/trials/").to_string();
    paths.iter().map(slug).collect()
}

fn row(slug: &str) -> String {
    format!("[data-trial='/trials/{slug}']")
}

/// A file of so many trials, one of which is running and the oldest.
async fn of_trials(count: usize) -> Pages {
    let pages = Pages::with(StartWith::Nothing).await;
    let file = SqliteConnectOptions::new().filename(pages.path("a.db"));
    let mut file = file.connect().await.unwrap();
    for sql in [
        "INSERT INTO machines (machine, name, kind, note, caution) VALUES ('m', 'Press', 'press', '', '')",
        "INSERT INTO machine_versions (machine, version, name, kind, note, caution, change_note, entered_at) \
         SELECT machine, 1, name, kind, note, caution, '', '' FROM machines",
    ] {
        sqlx::query(sql).execute(&mut file).await.unwrap();
    }
    let trials = "WITH RECURSIVE n (i) AS (SELECT 1 UNION ALL SELECT i + 1 FROM n WHERE i < $1) \
        INSERT INTO trials (trial, title, question, machine, status, opened_on, machine_confidence, invented) \
        SELECT 'trial-' || i, 'Trial ' || i, 'Which blend in case ' || (1000 - i) || '?', 'm', \
        CASE i WHEN 1 THEN 'running' ELSE 'closed' END, (2000 + i) || '-03-04', 'medium', 0 FROM n";
    sqlx::query(trials)
        .bind(i64::try_from(count).unwrap())
        .execute(&mut file)
        .await
        .unwrap();
    file.close().await.unwrap();
    pages
}

#[tokio::test(flavor = "multi_thread")]
async fn open_trials_come_first_and_each_heading_orders_both_ways() {
    let pages = of_trials(4).await;
    let order = async |path: &str| listed(&pages.get(path).await);
    assert_eq!(order("/").await, ["trial-1", "trial-4", "trial-3", "trial-2"]);
    for (sort, first, aria) in [
        ("date", "trial-4", "descending"),
        ("-date", "trial-1", "ascending"),
        ("question", "trial-4", "ascending"),
        ("-question", "trial-1", "descending"),
    ] {
        let page = pages.get(&format!("/?sort={sort}")).await;
        assert_eq!(listed(&page)[0], first, "{sort}");
        assert_eq!(
            page.values_of("[data-list] th[aria-sort]", "aria-sort"),
            [aria],
            "{sort}"
        );
    }
    let unasked = pages.get("/").await;
    assert_eq!(unasked.count("[data-list] th[aria-sort]"), 0);
    assert!(unasked.text("#h-list").starts_with("4 trials, open ones first"));
    assert!(pages.get("/?sort=date").await.body.contains("/?sort=-date"));
    let wrong = pages.get("/?sort=colour").await;
    assert_eq!(wrong.status, 422);
    assert!(wrong.body.contains("question, verdict, caution, decision, date"));
}

#[tokio::test(flavor = "multi_thread")]
async fn verdicts_cautions_and_decisions_order_the_demo() {
    let pages = Pages::with(StartWith::Demo).await;
    let list = pages.json("/api/trials").await;
    let of = |slug: &str| {
        let mut trials = list["trials"].as_array().unwrap().iter();
        trials.find(|trial| trial["trial"] == slug).unwrap()
    };
    let by_verdict = listed(&pages.get("/?sort=verdict").await);
    let leads: Vec<bool> = by_verdict
        .iter()
        .map(|slug| !of(slug)["leader"].is_null())
        .collect();
    assert!(leads[0] && leads.is_sorted_by(|a, b| a >= b), "{leads:?}");
    let shares: Vec<f64> = by_verdict
        .iter()
        .filter(|slug| !of(slug)["leader"].is_null())
        .map(|slug| of(slug)["p_best"].as_f64().unwrap())
        .collect();
    assert!(shares.is_sorted_by(|a, b| a >= b), "{shares:?}");
    let by_caution = listed(&pages.get("/?sort=caution").await);
    assert_eq!(of(&by_caution[0])["worst"], "stop");
    let backwards: Vec<String> = by_caution.iter().rev().cloned().collect();
    assert_eq!(listed(&pages.get("/?sort=-caution").await), backwards);
    let by_decision = listed(&pages.get("/?sort=decision").await);
    let dates: Vec<&str> = by_decision
        .iter()
        .map(|slug| of(slug)["decision"]["date"].as_str().unwrap_or(""))
        .collect();
    assert!(dates.is_sorted_by(|a, b| a >= b), "{dates:?}");
    assert_eq!(
        listed(&pages.get("/?sort=-decision").await).last(),
        by_decision.last(),
        "none last"
    );
}

#[tokio::test(flavor = "multi_thread")]
async fn each_row_says_its_verdict_its_decision_and_its_day_and_red_is_kept_for_what_stops() {
    let pages = Pages::with(StartWith::Demo).await;
    let page = pages.get("/").await;
    for (slug, who, decided) in [
        (
            "pitch-drive-full",
            "T-03 leads",
            "No choice yet review 17 September 2025",
        ),
        (
            "pitch-drive-first-screen",
            "Stop: one extreme screen",
            "No choice yet 19 April 2024",
        ),
        (
            "pitch-drive-defoamer-check",
            "T-04 is no worse than T-03",
            "Hold T-04 review 10 December 2025",
        ),
        (
            "lock-gate-worm-gear",
            "W-04 leads",
            "Scale up W-04 review 30 June 2024",
        ),
        (
            "pitch-drive-base-oil-supplier",
            "T-05 not yet shown",
            "Nothing decided",
        ),
        (
            "ferry-ramp-hydraulic-fluid",
            "H-03 leads",
            "Scale up H-03 review 12 June 2026",
        ),
    ] {
        let said = page.text(&format!("{} .who", row(slug)));
        assert!(said.starts_with(who), "{slug}: {said}");
        let said = page.texts(&format!("{} .decided > *", row(slug))).join(" ");
        assert_eq!(said, decided, "{slug}");
    }
    let list = pages.json("/api/trials").await;
    for trial in list["trials"].as_array().unwrap() {
        let stop = format!("{} .stop", row(trial["trial"].as_str().unwrap()));
        assert_eq!(page.count(&stop) == 1, trial["worst"] == "stop", "{trial}");
    }
    let when = page.text(&format!("{} .when", row("pitch-drive-full")));
    assert!(
        when.starts_with("4 March 2024") && when.ends_with("running"),
        "{when}"
    );
    assert_eq!(page.values_of("[data-number]", "href"), ["/number"]);
    let said = page.texts(".list-key .badge");
    assert_eq!(said, ["invented demo data"], "said once");
    assert_eq!(page.count("[data-list] .badge"), 0);
}

#[tokio::test(flavor = "multi_thread")]
async fn the_list_can_be_narrowed_from_the_twentieth_trial_on_or_when_something_was_asked() {
    for (count, filters) in [(19, 0), (20, 1), (21, 1)] {
        let pages = of_trials(count).await;
        assert_eq!(pages.get("/").await.count("[data-filters]"), filters, "{count}");
        assert_eq!(pages.get("/?q=case").await.count("[data-filters]"), 1, "{count}");
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn what_needs_every_trial_judged_orders_a_list_of_one_page_only() {
    for (count, links) in [(50, 5), (51, 3)] {
        let pages = of_trials(count).await;
        let page = pages.get("/").await;
        assert_eq!(page.count("[data-list] thead a"), links, "{count}");
        assert_eq!(listed(&page).len(), 50);
        assert_eq!(listed(&page)[0], "trial-1", "the open one, though the oldest");
    }
    let pages = of_trials(51).await;
    let next = pages
        .get("/?sort=question")
        .await
        .values_of("a[rel='next']", "href");
    assert_eq!(next, ["/?sort=question&page=2"]);
    assert_eq!(listed(&pages.get(&next[0]).await), ["trial-1"]);
    let back = pages
        .get("/?sort=-question&page=2")
        .await
        .values_of("a[rel='prev']", "href");
    assert_eq!(back, ["/?sort=-question&page=1"]);
}

#[tokio::test(flavor = "multi_thread")]
async fn a_search_keeps_its_words_in_the_one_field_of_the_page() {
    let pages = of_trials(3).await;
    let page = pages.get("/?q=case%20998").await;
    assert_eq!(page.values_of("#find", "value"), ["case 998"]);
    assert_eq!(page.count("input[type='search']"), 1);
    assert_eq!(listed(&page), ["trial-2"]);
    let kept = page.form("[data-filters]");
    assert_eq!(kept["q"], "case 998");
}
