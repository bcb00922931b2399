//! Every word that code puts on the page of a comparison; what stands whatever the numbers are is in the template.

use crate::records::Level;
use crate::web::pages::words as shared;
pub(super) use crate::web::pages::words::{
    CANDIDATE, CONTROL_FLUID, LEFT_OUT, LONGER_OVER_SHORTER_AXIS, NOBODY, NONE, NOT_KNOWN, REFERENCE_OIL,
    UNKNOWN, candidates, control_fluids, gates, range, reference_oils, runs,
};
use std::fmt::Display;

pub(super) fn weighed(tests: usize) -> String {
    format!("{} weighed", shared::tests(tests))
}

pub(super) fn their_number_leaves_open(per_cent: &str) -> String {
    format!("; their number alone leaves a share of draws open by {per_cent} % (one standard error)")
}

pub(super) fn draws_and_seed(draws: usize, seed: u64, open: &str) -> String {
    format!("{draws} draws, seed {seed}{open}")
}

pub(super) fn as_much_as_independent_tests(number: &str) -> String {
    format!(", as much as {number} independent tests")
}

pub(super) fn weights_add_up_to(sum: &str, independent: &str) -> String {
    format!(
        "The weights add up to {sum}{independent}. A weight of 1 would be a test that resembles every contact of the machine fully and scores its main failure mode."
    )
}

pub(super) fn without(tests: &str) -> String {
    format!("without {tests}")
}

pub(super) const AND: &str = " and ";

pub(super) fn test_weighs(test: &str, weight: &str) -> String {
    format!("{test} weighs {weight}")
}

pub(super) const RESEMBLANCE_ON_OTHER_SCALES: &str = "the resemblance is counted on other scales";
pub(super) const CANDIDATES_THAT_FAILED_A_GATE_STAY: &str = "candidates that failed a gate stay in";
pub(super) const TESTS_THAT_DO_NOT_SORT_KEEP: &str = "tests that do not sort keep their weight";
pub(super) const LOAD: &str = "load";
pub(super) const SPEED: &str = "speed";

pub(super) fn machine_at_times(factor: &str, what: &str) -> String {
    format!("the machine at {factor} times its {what}")
}

pub(super) const KNOWN_GOOD: &str = "known good";
pub(super) const KNOWN_MIDDLE: &str = "known middle";
pub(super) const KNOWN_POOR: &str = "known poor";

pub(super) fn level(level: Level) -> &'static str {
    match level {
        Level::KnownGood => KNOWN_GOOD,
        Level::KnownMiddle => KNOWN_MIDDLE,
        Level::KnownPoor => KNOWN_POOR,
    }
}

pub(super) fn oil_as(oil: impl Display, what: &str) -> String {
    format!("{oil} as the {what} oil")
}

pub(super) fn without_the_oil(what: &str) -> String {
    format!("without the {what} oil")
}

pub(super) fn position_counts_up_to(share: &str) -> String {
    format!("a position counts up to {share} of the scale beyond the reference oils")
}

pub(super) fn nothing_depends_on_load_or_speed(contact: &str) -> String {
    format!("{contact}: nothing that is known of it depends on load or speed.")
}

pub(super) const NOT_IN_THE_TRIAL: &str = "not in the trial";
pub(super) const DASHED_RING: &str = "dashed ring";

pub(super) const WITHOUT_NONE_SOMEBODY_ELSE: &str = "without none of them is somebody else in front";
pub(super) const WITHOUT_ONE_SOMEBODY_ELSE: &str = "without one of them somebody else is in front";

pub(super) fn without_many_somebody_else(many: usize) -> String {
    format!("without {many} of them, each alone, somebody else is in front")
}

pub(super) fn each_was_left_out(runs: usize, found: &str) -> String {
    format!(
        "Each of {} was left out in turn: {found}. Shown are those nearest to it.",
        shared::single_runs(runs)
    )
}

pub(super) const NOTHING_LEFT_TO_WEIGH: &str = "nothing left to weigh";

