//! Numbers and dates as pages print them.

use crate::catalogue::{Better, Value};
use crate::charts::number_words;
use crate::standing::Estimate;
use crate::units::{Interval, Unit};
use jiff::civil::Date;

/// `4 March 2024`, or `no date`.
pub(crate) fn date(date: Option<Date>) -> String {
    date.map_or_else(
        || "no date".to_string(),
        |date| date.strftime("%-d %B %Y").to_string(),
    )
}

/// The unit after a number; nothing where the number stands alone.
pub(crate) fn unit(unit: Unit) -> &'static str {
    match unit {
        Unit::One | Unit::Class | Unit::Rating => "",
        Unit::Micrometre => "µm",
        Unit::SquareMillimetrePerSecond => "mm²/s",
        other => other.word(),
    }
}

/// `12 mm`, `12`.
pub(crate) fn with_unit(text: &str, of: Unit) -> String {
    match unit(of) {
        "" => text.to_string(),
        "stage" => format!("stage {text}"),
        word => format!("{text} {word}"),
    }
}

/// A value without its unit: `0.45`, `250 to 315`, `> 12`, `< 4`, `1b`.
pub(crate) fn value(value: &Value) -> String {
    match value {
        Value::Exact(number) => number_words(*number),
        Value::Between { lo, hi } => format!("{} to {}", number_words(*lo), number_words(*hi)),
        Value::Above(number) => format!("> {}", number_words(*number)),
        Value::Below(number) => format!("< {}", number_words(*number)),
        Value::Class(class) => class.clone(),
        Value::Stopped => "stopped".to_string(),
    }
}

/// An estimate without its unit; above the cap it is the cap.
pub(crate) fn estimate(estimate: &Estimate) -> String {
    if estimate.capped {
        format!("> {}", number_words(estimate.value))
    } else {
        number_words(estimate.value)
    }
}

/// The interval of an estimate; open where it is capped.
pub(crate) fn interval(estimate: &Estimate) -> String {
    if estimate.capped {
        format!("from {}", number_words(estimate.lo))
    } else {
        format!("{} to {}", number_words(estimate.lo), number_words(estimate.hi))
    }
}

/// `less is better`, `more is better`.
pub(crate) fn better(better: Better) -> &'static str {
    match better {
        Better::Higher => "more is better",
        Better::Lower => "less is better",
    }
}

/// A position or score: two decimals, with a true minus.
pub(crate) fn position(position: f64) -> String {
    let text = format!("{position:.2}");
    match text.as_str() {
        "-0.00" => "0.00".to_string(),
        _ => text.replace('-', "\u{2212}"),
    }
}

/// A change of score: with its sign.
pub(crate) fn signed(change: f64) -> String {
    let text = position(change);
    if text == "0.00" || text.starts_with('\u{2212}') {
        text
    } else {
        format!("+{text}")
    }
}

/// `1 run`, `4 runs`.
pub(crate) fn count(number: usize, one: &str) -> String {
    if number == 1 {
        format!("1 {one}")
    } else {
        format!("{number} {one}s")
    }
}

/// A range of an SI quantity in words, scaled by `per_unit`.
pub(crate) fn range(range: Interval, per_unit: f64) -> String {
    let text = |value: f64| number_words(value / per_unit);
    let (lo, hi) = (text(range.lo()), text(range.hi()));
    if lo == hi { lo } else { format!("{lo} to {hi}") }
}

/// A share in wt%, to a thousandth, without zeros at its end: sums must come out.
pub(crate) fn weight_per_cent(share: f64) -> String {
    let text = format!("{share:.3}");
    text.trim_end_matches('0').trim_end_matches('.').to_string()
}

/// A text as it may stand in an element's id.
pub(crate) fn anchor(text: &str) -> String {
    text.chars()
        .map(|c| {
            if c.is_ascii_alphanumeric() || c == '_' {
                c
            } else {
                '-'
            }
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_cap_is_printed_as_a_bound_and_never_as_a_number() {
        let capped = Estimate {
            value: 12.0,
            lo: 11.5,
            hi: 15.0,
            capped: true,
            runs: 2,
        };
        assert_eq!(estimate(&capped), "> 12");
        assert_eq!(interval(&capped), "from 11.5");
    }

    #[test]
    fn signs_and_counts_read_well() {
        assert_eq!(signed(0.181), "+0.18");
        assert_eq!(signed(-0.141), "\u{2212}0.14");
        assert_eq!(signed(-0.001), "0.00");
        assert_eq!(
            (weight_per_cent(33.63), weight_per_cent(100.0)),
            ("33.63".to_string(), "100".to_string())
        );
        assert_eq!(count(1, "run"), "1 run");
        assert_eq!(count(0, "run"), "0 runs");
        assert_eq!(anchor("own bench/mass loss"), "own-bench-mass-loss");
    }
}
