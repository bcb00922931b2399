//! Every word that code puts on the pages of machines; what stands whatever the numbers are is in the template.

pub(super) use crate::web::pages::words::{
    CAUTION_SHOWN_WITH_IT, CHOOSE, HOW_A_SHORT_NAME_IS_WRITTEN, MAIN, MINOR, NAME, NOT_KNOWN, SECONDARY,
    SHORT_NAME_IN_ADDRESSES_AND_FILES, UNKNOWN, contact_of_number, fields, nothing_is_saved_yet, trials,
};
use std::fmt::Display;

pub(super) const NO_MACHINE_HAS_THIS_NAME: &str = "No machine has this name.";
pub(super) const THE_VERSION_OF_A_MACHINE_IS_A_WHOLE: &str = "The version of a machine is a whole number.";
pub(super) const NO_MACHINE_OF_THIS_NAME_HAS_THIS_VERSION: &str = "No machine of this name has this version.";
pub(super) const MACHINES: &str = "Machines";

pub(super) fn known_good_oil_of_trial(blend: impl Display, title: impl Display) -> String {
    format!("{blend}, the known-good oil of the trial “{title}”")
}

pub(super) const USUAL_OIL_AND_WHY: &str = "an ISO VG 220 oil (220 and 19 mm²/s at 40 and 100 °C; common practice, no source), because no trial on this machine names a known-good oil of known viscosity";
pub(super) const MAIN_MODES: &str = "main failure modes (importance 1)";

pub(super) fn secondary_modes(importance: &str) -> String {
    format!("secondary ({importance})")
}

pub(super) fn minor_modes(importance: &str) -> String {
    format!("minor ({importance})")
}

pub(super) fn method_resembles_it_most(title: &str, standard: &str, resemblance: &str) -> String {
    format!(
        "Of the methods that score a failure mode of this contact, {title} ({standard}) resembles it most, at {resemblance}."
    )
}

pub(super) fn no_method_resembles_it(title: &str, standard: &str, resemblance: &str, above: &str) -> String {
    format!(
        "No method that scores a failure mode of this contact resembles it above {above}; the nearest is {title} ({standard}), at {resemblance}."
    )
}

pub(super) const NO_METHOD_SCORES_THIS_CONTACT: &str = "No method scores a failure mode of this contact.";

pub(super) fn machine_version_of(trial: &str) -> String {
    format!("Machine version of {trial}")
}

pub(super) const WHY_THAT_VERSION_FROM_NOW_ON: &str = "Why it is judged with that version from now on";

pub(super) const AT_THE_SEVERE_END_OF_THE_DUTY: &str = "at the severe end of the duty";

pub(super) const FORM_WITHOUT_A_VERSION: &str =
    "The form does not say which version it changes. Open it again.";

pub(super) const TO: &str = "to";

pub(super) const A_NEW_MACHINE: &str = "A new machine";

pub(super) fn change(machine: &str) -> String {
    format!("Change {machine}")
}

pub(super) fn change_in_a_new_version(machine: &str) -> String {
    format!("Change {machine} in a new version")
}

pub(super) const WHAT_THIS_VERSION_CHANGES: &str = "What this version changes, and why";
pub(super) const WHERE_THE_CHANGE_STAYS: &str = "Stays beside the version. Trials keep the version they were judged with until somebody adopts this one for them.";
pub(super) const SAVE_THE_MACHINE: &str = "Save the machine";

pub(super) fn save_as_version(number: u32) -> String {
    format!("Save as version {number}")
}

pub(super) const KIND_BY_WHICH_TRIALS_ARE_FOUND: &str = "Kind, by which trials are found";
pub(super) const NOTE_OF_WHERE_NUMBERS_COME_FROM: &str =
    "Note: where the numbers come from, what was estimated";
pub(super) const WHAT_A_CAUTION_SAYS: &str =
    "Who approves a lubricant for it, and what must never be run in it.";

pub(super) fn contact_of_name(number: usize, name: &str) -> String {
    format!("Contact {number}: {name}")
}

pub(super) const NAME_OF_THE_CONTACT: &str = "Name of the contact";
pub(super) const SHARE_OF_THE_MACHINE: &str = "Share of the machine";
pub(super) const GIVEN_AS: &str = "Given as";

pub(super) fn usual_unless_you_choose(usual: &str) -> String {
    format!("{usual}, unless you choose")
}

pub(super) fn mild_end(label: &str) -> String {
    format!("{label}, mild end or only value")
}

pub(super) fn severe_end(label: &str) -> String {
    format!("{label}, severe end")
}

pub(super) fn first_body(label: &str) -> String {
    format!("{label}, first body")
}

pub(super) fn second_body(label: &str) -> String {
    format!("{label}, second body")
}

pub(super) const AND: &str = "and";
pub(super) const NOT_A_MODE: &str = "not";

pub(super) const VISCOSITY_NOT_KNOWN: &str = "viscosity not known";
pub(super) const AT_LEAST: &str = "at least ";

pub(super) fn to(temperature: &str) -> String {
    format!("to {temperature}")
}

pub(super) const AND_UP: &str = "and up";

pub(super) fn mean(pressure: &str) -> String {
    format!("mean {pressure}")
}

pub(super) fn shape_with_axis_ratio(shape: &str, ratio: &str) -> String {
    format!("{shape}, longer over shorter axis {ratio}")
}

pub(super) fn bulk(temperature: &str) -> String {
    format!("bulk {temperature}")
}

pub(super) const NOT_GIVEN: &str = "not given";
