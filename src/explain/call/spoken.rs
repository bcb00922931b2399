//! What is read aloud: sentences of which each is true by itself, as many as sixty words hold.

use crate::explain::call::first::{FirstWord, Opening};
use crate::explain::call::{AskedFor, Calling, Counter};
use crate::explain::resembling::RESEMBLES;
use crate::explain::words::{and, inside, position};
use crate::explain::{Case, Ladder, Quoted};

/// Most words to read aloud (ours: a person speaks about two a second and a half).
pub const MOST_WORDS: usize = 60;

/// Why the test is not the machine; or that it resembles it.
pub(super) fn unlike(calling: &Calling<'_, '_>, departures: &[&Ladder], first: FirstWord) -> String {
    let case = calling.case;
    let machine = &case.records.machine.kind;
    if !case.method.has_contact() {
        return format!("Nothing rubs in this test: it says nothing about wear in this {machine}.");
    }
    let Some((contact, alike, relevance)) = chosen(calling) else {
        return format!("How closely the test resembles this {machine} is not known.");
    };
    let joint = if first == FirstWord::Yes { "But" } else { "Nor" };
    let value = position(alike, case.shown);
    if alike < RESEMBLES {
        let verb = if joint == "But" {
            "the test is not"
        } else {
            "is the test"
        };
        return format!(
            "{joint} {verb} like the {contact} of this {machine} ({value}; 1 is alike): it {}.",
            and(&gaps(case, departures))
        );
    }
    if relevance <= 0.0 {
        return format!(
            "The test resembles the {contact} of this {machine} ({value}; 1 is alike), but scores nothing that fails there."
        );
    }
    format!(
        "The test resembles the {contact} of this {machine} ({value}; 1 is alike): there its differences count."
    )
}

/// The chosen contact, how closely the test resembles it, and how much what it scores matters there.
fn chosen<'a>(calling: &Calling<'a, '_>) -> Option<(&'a str, f64, f64)> {
    let wanted = calling.contact?;
    let mut contacts = calling.case.test.contacts.iter();
    let found = contacts.find(|contact| contact.contact == wanted)?;
    Some((&found.contact, found.resemblance.value?, found.relevance))
}

/// What the test does that the machine does not, temperature and sliding first: `runs 393 K hotter than the machine's
/// hottest`. A pressure is one at first touch, since a worn scar carries less.
fn gaps(case: &Case<'_>, departures: &[&Ladder]) -> Vec<String> {
    let order = |ladder: &&&Ladder| match ladder.term {
        "contact_temperature" => 0,
        "sliding" => 1,
        "pressure" => 2,
        _ => 3,
    };
    let mut sorted: Vec<&&Ladder> = departures.iter().collect();
    sorted.sort_by_key(order);
    sorted
        .into_iter()
        .map(|ladder| case.prose(&gap(ladder)))
        .collect()
}

/// A gap as a verb of which the test is the subject.
fn gap(ladder: &Ladder) -> String {
    use crate::explain::LadderSide::{Range, Word};
    let size = |end: &str| ladder.gap.strip_suffix(end).map(str::to_string);
    let said = match (ladder.term, &ladder.test, &ladder.machine) {
        ("motion", Word(test), Word(machine)) => Some(format!("moves {test}, the machine {machine}")),
        ("materials", Word(test), Word(machine)) => Some(format!("rubs {test}, the machine {machine}")),
        ("shape", Range(_, test), Range(_, machine)) if touch(*test) != touch(*machine) => Some(format!(
            "touches in {}, the machine in {}",
            touch(*test),
            touch(*machine)
        )),
        ("contact_temperature", ..) => size(" above the hottest in the machine")
            .map(|size| format!("runs {size} hotter than the machine's hottest"))
            .or_else(|| {
                let size = size(" below the coldest in the machine")?;
                Some(format!("runs {size} colder than the machine's coldest"))
            }),
        ("sliding", ..) => size(" the fastest in the machine").map(|size| format!("slides {size} as fast")),
        ("pressure", ..) => {
            size(" the highest in the machine").map(|size| format!("presses {size} as hard at first touch"))
        }
        _ => None,
    };
    said.unwrap_or_else(|| match (&ladder.test, &ladder.machine) {
        (Word(test), Word(machine)) => {
            format!("has {test} for {}, the machine {machine}", inside(ladder.label))
        }
        _ => format!("differs in {} ({})", inside(ladder.label), ladder.gap),
    })
}

