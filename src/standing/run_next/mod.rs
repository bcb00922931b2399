//! What to run next: how much a further run is expected to improve the choice, for its cost and its days.
//!
//! # Formula
//! With mean weights the score is additive, so a run moves only the expected positions of its own cells. The value of a
//! run is `E[max_i S_i] - max_i S_i`, the expected value of sample information, in score between the known poor (0) and
//! the known good (1) reference oil. Runs count as made beside the reference oils, in one block. Weights are taken as
//! they are: testing settles results, never weights, and [`DoubtSplit`] says how much of the doubt is either's.
//!
//! A test that was never run has no reference oils yet: its scale is taken as for a test with one reference, a gap of
//! twice the reproducibility (ours). Tests that do not sort lubricants in this trial are not advised.

mod bundles;
mod moves;

use crate::records::{BlendCode, TestKey, TrialRecords};
use crate::resemblance::Scales;
use crate::standing::choice::Choice;
use crate::standing::kernel;
use crate::standing::prepare::Prepared;
use crate::standing::run_next::moves::MethodMoves;
use crate::standing::summary::Doubt;

/// Most candidates that are looked at, the front-runner among them.
const CONTENDERS: usize = 4;
/// A candidate that ranks first in fewer draws than this is no contender, unless it is the runner-up.
const LEAST_CHANCE: f64 = 0.02;
/// Most proposals that are kept beside the trial's own methods, each by itself.
const OTHERS_KEPT: usize = 6;

/// Whether the trial asks for the runs already.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Planned {
    /// Its tests stand in the trial.
    InTrial,
    /// The methods are known, but the trial does not name them.
    NotInTrial,
}

/// What the scale of a proposal rests on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Basis {
    /// Reference oils were run.
    Measured,
    /// Nothing was run yet: a gap of twice the reproducibility is assumed.
    Assumed,
}

/// Runs that could be made next: every method once on every blend.
#[derive(Clone, Debug, PartialEq)]
pub struct NextRun {
    /// The tests that would have results.
    pub tests: Vec<TestKey>,
    /// Title and standard of each method.
    pub methods: Vec<String>,
    /// The candidates to run.
    pub blends: Vec<BlendCode>,
    /// What choosing after these runs wins on average over choosing today, in score.
    pub value: f64,
    /// Chance that another candidate is in front afterwards.
    pub leader_changes: f64,
    /// Cost of all its runs; `None` where a method's is not known.
    pub cost: Option<f64>,
    /// Days until all are done: runs of one method follow each other, methods run side by side.
    pub days: Option<f64>,
    /// Whether the trial names them.
    pub planned: Planned,
    /// What the scale rests on.
    pub basis: Basis,
}

impl NextRun {
    /// Value for one unit of cost.
    pub fn per_cost(&self) -> Option<f64> {
        self.cost.filter(|cost| *cost > 0.0).map(|cost| self.value / cost)
    }

    /// Value for one day.
    pub fn per_day(&self) -> Option<f64> {
        self.days.filter(|days| *days > 0.0).map(|days| self.value / days)
    }

    /// Whether its value, priced at `stake` for the whole way from known poor to known good, covers its cost; `None`
    /// where the cost is not known.
    pub fn is_worth(&self, stake: f64) -> Option<bool> {
        self.cost.map(|cost| self.value * stake >= cost)
    }
}

/// How much of the doubt about the front-runner comes from where.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DoubtSplit {
    /// Share of draws in which the front-runner ranks first.
    pub as_it_is: f64,
    /// The same if every result were known exactly and only the weights were not.
    pub results_known: f64,
    /// The same if the weights were known exactly and only the results were not.
    pub weights_known: f64,
}

/// What to run next.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct RunNext {
    /// Proposals, the greatest value for its cost first; those without a known cost last, by value.
    pub runs: Vec<NextRun>,
    /// Where the doubt comes from; `None` where nobody is in front.
    pub doubt: Option<DoubtSplit>,
    /// Tests with a weight that are not advised, since they do not sort lubricants in this trial.
    pub not_advised: Vec<TestKey>,
}

impl RunNext {
    /// The proposals whose value covers their cost at a stake; empty: none is worth its cost.
    pub fn worth_their_cost(&self, stake: f64) -> impl Iterator<Item = &NextRun> {
        self.runs
            .iter()
            .filter(move |run| run.is_worth(stake) == Some(true))
    }
}

/// What a wrong choice costs that misses by the whole way from known poor to known good, in the currency of the costs
/// (ours; a page lets it be changed).
pub const USUAL_STAKE: f64 = 100_000.0;

/// What to run next; nothing where nobody is in front or nobody is beside the front-runner.
pub(crate) fn run_next(
    records: &TrialRecords,
    scales: &Scales,
    prepared: &Prepared,
    choice: &Choice,
    standing: &kernel::Standing,
) -> RunNext {
    let Some(fitted) = prepared.fitted.as_ref() else {
        return RunNext::default();
    };
    let doubt = fitted.split_of_doubt(&choice.selection).ok().flatten();
    let doubt = doubt.map(|[as_it_is, results_known, weights_known]| DoubtSplit {
        as_it_is,
        results_known,
        weights_known,
    });
    let not_advised = prepared.fitted_tests.iter().enumerate();
    let not_advised = not_advised
        .filter(|(at, _)| choice.weights[*at] <= 0.0 && choice.weights_if_sorting[*at] > 0.0)
        .map(|(_, place)| prepared.tests[*place].evidence.key().clone())
        .collect();
    let contenders = contenders(standing);
    if contenders.len() < 2 {
        return RunNext {
            doubt,
            not_advised,
            runs: Vec::new(),
        };
    }
    let mut methods = moves::in_trial(prepared, choice, standing, &contenders);
    methods.extend(moves::elsewhere(records, scales, standing, &contenders));
    methods.retain(MethodMoves::moves_anything);
    let mut others = 0;
    let mut runs = bundles::proposals(&methods, &contenders, standing, &prepared.candidates);
    runs.retain(|run| {
        let own = run.planned == Planned::InTrial && run.methods.len() == 1;
        others += usize::from(!own);
        own || others <= OTHERS_KEPT
    });
    RunNext {
        runs,
        doubt,
        not_advised,
    }
}

/// The front-runner and those that may come to lead, by score.
fn contenders(standing: &kernel::Standing) -> Vec<usize> {
    let ranked = standing.ranked.iter().enumerate();
    let may_lead = ranked.filter(|(rank, place)| *rank < 2 || standing.p_best[**place] >= LEAST_CHANCE);
    let places = may_lead.map(|(_, place)| *place).take(CONTENDERS);
    if standing.front_runner.is_some() {
        places.collect()
    } else {
        Vec::new()
    }
}

/// What the sentence above the proposals has to say.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NextFinding {
    /// There is no choice to improve.
    NothingToChoose,
    /// No single test or small bundle is worth its cost.
    NoneIsWorthIt,
    /// Some are.
    SomeAreWorthIt,
}

impl RunNext {
    /// What the proposals come to at a stake.
    pub fn finding(&self, stake: f64, no_leader_because: &[Doubt]) -> NextFinding {
        if self.doubt.is_none() || no_leader_because.contains(&Doubt::Alone) {
            NextFinding::NothingToChoose
        } else if self.worth_their_cost(stake).next().is_some() {
            NextFinding::SomeAreWorthIt
        } else {
            NextFinding::NoneIsWorthIt
        }
    }
}
