//! Correcting and voiding one result: both entries stay, the standing follows, decisions stand.

use crate::import::{Bench, trial};
use likewear::facade::app::{AppError, Correction, TrialQuery};
use likewear::facade::catalogue::Value;
use likewear::facade::records::{ResultStatus, RunResult};
use likewear::facade::standing::WhatIf;

fn correction(value: &str, unit: &str, reason: &str) -> Correction {
    Correction {
        value: value.into(),
        unit: unit.into(),
        reason: reason.into(),
        accepted: false,
    }
}

/// The id of the result of a blend whose value is written so.
fn id_of(results: &[RunResult], blend: &str, written: &str) -> i64 {
    let found = results
        .iter()
        .find(|result| result.blend.as_str() == blend && result.value_as_written == written);
    found.unwrap().id.unwrap()
}

#[tokio::test]
async fn a_correction_stands_beside_what_it_corrects() {
    let bench = Bench::new().await;
    let before = bench.app.archive().await.unwrap();
    let id = id_of(&before.results, "B-1", "9");
    let new = bench
        .app
        .correct_result(&trial(), id, &correction("0,0095", "mm", "misread by a decimal"))
        .await
        .unwrap();
    let after = bench.app.archive().await.unwrap();
    let old = after.results.iter().find(|r| r.id == Some(id)).unwrap();
    assert_eq!(Some(old), before.results.iter().find(|r| r.id == Some(id)));
    let entry = after.results.iter().find(|r| r.id == Some(new)).unwrap();
    assert!(entry.value.is_same(&Value::Exact(9.5)), "{:?}", entry.value);
    assert_eq!(entry.supersedes, Some(id));
    assert_eq!(entry.run_key(), old.run_key());
    assert_eq!(
        (entry.value_as_written.as_str(), entry.origin.as_str()),
        ("0,0095", "form")
    );
    assert_eq!(entry.reason, "corrected: misread by a decimal");
    assert_eq!(after.results.len(), before.results.len() + 1);
    assert_eq!(after.decisions, before.decisions);
    assert_eq!(bench.app.check().await.unwrap(), []);
}

#[tokio::test]
async fn a_suspect_result_stays_suspect_with_both_reasons() {
    let bench = Bench::new().await;
    let id = id_of(&bench.results().await, "B-1", "8.5");
    let new = bench
        .app
        .correct_result(&trial(), id, &correction("8.6", "um", "copied wrongly"))
        .await
        .unwrap();
    let results = bench.results().await;
    let entry = results.iter().find(|r| r.id == Some(new)).unwrap();
    assert_eq!(entry.status, ResultStatus::Suspect);
    assert_eq!(entry.reason, "oil level low; corrected: copied wrongly");
}

#[tokio::test]
async fn a_void_result_keeps_its_value_and_counts_no_more() {
    let bench = Bench::new().await;
    let id = id_of(&bench.results().await, "B-1", "9");
    bench
        .app
        .void_result(&trial(), id, "  wrong oil in the sump ")
        .await
        .unwrap();
    let results = bench.results().await;
    let entry = results.iter().find(|r| r.id == Some(id)).unwrap();
    assert_eq!(
        (entry.status, entry.value.clone()),
        (ResultStatus::Void, Value::Exact(9.0))
    );
    assert_eq!(entry.reason, "wrong oil in the sump");
    assert!(!entry.voided_at.is_empty());
    assert_eq!(bench.app.check().await.unwrap(), []);
}

#[tokio::test]
async fn the_standing_follows_and_a_remembered_one_is_forgotten() {
    let bench = Bench::new().await;
    let estimate = async || {
        let compared = bench.app.compare(&trial(), &WhatIf::default()).await.unwrap();
        let test = compared
            .standing
            .tests
            .iter()
            .find(|t| t.key.quantity == "depth")
            .unwrap();
        let blend = test.estimates.iter().find(|(code, _)| code.as_str() == "B-2");
        blend.unwrap().1.value
    };
    let list = async || bench.app.list_trials(&TrialQuery::default()).await.unwrap();
    let (first, listed) = (estimate().await, list().await);
    let id = id_of(&bench.results().await, "B-2", "6.5");
    bench
        .app
        .correct_result(&trial(), id, &correction("18", "um", "wrong tooth"))
        .await
        .unwrap();
    assert!(estimate().await > first + 5.0);
    assert_ne!(list().await, listed);
}

