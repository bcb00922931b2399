//! Gaps: main failure modes of the machine of which nothing that was run speaks, and which method would close each best.

use crate::catalogue::{Mode, Use};
use crate::records::{Role, TrialRecords};
use crate::standing::cover::speaks;
use crate::standing::prepare::Test;
use crate::standing::run_next::moves::MethodMoves;
use crate::standing::run_next::{Basis, Planned};
use std::collections::BTreeMap;

/// Places of the machine's contacts in which nothing that was run on a candidate speaks of a main mode, by mode.
pub(super) fn open(tests: &[Test], records: &TrialRecords) -> BTreeMap<Mode, Vec<usize>> {
    let run = |test: &&Test| {
        let mut cells = test.evidence.cells.iter();
        cells.any(|cell| cell.role == Role::Candidate && !cell.results.is_empty())
    };
    let run: Vec<&Test> = tests.iter().filter(run).collect();
    let mut gaps: BTreeMap<Mode, Vec<usize>> = BTreeMap::new();
    for (place, contact) in records.machine.contacts.iter().enumerate() {
        for mode in &contact.main_modes {
            if !run.iter().any(|test| speaks(test, place, *mode)) {
                gaps.entry(*mode).or_default().push(place);
            }
        }
    }
    gaps
}

/// What could be run, beside the trial that would run it.
pub(super) struct Offer<'o, 'a> {
    pub(super) records: &'o TrialRecords,
    /// The trial's own tests that nobody has run, and those of other methods.
    pub(super) tests: Vec<(&'o Test<'a>, Planned)>,
    /// What the methods among them would move.
    pub(super) moves: &'o [MethodMoves],
    pub(super) contenders: usize,
}

impl Offer<'_, '_> {
    /// Each gap with the method that closes it best: of the tests that would speak of the mode, the one with the greatest
    /// strength times resemblance; `None` where there is none. One whose results would only be shown, for want of a published
    /// precision, comes after those that can be weighed. A gap that an earlier one's test closes too is not there.
    pub(super) fn closing(&self, gaps: &BTreeMap<Mode, Vec<usize>>) -> Vec<(Mode, Option<MethodMoves>)> {
        let mut found = Vec::new();
        let mut chosen: Vec<&Test> = Vec::new();
        for (mode, places) in gaps {
            if chosen.iter().any(|test| telling(test, *mode, places).is_some()) {
                continue;
            }
            let told = self.tests.iter().filter_map(|(test, planned)| {
                let telling = telling(test, *mode, places)?;
                Some((telling, *test, *planned))
            });
            let best = told.min_by(|a, b| {
                let keys = || a.1.evidence.key().cmp(b.1.evidence.key());
                let shown = shown_alone(a.1).cmp(&shown_alone(b.1));
                shown
                    .then(b.0.total_cmp(&a.0))
                    .then(a.2.cmp(&b.2))
                    .then_with(keys)
            });
            chosen.extend(best.map(|(_, test, _)| test));
            found.push((
                *mode,
                best.map(|(_, test, planned)| self.method_of(test, planned)),
            ));
        }
        found
    }

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

/// Whether the first result of a test could only be shown: it is to be weighed, and no scatter of it is known.
fn shown_alone(test: &Test) -> bool {
    test.evidence.test.used_to == Use::Weigh && test.evidence.quantity.precision.is_none()
}

/// How well a test would speak of a mode in one of some contacts; `None` where it would not.
fn telling(test: &Test, mode: Mode, places: &[usize]) -> Option<f64> {
    let modes = &test.evidence.quantity.modes;
    let (_, strength) = modes.iter().find(|(scored, _)| *scored == mode)?;
    let speaking = places.iter().filter(|place| speaks(test, **place, mode));
    let resemblance = |place: &usize| {
        let contact = test.likeness.contacts.get(*place);
        contact.and_then(|one| one.resemblance.value).unwrap_or(1.0)
    };
    speaking
        .map(|place| strength * resemblance(place))
        .reduce(f64::max)
}
