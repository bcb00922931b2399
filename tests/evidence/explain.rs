//! One test explained: every clause of the conclusion is true of the trial it speaks of. All data is invented.

#![expect(clippy::unwrap_used, reason = "a trial that cannot be built is a failed test")]

use crate::support::explained::{about_method, compared};
use crate::support::trials::a_against_b;
use crate::support::{BRONZE_BUSH, FAST_MESH, SLOW_ROLLERS, TrialBuilder, trial_on};
use likewear::facade::catalogue::Use;
use likewear::facade::explain::{Ask, Explanation, LadderSide, RESEMBLES, Verdict, explain};
use likewear::facade::records::ResultSource;

fn ask(method: &str, blend: Option<&str>) -> Ask {
    Ask {
        blend: blend.map(Into::into),
        ..about_method(method)
    }
}

fn explained(trial: TrialBuilder, method: &str, blend: Option<&str>) -> Explanation {
    explain(&compared(trial.build(), 4_000), &ask(method, blend)).unwrap()
}

fn text(explanation: &Explanation) -> String {
    format!("{} {}", explanation.answer, explanation.conclusion.join(" "))
}

#[track_caller]
fn says(explanation: &Explanation, wanted: &str) {
    let text = text(explanation);
    assert!(text.contains(wanted), "{wanted:?} is not in: {text}");
}

#[track_caller]
fn is_silent(explanation: &Explanation, unwanted: &str) {
    let text = text(explanation);
    assert!(!text.contains(unwanted), "{unwanted:?} is in: {text}");
}

/// Slow rollers: B welds last of all and wears most; A wears least.
fn weld_against_wear() -> TrialBuilder {
    a_against_b(&["rolling wear"], &["scuffing", "seizure"])
        .control("SUGAR")
        .weld_loads(&["160", "160"], &["400", "400"])
        .runs("SUGAR", "fb_ep_oil/weld", &["80", "80"])
        .a_wears_less()
}

#[test]
fn an_extreme_screen_winner_that_is_poor_where_it_matters_is_answered_no_with_the_numbers() {
    let it = explained(weld_against_wear(), "fb_ep_oil", None);
    assert_eq!(it.blend, "B", "the blend that reads best is taken");
    assert_eq!(
        it.heading,
        "Does a weld load of 400 kgf make B the better oil for this drive?"
    );
    assert_eq!(it.verdict, Verdict::No);
    assert!(it.answer.starts_with("No"));
    says(
        &it,
        "400 kgf is the highest weld load of the 2 candidates with a result",
    );
    says(
        &it,
        "It is better than the known good GOOD (250 kgf) by 2 load steps",
    );
    says(&it, "conditions the machine does not have");
    says(&it, "times the highest in the machine");
    says(
        &it,
        "In the one test that resembles the machine B is worse than the known good",
    );
    says(&it, "wear: 1.1 mm, known good 0.4 mm, A 0.42 mm");
    says(
        &it,
        "A, which is in front in the standing, is better than B in the one such test that was run on both",
    );
    assert!(it.control.as_ref().unwrap().contains("tells it from a lubricant"));
    assert_eq!(it.front_runner.as_deref(), Some("A"));
}

#[test]
fn the_front_runner_in_a_resembling_test_is_answered_yes_and_so_do_the_others() {
    let trial = weld_against_wear().other_bench(&["0.55", "0.57"], &["1.20", "1.22"]);
    let it = explained(trial, "bench", None);
    assert_eq!(
        (it.blend.as_str(), it.verdict),
        ("A", Verdict::Yes),
        "{}",
        text(&it)
    );
    assert!(it.answer.starts_with("Yes"));
    says(&it, "and so does the one other test that resembles the machine");
    says(&it, "under these weights");
    says(&it, "It cannot be told apart from the known good GOOD");
    is_silent(&it, "conditions the machine does not have");
    is_silent(&it, "which is in front in the standing");
    assert!(
        it.heading.contains("Does wear of 0.42 mm make A"),
        "{}",
        it.heading
    );
}

#[test]
fn the_loser_of_a_resembling_test_is_answered_no() {
    let it = explained(weld_against_wear(), "bench", Some("B"));
    assert_eq!(it.verdict, Verdict::No);
    says(&it, "is not the better end of this test: A reads better");
    says(&it, "It is worse than the known good GOOD");
}

#[test]
fn a_number_above_the_last_step_is_no_number_and_ties_with_the_others_there() {
    let trial = trial_on(FAST_MESH, &["scuffing"], &[])
        .good("GOOD")
        .poor("POOR")
        .candidate("A")
        .candidate("B")
        .weigh("gear_A8/fail_stage")
        .runs("GOOD", "gear_A8/fail_stage", &[">12"])
        .runs("POOR", "gear_A8/fail_stage", &["6"])
        .runs("A", "gear_A8/fail_stage", &[">12"])
        .runs("B", "gear_A8/fail_stage", &[">12"]);
    let it = explained(trial, "gear_A8", None);
    assert!(it.heading.contains("a result above stage 12"), "{}", it.heading);
    says(&it, "A did not fail at the last step that was run. Nor did B");
    says(&it, "cannot tell them apart");
    says(
        &it,
        "It cannot be told apart from the known good GOOD (above stage 12)",
    );
    assert_ne!(it.verdict, Verdict::No, "{}", text(&it));
}

