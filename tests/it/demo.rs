//! The invented demo tells its story by numbers, and no caution fires in all of its trials.

use crate::entities::change;
use crate::pages::Pages;
use likewear::facade::app::{App, StartWith};
use likewear::facade::records::{BlendCode, GateOutcome, TrialSlug};
use likewear::facade::standing::{
    Answer, Caution, CautionKind, LeftOut, Severity, Standing, TestStanding, WhatIf, Within,
};
use serde_json::json;
use std::collections::BTreeSet;

const TRIALS: [&str; 7] = [
    "pitch-drive-first-screen",
    "pitch-drive-full",
    "lock-gate-worm-gear",
    "sugar-mill-bearing-grease",
    "pitch-drive-defoamer-check",
    "pitch-drive-base-oil-supplier",
    "ferry-ramp-hydraulic-fluid",
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
    assert_eq!(everywhere, Some(BTreeSet::new()), "these fire in every trial");
    assert!(anywhere.len() >= 8, "the demo shows few cautions: {anywhere:?}");
}

#[tokio::test]
async fn the_blend_that_boasts_of_its_gear_stage_is_not_the_one_that_the_pump_test_puts_in_front() {
    let ramp = standing_of(TRIALS[6], &WhatIf::default()).await;
    let (ashless, boaster) = (code("H-03"), code("H-02"));
    assert_eq!(ramp.leader.as_ref(), Some(&ashless));
    let stage = test(&ramp, "gear_A8/fail_stage");
    assert!(stage.estimates[&boaster].capped && !stage.estimates[&ashless].capped);
    let scar = test(&ramp, "fb_wear_oil_B/scar");
    assert!(scar.estimates[&boaster].value < scar.estimates[&ashless].value);
    let pump = test(&ramp, "pump_vane_d7043/mass_loss");
    let others = ramp.tests.iter().filter(|other| other.key != pump.key);
    assert!(others.map(|other| other.weight).fold(0.0, f64::max) < pump.weight);
    assert!(pump.estimates[&boaster].value > 5.0 * pump.estimates[&ashless].value);
    assert!(pump.positions[&boaster].hi < pump.positions[&ashless].lo);
    // Without the pump the boaster leads, and the answer says on what the lead rests.
    let without = LeftOut::Method(pump.key.method.clone());
    let left = ramp.without(&without).unwrap();
    assert_eq!(left.front_runner.as_ref(), Some(&boaster));
    assert!(left.changes && left.may_be_named);
    let breaks = ramp.breaks_without.as_ref().map(|out| &out.left_out);
    assert_eq!(breaks, Some(&without));
    assert!(ramp.candidate(&code("H-04")).unwrap().is_out());
    let worm = standing_of(TRIALS[2], &WhatIf::default()).await;
    assert!(worm.breaks_without.is_none());
}

#[tokio::test]
async fn the_answer_does_not_say_that_a_lead_holds_without_the_test_it_hinges_on() {
    let pages = Pages::with(StartWith::Demo).await;
    let said = async |trial: &str| {
        let standing = pages.json(&format!("/api/trials/{trial}/standing")).await;
        let page = pages.get(&format!("/trials/{trial}")).await;
        format!("{} {}", standing["sentence"].as_str().unwrap(), page.text("main"))
    };
    let ramp = said(TRIALS[6]).await;
    assert!(
        ramp.contains("would not survive dropping Vane pump wear"),
        "{ramp}"
    );
    assert!(
        ramp.contains("H-02 comes first") && !ramp.contains("left out it still leads"),
        "{ramp}"
    );
    assert!(
        said(TRIALS[2])
            .await
            .contains("With any one test left out it still leads.")
    );
}

#[tokio::test]
async fn less_defoamer_is_no_worse_in_wear_and_its_foam_is_within_the_limit() {
    let check = standing_of(TRIALS[4], &WhatIf::default()).await;
    let less = code("T-04");
    assert_eq!(check.leader, None);
    let shown = check.equivalence.as_ref().unwrap();
    assert_eq!((&shown.against, shown.margin), (&code("T-03"), 1.0));
    let [only] = shown.candidates.as_slice() else {
        panic!("{:?}", shown.candidates);
    };
    assert_eq!(
        (&only.blend, only.answer, only.unmet.len()),
        (&less, Answer::Yes, 0)
    );
    assert!(only.untested.is_empty(), "{:?}", only.untested);
    let within = |told: &Within| *told == Within::Inside;
    assert_eq!(only.tests.len(), 3);
    assert!(
        only.tests
            .iter()
            .all(|test| test.told.as_ref().is_ok_and(|told| within(&told.within)))
    );
    let foam: Vec<_> = (check.gates.iter())
        .filter(|gate| gate.key.method.as_str() == "foam_d892_sequences")
        .collect();
    assert_eq!(foam.len(), 6, "three sequences of two blends");
    assert!(foam.iter().all(|gate| gate.outcome == GateOutcome::Pass));
}

