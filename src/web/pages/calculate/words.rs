//! Every word that code puts on the forms of all calculators; what stands whatever the numbers are is in the template.

pub(super) const CALCULATE: &str = "Calculate";

pub(super) const IS_IN_THE_ADDRESS_TWICE_GIVE_IT_ONCE: &str = "is in the address twice; give it once";

pub(super) fn is_no_field_of_this_calculator(name: &str) -> String {
    format!("'{name}' in the address is no field of this calculator.")
}

pub(super) const IS_NEEDED: &str = "is needed";

pub(super) fn row(number: usize, problem: &str) -> String {
    format!("row {number}: {problem}")
}
