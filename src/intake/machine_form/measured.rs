//! A number with or without a unit word, as people type it into a field that shows its unit.

use crate::intake::read_number;
use crate::intake::value::leading_number;
use crate::units::Measure;

/// A typed value.
#[derive(Clone, Debug, PartialEq)]
pub struct Measured {
    /// In SI.
    pub si: f64,
    /// The unit word that stands with it; `None` where the field's own is meant.
    pub unit: Option<String>,
}

/// The value of a text such as `12`, `1,5`, `1 kgf`, `200 °F`, in SI; `usual` is the unit that the field shows.
///
/// # Errors
/// What is wrong with the text, with the mend.
pub fn read_measured(text: &str, measure: Measure, usual: &str) -> Result<Measured, String> {
    let text = text.replace(['\u{a0}', '\u{202f}'], " ").replace('\u{2212}', "-");
    let text = text.trim();
    let Some((number, rest)) = leading_number(text) else {
        return Err(format!("'{text}' is not a number"));
    };
    let number = read_number(number).map_err(|problem| problem.to_string())?;
    let unit = rest.trim();
    let meant = if unit.is_empty() { usual } else { unit };
    let si = measure.to_si(number, meant).ok_or_else(|| {
        let units = measure.units();
        let known = if units.is_empty() {
            "a plain number".to_string()
        } else {
            units.join(", ")
        };
        format!("'{unit}' is not a unit of this field; it takes {known}")
    })?;
    Ok(Measured {
        si,
        unit: (!unit.is_empty()).then(|| unit.to_string()),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_bare_number_is_in_the_unit_of_the_field_and_another_unit_is_converted() {
        let si = |text: &str, measure, usual| read_measured(text, measure, usual).map(|found| found.si);
        assert_eq!(si("4,5", Measure::Length, "mm"), Ok(0.0045));
        assert_eq!(si(" 1 kgf", Measure::Force, "N"), Ok(9.806_65));
        assert_eq!(si("1kgf", Measure::Force, "N"), Ok(9.806_65));
        assert_eq!(si("\u{2212}5", Measure::Temperature, "°C"), Ok(-5.0));
        let boiling = si("212 °F", Measure::Temperature, "°C");
        assert_eq!(boiling, Ok(100.0));
        assert_eq!(si("5 %", Measure::Ratio, ""), Ok(0.05));
    }

    #[test]
    fn what_cannot_be_a_value_says_the_mend() {
        let fault = |text: &str, measure, usual| read_measured(text, measure, usual).unwrap_err();
        assert!(fault("fast", Measure::Speed, "m/s").contains("not a number"));
        assert!(fault("1,234", Measure::Force, "N").contains("1.234 and as 1234"));
        assert!(fault("3 kg", Measure::Force, "N").contains("N, kN, kgf"));
        assert!(fault("3 mm", Measure::Ratio, "").contains("%"));
    }
}
