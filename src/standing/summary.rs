//! What a standing comes out as: plain numbers that pages, JSON and command line show alike.

use crate::catalogue::{Category, Mode, Use, Value};
use crate::records::{
    BlendCode, GateOutcome, MachineSlug, Term, TermScale, TestKey, TrialRecords, TrialSlug,
};
use crate::resemblance::{Decided, Resemblance, Scale, Scales};
use crate::standing::kernel::Validity;
use crate::standing::{
    Alternative, Assumption, Block, Caution, ContactDuty, Equivalence, LeaveOut, LeftOut, NotWeighed,
    Position, PrecisionSource, Rival, RunNext, RunReading, Sensitivity, Strip, Verdict, WhatIf,
};
use crate::units::Unit;
use serde::Serialize;
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

/// The comparison of a trial's candidates.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Standing {
    /// Trial.
    pub trial: TrialSlug,
    /// Target machine.
    pub machine: MachineSlug,
    /// Number of draws.
    pub draws: usize,
    /// Seed of the draws.
    pub seed: u64,
    /// How far beyond the references a position counts.
    pub head_room: f64,
    /// Sum of the weights: normalising would hide that nothing resembles.
    pub resemblance_mass: f64,
    /// How many independent tests the weights amount to.
    pub effective_tests: Option<f64>,
    /// Greatest standard error of a share of first places that comes from the number of draws.
    pub monte_carlo_error: Option<f64>,
    /// The candidate with the greatest score; `None` where nothing is weighed.
    pub front_runner: Option<BlendCode>,
    /// The front-runner where the evidence carries the claim.
    pub leader: Option<BlendCode>,
    /// The candidate with the second greatest score.
    pub runner_up: Option<BlendCode>,
    /// Whether a leader is named.
    pub resolved: bool,
    /// Share of the weight that comes from tests like the machine.
    pub weight_from_alike: f64,
    /// What the claim of a leader rests on most: the worst of what may be left out so that it would not be the leader.
    #[serde(skip)]
    pub breaks_without: Option<LeaveOut>,
    /// Failure modes that the question names or that decide at the machine, and that no weighed test and no requirement
    /// with a result covers.
    pub not_tested: Vec<Mode>,
    /// Why no leader is named; empty when one is.
    #[serde(skip)]
    pub no_leader_because: Vec<Doubt>,
    /// Candidates by score, those that are out last.
    #[serde(skip)]
    pub candidates: Vec<CandidateStanding>,
    /// Tests with a contact, by weight.
    #[serde(skip)]
    pub tests: Vec<TestStanding>,
    /// Who would be in front under other assumptions.
    pub alternatives: Vec<Alternative>,
    /// Who would be in front with something left out.
    #[serde(skip)]
    pub leave_outs: Vec<LeaveOut>,
    /// How many single runs were left out in turn; those that matter most are among the leave-outs.
    pub runs_left_out: usize,
    /// The lead over each other candidate of the standing, by score.
    pub rivals: Vec<Rival>,
    /// The answer of a trial that asks whether its candidates are no worse than one blend; nobody leads in it, and nobody is
    /// in front.
    #[serde(skip)]
    pub equivalence: Option<Equivalence>,
    /// Rules that fired, most severe first.
    #[serde(skip)]
    pub cautions: Vec<Caution>,
    /// What each gate says of each candidate.
    #[serde(skip)]
    pub gates: Vec<GateStanding>,
    /// What to run next.
    #[serde(skip)]
    pub run_next: RunNext,
}

impl Standing {
    /// The candidate with a code.
    pub fn candidate(&self, blend: &BlendCode) -> Option<&CandidateStanding> {
        self.candidates.iter().find(|candidate| &candidate.blend == blend)
    }

    /// The line of another assumption.
    pub fn alternative(&self, assumption: &Assumption) -> Option<&Alternative> {
        self.alternatives.iter().find(|line| &line.what == assumption)
    }

