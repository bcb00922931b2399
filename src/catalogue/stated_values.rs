//! Reads numbers with units of speed, load, temperature and time out of a text in words.

use crate::units::Unit;

/// What a condition is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Respect {
    /// r/min.
    Speed,
    /// N.
    Load,
    /// °C.
    Temperature,
    /// s.
    Time,
}

/// A number or a range with its unit, in r/min, N, °C or s.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Stated {
    /// What it is about.
    pub(crate) respect: Respect,
    /// The number, or the lower end of a range.
    pub(crate) lo: f64,
    /// The number, or the upper end of a range.
    pub(crate) hi: f64,
    /// Half width written after `+/-`.
    pub(crate) tolerance: f64,
    /// What the writing leaves open: half a unit of the last digit written.
    pub(crate) rounding: f64,
}

/// Values within this part of each other are one value in another rounding (ours).
const ROUNDING_AT_MOST: f64 = 0.02;
/// Half width of "about 730 r/min" (ours).
const ABOUT: f64 = 0.05;

impl Stated {
    /// Whether this value is one that `condition` allows.
    pub(crate) fn meets(&self, condition: &Stated) -> bool {
        let most = ROUNDING_AT_MOST * self.lo.abs().max(self.hi.abs());
        let slack = condition.tolerance + self.rounding.min(most) + 1e-9 * most.max(1.0);
        self.lo >= condition.lo - slack && self.hi <= condition.hi + slack
    }

    /// The value in words: `60 °C`, `20 h`, `1200 r/min`.
    pub(crate) fn words(&self) -> String {
        let (factor, unit) = match self.respect {
            Respect::Speed => (1.0, "r/min"),
            Respect::Load if self.hi >= 1e4 => (1e3, "kN"),
            Respect::Load => (1.0, "N"),
            Respect::Temperature => (1.0, "°C"),
            Respect::Time if self.lo >= 3.0 * 3600.0 => (3600.0, "h"),
            Respect::Time if self.lo >= 120.0 => (60.0, "min"),
            Respect::Time => (1.0, "s"),
        };
        let number = |value: f64| format!("{}", (value / factor * 1e4).round() / 1e4);
        if self.lo == self.hi {
            format!("{} {unit}", number(self.lo))
        } else {
            format!("{} to {} {unit}", number(self.lo), number(self.hi))
        }
    }
}

/// All values in a text that carry a unit of speed, load, temperature or time. Numbers with other units, or with none,
/// are passed over; so are torques in N m.
pub(crate) fn stated(text: &str) -> Vec<Stated> {
    let tokens = tokens(text);
    let mut found = Vec::new();
    let mut at = 0;
    while at < tokens.len() {
        match value_at(&tokens, at) {
            Some((values, next)) => {
                found.extend(values);
                at = next;
            }
            None => at += 1,
        }
    }
    found
}

/// The values that start at a token, and the token after them.
///
/// `75 °C`, `18 to 35 °C`, `80 or 120 °C`, `1200 +/- 60 r/min`, `10 min +/- 15 s`, `200 N to 5000 N`.
fn value_at(tokens: &[Token], at: usize) -> Option<(Vec<Stated>, usize)> {
    let (first, half_digit) = number_at(tokens, at)?;
    let (first_unit, mut next) = match unit_at(tokens, at + 1) {
        Some((unit, next)) => (Some(unit), next),
        None => (None, at + 1),
    };
    let joint = joint_at(tokens, next);
    let second = joint.and_then(|_| number_at(tokens, next + 1));
    let second_unit = second.and_then(|_| unit_at(tokens, next + 2));
    let single = |unit: &ReadUnit, value: f64, half_digit: f64| unit.stated(value, value, half_digit);
    let mut values = match (joint, second, first_unit, second_unit) {
        (Some(joint), Some((second, second_half)), first_unit, Some((unit, after)))
            if first_unit
                .as_ref()
                .is_none_or(|first| first.respect == unit.respect) =>
        {
            next = after;
            let first_unit = first_unit.unwrap_or(unit);
            let one = single(&first_unit, first, half_digit);
            let other = single(&unit, second, second_half);
            joined(joint, one, other)
        }
        (_, _, Some(unit), _) => vec![single(&unit, first, half_digit)],
        _ => return None,
    };
    if about_before(tokens, at) {
        for value in &mut values {
            value.tolerance = value.tolerance.max(ABOUT * value.hi.abs());
        }
    }
    Some((values, next))
}

