//! Cautions on components, screens, scatter and single results: a trial that fires each, and one that stays silent.
//! All data is invented.

use crate::support::judged::{evidence, fires, is_silent, standing};
use crate::support::trials::a_against_b;
use crate::support::{TrialBuilder, code};
use likewear::facade::records::{BlendCode, ResultStatus, RunResult, TestKey, TrialRecords};
use likewear::facade::standing::{Caution, CautionKind, RunFlag, Severity};

fn trial(main: &[&str]) -> TrialBuilder {
    a_against_b(main, &["adhesive wear", "scuffing"])
}

fn bench(a: &[&str], b: &[&str]) -> TrialBuilder {
    trial(&["rolling wear"])
        .wear_bench()
        .runs("A", "bench/wear", a)
        .runs("B", "bench/wear", b)
}

/// A far in front of B on the bench.
fn clear() -> TrialBuilder {
    bench(&["0.42", "0.44", "0.40"], &["1.10", "1.12", "1.08"])
}

fn text(caution: &Caution, name: &str) -> String {
    evidence(caution)[name].as_str().unwrap_or_default().to_string()
}

fn changed(trial: TrialBuilder, change: impl Fn(&mut RunResult)) -> TrialRecords {
    trial.each_result(change).build()
}

fn scores(records: &TrialRecords) -> Vec<(BlendCode, Option<f64>)> {
    let of = standing(records).candidates;
    of.into_iter().map(|one| (one.blend, one.score)).collect()
}

#[test]
fn loses_at_component_fires_where_a_rival_is_better_by_more_than_r_on_a_bench_of_the_machine() {
    let with_third = |a: &str, b: &str| {
        clear()
            .own_bench("third", "rolling wear")
            .runs("GOOD", "third/wear", &["0.4", "0.4"])
            .runs("POOR", "third/wear", &["1.4", "1.4"])
            .runs("A", "third/wear", &[a, a])
            .runs("B", "third/wear", &[b, b])
            .build()
    };
    let caution = fires(&with_third("0.9", "0.6"), CautionKind::LosesAtComponent);
    assert_eq!(caution.severity, Severity::High);
    assert_eq!(caution.test, TestKey::parse("third/wear"));
    assert_eq!(standing(&with_third("0.9", "0.6")).front_runner, Some(code("A")));
    is_silent(&with_third("0.7", "0.6"), CautionKind::LosesAtComponent);
}

#[test]
fn mode_not_tested_fires_for_a_main_mode_that_neither_a_test_nor_a_gate_with_a_result_scores() {
    let two_modes = || {
        trial(&["rolling wear", "copper corrosion"])
            .own_bench("bench", "rolling wear")
            .runs("A", "bench/wear", &["0.5"])
            .gate("cu_d130/class", "<= 1b")
    };
    let caution = fires(&two_modes().build(), CautionKind::ModeNotTested);
    assert_eq!(caution.severity, Severity::High);
    assert_eq!(text(&caution, "mode"), "copper corrosion");
    let run = two_modes().runs("A", "cu_d130/class", &["1a"]).build();
    is_silent(&run, CautionKind::ModeNotTested);
    is_silent(&trial(&["pitting"]).build(), CautionKind::ModeNotTested);
}

#[test]
fn only_screens_fires_where_no_component_test_was_run_on_both() {
    let scars = trial(&["adhesive wear"])
        .weigh("fb_wear_oil_B/scar")
        .runs("GOOD", "fb_wear_oil_B/scar", &["0.38", "0.40"])
        .runs("POOR", "fb_wear_oil_B/scar", &["0.70", "0.72"])
        .runs("A", "fb_wear_oil_B/scar", &["0.45"])
        .runs("B", "fb_wear_oil_B/scar", &["0.65"]);
    let caution = fires(&scars.clone().build(), CautionKind::OnlyScreens);
    assert_eq!(caution.severity, Severity::High);
    let on_one = scars
        .own_bench("bench", "adhesive wear")
        .runs("GOOD", "bench/wear", &["0.4", "0.4"])
        .runs("POOR", "bench/wear", &["1.4", "1.4"])
        .runs("A", "bench/wear", &["0.5"]);
    fires(&on_one.clone().build(), CautionKind::OnlyScreens);
    is_silent(
        &on_one.runs("B", "bench/wear", &["0.9"]).build(),
        CautionKind::OnlyScreens,
    );
}

#[test]
fn beyond_references_fires_where_the_lead_is_made_beyond_the_known_good() {
    let both = bench(&["0.10", "0.12"], &["0.26", "0.28"]).build();
    let caution = fires(&both, CautionKind::BeyondReferences);
    assert_eq!(caution.severity, Severity::Medium);
    // as far apart, with one of them short of the known good
    is_silent(
        &bench(&["0.26", "0.28"], &["0.60", "0.62"]).build(),
        CautionKind::BeyondReferences,
    );
    is_silent(&clear().build(), CautionKind::BeyondReferences);
}