    /// Who is in front under another assumption.
    pub fn front_under(&self, assumption: &Assumption) -> Option<&BlendCode> {
        self.alternative(assumption)?.front_runner.as_ref()
    }

    /// What is said with something left out; `None` where it was not tried.
    pub fn without(&self, left_out: &LeftOut) -> Option<&LeaveOut> {
        self.leave_outs.iter().find(|out| &out.left_out == left_out)
    }

    /// The test with a key.
    pub fn test(&self, key: &TestKey) -> Option<&TestStanding> {
        self.tests.iter().find(|test| &test.key == key)
    }
}

/// Why the front-runner may not be called the leader.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Doubt {
    /// A caution of severity stop applies.
    Stop,
    /// It does not rank first often enough, or is not often enough above one of its rivals.
    NotResolved,
    /// Without the extreme-condition screens it would not be told from its rivals.
    ScreensDecide,
    /// Too little of the weight has been run on it.
    ThinCoverage,
    /// With its own gaps filled badly and its rival's well, somebody else is in front.
    FillChanges,
    /// Less than half of the weight comes from tests like the machine.
    FewAlike,
    /// A requirement is in doubt on the wrong side of its limit.
    GateUndecided,
    /// There is no other candidate.
    Alone,
}

/// Where one candidate stands.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct CandidateStanding {
    /// The blend.
    pub blend: BlendCode,
    /// Share of draws in which it ranks first; `None` where nothing is weighed or it is out.
    pub p_best: Option<f64>,
    /// Score between the known poor (0) and the known good (1).
    pub score: Option<f64>,
    /// 5 % quantile of the score.
    pub score_lo: Option<f64>,
    /// 95 % quantile of the score.
    pub score_hi: Option<f64>,
    /// Share of draws in each rank, first to last; ties share.
    pub ranks: Vec<f64>,
    /// Share of draws in which it scores above each other candidate of the standing; ties count half.
    pub wins: BTreeMap<BlendCode, f64>,
    /// Share of the weight that has been run.
    pub coverage: f64,
    /// Score with what is missing filled as bad as can be.
    pub score_worst_fill: Option<f64>,
    /// Score with what is missing filled as good as can be.
    pub score_best_fill: Option<f64>,
    /// The gates for which it is out; empty when it is in.
    #[serde(skip)]
    pub failed: Vec<GateStanding>,
}

impl CandidateStanding {
    /// Whether a failed gate keeps it out.
    pub fn is_out(&self) -> bool {
        !self.failed.is_empty()
    }
}

/// An estimate in the quantity's unit.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Estimate {
    /// Posterior mean, transformed back; the cap itself when `capped`.
    pub value: f64,
    /// 5 % quantile.
    pub lo: f64,
    /// 95 % quantile.
    pub hi: f64,
    /// Above the cap: printed as `> value`.
    pub capped: bool,
    /// How many results it rests on.
    pub runs: usize,
}

/// A change of weight at which a rival draws level.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Tip {
    /// The factor on the weight.
    pub factor: f64,
    /// The rival.
    pub to: BlendCode,
}

/// How one test's contact resembles one machine contact.
#[derive(Clone, Debug, PartialEq)]
pub struct ContactLikeness {
    /// The machine contact's name.
    pub contact: String,
    /// Its share.
    pub share: f64,
    /// The name of the method's contact that is most like it, of those that the quantity comes from.
    pub of_test: String,
    /// The comparison, term by term, with that contact.
    pub resemblance: Resemblance,
    /// How much the modes that the test scores matter in this contact, 0 to 1.
    pub relevance: f64,
}

/// By how much two results of a test must differ to be told apart, lengths on its working scale.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Scatter {
    /// r: 95 % limit of the difference of two runs in one block.
    pub repeatability: f64,
    /// R: 95 % limit of the difference of two runs in two laboratories.
    pub reproducibility: f64,
}

