//! Every word that code puts on the pages of blends; what stands whatever the numbers are is in the template.

pub(super) use crate::web::pages::words::{
    BETTER, CANDIDATE, CONTROL_FLUID, NONE, NOTE, REFERENCE_OIL, WORSE, blends,
};
use std::fmt::Display;

pub(super) const BLENDS: &str = "Blends";

pub(super) fn with_these_words(blends: &str) -> String {
    format!("{blends} with these words")
}

pub(super) fn first_are_shown(blends: &str, shown: usize) -> String {
    format!("{blends}; the first {shown} are shown")
}

pub(super) fn blend_of_code(code: impl Display) -> String {
    format!("Blend {code}")
}

pub(super) fn latest_trials_are_shown(trials: usize, shown: usize) -> String {
    format!("The family is in {trials} trials; the latest {shown} are shown.")
}

pub(super) const KNOWN_MADE_ON: &str = "made on";
pub(super) const KNOWN_VISCOSITY_AT_40_C: &str = "viscosity at 40 °C";
pub(super) const KNOWN_VISCOSITY_AT_100_C: &str = "viscosity at 100 °C";
pub(super) const VISCOSITY_INDEX_COMPUTED: &str = "viscosity index, ASTM D2270, computed";
pub(super) const KNOWN_DENSITY_AT_15_C: &str = "density at 15 °C";
pub(super) const BASE_OIL_VISCOSITY_AT_40_C: &str = "viscosity of the base oil at 40 °C";
pub(super) const CONSISTENCY_NUMBER: &str = "consistency number";
pub(super) const REFERENCE_OIL_KNOWN_GOOD: &str = "reference oil, known good";
pub(super) const REFERENCE_OIL_KNOWN_MIDDLE: &str = "reference oil, known middle";
pub(super) const REFERENCE_OIL_KNOWN_POOR: &str = "reference oil, known poor";
pub(super) const SLIGHT: &str = "slight";
pub(super) const FAILURE: &str = "failure";

pub(super) const NO_SUCH_BLEND_TO_CHANGE_FROM: &str = "There is no such blend to change another one from.";
pub(super) const A_NEW_BLEND: &str = "A new blend";
pub(super) const IF_COMPONENTS_DO_NOT_SUM_TO_100: &str = "If the components do not sum to 100 wt%";
pub(super) const SAY_SO_BEFORE_SAVING: &str = "say so before saving";
pub(super) const KEEP_THE_SUM: &str = "keep it: a part is not known or not said";
pub(super) const OIL: &str = "oil";
pub(super) const GREASE: &str = "grease";
pub(super) const OTHER_SUCH_AS_A_CONTROL_FLUID: &str = "other, such as a control fluid";
pub(super) const CODE: &str = "Code";
pub(super) const WHAT_A_CODE_IS: &str = "One batch of one formulation; results name it. It stays as it is.";
pub(super) const NAME_IN_WORDS: &str = "Name in words";
pub(super) const KIND: &str = "Kind";
pub(super) const MADE_ON: &str = "Made on";
pub(super) const CHANGED_FROM: &str = "Changed from";
pub(super) const WHAT_WAS_CHANGED: &str = "What was changed";
pub(super) const EXAMPLE_OF_A_CHANGE: &str = "Such as: antiwear 0.8 instead of 0.5 wt%.";
pub(super) const VISCOSITY_AT_40_C: &str = "Viscosity at 40 °C";
pub(super) const VISCOSITY_AT_100_C: &str = "Viscosity at 100 °C";
pub(super) const DENSITY_AT_15_C: &str = "Density at 15 °C";
pub(super) const VISCOSITY_OF_A_GREASES_BASE_OIL: &str = "Viscosity of a grease's base oil at 40 °C";
pub(super) const CONSISTENCY_OF_A_GREASE: &str = "Consistency of a grease";
pub(super) const COMPONENT: &str = "Component";
pub(super) const CLASS_WHERE_IT_IS_NEW: &str = "Class, where it is new";
pub(super) const SHARE: &str = "Share";

pub(super) const THIS_BLEND: &str = "this blend";
pub(super) const ANCESTOR: &str = "ancestor";
pub(super) const DESCENDANT: &str = "descendant";
pub(super) const RELATIVE: &str = "relative";
pub(super) const NO_COMPONENT_CHANGED: &str = "no component changed";
pub(super) const ONE_REFERENCE_OIL_SETS_THE_SCALE: &str =
    "one reference oil: the other end is taken at twice the reproducibility";
pub(super) const NO_KNOWN_GOOD_OIL_SETS_THE_SCALE: &str =
    "no known-good reference oil: the scale is the test's own";

pub(super) fn only_one_was_run(blend: &str, position: &str) -> String {
    format!("Of the family only {blend} was run: position {position}.")
}

pub(super) fn none_comes_from_another(blends: &str) -> String {
    format!("{blends} were run; none of them comes from another of them.")
}

pub(super) const MORE_THAN_THE_TESTS_PRECISION: &str = "more than the test's precision";
pub(super) const TOO_LITTLE_FOR_THIS_TEST_TO_SEE: &str = "too little for this test to see";

pub(super) fn both_are_beyond_the_scale(from: &str, to: &str) -> String {
    format!("{from} to {to}: both beyond the end of the scale")
}

pub(super) const PRECISION_OF_THIS_TEST_IS_NOT_KNOWN: &str = "the precision of this test is not known";
pub(super) const NO_CHANGE: &str = "no change";

pub(super) fn step(from: &str, to: &str, way: &str, size: &str) -> String {
    format!("{from} to {to}: {way}, {size}")
}
