//! What is said of a quoted number: an answer, and clauses each of which stands only where a condition makes it true.

use crate::catalogue::{PlainNumber, Unusual};
use crate::explain::Case;
use crate::explain::conclusion::not_sorting;
use crate::explain::quoted::beside::{self, QuotedBeside, ToldByR};
use crate::explain::quoted::read::{QuotedValue, Standard};
use crate::explain::quoted::{QuotedDifference, QuotedVerdict};
use crate::explain::reading::{Bound, Number};
use crate::explain::resembling::nearest;
use crate::explain::ruler::limit;
use crate::explain::words::{and, position};
use crate::prose::faults::unusual;
use crate::prose::reasons::not_weighed;
use crate::prose::standing::per_cent;
use crate::standing::{Anchored, Strip};

/// The answer in a sentence; none promises anything.
pub(super) fn answer(case: &Case<'_>, verdict: QuotedVerdict, beside: &[QuotedBeside]) -> String {
    match verdict {
        QuotedVerdict::NotComparable => "These two numbers cannot be compared directly.".to_string(),
        QuotedVerdict::ToldApart => {
            "It differs from some of what was run here by more than results of two laboratories do."
                .to_string()
        }
        QuotedVerdict::NotToldApart => "It cannot be told apart from anything that was run here.".to_string(),
        QuotedVerdict::LeftOpen => {
            "It is only a bound, or stands beside one: nothing here can be told apart from it.".to_string()
        }
        QuotedVerdict::NotJudged if case.test.scatter.is_none() => {
            "Nothing can be concluded from it: how far results of this test scatter is not known here."
                .to_string()
        }
        QuotedVerdict::NotJudged if beside.is_empty() => {
            "Nothing can be concluded from it: nothing was run here that it could be laid beside.".to_string()
        }
        QuotedVerdict::NotJudged => "Nothing can be concluded from it.".to_string(),
    }
}

/// The clauses, in order.
pub(super) fn clauses(
    case: &Case<'_>,
    quoted: &QuotedValue<'_>,
    beside: &[QuotedBeside],
    differences: &[QuotedDifference],
) -> Vec<String> {
    let found = match quoted.standard {
        Standard::This => here(case, quoted, beside),
        Standard::Known(..) => vec![
            Some(of_another(case, quoted, differences)),
            unit_only(case, quoted),
        ],
        Standard::Unknown => vec![Some(of_an_unknown(case, quoted))],
    };
    found.into_iter().flatten().collect()
}

fn here(case: &Case<'_>, quoted: &QuotedValue<'_>, beside: &[QuotedBeside]) -> Vec<Option<String>> {
    let told = |wanted: ToldByR, words: &dyn Fn(&str) -> String| {
        let rows: Vec<&QuotedBeside> = beside.iter().filter(|row| row.verdict == wanted).collect();
        (!rows.is_empty()).then(|| words(&named(&rows)))
    };
    let limit = r_words(case);
    vec![
        on_the_strip(case, quoted),
        told(ToldByR::Better, &|who| {
            format!("By more than {limit} it reads better than {who}.")
        }),
        told(ToldByR::Worse, &|who| {
            format!("By more than {limit} it reads worse than {who}.")
        }),
        told(ToldByR::Level, &|who| {
            format!("Within {limit} it cannot be told apart from {who}.")
        }),
        told(ToldByR::BothBeyond, &|who| {
            format!(
                "Like {who} it lies beyond what the test measures: what lies there, nobody knows, so the two cannot be told apart."
            )
        }),
        told(ToldByR::LeftOpen, &|who| {
            format!("Beside {who} the bound leaves it open which is better.")
        }),
        other_laboratory(case, beside),
        r_is_taken(case, beside),
        no_reference(case),
        off_the_ladder(case, quoted),
        not_usual(case, quoted),
        bare_last_step(case, quoted),
        not_sorting(case),
        weight(case),
        Some(format!(
            "{} is one number of unknown provenance: who ran it, how often and on which batch is not known here, and no reference oil was run beside it.",
            quoted.words()
        )),
    ]
}

