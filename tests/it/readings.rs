//! What was read is what is shown: a ladder by the steps that were run, a cap as a bound, an estimate as an estimate alone.

use crate::folder::{accepted, files, with_line, write_to};
use crate::import::{Bench, trial};
use crate::pages::Pages;
use likewear::facade::app::StartWith;
use likewear::facade::catalogue::{Value, built_in};
use likewear::facade::intake::write_folder;
use serde_json::Value as Json;

/// The small archive with the weld test and the gear test, and results of them with a column `last_passed`.
async fn with_ladders() -> Pages {
    let mut all = with_line(
        files(),
        "trial_methods.csv",
        "slow-drive,fb_ep_oil,weld,show,,,,,,",
    );
    all = with_line(
        all,
        "trial_methods.csv",
        "slow-drive,gear_A8,fail_stage,show,,,,,,",
    );
    let text = String::from_utf8(all["results.csv"].clone()).unwrap();
    let mut lines: Vec<String> = text
        .lines()
        .enumerate()
        .map(|(at, line)| match at {
            0 => format!("{line},last_passed"),
            _ => format!("{line},"),
        })
        .collect();
    for (blend, key, value, unit, number, last) in [
        ("GOOD", "fb_ep_oil,weld", "400", "kgf", 1, "315"),
        ("GOOD", "fb_ep_oil,weld", "400", "kgf", 2, "250"),
        ("POOR", "fb_ep_oil,weld", "160", "kgf", 1, ""),
        ("B-1", "fb_ep_oil,weld", "pass 200 / fail 315", "kgf", 1, ""),
        ("B-2", "fb_ep_oil,weld", "126", "kgf", 1, "none"),
        ("GOOD", "gear_A8,fail_stage", ">12", "stage", 1, ""),
        ("POOR", "gear_A8,fail_stage", "4", "stage", 1, ""),
        ("B-1", "gear_A8,fail_stage", "10", "stage", 1, "8"),
    ] {
        lines.push(format!(
            "slow-drive,{blend},{key},{value},{unit},,2026-04-01,{number},,,test,valid,,measured,,{last}"
        ));
    }
    all.insert("results.csv".to_string(), (lines.join("\n") + "\n").into_bytes());
    let pages = Pages::with(StartWith::Nothing).await;
    write_to(&pages.path("ladders"), &all);
    pages.app.load(&pages.path("ladders")).await.unwrap();
    pages
}

fn test<'j>(standing: &'j Json, key: &str) -> &'j Json {
    let mut tests = standing["tests"].as_array().unwrap().iter();
    tests
        .find(|test| test["key"] == key)
        .unwrap_or_else(|| panic!("no {key}"))
}

#[tokio::test]
async fn json_has_the_reading_of_each_run_beside_the_estimate() {
    let pages = with_ladders().await;
    let standing = pages.json("/api/trials/slow-drive/standing").await;
    let weld = test(&standing, "fb_ep_oil/weld");
    assert_eq!(
        weld["reading"],
        serde_json::json!({
            "GOOD": ["welded at 400, held 315 kgf", "welded at 400, held 250 kgf"],
            "POOR": ["welded at 160 kgf"],
            "B-1": ["welded at 315, held 200 kgf"],
            "B-2": ["welded at or below 126 kgf"],
        })
    );
    assert_eq!(
        test(&standing, "gear_A8/fail_stage")["reading"],
        serde_json::json!({
            "GOOD": ["> 12"],
            "POOR": ["failed at or below stage 4"],
            "B-1": ["failed at stage 10, passed 8"],
        })
    );
    let depth = test(&standing, "own_bench/depth");
    assert_eq!(depth["reading"]["B-1"], serde_json::json!(["9 µm", "8.5 µm"]));
    assert!(depth["estimates"]["B-1"]["value"].is_number());
}

