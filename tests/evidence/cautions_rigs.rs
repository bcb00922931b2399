//! Cautions on where and how results were run: rigs out of control, conditions that depart. All data is invented.

use crate::support::judged::{evidence, fires, is_silent, standing};
use crate::support::trials::a_against_b;
use crate::support::{TrialBuilder, code};
use jiff::civil::date;
use likewear::facade::records::{BlendCode, GateOutcome, RigId, RunResult, TestKey, TrialRecords};
use likewear::facade::standing::{Caution, CautionKind, RunFlag, Severity};
use serde_json::json;

fn trial(main: &[&str]) -> TrialBuilder {
    a_against_b(main, &["scuffing"])
}

fn text(caution: &Caution, name: &str) -> String {
    evidence(caution)[name].as_str().unwrap_or_default().to_string()
}

/// One rig, a run a day: its reference oil GOOD, with A while it holds its level and B behind what it reads then.
fn one_rig(good_then: &[&str], a: &str, b: &str) -> TrialRecords {
    let before = ["0.40", "0.42", "0.41", "0.40", "0.41", "0.39", "0.40"];
    let trial = trial(&["rolling wear"])
        .own_bench("bench", "rolling wear")
        .runs_on("GOOD", "bench/wear", &before, "R-1", "spring")
        .runs_on("POOR", "bench/wear", &["1.40", "1.42"], "R-1", "spring")
        .runs_on("A", "bench/wear", &[a, a], "R-1", "spring")
        .runs_on("GOOD", "bench/wear", &["0.41"], "R-1", "spring")
        .runs_on("B", "bench/wear", &[b, b], "R-1", "spring")
        .runs_on("GOOD", "bench/wear", good_then, "R-1", "spring");
    let mut records = trial.build();
    for (day, result) in records.results.iter_mut().enumerate() {
        result.date = Some(date(2025, 3, day as i8 + 1));
    }
    records
}

const HELD: [&str; 3] = ["0.41", "0.42", "0.40"];
const MOVED: [&str; 3] = ["0.80", "0.82", "0.81"];

#[test]
fn rig_out_of_control_fires_for_results_since_the_last_reference_run_at_the_old_level() {
    let moved = one_rig(&MOVED, "0.45", "1.20");
    let caution = fires(&moved, CautionKind::RigOutOfControl);
    assert_eq!(caution.severity, Severity::Medium);
    assert_eq!(evidence(&caution)["blends"], json!(["B"]));
    assert_eq!(text(&caution, "since"), "2025-03-15");
    is_silent(&one_rig(&HELD, "0.45", "1.20"), CautionKind::RigOutOfControl);
    // two runs are too few to show a change
    is_silent(
        &one_rig(&MOVED[..2], "0.45", "1.20"),
        CautionKind::RigOutOfControl,
    );
    let marks: Vec<(BlendCode, RunFlag)> = standing(&moved).tests[0]
        .strip
        .iter()
        .flat_map(|strip| &strip.runs)
        .filter_map(|run| Some((run.blend.clone(), run.mark?)))
        .collect();
    assert_eq!(marks.iter().filter(|(blend, _)| *blend == code("B")).count(), 2);
    assert!(marks.iter().all(|(blend, _)| *blend != code("A")));
}

#[test]
fn rig_out_of_control_is_high_where_adjusting_for_severity_changes_who_is_in_front() {
    // B is worse by 0.15 mm as read, and better by 0.25 mm beside the reference oil of its days
    let mut moved = one_rig(&MOVED, "0.65", "0.80");
    for result in moved
        .results
        .iter_mut()
        .filter(|result| result.blend == code("B"))
    {
        result.date = Some(date(2025, 3, 16));
    }
    let caution = fires(&moved, CautionKind::RigOutOfControl);
    assert_eq!(caution.severity, Severity::High);
    assert_eq!(text(&caution, "in_front_as_read"), "A");
    assert_eq!(text(&caution, "in_front_uncut"), "A");
    // where both ways of reading agree, nothing more is said
    let agreed = one_rig(&MOVED, "0.45", "1.20");
    let said = evidence(&fires(&agreed, CautionKind::RigOutOfControl));
    assert!(said.get("in_front_as_read").is_none() && said.get("in_front_uncut").is_none());
}

/// Who declares an oil does not matter: any reference oil that was run tells of the level.
#[test]
fn rig_out_of_control_fires_by_any_reference_oil_that_was_run() {
    let moved = one_rig(&MOVED, "0.45", "1.20");
    assert_eq!(moved.rigs[0].reference_blend, None);
    assert_eq!(
        text(&fires(&moved, CautionKind::RigOutOfControl), "reference"),
        "GOOD"
    );
    let mut undated = moved.clone();
    undated.results.iter_mut().for_each(|result| result.date = None);
    is_silent(&undated, CautionKind::RigOutOfControl);
    // B ran on another rig, of which no reference run is known
    let mut elsewhere = moved;
    for result in elsewhere
        .results
        .iter_mut()
        .filter(|result| result.blend == code("B"))
    {
        result.rig = RigId::new("R-2");
    }
    is_silent(&elsewhere, CautionKind::RigOutOfControl);
}