/// One test of the trial.
#[derive(Clone, Debug, PartialEq)]
pub struct TestStanding {
    /// Method and quantity.
    pub key: TestKey,
    /// Method title.
    pub title: String,
    /// Quantity label.
    pub label: String,
    /// Standard.
    pub standard: String,
    /// Test category.
    pub category: Category,
    /// What the trial does with it.
    pub used_to: Use,
    /// The weight that the standing used.
    pub weight: f64,
    /// Share-weighted sum of the resemblance over contacts; `None` where it cannot be computed.
    pub resemblance: Option<f64>,
    /// The greatest resemblance to a single contact of the machine for which the quantity has relevance: every threshold
    /// judges this one. `None` where there is none.
    pub resemblance_best: Option<f64>,
    /// Weight before grouping divided by the resemblance.
    pub relevance: Option<f64>,
    /// An extreme-condition screen: it runs specimens, beyond the machine in at least two respects.
    pub extreme: bool,
    /// It runs real components, beyond the machine in at least two respects.
    pub beyond_machine: bool,
    /// Why it is not weighed; `None` when it is.
    pub excluded: Option<NotWeighed>,
    /// The comparison with each machine contact.
    pub contacts: Vec<ContactLikeness>,
    /// Its share of the lead over the runner-up; above 1 the pair reverses without it.
    pub lead_share: Option<f64>,
    /// What it contributes to the lead, in score.
    pub lead_contribution: Option<f64>,
    /// The fall of its weight at which a rival draws level.
    pub tips_down: Option<Tip>,
    /// The rise of its weight at which a rival draws level.
    pub tips_up: Option<Tip>,
    /// Whether it sorts lubricants.
    pub validity: Validity,
    /// Positions of candidates and control fluids.
    pub positions: BTreeMap<BlendCode, Position>,
    /// What the runs that count read, by blend.
    pub readings: BTreeMap<BlendCode, Vec<RunReading>>,
    /// Estimates of all blends.
    pub estimates: BTreeMap<BlendCode, Estimate>,
    /// Raw estimates where the block's severity was adjusted.
    pub raw_estimates: BTreeMap<BlendCode, Estimate>,
    /// Number of results that count.
    pub runs: usize,
    /// The blocks in which each blend was run.
    pub blocks: BTreeMap<BlendCode, BTreeSet<Block>>,
    /// How it is drawn; `None` where nothing was run.
    pub strip: Option<Strip>,
    /// Where its precision comes from; `None` with neither a published precision nor enough replicates.
    pub precision: Option<PrecisionSource>,
    /// How far its results scatter; `None` with neither a published precision nor enough replicates.
    pub scatter: Option<Scatter>,
    /// Every candidate against every reference oil that was run.
    pub verdicts: Vec<Verdict>,
    /// The load and scar at which its contact was computed.
    pub decided: Decided,
}

impl TestStanding {
    /// The comparison with the machine's contact that it resembles most among those for which it has relevance, or, where
    /// it has none, among all.
    pub fn best_likeness(&self) -> Option<&ContactLikeness> {
        let rank = |likeness: &&ContactLikeness| likeness.resemblance.value.unwrap_or(-1.0);
        let speaks = self.contacts.iter().filter(|likeness| likeness.relevance > 0.0);
        let best = speaks.max_by(|a, b| rank(a).total_cmp(&rank(b)));
        best.or_else(|| self.contacts.iter().max_by(|a, b| rank(a).total_cmp(&rank(b))))
    }

    /// The first-order term that decides how closely it resembles that contact; `None` where none is below 1.
    pub fn decides_f(&self) -> Option<Term> {
        self.best_likeness()?.resemblance.decides_f()
    }
}

