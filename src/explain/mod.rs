//! One test of a trial explained beside the machine: what a support engineer shows somebody who holds up one number.
//!
//! Pure: from a comparison, a test, a blend and a machine contact. Every clause of the conclusion stands only where a
//! condition on the numbers makes it true; none promises anything.

mod around;
mod bearings;
mod call;
mod conclusion;
mod drawing;
mod heading;
mod ladders;
mod quoted;
mod reading;
mod resembling;
mod rivals;
mod ruler;
mod sheet;
mod view;
mod words;
mod worn;

use crate::catalogue::{Method, Quantity, Use};
use crate::explain::reading::{Difference, Number};
use crate::prose::reasons::not_weighed;
use crate::prose::standing as standing_words;
use crate::records::{BlendCode, BlendKind, Level, Role, TestKey, TrialRecords};
use crate::standing::{Caution, Comparison, ContactLikeness, Finding, LeftOut, Standing, TestStanding};
use crate::units::DisplayPreferences;
use serde::Serialize;
use std::cmp::Ordering;

pub use around::Footnote;
pub use bearings::{BearingMedian, Bearings, BearingsOfBlend};
pub use call::Call;
#[cfg(feature = "facade")]
pub use call::{AskedFor, Counter, CounterRow, FirstWord, MOST_WORDS};
pub use conclusion::Verdict;
pub use drawing::{Footprint, TestContact};
pub(crate) use ladders::gap;
pub use ladders::{Ladder, LadderScale, LadderSide};
#[cfg(feature = "facade")]
pub use quoted::QuotedVerdict;
pub use quoted::{Quoted, QuotedAnswer, QuotedAsk, QuotedChoices, QuotedPlace};
pub use resembling::{RESEMBLES, ResemblingRow};
pub use sheet::{MOST_LINES, PlacedLine, place_line};
pub use view::{Ask, CautionLine, Choosable, Explanation, MachineSide};
#[cfg(feature = "facade")]
pub use worn::WornBlend;
pub use worn::WornContact;

/// One test with one blend, as the parts of an explanation see it.
#[derive(Clone, Copy)]
pub(crate) struct Case<'a> {
    pub(crate) records: &'a TrialRecords,
    pub(crate) standing: &'a Standing,
    pub(crate) test: &'a TestStanding,
    pub(crate) method: &'a Method,
    pub(crate) quantity: &'a Quantity,
    pub(crate) blend: &'a BlendCode,
    /// How numbers are written.
    pub(crate) shown: DisplayPreferences,
}

impl<'a> Case<'a> {
    /// The reference oil of a level for a test.
    pub(crate) fn reference(&self, test: &TestStanding, level: Level) -> Option<&'a BlendCode> {
        let records = self.records;
        let of_trial = records.trial.tests.iter().find(|known| known.key == test.key)?;
        records.reference(of_trial, level)
    }

    /// What a blend reads in the test that is explained.
    pub(crate) fn number_of(&self, blend: &BlendCode) -> Option<Number> {
        reading::number(self.records, self.test, self.quantity, blend)
    }

    /// A number of the test that is explained.
    pub(crate) fn words_of(&self, number: &Number) -> String {
        words::number_with_unit(number, self.quantity, self.shown)
    }

    /// What a blend reads in any test.
    pub(crate) fn words_in(
        &self,
        test: &TestStanding,
        quantity: &Quantity,
        blend: &BlendCode,
    ) -> Option<String> {
        let number = reading::number(self.records, test, quantity, blend)?;
        Some(words::number_with_unit(&number, quantity, self.shown))
    }

    /// A length on the working scale of the test that is explained.
    pub(crate) fn amount(&self, working: f64) -> String {
        let repeatability = self.test.scatter.map(|scatter| scatter.repeatability);
        words::amount(self.quantity, working, repeatability, self.shown)
    }

    /// How far apart two blends are.
    pub(crate) fn size_of(&self, found: &Difference) -> String {
        if !found.in_steps {
            return self.amount(found.size);
        }
        let limit = ruler::limit(self.test, self.quantity);
        limit.map_or_else(String::new, |limit| {
            limit.words(self.quantity, found.size, self.shown)
        })
    }

    /// The first blend beside the second in the test that is explained.
    pub(crate) fn beside(&self, one: &BlendCode, other: &BlendCode) -> Option<Difference> {
        reading::difference(self.records, self.test, self.quantity, one, other)
    }

    /// A text of the method's file with the reader's decimal sign.
    pub(crate) fn prose(&self, text: &str) -> String {
        self.method.prose(text, self.shown)
    }

    /// The front-runner, where it is not the blend itself.
    pub(crate) fn front_apart(&self) -> Option<&'a BlendCode> {
        let front = self.standing.front_runner.as_ref();
        front.filter(|front| *front != self.blend)
    }
}