#[test]
fn a_test_in_which_the_control_fluid_does_as_well_settles_nothing() {
    let trial = weld_against_wear()
        .weigh("lo_oil_wear/cof")
        .runs("GOOD", "lo_oil_wear/cof", &["0.118", "0.119"])
        .runs("POOR", "lo_oil_wear/cof", &["0.140", "0.141"])
        .runs("SUGAR", "lo_oil_wear/cof", &["0.095", "0.096"])
        .runs("A", "lo_oil_wear/cof", &["0.100", "0.101"])
        .runs("B", "lo_oil_wear/cof", &["0.130", "0.131"]);
    let it = explained(trial, "lo_oil_wear", None);
    assert_eq!(it.verdict, Verdict::No, "{}", text(&it));
    says(&it, "does not sort lubricants here");
    says(&it, "SUGAR 0.0955");
    assert!(
        it.control
            .as_ref()
            .unwrap()
            .contains("does not set a lubricant above it")
    );
    is_silent(
        &explained(weld_against_wear(), "fb_ep_oil", None),
        "does not sort",
    );
}

#[test]
fn a_single_candidate_has_nothing_to_be_better_than() {
    let trial = trial_on(SLOW_ROLLERS, &["rolling wear"], &[])
        .good("GOOD")
        .poor("POOR")
        .candidate("A")
        .own_bench("bench", "rolling wear")
        .runs("GOOD", "bench/wear", &["0.40", "0.42"])
        .runs("POOR", "bench/wear", &["1.40", "1.42"])
        .runs("A", "bench/wear", &["0.42", "0.44"]);
    let it = explained(trial, "bench", None);
    assert_eq!(it.verdict, Verdict::CannotBeSaid);
    says(&it, "A is the only candidate");
    is_silent(&it, "Yes");
}

#[test]
fn without_a_reference_oil_the_number_has_nothing_to_stand_beside() {
    let trial = trial_on(SLOW_ROLLERS, &["rolling wear"], &["seizure"])
        .candidate("A")
        .candidate("B")
        .weigh("fb_ep_oil/weld")
        .runs("A", "fb_ep_oil/weld", &["160"])
        .runs("B", "fb_ep_oil/weld", &["400"]);
    let it = explained(trial, "fb_ep_oil", None);
    assert_eq!(it.verdict, Verdict::CannotBeSaid, "{}", text(&it));
    says(&it, "No known-good reference oil was run");
    says(&it, "No test with weight resembles the machine");
    is_silent(&it, "than the known good");
}

#[test]
fn a_blend_that_failed_a_gate_is_answered_no_with_the_gate() {
    let trial = weld_against_wear()
        .gate("cu_d130/class", "<= 1b")
        .runs("A", "cu_d130/class", &["3b"])
        .runs("B", "cu_d130/class", &["1a"]);
    let it = explained(trial, "bench", Some("A"));
    assert_eq!(it.verdict, Verdict::No);
    says(&it, "A is out of the standing because it failed a gate");
    says(&it, "3b");
    is_silent(
        &explained(weld_against_wear(), "bench", Some("A")),
        "failed a gate",
    );
}

#[test]
fn a_blend_without_a_result_is_answered_that_it_was_not_run() {
    let it = explained(weld_against_wear().candidate("C"), "fb_ep_oil", Some("C"));
    assert_eq!(it.verdict, Verdict::NotRun);
    assert!(
        it.heading.starts_with("Would the weld load make C"),
        "{}",
        it.heading
    );
    assert!(it.answer.starts_with("It was not run"));
    is_silent(&it, "The number is real");
    says(&it, "C was run in none of the tests that resemble the machine");
    assert!(it.unknown.iter().any(|line| line.starts_with("C was not run in")));
}

#[test]
fn nothing_that_resembles_the_machine_is_answered_that_it_cannot_be_said() {
    let trial = trial_on(BRONZE_BUSH, &["bronze wear"], &["seizure"])
        .good("GOOD")
        .poor("POOR")
        .candidate("A")
        .candidate("B")
        .weigh("fb_ep_oil/weld")
        .runs("GOOD", "fb_ep_oil/weld", &["250", "250"])
        .runs("POOR", "fb_ep_oil/weld", &["126", "126"])
        .runs("A", "fb_ep_oil/weld", &["160", "160"])
        .runs("B", "fb_ep_oil/weld", &["400", "400"]);
    let it = explained(trial, "fb_ep_oil", None);
    assert_eq!(it.verdict, Verdict::CannotBeSaid, "{}", text(&it));
    says(&it, "No test with weight resembles the machine at 0.4 or more.");
    assert!(it.resembling.is_empty());
    assert!(
        it.unknown.iter().any(|line| line.contains("bronze wear")),
        "{:?}",
        it.unknown
    );
    assert!(
        it.unknown
            .iter()
            .any(|line| line.contains("Nothing that was run resembles 'contact'"))
    );
}