#[tokio::test]
async fn what_cannot_be_a_correction_is_refused_with_its_field() {
    let bench = Bench::new().await;
    let before = bench.app.archive().await.unwrap();
    let id = id_of(&before.results, "B-1", "9");
    for (given, field) in [
        (correction("9", "um", "why not"), "value"),
        (correction("9,0", "um", "why not"), "value"),
        (correction("0.009", "mm", "why not"), "value"),
        (correction("", "um", "never run"), "value"),
        (correction("many", "um", "more"), "value"),
        (correction("1,234", "um", "more"), "value"),
        (correction("-1", "um", "less"), "value"),
        (correction("10", "kgf", "other"), "unit"),
        (correction("10", "", "other"), "unit"),
        (correction("10", "um", "  "), "reason"),
        (correction("10", "um", &"x".repeat(1001)), "reason"),
    ] {
        match bench.app.correct_result(&trial(), id, &given).await {
            Err(AppError::Question { field: found, .. }) => assert_eq!(found, field, "{given:?}"),
            other => panic!("{given:?}: {other:?}"),
        }
    }
    let void = bench.app.void_result(&trial(), id, "").await;
    assert!(matches!(void, Err(AppError::Question { .. })), "{void:?}");
    let nobody = bench.app.void_result(&trial(), 999, "why").await;
    assert!(matches!(nobody, Err(AppError::NoSuchResult(999))), "{nobody:?}");
    assert_eq!(bench.app.archive().await.unwrap(), before);
}

#[tokio::test]
async fn what_is_superseded_or_void_is_changed_no_more() {
    let bench = Bench::new().await;
    let results = bench.results().await;
    let (first, void) = (id_of(&results, "B-1", "9"), id_of(&results, "B-2", "7"));
    let new = correction("10", "um", "misread");
    let next = bench.app.correct_result(&trial(), first, &new).await.unwrap();
    for id in [first, void] {
        let again = bench
            .app
            .correct_result(&trial(), id, &correction("11", "um", "once more"))
            .await;
        assert!(matches!(again, Err(AppError::NotCurrent(_))), "{again:?}");
        let again = bench.app.void_result(&trial(), id, "once more").await;
        assert!(matches!(again, Err(AppError::NotCurrent(_))), "{again:?}");
    }
    // The later entry can be corrected in its turn, and then it is history too.
    bench
        .app
        .correct_result(&trial(), next, &correction("11", "um", "once more"))
        .await
        .unwrap();
    let again = bench.app.void_result(&trial(), next, "late").await;
    assert!(matches!(again, Err(AppError::NotCurrent(_))), "{again:?}");
    assert_eq!(bench.app.check().await.unwrap(), []);
}

#[tokio::test]
async fn a_written_file_is_judged_ahead_once_more_and_an_unwritten_one_is_not() {
    let bench = Bench::new().await;
    let seen = bench.app.judge_trials_ahead(None).await.unwrap();
    assert_eq!(bench.app.judge_trials_ahead(Some(seen)).await.unwrap(), seen);
    let ready = bench.app.plan(&trial(), 1).await.unwrap();
    let id = id_of(&bench.results().await, "B-1", "9");
    bench
        .app
        .void_result(&trial(), id, "wrong oil in the sump")
        .await
        .unwrap();
    assert!(bench.app.judge_trials_ahead(Some(seen)).await.unwrap() > seen);
    // what was made ready is never an old answer
    let after = bench.app.plan(&trial(), 1).await.unwrap();
    assert_ne!(after.plan, ready.plan, "the plan counts its results");
    assert_ne!(after.comparison.standing, ready.comparison.standing);
}