/// What of a question cannot be used.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct AskFault {
    /// The field: `method`, `quantity`, `blend`, `contact`; of a quoted value `value`, `unit`, `standard` or `oil`.
    pub field: &'static str,
    /// What is wrong with it, with the mend.
    pub problem: String,
}

impl AskFault {
    fn of(field: &'static str, problem: impl Into<String>) -> Self {
        let problem = problem.into();
        Self { field, problem }
    }
}

/// Explains one test.
///
/// # Errors
/// The field `method`, `quantity`, `blend` or `contact` where the trial has none such.
pub fn explain(comparison: &Comparison, ask: &Ask) -> Result<Explanation, AskFault> {
    let (records, standing) = (&comparison.records, &comparison.standing);
    let test = chosen_test(records, standing, ask)?;
    let (method, quantity) = records
        .test(&test.key)
        .ok_or_else(|| AskFault::of("method", "this method is not known here"))?;
    let blend = chosen_blend(records, standing, test, quantity, ask)?;
    let case = Case {
        records,
        standing,
        test,
        method,
        quantity,
        blend,
        shown: ask.shown,
    };
    let contact = chosen_contact(&case, ask)?;
    let witnesses = resembling::witnesses(&case);
    let conclusion = conclusion::conclude(&case, &witnesses);
    let number = case.number_of(blend);
    let heading = heading::heading(
        quantity,
        number.as_ref(),
        blend.as_str(),
        fluid(&case),
        &records.machine.kind,
        case.shown,
    );
    let side = contact
        .as_deref()
        .and_then(|contact| machine_side(&case, contact));
    let quoted = ask.quoted.as_ref().map(|asked| quoted::answer(&case, asked));
    let call = call::call(&call::Calling {
        case: &case,
        witnesses: &witnesses,
        contact: contact.as_deref(),
        ladders: side.as_ref().map_or(&[], |side| side.ladders.as_slice()),
        quoted: quoted.as_ref(),
        heading: &heading,
        verdict: conclusion.verdict,
        answer: &conclusion.answer,
    });
    let (worn, not_worn) = match worn::worn_contact(&case) {
        Ok(worn) => (Some(worn), None),
        Err(why) => (None, Some(why)),
    };
    Ok(Explanation {
        trial: records.trial.slug.to_string(),
        trial_title: records.trial.title.clone(),
        invented: records.trial.invented,
        machine: records.machine.name.clone(),
        method: test.key.method.clone(),
        quantity: test.key.quantity.clone(),
        title: case.prose(&test.title),
        standard: test.standard.clone(),
        label: case.prose(&test.label),
        blend: blend.to_string(),
        blends: blends(&case),
        quantities: quantities(&case),
        contacts: contacts(&case, contact.as_deref()),
        heading,
        verdict: conclusion.verdict,
        answer: conclusion.answer,
        conclusion: conclusion.clauses,
        weight: test.weight,
        excluded: (test.excluded.as_ref()).map(|why| not_weighed(why, case.shown)),
        extreme: test.extreme,
        test_contact: drawing::test_contact(&case, contact.as_deref()),
        worn,
        not_worn,
        bearings: bearings::bearings(&case),
        machine_side: side,
        apart: around::apart(&case),
        control: around::control(&case),
        front_runner: case.front_apart().map(ToString::to_string),
        resembling: resembling::rows(&case, &witnesses),
        unknown: around::unknown(&case, &witnesses),
        sources: around::sources(&case),
        cautions: cautions(&case),
        quoted_choices: quoted::choices(&case, ask.quoted.as_ref()),
        quoted,
        call,
        method_caution: case.prose(&method.caution),
        method_safety: case.prose(&method.safety),
        machine_caution: records.machine.caution.clone(),
    })
}

