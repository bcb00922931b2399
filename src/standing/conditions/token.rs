//! A text of conditions as numbers, words and the signs between them.

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
