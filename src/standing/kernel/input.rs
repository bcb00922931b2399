//! What the kernel is given, what it refuses, and which random numbers a candidate gets.

use crate::catalogue::MethodId;
use crate::stats::deviation::Deviation;
use crate::stats::draws::StreamKey;
use crate::stats::observation::{Observation, ObservationError};
use crate::stats::severity::BlockShift;
use std::collections::{BTreeMap, BTreeSet};

/// Which of [`KernelInput::blocks`] a result belongs to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct BlockId(pub usize);

/// A block of one quantity: one rig between changes of its level, with the shift its results share on that quantity's working scale.
#[derive(Clone, Debug)]
pub struct BlockInput {
    /// Names the block and the quantity; unique. Also the key of its stream of random numbers.
    pub key: String,
    /// The shift; [`BlockShift::NONE`] when nothing is adjusted.
    pub shift: BlockShift,
}

/// Results of one blend in one test, on the working scale and as they were read, unadjusted. Empty: not run.
#[derive(Clone, Debug, Default)]
pub struct CellData {
    /// Each result with the block it was run in.
    pub observations: Vec<(Observation, BlockId)>,
    /// How far a result of this blend scatters, where it departs from the others of the test.
    pub own_deviation: Option<Deviation>,
}

impl CellData {
    /// Results that scatter like those of the other blends.
    #[cfg(feature = "facade")]
    pub fn of(observations: Vec<(Observation, BlockId)>) -> Self {
        Self {
            observations,
            own_deviation: None,
        }
    }

    /// The results with their blocks and the shifts of these, whatever their order.
    fn read(&self, blocks: &[BlockInput]) -> Vec<ReadAs> {
        let one = |(observation, block): &(Observation, BlockId)| {
            let block = &blocks[block.0];
            let shift = [block.shift.mean.to_bits(), block.shift.variance.to_bits()];
            (observation.bits(), block.key.clone(), shift)
        };
        let mut read: Vec<ReadAs> = self.observations.iter().map(one).collect();
        read.sort();
        read
    }
}

/// A result, the key of its block and the block's shift, to the bit.
type ReadAs = ((u8, u64, u64), String, [u64; 2]);

/// All of a test that its fit hangs on, to the bit.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct FittedFrom {
    key: String,
    numbers: Vec<Option<u64>>,
    anchored_at: AnchoredAt,
    /// Cells in their order, with their own deviations, and which of those that may be absent are there.
    cells: Vec<(Vec<ReadAs>, Option<[u64; 2]>)>,
    there: [bool; 2],
}

/// The reference oils that make the scale of a test.
#[derive(Clone, Debug)]
pub enum Anchors {
    /// Known good is 1 and known poor is 0.
    Two {
        /// Results of the known good.
        good: CellData,
        /// Results of the known poor.
        poor: CellData,
    },
    /// Known good is 1; 0 lies twice the reproducibility below it.
    Good {
        /// Results of the known good.
        good: CellData,
        /// Reproducibility R on the working scale.
        reproducibility: f64,
    },
    /// Known poor is 0; 1 lies twice the reproducibility above it.
    Poor {
        /// Results of the known poor.
        poor: CellData,
        /// Reproducibility R on the working scale.
        reproducibility: f64,
    },
}

/// Which reference oils make a scale.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum AnchoredAt {
    Both,
    Good,
    Poor,
}

impl Anchors {
    fn at(&self) -> AnchoredAt {
        match self {
            Self::Two { .. } => AnchoredAt::Both,
            Self::Good { .. } => AnchoredAt::Good,
            Self::Poor { .. } => AnchoredAt::Poor,
        }
    }

    /// Half the length of a scale with one reference oil.
    fn reproducibility(&self) -> Option<f64> {
        match self {
            Self::Two { .. } => None,
            Self::Good { reproducibility, .. } | Self::Poor { reproducibility, .. } => Some(*reproducibility),
        }
    }

    /// Results of the known good.
    pub fn good(&self) -> Option<&CellData> {
        match self {
            Self::Two { good, .. } | Self::Good { good, .. } => Some(good),
            Self::Poor { .. } => None,
        }
    }

