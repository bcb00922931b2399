//! Every word that code puts on error pages, beside faulty values of any address or form, and on drawings of methods.

use std::fmt::Display;

pub(super) const NO_PAGE_HAS_THIS_ADDRESS: &str = "No page has this address.";

pub(super) const SPEED_OF_THE_UPPER_BALL: &str = "speed of the upper ball";
pub(super) const SPEED_OF_THE_RING: &str = "speed of the ring";
pub(super) const FREQUENCY: &str = "frequency";
pub(super) const TEETH_PINION_AND_WHEEL: &str = "teeth, pinion and wheel";
pub(super) const MODULE: &str = "module";
pub(super) const FACE_WIDTH: &str = "face width";
pub(super) const SPEED_OF_THE_PINION: &str = "speed of the pinion";
pub(super) const ROLLERS: &str = "rollers";
pub(super) const SPEED: &str = "speed";
pub(super) const SPEEDS_OF_THE_DISCS: &str = "speeds of the discs";

pub(super) const SEVERAL_VALUES_CANNOT_BE_USED: &str = "Several values cannot be used.";

pub(super) fn answers_on_this_machine_only(host: &str) -> String {
    format!("This program answers on this machine only, not as '{host}'.")
}

pub(super) fn takes_nothing_from(origin: &str) -> String {
    format!("This program takes nothing from '{origin}', only from its own pages.")
}

pub(super) const FORM_OF_ANOTHER_RUN: &str =
    "This form is not one of this run of the program. Open its page again and send it from there.";
pub(super) const ADDRESS_DOES_NOT_ANSWER_TO_THAT_METHOD: &str =
    "This address does not answer to that method.";
pub(super) const SOMETHING_BROKE: &str = "Something broke in the program. The cause stands in its log.";
pub(super) const THERE_IS_NOTHING_HERE: &str = "There is nothing here";
pub(super) const NOT_FROM_THERE: &str = "Not from there";
pub(super) const A_VALUE_CANNOT_BE_USED: &str = "A value cannot be used";
pub(super) const NOT_IN_THIS_WAY: &str = "Not in this way";
pub(super) const NOT_ANY_MORE: &str = "Not any more";
pub(super) const TOO_MUCH_AT_ONCE: &str = "Too much at once";
pub(super) const NOT_A_CSV_FILE: &str = "Not a CSV file";
pub(super) const THE_REQUEST_IS_NOT_WHOLE: &str = "The request is not whole";
pub(super) const THE_PROGRAM_COULD_NOT_ANSWER: &str = "The program could not answer";

pub(super) fn there_is_no_trial(name: &str) -> String {
    format!("There is no trial '{name}'.")
}

pub(super) fn this_trial_has_no_result(id: impl Display) -> String {
    format!("This trial has no result {id}.")
}

pub(super) const ANOTHER_PAGE: &str = "another page";

pub(super) fn form_is_not_sent_as(kind: impl Display) -> String {
    format!("A form is sent as multipart/form-data or application/x-www-form-urlencoded, not as '{kind}'.")
}

pub(super) const MORE_THAN_IS_TAKEN_IN: &str = "More than 64 MB are not taken in at once. Split the file.";
pub(super) const IS_NOT_UTF_8: &str = "is not UTF-8";

pub(super) fn is_not_the_number_of_a_page(written: &str) -> String {
    format!("'{written}' is not the number of a page")
}

pub(super) fn is_not_one_of_the_ten_terms(written: &str, terms: &str) -> String {
    format!("'{written}' is not one of the ten terms; write one of {terms}")
}

pub(super) fn is_not_a_number(written: &str) -> String {
    format!("'{written}' is not a number")
}

pub(super) fn is_not_a_head_room(written: &str) -> String {
    format!("'{written}' is not a head-room; write a number from 0 to 0.5")
}

pub(super) fn is_not_a_factor_of_the_duty(written: &str) -> String {
    format!("'{written}' is not a factor of the duty; write a number from 0.1 to 10")
}

pub(super) fn is_not_the_code_of_a_blend(written: &str) -> String {
    format!("'{written}' is not the code of a blend")
}

pub(super) fn is_not_a_method_or_quantity(written: &str) -> String {
    format!("'{written}' is not a method or method/quantity")
}

pub(super) fn is_not_a_quantity(written: &str) -> String {
    format!("'{written}' is not method/quantity")
}

pub(super) fn is_not_a_weight(written: &str) -> String {
    format!("'{written}' is not a weight; write a number from 0 to 1")
}

pub(super) fn is_not_known_write_in(written: &str) -> String {
    format!("'{written}' is not known; write 'in' or leave it away")
}

pub(super) fn is_not_a_number_of_draws(written: &str) -> String {
    format!("'{written}' is not a number from 200 to 200000")
}

pub(super) fn is_not_a_whole_number(written: &str) -> String {
    format!("'{written}' is not a whole number")
}
