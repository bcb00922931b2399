//! The conclusion: an answer, and clauses each of which stands only where a condition makes it true.

use crate::explain::Case;
use crate::explain::ladders::gap_words;
use crate::explain::reading::{Bound, Number, Told, rank};
use crate::explain::resembling::{RESEMBLES, Witness, nearest, nearest_that_matters};
use crate::explain::rivals::{against_front, gate, in_front, no_rival, others_say};
use crate::explain::words::{and, inside, position, share};
use crate::records::{BlendCode, Level, Role};
use crate::resemblance::{Beyond, Resemblance, Term, TermValue};
use crate::standing::SORTS;
use crate::units::DisplayPreferences;
use serde::Serialize;

/// The answer to the question whether the number makes the blend the better one.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, strum::IntoStaticStr)]
#[serde(rename_all = "snake_case")]
#[strum(serialize_all = "snake_case")]
pub enum Verdict {
    /// The test resembles the machine, the blend leads, and nothing in this test is better.
    Yes,
    /// Something speaks against it.
    No,
    /// The number alone settles nothing.
    NotByItself,
    /// There is nothing to say it from.
    CannotBeSaid,
    /// The blend has no number in this test.
    NotRun,
}

impl Verdict {
    /// Its word, as in JSON.
    pub fn word(self) -> &'static str {
        self.into()
    }
}

/// The answer and what it is built from.
pub(crate) struct Conclusion {
    pub(crate) verdict: Verdict,
    /// The answer in words; its first word answers the heading.
    pub(crate) answer: String,
    pub(crate) clauses: Vec<String>,
}

pub(crate) fn conclude(case: &Case<'_>, witnesses: &[Witness<'_>]) -> Conclusion {
    let number = case.number_of(case.blend);
    let verdict = verdict(case, number.as_ref(), witnesses);
    let clauses = [
        data_sheet(number.as_ref()),
        in_this_test(case, number.as_ref()),
        beside_good(case, number.as_ref()),
        not_sorting(case),
        likeness(case),
        no_rival(case),
        others_say(case, witnesses),
        against_front(case, witnesses),
        gate(case),
        in_front(case),
    ];
    Conclusion {
        verdict,
        answer: answer(case, verdict, witnesses),
        clauses: clauses.into_iter().flatten().collect(),
    }
}

fn verdict(case: &Case<'_>, number: Option<&Number>, witnesses: &[Witness<'_>]) -> Verdict {
    if number.is_none() {
        return Verdict::NotRun;
    }
    if case.records.with_role(Role::Candidate).count() < 2 {
        return Verdict::CannotBeSaid;
    }
    if !case.sorts() || case.is_out() {
        return Verdict::No;
    }
    let spoken: Vec<&Witness<'_>> = witnesses.iter().filter(|w| w.is_run).collect();
    let Some(front) = case.standing.front_runner.as_ref().filter(|_| !spoken.is_empty()) else {
        return Verdict::CannotBeSaid;
    };
    if front != case.blend {
        let is_behind = |w: &&Witness<'_>| w.against_front.is_some_and(|d| d.told == Told::Worse);
        return if spoken.iter().any(is_behind) {
            Verdict::No
        } else {
            Verdict::NotByItself
        };
    }
    let own = spoken.iter().find(|w| w.test.key == case.test.key);
    let others: Vec<_> = spoken
        .iter()
        .filter(|w| w.is_beaten.is_some() && w.test.key != case.test.key)
        .collect();
    let agree = others.iter().filter(|w| w.is_beaten == Some(false)).count();
    let leads = case.standing.leader.as_ref() == Some(case.blend);
    match own {
        Some(own) if own.is_beaten == Some(false) && leads && (others.is_empty() || agree > 0) => {
            Verdict::Yes
        }
        _ => Verdict::NotByItself,
    }
}

fn answer(case: &Case<'_>, verdict: Verdict, witnesses: &[Witness<'_>]) -> String {
    match verdict {
        Verdict::Yes => yes(case, witnesses),
        Verdict::No => "No.".to_string(),
        Verdict::NotByItself => "Not by itself.".to_string(),
        Verdict::CannotBeSaid => "This cannot be said.".to_string(),
        Verdict::NotRun => format!("It was not run: {} has no result in this test.", case.blend),
    }
}