    /// Results of the known poor.
    pub fn poor(&self) -> Option<&CellData> {
        match self {
            Self::Two { poor, .. } | Self::Poor { poor, .. } => Some(poor),
            Self::Good { .. } => None,
        }
    }
}

/// One quantity of one method, in one trial.
#[derive(Clone, Debug)]
pub struct TestInput {
    /// "method/quantity"; unique, and the key of its streams of random numbers.
    pub key: String,
    /// Method it belongs to: quantities of one method share one uncertain weight.
    pub method: MethodId,
    /// Tests on one kind of apparatus for the same failure modes: their methods share the doubt about the weight and count
    /// as correlated.
    pub family: String,
    /// +1 when a greater value is better, -1 when a smaller one is.
    pub sign: f64,
    /// Standard deviation of one result on the working scale.
    pub deviation: Deviation,
    /// Working-scale value beyond which, on the better side, there is no credit.
    pub cap: Option<f64>,
    /// Mean weight, 0 to 1; those of one method add up to at most 1 (one run, one vote).
    pub weight: f64,
    /// The reference oils.
    pub anchors: Anchors,
    /// Results of the candidates, in the order of [`KernelInput::candidate_streams`].
    pub candidates: Vec<CellData>,
    /// Results of the control fluid.
    pub control: Option<CellData>,
    /// Results of a reference oil known to lie between the two.
    pub middle: Option<CellData>,
}

/// Everything the kernel needs.
#[derive(Clone, Debug)]
pub struct KernelInput {
    /// One key per candidate for its random numbers, all different; see [`candidate_streams`].
    /// A what-if that changes results keeps the keys of the original data, so that it shares the draws.
    pub candidate_streams: Vec<u64>,
    /// The tests.
    pub tests: Vec<TestInput>,
    /// The blocks that results refer to.
    pub blocks: Vec<BlockInput>,
    /// How fast positions beyond a reference oil slow down; 0: nothing counts there.
    pub head_room: f64,
    /// Concentration of the uncertain weights: 5, 15 or 50 for low, medium or high confidence in the machine data.
    pub concentration: f64,
    /// Number of draws, 1 to [`KernelInput::MOST_DRAWS`].
    pub draws: usize,
    /// Seed.
    pub seed: u64,
}

/// A number that the kernel checks.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Checked {
    /// How fast positions beyond a reference oil slow down.
    HeadRoom,
    /// Concentration of the uncertain weights.
    Concentration,
    /// Number of draws.
    Draws,
    /// Shift of a block.
    BlockShift,
    /// Which way a test is better.
    Sign,
    /// Standard deviation of a result.
    StandardDeviation,
    /// Cap of a test.
    Cap,
    /// Number of candidates with a cell.
    Candidates,
    /// Block of a result.
    Block,
    /// Number of results of a reference oil.
    ReferenceResults,
    /// Reproducibility.
    Reproducibility,
    /// Weight.
    Weight,
}

/// Something with a key of its own.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Keyed {
    /// A candidate, by the key of its random numbers.
    Candidate(u64),
    /// A test.
    Test(String),
    /// A block.
    Block(String),
}

/// What a selection names that is not there; places in the input.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Missing {
    /// A test that is excluded.
    ExcludedTest(usize),
    /// A test that is left out.
    LeftOutTest(usize),
    /// A test that is asked about.
    Test(usize),
    /// A candidate that is out.
    CandidateOut(usize),
    /// A weight for every test.
    Weight,
}

/// Why the kernel cannot compute.
#[derive(Clone, Debug, PartialEq)]
pub enum KernelError {
    /// A setting of the whole standing is out of its range.
    Setting(Checked),
    /// A field of a test is out of its range.
    Test {
        /// The test.
        key: String,
        /// The field.
        field: Checked,
    },
    /// A result of a test cannot be one.
    Result {
        /// The test.
        key: String,
        /// What is wrong with it.
        problem: ObservationError,
    },
    /// Two tests, blocks or candidates have one key.
    Twice(Keyed),
    /// The weights of one method's quantities add up to more than 1.
    MethodAboveOne(MethodId),
    /// The results and the prior of a cell exclude each other.
    NothingPossible(String),
    /// A selection names a test or candidate that is not there, or has the wrong number of weights.
    NotThere(Missing),
}

