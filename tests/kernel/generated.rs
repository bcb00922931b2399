//! Generated trials.

use likewear::facade::catalogue::MethodId;
use likewear::facade::standing::kernel::{
    Anchors, BlockId, BlockInput, CellData, KernelInput, KnownFits, Ranking, Selection, TestInput,
    candidate_streams, fit,
};
use likewear::facade::stats::deviation::Deviation;
use likewear::facade::stats::draws::Stream;
use likewear::facade::stats::observation::Observation::{self, Above, Between, Exact};
use likewear::facade::stats::severity::BlockShift;

/// Candidates with names, and tests of three kinds (a measured quantity, a ladder, capped stages) in two blocks each.
#[derive(Clone)]
pub(crate) struct Case {
    pub(crate) names: Vec<String>,
    pub(crate) input: KernelInput,
}

impl Case {
    pub(crate) fn new(candidates: usize, tests: usize) -> Self {
        let mut random = Stream::new(5, 5);
        let truths: Vec<f64> = (0..candidates).map(|_| 0.6 + 0.3 * random.normal()).collect();
        let tests = (0..tests)
            .map(|k| generated_test(k, &truths, &mut random))
            .collect::<Vec<_>>();
        let blocks = (0..2 * tests.len())
            .map(|b| BlockInput {
                key: format!("block {b}"),
                shift: BlockShift {
                    mean: 0.0,
                    variance: 0.0,
                },
            })
            .collect();
        let input = KernelInput {
            candidate_streams: Vec::new(),
            tests,
            blocks,
            head_room: 0.25,
            concentration: 15.0,
            draws: 4000,
            seed: 11,
        };
        let names = (0..candidates).map(|i| format!("blend {i:02}")).collect();
        Self { names, input }
    }

    pub(crate) fn shift_blocks(mut self) -> Self {
        for (b, block) in self.input.blocks.iter_mut().enumerate() {
            block.shift = BlockShift {
                mean: 0.03 * (b as f64 - 3.0),
                variance: 0.002 * (b + 1) as f64,
            };
        }
        self
    }

    pub(crate) fn input(&self) -> KernelInput {
        let mut input = self.input.clone();
        input.candidate_streams = candidate_streams(&self.names, &input.tests);
        input
    }

    pub(crate) fn standing(&self) -> Ranking {
        fit(&self.input(), &KnownFits::default())
            .unwrap()
            .weigh(&Selection::default())
            .unwrap()
            .ranking()
    }
}

fn generated_test(k: usize, truths: &[f64], random: &mut Stream) -> TestInput {
    let sd = [0.1, 0.0502, 0.879][k % 3];
    let mut read = |truth: f64| -> Observation {
        match k % 3 {
            0 => Exact(truth + sd * random.normal()),
            1 => {
                let step = ((truth + sd * random.normal()) / 0.1).ceil();
                Between {
                    lo: 0.1 * step - 0.1,
                    hi: 0.1 * step,
                }
            }
            _ => {
                let stage = (8.0 + 4.0 * truth + sd * random.normal()).ceil().max(2.0);
                if stage > 12.0 {
                    Above(12.0)
                } else {
                    Between {
                        lo: stage - 1.0,
                        hi: stage,
                    }
                }
            }
        }
    };
    let mut cell = |truth: f64| {
        let observations = (0..2).map(|run| (read(truth), BlockId(2 * k + run))).collect();
        CellData::of(observations)
    };
    let mut candidates: Vec<CellData> = truths.iter().map(|&truth| cell(truth)).collect();
    candidates[k % truths.len()] = CellData::default();
    TestInput {
        key: format!("method {}/quantity {k}", k / 2),
        method: MethodId::new(&format!("method {}", k / 2)).unwrap(),
        family: format!("family {}", k / 4),
        sign: 1.0,
        deviation: Deviation {
            sd,
            freedom: [30.0, 4.0, f64::INFINITY][k / 2 % 3],
        },
        cap: (k % 3 == 2).then_some(12.0),
        weight: 0.1 + 0.08 * (k % 5) as f64,
        anchors: Anchors::Two {
            good: cell(1.0),
            poor: cell(0.0),
        },
        candidates,
        control: Some(cell(-0.5)),
        middle: Some(cell(0.5)),
    }
}

pub(crate) fn cells_mut(test: &mut TestInput) -> Vec<&mut CellData> {
    let mut cells: Vec<&mut CellData> = test.candidates.iter_mut().collect();
    match &mut test.anchors {
        Anchors::Two { good, poor } => cells.extend([good, poor]),
        Anchors::Good { good, .. } => cells.push(good),
        Anchors::Poor { poor, .. } => cells.push(poor),
    }
    cells.extend(test.control.as_mut());
    cells.extend(test.middle.as_mut());
    cells
}
