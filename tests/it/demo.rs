//! The invented demo tells its story by numbers, and no caution fires in all of its trials.

use likewear::facade::app::{App, StartWith};
use likewear::facade::records::{BlendCode, TrialSlug};
use likewear::facade::standing::{Caution, CautionKind, LeftOut, Severity, Standing, TestStanding, WhatIf};
use serde_json::json;
use std::collections::BTreeSet;

const TRIALS: [&str; 6] = [
    "pitch-drive-first-screen",
    "pitch-drive-full",
    "lock-gate-worm-gear",
    "sugar-mill-bearing-grease",
    "pitch-drive-defoamer-check",
    "pitch-drive-base-oil-supplier",
];

async fn standing_of(trial: &str, what_if: &WhatIf) -> Standing {
    let folder = tempfile::tempdir().unwrap();
    let app = App::create(&folder.path().join("archive.db"), StartWith::Demo)
        .await
        .unwrap();
    let comparison = app
        .compare(&TrialSlug::new(trial).unwrap(), what_if)
        .await
        .unwrap();
    app.close().await.unwrap();
    comparison.standing
}

fn code(text: &str) -> BlendCode {
    BlendCode::new(text).unwrap()
}

fn test<'a>(standing: &'a Standing, key: &str) -> &'a TestStanding {
    standing
        .tests
        .iter()
        .find(|test| test.key.to_string() == key)
        .unwrap()
}

fn has_stop(standing: &Standing) -> bool {
    standing
        .cautions
        .iter()
        .any(|caution| caution.severity == Severity::Stop)
}

#[tokio::test]
async fn the_first_screen_stops_and_the_full_programme_does_not() {
    let first = standing_of(TRIALS[0], &WhatIf::default()).await;
    assert!(has_stop(&first));
    assert_eq!((first.leader, first.front_runner), (None, Some(code("T-11"))));
    let full = standing_of(TRIALS[1], &WhatIf::default()).await;
    assert!(!has_stop(&full));
    assert_eq!(full.leader, Some(code("T-03")));
    assert_eq!(full.runner_up, Some(code("T-02")));
}

#[tokio::test]
async fn the_blend_with_the_greatest_weld_load_is_last_where_the_drive_is_resembled() {
    let what_if = WhatIf {
        lets_in_gated: true,
        ..WhatIf::default()
    };
    let standing = standing_of(TRIALS[1], &what_if).await;
    let weld = test(&standing, "fb_ep_oil/weld");
    let greatest = weld
        .estimates
        .iter()
        .max_by(|a, b| a.1.value.total_cmp(&b.1.value))
        .unwrap();
    assert_eq!(greatest.0, &code("T-11"));
    assert_eq!(standing.candidates.last().unwrap().blend, code("T-11"));
    for test in standing
        .tests
        .iter()
        .filter(|test| test.resemblance.is_some_and(|r| r > 0.4))
    {
        if let Some(position) = test.positions.get(&code("T-11")).filter(|_| test.weight > 0.0) {
            assert!(position.mean < 0.3, "{}: {}", test.key, position.mean);
        }
    }
}

#[tokio::test]
async fn a_drifting_rig_reverses_two_blends_when_its_readings_are_taken_raw() {
    let standing = standing_of(TRIALS[1], &WhatIf::default()).await;
    let scar = test(&standing, "lo_oil_wear/scar");
    let (third, second) = (code("T-03"), code("T-02"));
    assert!(scar.raw_estimates[&third].value > scar.raw_estimates[&second].value);
    assert!(scar.estimates[&third].value < scar.estimates[&second].value);
    let drift = standing
        .cautions
        .iter()
        .find(|caution| caution.kind() == CautionKind::RigOutOfControl);
    let rig = |caution: &Caution| serde_json::to_value(&caution.finding).unwrap()["rig"].clone();
    assert_eq!(drift.map(rig), Some(json!("LO-2")));
    let since = |caution: &Caution| serde_json::to_value(&caution.finding).unwrap()["since"].clone();
    assert_eq!(drift.map(since), Some(json!("2025-03-10")));
}