impl KernelInput {
    /// Most draws accepted.
    pub const MOST_DRAWS: usize = 200_000;

    /// Checks everything once, so that what follows cannot fail on it.
    pub(super) fn check(&self) -> Result<(), KernelError> {
        in_range(self.head_room, 0.0, 10.0).ok_or(KernelError::Setting(Checked::HeadRoom))?;
        in_range(self.concentration, 1e-3, 1e9).ok_or(KernelError::Setting(Checked::Concentration))?;
        if !(1..=Self::MOST_DRAWS).contains(&self.draws) {
            return Err(KernelError::Setting(Checked::Draws));
        }
        unique(self.candidate_streams.iter().copied().map(Keyed::Candidate))?;
        unique(self.tests.iter().map(|t| Keyed::Test(t.key.clone())))?;
        unique(self.blocks.iter().map(|b| Keyed::Block(b.key.clone())))?;
        for block in &self.blocks {
            if !block.shift.mean.is_finite()
                || !block.shift.variance.is_finite()
                || block.shift.variance < 0.0
            {
                return Err(KernelError::Setting(Checked::BlockShift));
            }
        }
        self.tests.iter().try_for_each(|test| self.check_test(test))?;
        check_weights(
            &self.tests,
            &self.tests.iter().map(|t| t.weight).collect::<Vec<_>>(),
        )
    }

    fn check_test(&self, test: &TestInput) -> Result<(), KernelError> {
        let refuse = |field| {
            let key = test.key.clone();
            Err(KernelError::Test { key, field })
        };
        if test.sign.abs() != 1.0 {
            return refuse(Checked::Sign);
        }
        let own = test.cells().filter_map(|cell| cell.own_deviation);
        if std::iter::once(test.deviation).chain(own).any(|deviation| {
            in_range(deviation.sd, f64::MIN_POSITIVE, f64::MAX).is_none()
                || in_range(deviation.freedom, 1.0, f64::INFINITY).is_none()
        }) {
            return refuse(Checked::StandardDeviation);
        }
        if test.cap.is_some_and(|cap| !cap.is_finite()) {
            return refuse(Checked::Cap);
        }
        if test.candidates.len() != self.candidate_streams.len() {
            return refuse(Checked::Candidates);
        }
        test.check_anchors()?;
        for &(observation, block) in test.cells().flat_map(|cell| &cell.observations) {
            if block.0 >= self.blocks.len() {
                return refuse(Checked::Block);
            }
            observation.check().map_err(|problem| KernelError::Result {
                key: test.key.clone(),
                problem,
            })?;
        }
        Ok(())
    }
}

impl TestInput {
    /// Refuses a scale without results of its reference oils, or of no length.
    pub(super) fn check_anchors(&self) -> Result<(), KernelError> {
        let refuse = |field| {
            let key = self.key.clone();
            Err(KernelError::Test { key, field })
        };
        let ends = [self.anchors.good(), self.anchors.poor()];
        if ends.iter().flatten().any(|cell| cell.observations.is_empty()) {
            return refuse(Checked::ReferenceResults);
        }
        let reproducibility = self.anchors.reproducibility();
        if reproducibility.is_some_and(|big_r| in_range(big_r, f64::MIN_POSITIVE, f64::MAX).is_none()) {
            return refuse(Checked::Reproducibility);
        }
        Ok(())
    }

    /// Every cell with results, candidates and others.
    pub fn cells(&self) -> impl Iterator<Item = &CellData> {
        let anchors = [self.anchors.good(), self.anchors.poor()];
        let others = [self.control.as_ref(), self.middle.as_ref()];
        self.candidates
            .iter()
            .chain(anchors.into_iter().flatten())
            .chain(others.into_iter().flatten())
    }

