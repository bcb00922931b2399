//! How far one run of a method may move the score of each contender.

use crate::catalogue::{Lubricant, Method, MethodId, Quantity, Use, built_in};
use crate::records::{BlendKind, Level, Role, TestKey, TrialRecords, TrialTest};
use crate::resemblance::{Voter, votes};
use crate::standing::evidence::gather;
use crate::standing::facts::Known;
use crate::standing::kernel::{Fitted, Who};
use crate::standing::likeness::{MachineSide, side_by_side};
use crate::standing::prepare::{Case, HEAD_ROOM, Test};
use crate::standing::run_next::{Basis, Planned};
use crate::stats::value_of_information::{Change, Points, Readable};
use crate::units::position;
use rayon::prelude::*;
use std::collections::BTreeMap;

/// Points at which the mean position of a test is computed; between them it runs straight.
const CURVE: usize = 100;

/// One method that could be run.
#[derive(Clone)]
pub(super) struct MethodMoves {
    pub(super) method: MethodId,
    /// The family of its apparatus.
    pub(super) family: String,
    /// Title and standard.
    pub(super) title: String,
    /// Its tests that would have results.
    pub(super) tests: Vec<TestKey>,
    /// What one run on each contender may do to its score, in the order of the contenders.
    pub(super) changes: Vec<Change>,
    pub(super) cost: Option<f64>,
    pub(super) days: Option<f64>,
    pub(super) planned: Planned,
    pub(super) basis: Basis,
    /// Runs of reference oils that come before it, without which it has no scale.
    pub(super) reference_runs: usize,
    /// Whether all its tests are extreme-condition screens.
    pub(super) extreme: bool,
}

impl MethodMoves {
    pub(super) fn moves_anything(&self) -> bool {
        self.changes.iter().any(|change| *change != Change::none())
    }

    /// A method that moves no score so far.
    pub(super) fn of(
        (method, test): (&Method, &TrialTest),
        planned: Planned,
        basis: Basis,
        (records, contenders): (&TrialRecords, usize),
    ) -> Self {
        let references = [Level::KnownGood, Level::KnownPoor].into_iter();
        let named = references.filter_map(|level| records.reference(test, level));
        Self {
            method: method.id.clone(),
            family: method.family().to_string(),
            title: method.to_string(),
            tests: Vec::new(),
            changes: vec![Change::none(); contenders],
            cost: test.cost.or(method.cost),
            days: test.days.or(method.days),
            planned,
            basis,
            reference_runs: match basis {
                Basis::Measured => 0,
                Basis::Assumed => named.count(),
            },
            extreme: true,
        }
    }

    /// Adds a quantity that the same run gives.
    fn add(&mut self, test: &Test, changes: &[Change], weight: f64) {
        self.tests.push(test.evidence.key().clone());
        self.extreme &= test.likeness.is_extreme();
        for (sum, change) in self.changes.iter_mut().zip(changes) {
            *sum = sum.and(&change.times(weight));
        }
    }
}

/// The methods of the trial: tests with a weight on the scale of their reference oils, tests that were never run on an
/// assumed one.
pub(super) fn in_trial(known: &Known, contenders: &[usize]) -> Vec<MethodMoves> {
    let Known {
        prepared,
        choice,
        fitted,
        kernel: standing,
        ..
    } = *known;
    let weighed: Vec<(usize, usize)> = prepared
        .fitted_tests
        .iter()
        .enumerate()
        .filter(|(at, _)| choice.weights[*at] > 0.0)
        .map(|(at, place)| (at, *place))
        .collect();
    let changes: Vec<Vec<Change>> = weighed
        .par_iter()
        .map(|(at, place)| of_fitted(fitted, *at, &prepared.tests[*place], contenders))
        .collect();
    let mut methods: BTreeMap<&MethodId, MethodMoves> = BTreeMap::new();
    for ((at, place), changes) in weighed.into_iter().zip(changes) {
        let test = &prepared.tests[place];
        let evidence = &test.evidence;
        let known_method = methods.entry(&evidence.method.id);
        let first = || {
            MethodMoves::of(
                (evidence.method, &evidence.test),
                Planned::InTrial,
                Basis::Measured,
                (known.case.records, contenders.len()),
            )
        };
        let weight = choice.weights[at] / standing.total_weight;
        known_method.or_insert_with(first).add(test, &changes, weight);
    }
    let not_run = |test: &&Test| !test.evidence.is_run() && !methods.contains_key(&test.evidence.method.id);
    let not_run: Vec<&Test> = prepared.tests.iter().filter(not_run).collect();
    let assumed = assumed(&not_run, Planned::InTrial, known, contenders.len());
    methods.into_values().chain(assumed).collect()
}

/// The trial with the tests that it does not name, of methods for its form of lubricant, and without results.
pub(super) fn wider(records: &TrialRecords) -> TrialRecords {
    let form = form_of_lubricant(records);
    let named = |method: &Method| {
        let mut tests = records.trial.tests.iter();
        tests.any(|test| test.key.method == method.id)
    };
    let others = built_in().iter().filter(|method| method.lubricant == form);
    let others: Vec<Method> = others.filter(|method| !named(method)).cloned().collect();
    let mut wider = TrialRecords {
        results: Vec::new(),
        ..records.clone()
    };
    let tests = others.iter().flat_map(|method| {
        let quantities = method.quantities.iter();
        let used = quantities.filter(|quantity| quantity.usual_use != Use::Show);
        used.map(|quantity| would_be(method, quantity))
    });
    wider.trial.tests = tests.collect();
    wider.methods = others;
    wider
}

