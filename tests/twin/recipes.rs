//! Generated trials of different shape, as the kernel takes them and as plain numbers. All data invented.

use likewear::facade::catalogue::MethodId;
use likewear::facade::standing::kernel::{
    Anchors, BlockId, BlockInput, CellData, KernelInput, TestInput, candidate_streams,
};
use likewear::facade::stats::deviation::Deviation;
use likewear::facade::stats::draws::Stream;
use likewear::facade::stats::observation::Observation::{self, Above, Below, Between, Exact};
use likewear::facade::stats::severity::BlockShift;
use serde_json::{Value, json};

/// What a test reads.
#[derive(Clone, Copy)]
pub(crate) enum Kind {
    /// A number.
    Measured,
    /// The step of a load ladder at which it failed.
    Ladder,
    /// A stage, 12 being the last.
    Stage,
    /// Each of the three in turn.
    EachInTurn,
}

/// Which reference oils were run.
#[derive(Clone, Copy)]
pub(crate) enum References {
    /// Known good and known poor.
    Two,
    /// Every other test has one alone, the known good and the known poor in turn.
    OftenOne,
}

/// The shape of a trial.
#[derive(Clone, Copy)]
pub(crate) struct Recipe {
    pub(crate) name: &'static str,
    pub(crate) candidates: usize,
    pub(crate) tests: usize,
    pub(crate) kind: Kind,
    pub(crate) sign: f64,
    /// Quantities per method.
    pub(crate) quantities: usize,
    pub(crate) blocks: usize,
    /// Every so many cells one was not run; 0: all were.
    pub(crate) missing_every: usize,
    pub(crate) references: References,
    pub(crate) concentration: f64,
    /// Degrees of freedom of the deviation.
    pub(crate) freedom: f64,
    /// How much better than the scale's middle the candidates are, in gaps.
    pub(crate) lift: f64,
}

const PLAIN: Recipe = Recipe {
    name: "",
    candidates: 3,
    tests: 3,
    kind: Kind::EachInTurn,
    sign: 1.0,
    quantities: 1,
    blocks: 1,
    missing_every: 0,
    references: References::Two,
    concentration: 15.0,
    freedom: 30.0,
    lift: 0.0,
};

#[rustfmt::skip]
pub(crate) const RECIPES: [Recipe; 13] = [
    Recipe { name: "two candidates, measured", candidates: 2, kind: Kind::Measured, ..PLAIN },
    Recipe { name: "ladders alone", kind: Kind::Ladder, tests: 4, ..PLAIN },
    Recipe { name: "stages, most at the cap", candidates: 4, kind: Kind::Stage, lift: 0.5, ..PLAIN },
    Recipe { name: "twelve candidates, two quantities per method", candidates: 12, tests: 8, quantities: 2, ..PLAIN },
    Recipe { name: "lower is better", candidates: 5, tests: 4, sign: -1.0, ..PLAIN },
    Recipe { name: "one reference oil in places", candidates: 4, tests: 4, references: References::OftenOne, ..PLAIN },
    Recipe { name: "a deviation from three degrees of freedom", candidates: 4, tests: 4, freedom: 3.0, ..PLAIN },
    Recipe { name: "five degrees of freedom, blocks, missing", candidates: 4, tests: 3, blocks: 2, missing_every: 4,
        freedom: 5.0, ..PLAIN },
    Recipe { name: "a known deviation, far beyond the good", candidates: 3, kind: Kind::Measured,
        freedom: f64::INFINITY, lift: 2.0, ..PLAIN },
    Recipe { name: "half the cells missing", candidates: 6, tests: 5, missing_every: 2, concentration: 5.0, ..PLAIN },
    Recipe { name: "two blocks, measured", candidates: 4, tests: 4, kind: Kind::Measured, blocks: 2, ..PLAIN },
    Recipe { name: "three blocks, a third missing", candidates: 4, tests: 3, blocks: 3, missing_every: 3, ..PLAIN },
    Recipe { name: "blocks, one reference, lower is better", candidates: 3, sign: -1.0, blocks: 2,
        references: References::OftenOne, concentration: 50.0, ..PLAIN },
];

const LAST_STAGE: f64 = 12.0;

impl Recipe {
    /// The trial, its numbers drawn from the streams of `seed`.
    pub(crate) fn trial(&self, seed: u64) -> KernelInput {
        let mut random = Stream::new(seed, 1);
        let mut blocks = Vec::new();
        let tests: Vec<TestInput> = (0..self.tests)
            .map(|k| self.test(k, &mut blocks, &mut random))
            .collect();
        let names: Vec<String> = (0..self.candidates).map(|i| format!("blend {i}")).collect();
        KernelInput {
            candidate_streams: candidate_streams(&names, &tests),
            tests,
            blocks,
            head_room: 0.5,
            concentration: self.concentration,
            draws: 20_000,
            seed,
        }
    }