/// `the known good GOOD (250 kgf; 2 load steps), candidates A, B and C, and the control fluid SUGAR (80 kgf; 7 load steps)`.
fn named(rows: &[&QuotedBeside]) -> String {
    let one = |row: &&QuotedBeside| {
        let size = if row.size.is_empty() {
            String::new()
        } else {
            format!("; {}", row.size)
        };
        let role = match row.role {
            "candidate" => "candidate".to_string(),
            role => format!("the {role}"),
        };
        format!("{role} {} ({}{size})", row.blend, row.number)
    };
    let (candidates, others): (Vec<&QuotedBeside>, Vec<&QuotedBeside>) =
        rows.iter().copied().partition(|row| row.role == "candidate");
    if candidates.len() < 2 {
        return and(&rows.iter().map(one).collect::<Vec<_>>());
    }
    let codes: Vec<String> = candidates.iter().map(|row| row.blend.clone()).collect();
    let (control, references): (Vec<&QuotedBeside>, Vec<&QuotedBeside>) =
        others.into_iter().partition(|row| row.role == "control fluid");
    let parts = (references.iter().map(one))
        .chain([format!("candidates {}", and(&codes))])
        .chain(control.iter().map(one));
    let parts: Vec<String> = parts.collect();
    match parts.as_slice() {
        [all @ .., last] if !all.is_empty() => format!("{}, and {last}", all.join(", ")),
        _ => parts.concat(),
    }
}

/// `R (1 load step)`; empty without a scatter, where no row stands either.
fn r_words(case: &Case<'_>) -> String {
    limit(case.test, case.quantity).map_or_else(String::new, |limit| {
        format!(
            "R ({})",
            limit.words(case.quantity, limit.reproducibility, case.shown)
        )
    })
}

fn on_the_strip(case: &Case<'_>, quoted: &QuotedValue<'_>) -> Option<String> {
    let has_both = |strip: &&Strip| strip.anchored == Anchored::Both;
    case.test.strip.as_ref().filter(has_both)?;
    let place = beside::place(case, quoted)?;
    let words = match (place.lo, place.hi) {
        (Some(lo), Some(hi)) if position(lo, case.shown) == position(hi, case.shown) => {
            format!("at {}", position(lo, case.shown))
        }
        (Some(lo), Some(hi)) => format!(
            "between {} and {}",
            position(lo.min(hi), case.shown),
            position(lo.max(hi), case.shown)
        ),
        (Some(lo), None) => format!("beyond {}", position(lo, case.shown)),
        (None, Some(hi)) => format!("below {}", position(hi, case.shown)),
        (None, None) => return None,
    };
    let side = outside(place.lo, place.hi)
        .map(|side| format!(", {side}"))
        .unwrap_or_default();
    Some(format!(
        "On the scale of this test, from the known poor at 0 to the known good at 1, it lies {words}{side}."
    ))
}

/// On which side of both reference oils it lies; `None` between them, or where an open end leaves it open.
fn outside(lo: Option<f64>, hi: Option<f64>) -> Option<&'static str> {
    if lo.is_some_and(|lo| lo > 1.0) {
        Some("past the known good")
    } else if hi.is_some_and(|hi| hi < 0.0) {
        Some("short of the known poor")
    } else {
        None
    }
}

/// Where R is wider than r: why it is R.
fn other_laboratory(case: &Case<'_>, beside: &[QuotedBeside]) -> Option<String> {
    let limit = limit(case.test, case.quantity).filter(|_| !beside.is_empty())?;
    let wider = limit.reproducibility > limit.repeatability * (1.0 + 1e-9);
    wider.then(|| {
        format!(
            "It comes from another laboratory, as far as is known: so R counts, not r ({}).",
            limit.words(case.quantity, limit.repeatability, case.shown)
        )
    })
}

/// Where no R is published: what is taken for it.
fn r_is_taken(case: &Case<'_>, beside: &[QuotedBeside]) -> Option<String> {
    let published = case
        .quantity
        .precision
        .as_ref()
        .and_then(|precision| precision.reproducibility);
    (published.is_none() && !beside.is_empty())
        .then(|| "No R is published for this test: twice r is taken for it (ours).".to_string())
}

fn no_reference(case: &Case<'_>) -> Option<String> {
    let references = ["known good", "known middle", "known poor"];
    let was_run = beside::others(case)
        .into_iter()
        .any(|(blend, role)| references.contains(&role) && case.number_of(blend).is_some());
    (!was_run)
        .then(|| "No reference oil was run in this test here either: nothing fixes its scale.".to_string())
}