fn chosen_test<'a>(
    records: &TrialRecords,
    standing: &'a Standing,
    ask: &Ask,
) -> Result<&'a TestStanding, AskFault> {
    let of_method: Vec<&TestStanding> = standing
        .tests
        .iter()
        .filter(|test| test.key.method == ask.method)
        .collect();
    if of_method.is_empty() {
        let is_gate =
            |test: &crate::records::TrialTest| test.key.method == ask.method && test.used_to == Use::Gate;
        let problem = if records.trial.tests.iter().any(is_gate) {
            "is a gate in this trial: it is met or not, and nothing of it is weighed; its results stand in the table of gates"
        } else {
            "is not a test of this trial"
        };
        return Err(AskFault::of("method", format!("'{}' {problem}", ask.method)));
    }
    let in_trial = |test: &&&TestStanding| {
        let place = records.trial.tests.iter().position(|known| known.key == test.key);
        (place.unwrap_or(usize::MAX), test.key.clone())
    };
    match &ask.quantity {
        None => {
            let heaviest = of_method.iter().filter(|test| test.weight > 0.0);
            let heaviest = heaviest.max_by(|a, b| a.weight.total_cmp(&b.weight));
            let chosen = heaviest.or_else(|| of_method.iter().min_by_key(in_trial));
            chosen
                .copied()
                .ok_or_else(|| AskFault::of("method", "is not a test of this trial"))
        }
        Some(quantity) => {
            let key = TestKey::new(&ask.method, quantity);
            let known: Vec<&str> = of_method.iter().map(|test| test.key.quantity.as_str()).collect();
            let problem = format!(
                "'{quantity}' is not measured here; write one of {}",
                known.join(", ")
            );
            let found = of_method.iter().find(|test| test.key == key);
            found.copied().ok_or_else(|| AskFault::of("quantity", problem))
        }
    }
}

/// The candidate that is asked for, or the one that reads best; of equals the front-runner, then the trial's order.
fn chosen_blend<'a>(
    records: &'a TrialRecords,
    standing: &Standing,
    test: &TestStanding,
    quantity: &Quantity,
    ask: &Ask,
) -> Result<&'a BlendCode, AskFault> {
    let candidates: Vec<&BlendCode> = records.with_role(Role::Candidate).collect();
    if let Some(wanted) = &ask.blend {
        let known: Vec<&str> = candidates.iter().map(|code| code.as_str()).collect();
        let problem = format!(
            "'{wanted}' is not a candidate of this trial; write one of {}",
            known.join(", ")
        );
        let found = candidates.iter().find(|code| code.as_str() == wanted);
        return found.copied().ok_or_else(|| AskFault::of("blend", problem));
    }
    let read = candidates.iter().filter_map(|candidate| {
        let number = reading::number(records, test, quantity, candidate)?;
        Some((*candidate, reading::rank(quantity, &number)))
    });
    let best = read.reduce(|best, next| match next.1.partial_cmp(&best.1) {
        Some(Ordering::Greater) => next,
        Some(Ordering::Equal) if standing.front_runner.as_ref() == Some(next.0) => next,
        _ => best,
    });
    let best = best.map(|(blend, _)| blend).or(candidates.first().copied());
    let nothing = "this trial has no candidate yet: there is nothing to explain";
    best.ok_or_else(|| AskFault::of("blend", nothing))
}