pub(super) fn draws_level_at(blend: impl Display, factor: &str) -> String {
    format!("{blend} draws level at {factor} times its weight")
}

pub(super) const NO_WEIGHT_OF_IT_CHANGES_THE_LEAD: &str = "no weight of it changes the lead";
pub(super) const OUT: &str = "out";
pub(super) const NOT_WEIGHED: &str = "not weighed";

pub(super) const AS_IN_THE_TRIAL: &str = "as in the trial";
pub(super) const NONE_LEAVE_IT_OUT: &str = "none: leave it out";
pub(super) const KNOWN_GOOD_OIL: &str = "Known good oil";
pub(super) const KNOWN_POOR_OIL: &str = "Known poor oil";

pub(super) fn category(stage: &str, meaning: &str) -> String {
    format!("Category {stage}: {meaning}")
}

pub(super) const RESEMBLES_NO_CONTACT_OF_THE_MACHINE: &str = "Resembles no contact of the machine";

pub(super) fn most_like(contact: &str, share: &str) -> String {
    format!("Most like the machine's {contact}, {share} of what matters")
}

pub(super) fn none_all_four(similarity: &str) -> String {
    format!("none, all four {similarity}")
}

pub(super) const SHARE_OF_ITS_TIME: &str = "share of its time";

pub(super) const BY_WEIGHT: &str = "by weight";
pub(super) const BY_STAGE_OF_EVIDENCE: &str = "by stage of evidence";
pub(super) const BY_MACHINE_CONTACT: &str = "by machine contact";

pub(super) fn is_not_known_write(written: &str, allowed: &str) -> String {
    format!("'{written}' is not known; write {allowed}")
}

pub(super) const ALLOWED_ORDERS: &str = "one of weight, stage, contact";

pub(super) const WORTH_IT: &str = "worth it";
pub(super) const NOT_WORTH_IT: &str = "not worth it";
pub(super) const COST_NOT_KNOWN: &str = "cost not known";
pub(super) const IN_THE_TRIAL: &str = "in the trial";
pub(super) const IN_THE_TRIAL_NOT_RUN_YET: &str = "in the trial, not run yet";

pub(super) fn values_without_estimate(blend: impl Display, values: &str) -> String {
    format!("{blend}: {values}, no estimate")
}

pub(super) fn from_a_data_sheet(value: &str) -> String {
    format!("{value} from a data sheet")
}

pub(super) fn in_unit(unit: &str) -> String {
    format!(" in {unit}")
}

pub(super) fn no_estimate(label: &str) -> String {
    format!("{label}: no estimate")
}

pub(super) fn from_better_to_worse(label: &str, unit: &str, listed: &str) -> String {
    format!("{label}{unit}, from better to worse: {listed}")
}

pub(super) const NO_SCORE: &str = "no score";

pub(super) fn score_with_interval(blend: impl Display, score: &str, interval: &str) -> String {
    format!("{blend}: score {score}, 90 % interval {interval}, known poor 0, known good 1")
}

pub(super) fn no_score(blend: impl Display) -> String {
    format!("{blend}: no score")
}

pub(super) const TO_THE_OTHER_ASSUMPTIONS: &str = "to the other assumptions";
pub(super) const TO_WHAT_CHANGES_WITHOUT_IT: &str = "to what changes without it";
pub(super) const TO_THE_TEST: &str = "to the test";
pub(super) const TO_THE_GATES: &str = "to the gates";
pub(super) const TO_THE_STANDING: &str = "to the standing";
pub(super) const TO_WHAT_CHANGES_IT: &str = "to what changes it";
pub(super) const TO_THE_TESTS: &str = "to the tests";
pub(super) const NONE_OF_THE_RULES_FIRED: &str = "none of the rules fired";

