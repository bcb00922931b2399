//! What somebody searches for, word by word: hyphens, spaces within codes and capitals do not matter, a beginning is
//! enough, and some words of the trade stand for each other.

use crate::prose::decisions::searched_as;
use crate::records::{DecisionKind, Word};
use std::sync::LazyLock;

/// Words of the trade that mean the same, one group a line (common practice, no source).
const SYNONYMS: &str = include_str!("synonyms.txt");
/// Most words that one term is written with.
const MOST_WORDS: usize = 4;
/// A term of so many letters or fewer is an abbreviation, which is found as a whole word only.
const ABBREVIATION: usize = 4;
/// Fewest letters on either side of a hyphen that somebody leaves out.
const FEWEST_BESIDE: usize = 3;
/// Fewest letters with which a word of decisions begins to be one.
const FEWEST_OF_KIND: usize = 4;

/// Words in a row.
#[derive(Clone, Debug, PartialEq, Eq)]
struct Phrase {
    words: Vec<String>,
    /// Whether its last word must be there whole.
    is_whole: bool,
}

/// One thing that is searched for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Term {
    /// Any of these finds it.
    phrases: Vec<Phrase>,
    /// The kind of decision that it names.
    pub(super) kind: Option<DecisionKind>,
}

impl Term {
    /// As the index is asked for it.
    pub(super) fn pattern(&self) -> String {
        let phrase = |phrase: &Phrase| {
            let end = if phrase.is_whole { "" } else { " *" };
            format!("\"{}\"{end}", phrase.words.join(" "))
        };
        let phrases: Vec<String> = self.phrases.iter().map(phrase).collect();
        phrases.join(" OR ")
    }

    /// Whether it stands in a text.
    pub(super) fn is_in(&self, text: &str) -> bool {
        let there = words_of(text);
        let stands = |phrase: &Phrase| {
            let last = phrase.words.len() - 1;
            there.windows(phrase.words.len()).any(|window| {
                window[..last] == phrase.words[..last]
                    && if phrase.is_whole {
                        window[last] == phrase.words[last]
                    } else {
                        window[last].starts_with(&phrase.words[last])
                    }
            })
        };
        self.phrases.iter().any(stands)
    }

    /// What one or more typed words ask for, where they are known together.
    fn known(words: &[Vec<String>]) -> Option<Self> {
        let typed = words.concat();
        let joined = typed.concat();
        let kind = kind(&joined);
        let group = GROUPS
            .iter()
            .find(|group| group.iter().any(|one| one.concat() == joined));
        if kind.is_none() && group.is_none() {
            return None;
        }
        let mut phrases = spellings(&typed);
        for one in group.into_iter().flatten() {
            phrases.extend(spellings(one));
        }
        Some(Self { phrases, kind })
    }
}

/// What is searched for with some words; marks without a letter or figure ask for nothing.
pub(super) fn terms(words: &str) -> Vec<Term> {
    let words: Vec<Vec<String>> = words.split_whitespace().map(words_of).collect();
    let words: Vec<Vec<String>> = words.into_iter().filter(|parts| !parts.is_empty()).collect();
    let mut terms = Vec::new();
    let mut rest = words.as_slice();
    while let Some(first) = rest.first() {
        let longest = rest.len().min(MOST_WORDS);
        let known = (1..=longest)
            .rev()
            .find_map(|taken| Some((taken, Term::known(&rest[..taken])?)));
        let (taken, term) = known.unwrap_or_else(|| {
            let phrases = spellings(first);
            (1, Term { phrases, kind: None })
        });
        terms.push(term);
        rest = &rest[taken..];
    }
    terms
}

/// Letters and figures of a text in lower case, cut at everything else.
pub(super) fn words_of(text: &str) -> Vec<String> {
    text.split(|c: char| !c.is_alphanumeric())
        .filter(|part| !part.is_empty())
        .map(str::to_lowercase)
        .collect()
}

/// The ways in which the same words may be written: as they are, as one word, cut between letters and figures, and one
/// word cut in two where a hyphen may have been left out.
fn spellings(words: &[String]) -> Vec<Phrase> {
    let joined = words.concat();
    let is_number = joined.chars().all(char::is_numeric);
    let mut ways = vec![words.to_vec()];
    if !is_number {
        ways.push(vec![joined.clone()]);
        ways.push(runs(&joined));
    }
    let letters: Vec<char> = joined.chars().collect();
    if words.len() == 1 && letters.iter().all(|c| c.is_alphabetic()) && letters.len() > ABBREVIATION {
        let cuts = FEWEST_BESIDE..=letters.len().saturating_sub(FEWEST_BESIDE);
        ways.extend(cuts.map(|at| vec![letters[..at].iter().collect(), letters[at..].iter().collect()]));
    }
    let is_whole = letters.iter().all(|c| c.is_alphabetic()) && is_abbreviation(&joined);
    let mut phrases: Vec<Phrase> = Vec::new();
    for words in ways {
        let phrase = Phrase { words, is_whole };
        if !phrases.contains(&phrase) {
            phrases.push(phrase);
        }
    }
    phrases
}