/// `Yes, and so do both other tests that resemble the machine`, or that none other speaks of the blend.
fn yes(case: &Case<'_>, witnesses: &[Witness<'_>]) -> String {
    let others = witnesses
        .iter()
        .filter(|w| w.is_beaten.is_some() && w.test.key != case.test.key);
    let others: Vec<&Witness<'_>> = others.collect();
    let agree = others.iter().filter(|w| w.is_beaten == Some(false)).count();
    if others.is_empty() {
        return "Yes, under these weights: this test resembles the machine. No other that does was run on it and on another candidate."
            .to_string();
    }
    let verb = if agree == 1 { "does" } else { "do" };
    format!(
        "Yes, under these weights, and so {verb} {} that {}: in none of them is another candidate better by more than the test's scatter.",
        share(agree, others.len(), "other test"),
        if others.len() == 1 {
            "resembles the machine"
        } else {
            "resemble the machine"
        }
    )
}

fn data_sheet(number: Option<&Number>) -> Option<String> {
    number.filter(|number| number.from_data_sheet).map(|_| {
        "The value comes from a data sheet: no run of this trial stands behind it, and it is never weighed.".to_string()
    })
}

/// Where the number stands among the candidates of this test.
fn in_this_test(case: &Case<'_>, number: Option<&Number>) -> Option<String> {
    let number = number?;
    let own = rank(case.quantity, number);
    let others = case
        .records
        .with_role(Role::Candidate)
        .filter(|blend| *blend != case.blend);
    let read: Vec<(&BlendCode, Number)> = others
        .filter_map(|blend| Some((blend, case.number_of(blend)?)))
        .collect();
    if read.is_empty() {
        return Some(format!(
            "The number is real: {} reads {} in this test. No other candidate has a result in it.",
            case.blend,
            case.words_of(number)
        ));
    }
    let names = |wanted: &dyn Fn((f64, f64)) -> bool| -> Vec<String> {
        let chosen = read.iter().filter(|(_, n)| wanted(rank(case.quantity, n)));
        chosen.map(|(blend, _)| blend.to_string()).collect()
    };
    let (better, equal) = (names(&|r| r > own), names(&|r| r == own));
    let what = inside(&case.test.label);
    let value = case.words_of(number);
    Some(match (better.is_empty(), equal.is_empty(), number.bound) {
        (true, true, _) => format!(
            "The number is real: {value} is the {} {what} of the {} candidates with a result.",
            if case.quantity.better.sign() > 0.0 {
                "highest"
            } else {
                "lowest"
            },
            read.len() + 1
        ),
        (true, false, Bound::Above) => format!(
            "The number is real: {} did not fail at the last step that was run. Nor did {}: what lies above, the test does not measure, so it cannot tell them apart.",
            case.blend,
            and(&equal)
        ),
        (true, false, _) => format!(
            "The number is real: no candidate reads better than {value}, but {} {} the same.",
            and(&equal),
            if equal.len() == 1 { "reads" } else { "read" }
        ),
        (false, ..) => format!(
            "The number is real, but {value} is not the better end of this test: {} {} better.",
            and(&better),
            if better.len() == 1 { "reads" } else { "read" }
        ),
    })
}

/// The blend beside the known good of this test.
fn beside_good(case: &Case<'_>, number: Option<&Number>) -> Option<String> {
    number.filter(|number| !number.from_data_sheet)?;
    let good = case.reference(case.test, Level::KnownGood);
    let Some((good, reading)) = good.and_then(|good| Some((good, case.number_of(good)?))) else {
        return Some(
            "No known-good reference oil was run in it, so that the number has nothing to stand beside."
                .into(),
        );
    };
    let value = case.words_of(&reading);
    let Some(found) = case.beside(case.blend, good) else {
        return Some(format!(
            "The known good {good} reads {value}; how far results of this test scatter is not known, so that no difference can be judged."
        ));
    };
    let (size, letter) = (case.size_of(&found), found.letter());
    Some(match found.told {
        Told::Level => format!("It cannot be told apart from the known good {good} ({value})."),
        told => format!(
            "It is {} than the known good {good} ({value}) by {size}, more than the test's scatter ({letter}).",
            told.words()
        ),
    })
}