/// The machine contact that is asked for, or the one with the greatest share times relevance.
fn chosen_contact(case: &Case<'_>, ask: &Ask) -> Result<Option<String>, AskFault> {
    let contacts = &case.test.contacts;
    if let Some(wanted) = &ask.contact {
        let known: Vec<&str> = contacts.iter().map(|contact| contact.contact.as_str()).collect();
        if !known.contains(&wanted.as_str()) {
            let problem = format!(
                "'{wanted}' is not a contact of this machine; write one of {}",
                known.join(", ")
            );
            return Err(AskFault::of("contact", problem));
        }
        return Ok(Some(wanted.clone()));
    }
    let mass = |contact: &ContactLikeness| (contact.share * contact.relevance, contact.share);
    let heavier = |best, next| if mass(next) > mass(best) { next } else { best };
    let best = contacts.iter().reduce(heavier);
    Ok(best.map(|contact| contact.contact.clone()))
}

fn machine_side(case: &Case<'_>, name: &str) -> Option<MachineSide> {
    let mut likenesses = case.test.contacts.iter();
    let likeness = likenesses.find(|likeness| likeness.contact == name)?;
    let mut contacts = case.records.machine.contacts.iter();
    let contact = contacts.find(|contact| contact.name == name)?;
    Some(MachineSide {
        contact: name.to_string(),
        test_contact: match case.method.contacts.len() {
            0 | 1 => String::new(),
            _ => likeness.of_test.clone(),
        },
        share: likeness.share,
        main_modes: contact.main_modes.iter().map(ToString::to_string).collect(),
        resemblance: likeness.resemblance.value,
        relevance: likeness.relevance,
        footprint: drawing::machine_footprint(contact),
        ladders: ladders::ladders(&likeness.resemblance.terms, case.quantity, case.shown),
    })
}

fn fluid(case: &Case<'_>) -> &'static str {
    match case.records.blend(case.blend).map(|blend| blend.kind) {
        Some(BlendKind::Grease) => "grease",
        Some(BlendKind::Oil) => "oil",
        _ => "lubricant",
    }
}

fn blends(case: &Case<'_>) -> Vec<Choosable> {
    let choose = |blend: &BlendCode| Choosable {
        value: blend.to_string(),
        words: match case.number_of(blend) {
            Some(number) => format!("{blend}: {}", case.words_of(&number)),
            None => format!("{blend}: not run"),
        },
        chosen: blend == case.blend,
    };
    case.records.with_role(Role::Candidate).map(choose).collect()
}

fn quantities(case: &Case<'_>) -> Vec<Choosable> {
    let of_method = case
        .standing
        .tests
        .iter()
        .filter(|test| test.key.method == case.method.id);
    let choose = |test: &TestStanding| Choosable {
        value: test.key.quantity.clone(),
        words: test.label.clone(),
        chosen: test.key == case.test.key,
    };
    of_method.map(choose).collect()
}

fn contacts(case: &Case<'_>, chosen: Option<&str>) -> Vec<Choosable> {
    let choose = |contact: &ContactLikeness| Choosable {
        value: contact.contact.clone(),
        words: format!("{}, {}", contact.contact, standing_words::per_cent(contact.share)),
        chosen: Some(contact.contact.as_str()) == chosen,
    };
    case.test.contacts.iter().map(choose).collect()
}

fn cautions(case: &Case<'_>) -> Vec<CautionLine> {
    let concerns = |caution: &&Caution| {
        let of_test = caution.test.as_ref().is_some_and(|key| key == &case.test.key);
        let of_method = match &caution.finding {
            Finding::RestsOnOneExtremeScreen { hinge, .. } | Finding::HingesOnOneTest(hinge) => {
                hinge.without == LeftOut::Method(case.method.id.clone())
            }
            _ => false,
        };
        of_test || of_method
    };
    let line = |caution: &Caution| {
        let (heading, text) = standing_words::caution(caution, case.standing, case.shown);
        CautionLine {
            kind: caution.kind().word(),
            severity: caution.severity.word(),
            heading: heading.to_string(),
            text,
        }
    };
    case.standing.cautions.iter().filter(concerns).map(line).collect()
}
