//! The app: starting a file, taking folders in, giving them out, comparing.

use crate::folder::{also, files, with, with_line, write_to};
use likewear::facade::app::{App, AppError, StartWith, TrialQuery};
use likewear::facade::catalogue::MethodId;
use likewear::facade::records::{TestKey, TrialSlug};
use likewear::facade::standing::{WhatIf, Without};
use likewear::facade::wire::standing_json;
use std::path::PathBuf;
use tempfile::TempDir;

struct Bench {
    folder: TempDir,
    app: App,
}

impl Bench {
    async fn with(start_with: StartWith) -> Self {
        let folder = tempfile::tempdir().unwrap();
        let app = App::create(&folder.path().join("archive.db"), start_with)
            .await
            .unwrap();
        Self { folder, app }
    }

    fn at(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }
}

fn slug(text: &str) -> TrialSlug {
    TrialSlug::new(text).unwrap()
}

#[tokio::test]
async fn a_faulty_folder_is_refused_whole_and_the_archive_stays_as_it_was() {
    let bench = Bench::with(StartWith::Demo).await;
    let before = bench.app.archive().await.unwrap();
    let mut bad = with("results.csv", "depth,5.5,um", "depth,\"1,234\",um");
    bad = also(bad, "results.csv", "R-1,2024-04-04", "R-9,2024-04-04");
    bad = also(bad, "trials.csv", "running", "going on");
    write_to(&bench.at("bad"), &bad);
    let Err(AppError::Refused(faults)) = bench.app.load(&bench.at("bad")).await else {
        panic!("the folder should be refused");
    };
    let words: Vec<String> = faults.iter().map(ToString::to_string).collect();
    assert_eq!(
        words,
        [
            "results.csv line 2, value '1,234': can be read as 1.234 and as 1234; write one of the two",
            "results.csv line 3, rig 'R-9': is not defined in rigs.csv",
            "trials.csv line 2, status 'going on': use one of: planned, running, decided, closed",
        ]
    );
    assert_eq!(bench.app.archive().await.unwrap(), before);
}

#[tokio::test]
async fn loading_the_same_folder_twice_adds_nothing() {
    let bench = Bench::with(StartWith::Nothing).await;
    write_to(&bench.at("small"), &files());
    assert!(
        bench
            .app
            .load(&bench.at("small"))
            .await
            .unwrap()
            .added
            .new_records()
            > 20
    );
    let once = bench.app.archive().await.unwrap();
    assert_eq!(
        bench
            .app
            .load(&bench.at("small"))
            .await
            .unwrap()
            .added
            .new_records(),
        0
    );
    assert_eq!(bench.app.archive().await.unwrap(), once);
}

#[tokio::test]
async fn a_value_that_differs_from_what_is_there_names_both() {
    let bench = Bench::with(StartWith::Nothing).await;
    write_to(&bench.at("small"), &files());
    bench.app.load(&bench.at("small")).await.unwrap();
    write_to(
        &bench.at("other"),
        &with("results.csv", "depth,9,um", "depth,8,um"),
    );
    let Err(AppError::Conflicts(conflicts)) = bench.app.load(&bench.at("other")).await else {
        panic!("the folder should be refused");
    };
    assert_eq!(conflicts.len(), 1);
    assert_eq!(
        (conflicts[0].there.as_str(), conflicts[0].given.as_str()),
        ("value '9'", "value '8'")
    );
}

#[tokio::test]
async fn an_exported_folder_loads_as_the_same_archive_with_its_history() {
    for start_with in [StartWith::Demo, StartWith::Nothing] {
        let bench = Bench::with(start_with).await;
        write_to(&bench.at("small"), &files());
        bench.app.load(&bench.at("small")).await.unwrap();
        bench.app.export(&bench.at("out")).await.unwrap();
        let other = Bench::with(StartWith::Nothing).await;
        other.app.load(&bench.at("out")).await.unwrap();
        assert_eq!(
            other.app.archive().await.unwrap(),
            bench.app.archive().await.unwrap()
        );
        assert_eq!(
            bench
                .app
                .load(&bench.at("out"))
                .await
                .unwrap()
                .added
                .new_records(),
            0
        );
    }
}