#[test]
fn a_data_sheet_value_is_named_as_one() {
    let trial = trial_on(SLOW_ROLLERS, &["rolling wear"], &["seizure"])
        .candidate("A")
        .candidate("B")
        .test("fb_din_weld_oil/weld", Use::Show, "")
        .runs("A", "fb_din_weld_oil/weld", &["2400"])
        .runs("B", "fb_din_weld_oil/weld", &["4000"])
        .each_result(|result| result.source = ResultSource::DataSheet);
    let it = explained(trial, "fb_din_weld_oil", None);
    says(&it, "comes from a data sheet");
    is_silent(&it, "highest weld load of the 1");
    assert!(it.heading.contains("4000 N"), "{}", it.heading);
}

#[test]
fn a_difference_within_the_tests_scatter_is_no_difference() {
    let trial = weld_against_wear()
        .candidate("C")
        .runs("C", "bench/wear", &["0.46", "0.47"]);
    let it = explained(trial, "bench", Some("C"));
    says(&it, "It cannot be told apart from the known good GOOD");
    assert!(
        it.apart.iter().any(|line| line.contains("cannot be told apart")),
        "{:?}",
        it.apart
    );
    assert_eq!(it.verdict, Verdict::NotByItself, "{}", text(&it));
    says(
        &it,
        "A, which is in front in the standing, cannot be told apart from it",
    );
}

#[test]
fn the_ladders_show_eleven_terms_of_which_five_are_of_the_first_order() {
    let it = explained(weld_against_wear(), "fb_ep_oil", None);
    let ladders = it.machine_side.unwrap().ladders;
    assert_eq!(ladders.len(), 11);
    let first: Vec<&str> = ladders.iter().filter(|l| l.first_order).map(|l| l.term).collect();
    assert_eq!(
        first,
        ["pressure", "sliding", "slide_roll", "film_ratio", "materials"]
    );
    let pressure = &ladders[0];
    let (LadderSide::Range(_, test), LadderSide::Range(_, machine)) = (&pressure.test, &pressure.machine)
    else {
        panic!("{pressure:?}");
    };
    let (lo, hi) = pressure.axis.unwrap();
    assert!(test > machine && *test < hi && lo < *machine);
    let film = ladders.iter().find(|l| l.term == "film_ratio").unwrap();
    assert!(film.similarity.is_none() && film.remark.starts_with("left out"));
}

#[test]
fn a_worn_test_shows_the_pressure_on_the_scar_beside_the_fresh_one() {
    let trial = weld_against_wear()
        .weigh("fb_wear_oil_B/scar")
        .runs("GOOD", "fb_wear_oil_B/scar", &["0.40", "0.41"])
        .runs("POOR", "fb_wear_oil_B/scar", &["0.70", "0.71"]);
    let it = explained(trial, "fb_wear_oil_B", Some("A"));
    let contact = it.test_contact.unwrap();
    // Total load 40 kgf on three balls at 1/sqrt 6 each: 160.1 N on a scar of 0.555 mm across.
    let on_scar = 40.0 * 9.80665 / 6f64.sqrt() / (std::f64::consts::PI * (0.555e-3f64 / 2.0).powi(2));
    let worn = contact.worn_mean_pressure_pa.unwrap();
    assert!((worn / on_scar - 1.0).abs() < 0.02, "{worn} {on_scar}");
    assert!(contact.fresh_max_pressure_pa > 3.0 * worn);
    assert!(contact.worn_words.contains("MPa"));
}

#[test]
fn what_a_trial_does_not_have_is_refused_by_its_field() {
    let comparison = compared(weld_against_wear().gate("cu_d130/class", "<= 1b").build(), 200);
    let field = |ask: &Ask| match explain(&comparison, ask) {
        Err(fault) => fault.field.to_string(),
        other => panic!("{other:?}"),
    };
    assert_eq!(field(&ask("gear_A8", None)), "method");
    assert_eq!(field(&ask("cu_d130", None)), "method");
    assert_eq!(field(&ask("bench", Some("GOOD"))), "blend");
    let with = |quantity: Option<&str>, contact: Option<&str>| Ask {
        quantity: quantity.map(Into::into),
        contact: contact.map(Into::into),
        ..ask("bench", None)
    };
    assert_eq!(field(&with(Some("scar"), None)), "quantity");
    assert_eq!(field(&with(None, Some("nowhere"))), "contact");
}

#[test]
fn every_row_of_the_table_resembles_the_machine_and_no_sentence_promises() {
    for (method, blend) in [
        ("fb_ep_oil", "A"),
        ("fb_ep_oil", "B"),
        ("bench", "A"),
        ("bench", "B"),
    ] {
        let it = explained(weld_against_wear(), method, Some(blend));
        assert!(
            it.resembling
                .iter()
                .all(|row| row.resemblance >= RESEMBLES && row.weight > 0.0)
        );
        let all = serde_json::to_string(&it).unwrap().to_lowercase();
        for promise in [
            "guarantee",
            "best oil",
            "protects",
            "unlimited",
            "nan",
            "approved",
        ] {
            assert!(!all.contains(promise), "{promise}: {all}");
        }
    }
}
