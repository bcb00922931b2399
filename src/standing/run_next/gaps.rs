//! Main failure modes of the machine that nobody tests, and which method would close each best.

use crate::catalogue::{Mode, Use};
use crate::records::{MachineContact, TrialRecords};
use crate::standing::SPEAKS_ABOVE;
use crate::standing::prepare::Test;
use crate::standing::run_next::moves::MethodMoves;
use crate::standing::run_next::{Basis, Planned};
use std::collections::BTreeMap;

/// What could be run, beside the trial that would run it.
pub(super) struct Offer<'o, 'a> {
    pub(super) records: &'o TrialRecords,
    /// The trial's own tests that nobody has run, and those of other methods.
    pub(super) tests: Vec<(&'o Test<'a>, Planned)>,
    /// What the methods among them would move.
    pub(super) moves: &'o [MethodMoves],
    pub(super) contenders: usize,
}

/// Each gap with the method that closes it best: of the tests that score the mode and resemble a contact in which it is a
/// main one by more than what speaks of it (or need no contact), the one with the greatest strength times resemblance. A
/// gap that an earlier one's method closes too, and one that nothing closes, is not there.
pub(super) fn closed(gaps: &BTreeMap<Mode, Vec<String>>, offer: &Offer) -> Vec<(Mode, MethodMoves)> {
    let mut found: Vec<(Mode, MethodMoves)> = Vec::new();
    let mut closed: Vec<(Mode, &Test)> = Vec::new();
    for (mode, contacts) in gaps {
        let told = |test: &Test| telling(test, *mode, contacts, offer.records);
        if closed.iter().any(|(_, test)| told(test).is_some()) {
            continue;
        }
        let mut all: Vec<(f64, &Test, Planned)> = (offer.tests.iter())
            .filter_map(|(test, planned)| Some((told(test)?, *test, *planned)))
            .collect();
        all.sort_by(|a, b| {
            let keys = || a.1.evidence.key().cmp(b.1.evidence.key());
            b.0.total_cmp(&a.0).then(a.2.cmp(&b.2)).then_with(keys)
        });
        if let Some((_, best, planned)) = all.first() {
            closed.push((*mode, best));
            found.push((*mode, offer.method_of(best, *planned)));
        }
    }
    found
}

/// How well a test would speak of a mode; `None` where it would not.
fn telling(test: &Test, mode: Mode, contacts: &[String], records: &TrialRecords) -> Option<f64> {
    let evidence = &test.evidence;
    let (_, strength) = evidence
        .quantity
        .modes
        .iter()
        .find(|(scored, _)| *scored == mode)?;
    if !mode.needs_contact() {
        return (evidence.test.used_to != Use::Show).then_some(*strength);
    }
    let is_main = |contact: &MachineContact| contacts.contains(&contact.name);
    let resemblances = records
        .machine
        .contacts
        .iter()
        .zip(&test.likeness.contacts)
        .filter(|(contact, _)| is_main(contact))
        .filter_map(|(_, likeness)| likeness.resemblance.value);
    let greatest = resemblances.fold(0.0, f64::max);
    let speaks = greatest > SPEAKS_ABOVE && evidence.test.used_to == Use::Weigh;
    speaks.then_some(strength * greatest)
}

impl Offer<'_, '_> {
    /// What the method of a test would move; nothing where it is a requirement.
    fn method_of(&self, test: &Test, planned: Planned) -> MethodMoves {
        let evidence = &test.evidence;
        let known = self.moves.iter().find(|moves| moves.method == evidence.method.id);
        known.cloned().unwrap_or_else(|| {
            let basis = match evidence.test.used_to {
                Use::Weigh => Basis::Assumed,
                Use::Gate | Use::Show => Basis::Measured,
            };
            let mut only = MethodMoves::of(
                (evidence.method, &evidence.test),
                planned,
                basis,
                (self.records, self.contenders),
            );
            only.tests.push(evidence.key().clone());
            only
        })
    }
}
