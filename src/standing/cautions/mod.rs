//! The rules that warn. Each looks at the finished numbers and says what fired it; the wording is the page's.

mod apart;
mod front;
#[cfg(test)]
mod limits_tests;
mod runs;
mod speaks;

pub(crate) use speaks::{not_tested, why_not_sorting};

use crate::records::{BlendCode, TestKey, TrialRecords};
use crate::standing::doubted::Doubted;
use crate::standing::evidence::Evidence;
use crate::standing::out_of_control::OutOfControl;
use crate::standing::summary::Standing;
use crate::standing::without_results::MovedRun;
use crate::standing::{Caution, Severity};
use std::collections::BTreeMap;

/// P(known good better than known poor) from which a test sorts.
pub const SORTS: f64 = 0.95;
/// Probability of being worse than the known poor above which it is said (ours).
const BELOW_POOR: f64 = 0.8;

/// What the rules look at beside the standing itself.
#[derive(Clone, Debug)]
pub(crate) struct Facts<'a> {
    /// The records.
    pub(crate) records: &'a TrialRecords,
    /// The results of every test.
    pub(crate) evidence: &'a [Evidence<'a>],
    /// Runs that are doubted, with who would be in front without them where that is somebody else.
    pub(crate) doubted: Vec<(Doubted<'a>, Option<BlendCode>)>,
    /// Results of candidates in weighed tests where their rig was out of control.
    pub(crate) out_of_control: Vec<OutOfControl>,
    /// Where there are such: who would be in front with blocks that do not end where the level of a rig changed.
    pub(crate) front_uncut: Option<BlendCode>,
    /// Tests of real components in which the front-runner loses.
    pub(crate) losses: Vec<Caution>,
    /// Front-runner and runner-up closer than the critical difference on the test with the greatest share of the lead.
    pub(crate) within_repeatability: Option<Caution>,
    /// P(front-runner below the known poor) per test.
    pub(crate) below_poor: BTreeMap<TestKey, f64>,
    /// Weight that a test which does not sort would have had.
    pub(crate) weight_if_sorting: BTreeMap<TestKey, f64>,
    /// Who would be in front with the candidates that failed a gate let in.
    pub(crate) front_with_gated: Option<BlendCode>,
    /// Who is in front with the front-runner's gaps filled badly and its rivals' well.
    pub(crate) fill_changes: bool,
    /// Where one run of a blend, moved by the repeatability, would change who is in front.
    pub(crate) single_runs: Vec<MovedRun>,
    /// Per contact of the machine, the greatest resemblance of a weighed test that scores one of its modes; 0 without one.
    pub(crate) nearest: BTreeMap<String, f64>,
}

impl<'a> Facts<'a> {
    /// Nothing known beside the records and the doubted runs: what a trial has in which nothing is weighed.
    pub(crate) fn of_nothing(
        records: &'a TrialRecords,
        evidence: &'a [Evidence<'a>],
        doubted: &[Doubted<'a>],
    ) -> Self {
        Self {
            records,
            evidence,
            doubted: doubted.iter().map(|one| (one.clone(), None)).collect(),
            out_of_control: Vec::new(),
            front_uncut: None,
            losses: Vec::new(),
            within_repeatability: None,
            below_poor: BTreeMap::new(),
            weight_if_sorting: BTreeMap::new(),
            front_with_gated: None,
            fill_changes: false,
            single_runs: Vec::new(),
            nearest: BTreeMap::new(),
        }
    }

    /// P(front-runner below the known poor) on a test where that is probable enough to be said.
    pub(crate) fn worse_than_poor(&self, test: &TestKey) -> Option<f64> {
        self.below_poor.get(test).copied().filter(|p| *p > BELOW_POOR)
    }
}

/// All cautions, most severe first.
pub(crate) fn all(standing: &Standing, facts: &Facts) -> Vec<Caution> {
    let mut cautions = front::all(standing, facts);
    cautions.extend(apart::all(standing, facts));
    cautions.extend(speaks::all(standing, facts));
    cautions.extend(runs::all(standing, facts));
    cautions.sort_by_key(|caution| (caution.severity, caution.kind(), caution.test.clone()));
    cautions
}

/// Those of the rules that can stop a leader from being named.
pub(crate) fn that_stop(standing: &Standing, facts: &Facts) -> Vec<Caution> {
    let mut cautions = front::worse_than_known_poor(standing, facts);
    cautions.extend(front::rests_on_extreme_screens(standing));
    let nothing_resembles = speaks::nothing_resembles(facts).into_iter();
    cautions.extend(nothing_resembles.filter(|caution| caution.severity == Severity::Stop));
    cautions
}

fn p_best(standing: &Standing) -> Option<f64> {
    let front = standing.front_runner.as_ref()?;
    standing.candidate(front)?.p_best
}

/// Front-runner and runner-up.
fn first_two(standing: &Standing) -> Option<[BlendCode; 2]> {
    Some([standing.front_runner.clone()?, standing.runner_up.clone()?])
}
