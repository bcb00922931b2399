//! The first word of an answer, for the very pair that is asked about.

use crate::explain::call::Calling;
use crate::explain::conclusion::not_sorting;
use crate::explain::quoted::{Quoted, QuotedAnswer, QuotedBeside, ToldByR};
use crate::explain::reading::Number;
use crate::explain::rivals::{front_is_better, gate, in_front};
use crate::explain::ruler::limit;
use crate::explain::words::inside;
use crate::explain::{Case, Verdict};
use crate::intake::shown;
use serde::Serialize;

/// The kind of an answer's first word.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, strum::IntoStaticStr)]
#[serde(rename_all = "snake_case")]
#[strum(serialize_all = "snake_case")]
pub enum FirstWord {
    /// Told apart, and better.
    Yes,
    /// Not told apart, or worse.
    No,
    /// Nothing can be laid beside it.
    CannotBeCompared,
    /// One number does not settle it.
    Open,
}

impl FirstWord {
    /// Its word, as in JSON.
    pub fn word(self) -> &'static str {
        self.into()
    }
}

/// The question and the first sentence of its answer.
pub(super) struct Opening {
    pub(super) question: String,
    pub(super) first: FirstWord,
    pub(super) word: &'static str,
    pub(super) because: String,
}

/// How the two numbers of a pair lie to each other, as the ladder or the test's R has it.
pub(super) fn opening(calling: &Calling<'_, '_>) -> Opening {
    match calling.quoted {
        None => of_own(calling),
        Some(quoted) => match &quoted.said {
            Some(said) => of_pair(calling.case, said),
            None => of_unread(calling.case, quoted),
        },
    }
}

/// What is said of a number that cannot be one of this test, or cannot be read.
fn of_unread(case: &Case<'_>, quoted: &Quoted) -> Opening {
    let faults: Vec<&str> = quoted.faults.iter().map(|fault| fault.problem.as_str()).collect();
    let value = quoted.asked.value.trim();
    Opening {
        question: format!("Is '{}' better than our {}?", shown(value), case.blend),
        first: FirstWord::CannotBeCompared,
        word: "Cannot be read.",
        because: format!("'{}': {}.", shown(value), faults.join("; ")),
    }
}

fn of_pair(case: &Case<'_>, said: &QuotedAnswer) -> Opening {
    let own = case
        .number_of(case.blend)
        .filter(|number| !number.from_data_sheet);
    let blend = case.blend;
    let what = inside(&case.test.label);
    let number = &said.number;
    let question = match &own {
        Some(own) => format!("Is {number} better than our {blend} at {}?", case.words_of(own)),
        None => format!("Is {number} better than our {blend}?"),
    };
    let (first, because) = because(case, said, own.as_ref(), &what);
    let word = match first {
        FirstWord::Yes => "Yes.",
        FirstWord::No => "No.",
        FirstWord::CannotBeCompared | FirstWord::Open => "Cannot be compared.",
    };
    Opening {
        question,
        first,
        word,
        because,
    }
}

fn because(case: &Case<'_>, said: &QuotedAnswer, own: Option<&Number>, what: &str) -> (FirstWord, String) {
    use FirstWord::{CannotBeCompared, No, Yes};
    let (number, blend) = (&said.number, case.blend);
    if said.is_other_standard {
        let theirs = if said.is_unknown_standard {
            "a standard that is not known here".to_string()
        } else {
            said.standard.clone()
        };
        return (
            CannotBeCompared,
            format!(
                "{number} is by {theirs}, our numbers by {}.",
                case.method.standard
            ),
        );
    }
    let Some(own) = own else {
        return (CannotBeCompared, format!("{blend} was not run in this test."));
    };
    let ours = case.words_of(own);
    let row = said.beside.iter().find(|row| row.blend == blend.as_str());
    let (Some(row), Some(limits)) = (row, limit(case.test, case.quantity)) else {
        return (
            CannotBeCompared,
            "How far results of this test scatter is not known.".to_string(),
        );
    };
    let far = limits.words(case.quantity, limits.reproducibility, case.shown);
    match row.verdict {
        ToldByR::Better => (
            Yes,
            format!(
                "{number} is {} better than our {ours}, more than two laboratories differ ({far}).",
                row.size
            ),
        ),
        ToldByR::Worse => (
            No,
            format!(
                "{number} is {} worse than our {ours}, more than two laboratories differ ({far}).",
                row.size
            ),
        ),
        ToldByR::Level => (No, level(row, number, &ours, what, &far)),
        ToldByR::BothBeyond => (
            No,
            format!("Both read {ours}: what lies there the test does not measure."),
        ),
        ToldByR::LeftOpen => (
            CannotBeCompared,
            format!("Of {number} and our {ours} one is only a bound, and leaves open which is better."),
        ),
    }
}

/// Two numbers that are not told apart: the same, neighbours of a ladder, or nearer than two laboratories.
fn level(row: &QuotedBeside, number: &str, ours: &str, what: &str, far: &str) -> String {
    let place = match row.steps.map(|steps| (steps.abs(), steps > 0.0)) {
        _ if number == ours => return format!("Both read {number}: the test sees no difference."),
        Some((one, above)) if (one - 1.0).abs() < 1e-9 => {
            let side = if above { "after" } else { "before" };
            let step = if what.contains("stage") {
                "stage"
            } else {
                "load step"
            };
            format!("{number} is the {step} {side} {ours}")
        }
        _ => {
            return format!("{number} and our {ours} differ by no more than two laboratories do ({far}).");
        }
    };
    format!("{place}, and this test cannot tell neighbours apart.")
}

/// What is said of a candidate's own number.
fn of_own(calling: &Calling<'_, '_>) -> Opening {
    let case = calling.case;
    let (first, word) = match calling.verdict {
        Verdict::Yes => (FirstWord::Yes, "Yes,"),
        Verdict::No => (FirstWord::No, "No."),
        Verdict::NotByItself => (FirstWord::Open, "Not by itself."),
        Verdict::CannotBeSaid => (FirstWord::CannotBeCompared, "This cannot be said."),
        Verdict::NotRun => (FirstWord::CannotBeCompared, "It was not run:"),
    };
    let rest = calling.answer.strip_prefix(word).unwrap_or_default();
    let why = match calling.verdict {
        Verdict::No => front_is_better(case, calling.witnesses)
            .or_else(|| gate(case).map(|_| format!("{} is rejected: it failed a requirement.", case.blend)))
            .or_else(|| not_sorting(case).map(|words| words.trim_start_matches("But ").to_string())),
        Verdict::NotByItself => in_front(case),
        _ => None,
    };
    let because = [
        rest.trim_start().to_string(),
        why.map(capital).unwrap_or_default(),
    ]
    .join(" ");
    Opening {
        question: calling.heading.to_string(),
        first,
        word,
        because: because.trim().to_string(),
    }
}

fn capital(words: String) -> String {
    let mut letters = words.chars();
    match letters.next() {
        Some(first) => first.to_uppercase().chain(letters).collect(),
        None => words,
    }
}