#[tokio::test]
async fn an_export_does_not_overwrite_an_archive_folder() {
    let bench = Bench::with(StartWith::Nothing).await;
    write_to(&bench.at("small"), &files());
    assert!(matches!(
        bench.app.export(&bench.at("small")).await,
        Err(AppError::File { .. })
    ));
    std::fs::create_dir(bench.at("empty")).unwrap();
    bench.app.export(&bench.at("empty")).await.unwrap();
}

#[tokio::test]
async fn a_start_that_was_broken_off_leaves_no_file_under_the_archives_name() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("archive.db");
    std::fs::write(folder.path().join("archive.db.making"), b"half a file").unwrap();
    assert!(!path.exists());
    let app = App::create(&path, StartWith::Demo).await.unwrap();
    assert!(app.archive().await.unwrap().results.len() > 500);
    app.close().await.unwrap();
    let left: Vec<_> = std::fs::read_dir(folder.path())
        .unwrap()
        .map(|entry| entry.unwrap().file_name())
        .collect();
    assert!(
        !left.iter().any(|name| name.to_string_lossy().contains("making")),
        "{left:?}"
    );
    assert!(matches!(
        App::create(&path, StartWith::Nothing).await,
        Err(AppError::File { .. })
    ));
}

#[tokio::test]
async fn the_demo_is_whole_and_every_trial_of_it_says_that_it_is_invented() {
    let bench = Bench::with(StartWith::Demo).await;
    assert_eq!(bench.app.check().await.unwrap(), []);
    let list = bench.app.list_trials(&TrialQuery::default()).await.unwrap();
    assert_eq!(list.total, list.trials.len());
    assert!(list.total >= 3 && list.trials.iter().all(|trial| trial.head.invented));
}

/// The story of the demo: the first screen is carried by one extreme screen, and no leader may be named.
#[tokio::test]
async fn the_first_screen_of_the_demo_is_in_front_by_its_weld_load_alone() {
    let bench = Bench::with(StartWith::Demo).await;
    let trial = slug("pitch-drive-first-screen");
    let mut query = TrialQuery::default();
    query.filter.words = "first screen".into();
    let list = bench.app.list_trials(&query).await.unwrap();
    let found = list.trials.iter().find(|line| line.head.trial == trial);
    let line = found.unwrap();
    assert_eq!(
        (
            &line.head.trial,
            line.summary.front_runner.as_deref(),
            &line.summary.leader
        ),
        (&trial, Some("T-11"), &None)
    );
    let what_if = WhatIf {
        without: vec![Without::Method(MethodId::new("fb_ep_oil").unwrap())],
        ..WhatIf::default()
    };
    let comparison = bench.app.compare(&trial, &what_if).await.unwrap();
    let front =
        |standing: &likewear::facade::standing::Standing| standing.front_runner.as_ref().unwrap().to_string();
    assert_eq!(front(&comparison.standing), "T-12");
    assert_eq!(front(&comparison.as_it_is.unwrap()), "T-11");
}

#[tokio::test]
async fn a_list_remembers_its_summaries_until_anybody_writes() {
    let bench = Bench::with(StartWith::Nothing).await;
    write_to(&bench.at("small"), &files());
    bench.app.load(&bench.at("small")).await.unwrap();
    let front = async |app: &App| {
        let list = app.list_trials(&TrialQuery::default()).await.unwrap();
        let summary = &list.trials[0].summary;
        (summary.front_runner.clone(), summary.cautions)
    };
    let before = front(&bench.app).await;
    assert_eq!(front(&bench.app).await, before);
    // Another program at the same file adds runs that turn the order round.
    let other = App::open(&bench.at("archive.db")).await.unwrap();
    let mut more = files();
    for replicate in 2..6 {
        for (blend, value) in [("B-1", "5"), ("B-2", "20")] {
            let line = format!(
                "slow-drive,{blend},own_bench,depth,{value},um,R-1,2024-05-1{replicate},{replicate},2024Q2,,test,valid,,measured,"
            );
            more = with_line(more, "results.csv", &line);
        }
    }
    write_to(&bench.at("more"), &more);
    other.load(&bench.at("more")).await.unwrap();
    let fresh = front(&other).await;
    assert_eq!(front(&bench.app).await, fresh);
    assert_ne!(fresh, before);
}