pub(super) fn not_sorting(case: &Case<'_>) -> Option<String> {
    let validity = &case.test.validity;
    let low = |p: Option<f64>, limit: f64| p.is_some_and(|p| p < limit);
    let read = |blend: Option<&BlendCode>| {
        let blend = blend?;
        Some(format!("{blend} {}", case.words_of(&case.number_of(blend)?)))
    };
    let good = read(case.reference(case.test, Level::KnownGood));
    let beside = |other: Option<String>| {
        let words: Vec<String> = other.into_iter().chain(good.clone()).collect();
        if words.is_empty() {
            String::new()
        } else {
            format!(" ({})", words.join("; "))
        }
    };
    if low(validity.good_over_control, SORTS) {
        let fluid = case
            .records
            .with_role(Role::Control)
            .find(|fluid| case.number_of(fluid).is_some());
        return Some(format!(
            "But the test does not sort lubricants here: a control fluid that nobody would choose does as well in it as the known good{}. It weighs nothing.",
            beside(read(fluid))
        ));
    }
    if low(validity.good_over_poor, SORTS) {
        return Some(format!(
            "But the test does not sort lubricants here: it does not tell the known poor from the known good{}. It weighs nothing.",
            beside(read(case.reference(case.test, Level::KnownPoor)))
        ));
    }
    low(validity.middle_between, 1.0 - SORTS).then(|| {
        "But the test does not sort lubricants here: the middle reference oil does not lie between the other two. It weighs nothing."
            .to_string()
    })
}

/// How much the test is like the machine.
fn likeness(case: &Case<'_>) -> Option<String> {
    if !case.method.has_contact() {
        return Some(
            "Nothing rubs in this test: it says nothing about wear in any contact of the machine.".into(),
        );
    }
    let Some((contact, value)) = nearest(case.test) else {
        return Some(
            "How closely its contact resembles the machine's cannot be computed from what is known.".into(),
        );
    };
    let alike = |value: f64| position(value, case.shown);
    let compared = case
        .test
        .contacts
        .iter()
        .find(|likeness| likeness.contact == contact)?;
    if case.test.extreme {
        let beyond = beyond_words(&compared.resemblance, case.shown);
        return Some(format!(
            "The test runs in conditions the machine does not have: beside '{contact}', the contact it resembles most (at {}; 1 is alike), it goes far beyond in {}.",
            alike(value),
            and(&beyond)
        ));
    }
    if value < RESEMBLES {
        return Some(format!(
            "The test resembles the machine little: at most at {} (1 is alike), in '{contact}'.",
            alike(value)
        ));
    }
    match nearest_that_matters(case.test) {
        None => Some(format!(
            "Its contact resembles '{contact}' at {} (1 is alike), but what it scores is no failure mode that matters in this machine.",
            alike(value)
        )),
        Some((_, speaks)) if speaks < RESEMBLES => Some(format!(
            "Its contact resembles '{contact}' at {} (1 is alike), but it scores no failure mode that matters there; where it does, it comes to {} at most.",
            alike(value),
            alike(speaks)
        )),
        Some((contact, speaks)) => Some(format!(
            "Its contact resembles '{contact}' at {} (1 is alike), and it scores a failure mode that matters there.",
            alike(speaks)
        )),
    }
}

fn beyond_words(resemblance: &Resemblance, shown: DisplayPreferences) -> Vec<String> {
    let words = |beyond: &Beyond| {
        let term = match beyond {
            Beyond::Pressure => Term::Pressure,
            Beyond::Sliding => Term::Sliding,
            Beyond::SlideRoll => Term::SlideRoll,
            Beyond::ContactTemperature => Term::ContactTemperature,
            Beyond::FrictionPower => return beyond.word().to_string(),
        };
        let found = resemblance.terms.iter().find(|likeness| likeness.term == term);
        match found.map(|likeness| (&likeness.test, &likeness.machine)) {
            Some((TermValue::Range(test), TermValue::Range(machine))) => {
                format!("{} ({})", beyond.word(), gap_words(term, *test, *machine, shown))
            }
            _ => beyond.word().to_string(),
        }
    };
    resemblance.beyond.iter().map(words).collect()
}
