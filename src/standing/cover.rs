//! Which tests of a trial speak of each failure mode of its machine, and which others would.

use crate::catalogue::{Method, Mode, Quantity, Use};
use crate::contact::terms::ContactTerms;
use crate::records::{MachineContact, Role, TestKey, TrialRecords};
use crate::resemblance::{Decided, Scales, Scores, contacts};
use crate::standing::film_oil;
use crate::standing::likeness::most_alike;
use crate::standing::prepare::Test;
use rayon::prelude::*;

/// Resemblance above which a test speaks of a contact at all.
pub const SPEAKS_ABOVE: f64 = 0.4;

/// Who speaks of a failure mode in a contact.
#[derive(Clone, Debug, PartialEq)]
pub struct ModeCover {
    /// The contact.
    pub contact: String,
    /// The mode.
    pub mode: Mode,
    /// How much it matters there: 1 main, 0.6 secondary, 0.3 minor.
    pub importance: f64,
    /// Tests of the trial that score it with a resemblance that speaks, and gates that cover it; the most telling first.
    pub by: Vec<Speaker>,
    /// Tests of the trial that score it, but resemble the contact too little to speak of it.
    pub unlike: Vec<Speaker>,
    /// Where nothing speaks: methods of the catalogue that would, the most telling first.
    pub would: Vec<Speaker>,
}

/// A test that scores a mode.
#[derive(Clone, Debug, PartialEq)]
pub struct Speaker {
    /// Method and quantity.
    pub key: TestKey,
    /// Quantity label and standard.
    pub name: String,
    /// Resemblance to the contact; `None` for a gate.
    pub resemblance: Option<f64>,
    /// How strongly it scores the mode.
    pub strength: f64,
}

/// Methods of the catalogue that are named where nothing of the trial speaks of a mode.
const NAMED: usize = 3;

/// What is planned, and what else could be.
#[derive(Clone, Copy)]
pub(super) struct Considered<'a> {
    pub(super) records: &'a TrialRecords,
    pub(super) tests: &'a [Test<'a>],
    pub(super) methods: &'a [Method],
    pub(super) scales: &'a Scales,
}

/// Whether a test that resembles a contact so closely speaks of it.
fn speaks_of(resemblance: Option<f64>) -> bool {
    resemblance.is_some_and(|value| value > SPEAKS_ABOVE)
}

/// Whether a test speaks of a mode in the machine's contact at a place: it scores the mode and resembles the contact, or it is
/// a requirement that covers what the oil does by itself.
pub(super) fn speaks(test: &Test, place: usize, mode: Mode) -> bool {
    let contact = test.likeness.contacts.get(place);
    let resemblance = contact.and_then(|one| one.resemblance.value);
    let covers = test.evidence.test.used_to == Use::Gate && !mode.needs_contact();
    let counts = test.evidence.test.used_to != Use::Show && test.evidence.quantity.scores(mode);
    counts && (covers || speaks_of(resemblance))
}

/// Every failure mode of every contact, the most important of each contact first.
pub(super) fn modes(plan: &Considered) -> Vec<ModeCover> {
    let elsewhere = Elsewhere::of(plan);
    let contacts = plan.records.machine.contacts.iter().enumerate();
    let mut covers = Vec::new();
    for (place, contact) in contacts {
        let ranked = [
            &contact.main_modes,
            &contact.secondary_modes,
            &contact.minor_modes,
        ];
        for mode in ranked.into_iter().flatten() {
            covers.push(cover(plan, &elsewhere, (place, contact), *mode));
        }
    }
    covers
}

