//! Every word that code puts on the calculator of an oil's viscosity; what stands whatever the numbers are is in the template.

pub(super) const VISCOSITY_AT_40_C: &str = "Viscosity at 40 °C, mm²/s";
pub(super) const VISCOSITY_AT_100_C: &str = "Viscosity at 100 °C, mm²/s";
pub(super) const WANTED_AT: &str = "Wanted at, °C (may stay empty)";
pub(super) const VISCOSITY_OF_AN_OIL: &str = "Viscosity of an oil";

pub(super) fn reported_as(whole: f64, procedure: &str) -> String {
    format!("reported as {whole}, procedure {procedure}")
}

pub(super) fn at_temperature(degrees: &str) -> String {
    format!("at {degrees} °C")
}

pub(super) const KINEMATIC_VISCOSITY: &str = "kinematic viscosity";
pub(super) const NO_TEMPERATURE_WAS_GIVEN: &str = "no temperature was given";
pub(super) const VISCOSITY_INDEX: &str = "viscosity index";

pub(super) fn viscosity_falls(from: &str, cold: &str, to: &str, hot: &str) -> String {
    format!("Viscosity falls from {from} at {cold} to {to} mm²/s at {hot}")
}
