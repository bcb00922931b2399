//! What a trial plans to test, before anything is run: which contact and which failure mode each test speaks of, and
//! what the planned runs could and could not show.

use crate::catalogue::{Method, MethodId, Mode, Quantity, Use};
use crate::contact::terms::ContactTerms;
use crate::records::{MachineContact, Role, TestKey, TrialRecords};
use crate::resemblance::{Decided, Scales, Scores, Voter, contacts, votes};
use crate::standing::PAIRWISE;
use crate::standing::evidence::gather;
use crate::standing::likeness::{MachineSide, SideBySide, most_alike, side_by_side};
use crate::standing::prepare::Test;
use crate::standing::{WhatIf, film_oil};
use crate::stats::power::{PlannedTest, chance_told_apart, runs_needed};
use rayon::prelude::*;
use std::collections::BTreeMap;

/// Resemblance above which a test speaks of a contact at all.
pub const SPEAKS_ABOVE: f64 = 0.4;

/// A trial as it is planned.
#[derive(Clone, Debug, PartialEq)]
pub struct Plan {
    /// The machine's contacts with their shares, in the machine's order.
    pub contacts: Vec<(String, f64)>,
    /// The trial's tests, in its order.
    pub tests: Vec<PlannedRow>,
    /// Every failure mode that matters in a contact.
    pub modes: Vec<ModeCover>,
    /// What all weighed tests together could show.
    pub together: Power,
    /// Runs of each blend that are asked about.
    pub runs: usize,
    /// Cost of that many runs of every test's method on one blend, where all are known.
    pub cost: Option<f64>,
    /// Days of the longest method for one blend, where all are known.
    pub days: Option<f64>,
}

/// One test of a plan.
#[derive(Clone, Debug, PartialEq)]
pub struct PlannedRow {
    /// Method and quantity.
    pub key: TestKey,
    /// Method title.
    pub title: String,
    /// Standard.
    pub standard: String,
    /// Quantity label.
    pub label: String,
    /// What the trial does with it.
    pub used_to: Use,
    /// Resemblance and relevance per contact of the machine; empty without a rubbing contact.
    pub cells: Vec<PlannedCell>,
    /// Its weight if it is run and sorts.
    pub weight: f64,
    /// Beyond the machine in at least two respects.
    pub extreme: bool,
    /// Cost of one run.
    pub cost: Option<f64>,
    /// Days of one run.
    pub days: Option<f64>,
    /// Results so far.
    pub results: usize,
    /// What it could show; `None` where nothing says how far it scatters, or it is not weighed.
    pub power: Option<Power>,
}

/// One test beside one contact.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PlannedCell {
    /// Resemblance; `None` where it cannot be computed.
    pub resemblance: Option<f64>,
    /// How much the failure modes that it scores matter there.
    pub relevance: f64,
}

/// How well two blends that differ by one critical difference are told apart.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Power {
    /// Chance with the runs that are asked about.
    pub chance: f64,
    /// Runs of each blend that make the chance 80 %; `None` beyond [`MOST_RUNS`].
    pub needed: Option<usize>,
}

/// Most runs that are tried.
pub const MOST_RUNS: usize = 12;
/// Chance that a plan should reach (common practice, no source).
pub const WANTED_CHANCE: f64 = 0.8;

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