/// Whether a word is one of the list's abbreviations.
fn is_abbreviation(joined: &str) -> bool {
    let is_short = joined.chars().count() <= ABBREVIATION;
    is_short && GROUPS.iter().flatten().any(|one| one.concat() == joined)
}

/// A word cut between letters and figures: `t`, `03`.
fn runs(word: &str) -> Vec<String> {
    let mut runs: Vec<String> = Vec::new();
    for c in word.chars() {
        match runs.last_mut() {
            Some(run) if run.chars().all(|last| last.is_numeric() == c.is_numeric()) => run.push(c),
            _ => runs.push(c.to_string()),
        }
    }
    runs
}

fn kind(joined: &str) -> Option<DecisionKind> {
    let names = |kind: &&DecisionKind| {
        let mut words = searched_as(**kind).iter().map(|words| words_of(words).concat());
        words.any(|word| word == joined || joined.len() >= FEWEST_OF_KIND && word.starts_with(joined))
    };
    DecisionKind::LIST.iter().find(names).copied()
}

static GROUPS: LazyLock<Vec<Vec<Vec<String>>>> = LazyLock::new(|| {
    let group = |line: &str| line.split(';').map(words_of).collect();
    SYNONYMS.lines().map(group).collect()
});

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;

    fn finds(typed: &str, text: &str) -> bool {
        let terms = terms(typed);
        !terms.is_empty() && terms.iter().all(|term| term.is_in(text))
    }

    #[test]
    fn hyphens_spaces_within_a_code_and_capitals_do_not_matter() {
        for typed in ["T-03", "t03", "T 03", "t-03", "T03"] {
            assert!(finds(typed, "blend T-03 of the family"), "{typed}");
            assert!(typed.contains(' ') || finds(typed, "blend T03"), "{typed}");
            assert!(!finds(typed, "blend T-04"), "{typed}");
            assert!(!finds(typed, "blend T-30"), "{typed}");
        }
        assert!(finds("fourball", "the four-ball rig") && finds("four-ball", "a fourball rig"));
        assert!(finds("D-2783", "ASTM D2783") && finds("d2783", "ASTM D 2783"));
        assert!(!finds("2,5", "250 hours"), "a number is no code");
    }

    #[test]
    fn a_beginning_is_enough_and_an_abbreviation_is_a_whole_word() {
        assert!(finds("polyglyc", "a polyglycol"));
        assert!(!finds("lyglycol", "a polyglycol"));
        assert!(finds("EP", "a sulfur EP oil") && !finds("EP", "an epoxy coat"));
        assert!(finds("epo", "an epoxy coat"));
    }

    #[test]
    fn words_of_the_list_find_each_other_and_others_do_not() {
        for typed in ["PAG", "polyglycol", "polyalkylene glycol", "Polyalkylene-Glycol"] {
            for text in ["PAG base", "a polyglycol", "polyalkylene glycol, ashless"] {
                assert!(finds(typed, text), "{typed} in {text}");
            }
            assert!(!finds(typed, "a polyalphaolefin"), "{typed}");
        }
        assert!(finds("extreme pressure", "mineral EP gear oil"));
        assert!(finds("antiwear", "mild anti-wear") && finds("AW", "ashless antiwear"));
        assert!(!finds("extreme", "mineral EP gear oil"), "half a term is none");
    }

    #[test]
    fn words_of_decisions_name_their_kind_and_others_none() {
        for (typed, kind) in [
            ("dropped", Some(DecisionKind::Drop)),
            ("drop", Some(DecisionKind::Drop)),
            ("dro", None),
            ("hold", Some(DecisionKind::Hold)),
            ("scale up", Some(DecisionKind::ScaleUp)),
            ("scaled-up", Some(DecisionKind::ScaleUp)),
            ("iterate", Some(DecisionKind::Iterate)),
            ("no choice yet", Some(DecisionKind::NoChoiceYet)),
            ("droplets", None),
        ] {
            let found = terms(typed);
            assert_eq!(found.len(), 1, "{typed}");
            assert_eq!(found[0].kind, kind, "{typed}");
        }
    }

    #[test]
    fn each_word_of_the_list_stands_in_one_group_of_several() {
        let mut seen = BTreeSet::new();
        for group in GROUPS.iter() {
            assert!(group.len() > 1, "{group:?}");
            let spelt: BTreeSet<String> = group.iter().map(|one| one.concat()).collect();
            assert!(
                spelt
                    .iter()
                    .all(|one| !one.is_empty() && seen.insert(one.clone())),
                "{group:?}"
            );
        }
    }

    #[test]
    fn marks_alone_ask_for_nothing() {
        assert_eq!(terms(" - * ( \" "), []);
    }
}