/// The tests of a wider trial beside the machine.
pub(super) fn elsewhere<'w>(wider: &'w TrialRecords, case: Case) -> Vec<Test<'w>> {
    let scales = case.what_if.scales_over(&wider.term_scales);
    let machine = MachineSide::of(wider);
    let evidence = gather(wider).into_iter();
    evidence
        .map(|evidence| {
            let sides = side_by_side(&machine, &evidence, &[]);
            Test::new(evidence, sides, &scales)
        })
        .collect()
}

fn would_be(method: &Method, quantity: &Quantity) -> TrialTest {
    TrialTest {
        key: TestKey::new(&method.id, &quantity.id),
        used_to: quantity.usual_use,
        limit: String::new(),
        known_good: None,
        known_poor: None,
        cost: None,
        days: None,
        reason: String::new(),
    }
}

/// Greases where every candidate is one, else oils.
fn form_of_lubricant(records: &TrialRecords) -> Lubricant {
    let mut candidates = records
        .with_role(Role::Candidate)
        .filter_map(|code| records.blend(code));
    if candidates.all(|blend| blend.kind == BlendKind::Grease) {
        Lubricant::Grease
    } else {
        Lubricant::Oil
    }
}

/// Methods whose tests were never run: every contender's position is as little known as that of any blend. Each weighs
/// what it would beside the tests that weigh now, one run, one vote and one apparatus, not two.
pub(super) fn assumed(
    tests: &[&Test],
    planned: Planned,
    known: &Known,
    contenders: usize,
) -> Vec<MethodMoves> {
    let Known {
        prepared,
        choice,
        kernel,
        case,
        ..
    } = *known;
    let usable = |test: &&&Test| {
        test.evidence.test.used_to == Use::Weigh
            && test.likeness.not_weighed.is_none()
            && test.spread.is_some()
    };
    let mut of_method: BTreeMap<&MethodId, Vec<&Test>> = BTreeMap::new();
    for test in tests.iter().filter(usable) {
        of_method.entry(&test.evidence.method.id).or_default().push(test);
    }
    let weighed: Vec<Voter> = choice
        .weighed()
        .map(|at| prepared.fitted_test(at))
        .map(|test| test.voter(test.likeness.raw_weight))
        .collect();
    let now: f64 = votes(&weighed).iter().sum();
    let moves = of_method.into_values().map(|members| {
        let joining = members.iter().map(|test| test.voter(test.likeness.raw_weight));
        let together: Vec<Voter> = weighed.iter().copied().chain(joining).collect();
        let weights = votes(&together);
        let total = kernel.total_weight + weights.iter().sum::<f64>() - now;
        let evidence = &members[0].evidence;
        let mut moves = MethodMoves::of(
            (evidence.method, &evidence.test),
            planned,
            Basis::Assumed,
            (case.records, contenders),
        );
        for (test, weight) in members.iter().zip(&weights[weighed.len()..]) {
            let changes = vec![of_unrun(test); contenders];
            moves.add(test, &changes, weight / total);
        }
        moves
    });
    moves.collect()
}

/// Positions between references twice the reproducibility apart; a candidate's prior is one such gap wide.
fn of_unrun(test: &Test) -> Change {
    let Some(spread) = test.spread.as_ref() else {
        return Change::none();
    };
    let points = Points::normal(0.5, 1.0);
    let position: Vec<f64> = points.values().iter().map(|u| position(*u, HEAD_ROOM)).collect();
    points.change(
        &Readable::Number,
        spread.within_sd / (2.0 * spread.reproducibility),
        &position,
    )
}

fn of_fitted(fitted: &Fitted, at: usize, test: &Test, contenders: &[usize]) -> Vec<Change> {
    let (fit, input) = (&fitted.tests()[at], &fitted.input().tests[at]);
    let cells: Vec<Points> = contenders
        .iter()
        .filter_map(|place| fit.cell(Who::Candidate(*place)))
        .map(|cell| Points::of(cell.value().central()))
        .collect();
    let ends = cells.iter().flat_map(|cell| cell.values().iter().copied());
    let (lo, hi) = ends.fold((f64::INFINITY, f64::NEG_INFINITY), |(lo, hi), t| {
        (lo.min(t), hi.max(t))
    });
    let step = (hi - lo) / (CURVE - 1) as f64;
    let curve: Vec<f64> = (0..CURVE)
        .map(|i| fit.position_of(lo + step * i as f64))
        .collect();
    let position = |t: f64| {
        let place = if step > 0.0 {
            ((t - lo) / step).clamp(0.0, (CURVE - 1) as f64)
        } else {
            0.0
        };
        let left = (place as usize).min(CURVE - 2);
        let part = place - left as f64;
        curve[left] * (1.0 - part) + curve[left + 1] * part
    };
    let readable = readable(test.evidence.quantity);
    let change = |cell: &Points| {
        let positions: Vec<f64> = cell.values().iter().map(|t| position(*t)).collect();
        cell.change(&readable, input.deviation.sd, &positions)
    };
    cells.iter().map(change).collect()
}

/// What a run of a quantity gives, turned so that greater is better.
fn readable(quantity: &Quantity) -> Readable {
    if !quantity.scale.is_stepped() {
        return Readable::Number;
    }
    let sign = quantity.better.sign();
    let seen = |step: &&f64| {
        quantity.first_inspected.is_none_or(|first| **step >= first)
            && quantity.scale.cap().is_none_or(|cap| **step <= cap)
    };
    let steps = quantity.scale.steps().iter().filter(seen);
    let mut steps: Vec<f64> = steps
        .filter_map(|step| quantity.scale.to_working(*step))
        .map(|t| sign * t)
        .collect();
    steps.sort_by(f64::total_cmp);
    Readable::Steps(steps)
}