/// The machine that is stated as an example, and that no trial uses.
const STATED: &str = "net-hauler-winch";

#[tokio::test]
async fn every_machine_of_the_demo_but_the_example_is_computed_from_geometry_and_drawn() {
    let pages = Pages::with(StartWith::Demo).await;
    let trials = pages.json("/api/trials").await;
    let used: BTreeSet<String> = (trials["trials"].as_array().unwrap().iter())
        .map(|trial| trial["machine"].as_str().unwrap().to_string())
        .collect();
    assert!(used.len() == 4 && !used.contains(STATED), "{used:?}");
    for machine in used.iter().map(String::as_str).chain([STATED]) {
        let page = pages.get(&format!("/machines/{machine}")).await;
        let json = pages.json(&format!("/api/machines/{machine}")).await;
        assert!(
            json["note"].as_str().unwrap().starts_with("Invented throughout"),
            "{machine}"
        );
        let contacts = json["contacts"].as_array().unwrap();
        for contact in contacts {
            assert_eq!(
                contact["preset"] == "stated",
                machine == STATED,
                "{machine}: {contact}"
            );
        }
        let words = page.text("main");
        let is_section = words.contains("raceway in this section diameter");
        let barrels_or_cones = ["lock-gate-winch", "sugar-mill-roll-bearing"].contains(&machine);
        assert_eq!(is_section, barrels_or_cones, "{machine}");
        assert_eq!(
            words.contains("geometry not known"),
            machine == STATED,
            "{machine}"
        );
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn every_explanation_of_the_demo_draws_the_machine_and_beside_it_the_test_where_it_has_a_geometry() {
    let pages = Pages::with(StartWith::Demo).await;
    let (mut both, mut alone) = (BTreeSet::new(), BTreeSet::new());
    for trial in TRIALS {
        let standing = pages.json(&format!("/api/trials/{trial}/standing")).await;
        for test in standing["tests"].as_array().unwrap() {
            let method = test["method"].as_str().unwrap();
            let at = format!(
                "/trials/{trial}/tests/{method}?quantity={}",
                test["quantity"].as_str().unwrap()
            );
            let page = pages.get(&at).await;
            if page.count("[data-machine-contact]") == 0 {
                assert!(test["contacts"].as_array().unwrap().is_empty(), "{at}");
                continue;
            }
            assert_eq!(page.count("[data-footprints] svg"), 1, "{at}");
            assert_eq!(page.count("[data-no-drawing]"), 0, "{at}");
            let has_geometry = !page.text("[data-test-contact]").contains("it has no drawing");
            let caption = page.text("[data-footprints] figcaption");
            assert_eq!(
                caption.contains("test left and machine right, both to the one scale"),
                has_geometry,
                "{at}"
            );
            let list = if has_geometry { &mut both } else { &mut alone };
            list.insert(method.to_string());
        }
    }
    assert!(both.len() >= 10, "{both:?}");
    // Known by their numbers: the benches of the laboratory, three methods of the catalogue, and the cage of a bearing.
    let known = [
        "fretting",
        "own_pitch",
        "own_twin_disc",
        "own_worm_box",
        "pump_vane_d7043",
        "rb_grease",
        "rb_oil",
    ];
    assert_eq!(alone.iter().map(String::as_str).collect::<Vec<_>>(), known);
}

#[tokio::test(flavor = "multi_thread")]
async fn an_explanation_beside_a_stated_machine_says_that_it_has_no_drawing_of_it() {
    let pages = Pages::with(StartWith::Demo).await;
    let sql = format!(
        "UPDATE trials SET machine = '{STATED}' WHERE trial = '{}'",
        TRIALS[0]
    );
    change(&pages, &sql).await;
    let page = pages
        .get(&format!("/trials/{}/tests/fb_wear_oil_B", TRIALS[0]))
        .await;
    assert_eq!((page.status, page.count("[data-no-drawing]")), (200, 1));
    let caption = page.text("[data-footprints] figcaption");
    assert!(
        caption.starts_with(
            "Contact area of the test, to the scale under it; of the machine's no geometry is known."
        ),
        "{caption}"
    );
}

#[tokio::test(flavor = "multi_thread")]
async fn a_scale_on_which_both_have_one_value_tells_its_numbers_apart() {
    let pages = Pages::with(StartWith::Demo).await;
    let page = pages
        .get(&format!("/trials/{}/tests/pump_vane_d7043", TRIALS[6]))
        .await;
    let numbers = page.texts("[data-ladder='slide_roll'] .axis text");
    let apart: BTreeSet<&String> = numbers.iter().collect();
    assert!(numbers.len() >= 3 && apart.len() == numbers.len(), "{numbers:?}");
}
