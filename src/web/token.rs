//! The token that every form carries: a page from elsewhere cannot know it, so that it cannot post in a reader's name.
//!
//! It is drawn anew each time the program starts.

use std::sync::LazyLock;

static TOKEN: LazyLock<String> = LazyLock::new(random_key);

/// A text that nobody can guess: 64 hexadecimal digits from the system's source of randomness.
pub(crate) fn random_key() -> String {
    let mut bytes = [0_u8; 32];
    getrandom::fill(&mut bytes).expect("a system on which this program runs has a source of randomness");
    bytes.iter().map(|byte| format!("{byte:02x}")).collect()
}

/// The token of this run of the program.
pub(crate) fn token() -> &'static str {
    &TOKEN
}

/// Whether a form carries it. The time this takes does not depend on where two tokens differ.
pub(crate) fn is_ours(given: &str) -> bool {
    let (given, ours) = (given.as_bytes(), TOKEN.as_bytes());
    let differing = given
        .iter()
        .zip(ours)
        .fold(0, |differing, (a, b)| differing | (a ^ b));
    given.len() == ours.len() && std::hint::black_box(differing) == 0
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_the_whole_token_is_ours() {
        assert!(is_ours(token()) && token().len() == 64);
        assert!(!is_ours("") && !is_ours(&token()[1..]) && !is_ours(&"0".repeat(64)));
    }
}