/// How bodies touch, by the longer side of the area over the shorter.
fn touch(longest: f64) -> &'static str {
    match longest {
        long if long < 3.0 => "a spot",
        long if long < 30.0 => "an ellipse",
        _ => "a line",
    }
}

/// At most [`MOST_WORDS`] words: the pair, the greatest departures, the case of our own, what to send instead. What does
/// not fit is left out whole, the case first.
pub(super) fn say(
    calling: &Calling<'_, '_>,
    opening: &Opening,
    departures: &[&Ladder],
    counter: Option<&Counter>,
    ask_for: &[AskedFor],
) -> String {
    let pair = match calling.quoted {
        Some(quoted) if quoted.said.is_none() => return asked_back(quoted),
        Some(_) => opening.because.clone(),
        None => format!("{} {}", opening.word, opening.because).trim().to_string(),
    };
    let far = (is_unlike(calling) && !departures.is_empty()).then(|| {
        format!(
            "The test {}.",
            and(&gaps(calling.case, &departures[..departures.len().min(2)]))
        )
    });
    let case = counter.map(|counter| counter.sentence.clone());
    let send = |most: usize| {
        let wanted = ask_for
            .iter()
            .filter(|test| test.method != calling.case.test.key.method);
        let mut names: Vec<String> = wanted.map(AskedFor::spoken).collect();
        names.dedup();
        names.truncate(most);
        (!names.is_empty()).then(|| format!("Please send {} results.", and(&names)))
    };
    let tries = [
        [Some(pair.clone()), far.clone(), case.clone(), send(2)],
        [Some(pair.clone()), far.clone(), case, send(1)],
        [Some(pair.clone()), far.clone(), None, send(2)],
        [Some(pair.clone()), far.clone(), None, send(1)],
        [Some(pair.clone()), None, None, send(1)],
        [Some(pair.clone()), far, None, None],
        [Some(pair), None, None, None],
    ];
    let texts = tries.into_iter().map(|parts| {
        let said: Vec<String> = parts
            .into_iter()
            .flatten()
            .filter(|part| !part.is_empty())
            .collect();
        said.join(" ")
    });
    let fits = |text: &String| count(text) <= MOST_WORDS;
    let mut all: Vec<String> = texts.collect();
    let last = all.pop().unwrap_or_default();
    all.into_iter().find(fits).unwrap_or_else(|| held(&last))
}

/// What to ask whose number could not be read.
fn asked_back(quoted: &Quoted) -> String {
    let again = "Please read me the number again, with its unit and its standard.";
    match quoted.elsewhere.first() {
        Some(other) => format!("{}. {again}", other.question),
        None => again.to_string(),
    }
}

fn is_unlike(calling: &Calling<'_, '_>) -> bool {
    calling.case.method.has_contact() && chosen(calling).is_some_and(|(_, alike, _)| alike < RESEMBLES)
}

/// Words as they are counted: what blanks part.
fn count(text: &str) -> usize {
    text.split_whitespace().count()
}

/// The sentences of a text that fit.
fn held(text: &str) -> String {
    let mut kept = String::new();
    for sentence in text.split_inclusive(". ") {
        if count(&kept) + count(sentence) > MOST_WORDS {
            break;
        }
        kept.push_str(sentence);
    }
    kept.trim_end().to_string()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sixty_words_are_held_and_one_more_is_not() {
        let words = |number: usize| vec!["word"; number - 1].join(" ") + " end.";
        for number in [59, 60] {
            assert_eq!(held(&words(number)), words(number));
        }
        assert_eq!(held(&words(61)), "");
        let two = format!("{} {}", words(30), words(31));
        assert_eq!(held(&two), words(30));
        let both = format!("{} {}", words(30), words(30));
        assert_eq!(held(&both), both);
    }
}
