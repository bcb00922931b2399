//! What is said of a value in an address that cannot be used.

pub(super) const SPEED: &str = "speed";

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