#[tokio::test]
async fn the_page_shows_the_bracket_that_runs_share_and_the_mean_as_an_estimate_alone() {
    let pages = with_ladders().await;
    let page = pages.get("/trials/slow-drive").await;
    let row = "[data-test='fb_ep_oil/weld'] [data-numbers]";
    let read = page.texts(&format!("{row} [data-read]"));
    assert!(
        read.contains(&"welded at 400, held 315 kgf".to_string()),
        "{read:?}"
    );
    assert!(
        page.texts(&format!("{row} thead th"))
            .concat()
            .contains("As readEstimate")
    );
    let label = page
        .values_of("[data-test='fb_ep_oil/weld'] svg", "aria-label")
        .concat();
    assert!(
        label.contains("GOOD (known good) 400") && label.contains("B-1 315"),
        "{label}"
    );
    assert_eq!(page.count("[data-test='own_bench/depth'] [data-read]"), 0);
}

/// In every trial of the demo the numbers that a strip says of a ladder are steps of it.
#[tokio::test]
async fn no_strip_of_the_demo_names_a_load_that_no_rig_has() {
    let pages = Pages::with(StartWith::Demo).await;
    let trials = pages.json("/api/trials").await;
    let mut seen = 0;
    for one in trials["trials"].as_array().unwrap() {
        let slug = one["trial"].as_str().unwrap();
        let standing = pages.json(&format!("/api/trials/{slug}/standing")).await;
        let page = pages.get(&format!("/trials/{slug}")).await;
        for test in standing["tests"].as_array().unwrap() {
            let (method, quantity) = (
                test["method"].as_str().unwrap(),
                test["quantity"].as_str().unwrap(),
            );
            let quantity = built_in()
                .iter()
                .find(|known| known.id.as_str() == method)
                .and_then(|known| known.quantities.iter().find(|known| known.id == quantity));
            let steps = quantity
                .map(|quantity| quantity.scale.steps())
                .unwrap_or_default();
            if steps.is_empty() {
                continue;
            }
            let key = test["key"].as_str().unwrap();
            let label = page
                .values_of(&format!("[data-test='{key}'] .whole-strip svg"), "aria-label")
                .concat();
            let Some((_, said)) = label.split_once("from better to worse: ") else {
                continue;
            };
            for word in said.split([' ', ',']).filter_map(|word| word.parse::<f64>().ok()) {
                assert!(steps.contains(&word), "{slug} {key}: {word} in {said}");
                seen += 1;
            }
        }
    }
    assert!(seen > 20, "{seen}");
}

#[tokio::test]
async fn the_last_load_that_passed_comes_in_by_a_file_and_goes_out_with_an_export() {
    let bench = Bench::new().await;
    let import = async |value: &str, last: &str| {
        let text = format!(
            "blend,method,quantity,value,unit,rig,date,last passed\nB-1,fb_ep_oil,weld,{value},kgf,R-1,2026-04-01,{last}\n"
        );
        let trial = trial();
        bench
            .app
            .confirm_import(text.as_bytes(), "runs.csv", Some(&trial))
            .await
            .unwrap()
    };
    let refused = import("400", "400").await;
    assert_eq!(refused.refusals()[0].2.column, "last_passed");
    assert!(import("400", "250").await.written);
    let last = bench.results().await.pop().unwrap();
    assert_eq!(last.value, Value::Between { lo: 250.0, hi: 400.0 });
    assert_eq!(last.last_passed, "250");
    // the same run with another last load is no other run
    let changed = import("400", "315").await;
    assert_eq!(changed.counts().changes, 1);
    bench.app.export(&bench.folder.path().join("out")).await.unwrap();
    let written = write_folder(&bench.app.archive().await.unwrap()).unwrap();
    let again = accepted(&written).archive;
    assert_eq!(again.results.last().unwrap().value, last.value);
    let text = String::from_utf8(written["results.csv"].clone()).unwrap();
    assert!(
        text.lines().next().unwrap().contains("last_passed,accepted"),
        "{text}"
    );
}
