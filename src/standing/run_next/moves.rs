//! How far one run of a method may move the score of each contender.

use crate::catalogue::{Lubricant, Method, MethodId, Quantity, Use, built_in};
use crate::records::{BlendKind, Role, TestKey, TrialRecords, TrialTest};
use crate::resemblance::share_one_vote;
use crate::standing::evidence::{Evidence, gather};
use crate::standing::facts::Known;
use crate::standing::kernel::{Fitted, Ranking, Who};
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
pub(super) struct MethodMoves {
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
}

impl MethodMoves {
    pub(super) fn moves_anything(&self) -> bool {
        self.changes.iter().any(|change| *change != Change::none())
    }

    fn of(evidence: &Evidence, planned: Planned, basis: Basis, contenders: usize) -> Self {
        let (method, test) = (evidence.method, &evidence.test);
        Self {
            title: method.to_string(),
            tests: Vec::new(),
            changes: vec![Change::none(); contenders],
            cost: test.cost.or(method.cost),
            days: test.days.or(method.days),
            planned,
            basis,
        }
    }

    /// Adds a quantity that the same run gives.
    fn add(&mut self, key: &TestKey, changes: &[Change], weight: f64) {
        self.tests.push(key.clone());
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
        let evidence = &prepared.tests[place].evidence;
        let known = methods.entry(&evidence.method.id);
        known
            .or_insert_with(|| MethodMoves::of(evidence, Planned::InTrial, Basis::Measured, contenders.len()))
            .add(
                evidence.key(),
                &changes,
                choice.weights[at] / standing.total_weight,
            );
    }
    let not_run = |test: &&Test| {
        test.evidence.test.used_to == Use::Weigh
            && !test.evidence.is_run()
            && !methods.contains_key(&test.evidence.method.id)
    };
    let not_run: Vec<&Test> = prepared.tests.iter().filter(not_run).collect();
    let assumed = assumed(&not_run, Planned::InTrial, standing, contenders.len());
    methods.into_values().chain(assumed).collect()
}

/// Methods that the trial does not name, for its form of lubricant.
pub(super) fn elsewhere(case: Case, standing: &Ranking, contenders: &[usize]) -> Vec<MethodMoves> {
    let Case { records, what_if, .. } = case;
    let scales = what_if.scales_over(&records.term_scales);
    let form = form_of_lubricant(records);
    let named = |method: &Method| {
        records
            .trial
            .tests
            .iter()
            .any(|test| test.key.method == method.id)
    };
    let mut wider = records.clone();
    let others = built_in()
        .iter()
        .filter(|method| method.lubricant == form && method.has_contact());
    let others: Vec<Method> = others.filter(|method| !named(method)).cloned().collect();
    let usually_weighed = |method: &Method| -> Vec<TrialTest> {
        let weighed = method
            .quantities
            .iter()
            .filter(|quantity| quantity.usual_use == Use::Weigh);
        weighed.map(|quantity| would_be(method, quantity)).collect()
    };
    wider.results.clear();
    wider.trial.tests = others.iter().flat_map(usually_weighed).collect();
    wider.methods = others;
    let machine = MachineSide::of(&wider);
    let test = |evidence| {
        let sides = side_by_side(&machine, &evidence, &[]);
        Test::new(evidence, sides, &scales)
    };
    let tests: Vec<Test> = gather(&wider).into_iter().map(test).collect();
    let tests: Vec<&Test> = tests.iter().collect();
    assumed(&tests, Planned::NotInTrial, standing, contenders.len())
}

fn would_be(method: &Method, quantity: &Quantity) -> TrialTest {
    TrialTest {
        key: TestKey::new(&method.id, &quantity.id),
        used_to: Use::Weigh,
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

/// Methods whose tests were never run: every contender's position is as little known as that of any blend.
fn assumed(tests: &[&Test], planned: Planned, standing: &Ranking, contenders: usize) -> Vec<MethodMoves> {
    let usable = |test: &&&Test| test.likeness.not_weighed.is_none() && test.spread.is_some();
    let mut of_method: BTreeMap<&MethodId, Vec<&Test>> = BTreeMap::new();
    for test in tests.iter().filter(usable) {
        of_method.entry(&test.evidence.method.id).or_default().push(test);
    }
    let moves = of_method.into_values().map(|members| {
        let raw: Vec<f64> = members.iter().map(|test| test.likeness.raw_weight).collect();
        let weights = share_one_vote(&raw);
        let total = standing.total_weight + weights.iter().sum::<f64>();
        let mut moves = MethodMoves::of(&members[0].evidence, planned, Basis::Assumed, contenders);
        for (test, weight) in members.iter().zip(weights) {
            let changes = vec![of_unrun(test); contenders];
            moves.add(test.evidence.key(), &changes, weight / total);
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
