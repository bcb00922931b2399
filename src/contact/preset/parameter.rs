//! Parameters as they are written and as they are shown.

use crate::units::Interval;
use serde_json::{Value, json};

/// One parameter of a contact.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Parameter {
    pub(super) key: &'static str,
    pub(super) given: Given,
}

/// What it was given as.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Given {
    Range(Interval),
    Number(f64),
    Count(u32),
    Word(&'static str),
    TwoBodies([f64; 2]),
}

impl Given {
    /// The value in the unit in which a key's value is shown, without that unit.
    pub(super) fn shown(self, key: &str) -> String {
        let (factor, _) = shown_unit(key);
        let number = |value: f64| rounded(value * factor).to_string();
        match self {
            Self::Range(range) if range.is_point() => number(range.lo()),
            Self::Range(range) => format!("{} to {}", number(range.lo()), number(range.hi())),
            Self::Number(value) => number(value),
            Self::Count(count) => count.to_string(),
            Self::Word(word) => word.to_string(),
            Self::TwoBodies([first, second]) => format!("{} and {}", number(first), number(second)),
        }
    }
}

impl Parameter {
    pub(super) fn json(&self) -> Value {
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
        let value = self.given.shown(self.key);
        match shown_unit(self.key) {
            (_, "") => value,
            (_, unit) => format!("{value} {unit}"),
        }
    }
}

/// The unit in which a key's value is shown, from the SI unit at its end, and its factor.
pub(super) fn shown_unit(key: &str) -> (f64, &'static str) {
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
        let text = |key, given| Parameter { key, given }.text();
        let number = |key, number| text(key, Given::Number(number));
        assert_eq!(number("pinion_tip_diameter_m", 0.08877), "88.77 mm");
        assert_eq!(number("pinion_torque_nm", 534.5), "534.5 N m");
        assert_eq!(number("load_n", 1200.0), "1200 N");
        assert_eq!(number("slip", 0.05), "0.05");
        let duty = Given::Range(Interval::new(5.0, 40.0).unwrap());
        assert_eq!(text("temperature_c", duty), "5 to 40 °C");
        let rough = Given::TwoBodies([0.4e-6, 0.2e-6]);
        assert_eq!(text("roughness_rq_m", rough), "0.4 and 0.2 µm");
    }
}
