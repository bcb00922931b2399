//! Parameters as they are written and as they are shown.

use crate::units::Interval;
use serde_json::{Map, Value, json};

/// One parameter of a preset.
pub(super) struct Parameter {
    pub(super) key: &'static str,
    pub(super) label: &'static str,
    pub(super) given: Given,
}

/// What it was given as.
pub(super) enum Given {
    Range(Interval),
    Number(f64),
    Count(u32),
    Word(&'static str),
    TwoBodies([f64; 2]),
}

impl Parameter {
    pub(super) fn range(key: &'static str, label: &'static str, range: Interval) -> Self {
        Self::new(key, label, Given::Range(range))
    }

    pub(super) fn number(key: &'static str, label: &'static str, number: f64) -> Self {
        Self::new(key, label, Given::Number(number))
    }

    pub(super) fn count(key: &'static str, label: &'static str, count: u32) -> Self {
        Self::new(key, label, Given::Count(count))
    }

    pub(super) fn word(key: &'static str, label: &'static str, word: &'static str) -> Self {
        Self::new(key, label, Given::Word(word))
    }

    pub(super) fn new(key: &'static str, label: &'static str, given: Given) -> Self {
        Self { key, label, given }
    }

    fn json(&self) -> Value {
        match self.given {
            Given::Range(range) if range.is_point() => json!(range.lo()),
            Given::Range(range) => json!([range.lo(), range.hi()]),
            Given::Number(number) => json!(number),
            Given::Count(count) => json!(count),
            Given::Word(word) => json!(word),
            Given::TwoBodies(pair) => json!(pair),
        }
    }

    /// The value with its unit as a page shows it: `5 to 40 °C`, `4.5 mm`.
    pub(super) fn text(&self) -> String {
        let (factor, unit) = shown_unit(self.key);
        let number = |value: f64| rounded(value * factor).to_string();
        let value = match self.given {
            Given::Range(range) if range.is_point() => number(range.lo()),
            Given::Range(range) => format!("{} to {}", number(range.lo()), number(range.hi())),
            Given::Number(value) => number(value),
            Given::Count(count) => count.to_string(),
            Given::Word(word) => word.to_string(),
            Given::TwoBodies([first, second]) => format!("{} and {}", number(first), number(second)),
        };
        if unit.is_empty() {
            value
        } else {
            format!("{value} {unit}")
        }
    }
}

/// All parameters as one JSON object.
pub(super) fn to_json(parameters: &[Parameter]) -> String {
    let object: Map<String, Value> = parameters
        .iter()
        .map(|parameter| (parameter.key.to_string(), parameter.json()))
        .collect();
    Value::Object(object).to_string()
}

/// The unit in which a key's value is shown, from the SI unit at its end, and its factor.
fn shown_unit(key: &str) -> (f64, &'static str) {
    const SUFFIXES: [(&str, f64, &str); 11] = [
        ("_rq_m", 1e6, "µm"),
        ("_m_s", 1.0, "m/s"),
        ("_pa", 1e-6, "MPa"),
        ("_nm", 1.0, "N m"),
        ("_rpm", 1.0, "r/min"),
        ("_deg", 1.0, "°"),
        ("_hz", 1.0, "Hz"),
        ("_m", 1e3, "mm"),
        ("_n", 1.0, "N"),
        ("_c", 1.0, "°C"),
        ("", 1.0, ""),
    ];
    let of_key = SUFFIXES.into_iter().find(|(suffix, ..)| key.ends_with(suffix));
    of_key.map_or((1.0, ""), |(_, factor, unit)| (factor, unit))
}

/// Without the noise that a change of unit leaves in the last digits.
fn rounded(value: f64) -> f64 {
    format!("{value:.9e}").parse().unwrap_or(value)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn values_are_shown_in_the_unit_of_their_key_without_digits_that_were_not_given() {
        let text = |key, number| Parameter::number(key, "", number).text();
        assert_eq!(text("pinion_tip_diameter_m", 0.08877), "88.77 mm");
        assert_eq!(text("pinion_torque_nm", 534.5), "534.5 N m");
        assert_eq!(text("load_n", 1200.0), "1200 N");
        assert_eq!(text("slip", 0.05), "0.05");
        let duty = Parameter::range("temperature_c", "", Interval::new(5.0, 40.0).unwrap());
        assert_eq!(duty.text(), "5 to 40 °C");
        let rough = Parameter::new("roughness_rq_m", "", Given::TwoBodies([0.4e-6, 0.2e-6]));
        assert_eq!(rough.text(), "0.4 and 0.2 µm");
    }
}