fn joined(joint: Joint, one: Stated, other: Stated) -> Vec<Stated> {
    match joint {
        Joint::PlusMinus => vec![Stated {
            tolerance: other.hi.abs(),
            ..one
        }],
        Joint::To if one.lo <= other.hi => vec![Stated {
            hi: other.hi,
            rounding: one.rounding.max(other.rounding),
            ..one
        }],
        _ => vec![one, other],
    }
}

#[derive(Clone, Copy, Debug, PartialEq)]
enum Joint {
    To,
    Or,
    PlusMinus,
}

fn joint_at(tokens: &[Token], at: usize) -> Option<Joint> {
    match tokens.get(at)? {
        Token::PlusMinus => Some(Joint::PlusMinus),
        Token::Dash => Some(Joint::To),
        Token::Word(word) if word == "to" => Some(Joint::To),
        Token::Word(word) if word == "or" || word == "and" => Some(Joint::Or),
        _ => None,
    }
}

fn number_at(tokens: &[Token], at: usize) -> Option<(f64, f64)> {
    match tokens.get(at)? {
        Token::Number { value, half_digit } => Some((*value, *half_digit)),
        _ => None,
    }
}

fn about_before(tokens: &[Token], at: usize) -> bool {
    let before = at.checked_sub(1).and_then(|before| tokens.get(before));
    matches!(before, Some(Token::Word(word)) if word == "about")
}

/// A unit with its factor to r/min, N, °C or s.
#[derive(Clone, Copy, Debug)]
struct ReadUnit {
    respect: Respect,
    factor: f64,
}

impl ReadUnit {
    fn stated(&self, lo: f64, hi: f64, half_digit: f64) -> Stated {
        Stated {
            respect: self.respect,
            lo: lo * self.factor,
            hi: hi * self.factor,
            tolerance: 0.0,
            rounding: half_digit * self.factor,
        }
    }
}

/// The unit that starts at a token, and the token after it.
fn unit_at(tokens: &[Token], at: usize) -> Option<(ReadUnit, usize)> {
    let Some(Token::Word(word)) = tokens.get(at) else {
        return None;
    };
    let (respect, factor) = match word.as_str() {
        "r/min" | "rpm" | "RPM" | "1/min" => (Respect::Speed, 1.0),
        "N" | "kN" | "kgf" | "lbf" => (Respect::Load, word.parse::<Unit>().ok()?.factor()),
        "°C" | "C" | "degC" => (Respect::Temperature, 1.0),
        "s" | "sec" | "seconds" => (Respect::Time, 1.0),
        "min" | "minutes" => (Respect::Time, Unit::Minute.factor()),
        "h" | "hours" => (Respect::Time, Unit::Hour.factor()),
        _ => return None,
    };
    let torque = respect == Respect::Load
        && matches!(tokens.get(at + 1), Some(Token::Word(next)) if next == "m" || next == "mm");
    (!torque).then_some((ReadUnit { respect, factor }, at + 1))
}

/// A piece of a text.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Token {
    /// A number as written, with half a unit of its last digit.
    Number { value: f64, half_digit: f64 },
    /// A word or a unit.
    Word(String),
    /// `+/-`.
    PlusMinus,
    /// A dash between two values.
    Dash,
    /// Anything else: `;`, `,`, a bracket.
    Break,
}