    fn test(&self, k: usize, blocks: &mut Vec<BlockInput>, random: &mut Stream) -> TestInput {
        let kind = match self.kind {
            Kind::EachInTurn => [Kind::Measured, Kind::Ladder, Kind::Stage][k % 3],
            kind => kind,
        };
        let sd = kind.sd();
        let method = format!("method {}", k / self.quantities);
        let first = blocks.len();
        let severity: Vec<f64> = (0..self.blocks).map(|_| sd * random.normal()).collect();
        blocks.extend((0..self.blocks).map(|b| BlockInput {
            key: format!("{method}/quantity {k} block {b}"),
            shift: self.shift(b, severity[b], sd),
        }));
        let mut truths = Stream::new(random.uniform().to_bits(), 2);
        let mut cell = |truth: f64, blocks_run: usize, offset: usize| {
            let read = |run: usize| {
                let block = (run + offset) % blocks_run;
                let read = kind.read(truth, severity[block] + sd * random.normal());
                let read = if self.sign > 0.0 { read } else { read.mirrored() };
                (read, BlockId(first + block))
            };
            let observations = (0..2).map(read).collect();
            CellData::of(observations)
        };
        // the last of three blocks saw no reference oil
        let with_references = self.blocks.min(2);
        let good = cell(1.0, with_references, 0);
        let poor = cell(0.0, with_references, 1);
        let control = Some(cell(-0.6, with_references, 0));
        let lift = 0.55 + self.lift;
        let candidates = (0..self.candidates)
            .map(|i| {
                let run = cell(lift + 0.3 * truths.normal(), self.blocks, i);
                let missing = self.missing_every > 0 && (i + k).is_multiple_of(self.missing_every);
                if missing { CellData::default() } else { run }
            })
            .collect();
        let one = matches!(self.references, References::OftenOne) && k % 2 == 1;
        TestInput {
            key: format!("{method}/quantity {k}"),
            family: method.clone(),
            method: MethodId::new(&method).unwrap(),
            sign: self.sign,
            deviation: Deviation {
                sd,
                freedom: self.freedom,
            },
            cap: matches!(kind, Kind::Stage).then_some(self.sign * LAST_STAGE),
            weight: (0.1 + 0.7 * truths.uniform()) / self.quantities as f64,
            anchors: if one {
                let reproducibility = 5.0 * sd;
                if k % 4 == 1 {
                    Anchors::Good {
                        good,
                        reproducibility,
                    }
                } else {
                    Anchors::Poor {
                        poor,
                        reproducibility,
                    }
                }
            } else {
                Anchors::Two { good, poor }
            },
            candidates,
            control,
            middle: None,
        }
    }

    /// A shift of which half was found out; nothing, where there is one block.
    fn shift(&self, block: usize, severity: f64, sd: f64) -> BlockShift {
        match (self.blocks, block) {
            (1, _) => BlockShift::NONE,
            (_, 2) => BlockShift {
                mean: 0.0,
                variance: sd * sd,
            },
            _ => BlockShift {
                mean: self.sign * 0.7 * severity,
                variance: 0.4 * sd * sd,
            },
        }
    }
}

impl Kind {
    fn sd(self) -> f64 {
        match self {
            Self::Measured | Self::EachInTurn => 0.1,
            Self::Ladder => 0.0502,
            Self::Stage => 0.879,
        }
    }

    fn read(self, truth: f64, error: f64) -> Observation {
        match self {
            Self::Measured | Self::EachInTurn => Exact(truth + error),
            Self::Ladder => {
                let step = ((truth + error) / 0.1).ceil();
                let (lo, hi) = (0.1 * (step - 1.0), 0.1 * step);
                if hi < -0.75 {
                    Below(-0.7)
                } else {
                    Between { lo, hi }
                }
            }
            Self::Stage => {
                let stage = (8.0 + 4.0 * truth + error).ceil().max(2.0);
                if stage > LAST_STAGE {
                    Above(LAST_STAGE)
                } else {
                    Between {
                        lo: stage - 1.0,
                        hi: stage,
                    }
                }
            }
        }
    }
}

/// A trial as plain numbers.
pub(crate) fn as_numbers(name: &str, input: &KernelInput, draws: usize) -> Value {
    let tests: Vec<Value> = input
        .tests
        .iter()
        .map(|test| test_as_numbers(test, input))
        .collect();
    json!({
        "name": name,
        "seed": input.seed,
        "draws": draws,
        "head_room": input.head_room,
        "concentration": input.concentration,
        "tests": tests,
    })
}

fn test_as_numbers(test: &TestInput, input: &KernelInput) -> Value {
    let own = format!("{} block ", test.key);
    let of_test = |block: &BlockInput| block.key.starts_with(&own);
    let first = input.blocks.iter().position(of_test).unwrap_or_default();
    let blocks: Vec<Value> = input
        .blocks
        .iter()
        .filter(|block| of_test(block))
        .map(|block| json!([block.shift.mean, block.shift.variance]))
        .collect();
    let cell = |cell: &CellData| -> Value {
        let result = |(o, b): &(Observation, BlockId)| {
            let (lo, hi) = o.ends();
            json!([kind_of(*o), lo, hi, b.0 - first])
        };
        cell.observations.iter().map(result).collect()
    };
    let (good, poor, reproducibility) = match &test.anchors {
        Anchors::Two { good, poor } => (cell(good), cell(poor), None),
        Anchors::Good {
            good,
            reproducibility,
        } => (cell(good), Value::Null, Some(*reproducibility)),
        Anchors::Poor {
            poor,
            reproducibility,
        } => (Value::Null, cell(poor), Some(*reproducibility)),
    };
    json!({
        "method": test.method,
        "sign": test.sign,
        "sd": test.deviation.sd,
        "freedom": Some(test.deviation.freedom).filter(|freedom| freedom.is_finite()),
        "family": test.family,
        "reproducibility": reproducibility,
        "cap": test.cap,
        "weight": test.weight,
        "blocks": blocks,
        "good": good,
        "poor": poor,
        "control": test.control.as_ref().map(cell),
        "candidates": test.candidates.iter().map(cell).collect::<Vec<_>>(),
    })
}

fn kind_of(observation: Observation) -> &'static str {
    match observation {
        Exact(_) => "exact",
        Between { .. } => "between",
        Above(_) => "above",
        Below(_) => "below",
    }
}
