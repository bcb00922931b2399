//! What a standing says of each test.

use crate::catalogue::Use;
use crate::records::{BlendCode, TestKey};
use crate::standing::kernel::{Ranking, Tipping, Who};
use crate::standing::prepare::{Prepared, Test};
use crate::standing::readings::readings;
use crate::standing::shifts::{Adjust, shifts};
use crate::standing::strip;
use crate::standing::strip::RunMarks;
use crate::standing::summary::{Estimate, Scatter, TestStanding, Tip};
use crate::standing::weights::Choice;
use crate::standing::{BeyondMachine, NotWeighed, Position};
use std::collections::BTreeMap;

/// Estimates as read, by test and blend.
pub(crate) type RawEstimates = BTreeMap<TestKey, BTreeMap<BlendCode, Estimate>>;

/// Estimates as read, of the tests in which severity moves something.
pub(crate) fn raw_estimates(prepared: &Prepared, raw: &Prepared) -> RawEstimates {
    let Some(raw_fit) = raw.fitted.as_ref().filter(|_| prepared.fitted.is_some()) else {
        return BTreeMap::new();
    };
    let moved = |place: &usize| {
        let test = &prepared.tests[*place];
        let shifts = test
            .spread
            .as_ref()
            .map(|spread| shifts(&test.evidence, spread, Adjust::Severity));
        prepared.fitted_tests.contains(place)
            && shifts.is_some_and(|shifts| shifts.values().any(|shift| shift.mean != 0.0))
    };
    let of_test = |(at, place): (usize, &usize)| {
        let evidence = &raw.tests[*place].evidence;
        let estimates = || strip::estimates(evidence, &raw_fit.tests()[at], &raw.candidates);
        moved(place).then(|| (evidence.key().clone(), estimates()))
    };
    raw.fitted_tests.iter().enumerate().filter_map(of_test).collect()
}

/// What is said of tests, and what it is made from.
pub(crate) struct PerTest<'p, 'a> {
    /// The trial made ready.
    pub(crate) prepared: &'p Prepared<'a>,
    /// What counts.
    pub(crate) choice: &'p Choice,
    /// The ranking; `None` where no test could be fitted.
    pub(crate) kernel: Option<&'p Ranking>,
    /// Estimates as read.
    pub(crate) raw: &'p RawEstimates,
    /// What is known against single runs.
    pub(crate) marks: &'p RunMarks,
}

impl PerTest<'_, '_> {
    /// Those tests that are asked for and are no gates, by weight.
    pub(crate) fn those(&self, is_asked_for: impl Fn(&Test) -> bool) -> Vec<TestStanding> {
        let places = 0..self.prepared.tests.len();
        let asked = places.filter(|place| {
            let test = &self.prepared.tests[*place];
            test.evidence.test.used_to != Use::Gate && is_asked_for(test)
        });
        let mut tests: Vec<TestStanding> = asked.map(|place| self.standing_of(place)).collect();
        tests.sort_by(|a, b| {
            let mass = |test: &TestStanding| test.resemblance.unwrap_or(-1.0);
            b.weight
                .total_cmp(&a.weight)
                .then(mass(b).total_cmp(&mass(a)))
                .then(a.key.cmp(&b.key))
        });
        tests
    }

