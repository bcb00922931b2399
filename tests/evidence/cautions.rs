//! Every caution: a trial that fires it, and one that stays silent. All data is invented.

use crate::support::judged::{evidence, fires, is_silent, standing};
use crate::support::trials::a_against_b;
use crate::support::{BRONZE_BUSH, FAST_MESH, SLOW_ROLLERS, TrialBuilder, code, trial_on};
use likewear::facade::prose::standing::caution;
use likewear::facade::records::{ResultStatus, TrialRecords};
use likewear::facade::standing::{CautionKind, Severity};

/// Slow rollers; candidate A far better than B on an own bench that runs the machine's contact.
fn clear_case() -> TrialBuilder {
    a_against_b(&["rolling wear"], &["adhesive wear", "scuffing"]).a_wears_less()
}

/// The same bench twice, by two methods, so that neither is the only one.
fn two_benches() -> TrialBuilder {
    clear_case().other_bench(&["0.55", "0.57"], &["1.20", "1.22"])
}

/// Only a weld load, in which B leads, and a wear scar, in which A leads by little.
fn weld_leads() -> TrialBuilder {
    a_against_b(&["adhesive wear"], &["scuffing", "seizure"])
        .weld_loads(&["160", "160"], &["500", "500"])
        .own_bench("bench", "scuffing")
        .runs("GOOD", "bench/wear", &["0.40", "0.41"])
        .runs("POOR", "bench/wear", &["1.40", "1.41"])
        .runs("A", "bench/wear", &["0.70", "0.72"])
        .runs("B", "bench/wear", &["0.72", "0.73"])
}

#[test]
fn rests_on_one_extreme_screen_fires_where_the_weld_load_alone_puts_b_in_front() {
    let caution = fires(&weld_leads().build(), CautionKind::RestsOnOneExtremeScreen);
    assert_eq!(caution.severity, Severity::Stop);
    assert!(standing(&weld_leads().build()).leader.is_none());
}

#[test]
fn rests_on_one_extreme_screen_is_silent_where_the_bench_says_the_same() {
    is_silent(&two_benches().build(), CautionKind::RestsOnOneExtremeScreen);
}

#[test]
fn worse_than_known_poor_fires_where_the_front_runner_is_below_it_on_a_bench_of_the_machine() {
    let trial = two_benches()
        .own_bench("third", "rolling wear")
        .runs("GOOD", "third/wear", &["0.5", "0.5"])
        .runs("POOR", "third/wear", &["1.0", "1.0"])
        .runs("A", "third/wear", &["1.3", "1.3"])
        .runs("B", "third/wear", &["1.2", "1.2"]);
    let caution = fires(&trial.build(), CautionKind::WorseThanKnownPoor);
    assert_eq!(caution.severity, Severity::Stop);
}

#[test]
fn worse_than_known_poor_is_silent_between_the_references() {
    is_silent(&two_benches().build(), CautionKind::WorseThanKnownPoor);
}

#[test]
fn hinges_on_one_test_fires_where_one_bench_decides() {
    let trial = two_benches().own_bench("third", "rolling wear");
    let trial = trial
        .runs("GOOD", "third/wear", &["0.5", "0.5"])
        .runs("POOR", "third/wear", &["1.0", "1.0"])
        .runs("A", "third/wear", &["0.5", "0.5"])
        .runs("B", "third/wear", &["0.9", "0.9"]);
    is_silent(&trial.clone().build(), CautionKind::HingesOnOneTest);
    let decided = clear_case().build();
    let hinge = fires(&decided, CautionKind::HingesOnOneTest);
    let (heading, words) = caution(&hinge, &standing(&decided), Default::default());
    assert_eq!(heading, "Hinges on one test");
    assert!(words.ends_with("support it by another test."), "{words}");
}

#[test]
fn leans_on_one_test_fires_on_a_screen_unlike_the_machine_and_not_on_a_bench_like_it() {
    fires(&weld_leads().build(), CautionKind::LeansOnOneTest);
    is_silent(&two_benches().build(), CautionKind::LeansOnOneTest);
}

#[test]
fn not_sorting_fires_where_the_control_fluid_beats_the_known_good() {
    let with_control = |value: &str| {
        two_benches()
            .control("SYRUP")
            .runs("SYRUP", "bench/wear", &[value, value])
            .build()
    };
    let caution = fires(&with_control("0.1"), CautionKind::NotSorting);
    assert_eq!(caution.severity, Severity::High);
    is_silent(&with_control("2.0"), CautionKind::NotSorting);
    let trial = standing(&with_control("0.1"));
    let test = trial
        .tests
        .iter()
        .find(|test| test.key.to_string() == "bench/wear")
        .unwrap();
    assert_eq!(test.weight, 0.0);
    assert!(test.excluded.is_some());
}

#[test]
fn nothing_resembles_fires_for_a_contact_that_no_test_is_like() {
    let trial = weld_leads().another_contact("bush", BRONZE_BUSH, 0.5, &["bronze wear"]);
    fires(&trial.build(), CautionKind::NothingResembles);
    is_silent(&two_benches().build(), CautionKind::NothingResembles);
}

#[test]
fn not_resolved_fires_between_equals_and_names_the_rival() {
    let equals = clear_case()
        .candidate("C")
        .runs("C", "bench/wear", &["0.41", "0.43"]);
    let caution = fires(&equals.build(), CautionKind::NotResolved);
    assert!(evidence(&caution)["cannot_be_told_apart"].is_array());
    is_silent(&two_benches().build(), CautionKind::NotResolved);
}