/// What a gate says of a candidate.
#[derive(Clone, Debug, PartialEq)]
pub struct GateStanding {
    /// Method and quantity.
    pub key: TestKey,
    /// Quantity label.
    pub label: String,
    /// Standard.
    pub standard: String,
    /// The limit as written.
    pub limit: String,
    /// The candidate.
    pub blend: BlendCode,
    /// Every run, by date.
    pub runs: Vec<GateRun>,
    /// The unit of their values.
    pub unit: Unit,
    /// Their mean, of several laboratories the mean of their means; `None` for classes, and where a bound leaves it open.
    pub mean: Option<f64>,
    /// How far inside the limit the mean lies; negative outside.
    pub inside_by: Option<f64>,
    /// From which distance to the limit the mean tells; `None` where neither a precision nor enough replicates say so.
    pub margin: Option<f64>,
    /// The runs on either side.
    pub count: GateCount,
    /// Whether the evidence lies on the wrong side of the limit: the mean, of classes any run, or a run was stopped.
    pub on_the_wrong_side: bool,
    /// The outcome.
    pub outcome: GateOutcome,
}

/// One run at a gate.
#[derive(Clone, Debug, PartialEq)]
pub struct GateRun {
    /// What was read.
    pub value: Value,
    /// Whether it was stopped for cause.
    pub stopped: bool,
}

/// How many runs lie on either side of a limit.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct GateCount {
    /// Those that meet it.
    pub inside: usize,
    /// Those that do not.
    pub outside: usize,
    /// All, with those of which neither can be told; several specimens of one run are one.
    pub runs: usize,
}

impl GateCount {
    /// Whether the runs do not all lie on one side.
    pub fn is_split(&self) -> bool {
        self.inside != self.runs && self.outside != self.runs
    }
}

/// One trial judged.
#[derive(Clone, Debug, PartialEq)]
pub struct Comparison {
    /// The records behind it, as what was asked has them.
    pub records: Arc<TrialRecords>,
    /// What was asked.
    pub what_if: WhatIf,
    /// What another duty has changed in each contact of the machine.
    pub duty: Vec<ContactDuty>,
    /// The standing under what was asked.
    pub standing: Standing,
    /// The standing as it is, when what was asked differs from it.
    pub as_it_is: Option<Standing>,
}

/// A trial's resemblance with what it decides.
#[derive(Clone, Debug, PartialEq)]
pub struct ResemblanceView {
    /// The comparison, whose tests carry the eleven terms.
    pub comparison: Comparison,
    /// What each term counts.
    pub scales: Vec<ScaleLine>,
    /// Who is in front when single numbers are doubled or halved.
    pub sensitivity: Arc<Sensitivity>,
}

/// What one term counts, with what it would count by default and why it differs.
#[derive(Clone, Debug, PartialEq)]
pub struct ScaleLine {
    /// The term.
    pub term: Term,
    /// What it counts in this view.
    pub now: Scale,
    /// What it counts in the trial.
    pub of_trial: Scale,
    /// The default.
    pub usual: Scale,
    /// The newest change in this trial, with its reason.
    pub newest: Option<TermScale>,
}

impl ScaleLine {
    /// Whether the trial departs from the default here.
    pub fn is_changed(&self) -> bool {
        self.of_trial != self.usual
    }

    /// Whether this view departs from the trial here.
    pub fn is_asked(&self) -> bool {
        self.now != self.of_trial
    }
}

/// The eleven terms of a comparison, in their order.
pub fn scale_lines(comparison: &Comparison) -> Vec<ScaleLine> {
    scale_lines_of(&comparison.records.term_scales, &comparison.what_if)
}

/// The same, from the changes that a trial keeps and a question.
pub(crate) fn scale_lines_of(changes: &[TermScale], what_if: &WhatIf) -> Vec<ScaleLine> {
    let (usual, of_trial) = (Scales::default(), Scales::of_trial(changes));
    let now = what_if.scales_over(changes);
    let line = |term| ScaleLine {
        term,
        now: now.of(term),
        of_trial: of_trial.of(term),
        usual: usual.of(term),
        newest: TermScale::newest(changes, term).cloned(),
    };
    Term::ALL.into_iter().map(line).collect()
}