/// The plan of a trial at a number of runs of each blend (1 to [`MOST_RUNS`]); `methods` are all that could be run.
pub fn plan(records: &TrialRecords, methods: &[Method], runs: usize) -> Plan {
    let runs = runs.clamp(1, MOST_RUNS);
    let evidence = gather(records);
    let scales = WhatIf::default().scales_over(&records.term_scales);
    let machine = MachineSide::of(records);
    let sides: Vec<SideBySide> = evidence
        .iter()
        .map(|one| side_by_side(&machine, one, &evidence))
        .collect();
    let tests: Vec<Test> = evidence
        .into_iter()
        .zip(sides)
        .map(|(evidence, sides)| Test::new(evidence, sides, &scales))
        .collect();
    let weights = weights(&tests);
    let rows: Vec<PlannedRow> = tests
        .par_iter()
        .zip(&weights)
        .map(|(test, weight)| row(test, *weight, runs))
        .collect();
    let contacts = records.machine.contacts.iter();
    Plan {
        contacts: contacts
            .map(|contact| (contact.name.clone(), contact.share))
            .collect(),
        modes: modes(&Considered {
            records,
            tests: &tests,
            methods,
            scales: &scales,
        }),
        together: together(&tests, &weights, runs),
        cost: per_method(&rows, |row| row.cost).map(|costs| runs as f64 * costs.iter().sum::<f64>()),
        days: per_method(&rows, |row| row.days)
            .map(|days| runs as f64 * days.into_iter().fold(0.0, f64::max)),
        tests: rows,
        runs,
    }
}

fn row(test: &Test, weight: f64, runs: usize) -> PlannedRow {
    let (evidence, likeness) = (&test.evidence, &test.likeness);
    let cells = likeness.contacts.iter().map(|contact| PlannedCell {
        resemblance: contact.resemblance.value,
        relevance: contact.relevance,
    });
    PlannedRow {
        key: evidence.key().clone(),
        title: evidence.method.title.clone(),
        standard: evidence.method.standard.clone(),
        label: evidence.quantity.label.clone(),
        used_to: evidence.test.used_to,
        cells: cells.collect(),
        weight,
        extreme: likeness.is_extreme(),
        cost: evidence.test.cost.or(evidence.method.cost),
        days: evidence.test.days.or(evidence.method.days),
        results: evidence.cells.iter().map(|cell| cell.results.len()).sum(),
        power: (weight > 0.0).then(|| of_one(test, runs)).flatten(),
    }
}

/// Weight of every test if all are run and sort; one run, one vote, and one apparatus, not two.
fn weights(tests: &[Test]) -> Vec<f64> {
    let voters: Vec<Voter> = tests
        .iter()
        .map(|test| {
            let weighed = test.evidence.test.used_to == Use::Weigh && test.likeness.not_weighed.is_none();
            let raw = if weighed { test.likeness.raw_weight } else { 0.0 };
            test.voter(raw)
        })
        .collect();
    votes(&voters)
}

/// One value per method, the greatest of its tests; `None` where one is not known.
fn per_method(rows: &[PlannedRow], value: impl Fn(&PlannedRow) -> Option<f64>) -> Option<Vec<f64>> {
    let mut of_method: BTreeMap<&MethodId, f64> = BTreeMap::new();
    for row in rows {
        let own = value(row)?;
        let known = of_method.entry(&row.key.method).or_default();
        *known = known.max(own);
    }
    (!of_method.is_empty()).then(|| of_method.into_values().collect())
}

/// Probability from which one test tells two blends apart: 95 % on two sides.
const CERTAIN: f64 = 0.975;

/// One test alone.
fn of_one(test: &Test, runs: usize) -> Option<Power> {
    Some(alone(planned(test, 1.0)?, runs))
}

fn alone(planned: PlannedTest, runs: usize) -> Power {
    power(&[planned], runs, CERTAIN)
}

/// All weighed tests together, one blend better by one critical difference on each: by their sum, to the probability at
/// which a leader of two may be named.
fn together(tests: &[Test], weights: &[f64], runs: usize) -> Power {
    let weighed = tests.iter().zip(weights).filter(|(_, weight)| **weight > 0.0);
    let planned: Vec<PlannedTest> = weighed
        .filter_map(|(test, weight)| {
            let gap = 2.0 * test.spread.as_ref()?.reproducibility;
            planned(test, weight / gap)
        })
        .collect();
    power(&planned, runs, PAIRWISE)
}

fn power(planned: &[PlannedTest], runs: usize, certainty: f64) -> Power {
    Power {
        chance: chance_told_apart(planned, runs, certainty),
        needed: runs_needed(planned, certainty, WANTED_CHANCE, MOST_RUNS),
    }
}

