//! Another oil's number that somebody quotes beside a test: what can, and what cannot, be concluded from it.
//!
//! It is read as intake reads a result, laid beside what was run here by the reproducibility R, and kept nowhere. A number
//! by another standard is laid beside nothing: its page says how the two procedures differ.

mod beside;
mod clauses;
mod differences;
mod duration;
mod elsewhere;
mod loose;
mod read;

use crate::catalogue::{Bounds, Method, Quantity};
use crate::explain::view::Choosable;
use crate::explain::{AskFault, Case};
use serde::Serialize;

pub use beside::{QuotedBeside, ToldByR};
pub use differences::QuotedDifference;
use elsewhere::QuotedElsewhere;

/// A number as it was typed; nothing of it is kept.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct QuotedAsk {
    /// `400 kgf`, `>12`, `0.45 mm`.
    pub value: String,
    /// The unit, where the value names none.
    pub unit: String,
    /// The id of a method, `other` for a standard that is not known here, empty for the test's own.
    pub standard: String,
    /// The oil's name as said; may be empty.
    pub oil: String,
}

/// What the form offers.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct QuotedChoices {
    /// Standards that measure the same quantity, the test's own first, and one for a standard that is not known here.
    pub standards: Vec<Choosable>,
    /// Units that convert into the test's own, which stands first.
    pub units: Vec<Choosable>,
}

/// A quoted number, and what it says.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Quoted {
    /// As it was typed.
    pub asked: QuotedAsk,
    /// What cannot be used of it; then nothing is said.
    pub faults: Vec<AskFault>,
    /// Where its value cannot be one of this test: the tests of the trial of which it can be one.
    pub elsewhere: Vec<QuotedElsewhere>,
    /// What it says.
    pub said: Option<QuotedAnswer>,
}

/// The kind of answer to a quoted number.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, strum::IntoStaticStr)]
#[serde(rename_all = "snake_case")]
#[strum(serialize_all = "snake_case")]
pub enum QuotedVerdict {
    /// It differs by more than R from something that was run here.
    ToldApart,
    /// It differs from nothing that was run here by more than R.
    NotToldApart,
    /// It is a bound, and what lies beyond it decides.
    LeftOpen,
    /// The scatter is not known, or nothing was run that it could be laid beside.
    NotJudged,
    /// Another standard: no verdict is given.
    NotComparable,
}

impl QuotedVerdict {
    /// Its word, as in JSON.
    pub fn word(self) -> &'static str {
        self.into()
    }
}

/// Where a number lies on the test's strip, as positions; a missing end is open.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct QuotedPlace {
    /// The lower end.
    pub lo: Option<f64>,
    /// The upper end.
    pub hi: Option<f64>,
}

/// What a quoted number says.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct QuotedAnswer {
    /// The oil as said, or `the other oil`.
    pub oil: String,
    /// The number as it was read: `400 kgf`, `above stage 12`.
    pub number: String,
    /// The standard by which it is quoted.
    pub standard: String,
    /// Whether that is another than the test's.
    #[serde(skip)]
    pub is_other_standard: bool,
    /// Whether nothing is known of it here.
    #[serde(skip)]
    pub is_unknown_standard: bool,
    /// How it was read where it could be read otherwise.
    pub read_as: Vec<String>,
    /// The kind of answer.
    pub verdict: QuotedVerdict,
    /// The answer.
    pub answer: String,
    /// Its clauses, in order.
    pub conclusion: Vec<String>,
    /// Where it lies on the strip; `None` by another standard, and where the test has no strip.
    pub place: Option<QuotedPlace>,
    /// It beside what was run here, reference oils first; empty by another standard.
    pub beside: Vec<QuotedBeside>,
    /// How the two procedures differ; empty by the same standard, and where the other is not known.
    pub differences: Vec<QuotedDifference>,
}

/// What the form offers beside a test.
pub(crate) fn choices(case: &Case<'_>, asked: Option<&QuotedAsk>) -> QuotedChoices {
    QuotedChoices {
        standards: read::standards(case, asked.map_or("", |asked| asked.standard.as_str())),
        units: read::units(
            case.quantity,
            asked.map_or("", |asked| asked.unit.as_str()),
            case.shown,
        ),
    }
}

/// Whether a number with its unit is one that a quantity usually reads.
pub(crate) fn is_usual(text: &str, (method, quantity): (&Method, &Quantity)) -> bool {
    let loose = loose::loosened(text, quantity);
    let read = read::value(
        &loose.text,
        quantity.unit.word(),
        Bounds::of(method, quantity, ""),
    );
    read.is_ok_and(|(reading, _)| reading.unusual.is_none())
}

/// What a quoted number says of a test.
pub(crate) fn answer(case: &Case<'_>, asked: &QuotedAsk) -> Quoted {
    match read::read(case, asked) {
        Ok(quoted) => Quoted {
            asked: asked.clone(),
            faults: Vec::new(),
            elsewhere: Vec::new(),
            said: Some(said(case, &quoted)),
        },
        Err(faults) => Quoted {
            asked: asked.clone(),
            elsewhere: elsewhere::elsewhere(case, asked, &faults),
            faults,
            said: None,
        },
    }
}

fn said(case: &Case<'_>, quoted: &read::QuotedValue<'_>) -> QuotedAnswer {
    let beside = match quoted.standard {
        read::Standard::This => beside::beside(case, quoted),
        _ => Vec::new(),
    };
    let differences = match quoted.standard {
        read::Standard::Known(method, quantity) => {
            differences::differences((case.method, case.quantity), (method, quantity), case.shown)
        }
        _ => Vec::new(),
    };
    let verdict = verdict(quoted, &beside);
    QuotedAnswer {
        oil: quoted.oil.clone(),
        number: quoted.words(),
        standard: quoted.standard_words(case),
        is_other_standard: quoted.standard != read::Standard::This,
        is_unknown_standard: quoted.standard == read::Standard::Unknown,
        read_as: quoted.remarks.clone(),
        verdict,
        answer: clauses::answer(case, verdict, &beside),
        conclusion: clauses::clauses(case, quoted, &beside, &differences),
        place: beside::place(case, quoted),
        beside,
        differences,
    }
}

fn verdict(quoted: &read::QuotedValue<'_>, beside: &[QuotedBeside]) -> QuotedVerdict {
    let any = |wanted: &[ToldByR]| beside.iter().any(|row| wanted.contains(&row.verdict));
    if quoted.standard != read::Standard::This {
        QuotedVerdict::NotComparable
    } else if any(&[ToldByR::Better, ToldByR::Worse]) {
        QuotedVerdict::ToldApart
    } else if any(&[ToldByR::LeftOpen]) {
        QuotedVerdict::LeftOpen
    } else if any(&[ToldByR::Level, ToldByR::BothBeyond]) {
        QuotedVerdict::NotToldApart
    } else {
        QuotedVerdict::NotJudged
    }
}