#[test]
fn thin_coverage_fires_where_the_front_runner_was_hardly_run() {
    let trial = two_benches()
        .own_bench("third", "rolling wear")
        .own_bench("fourth", "rolling wear")
        .runs("GOOD", "third/wear", &["0.5", "0.5"])
        .runs("POOR", "third/wear", &["1.0", "1.0"])
        .runs("B", "third/wear", &["0.95"])
        .runs("GOOD", "fourth/wear", &["0.5", "0.5"])
        .runs("POOR", "fourth/wear", &["1.0", "1.0"])
        .runs("B", "fourth/wear", &["0.95"]);
    fires(&trial.build(), CautionKind::ThinCoverage);
    is_silent(&two_benches().build(), CautionKind::ThinCoverage);
}

fn scuffing_stages(a: &str, b: &str) -> TrialRecords {
    trial_on(FAST_MESH, &["scuffing"], &[])
        .good("GOOD")
        .poor("POOR")
        .candidate("A")
        .candidate("B")
        .weigh("gear_A8/fail_stage")
        .runs("GOOD", "gear_A8/fail_stage", &[">12", ">12"])
        .runs("POOR", "gear_A8/fail_stage", &["6", "7"])
        .runs("A", "gear_A8/fail_stage", &[a])
        .runs("B", "gear_A8/fail_stage", &[b])
        .build()
}

#[test]
fn capped_fires_where_both_ran_off_the_scale() {
    let caution = fires(&scuffing_stages(">12", ">12"), CautionKind::Capped);
    assert_eq!(caution.severity, Severity::Medium);
    is_silent(&scuffing_stages(">12", "8"), CautionKind::Capped);
}

#[test]
fn references_that_are_missing_are_said() {
    let alone = |good: bool| {
        let trial = trial_on(SLOW_ROLLERS, &["rolling wear"], &[])
            .candidate("A")
            .candidate("B");
        let trial = if good { trial.good("GOOD") } else { trial };
        let trial = trial.own_bench("bench", "rolling wear");
        let trial = if good {
            trial.runs("GOOD", "bench/wear", &["0.4", "0.4"])
        } else {
            trial
        };
        trial
            .runs("A", "bench/wear", &["0.5"])
            .runs("B", "bench/wear", &["0.9"])
            .build()
    };
    fires(&alone(false), CautionKind::NoReference);
    is_silent(&alone(false), CautionKind::OneReference);
    fires(&alone(true), CautionKind::OneReference);
    is_silent(&alone(true), CautionKind::NoReference);
    is_silent(&two_benches().build(), CautionKind::OneReference);
    is_silent(&two_benches().build(), CautionKind::NoReference);
}

#[test]
fn gate_failed_is_high_for_the_one_that_would_be_in_front_and_a_note_for_another() {
    let with_copper = |a: &str, b: &str| {
        let trial = two_benches().gate("cu_d130/class", "<= 1b");
        trial
            .runs("A", "cu_d130/class", &[a])
            .runs("B", "cu_d130/class", &[b])
            .build()
    };
    assert_eq!(
        fires(&with_copper("3b", "1a"), CautionKind::GateFailed).severity,
        Severity::High
    );
    assert_eq!(
        fires(&with_copper("1a", "3b"), CautionKind::GateFailed).severity,
        Severity::Note
    );
    is_silent(&with_copper("1a", "1b"), CautionKind::GateFailed);
    assert_eq!(standing(&with_copper("3b", "1a")).front_runner, Some(code("B")));
}

#[test]
fn gate_not_run_is_high_for_the_front_runner() {
    let gate = || two_benches().gate("cu_d130/class", "<= 1b");
    let only_b = gate().runs("B", "cu_d130/class", &["1a"]).build();
    assert_eq!(fires(&only_b, CautionKind::GateNotRun).severity, Severity::High);
    let both = gate()
        .runs("A", "cu_d130/class", &["1a"])
        .runs("B", "cu_d130/class", &["1a"]);
    is_silent(&both.build(), CautionKind::GateNotRun);
}

#[test]
fn single_run_fires_where_one_run_moved_by_r_would_change_the_front() {
    let trial = |values: &[&str]| {
        trial_on(SLOW_ROLLERS, &["rolling wear"], &[])
            .good("GOOD")
            .poor("POOR")
            .candidate("A")
            .candidate("B")
            .own_bench("bench", "rolling wear")
            .runs("GOOD", "bench/wear", &["0.4", "0.4"])
            .runs("POOR", "bench/wear", &["1.4", "1.4"])
            .runs("A", "bench/wear", values)
            .runs("B", "bench/wear", &["0.70", "0.70"])
            .build()
    };
    fires(&trial(&["0.65"]), CautionKind::SingleRun);
    is_silent(&trial(&["0.65", "0.65"]), CautionKind::SingleRun);
    is_silent(&trial(&["0.40"]), CautionKind::SingleRun);
}

#[test]
fn weights_decide_fires_where_equal_weights_put_another_in_front() {
    let trial = weld_leads()
        .runs("A", "bench/wear", &["0.40", "0.40", "0.40", "0.40"])
        .runs("B", "bench/wear", &["1.05", "1.05", "1.05", "1.05"])
        .build();
    assert_eq!(standing(&trial).front_runner, Some(code("A")));
    fires(&trial, CautionKind::WeightsDecide);
    is_silent(&two_benches().build(), CautionKind::WeightsDecide);
}

#[test]
fn a_void_run_counts_nowhere() {
    let all_void = two_benches()
        .each_result(|result| result.status = ResultStatus::Void)
        .build();
    let standing = standing(&all_void);
    assert_eq!(standing.front_runner, None);
    assert_eq!(standing.leader, None);
    assert!(
        standing
            .candidates
            .iter()
            .all(|candidate| candidate.p_best.is_none())
    );
}