#[tokio::test]
async fn a_control_fluid_beats_every_reference_on_friction_and_a_cap_separates_nobody() {
    let standing = standing_of(TRIALS[1], &WhatIf::default()).await;
    let friction = test(&standing, "lo_oil_wear/cof");
    assert_eq!(friction.weight, 0.0);
    assert!(friction.validity.good_over_control.unwrap() < 0.05);
    let scuffing = test(&standing, "gear_A8/fail_stage");
    let capped = standing
        .candidates
        .iter()
        .filter(|c| scuffing.estimates[&c.blend].capped)
        .count();
    assert!(capped >= 5, "{capped}");
    let step = [
        &scuffing.estimates[&code("T-02")],
        &scuffing.estimates[&code("T-03")],
    ];
    assert!(
        step.iter().all(|estimate| estimate.capped),
        "the last step of the lineage is out of this test's sight"
    );
}

#[tokio::test]
async fn the_worm_gear_and_the_grease_are_decided_against_their_weld_loads() {
    let worm = standing_of(TRIALS[2], &WhatIf::default()).await;
    assert_eq!(worm.front_runner, Some(code("W-04")));
    assert!(worm.candidate(&code("W-02")).unwrap().is_out());
    let grease = standing_of(TRIALS[3], &WhatIf::default()).await;
    assert_eq!(grease.front_runner, Some(code("G-02")));
    assert_eq!(grease.candidates.last().unwrap().blend, code("G-04"));
    assert!(test(&grease, "fb_ep_grease/weld").estimates[&code("G-04")].capped);
}

/// Where both are better than the known good, what lies between two blends still counts.
#[tokio::test]
async fn the_worm_gear_is_decided_by_a_difference_beyond_the_reference_oils() {
    let worm = standing_of(TRIALS[2], &WhatIf::default()).await;
    let (fourth, third) = (code("W-04"), code("W-03"));
    assert_eq!(worm.leader.as_ref(), Some(&fourth));
    assert!(worm.candidate(&fourth).unwrap().wins[&third] > 0.99);
    let discs = test(&worm, "own_twin_disc/bronze_loss");
    assert!(discs.positions[&third].mean > 1.0);
    assert!(discs.positions[&fourth].lo > discs.positions[&third].hi);
    let held = WhatIf {
        head_room: 0.0,
        ..WhatIf::default()
    };
    assert_eq!(standing_of(TRIALS[2], &held).await.leader, None);
}

#[tokio::test]
async fn no_test_of_small_weight_turns_the_grease_round() {
    let grease = standing_of(TRIALS[3], &WhatIf::default()).await;
    let light = grease.tests.iter().filter(|test| test.weight < 0.1);
    let without = light.filter_map(|test| grease.without(&LeftOut::Quantity(test.key.clone())));
    let changes: Vec<bool> = without.map(|out| out.changes).collect();
    assert!(!changes.is_empty() && !changes.contains(&true), "{changes:?}");
}

#[tokio::test]
async fn no_caution_fires_in_every_trial() {
    let mut everywhere: Option<BTreeSet<CautionKind>> = None;
    let mut anywhere = BTreeSet::new();
    for trial in TRIALS {
        let standing = standing_of(trial, &WhatIf::default()).await;
        let kinds: BTreeSet<CautionKind> = standing.cautions.iter().map(|caution| caution.kind()).collect();
        anywhere.extend(kinds.iter().copied());
        everywhere = Some(match everywhere {
            None => kinds,
            Some(so_far) => so_far.intersection(&kinds).copied().collect(),
        });
    }
    assert_eq!(everywhere, Some(BTreeSet::new()), "these fire in all six trials");
    assert!(anywhere.len() >= 8, "the demo shows few cautions: {anywhere:?}");
}
