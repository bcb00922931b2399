//! Another oil's number that somebody holds up beside a test: each clause where it is true, and silence where it is not.
//! All data is invented.

use crate::pages::Pages;
use crate::support::explained;
use crate::support::trials::a_against_b;
use crate::support::{SLOW_ROLLERS, TrialBuilder, trial_on};
use likewear::facade::app::StartWith;
use likewear::facade::catalogue::Use;
use likewear::facade::explain::{Ask, AskFault, Explanation, QuotedAnswer, QuotedAsk, QuotedVerdict};

fn explained(trial: TrialBuilder, method: &str, held: QuotedAsk) -> Explanation {
    let ask = Ask {
        quoted: Some(held),
        ..explained::about_method(method)
    };
    explained::explained(trial, &ask)
}

fn number(value: &str, unit: &str) -> QuotedAsk {
    QuotedAsk {
        value: value.into(),
        unit: unit.into(),
        ..QuotedAsk::default()
    }
}

fn by(standard: &str, value: &str) -> QuotedAsk {
    QuotedAsk {
        standard: standard.into(),
        ..number(value, "")
    }
}

fn said(trial: TrialBuilder, method: &str, held: QuotedAsk) -> QuotedAnswer {
    let up = explained(trial, method, held).quoted.unwrap();
    up.said.unwrap_or_else(|| panic!("{:?}", up.faults))
}

fn faults(trial: TrialBuilder, method: &str, held: QuotedAsk) -> Vec<AskFault> {
    let up = explained(trial, method, held).quoted.unwrap();
    assert!(up.said.is_none());
    up.faults
}

#[track_caller]
fn says(said: &QuotedAnswer, wanted: &str) {
    let text = format!("{} {}", said.answer, said.conclusion.join(" "));
    assert!(text.contains(wanted), "{wanted:?} is not in: {text}");
}

#[track_caller]
fn is_silent(said: &QuotedAnswer, unwanted: &str) {
    let text = format!("{} {}", said.answer, said.conclusion.join(" "));
    assert!(!text.contains(unwanted), "{unwanted:?} is in: {text}");
}

/// Weld loads and wear on slow rollers.
fn trial() -> TrialBuilder {
    a_against_b(&["rolling wear"], &["scuffing", "seizure"])
        .control("SUGAR")
        .weld_loads(&["315", "315"], &["500", "500"])
        .runs("SUGAR", "fb_ep_oil/weld", &["80", "80"])
        .wear_bench()
        .runs("A", "bench/wear", &["0.42", "0.44", "0.40"])
}

fn gears(last: &str) -> TrialBuilder {
    a_against_b(&["scuffing"], &[])
        .weigh("gear_A8/fail_stage")
        .runs("GOOD", "gear_A8/fail_stage", &[">12"])
        .runs("POOR", "gear_A8/fail_stage", &["6"])
        .runs("A", "gear_A8/fail_stage", &[last])
        .runs("B", "gear_A8/fail_stage", &["11"])
}

/// ASTM D2783: R is one step (its digest). 400 kgf is one step above 315, two above 250, one below 500.
#[test]
fn a_number_is_laid_beside_everything_that_was_run_by_steps_of_the_ladder() {
    let said = said(trial(), "fb_ep_oil", number("400", "kgf"));
    assert_eq!(
        (said.number.as_str(), said.verdict),
        ("400 kgf", QuotedVerdict::ToldApart)
    );
    says(
        &said,
        "By more than R (1 load step) it reads better than the known good GOOD (250 kgf; 2 load steps)",
    );
    says(&said, "the known poor POOR (126 kgf; 5 load steps)");
    says(&said, "the control fluid SUGAR (80 kgf; 7 load steps)");
    says(
        &said,
        "Within R (1 load step) it cannot be told apart from candidates A and B.",
    );
    says(&said, "past the known good");
    says(&said, "one number of unknown provenance");
    says(&said, "of all weight; it resembles the machine most in 'contact'");
    is_silent(&said, "reads worse than");
    is_silent(&said, "is no step of this test");
    is_silent(&said, "so R counts, not r");
    is_silent(&said, "cannot be compared");
    is_silent(&said, "twice r is taken");
    assert!(said.place.unwrap().lo.unwrap() > 1.0);
    assert_eq!(said.beside.len(), 5);
}

