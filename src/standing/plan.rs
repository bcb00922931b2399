//! What a trial plans to test, before anything is run: which contact and which failure mode each test speaks of, and
//! what the planned runs could and could not show.

use crate::catalogue::{Method, MethodId, Use};
use crate::records::{TestKey, TrialRecords};
use crate::resemblance::{Voter, votes};
use crate::standing::PAIRWISE;
use crate::standing::cover::{Considered, ModeCover, modes};
use crate::standing::evidence::gather;
use crate::standing::likeness::{MachineSide, SideBySide, side_by_side};
use crate::standing::prepare::Test;
use crate::standing::{NotWeighed, Standing, WhatIf};
use crate::stats::power::{PlannedTest, chance_told_apart, runs_needed};
use rayon::prelude::*;
use std::collections::BTreeMap;

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
    /// Its weight in the standing; where it was not run yet, if it is run and sorts.
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

/// The plan of a trial at a number of runs of each blend (1 to [`MOST_RUNS`]); `methods` are all that could be run, and
/// `standing` is that of the same records.
pub fn plan(records: &TrialRecords, standing: &Standing, methods: &[Method], runs: usize) -> Plan {
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
    let weights = weights(&tests, standing);
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

/// Weight of every test: of one that was run, that in the standing; of another, what it would weigh beside those if it is
/// run and sorts (one run, one vote, and one apparatus, not two).
fn weights(tests: &[Test], standing: &Standing) -> Vec<f64> {
    let settled = |test: &Test| {
        let known = standing.test(test.evidence.key())?;
        match known.excluded {
            Some(NotWeighed::NotRun | NotWeighed::DataSheetOnly) => None,
            _ => Some(known.weight),
        }
    };
    let voter = |test: &'_ Test| {
        let could = test.evidence.test.used_to == Use::Weigh && test.likeness.not_weighed.is_none();
        could && settled(test) != Some(0.0)
    };
    let voters: Vec<Voter> = tests
        .iter()
        .map(|test| {
            test.voter(if voter(test) {
                test.likeness.raw_weight
            } else {
                0.0
            })
        })
        .collect();
    let would_be = tests.iter().zip(votes(&voters));
    would_be
        .map(|(test, weight)| settled(test).unwrap_or(weight))
        .collect()
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalogue::{MethodId, built_in, built_in_method};
    use crate::standing::{FitCache, judge};
    use crate::support::trials::a_against_b;

    fn of(records: &TrialRecords, methods: &[Method], runs: usize) -> Plan {
        plan(records, &judged(records), methods, runs)
    }

    fn judged(records: &TrialRecords) -> Standing {
        let what_if = WhatIf {
            draws: 500,
            ..WhatIf::default()
        };
        judge(records, &what_if, &FitCache::default())
    }

    /// Of two quantities of one method one does not sort, a third test was not run, and a fourth is of the same apparatus.
    #[test]
    fn a_test_that_was_run_weighs_in_the_plan_what_it_weighs_in_the_standing() {
        let wear = |good: &'static [&'static str]| {
            a_against_b(&["rolling wear", "adhesive wear"], &[])
                .wear_bench()
                .runs("A", "bench/wear", &["0.6"])
                .runs("B", "bench/wear", &["0.7"])
                .weigh("fb_wear_oil_B/scar")
                .runs("GOOD", "fb_wear_oil_B/scar", good)
                .runs("POOR", "fb_wear_oil_B/scar", &["0.80", "0.82"])
                .runs("A", "fb_wear_oil_B/scar", &["0.5"])
                .runs("B", "fb_wear_oil_B/scar", &["0.6"])
                .own_bench("later", "rolling wear")
                .build()
        };
        for (good, sorts) in [(&["0.40", "0.41"][..], true), (&["0.80", "0.82"][..], false)] {
            let records = wear(good);
            let (standing, planned) = (judged(&records), of(&records, &[], 1));
            for row in &planned.tests {
                let known = standing.test(&row.key).unwrap();
                match row.key.method.as_str() {
                    "later" => assert!(row.weight > 0.0 && known.weight == 0.0),
                    _ => assert_eq!(row.weight, known.weight, "{}", row.key),
                }
            }
            assert_eq!(planned.tests[1].weight > 0.0, sorts);
        }
    }

    #[test]
    fn a_plan_is_made_for_1_to_12_runs() {
        let records = a_against_b(&["rolling wear"], &[]).wear_bench().build();
        for (asked, planned) in [(0, 1), (1, 1), (2, 2), (11, 11), (12, 12), (13, 12)] {
            assert_eq!(of(&records, &[], asked).runs, planned, "{asked}");
        }
    }

    #[test]
    fn of_the_methods_that_would_speak_of_a_mode_three_are_named() {
        let records = a_against_b(&["rolling wear"], &[]).build();
        let would = |methods: &[Method]| of(&records, methods, 1).modes[0].would.clone();
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
