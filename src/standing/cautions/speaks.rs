//! Whether the tests speak of this machine at all: what they resemble, what they score, whether they sort.

use crate::catalogue::{Mode, Use};
use crate::records::{MachineContact, Role, TrialRecords};
use crate::standing::cautions::{Facts, SORTS, first_two};
use crate::standing::evidence::Evidence;
use crate::standing::kernel::Validity;
use crate::standing::leader::ALIKE;
use crate::standing::strip::Anchored;
use crate::standing::summary::{Standing, TestStanding};
use crate::standing::{Caution, Finding, NotSorting, Severity};
use std::collections::{BTreeMap, BTreeSet};

pub(super) fn all(standing: &Standing, facts: &Facts) -> Vec<Caution> {
    let mut cautions = not_sorting(standing, facts);
    cautions.extend(nothing_resembles(facts));
    cautions.extend(mode_not_tested(facts));
    cautions.extend(only_screens(standing));
    cautions.extend(references(standing, facts));
    cautions
}

fn not_sorting(standing: &Standing, facts: &Facts) -> Vec<Caution> {
    let cautions = standing.tests.iter().filter_map(|test| {
        let (reason, probability) = why_not_sorting(&test.validity)?;
        let weight = facts
            .weight_if_sorting
            .get(&test.key)
            .copied()
            .unwrap_or(test.weight);
        let severity = if weight > 0.1 {
            Severity::High
        } else {
            Severity::Medium
        };
        let finding = Finding::NotSorting {
            reason,
            probability,
            weight_otherwise: weight,
        };
        Some(Caution::new(severity, finding).of_test(&test.key))
    });
    cautions.collect()
}

/// Which comparison says that a test does not sort, with its probability.
pub(crate) fn why_not_sorting(validity: &Validity) -> Option<(NotSorting, f64)> {
    let below = |p: Option<f64>, limit: f64| p.filter(|p| *p < limit);
    below(validity.good_over_control, SORTS)
        .map(|p| (NotSorting::ControlAsGood, p))
        .or(below(validity.good_over_poor, SORTS).map(|p| (NotSorting::GoodLikePoor, p)))
        .or(below(validity.middle_between, 1.0 - SORTS).map(|p| (NotSorting::MiddleOutside, p)))
}

/// Share of the machine from which a contact that no test resembles is told of.
const SHARE_TO_SPEAK_OF: f64 = 0.2;

/// Contacts of which no weighed test that scores one of their modes is like; a stop where that holds for all of them.
pub(super) fn nothing_resembles(facts: &Facts) -> Vec<Caution> {
    if !facts.evidence.iter().any(Evidence::is_run) {
        return Vec::new();
    }
    let contacts = facts.records.machine.contacts.iter();
    let nearest = |contact: &MachineContact| facts.nearest.get(&contact.name).copied().unwrap_or(0.0);
    let found: Vec<(&MachineContact, f64)> = contacts.map(|contact| (contact, nearest(contact))).collect();
    let caution = |severity: Severity, contact: &MachineContact, greatest_resemblance: f64| {
        let finding = Finding::NothingResembles {
            contact: contact.name.clone(),
            share: contact.share,
            greatest_resemblance,
        };
        Caution::new(severity, finding)
    };
    if found.iter().all(|(_, nearest)| *nearest < ALIKE) {
        let closest = found.iter().max_by(|a, b| a.1.total_cmp(&b.1));
        return closest
            .map(|(contact, nearest)| caution(Severity::Stop, contact, *nearest))
            .into_iter()
            .collect();
    }
    let alone = found
        .into_iter()
        .filter(|(contact, nearest)| contact.share >= SHARE_TO_SPEAK_OF && *nearest < ALIKE);
    alone
        .map(|(contact, nearest)| caution(Severity::High, contact, nearest))
        .collect()
}

