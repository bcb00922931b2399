//! How long a method runs, from the words in which its condition is kept.

use crate::units::{Dimension, Unit};

/// The time at the start of `60 +/- 1 min`, `10 s per load`, `16 h per stage, then …`, and what it is counted by; `None`
/// where the words start with anything else, or name a choice.
pub(super) fn duration(words: &str) -> Option<(f64, String)> {
    let mut parts = words.split_whitespace().peekable();
    let number: f64 = parts.next()?.parse().ok()?;
    if parts.peek() == Some(&"+/-") {
        parts.next();
        parts.next()?.parse::<f64>().ok()?;
    }
    let unit: Unit = parts.next()?.parse().ok()?;
    if unit.dimension() != Dimension::Time {
        return None;
    }
    let rest: Vec<&str> = parts.collect();
    let counted = rest.join(" ").replace("(from memory)", "");
    Some((number * unit.factor(), counted.trim().to_string()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_time_is_read_with_what_it_is_counted_by() {
        assert_eq!(duration("10 s per load"), Some((10.0, "per load".to_string())));
        assert_eq!(duration("60 +/- 1 min"), Some((3600.0, String::new())));
        assert_eq!(duration("2 h (from memory)"), Some((7200.0, String::new())));
    }

    #[test]
    fn words_that_are_no_single_time_are_none() {
        for words in [
            "to a pressure drop of 175 kPa",
            "4 or 24 h (from memory)",
            "",
            "60",
        ] {
            assert_eq!(duration(words), None, "{words}");
        }
    }
}