/// Wear scars of which the conditions are written by a rule.
fn scars(conditions: impl Fn(&RunResult) -> &'static str) -> TrialRecords {
    trial(&["adhesive wear"])
        .weigh("fb_wear_oil_B/scar")
        .runs("GOOD", "fb_wear_oil_B/scar", &["0.38", "0.40"])
        .runs("POOR", "fb_wear_oil_B/scar", &["0.70", "0.72"])
        .runs("A", "fb_wear_oil_B/scar", &["0.45", "0.46"])
        .runs("B", "fb_wear_oil_B/scar", &["0.60", "0.61"])
        .each_result(|result| result.conditions = conditions(result).to_string())
        .build()
}

#[test]
fn conditions_depart_is_silent_under_the_methods_own_conditions() {
    is_silent(
        &scars(|_| "392 N; 1200 rpm; 75 C; 60 min"),
        CautionKind::ConditionsDepart,
    );
    is_silent(&scars(|_| "laboratory air"), CautionKind::ConditionsDepart);
}

#[test]
fn conditions_depart_fires_where_all_runs_depart_alike_and_they_stay_weighed() {
    let warm = scars(|_| "392 N; 1200 rpm; 60 C; 60 min");
    let caution = fires(&warm, CautionKind::ConditionsDepart);
    assert_eq!(caution.severity, Severity::Medium);
    assert_eq!(text(&caution, "weighed_at"), "60 °C");
    assert_eq!(text(&caution, "method_has"), "75 °C");
    let (warm, plain) = (standing(&warm), standing(&scars(|_| "")));
    assert!(warm.tests[0].weight > 0.0);
    assert_eq!(warm.candidates, plain.candidates);
}

#[test]
fn conditions_depart_keeps_a_blend_apart_that_was_run_unlike_the_references() {
    let one_warm = scars(|result| if result.blend == code("B") { "60 C" } else { "75 C" });
    let caution = fires(&one_warm, CautionKind::ConditionsDepart);
    assert_eq!(evidence(&caution)["kept_apart"], json!(["B (60 °C)"]));
    let standing = standing(&one_warm);
    assert_eq!(standing.candidate(&code("B")).unwrap().coverage, 0.0);
    assert_eq!(standing.candidate(&code("A")).unwrap().coverage, 1.0);
    let test = &standing.tests[0];
    assert!(!test.estimates.contains_key(&code("B")));
    let shown = test.strip.iter().flat_map(|strip| &strip.runs);
    let apart = shown.filter(|run| run.mark == Some(RunFlag::OtherConditions));
    assert_eq!(apart.count(), 2);
}

#[test]
fn conditions_depart_follows_the_references_into_their_variant() {
    let only_b_by_the_method = scars(|result| if result.blend == code("B") { "75 C" } else { "60 C" });
    let caution = fires(&only_b_by_the_method, CautionKind::ConditionsDepart);
    assert_eq!(text(&caution, "weighed_at"), "60 °C");
    let standing = standing(&only_b_by_the_method);
    assert_eq!(standing.candidate(&code("A")).unwrap().coverage, 1.0);
    assert_eq!(standing.candidate(&code("B")).unwrap().coverage, 0.0);
}

#[test]
fn conditions_depart_at_a_gate_is_said_and_the_limit_still_holds() {
    let gate = |conditions: &'static str| {
        let trial = trial(&["copper corrosion"]).gate("cu_d130/class", "<= 1b");
        trial
            .runs("A", "cu_d130/class", &["3b"])
            .runs("B", "cu_d130/class", &["1a"])
            .each_result(|result| result.conditions = conditions.to_string())
            .build()
    };
    let caution = fires(&gate("100 C; 24 h"), CautionKind::ConditionsDepart);
    assert_eq!(caution.test, TestKey::parse("cu_d130/class"));
    let outcomes = standing(&gate("100 C; 24 h")).gates;
    assert_eq!(outcomes[0].outcome, GateOutcome::Fail);
    is_silent(&gate("100 C; 3 h"), CautionKind::ConditionsDepart);
}

#[test]
fn the_order_of_rows_changes_no_caution() {
    for records in [
        one_rig(&MOVED, "0.65", "0.80"),
        scars(|result| {
            if result.blend == code("B") {
                "60.3 C"
            } else {
                "59.8 C"
            }
        }),
        scars(|result| if result.replicate % 2 == 0 { "60 C" } else { "75 C" }),
    ] {
        let mut reversed = records.clone();
        reversed.results.reverse();
        assert!(!standing(&records).cautions.is_empty());
        assert_eq!(standing(&records).cautions, standing(&reversed).cautions);
    }
}

#[test]
fn baths_within_a_kelvin_ran_one_variant() {
    let near = scars(|result| {
        if result.blend == code("B") {
            "60.3 C"
        } else {
            "59.8 C"
        }
    });
    let caution = fires(&near, CautionKind::ConditionsDepart);
    assert_eq!(evidence(&caution)["kept_apart"], json!([]));
}

#[test]
fn a_test_without_a_known_scatter_is_not_said_to_lack_a_reference() {
    let rollers = trial(&["rolling wear"])
        .weigh("rb_oil/roller_wear")
        .runs("GOOD", "rb_oil/roller_wear", &["5"])
        .runs("A", "rb_oil/roller_wear", &["9"]);
    is_silent(&rollers.build(), CautionKind::NoReference);
}