#[test]
fn a_unit_in_the_number_counts_before_the_one_beside_it_and_means_the_same_step() {
    let newton = said(trial(), "fb_ep_oil", number("3923 N", "kgf"));
    assert_eq!(newton.number, "400 kgf");
    let lbf = said(trial(), "fb_ep_oil", number("882", "lbf"));
    assert_eq!((lbf.number.as_str(), lbf.beside), ("400 kgf", newton.beside));
}

#[test]
fn a_worse_number_reads_worse_and_one_between_the_references_lies_between_them() {
    let low = said(trial(), "fb_ep_oil", number("63", "kgf"));
    says(&low, "it reads worse than the known good GOOD");
    says(&low, "short of the known poor");
    is_silent(&low, "it reads better than");
    let middle = said(trial(), "fb_ep_oil", number("200", "kgf"));
    is_silent(&middle, "past the known good");
    is_silent(&middle, "short of the known poor");
    says(&middle, "it lies between");
}

/// The own bench has r 0.1 mm and R 0.2 mm; less is better.
#[test]
fn between_two_laboratories_r_is_not_enough() {
    let near = said(trial(), "bench", number("0.55", "mm"));
    says(&near, "it cannot be told apart from the known good GOOD (0.4 mm)");
    says(&near, "so R counts, not r (");
    says(&near, "it reads better than the known poor POOR");
    let far = said(trial(), "bench", number("0,75 mm", ""));
    says(&far, "it reads worse than the known good GOOD");
    let place = far.place.unwrap();
    assert!(place.lo.unwrap() < 1.0 && place.lo.unwrap() > 0.0, "{place:?}");
}

/// ISO 14635-1 / ASTM D5182: r and R are two stages.
#[test]
fn a_bound_beyond_the_last_stage_is_told_from_stage_10_but_not_from_another_such_bound() {
    let capped = said(gears(">12"), "gear_A8", number(">12", ""));
    assert_eq!(capped.number, "above stage 12");
    says(
        &capped,
        "it reads better than the known poor POOR (stage 6; more than 6 stages)",
    );
    says(
        &capped,
        "Like the known good GOOD (above stage 12) and candidate A (above stage 12) it lies beyond",
    );
    says(&capped, "Beside candidate B (stage 11) the bound leaves it open");
    is_silent(&capped, "the last step of the test, written as a bare number");
    let edge = said(gears("10"), "gear_A8", number("12+", ""));
    says(&edge, "candidate A (stage 10; more than 2 stages)");
    is_silent(
        &said(gears("10"), "gear_A8", number("9", "")),
        "the bound leaves it open",
    );
}

#[test]
fn a_bare_last_stage_may_have_been_passed() {
    let bare = said(gears("10"), "gear_A8", number("12", "stage"));
    says(
        &bare,
        "stage 12 is the last step of the test, written as a bare number",
    );
    is_silent(
        &said(gears("10"), "gear_A8", number("11", "stage")),
        "written as a bare number",
    );
}

#[test]
fn a_load_that_the_ladder_does_not_have_asks_for_its_standard() {
    let off = said(trial(), "fb_ep_oil", number("350", "kgf"));
    says(
        &off,
        "350 kgf is no step of this test, whose nearest are 315 kgf and 400 kgf",
    );
}