pub(super) const CORRECTED_BY_A_LATER_ENTRY: &str = "corrected by a later entry";
pub(super) const VOID: &str = "void";
pub(super) const SUSPECT: &str = "suspect";
pub(super) const STOPPED_FOR_CAUSE: &str = "stopped for cause";
pub(super) const FROM_A_DATA_SHEET: &str = "from a data sheet";
pub(super) const NO_VALUE: &str = "no value";
pub(super) const VOID_DOES_NOT_COUNT: &str = "void: does not count";
pub(super) const DATA_SHEET_NEVER_WEIGHED: &str = "data sheet: never weighed";
pub(super) const SUSPECT_COUNTS: &str = "suspect: counts";
pub(super) const REFERENCE_CHECK: &str = "reference check";
pub(super) const COUNTS: &str = "counts";
pub(super) const LOAD_BETWEEN_TWO_STEPS: &str = "load between two steps of the ladder";

pub(super) const NO_TEST_FAVOURS_IT: &str = "no test favours it: no weights put it in front";

pub(super) const EXTREME_CONDITION_SCREEN: &str = "extreme-condition screen";
pub(super) const DOES_NOT_SORT: &str = "does not sort";

pub(super) fn capped(runs: usize) -> String {
    format!("{runs} capped")
}

pub(super) const ONE_REFERENCE_ITS_OWN_SCALE: &str = "one reference: its own scale";
pub(super) const NO_REFERENCE_ITS_OWN_SCALE: &str = "no reference: its own scale";
pub(super) const RIG_SEVERITY_ADJUSTED: &str = "rig severity adjusted";
pub(super) const SUSPECT_RUN: &str = "suspect run";
pub(super) const RUN_BEYOND_THE_CRITICAL_RANGE: &str = "run beyond the critical range";
pub(super) const RUNS_UNDER_OTHER_CONDITIONS: &str = "runs under other conditions, not pooled";
pub(super) const SHOWN_ONLY: &str = "shown only";
pub(super) const KNOWN_GOOD_ABOVE_KNOWN_POOR: &str = "known good above known poor";
pub(super) const KNOWN_MIDDLE_BETWEEN_THEM: &str = "known middle between them";
pub(super) const KNOWN_GOOD_ABOVE_CONTROL_FLUID: &str = "known good above control fluid";

pub(super) fn probability(what: &str, number: &str) -> String {
    format!("{what}: probability {number}")
}

pub(super) fn position_with_interval(mean: &str, lo: &str, hi: &str) -> String {
    format!("{mean} ({lo} to {hi})")
}

pub(super) fn runs_of_values(values: &str) -> String {
    format!("runs: {values}")
}

pub(super) fn p_better(apart: &str, number: &str) -> String {
    format!("{apart}: P(better) {number}")
}

pub(super) const FACTOR: &str = "factor ";

pub(super) fn limits(lo: &str, hi: &str, p: &str) -> String {
    format!(" ({lo} to {hi}, p {p})")
}

pub(super) fn below(number: &str) -> String {
    format!("below {number}")
}

pub(super) const REPEATABILITY: &str = "repeatability (same rig and campaign)";
pub(super) const REPEATABILITY_OR_REPRODUCIBILITY: &str =
    "repeatability in the same rig and campaign, by reproducibility otherwise";
pub(super) const ABOVE_0_THE_CANDIDATE_IS_BETTER: &str = "above 0 the candidate is better";
pub(super) const ABOVE_1_THE_CANDIDATE_IS_BETTER: &str = "above 1 the candidate is better";
pub(super) const LIMITS_IN_BRACKETS: &str = "; in brackets the limits that hold for all candidates together at 95 %, and the p-value among them (Dunnett)";

pub(super) fn what_better_or_worse_means(critical: &str, direction: &str, together: &str) -> String {
    format!("Better or worse by more than the critical difference, from {critical}; {direction}{together}.")
}

pub(super) const WHAT_P_BETTER_IS: &str = "P(better): from censored results, the probability that the candidate is truly better; told apart from 0.975.";

pub(super) fn shown_and_more(shown: &str, others: usize) -> String {
    format!("{shown} and {}", shared::others(others))
}
