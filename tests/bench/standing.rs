//! Cost of a standing: cells, draws, ranking and every leave-one-out, and how it grows. Generated data.

use std::collections::BTreeSet;
use std::hint::black_box;

use criterion::{BenchmarkId, Criterion, criterion_group, criterion_main};
use likewear::facade::catalogue::MethodId;
use likewear::facade::standing::kernel::{
    Anchors, BlockId, BlockInput, CellData, KernelInput, KnownFits, Ranking, Selection, ShortRanking,
    TestInput, WithoutTests, candidate_streams, fit,
};
use likewear::facade::stats::deviation::Deviation;
use likewear::facade::stats::draws::Stream;
use likewear::facade::stats::observation::Observation::{self, Above, Between, Exact};
use likewear::facade::stats::severity::BlockShift;

/// A third each of measured quantities, ladders and capped stages; two results per cell.
fn generated(candidates: usize, tests: usize, draws: usize) -> KernelInput {
    let mut random = Stream::new(1, 1);
    let tests: Vec<TestInput> = (0..tests)
        .map(|k| generated_test(k, candidates, &mut random))
        .collect();
    let names: Vec<String> = (0..candidates).map(|i| format!("c{i}")).collect();
    KernelInput {
        candidate_streams: candidate_streams(&names, &tests),
        tests,
        blocks: vec![BlockInput {
            key: "block".to_owned(),
            shift: BlockShift::NONE,
        }],
        head_room: 0.5,
        concentration: 15.0,
        draws,
        seed: 7,
    }
}

fn generated_test(k: usize, candidates: usize, random: &mut Stream) -> TestInput {
    let sd = [0.1, 0.0502, 0.879][k % 3];
    let cells: Vec<CellData> = (0..candidates + 2)
        .map(|i| {
            let truth = match i {
                0 => 1.0,
                1 => 0.0,
                _ => 0.6 + 0.3 * random.normal(),
            };
            let read = [read(k, truth, sd, random), read(k, truth, sd, random)];
            CellData::of(read.iter().map(|&one| (one, BlockId(0))).collect())
        })
        .collect();
    TestInput {
        key: format!("test {k:02}"),
        method: MethodId::new(&format!("test {k:02}")).expect("a short word is a name"),
        family: format!("test {k:02}"),
        sign: 1.0,
        deviation: Deviation { sd, freedom: 30.0 },
        cap: (k % 3 == 2).then_some(12.0),
        weight: 0.1 + 0.8 * random.uniform(),
        anchors: Anchors::Two {
            good: cells[0].clone(),
            poor: cells[1].clone(),
        },
        candidates: cells[2..].to_vec(),
        control: None,
        middle: None,
    }
}

fn read(k: usize, truth: f64, sd: f64, random: &mut Stream) -> Observation {
    let error = sd * random.normal();
    match k % 3 {
        0 => Exact(truth + error),
        1 => {
            let step = ((truth + error) / 0.1).ceil();
            Between {
                lo: 0.1 * (step - 1.0),
                hi: 0.1 * step,
            }
        }
        _ => {
            let stage = (8.0 + 4.0 * truth + error).ceil().max(2.0);
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
}

/// All that one page needs: cells, draws, standing, every leave-one-out.
fn whole(input: &KernelInput) -> (Ranking, Vec<ShortRanking>) {
    let everything = Selection::default();
    let fitted = fit(input, &KnownFits::default()).expect("generated input is sound");
    let weighed = fitted.weigh(&everything).expect("the whole selection is there");
    let standing = weighed.ranking();
    let sets: Vec<WithoutTests> = (0..input.tests.len())
        .map(|k| BTreeSet::from([k]).into())
        .collect();
    (standing, weighed.leave_out(&sets).expect("every test is there"))
}

fn parts(c: &mut Criterion) {
    let mut group = c.benchmark_group("20 candidates, 20 tests, 20 000 draws");
    group.sample_size(20);
    let input = generated(20, 20, 20_000);
    group.bench_function("whole", |b| b.iter(|| black_box(whole(&input))));
    group.bench_function("fit", |b| {
        b.iter(|| black_box(fit(&input, &KnownFits::default()).map(|f| f.tests().len())))
    });
    let fitted = fit(&input, &KnownFits::default()).expect("generated input is sound");
    let everything = Selection::default();
    group.bench_function("standing", |b| {
        b.iter(|| black_box(fitted.weigh(&everything).map(|weighed| weighed.ranking())))
    });
    let sets: Vec<WithoutTests> = (0..20).map(|k| BTreeSet::from([k]).into()).collect();
    group.bench_function("every leave-one-out", |b| {
        b.iter(|| {
            black_box(
                fitted
                    .weigh(&everything)
                    .and_then(|weighed| weighed.leave_out(&sets)),
            )
        })
    });
    group.finish();
}

fn growth(c: &mut Criterion) {
    let mut group = c.benchmark_group("growth");
    group.sample_size(10);
    for (name, sizes) in [
        (
            "candidates",
            [(5, 20, 20_000), (10, 20, 20_000), (40, 20, 20_000)],
        ),
        ("tests", [(20, 5, 20_000), (20, 10, 20_000), (20, 40, 20_000)]),
        ("draws", [(20, 20, 5_000), (20, 20, 10_000), (20, 20, 40_000)]),
    ] {
        for (candidates, tests, draws) in sizes {
            let input = generated(candidates, tests, draws);
            let size = format!("{candidates} x {tests} x {draws}");
            group.bench_function(BenchmarkId::new(name, size), |b| {
                b.iter(|| black_box(whole(&input)))
            });
        }
    }
    group.finish();
}

criterion_group!(benches, parts, growth);
criterion_main!(benches);
