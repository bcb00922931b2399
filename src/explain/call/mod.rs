//! What is said on the telephone to somebody who names one number: a first word, why the test is not the machine, sixty
//! words to read aloud, what to ask for instead, and a case of our own.

mod asked_for;
mod counter;
mod first;
mod spoken;

use crate::explain::resembling::Witness;
use crate::explain::{Case, Ladder, Quoted, Verdict};
use serde::Serialize;

pub use asked_for::AskedFor;
pub use counter::Counter;
#[cfg(feature = "facade")]
pub use counter::CounterRow;
pub use first::FirstWord;
#[cfg(feature = "facade")]
pub use spoken::MOST_WORDS;

/// How many departures of the test from the machine stand in sight.
pub(crate) const LADDERS_SHOWN: usize = 3;

/// What is said on the telephone.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Call {
    /// The question in words.
    pub question: String,
    /// The kind of answer.
    pub first: FirstWord,
    /// The first word, or the first words.
    pub word: &'static str,
    /// What follows it.
    pub because: String,
    /// Why the test is not the machine, in one sentence.
    pub unlike: String,
    /// At most sixty words to read aloud.
    pub say: String,
    /// The terms in which the test departs most from the machine contact, the greatest first.
    pub departures: Vec<&'static str>,
    /// The tests that resemble the machine contact, the most alike first.
    pub ask_for: Vec<AskedFor>,
    /// Failure modes that matter and that no test here scores.
    pub untested: Vec<String>,
    /// The same as a request to send.
    pub request: String,
    /// An oil of the trial that reads as well and does worse where the machine is resembled.
    pub counter: Option<Counter>,
    /// The codes that stand on the page, in words.
    pub codes: Vec<(String, &'static str)>,
}

/// What the parts of a call are made from.
pub(crate) struct Calling<'a, 'b> {
    pub(crate) case: &'b Case<'a>,
    pub(crate) witnesses: &'b [Witness<'a>],
    /// The machine contact that was chosen.
    pub(crate) contact: Option<&'b str>,
    pub(crate) ladders: &'b [Ladder],
    pub(crate) quoted: Option<&'b Quoted>,
    /// What is asked of the candidate's own number where none is quoted.
    pub(crate) heading: &'b str,
    pub(crate) verdict: Verdict,
    pub(crate) answer: &'b str,
}

/// What is said of a test, and of a number that is quoted beside it.
pub(crate) fn call(calling: &Calling<'_, '_>) -> Call {
    let case = calling.case;
    let departures = departures(calling.ladders);
    let opening = first::opening(calling);
    let ask_for = asked_for::asked_for(case, calling.witnesses, calling.contact);
    let untested = asked_for::untested(case);
    let counter = counter::counter(case, calling.witnesses);
    let unlike = spoken::unlike(calling, &departures, opening.first);
    let say = spoken::say(calling, &opening, &departures, counter.as_ref(), &ask_for);
    Call {
        request: asked_for::request(case, &ask_for, &untested),
        codes: codes(case, counter.as_ref()),
        question: opening.question,
        first: opening.first,
        word: opening.word,
        because: opening.because,
        unlike,
        say,
        departures: departures.iter().map(|ladder| ladder.term).collect(),
        ask_for,
        untested,
        counter,
    }
}

/// The terms that take most off the resemblance, the greatest first.
fn departures(ladders: &[Ladder]) -> Vec<&Ladder> {
    let taken = |ladder: &Ladder| {
        let alike = ladder.similarity.unwrap_or(1.0).max(1e-6);
        ladder.importance * -alike.ln()
    };
    let mut apart: Vec<&Ladder> = ladders.iter().filter(|ladder| taken(ladder) > 1e-9).collect();
    apart.sort_by(|a, b| taken(b).total_cmp(&taken(a)));
    apart.truncate(LADDERS_SHOWN);
    apart
}

/// The blends of the page and who they are; nothing of what is in them.
fn codes(case: &Case<'_>, counter: Option<&Counter>) -> Vec<(String, &'static str)> {
    let mut codes = vec![(case.blend.to_string(), "a candidate of ours")];
    if let Some(counter) = counter.filter(|counter| counter.blend != case.blend.as_str()) {
        codes.push((counter.blend.clone(), "another candidate of ours"));
    }
    let levels = [
        (crate::records::Level::KnownGood, "reference oil known to be good"),
        (crate::records::Level::KnownPoor, "reference oil known to be poor"),
    ];
    let references = levels
        .into_iter()
        .filter_map(|(level, words)| Some((case.reference(case.test, level)?.to_string(), words)));
    codes.extend(references);
    codes
}