fn references(standing: &Standing, facts: &Facts) -> Vec<Caution> {
    let asked = standing.tests.iter().filter(|test| test.used_to == Use::Weigh);
    let cautions = asked.filter_map(|test| {
        let mut evidence = facts.evidence.iter();
        let evidence = evidence.find(|one| one.key() == &test.key);
        if evidence.is_some_and(|one| one.is_run() && one.good.is_none()) {
            return Some(Caution::new(Severity::High, Finding::NoReference {}).of_test(&test.key));
        }
        let one = test
            .strip
            .as_ref()
            .is_some_and(|strip| matches!(strip.anchored, Anchored::Good | Anchored::Poor));
        one.then(|| Caution::new(Severity::Medium, Finding::OneReference {}).of_test(&test.key))
    });
    cautions.collect()
}

/// Tests that were run on a candidate.
fn run_on_candidates<'e, 'a>(evidence: &'e [Evidence<'a>]) -> Vec<&'e Evidence<'a>> {
    let run = |evidence: &&Evidence| {
        let mut results = evidence.cells.iter().filter(|cell| cell.role == Role::Candidate);
        results.any(|cell| !cell.results.is_empty())
    };
    evidence.iter().filter(run).collect()
}

/// The main failure modes of which nothing was run on a candidate, neither a test nor a gate, with their contacts; none
/// where nothing was run at all.
fn modes_not_tested(records: &TrialRecords, evidence: &[Evidence]) -> BTreeMap<Mode, Vec<String>> {
    let tested = run_on_candidates(evidence);
    let mut contacts_of: BTreeMap<Mode, Vec<String>> = BTreeMap::new();
    if tested.is_empty() {
        return contacts_of;
    }
    let scored = |mode: Mode| tested.iter().any(|evidence| evidence.quantity.scores(mode));
    for contact in &records.machine.contacts {
        for mode in contact.main_modes.iter().filter(|mode| !scored(**mode)) {
            contacts_of.entry(*mode).or_default().push(contact.name.clone());
        }
    }
    contacts_of
}

fn mode_not_tested(facts: &Facts) -> Vec<Caution> {
    let caution = |(mode, contacts)| Caution::new(Severity::High, Finding::ModeNotTested { mode, contacts });
    let untested = modes_not_tested(facts.records, facts.evidence);
    untested.into_iter().map(caution).collect()
}

/// Modes that nobody tested: the machine's main ones, and those that the question names and that neither a weighed test
/// nor a gate with a result covers. None where nothing was run.
pub(crate) fn not_tested(standing: &Standing, records: &TrialRecords, evidence: &[Evidence]) -> Vec<Mode> {
    let tested = run_on_candidates(evidence);
    if tested.is_empty() {
        return Vec::new();
    }
    let counts = |one: &Evidence| {
        let weight = standing.test(one.key()).map_or(0.0, |test| test.weight);
        one.test.used_to == Use::Gate || weight > 0.0
    };
    let covered = |mode: Mode| tested.iter().any(|one| counts(one) && one.quantity.scores(mode));
    let asked = Mode::named_in(&records.trial.question).into_iter();
    let untested = modes_not_tested(records, evidence);
    let open: BTreeSet<Mode> = asked
        .filter(|mode| !covered(*mode))
        .chain(untested.into_keys())
        .collect();
    open.into_iter().collect()
}

/// The weight from which a test of real components supports a choice.
const WEIGHT_TO_SPEAK_OF: f64 = 0.1;

/// No test of real components (categories I to IV) with weight 0.1 or more was run on both.
fn only_screens(standing: &Standing) -> Option<Caution> {
    let blends = first_two(standing)?;
    let on_both = |test: &&TestStanding| blends.iter().all(|blend| test.estimates.contains_key(blend));
    let of_components = |test: &&TestStanding| test.category.has_components();
    let weighed = || standing.tests.iter().filter(|test| test.weight > 0.0);
    let supported = weighed()
        .filter(|test| test.weight >= WEIGHT_TO_SPEAK_OF)
        .filter(on_both)
        .any(|test| of_components(&test));
    let heaviest = weighed()
        .filter(of_components)
        .map(|test| test.weight)
        .fold(0.0, f64::max);
    (!supported).then(|| {
        let finding = Finding::OnlyScreens {
            blends,
            greatest_component_weight: heaviest,
        };
        Caution::new(Severity::High, finding)
    })
}