#[test]
fn where_nothing_can_be_judged_the_answer_says_why() {
    let bare = trial_on(SLOW_ROLLERS, &["rolling wear"], &["seizure"])
        .candidate("A")
        .candidate("B")
        .weigh("fb_ep_oil/lnsl")
        .runs("A", "fb_ep_oil/lnsl", &["126"]);
    let without_scatter = said(bare, "fb_ep_oil", number("160", "kgf"));
    assert_eq!(without_scatter.verdict, QuotedVerdict::NotJudged);
    says(
        &without_scatter,
        "how far results of this test scatter is not known here",
    );
    says(
        &without_scatter,
        "No reference oil was run in this test here either",
    );
    is_silent(
        &said(trial(), "fb_ep_oil", number("400", "kgf")),
        "No reference oil was run in this test",
    );
    assert!(without_scatter.beside.is_empty());
}

#[test]
fn a_test_that_is_not_weighed_says_so() {
    let shown = trial().test("fb_din_weld_oil/weld", Use::Show, "");
    let shown = shown.runs("GOOD", "fb_din_weld_oil/weld", &["2400", "2400"]);
    let said_of_shown = said(shown, "fb_din_weld_oil", number("3000", "N"));
    says(&said_of_shown, "In this trial the test is not weighed");
    is_silent(
        &said(trial(), "fb_ep_oil", number("400", "kgf")),
        "is not weighed",
    );
}

/// ASTM D2783: 1760 r/min and 10 s per load; DIN 51350-2: 1450 r/min and 60 s per load (the catalogue's own values).
#[test]
fn a_number_by_another_standard_is_given_no_verdict_but_the_differences() {
    let other = said(trial(), "fb_ep_oil", by("fb_din_weld_oil", "4000 N"));
    assert_eq!(other.verdict, QuotedVerdict::NotComparable);
    assert_eq!(other.answer, "These two numbers cannot be compared directly.");
    says(&other, "speed (1760 r/min here, 1450 r/min there)");
    says(
        &other,
        "duration per load (10 s per load here, 60 s per load there)",
    );
    says(&other, "steps at which results lie");
    says(
        &other,
        "In kgf it would be 408 kgf, but a unit converts, a result does not.",
    );
    is_silent(&other, "reads better than");
    is_silent(&other, "told apart");
    is_silent(&other, "unknown provenance");
    is_silent(&other, "ball diameter");
    is_silent(&other, "form of lubricant");
    assert!(other.place.is_none() && other.beside.is_empty());
    let time = other
        .differences
        .iter()
        .find(|line| line.what == "duration per load");
    assert_eq!(time.unwrap().times, "6 times");
}

/// ASTM D2266 and D4172 B: the same balls, load, speed, temperature and hour, one for grease, one for oil.
#[test]
fn only_what_differs_is_said_to_differ() {
    let trial = trial()
        .weigh("fb_wear_oil_B/scar")
        .runs("GOOD", "fb_wear_oil_B/scar", &["0.40", "0.41"]);
    let grease = said(trial.clone(), "fb_wear_oil_B", by("fb_wear_grease", "0.5 mm"));
    says(&grease, "form of lubricant (oil here, grease there)");
    for same in ["speed", "ball diameter", "load (", "duration", "In mm"] {
        is_silent(&grease, same);
    }
    let light = said(trial.clone(), "fb_wear_oil_B", by("fb_wear_oil_A", "0.5 mm"));
    says(&light, "load (392 N here, 147 N there)");
    is_silent(&light, "form of lubricant");
    let disc = said(trial, "fb_wear_oil_B", by("lo_oil_wear", "0.5 mm"));
    says(&disc, "geometry (four ball here, ball on disc stroke there)");
}

#[test]
fn a_standard_that_is_not_known_here_is_given_no_verdict() {
    let other = said(trial(), "fb_ep_oil", by("other", "400 kgf"));
    assert_eq!(other.verdict, QuotedVerdict::NotComparable);
    says(
        &other,
        "By which load, speed, duration and geometry 400 kgf was measured is not known here",
    );
    is_silent(&other, "The two procedures differ");
    assert!(other.differences.is_empty());
}