/// The pieces of a text, in order.
pub(super) fn tokens(text: &str) -> Vec<Token> {
    let characters: Vec<char> = text.chars().collect();
    let mut tokens = Vec::new();
    let mut at = 0;
    while at < characters.len() {
        let rest = &characters[at..];
        let (token, length) = match rest {
            ['+', '/', '-' | '−', ..] => (Some(Token::PlusMinus), 3),
            ['±', ..] => (Some(Token::PlusMinus), 1),
            ['-' | '−', digit, ..] if digit.is_ascii_digit() && !after_value(&characters, at) => {
                number(&rest[1..], -1.0, 1)
            }
            ['-' | '−' | '–', ..] => (Some(Token::Dash), 1),
            [digit, ..] if digit.is_ascii_digit() => number(rest, 1.0, 0),
            [letter, ..] if is_of_word(*letter) => word(rest),
            [space, ..] if space.is_whitespace() => (None, 1),
            _ => (Some(Token::Break), 1),
        };
        tokens.extend(token);
        at += length;
    }
    tokens
}

/// Whether a dash stands between two values rather than before a negative one.
fn after_value(characters: &[char], at: usize) -> bool {
    let before = characters[..at].iter().rev().find(|c| !c.is_whitespace());
    before.is_some_and(|c| c.is_alphanumeric() || *c == '°')
}

fn is_of_word(character: char) -> bool {
    character.is_alphabetic() || matches!(character, '°' | '/' | '·' | '²' | '³' | '%')
}

fn word(rest: &[char]) -> (Option<Token>, usize) {
    let length = rest
        .iter()
        .take_while(|c| is_of_word(**c) || c.is_ascii_digit())
        .count();
    (Some(Token::Word(rest[..length].iter().collect())), length)
}

