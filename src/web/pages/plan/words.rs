//! Every word that code puts on the page of a plan; what stands whatever the numbers are is in the template.

use crate::web::pages::words as shared;
pub(super) use crate::web::pages::words::{MAIN, MINOR, NOT_KNOWN, SECONDARY};

pub(super) fn runs_out_of_range(most: usize) -> String {
    format!("must be a whole number from 1 to {most}")
}

pub(super) const STAKE_OUT_OF_RANGE: &str = "must be a number from 1 to 1 000 000 000 000";

pub(super) fn plan_of(trial: &str) -> String {
    format!("Plan: {trial}")
}

pub(super) const ONE_RUN_IS_ENOUGH: &str = "One run of each is enough for 80 %.";

pub(super) fn it_takes_runs(needed: usize) -> String {
    format!("For 80 % it takes {needed} runs of each.")
}

pub(super) fn not_even_runs_reach_it(most: usize) -> String {
    format!("Not even {most} runs of each reach 80 %.")
}

pub(super) fn two_blends_are_told_apart(chance: &str, runs: usize, needed: &str) -> String {
    format!(
        "Two blends of which one is better by one critical difference (r) on every weighed test are told apart, to the 90 % at which one of two may be named, with a chance of {chance} by {} of each on each test. {needed}",
        shared::runs(runs)
    )
}

pub(super) fn costs_about(money: &str) -> String {
    format!("costs about {money}")
}

pub(super) fn takes_side_by_side(days: usize) -> String {
    format!("takes {}, methods side by side", shared::days(days))
}

pub(super) const COST_AND_TIME_NOT_KNOWN: &str =
    "What the runs cost and how long they take is not known for every method.";

pub(super) fn one_blend_costs_and_takes(runs: usize, expense: &str) -> String {
    format!("One blend with {} on every test {expense}.", shared::runs(runs))
}

pub(super) const AND: &str = " and ";
pub(super) const NOR: &str = ", nor ";
pub(super) const NOR_OF: &str = ", nor of ";

pub(super) const WEIGHED: &str = "weighed";
pub(super) const GATE: &str = "gate";
pub(super) const SHOWN: &str = "shown";

pub(super) fn more_than(runs: usize) -> String {
    format!("more than {runs}")
}

pub(super) const NOTHING_IN_THE_TRIAL_SCORES_IT: &str = "nothing in the trial scores it";

pub(super) fn only(speaker: &str) -> String {
    format!("only {speaker}")
}

pub(super) fn speaks_with_resemblance(name: &str, resemblance: &str) -> String {
    format!("{name}, resemblance {resemblance}")
}

pub(super) fn check_of_the_oil_itself(name: &str) -> String {
    format!("{name}, a check of the oil itself")
}

pub(super) const NO_TEST_IS_PLANNED_YET: &str = "No test is planned yet.";

pub(super) fn mode_in_contact(mode: &str, contact: &str) -> String {
    format!("{mode} in {contact}")
}

pub(super) const EVERY_MAIN_MODE_IS_SPOKEN_OF: &str =
    "Every main failure mode of the machine is spoken of by a test or a gate.";

pub(super) fn no_planned_test_speaks_of(modes: &str) -> String {
    format!("No planned test speaks of {modes}.")
}

pub(super) fn no_weighed_test_resembles(modes: &str, contacts: &str, above: &str) -> String {
    format!("{modes} No weighed test resembles {contacts} (above {above}).")
}