    /// What its fit hangs on; not its weight, which only the standing asks for.
    pub(super) fn fitted_from(&self, blocks: &[BlockInput]) -> FittedFrom {
        let numbers = [Some(self.sign), self.cap, self.anchors.reproducibility()];
        let bits = numbers.iter().map(|number| number.map(f64::to_bits));
        let own = |cell: &CellData| cell.own_deviation.map(|own| own.bits());
        FittedFrom {
            key: self.key.clone(),
            numbers: bits.chain(self.deviation.bits().map(Some)).collect(),
            anchored_at: self.anchors.at(),
            cells: self.cells().map(|cell| (cell.read(blocks), own(cell))).collect(),
            there: [self.control.is_some(), self.middle.is_some()],
        }
    }

    /// A result turned so that greater is better.
    pub(super) fn oriented(&self, observation: Observation) -> Observation {
        if self.sign < 0.0 {
            observation.mirrored()
        } else {
            observation
        }
    }
}

/// Each weight within 0..=1, and those of one method together too.
pub(super) fn check_weights(tests: &[TestInput], weights: &[f64]) -> Result<(), KernelError> {
    let mut of_method: BTreeMap<&MethodId, f64> = BTreeMap::new();
    for (test, &weight) in tests.iter().zip(weights) {
        if in_range(weight, 0.0, 1.0).is_none() {
            let key = test.key.clone();
            return Err(KernelError::Test {
                key,
                field: Checked::Weight,
            });
        }
        *of_method.entry(&test.method).or_default() += weight;
    }
    match of_method.iter().find(|(_, sum)| **sum > 1.0 + 1e-9) {
        Some((method, _)) => Err(KernelError::MethodAboveOne((*method).clone())),
        None => Ok(()),
    }
}

fn in_range(value: f64, lo: f64, hi: f64) -> Option<f64> {
    (lo..=hi).contains(&value).then_some(value)
}

fn unique(keys: impl Iterator<Item = Keyed>) -> Result<(), KernelError> {
    let mut seen = BTreeSet::new();
    for key in keys {
        if let Some(twice) = seen.replace(key) {
            return Err(KernelError::Twice(twice));
        }
    }
    Ok(())
}

/// One key per candidate, made from its results in all tests and from nothing else, so that neither names nor the order
/// of rows, tests or candidates can move a number.
///
/// The scheme: results are turned so that greater is better, put into their fixed order, test after test by test key,
/// and hashed. Candidates with exactly the same results in every test are numbered in the order of their names
/// (`names`, one per candidate; equal names in the order given), and the number goes into the hash: their draws are
/// independent, so that copies of one blend split its first places within Monte Carlo error. Renaming such twins can at
/// most exchange their numbers with one another. Adding a candidate changes nobody else's draws; adding a result changes
/// those of its own candidate only. Blocks and shifts are left out, so raw and adjusted results share their draws.
pub fn candidate_streams(names: &[String], tests: &[TestInput]) -> Vec<u64> {
    let mut by_key: Vec<&TestInput> = tests.iter().collect();
    by_key.sort_by(|a, b| a.key.cmp(&b.key));
    let data: Vec<u64> = (0..names.len()).map(|i| hash_of_results(i, &by_key)).collect();
    let mut twins: BTreeMap<u64, Vec<usize>> = BTreeMap::new();
    for (i, &hash) in data.iter().enumerate() {
        twins.entry(hash).or_default().push(i);
    }
    let mut streams = vec![0; names.len()];
    for (hash, mut members) in twins {
        members.sort_by(|&a, &b| names[a].cmp(&names[b]));
        for (number, &i) in members.iter().enumerate() {
            streams[i] = StreamKey::new("candidate")
                .number(hash)
                .number(number as u64)
                .value();
        }
    }
    streams
}

fn hash_of_results(candidate: usize, by_key: &[&TestInput]) -> u64 {
    let mut key = StreamKey::new("results");
    for test in by_key {
        let Some(cell) = test.candidates.get(candidate) else {
            continue;
        };
        let mut results: Vec<_> = cell.observations.iter().map(|&(o, _)| test.oriented(o)).collect();
        results.sort_by(|a, b| a.order(b));
        key = key.text(&test.key).number(results.len() as u64);
        for result in results {
            let (kind, lo, hi) = result.bits();
            key = key.number(u64::from(kind)).number(lo).number(hi);
        }
    }
    key.value()
}