/// A load that the ladder does not have: another ladder, or another standard.
fn off_the_ladder(case: &Case<'_>, quoted: &QuotedValue<'_>) -> Option<String> {
    if !quoted.off_ladder {
        return None;
    }
    let (value, _) = quoted.ends()?;
    let words = |step: f64| {
        let number = Number::at(step, Bound::At);
        case.words_of(&number)
    };
    let steps = case.quantity.scale.steps();
    let below = steps.iter().rev().find(|step| **step < value);
    let above = steps.iter().find(|step| **step > value);
    let nearest: Vec<String> = [below, above]
        .into_iter()
        .flatten()
        .map(|step| words(*step))
        .collect();
    Some(format!(
        "{} is no step of this test, whose nearest {} {}: ask on which ladder, and so by which standard, it was run.",
        quoted.words(),
        if nearest.len() == 1 { "is" } else { "are" },
        and(&nearest)
    ))
}

/// A number outside what the test usually reads.
fn not_usual(case: &Case<'_>, quoted: &QuotedValue<'_>) -> Option<String> {
    let why = quoted
        .unusual
        .filter(|why| matches!(why, Unusual::Outside { .. }))?;
    let words = case.shown.dress_within(&unusual(&why, quoted.quantity.unit));
    Some(format!("{words}: ask whether number and unit are right."))
}

/// The last step as a bare number: some write it for an oil that passed it.
fn bare_last_step(case: &Case<'_>, quoted: &QuotedValue<'_>) -> Option<String> {
    let cap = case.quantity.scale.cap()?;
    let fails = case.quantity.plain_number == PlainNumber::Failure;
    let (value, _) = quoted.ends()?;
    (quoted.is_bare && fails && value == cap).then(|| {
        format!(
            "{} is the last step of the test, written as a bare number: read as failed there. Some write it for an oil that passed it: ask, and write it with '>' where it did.",
            quoted.words()
        )
    })
}

/// What the test weighs in this trial, and how closely it resembles the machine.
fn weight(case: &Case<'_>) -> Option<String> {
    let alike = match nearest(case.test) {
        _ if !case.method.has_contact() => "nothing rubs in it".to_string(),
        Some((contact, value)) => {
            format!(
                "it resembles the machine most in '{contact}', at {} (1 is alike)",
                position(value, case.shown)
            )
        }
        None => "how closely it resembles the machine is not known".to_string(),
    };
    if let Some(why) = &case.test.excluded {
        return Some(format!(
            "In this trial the test is not weighed, {}; {alike}.",
            not_weighed(why, case.shown)
        ));
    }
    let all: f64 = case.standing.tests.iter().map(|test| test.weight).sum();
    (case.test.weight > 0.0 && all > 0.0).then(|| {
        format!(
            "In this trial the test carries {} of all weight; {alike}.",
            per_cent(case.test.weight / all)
        )
    })
}

fn of_another(case: &Case<'_>, quoted: &QuotedValue<'_>, differences: &[QuotedDifference]) -> String {
    let both = format!(
        "{} comes from {}, the numbers of this page from {}",
        quoted.words(),
        quoted.standard_words(case),
        case.method.standard
    );
    if differences.is_empty() {
        return format!(
            "{both}: what is kept of the two here names no difference of load, speed, duration or geometry, but nothing here shows that results of one hold in the other."
        );
    }
    let names: Vec<String> = differences.iter().map(difference).collect();
    format!("{both}. The two procedures differ in {}.", and(&names))
}

/// `speed (1760 r/min here, 1450 r/min there)`.
fn difference(line: &QuotedDifference) -> String {
    format!("{} ({} here, {} there)", line.what, line.here, line.there)
}

/// Where the units differ: the number in this test's unit is still no result of this test.
fn unit_only(case: &Case<'_>, quoted: &QuotedValue<'_>) -> Option<String> {
    let (from, to) = (quoted.quantity.unit, case.quantity.unit);
    let (lo, hi) = quoted.ends()?;
    let value = if lo.is_finite() { lo } else { hi };
    let converted = from.convert(value, to).filter(|_| from != to)?;
    let number = Number::at(converted, Bound::At);
    Some(format!(
        "In {to} it would be {}, but a unit converts, a result does not.",
        case.words_of(&number)
    ))
}

fn of_an_unknown(case: &Case<'_>, quoted: &QuotedValue<'_>) -> String {
    format!(
        "By which load, speed, duration and geometry {} was measured is not known here; the numbers of this page come from {}.",
        quoted.words(),
        case.method.standard
    )
}