#[test]
fn what_cannot_be_read_is_a_fault_of_its_field_with_the_mend() {
    let fault = |held: QuotedAsk| {
        let found = faults(trial(), "fb_ep_oil", held);
        (found[0].field, found[0].problem.clone())
    };
    for (held, field, mend) in [
        (number("", "kgf"), "value", "write the number"),
        (number("1,234", "kgf"), "value", "write one of the two"),
        (number("high", "kgf"), "value", "write a value in kgf"),
        (number("high", ""), "value", "write a value in kgf"),
        (number("high", "mm"), "value", "write a value in kgf"),
        (number("400 furlong", "kgf"), "value", "is not a unit"),
        (number("0.4 mm", "kgf"), "value", "does not convert into kgf"),
        (number("400", "mm"), "unit", "does not convert into kgf"),
        (number("400", ""), "unit", "has no unit"),
        (number("400", "furlong"), "unit", "choose one of the list"),
        (by("gear_A8", "400 kgf"), "standard", "choose one"),
        (number(&"4".repeat(81), "kgf"), "value", "write it shorter"),
    ] {
        let (found, problem) = fault(held.clone());
        assert_eq!(found, field, "{held:?}: {problem}");
        assert!(problem.contains(mend), "{held:?}: {problem}");
    }
}

#[test]
fn the_form_offers_standards_of_the_same_quantity_and_units_of_the_same_kind() {
    let choices = explained(trial(), "fb_ep_oil", number("400", "kgf")).quoted_choices;
    let standards: Vec<&str> = choices
        .standards
        .iter()
        .map(|choice| choice.value.as_str())
        .collect();
    assert_eq!(
        (standards[0], standards[standards.len() - 1]),
        ("fb_ep_oil", "other")
    );
    assert!(
        standards.contains(&"fb_din_weld_oil") && !standards.contains(&"gear_A8"),
        "{standards:?}"
    );
    let units: Vec<&str> = choices.units.iter().map(|choice| choice.value.as_str()).collect();
    assert_eq!(units, ["kgf", "N", "kN", "lbf"]);
}

#[tokio::test]
async fn the_page_and_its_json_say_the_same_and_a_fault_stands_beside_its_field() {
    let bench = Pages::with(StartWith::Demo).await;
    let trial = "/trials/pitch-drive-full/tests/fb_ep_oil?quantity=weld";
    let plain = bench.get(trial).await;
    assert_eq!(plain.count("#held [data-held]"), 0);
    assert_eq!(plain.count("form[data-hold-up] input[name=value]"), 1);
    let asked = format!("{trial}&value=400&unit=kgf&standard=fb_ep_oil&oil=Blue");
    let page = bench.get(&asked).await;
    assert_eq!(page.status, 200);
    assert_eq!(
        page.count("#held svg"),
        page.count("#held .mark svg") + 2,
        "strip wide and narrow"
    );
    let words = page.texts("#held [data-held]").concat();
    let json = bench.json(&format!("/api{asked}")).await;
    let said = &json["held_up"]["said"];
    for clause in said["conclusion"].as_array().unwrap() {
        assert!(words.contains(clause.as_str().unwrap()), "{clause}: {words}");
    }
    assert_eq!(
        page.values_of("#held [data-held]", "data-verdict"),
        [said["verdict"].as_str().unwrap()]
    );
    assert!(page.body.len() < 300_000, "{}", page.body.len());
    let wrong = format!("{trial}&value=1,234&unit=kgf&oil=Blue");
    let refused = bench.get(&wrong).await;
    assert_eq!(refused.status, 422);
    assert_eq!(refused.values_of("[data-fault]", "data-fault"), ["value"]);
    assert_eq!(
        refused.values_of("#value", "value"),
        ["1,234"],
        "nothing typed is lost"
    );
    assert_eq!(refused.values_of("#oil", "value"), ["Blue"]);
    assert_eq!(bench.get(&format!("/api{wrong}")).await.status, 422);
}
