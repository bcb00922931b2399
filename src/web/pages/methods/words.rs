//! Every word that code puts on the pages of methods; what stands whatever the numbers are is in the template.

use crate::web::pages::words as shared;
pub(super) use crate::web::pages::words::{
    CAUTION_SHOWN_WITH_IT, FILM_RATIO, MAXIMUM_PRESSURE, MEAN_PRESSURE, NAME, NOTE,
    SHORT_NAME_IN_ADDRESSES_AND_FILES, SLIDE_ROLL_RATIO, contact_of_number, fields, nothing_is_saved_yet,
};

pub(super) const NO_METHOD_HAS_THIS_ID: &str = "No method has this id.";
pub(super) const METHODS: &str = "Methods";

pub(super) const CONTACT: &str = "Contact";

pub(super) fn a_result_costs(cost: &str) -> String {
    format!("a result costs about {cost}, in the laboratory's currency")
}

pub(super) fn takes(days: usize) -> String {
    format!("takes {}", shared::days(days))
}

pub(super) const BULK_TEMPERATURE: &str = "bulk temperature";
pub(super) const MOTION: &str = "motion";
pub(super) const MATERIALS: &str = "materials";
pub(super) const SUPPLY: &str = "supply";
pub(super) const FRICTION_COEFFICIENT_TAKEN: &str = "friction coefficient taken";
pub(super) const UNWORN_AT_THE_LOAD_SHOWN: &str = "unworn, at the load shown";
pub(super) const SLIDING_SPEED: &str = "sliding speed";
pub(super) const TIME_IN_CONTACT_SHARE: &str = "time in contact, share";
pub(super) const CONTACT_TEMPERATURE: &str = "contact temperature";
pub(super) const SHAPE: &str = "shape";
pub(super) const NOT_PUBLISHED: &str = "not published";
pub(super) const LOAD_AND_PRESSURE: &str = "load and pressure";
pub(super) const LOAD_AND_PRESSURE_PER_STEP: &str = "load and pressure per step";

pub(super) fn per_cent_of_the_mean(number: &str) -> String {
    format!("{number} % of the mean")
}

pub(super) const ONE_STEP: &str = "1 step";

pub(super) fn steps(number: &str) -> String {
    format!("{number} steps")
}

pub(super) const R_BETWEEN_LABORATORIES_IS_NOT_PUBLISHED: &str = "R between laboratories is not published";

pub(super) fn between_laboratories(limit: &str) -> String {
    format!("R = {limit} between laboratories")
}

pub(super) fn found_near(level: &str) -> String {
    format!(", found near {level}")
}

pub(super) fn within_one_laboratory(limit: &str, between: &str, level: &str) -> String {
    format!("r = {limit} within one laboratory, {between}{level}")
}

pub(super) const FIXED: &str = "fixed";
pub(super) const NOMINAL_BEYOND_YIELD: &str = "nominal, beyond yield";

pub(super) const FILM_OIL: &str = "ISO VG 220: 220 mm2/s at 40 °C, 19 mm2/s at 100 °C, 880 kg/m3 (ours)";

pub(super) fn torque_at_the_pinion(torque_nm: &str) -> String {
    format!("{torque_nm} N m at the pinion")
}

pub(super) fn contact_of_what(number: usize, what: &str) -> String {
    format!("Contact {number}: {what}")
}

pub(super) const ANOTHER_ONE: &str = "another one";
pub(super) const SAME: &str = "same";
pub(super) const KNOWN_NOW: &str = "known now";
pub(super) const NOT_KNOWN_ANY_MORE: &str = "not known any more";
pub(super) const FROM_0: &str = "from 0";

pub(super) fn both_ends(sign: &str, lo: &str, hi: &str, unit: &str) -> String {
    format!("{sign}{lo} to {hi}{unit}")
}

pub(super) const MEND_THE_FAULTS_BESIDE_THE_FIELDS_FIRST: &str = "Mend the faults beside the fields first.";

pub(super) fn a_copy_of(title: &str) -> String {
    format!("A copy of {title}")
}

pub(super) const SAY_WHAT_IS_DIFFERENT: &str = "Say what is different: the speed, the load.";
pub(super) const HOW_AN_ID_IS_WRITTEN: &str = "Small letters, digits, '_' and '-'. It stays as it is.";
pub(super) const TORQUE_OF_EACH_STAGE_AT_THE_PINION: &str = "Torque of each stage at the pinion";
pub(super) const NEWTON_METRES: &str = "N m";
pub(super) const HOW_TORQUES_ARE_WRITTEN: &str = "From the first stage on, with ';' between.";
pub(super) const THE_ONLY_CONTACT: &str = "Contact: specimens, speed, load, temperature";
pub(super) const OWN_PRECISION_IS_USED_INSTEAD: &str = "The laboratory's own precision is used instead.";
pub(super) const NO_CONDITION_DIFFERS: &str = "No condition differs, so that it holds for the copy as well.";
pub(super) const FOUND_UNDER_OTHER_CONDITIONS: &str = "It was found under other conditions and does not apply to the copy: without a precision of its own this quantity is shown, not weighed, unless a trial has enough replicates.";

pub(super) fn original_has(precision: &str, then: &str) -> String {
    format!("The original has {precision}. {then}")
}

pub(super) const NEITHER_HAS_A_PRECISION: &str = "The original has no precision, and neither has the copy: this quantity is shown, not weighed, unless a trial has enough replicates.";

pub(super) fn original_has_none(then: &str) -> String {
    format!("The original has no precision. {then}")
}

pub(super) const STEPS: &str = "Steps";
pub(super) const HOW_STEPS_ARE_WRITTEN: &str = "Rising, with ';' between.";
pub(super) const LAST_STEP_THAT_CAN_BE_RUN: &str = "Last step that can be run";
pub(super) const REPEATABILITY: &str = "Repeatability r found by the laboratory";
pub(super) const WHAT_R_IS: &str = "95 % limit of the difference of two results of one rig.";
pub(super) const REPRODUCIBILITY: &str = "Reproducibility R found between laboratories";
pub(super) const BOTH_ARE_STATED: &str = "Both are stated";
pub(super) const IN_THE_UNIT_OF_THE_RESULT: &str = "in the unit of the result";
pub(super) const IN_PER_CENT_OF_THE_MEAN: &str = "in per cent of the mean";
pub(super) const IN_STEPS: &str = "in steps";
pub(super) const HOW_THEY_WERE_FOUND: &str = "How they were found";
pub(super) const WHAT_FOUND_BY_SAYS: &str = "Runs, oils, laboratories. Needed where r is given.";