    fn standing_of(&self, place: usize) -> TestStanding {
        let PerTest {
            prepared,
            choice,
            kernel,
            raw,
            marks,
        } = *self;
        let test = &prepared.tests[place];
        let evidence = &test.evidence;
        let at = prepared.fitted_tests.iter().position(|fitted| *fitted == place);
        let fit = at
            .zip(prepared.fitted.as_ref())
            .map(|(at, fitted)| &*fitted.tests()[at]);
        let estimates = match fit {
            Some(fit) => strip::estimates(evidence, fit, &prepared.candidates),
            None => strip::plain_estimates(evidence),
        };
        let weight = at.map_or(0.0, |at| choice.weights[at]);
        let kernel_at = kernel.filter(|kernel| kernel.front_runner.is_some()).zip(at);
        let share = kernel_at
            .filter(|_| weight > 0.0)
            .and_then(|(k, at)| Some(k.lead.as_ref()?.shares.as_ref()?[at]));
        let lead = kernel
            .and_then(|kernel| kernel.lead.as_ref())
            .map(|lead| lead.difference);
        let tip = |tip: Option<Tipping>| {
            tip.map(|tip| Tip {
                factor: tip.factor,
                to: prepared.candidates[tip.rival].clone(),
            })
        };
        let tipping = kernel_at
            .map(|(kernel, at)| kernel.tipping[at])
            .unwrap_or_default();
        TestStanding {
            key: evidence.key().clone(),
            title: evidence.method.title.clone(),
            label: evidence.quantity.label.clone(),
            standard: evidence.method.standard.clone(),
            category: evidence.method.category,
            used_to: evidence.test.used_to,
            weight,
            resemblance: test.likeness.resemblance,
            resemblance_best: test.likeness.best,
            relevance: test
                .likeness
                .resemblance
                .filter(|r| *r > 0.0)
                .map(|r| test.likeness.raw_weight / r),
            extreme: test.likeness.is_extreme(),
            beyond_machine: test.likeness.beyond == Some(BeyondMachine::Components),
            excluded: choice
                .excluded
                .get(&place)
                .cloned()
                .or_else(|| (weight <= 0.0).then_some(NotWeighed::NoWeight)),
            contacts: test.likeness.contacts.clone(),
            lead_share: share,
            lead_contribution: share.zip(lead).map(|(share, lead)| share * lead),
            tips_down: tip(tipping.down),
            tips_up: tip(tipping.up),
            validity: at
                .zip(prepared.fitted.as_ref())
                .map(|(at, fitted)| fitted.tests()[at].validity())
                .unwrap_or_default(),
            positions: positions(prepared, test, kernel_at),
            readings: readings(evidence),
            strip: strip::strip(test, fit, &prepared.candidates, &estimates, marks),
            estimates,
            raw_estimates: raw.get(evidence.key()).cloned().unwrap_or_default(),
            runs: evidence
                .cells
                .iter()
                .map(|cell| cell.runs.len() + cell.stopped.len())
                .sum(),
            blocks: evidence
                .cells
                .iter()
                .map(|cell| (cell.blend.clone(), cell.blocks()))
                .collect(),
            precision: test.spread.as_ref().map(|spread| spread.source.clone()),
            scatter: test.spread.as_ref().map(|spread| Scatter {
                repeatability: spread.repeatability,
                reproducibility: spread.reproducibility,
            }),
            verdicts: Vec::new(),
            decided: test.likeness.decided,
        }
    }
}

/// Positions of candidates and of the control fluid.
fn positions(
    prepared: &Prepared,
    test: &Test,
    kernel_at: Option<(&Ranking, usize)>,
) -> BTreeMap<BlendCode, Position> {
    let (Some((_, at)), Some(fitted)) = (kernel_at, prepared.fitted.as_ref()) else {
        return BTreeMap::new();
    };
    let fit = &fitted.tests()[at];
    let run = |blend: &BlendCode| test.evidence.cell(blend).is_some_and(|cell| cell.is_run());
    let candidates = prepared.candidates.iter().enumerate();
    let candidates = candidates.map(|(place, blend)| (*blend, Who::Candidate(place)));
    let others = [
        (test.evidence.control, Who::Control),
        (test.evidence.middle, Who::Middle),
    ];
    let others = others.into_iter().filter_map(|(blend, who)| Some((blend?, who)));
    let placed = candidates.filter(|(blend, _)| run(blend)).chain(others);
    placed
        .filter_map(|(blend, who)| Some((blend.clone(), fit.position(who)?.into())))
        .collect()
}
