//! What a trial plans to test, before anything is run: which contact and which failure mode each test speaks of, and
//! what the planned runs could and could not show.

mod coverage;
mod power;

use crate::catalogue::{Method, Mode, Use};
use crate::records::{TestKey, TrialRecords};
use crate::resemblance::share_one_vote;
use crate::standing::WhatIf;
use crate::standing::evidence::gather;
use crate::standing::prepare::Test;
use crate::standing::spread::spread;
use crate::standing::weights::{MachineSide, SideBySide, side_by_side};
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
    pub cells: Vec<Cell>,
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
pub struct Cell {
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
    let evidence = gather(records, |_| false);
    let scales = WhatIf::default().scales_over(&records.term_scales);
    let machine = MachineSide::of(records);
    let sides: Vec<SideBySide> = evidence
        .iter()
        .map(|one| side_by_side(&machine, one, &evidence))
        .collect();
    let tests: Vec<Test> = evidence
        .into_iter()
        .zip(sides)
        .map(|(evidence, sides)| Test {
            spread: spread(&evidence),
            likeness: sides.on(&scales),
            sides,
            unsettled: Default::default(),
            evidence,
        })
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
        modes: coverage::modes(&coverage::Planned {
            records,
            tests: &tests,
            methods,
            scales: &scales,
        }),
        together: power::together(&tests, &weights, runs),
        cost: per_method(&rows, |row| row.cost).map(|costs| runs as f64 * costs.iter().sum::<f64>()),
        days: per_method(&rows, |row| row.days)
            .map(|days| runs as f64 * days.into_iter().fold(0.0, f64::max)),
        tests: rows,
        runs,
    }
}

fn row(test: &Test, weight: f64, runs: usize) -> PlannedRow {
    let (evidence, likeness) = (&test.evidence, &test.likeness);
    let cells = likeness.contacts.iter().map(|contact| Cell {
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
        extreme: likeness.extreme,
        cost: evidence.test.cost.or(evidence.method.cost),
        days: evidence.test.days.or(evidence.method.days),
        results: evidence.cells.iter().map(|cell| cell.results.len()).sum(),
        power: (weight > 0.0).then(|| power::of_one(test, runs)).flatten(),
    }
}

/// Weight of every test if all are run and sort; one run, one vote.
fn weights(tests: &[Test]) -> Vec<f64> {
    let mut of_method: BTreeMap<&str, Vec<usize>> = BTreeMap::new();
    let weighed =
        |test: &Test| test.evidence.test.used_to == Use::Weigh && test.likeness.not_weighed.is_none();
    for (place, test) in tests.iter().enumerate().filter(|(_, test)| weighed(test)) {
        of_method
            .entry(test.evidence.method.id.as_str())
            .or_default()
            .push(place);
    }
    let mut weights = vec![0.0; tests.len()];
    for members in of_method.values() {
        let raw: Vec<f64> = members
            .iter()
            .map(|place| tests[*place].likeness.raw_weight)
            .collect();
        for (place, weight) in members.iter().zip(share_one_vote(&raw)) {
            weights[*place] = weight;
        }
    }
    weights
}

/// One value per method, the greatest of its tests; `None` where one is not known.
fn per_method(rows: &[PlannedRow], value: impl Fn(&PlannedRow) -> Option<f64>) -> Option<Vec<f64>> {
    let mut of_method: BTreeMap<&str, f64> = BTreeMap::new();
    for row in rows {
        let own = value(row)?;
        let known = of_method.entry(row.key.method.as_str()).or_default();
        *known = known.max(own);
    }
    (!of_method.is_empty()).then(|| of_method.into_values().collect())
}