fn planned(test: &Test, weight: f64) -> Option<PlannedTest> {
    let (spread, quantity) = (test.spread.as_ref()?, test.evidence.quantity);
    Some(PlannedTest {
        sd: spread.within_sd,
        steps: quantity.working_steps(),
        difference: spread.repeatability,
        weight,
    })
}

/// Methods of the catalogue that are named where nothing of the trial speaks of a mode.
const NAMED: usize = 3;

/// What is planned, and what else could be.
#[derive(Clone, Copy)]
struct Considered<'a> {
    records: &'a TrialRecords,
    tests: &'a [Test<'a>],
    methods: &'a [Method],
    scales: &'a Scales,
}

/// Whether a test that resembles a contact so closely speaks of it.
fn speaks_of(resemblance: Option<f64>) -> bool {
    resemblance.is_some_and(|value| value > SPEAKS_ABOVE)
}

/// Every failure mode of every contact, the most important of each contact first.
fn modes(plan: &Considered) -> Vec<ModeCover> {
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
            let covers = test.evidence.test.used_to == Use::Gate && !mode.needs_contact();
            let speaks = covers || speaks_of(resemblance);
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
                (Some(machine), false) => most_alike(&one.sides, machine, scores, scales).value,
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
    use crate::catalogue::{MethodId, built_in, built_in_method};
    use crate::support::trials::a_against_b;

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

    #[test]
    fn a_plan_is_made_for_1_to_12_runs() {
        let records = a_against_b(&["rolling wear"], &[]).wear_bench().build();
        for (asked, planned) in [(0, 1), (1, 1), (2, 2), (11, 11), (12, 12), (13, 12)] {
            assert_eq!(plan(&records, &[], asked).runs, planned, "{asked}");
        }
    }

    #[test]
    fn of_the_methods_that_would_speak_of_a_mode_three_are_named() {
        let records = a_against_b(&["rolling wear"], &[]).build();
        let would = |methods: &[Method]| plan(&records, methods, 1).modes[0].would.clone();
        let key = would(built_in())[0].key.clone();
        let mut method = built_in_method(key.method.as_str()).unwrap().clone();
        method.quantities.retain(|quantity| quantity.id == key.quantity);
        for (known, named) in [(0, 0), (2, 2), (3, 3), (4, 3)] {
            let copy = |number| Method {
                id: MethodId::new(&format!("copy_{number}")).unwrap(),
                ..method.clone()
            };
            let copies: Vec<Method> = (0..known).map(copy).collect();
            assert_eq!(would(&copies).len(), named, "{known}");
        }
    }

    /// Two means of n readings differ by d with a standard deviation of s sqrt(2 / n); the chance of 80 % at 97.5 %
    /// certainty needs d = (1.9600 + 0.8416) s sqrt(2 / n).
    #[test]
    fn the_runs_that_are_needed_make_the_chance_80_per_cent_and_are_12_at_most() {
        let of = |runs: f64| 2.8016 * (2.0 / runs).sqrt();
        let of_one = |difference: f64| {
            let numbers = PlannedTest {
                sd: 1.0,
                steps: Vec::new(),
                difference,
                weight: 1.0,
            };
            alone(numbers, 1)
        };
        let needed = |difference: f64| of_one(difference).needed;
        // a simulated chance is off by up to some points: a tenth of the difference is more than they are
        assert_eq!(needed(1.1 * of(1.0)), Some(1));
        assert_eq!(needed(0.9 * of(1.0)), Some(2));
        assert_eq!(needed(0.9 * of(12.0)), None);
        let about_12 = (-20..20).map(|step| needed(of(12.0) * (1.0 + 0.005 * f64::from(step))));
        assert_eq!(about_12.flatten().max(), Some(12));
        // where the difference is the limit of certainty itself, every other pair is told apart
        let at_the_limit = of_one(1.96 * 2f64.sqrt()).chance;
        assert!((at_the_limit - 0.5).abs() < 0.06, "{at_the_limit}");
    }
}