#[test]
fn claim_hinges_fires_where_the_front_runner_stays_but_could_not_be_called_the_leader() {
    let second = |b: &str| {
        clear()
            .own_bench("second", "rolling wear")
            .runs("GOOD", "second/wear", &["0.40", "0.42"])
            .runs("POOR", "second/wear", &["1.00", "1.02"])
            .runs("A", "second/wear", &["0.60"])
            .runs("B", "second/wear", &[b])
            .build()
    };
    let caution = fires(&second("0.62"), CautionKind::ClaimHinges);
    assert_eq!(caution.severity, Severity::Medium);
    is_silent(&second("0.98"), CautionKind::ClaimHinges);
}

#[test]
fn within_repeatability_fires_where_the_lead_comes_from_less_than_the_critical_difference() {
    let caution = fires(
        &bench(&["0.65"], &["0.70"]).build(),
        CautionKind::WithinRepeatability,
    );
    assert_eq!(caution.severity, Severity::Medium);
    is_silent(&clear().build(), CautionKind::WithinRepeatability);
    // 0.15 apart is beyond r = 0.1 in one block, and within R = 0.2 where the blocks differ
    let apart = |campaign: &str| {
        let trial = bench(&["0.60"], &[]);
        trial
            .runs_on("B", "bench/wear", &["0.75"], "rig-bench", campaign)
            .build()
    };
    is_silent(&apart("first"), CautionKind::WithinRepeatability);
    fires(&apart("second"), CautionKind::WithinRepeatability);
}

#[test]
fn gate_borderline_fires_where_fewer_than_half_of_the_runs_do_not_meet_the_limit() {
    let copper = |classes: &[&str]| {
        let trial = clear().gate("cu_d130/class", "<= 1b");
        trial
            .runs("A", "cu_d130/class", classes)
            .runs("B", "cu_d130/class", &["1a"])
            .build()
    };
    let caution = fires(&copper(&["1b", "1b", "2a"]), CautionKind::GateBorderline);
    assert_eq!(caution.severity, Severity::Medium);
    is_silent(&copper(&["1b", "1a"]), CautionKind::GateBorderline);
    is_silent(&copper(&["1b", "2a"]), CautionKind::GateBorderline);
}

#[test]
fn mixed_methods_fires_where_two_blends_were_welded_by_two_standards() {
    let welds = || {
        trial(&["scuffing"])
            .weigh("fb_ep_oil/weld")
            .weigh("fb_din_weld_oil/weld")
            .runs("A", "fb_ep_oil/weld", &["250"])
            .runs("B", "fb_din_weld_oil/weld", &["3000"])
    };
    let caution = fires(&welds().build(), CautionKind::MixedMethods);
    assert_eq!(caution.severity, Severity::High);
    assert_eq!(evidence(&caution)["methods"].as_array().map(Vec::len), Some(2));
    let all_by_one = welds().runs("B", "fb_ep_oil/weld", &["315"]).build();
    is_silent(&all_by_one, CautionKind::MixedMethods);
}

#[test]
fn suspect_run_fires_for_a_marked_run_which_counts_all_the_same() {
    let marked = changed(clear(), |result| {
        if result.replicate == 7 {
            result.status = ResultStatus::Suspect;
            result.reason = "lot under enquiry".to_string();
        }
    });
    let caution = fires(&marked, CautionKind::SuspectRun);
    assert_eq!(caution.severity, Severity::Medium);
    assert_eq!(text(&caution, "reason"), "lot under enquiry");
    assert_eq!(scores(&marked), scores(&clear().build()));
    is_silent(&clear().build(), CautionKind::SuspectRun);
    let test = standing(&marked).tests[0].clone();
    let marks = test.strip.unwrap().runs.into_iter().filter_map(|run| run.mark);
    assert_eq!(marks.collect::<Vec<_>>(), vec![RunFlag::Suspect]);
}

#[test]
fn suspect_run_fires_for_runs_beyond_the_critical_range_and_says_what_follows_without_one() {
    let wide = bench(&["0.45", "1.25"], &["0.80", "0.82"]).build();
    let caution = fires(&wide, CautionKind::SuspectRun);
    assert!(evidence(&caution)["times_critical_range"].is_number());
    assert_eq!(standing(&wide).front_runner, Some(code("B")));
    assert_eq!(text(&caution, "in_front_without"), "A");
    // beyond r once, but over four cells together that is no surprise
    is_silent(
        &bench(&["0.45", "0.57"], &["0.80", "0.82"]).build(),
        CautionKind::SuspectRun,
    );
}
