//! What the sentences of an explanation share: numbers with units, amounts of a difference, lists.

use crate::catalogue::{PrecisionKind, Quantity, Scale};
use crate::explain::reading::{Bound, Number};
use crate::units::{DisplayPreferences, Unit};

/// Two significant figures, a whole number from 10 on: what a difference is worth.
pub(crate) fn tidy(value: f64, shown: DisplayPreferences) -> String {
    let value = value.abs();
    if value >= 9.95 {
        return shown.fixed(value, 0);
    }
    let decimals = if value >= 0.995 { 1 } else { 2 };
    let text = format!("{value:.decimals$}");
    match text.strip_suffix(".0") {
        Some(whole) => whole.to_string(),
        None if value > 0.0 && value < 0.095 => shown.number(value),
        None => shown.dress(&text),
    }
}

/// A unit after a number; empty where the number stands alone.
pub(crate) fn unit_word(unit: Unit) -> &'static str {
    match unit {
        Unit::One | Unit::Class | Unit::Rating | Unit::Stage => "",
        Unit::Micrometre => "µm",
        other => other.word(),
    }
}

/// The unit as it is shown after a number.
fn shown_word(unit: Unit, shown: DisplayPreferences) -> &'static str {
    let shown = shown.in_unit(unit);
    if shown.is_as_kept() {
        unit_word(unit)
    } else {
        shown.word()
    }
}

fn with_unit(number: &str, word: &str) -> String {
    match word {
        "" => number.to_string(),
        word => format!("{number} {word}"),
    }
}

/// `400 kgf`, `above stage 12`, `stage 9`, `below 30 N`.
pub(crate) fn number_with_unit(number: &Number, quantity: &Quantity, shown: DisplayPreferences) -> String {
    let text = shown.in_unit(quantity.unit).number(number.value);
    let plain = with_unit(&text, shown_word(quantity.unit, shown));
    let plain = if quantity.unit == Unit::Stage {
        format!("stage {plain}")
    } else {
        plain
    };
    match number.bound {
        Bound::At => plain,
        Bound::Above => format!("above {plain}"),
        Bound::Below => format!("below {plain}"),
    }
}

/// The label as it stands inside a sentence.
pub(crate) fn inside(label: &str) -> String {
    let mut letters = label.chars();
    let (first, second) = (letters.next(), letters.next());
    let is_acronym = second.is_some_and(char::is_uppercase);
    match first {
        Some(first) if !is_acronym => {
            let rest = &label[first.len_utf8()..];
            format!("{}{rest}", first.to_lowercase())
        }
        _ => label.to_string(),
    }
}

/// How much a length on the working scale is in words a user knows: `2 steps`, `a factor of 18`, `0.12 mm`.
pub(crate) fn amount(
    quantity: &Quantity,
    working: f64,
    repeatability: Option<f64>,
    shown: DisplayPreferences,
) -> String {
    let working = working.abs();
    let steps = quantity
        .precision
        .as_ref()
        .filter(|precision| precision.kind == PrecisionKind::Steps);
    if let (Some(precision), Some(r)) = (steps, repeatability.filter(|r| *r > 0.0)) {
        return count_of(working * precision.repeatability / r, "load step", shown);
    }
    match quantity.scale {
        Scale::Stage(_) => count_of(working, "stage", shown),
        Scale::Ln { .. } | Scale::LnLadder(_) => ratio(working.exp(), shown),
        Scale::Log10Ladder(_) => ratio(10f64.powf(working), shown),
        Scale::Identity { .. } | Scale::Class(_) => {
            let difference = shown.in_unit(quantity.unit).difference(working);
            with_unit(&tidy(difference, shown), shown_word(quantity.unit, shown))
        }
    }
}

/// A count of steps: the steps of a ladder are not quite equal, so that 1.9 of them is about 2.
pub(crate) fn count_of(number: f64, one: &str, shown: DisplayPreferences) -> String {
    let whole = number.round();
    let about = (number - whole).abs() > 1e-6 && (number - whole).abs() < 0.3 && whole >= 1.0;
    if about {
        return format!("about {}", count_of(whole, one, shown));
    }
    let text = tidy(number, shown);
    if text == "1" {
        format!("1 {one}")
    } else {
        format!("{text} {one}s")
    }
}

fn ratio(factor: f64, shown: DisplayPreferences) -> String {
    if factor < 1.5 {
        format!("{} %", tidy((factor - 1.0) * 100.0, shown))
    } else {
        format!("a factor of {}", tidy(factor, shown))
    }
}

/// A position on the scale of the reference oils, with a true minus.
pub(crate) fn position(position: f64, shown: DisplayPreferences) -> String {
    match format!("{position:.2}").as_str() {
        "-0.00" => shown.dress("0.00"),
        text => shown.dress(&text.replace('-', "\u{2212}")),
    }
}

/// `a`, `a and b`, `a, b and c`.
pub(crate) fn and(items: &[String]) -> String {
    match items {
        [] => String::new(),
        [one] => one.clone(),
        [all @ .., last] => format!("{} and {last}", all.join(", ")),
    }
}

/// `1 of the 4 tests`, `the one test`, `all 3 tests`.
pub(crate) fn share(part: usize, whole: usize, one: &str) -> String {
    match (part, whole) {
        (1, 1) => format!("the one {one}"),
        (part, whole) if part == whole && whole == 2 => format!("both {one}s"),
        (part, whole) if part == whole => format!("all {whole} {one}s"),
        (part, whole) => format!("{part} of the {whole} {one}s"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalogue::built_in;

    fn quantity(method: &str, quantity: &str) -> Quantity {
        let method = built_in().iter().find(|m| m.id.as_str() == method).unwrap();
        method.quantity(quantity).unwrap().clone()
    }

    #[test]
    fn amounts_are_in_steps_stages_factors_or_the_unit() {
        let weld = quantity("fb_ep_oil", "weld");
        assert_eq!(
            amount(&weld, 0.2, Some(0.1), DisplayPreferences::default()),
            "2 load steps"
        );
        assert_eq!(
            amount(
                &quantity("gear_A8", "fail_stage"),
                3.0,
                None,
                DisplayPreferences::default()
            ),
            "3 stages"
        );
        let wear = quantity("rb_oil", "roller_wear");
        assert_eq!(
            amount(&wear, 18f64.ln(), Some(0.5), DisplayPreferences::default()),
            "a factor of 18"
        );
        assert_eq!(
            amount(
                &quantity("fb_wear_oil_B", "scar"),
                -0.12,
                None,
                DisplayPreferences::default()
            ),
            "0.12 mm"
        );
    }

    #[test]
    fn counts_of_tests_read_as_a_person_says_them() {
        assert_eq!(share(1, 1, "test"), "the one test");
        assert_eq!(share(2, 2, "test"), "both tests");
        assert_eq!(share(2, 5, "test"), "2 of the 5 tests");
        assert_eq!(
            and(&["a".to_string(), "b".to_string(), "c".to_string()]),
            "a, b and c"
        );
    }
}
