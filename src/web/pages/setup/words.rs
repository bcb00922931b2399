//! Every word that code puts on the set-up of a trial; what stands whatever the numbers are is in the template.

pub(super) use crate::web::pages::words::{
    CANDIDATE, CHOOSE, CONTROL_FLUID, HOW_A_SHORT_NAME_IS_WRITTEN, SHORT_NAME_IN_ADDRESSES_AND_FILES, fields,
    nothing_is_saved_yet, results,
};

pub(super) const NO_SUCH_TRIAL_TO_COPY: &str = "There is no such trial to set one up like it.";

pub(super) fn set_up_stays_as_it_was(status: &str) -> String {
    format!("This trial is {status}; its set-up stays as it was judged. Set up another one like it.")
}

pub(super) const REFERENCE_KNOWN_GOOD: &str = "reference, known good";
pub(super) const REFERENCE_KNOWN_MIDDLE: &str = "reference, known middle";
pub(super) const REFERENCE_KNOWN_POOR: &str = "reference, known poor";
pub(super) const REFERENCE_LEVEL_NOT_SAID: &str = "reference, level not said";
pub(super) const WEIGH_COUNTS_BY_RESEMBLANCE: &str = "weigh: counts by resemblance";
pub(super) const GATE_MUST_MEET_A_LIMIT: &str = "gate: must meet a limit";
pub(super) const SHOW_ONLY_SHOWN: &str = "show: only shown";
pub(super) const A_NEW_TRIAL: &str = "A new trial";

pub(super) fn set_up_of(trial: &str) -> String {
    format!("Set-up: {trial}")
}

pub(super) const CHANGE_THE_SET_UP: &str = "Change the set-up";
pub(super) const NEW: &str = "new";
pub(super) const TITLE: &str = "Title";
pub(super) const THE_QUESTION_IT_ANSWERS: &str = "The question it answers";
pub(super) const EXAMPLE_OF_A_QUESTION: &str =
    "As somebody would ask it: which blend protects the wheel flanks longest?";
pub(super) const MACHINE_THAT_THE_BLEND_IS_FOR: &str = "Machine that the blend is for";
pub(super) const JUDGED_WITH_ITS_NEWEST_VERSION: &str = "Judged with its newest version as of now.";
pub(super) const CONFIDENCE_IN_THE_MACHINES_DATA: &str = "Confidence in the machine's data";
pub(super) const LOW: &str = "low";
pub(super) const MEDIUM: &str = "medium";
pub(super) const HIGH: &str = "high";
pub(super) const WHAT_CONFIDENCE_DOES: &str =
    "The less sure, the further the weights of the tests are varied.";
pub(super) const STATUS: &str = "Status";
pub(super) const PLANNED: &str = "planned";
pub(super) const RUNNING: &str = "running";
pub(super) const OPENED_ON: &str = "Opened on";
pub(super) const DATA: &str = "Data";
pub(super) const RECORDED_OUR_OWN_RESULTS: &str = "recorded: our own results";
pub(super) const INVENTED_EVERY_PAGE_SAYS_SO: &str = "invented: every page says so";
pub(super) const BLEND: &str = "Blend";
pub(super) const ROLE: &str = "Role";

pub(super) fn blend_of_number(number: usize) -> String {
    format!("Blend {number}")
}

pub(super) const METHOD_AND_QUANTITY: &str = "Method and quantity";
pub(super) const USED_TO: &str = "Used to";
pub(super) const LIMIT_OF_A_GATE: &str = "Limit of a gate";
pub(super) const EXAMPLES_OF_A_LIMIT: &str = "Such as <= 1b, >= 10, <= 6 % or pass.";
pub(super) const WHY_IT_IS_IN_THE_TRIAL: &str = "Why it is in the trial";
pub(super) const COST_OF_A_RESULT: &str = "Cost of a result";
pub(super) const EMPTY_IS_THE_METHODS_OWN: &str = "Empty: the method's own.";
pub(super) const DAYS_OF_A_RESULT: &str = "Days of a result";
pub(super) const ANOTHER_KNOWN_GOOD_OIL_FOR_THIS_TEST: &str = "Another known-good oil for this test";
pub(super) const ANOTHER_KNOWN_POOR_OIL_FOR_THIS_TEST: &str = "Another known-poor oil for this test";

pub(super) fn test_of_number(number: usize) -> String {
    format!("Test {number}")
}

pub(super) fn test_of_quantity(number: usize, quantity: &str) -> String {
    format!("Test {number}: {quantity}")
}

pub(super) const PLANNED_NOTHING_RUN_YET: &str = "planned, nothing run yet";
