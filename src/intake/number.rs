//! Numbers with a decimal point or a decimal comma, with or without separated thousands.

use std::ops::RangeInclusive;

/// Why a text is not one number.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum NumberFault {
    /// It has no digits, or other characters.
    #[error("is not a number")]
    NotANumber,
    /// One comma with three digits behind it: thousands to some, decimals to others.
    #[error("can be read as {decimal} and as {thousands}; write one of the two")]
    Ambiguous {
        /// With the comma as decimal sign.
        decimal: String,
        /// With the comma between thousands.
        thousands: String,
    },
    /// Its separators stand where neither convention puts them.
    #[error("has its separators where no number has them")]
    Separators,
}

/// The number of a text: `0.45`, `0,45`, `1.234,5`, `1,234.5`, `1,234,567`, `1.2e-3`.
///
/// A single point is a decimal sign. A single comma is one too, except where three digits follow it and one to three
/// digits that are no bare zero stand before it: `1,234` is refused.
pub fn read_number(text: &str) -> Result<f64, NumberFault> {
    let text = text.trim().replace('\u{2212}', "-");
    let (sign, body) = match text.strip_prefix('-') {
        Some(rest) => ("-", rest),
        None => ("", text.strip_prefix('+').unwrap_or(&text)),
    };
    let (mantissa, exponent) = match body.find(['e', 'E']) {
        Some(at) => (&body[..at], Some(&body[at + 1..])),
        None => (body, None),
    };
    let allowed = |c: char| c.is_ascii_digit() || c == '.' || c == ',';
    if !mantissa.chars().all(allowed) || !mantissa.contains(|c: char| c.is_ascii_digit()) {
        return Err(NumberFault::NotANumber);
    }
    let plain = plain_decimal(mantissa)?;
    let exponent = exponent.map_or(Ok(String::new()), read_exponent)?;
    format!("{sign}{plain}{exponent}")
        .parse::<f64>()
        .ok()
        .filter(|number| number.is_finite())
        .ok_or(NumberFault::NotANumber)
}

/// The number of a text within limits. What can be read in two ways is refused with both readings, all else with
/// `otherwise`.
///
/// # Errors
/// What is wrong with the text, with the mend.
pub fn read_within(
    text: &str,
    limits: &RangeInclusive<f64>,
    otherwise: impl Into<String>,
) -> Result<f64, String> {
    match read_number(text) {
        Ok(number) if limits.contains(&number) => Ok(number),
        Err(two_ways @ NumberFault::Ambiguous { .. }) => Err(format!("'{}' {two_ways}", shown(text))),
        _ => Err(otherwise.into()),
    }
}

/// As much of what was written as helps to find it.
pub fn shown(text: &str) -> String {
    text.trim().chars().filter(|c| !c.is_control()).take(80).collect()
}

fn read_exponent(text: &str) -> Result<String, NumberFault> {
    let digits = text.strip_prefix(['-', '+']).unwrap_or(text);
    let usable = (1..=3).contains(&digits.len()) && digits.chars().all(|c| c.is_ascii_digit());
    usable.then(|| format!("e{text}")).ok_or(NumberFault::NotANumber)
}

/// Digits with at most one decimal point.
fn plain_decimal(text: &str) -> Result<String, NumberFault> {
    let points = text.matches('.').count();
    let commas = text.matches(',').count();
    match (points, commas) {
        (0 | 1, 0) => Ok(text.to_string()),
        (_, 0) => thousands(text, '.'),
        (0, 1) if looks_like_thousands(text) => Err(NumberFault::Ambiguous {
            decimal: text.replace(',', "."),
            thousands: text.replace(',', ""),
        }),
        (0, 1) => Ok(text.replace(',', ".")),
        (0, _) => thousands(text, ','),
        _ => mixed(text),
    }
}

fn looks_like_thousands(text: &str) -> bool {
    thousands(text, ',').is_ok()
}

/// Both signs are there: the last one is the decimal sign, the other one separates thousands.
fn mixed(text: &str) -> Result<String, NumberFault> {
    let at = text.rfind(['.', ',']).ok_or(NumberFault::Separators)?;
    let (whole, fraction) = (&text[..at], &text[at + 1..]);
    let decimal = text[at..].chars().next().ok_or(NumberFault::Separators)?;
    if whole.contains(decimal) {
        return Err(NumberFault::Separators);
    }
    let grouping = if decimal == '.' { ',' } else { '.' };
    Ok(format!("{}.{fraction}", thousands(whole, grouping)?))
}

/// The digits of `1.234.567`: a first group of one to three digits that is no zero, then groups of three.
fn thousands(text: &str, separator: char) -> Result<String, NumberFault> {
    let mut groups = text.split(separator);
    let first = groups.next().unwrap_or_default();
    let starts_well = (1..=3).contains(&first.len()) && !first.starts_with('0');
    let goes_on_well = groups.all(|group| group.len() == 3 && group.chars().all(|c| c.is_ascii_digit()));
    if starts_well && goes_on_well {
        Ok(text.replace(separator, ""))
    } else {
        Err(NumberFault::Separators)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn both_decimal_signs_and_separated_thousands_are_read() {
        for (text, number) in [
            ("0.45", 0.45),
            ("0,45", 0.45),
            (",45", 0.45),
            ("1.234,5", 1234.5),
            ("1,234.5", 1234.5),
            ("1,234,567", 1_234_567.0),
            ("1.234.567", 1_234_567.0),
            ("1234,567", 1234.567),
            ("0,450", 0.45),
            ("12,5", 12.5),
            ("1.234", 1.234),
            ("-3.5", -3.5),
            ("+7", 7.0),
            ("1.2e-3", 0.0012),
            (" 250 ", 250.0),
        ] {
            assert_eq!(read_number(text), Ok(number), "{text}");
        }
    }

    #[test]
    fn one_comma_before_three_digits_is_refused_with_both_readings() {
        let fault = read_number("1,234").unwrap_err();
        assert_eq!(
            fault.to_string(),
            "can be read as 1.234 and as 1234; write one of the two"
        );
        assert!(matches!(
            read_number("12,500"),
            Err(NumberFault::Ambiguous { .. })
        ));
    }

    #[test]
    fn limits_belong_to_what_may_be_written_and_two_readings_are_named_first() {
        let read = |text| read_within(text, &(0.5..=20_000.0), "is out of range");
        for (text, number) in [
            ("0.5", 0.5),
            ("20000", 20_000.0),
            ("12,5", 12.5),
            ("1.500,5", 1500.5),
        ] {
            assert_eq!(read(text), Ok(number), "{text}");
        }
        for text in ["0.4999", "20000.1", "1 500", "NaN", "twelve", ""] {
            assert_eq!(read(text), Err("is out of range".to_string()), "{text}");
        }
        let two_ways = "'12,500' can be read as 12.500 and as 12500; write one of the two";
        assert_eq!(read(" 12,500 "), Err(two_ways.to_string()));
    }

    #[test]
    fn separators_out_of_place_are_refused() {
        for text in ["1.23,4", "1,23.4", "1.2.3", "1,2,3", "1.234,5,6", "12.34.567"] {
            assert_eq!(read_number(text), Err(NumberFault::Separators), "{text}");
        }
    }

    #[test]
    fn words_that_a_computer_takes_for_numbers_are_not_numbers() {
        for text in [
            "", "-", ".", "inf", "NaN", "infinity", "1e", "e5", "0x10", "1 2", "1e9999",
        ] {
            assert_eq!(read_number(text), Err(NumberFault::NotANumber), "{text}");
        }
    }
}