fn cover(
    plan: &Considered,
    elsewhere: &Elsewhere,
    (place, contact): (usize, &MachineContact),
    mode: Mode,
) -> ModeCover {
    let scoring = plan
        .tests
        .iter()
        .filter(|test| test.evidence.quantity.scores(mode));
    let mut speakers: Vec<(Speaker, bool)> = scoring
        .filter(|test| test.evidence.test.used_to != Use::Show)
        .map(|test| {
            let resemblance = test
                .likeness
                .contacts
                .get(place)
                .and_then(|one| one.resemblance.value);
            let speaks = speaks(test, place, mode);
            let evidence = &test.evidence;
            let one = speaker(
                evidence.key().clone(),
                evidence.method,
                evidence.quantity,
                mode,
                resemblance,
            );
            (one, speaks)
        })
        .collect();
    speakers.sort_by(|a, b| {
        telling(&b.0)
            .total_cmp(&telling(&a.0))
            .then(a.0.key.cmp(&b.0.key))
    });
    let (by, unlike): (Vec<_>, Vec<_>) = speakers.into_iter().partition(|(_, speaks)| *speaks);
    let only = |list: Vec<(Speaker, bool)>| list.into_iter().map(|(one, _)| one).collect();
    let would = if by.is_empty() {
        elsewhere.who_would(plan.scales, place, mode)
    } else {
        Vec::new()
    };
    ModeCover {
        contact: contact.name.clone(),
        mode,
        importance: contact.importance(mode),
        by: only(by),
        unlike: only(unlike),
        would,
    }
}

/// A gate has no resemblance: it covers the mode of the oil itself.
fn telling(speaker: &Speaker) -> f64 {
    speaker.strength * speaker.resemblance.unwrap_or(1.0)
}

fn speaker(
    key: TestKey,
    method: &Method,
    quantity: &Quantity,
    mode: Mode,
    resemblance: Option<f64>,
) -> Speaker {
    let strength = quantity.modes.iter().find(|(scored, _)| *scored == mode);
    Speaker {
        key,
        name: format!("{} ({})", quantity.label, method.standard),
        resemblance,
        strength: strength.map_or(0.0, |(_, strength)| *strength),
    }
}

/// What is not in the trial, and the machine beside which it would be laid.
struct Elsewhere<'a> {
    machine: Vec<Option<ContactTerms>>,
    tests: Vec<Untried<'a>>,
}

/// A quantity that the trial does not measure.
struct Untried<'a> {
    key: TestKey,
    method: &'a Method,
    quantity: &'a Quantity,
    sides: Vec<ContactTerms>,
}

impl<'a> Elsewhere<'a> {
    fn of(plan: &Considered<'a>) -> Self {
        let records = plan.records;
        let good = records
            .trial
            .blends
            .iter()
            .find(|part| part.role == Role::Reference);
        let oil = good.and_then(|part| film_oil(records.blend(&part.blend)?));
        let untried = |method: &'a Method| {
            let quantities = method.quantities.iter().filter_map(|quantity| {
                let key = TestKey::new(&method.id, &quantity.id);
                let is_tried = records.trial.tests.iter().any(|test| test.key == key);
                (!is_tried).then(|| Untried {
                    sides: contacts(method, quantity, Decided::default(), oil.as_ref()).unwrap_or_default(),
                    key,
                    method,
                    quantity,
                })
            });
            quantities.collect::<Vec<_>>()
        };
        let of_contact = |contact: &MachineContact| contact.preset.terms(oil.as_ref()).ok();
        Self {
            machine: records.machine.contacts.iter().map(of_contact).collect(),
            tests: plan.methods.par_iter().flat_map_iter(untried).collect(),
        }
    }

    /// Methods that score the mode and resemble the machine's contact at a place (or need no contact), the most telling first.
    fn who_would(&self, scales: &Scales, place: usize, mode: Mode) -> Vec<Speaker> {
        let mut speakers = Vec::new();
        for one in self.tests.iter().filter(|one| one.quantity.scores(mode)) {
            let scores = Scores::of(one.quantity);
            let resemblance = match (&self.machine[place], one.sides.is_empty()) {
                (Some(machine), false) => most_alike(&one.sides, machine, scores, scales).1.value,
                _ => None,
            };
            if !mode.needs_contact() || speaks_of(resemblance) {
                let key = one.key.clone();
                speakers.push(speaker(key, one.method, one.quantity, mode, resemblance));
            }
        }
        speakers.sort_by(|a, b| telling(b).total_cmp(&telling(a)).then(a.key.cmp(&b.key)));
        speakers.truncate(NAMED);
        speakers
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_test_speaks_of_a_contact_above_a_resemblance_of_0_4() {
        for (resemblance, speaks) in [
            (None, false),
            (Some(0.4 - 1e-9), false),
            (Some(0.4), false),
            (Some(0.4 + 1e-9), true),
        ] {
            assert_eq!(speaks_of(resemblance), speaks, "{resemblance:?}");
        }
    }
}
