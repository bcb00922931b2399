//! Numbers as a person writes them.

/// At least three significant figures, no trailing zeros, a true minus, a point before the decimals.
pub fn number_words(value: f64) -> String {
    if !value.is_finite() {
        return "not a number".to_string();
    }
    if value == 0.0 {
        return "0".to_string();
    }
    let magnitude = value.abs().log10().floor() as i32;
    if !(-4..7).contains(&magnitude) {
        return format!("{value:.2e}");
    }
    let decimals = (2 - magnitude).max(0) as usize;
    let mut text = format!("{value:.decimals$}");
    if text.contains('.') {
        text.truncate(text.trim_end_matches('0').trim_end_matches('.').len());
    }
    if text == "-0" {
        "0".to_string()
    } else {
        text.replace('-', "\u{2212}")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_read_as_a_person_writes_them() {
        for (value, words) in [
            (0.0, "0"),
            (12.0, "12"),
            (0.45, "0.45"),
            (0.1234, "0.123"),
            (315.4, "315"),
            (-0.18, "\u{2212}0.18"),
            (2600.0, "2600"),
            (f64::NAN, "not a number"),
        ] {
            assert_eq!(number_words(value), words);
        }
    }
}