#[tokio::test]
async fn a_question_about_something_that_is_not_there_is_refused() {
    let bench = Bench::with(StartWith::Demo).await;
    let trial = slug("pitch-drive-first-screen");
    let missing = bench.app.compare(&slug("nobody"), &WhatIf::default()).await;
    assert!(matches!(missing, Err(AppError::NoSuchTrial(_))));
    let key = TestKey::parse("fb_ep_oil/weld").unwrap();
    let unknown = TestKey::parse("fb_ep_oil/wild").unwrap();
    for (what_if, field) in [
        (
            WhatIf {
                without: vec![Without::Method(MethodId::new("typo").unwrap())],
                ..WhatIf::default()
            },
            "without",
        ),
        (
            WhatIf {
                weights: [(unknown, 0.5)].into(),
                ..WhatIf::default()
            },
            "weight.fb_ep_oil/wild",
        ),
        (
            WhatIf {
                weights: [(key.clone(), 1.5)].into(),
                ..WhatIf::default()
            },
            "weight.fb_ep_oil/weld",
        ),
        (
            WhatIf {
                weights: [(key, f64::NAN)].into(),
                ..WhatIf::default()
            },
            "weight.fb_ep_oil/weld",
        ),
        (
            WhatIf {
                draws: 10,
                ..WhatIf::default()
            },
            "draws",
        ),
        (
            WhatIf {
                draws: 1_000_000,
                ..WhatIf::default()
            },
            "draws",
        ),
    ] {
        match bench.app.compare(&trial, &what_if).await {
            Err(AppError::Question { field: named, .. }) => assert_eq!(named, field),
            other => panic!("{field}: {other:?}"),
        }
    }
}

#[tokio::test]
async fn the_methods_are_the_built_in_ones_and_the_laboratorys_own() {
    let bench = Bench::with(StartWith::Nothing).await;
    let built_in = bench.app.methods().await.unwrap();
    write_to(&bench.at("small"), &files());
    bench.app.load(&bench.at("small")).await.unwrap();
    let all = bench.app.methods().await.unwrap();
    assert_eq!(all.len(), built_in.len() + 1);
    assert!(all.iter().any(|method| method.id.as_str() == "own_bench"));
    assert!(all.windows(2).all(|pair| pair[0].id < pair[1].id));
}

#[tokio::test]
async fn the_standing_as_json_has_every_key_and_shares_that_sum_to_one() {
    let bench = Bench::with(StartWith::Demo).await;
    let comparison = bench
        .app
        .compare(&slug("pitch-drive-full"), &WhatIf::default())
        .await
        .unwrap();
    let json = standing_json(&comparison);
    for key in [
        "trial",
        "engine",
        "draws",
        "seed",
        "machine",
        "resemblance_mass",
        "effective_tests",
        "front_runner",
        "leader",
        "runner_up",
        "resolved",
        "candidates",
        "tests",
        "alternatives",
        "cautions",
        "gates",
    ] {
        assert!(json.get(key).is_some(), "{key} is missing");
    }
    let candidates = json["candidates"].as_array().unwrap();
    let sum: f64 = candidates
        .iter()
        .filter_map(|candidate| candidate["p_best"].as_f64())
        .sum();
    assert!((sum - 1.0).abs() < 1e-9, "{sum}");
    for test in json["tests"].as_array().unwrap() {
        for key in [
            "key",
            "method",
            "quantity",
            "use",
            "weight",
            "resemblance",
            "resemblance_best",
            "relevance",
            "f_term",
            "extreme",
            "beyond_machine",
            "contacts",
            "lead_share",
            "leader_without",
            "tips_down",
            "tips_up",
            "validity",
            "positions",
            "estimates",
        ] {
            assert!(test.get(key).is_some(), "{key} of {}", test["key"]);
        }
        for contact in test["contacts"].as_array().unwrap() {
            assert_eq!(contact["terms"].as_array().unwrap().len(), 11);
        }
    }
    let caution = &json["cautions"][0];
    assert!(caution["kind"].is_string() && caution["text"].as_str().is_some_and(|text| !text.is_empty()));
}