/// Digits with a decimal point or comma; `21 700` and `1,200` are thousands.
fn number(rest: &[char], sign: f64, before: usize) -> (Option<Token>, usize) {
    let digits = |from: usize| rest[from..].iter().take_while(|c| c.is_ascii_digit()).count();
    let mut written = String::new();
    let mut at = digits(0);
    written.extend(&rest[..at]);
    while at <= 6 && matches!(rest.get(at), Some(' ' | ',' | '\u{a0}')) && digits(at + 1) == 3 {
        written.extend(&rest[at + 1..at + 4]);
        at += 4;
    }
    let mut decimals = 0;
    if matches!(rest.get(at), Some('.' | ',')) && digits(at + 1) > 0 {
        decimals = digits(at + 1);
        written.push('.');
        written.extend(&rest[at + 1..=at + decimals]);
        at += 1 + decimals;
    }
    let token = written.parse::<f64>().ok().map(|value| Token::Number {
        value: sign * value,
        half_digit: 0.5 * 0.1f64.powi(decimals as i32),
    });
    (token, before + at)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn values(text: &str) -> Vec<(Respect, f64, f64, f64)> {
        let stated = stated(text);
        stated
            .iter()
            .map(|s| (s.respect, s.lo, s.hi, s.tolerance))
            .collect()
    }

    #[test]
    fn a_tolerance_a_range_and_a_choice_are_read_as_such() {
        assert_eq!(
            values("1200 +/- 60 r/min"),
            vec![(Respect::Speed, 1200.0, 1200.0, 60.0)]
        );
        assert_eq!(
            values("18 to 35 °C at the start, then not controlled"),
            vec![(Respect::Temperature, 18.0, 35.0, 0.0)]
        );
        assert_eq!(
            values("80 or 120 °C"),
            vec![
                (Respect::Temperature, 80.0, 80.0, 0.0),
                (Respect::Temperature, 120.0, 120.0, 0.0)
            ]
        );
        assert_eq!(
            values("10 min +/- 15 s per load after 30 s of running in"),
            vec![
                (Respect::Time, 600.0, 600.0, 15.0),
                (Respect::Time, 30.0, 30.0, 0.0)
            ]
        );
        assert_eq!(
            values("steps of 200 N to 5000 N, then of 500 N"),
            vec![
                (Respect::Load, 200.0, 5000.0, 0.0),
                (Respect::Load, 500.0, 500.0, 0.0)
            ]
        );
    }

    #[test]
    fn results_are_read_as_laboratories_write_them() {
        let found = values("392 N; 1200 rpm; 75 C; 60 min");
        let expected = [
            (Respect::Load, 392.0),
            (Respect::Speed, 1200.0),
            (Respect::Temperature, 75.0),
            (Respect::Time, 3600.0),
        ];
        assert_eq!(found.len(), 4);
        for ((respect, lo, ..), expected) in found.iter().zip(expected) {
            assert_eq!((*respect, *lo), expected);
        }
        assert_eq!(values("-20 C; 7,5 rpm")[0].1, -20.0);
        assert_eq!(values("-20 C; 7,5 rpm")[1].1, 7.5);
        // 40 times the standard acceleration of gravity, CGPM 1901
        assert!((values("40kgf")[0].1 - 392.266).abs() < 1e-9);
        assert_eq!(values("18-22 C"), vec![(Respect::Temperature, 18.0, 22.0, 0.0)]);
    }

    #[test]
    fn torques_stages_other_units_and_bare_numbers_are_passed_over() {
        let texts = [
            "stage 10 of the 0.50 m arm, 372.6 N m on the pinion",
            "type A gears; 8.3 m/s; SRR 1.6; 450 MPa",
            "+/-6 deg; sea-water mist; 2 % sea water added",
            "30 Hz; 1.0 mm",
            "30 lb on the pan",
            "16/24 teeth, HRC 64 to 66",
            "",
        ];
        for text in texts {
            assert_eq!(values(text), Vec::new(), "{text}");
        }
        assert_eq!(
            values("7.5 min or 21 700 motor revolutions per stage"),
            vec![(Respect::Time, 450.0, 450.0, 0.0)]
        );
        assert_eq!(
            values("at most 10 000 h"),
            vec![(Respect::Time, 3.6e7, 3.6e7, 0.0)]
        );
    }

    #[test]
    fn a_value_meets_a_condition_within_its_tolerance_or_its_own_rounding() {
        let meets = |value: &str, condition: &str| stated(value)[0].meets(&stated(condition)[0]);
        assert!(meets("1250 rpm", "1200 +/- 60 r/min"));
        assert!(!meets("1300 rpm", "1200 +/- 60 r/min"));
        assert!(meets("38 C", "37.8 °C"));
        assert!(!meets("40 C", "37.8 °C"));
        assert!(meets("120 min", "2 h") && meets("2 h", "120 min"));
        assert!(!meets("2 h", "110 min"));
        assert!(meets("18 to 22 C", "18 to 35 °C") && !meets("30 to 40 C", "18 to 35 °C"));
        assert!(meets("725 rpm", "pinion about 730 r/min") && !meets("800 rpm", "about 730 r/min"));
    }

    #[test]
    fn the_rounding_of_a_value_counts_up_to_2_per_cent_of_it_and_about_means_5() {
        let meets = |value: &str, condition: &str| stated(value)[0].meets(&stated(condition)[0]);
        // half a digit of 10 °C would be 0.5 K
        assert!(meets("10 C", "10.19 °C") && meets("10 C", "10.2 °C") && !meets("10 C", "10.21 °C"));
        for (value, is_about) in [
            ("949.99 rpm", false),
            ("950.00 rpm", true),
            ("950.01 rpm", true),
            ("1049.99 rpm", true),
            ("1050.00 rpm", true),
            ("1050.01 rpm", false),
        ] {
            assert_eq!(meets(value, "about 1000 r/min"), is_about, "{value}");
        }
    }

    #[test]
    fn a_value_is_said_in_the_unit_that_suits_it() {
        let words = |text: &str| stated(text)[0].words();
        assert_eq!(words("60 C"), "60 °C");
        assert_eq!(words("20 h"), "20 h");
        assert_eq!(words("60 min"), "60 min");
        assert_eq!(words("10 s"), "10 s");
        assert_eq!(words("80 kN"), "80 kN");
        assert_eq!(words("18 to 22 C"), "18 to 22 °C");
        for (just_below, on_it, just_above) in [
            (("119 s", "119 s"), ("120 s", "2 min"), ("123 s", "2.05 min")),
            (("179 min", "179 min"), ("180 min", "3 h"), ("183 min", "3.05 h")),
            (
                ("9990 N", "9990 N"),
                ("10000 N", "10 kN"),
                ("10010 N", "10.01 kN"),
            ),
        ] {
            for (written, said) in [just_below, on_it, just_above] {
                assert_eq!(words(written), said);
            }
        }
    }
}
