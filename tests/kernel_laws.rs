//! Laws of the kernel: what must not change a standing, and what must. All data invented and generated.

use std::collections::BTreeSet;

use likewear::standing::kernel::{
    Anchors, BlockId, BlockInput, CellData, KernelInput, Selection, Standing, TestInput, Weighting, Who,
    candidate_streams, fit,
};
use likewear::stats::draws::Stream;
use likewear::stats::observation::Observation::{self, Above, Between, Exact};
use likewear::stats::severity::BlockShift;

/// Candidates with names, and tests of three kinds (a measured quantity, a ladder, capped stages) in two blocks each.
#[derive(Clone)]
struct Case {
    names: Vec<String>,
    input: KernelInput,
}

impl Case {
    fn new(candidates: usize, tests: usize) -> Self {
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

    fn shift_blocks(mut self) -> Self {
        for (b, block) in self.input.blocks.iter_mut().enumerate() {
            block.shift = BlockShift {
                mean: 0.03 * (b as f64 - 3.0),
                variance: 0.002 * (b + 1) as f64,
            };
        }
        self
    }

    fn input(&self) -> KernelInput {
        let mut input = self.input.clone();
        input.candidate_streams = candidate_streams(&self.names, &input.tests);
        input
    }

    fn standing(&self) -> Standing {
        fit(&self.input())
            .unwrap()
            .standing(&Selection::default())
            .unwrap()
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
        CellData { observations }
    };
    let mut candidates: Vec<CellData> = truths.iter().map(|&truth| cell(truth)).collect();
    candidates[k % truths.len()] = CellData::default();
    TestInput {
        key: format!("method {}/quantity {k}", k / 2),
        method: format!("method {}", k / 2),
        rig: format!("rig {}", k / 2),
        sign: 1.0,
        sd,
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

fn cells_mut(test: &mut TestInput) -> Vec<&mut CellData> {
    let mut cells: Vec<&mut CellData> = test.candidates.iter_mut().collect();
    match &mut test.anchors {
        Anchors::Two { good, poor } => cells.extend([good, poor]),
        Anchors::One { good, .. } => cells.push(good),
    }
    cells.extend(test.control.as_mut());
    cells.extend(test.middle.as_mut());
    cells
}

#[test]
fn the_order_of_results_tests_blocks_and_candidates_changes_no_bit() {
    let case = Case::new(4, 6).shift_blocks();
    let straight = case.standing();
    let mut turned = case.clone();
    turned.names.reverse();
    turned.input.tests.reverse();
    turned.input.blocks.reverse();
    let last_block = turned.input.blocks.len() - 1;
    for test in &mut turned.input.tests {
        test.candidates.reverse();
        for cell in cells_mut(test) {
            cell.observations.reverse();
            cell.observations
                .iter_mut()
                .for_each(|(_, block)| block.0 = last_block - block.0);
        }
    }
    let turned = turned.standing();
    let place = |i: usize| 3 - i;
    for i in 0..4 {
        assert_eq!(straight.scores[i].to_bits(), turned.scores[place(i)].to_bits());
        assert_eq!(straight.p_best[i].to_bits(), turned.p_best[place(i)].to_bits());
        assert_eq!(
            straight.rank_probabilities[i],
            turned.rank_probabilities[place(i)]
        );
        assert_eq!(straight.score_intervals[i], turned.score_intervals[place(i)]);
        assert_eq!(straight.fills[i], turned.fills[place(i)]);
        assert_eq!(straight.coverage[i], turned.coverage[place(i)]);
        for j in 0..4 {
            assert_eq!(
                straight.pairwise_wins[i][j],
                turned.pairwise_wins[place(i)][place(j)]
            );
        }
    }
    assert_eq!(straight.front_runner.map(place), turned.front_runner);
    let mut shares = turned.lead.unwrap().shares.unwrap();
    shares.reverse();
    assert_eq!(straight.lead.unwrap().shares.unwrap(), shares);
    assert_eq!(straight.effective_tests_by_rig, turned.effective_tests_by_rig);
}

#[test]
fn names_change_no_bit() {
    let case = Case::new(4, 6);
    let mut renamed = case.clone();
    renamed.names = ["zinc", "alpha", "middle", "beta"].map(str::to_owned).to_vec();
    assert_eq!(case.standing(), renamed.standing());
}

#[test]
fn the_number_of_threads_changes_no_bit() {
    let input = Case::new(5, 7).shift_blocks().input();
    let sets: Vec<BTreeSet<usize>> = (0..7).map(|k| BTreeSet::from([k])).collect();
    let run = |threads: usize| {
        let pool = rayon::ThreadPoolBuilder::new()
            .num_threads(threads)
            .build()
            .unwrap();
        pool.install(|| {
            let fitted = fit(&input).unwrap();
            let standing = fitted.standing(&Selection::default()).unwrap();
            let left = fitted.leave_out(&Selection::default(), &sets).unwrap();
            format!("{standing:?} {left:?}")
        })
    };
    assert_eq!(run(1), run(4));
}

#[test]
fn turning_a_scale_round_changes_no_bit() {
    let case = Case::new(4, 6).shift_blocks();
    let mut mirrored = case.clone();
    for k in [0, 2, 4] {
        let test = &mut mirrored.input.tests[k];
        test.sign = -1.0;
        test.cap = test.cap.map(|cap| -cap);
        for cell in cells_mut(test) {
            cell.observations.iter_mut().for_each(|(o, _)| *o = o.mirrored());
        }
        for block in &mut mirrored.input.blocks[2 * k..2 * k + 2] {
            block.shift.mean = -block.shift.mean;
        }
    }
    assert_eq!(case.standing(), mirrored.standing());
    let (up, down) = (fit(&case.input()).unwrap(), fit(&mirrored.input()).unwrap());
    let (up, down) = (&up.tests()[2], &down.tests()[2]);
    assert_eq!(up.validity(), down.validity());
    let (up, down) = (
        up.summary(Who::Candidate(0)).unwrap(),
        down.summary(Who::Candidate(0)).unwrap(),
    );
    assert_eq!(
        (up.mean, up.interval, up.beyond_cap),
        (-down.mean, (-down.interval.1, -down.interval.0), down.beyond_cap)
    );
}

#[test]
fn a_copy_of_the_front_runner_splits_its_first_places() {
    let mut case = Case::new(3, 5);
    case.input.draws = 20_000;
    let alone = case.standing();
    let front = alone.front_runner.unwrap();
    case.names.push("copy".to_owned());
    for test in &mut case.input.tests {
        let copy = test.candidates[front].clone();
        test.candidates.push(copy);
    }
    let both = case.standing();
    let (original, copy) = (both.p_best[front], both.p_best[3]);
    // difference of two first places of 20 000 draws: standard error at most sqrt(1 / 20 000) = 0.007
    assert!((original - copy).abs() < 0.025, "{original} and {copy}");
    assert!((both.pairwise_wins[front][3] - 0.5).abs() < 0.0145);
    // independent draws, so the two together are ahead more often than the one alone was, never less
    assert!(original + copy >= alone.p_best[front] - 0.012);
    assert_eq!(both.scores[front], both.scores[3]);
    assert_eq!(both.level_with_front.len(), 1);
    // the others keep their draws; their cells move only as far as the data's range does, and here it does not
    assert_eq!(both.scores[(front + 1) % 3], alone.scores[(front + 1) % 3]);
    assert_eq!(
        both.score_intervals[(front + 1) % 3],
        alone.score_intervals[(front + 1) % 3]
    );
}

#[test]
fn a_test_on_which_everybody_is_capped_does_not_move_the_front() {
    let mut case = Case::new(4, 4);
    let before = case.standing();
    let mut capped = case.input.tests[2].clone();
    capped.key = "capped/stage".to_owned();
    capped.method = "capped".to_owned();
    capped.weight = 0.9;
    // far above the cap, so that no draw of any candidate falls below it
    let far = || CellData::in_block(BlockId(0), &[Exact(40.0), Exact(40.0)]);
    capped.candidates = (0..4).map(|_| far()).collect();
    case.input.tests.push(capped);
    let mut input = case.input();
    input.candidate_streams = Case::new(4, 4).input().candidate_streams;
    let after = fit(&input).unwrap().standing(&Selection::default()).unwrap();
    assert_eq!(before.front_runner, after.front_runner);
    assert_eq!(before.ranked, after.ranked);
    for i in 0..4 {
        assert!(
            (before.p_best[i] - after.p_best[i]).abs() < 1e-9,
            "the order within a draw is the same"
        );
    }
    let shares = after.lead.unwrap().shares.unwrap();
    assert!(shares[4].abs() < 1e-9);
}

#[test]
fn leaving_a_method_out_is_giving_it_no_weight() {
    let case = Case::new(4, 6);
    let fitted = fit(&case.input()).unwrap();
    let method = BTreeSet::from([2, 3]);
    let excluded = Selection {
        excluded_tests: method.clone(),
        ..Selection::default()
    };
    let mut weights: Vec<f64> = case.input.tests.iter().map(|t| t.weight).collect();
    method.iter().for_each(|&k| weights[k] = 0.0);
    let unweighted = Selection {
        weighting: Weighting::Instead(weights),
        ..Selection::default()
    };
    let excluded = fitted.standing(&excluded).unwrap();
    assert_eq!(excluded, fitted.standing(&unweighted).unwrap());
    let left = &fitted.leave_out(&Selection::default(), &[method]).unwrap()[0];
    assert_eq!(left.front_runner, excluded.front_runner);
    assert_eq!(left.scores, excluded.scores);
    for (left, excluded) in left.p_best.iter().zip(&excluded.p_best) {
        assert!((left - excluded).abs() < 1e-9);
    }
}

#[test]
fn leaving_a_test_out_keeps_the_draws_of_the_others() {
    let case = Case::new(4, 6);
    let all = case.input();
    let mut fewer = all.clone();
    fewer.tests.truncate(4);
    let (all, fewer) = (fit(&all).unwrap(), fit(&fewer).unwrap());
    let excluded = Selection {
        excluded_tests: BTreeSet::from([4, 5]),
        ..Selection::default()
    };
    let (with, without) = (
        all.standing(&excluded).unwrap(),
        fewer.standing(&Selection::default()).unwrap(),
    );
    assert_eq!(with.p_best, without.p_best);
    assert_eq!(with.score_intervals, without.score_intervals);
}

#[test]
fn a_candidate_that_is_out_leaves_the_others_as_they_were() {
    let fitted = fit(&Case::new(4, 6).input()).unwrap();
    let everybody = fitted.standing(&Selection::default()).unwrap();
    let front = everybody.front_runner.unwrap();
    let without = Selection {
        candidates_out: BTreeSet::from([front]),
        ..Selection::default()
    };
    let without = fitted.standing(&without).unwrap();
    assert_eq!(without.front_runner, Some(everybody.ranked[1]));
    assert_eq!(without.p_best[front], 0.0);
    assert_eq!(without.scores, everybody.scores);
    assert!((without.p_best.iter().sum::<f64>() - 1.0).abs() < 1e-9);
    let (a, b) = (everybody.ranked[1], everybody.ranked[2]);
    assert_eq!(without.pairwise_wins[a][b], everybody.pairwise_wins[a][b]);
}

#[test]
fn ranks_wins_and_first_places_agree_with_one_another() {
    let standing = Case::new(5, 6).standing();
    for i in 0..5 {
        assert!((standing.rank_probabilities[i].iter().sum::<f64>() - 1.0).abs() < 1e-9);
        assert!((standing.rank_probabilities[i][0] - standing.p_best[i]).abs() < 1e-9);
        let expected_rank: f64 = (0..5).map(|r| r as f64 * standing.rank_probabilities[i][r]).sum();
        let losses: f64 = (0..5)
            .filter(|&j| j != i)
            .map(|j| standing.pairwise_wins[j][i])
            .sum();
        assert!((expected_rank - losses).abs() < 1e-9);
        assert!(
            (0..5).all(|j| (standing.pairwise_wins[i][j] + standing.pairwise_wins[j][i] - 1.0).abs() < 1e-9)
        );
        let (low, high) = standing.score_intervals[i];
        assert!(low < standing.scores[i] && standing.scores[i] < high);
    }
}

#[test]
fn a_shift_shared_by_one_block_cancels_and_one_of_two_blocks_widens() {
    let mut one_block = Case::new(3, 3);
    for test in &mut one_block.input.tests {
        for cell in cells_mut(test) {
            cell.observations
                .iter_mut()
                .for_each(|(_, block)| block.0 -= block.0 % 2);
        }
    }
    let width = |standing: &Standing| standing.score_intervals.iter().map(|(l, h)| h - l).sum::<f64>();
    let plain = one_block.standing();
    let mut shifted = one_block.clone();
    shifted
        .input
        .blocks
        .iter_mut()
        .for_each(|b| b.shift.variance = 0.05);
    // capped stages do not cancel: the cap stays where it is
    [&mut shifted, &mut one_block]
        .into_iter()
        .for_each(|c| c.input.tests.iter_mut().for_each(|t| t.cap = None));
    let (plain_uncapped, shared) = (one_block.standing(), shifted.standing());
    for i in 0..3 {
        assert!((plain_uncapped.scores[i] - shared.scores[i]).abs() < 1e-6);
        assert!((plain_uncapped.p_best[i] - shared.p_best[i]).abs() < 1e-9);
    }
    assert!(width(&plain) > 0.0);
    // the references in one block and the candidates in another: the doubt of both blocks stays
    let mut apart = shifted.clone();
    for test in &mut apart.input.tests {
        let cells = test.candidates.iter_mut().flat_map(|c| &mut c.observations);
        cells.for_each(|(_, block)| block.0 += 1);
    }
    assert!(width(&apart.standing()) > 1.1 * width(&shared));
}

#[test]
fn head_room_and_weights_have_their_alternatives() {
    let case = Case::new(4, 6);
    let fitted = fit(&case.input()).unwrap();
    let standing = |s: Selection| fitted.standing(&s).unwrap();
    for head_room in [0.0, 0.25, 0.5] {
        let other = standing(Selection {
            head_room: Some(head_room),
            ..Selection::default()
        });
        let mut input = case.input();
        input.head_room = head_room;
        assert_eq!(
            other,
            fit(&input).unwrap().standing(&Selection::default()).unwrap()
        );
        let held = |u: &f64| (-head_room..=1.0 + head_room).contains(u);
        assert!(other.mean_positions.iter().flatten().all(held));
    }
    let equal = standing(Selection {
        weighting: Weighting::Equal,
        ..Selection::default()
    });
    assert!((equal.total_weight - 3.0).abs() < 1e-12);
    assert!((equal.weights[0] + equal.weights[1] - 1.0).abs() < 1e-12);
    let flat = standing(Selection {
        weighting: Weighting::FlatRandom,
        ..Selection::default()
    });
    assert_eq!(flat.scores, equal.scores);
    assert_ne!(flat.p_best, equal.p_best);
}

/// One exact result with next to no scatter, between references at 0 and 1.
fn sharp_test(key: &str, truths: &[f64]) -> TestInput {
    let cell = |truth: f64| CellData::in_block(BlockId(0), &[Exact(truth)]);
    TestInput {
        key: key.to_owned(),
        method: key.to_owned(),
        rig: key.to_owned(),
        sign: 1.0,
        sd: 1e-4,
        cap: None,
        weight: 0.5,
        anchors: Anchors::Two {
            good: cell(1.0),
            poor: cell(0.0),
        },
        candidates: truths.iter().map(|&t| cell(t)).collect(),
        control: None,
        middle: None,
    }
}

#[test]
fn flat_weights_give_the_closed_form_first_places() {
    // weights uniform on the simplex; closed forms worked by hand: C leads A and B where 0.4 < w1 < 0.6
    let mut case = Case::new(3, 2);
    case.input.draws = 20_000;
    case.input.tests = vec![
        sharp_test("one", &[1.0, 0.0, 0.6]),
        sharp_test("two", &[0.0, 1.0, 0.6]),
    ];
    let flat = Selection {
        weighting: Weighting::FlatRandom,
        ..Selection::default()
    };
    let standing = fit(&case.input()).unwrap().standing(&flat).unwrap();
    for (p, expected) in standing.p_best.iter().zip([0.4, 0.4, 0.2]) {
        assert!((p - expected).abs() < 0.012, "{p} is not {expected}");
    }
    // three tests, one blend ahead in each and one at half everywhere: each a quarter
    let mut case = Case::new(4, 3);
    case.input.draws = 20_000;
    let truths = |k: usize| [0, 1, 2, 3].map(|i| if i == 3 { 0.5 } else { f64::from(u8::from(i == k)) });
    case.input.tests = (0..3)
        .map(|k| sharp_test(["one", "two", "three"][k], &truths(k)))
        .collect();
    let standing = fit(&case.input()).unwrap().standing(&flat).unwrap();
    for p in &standing.p_best {
        assert!((p - 0.25).abs() < 0.012, "{p} is not a quarter");
    }
}

#[test]
fn one_reference_places_a_blend_by_the_reproducibility() {
    let mut case = Case::new(3, 1);
    let mut test = sharp_test("one", &[1.0, 0.6, 0.2]);
    test.anchors = Anchors::One {
        good: CellData::in_block(BlockId(0), &[Exact(1.0)]),
        reproducibility: 0.4,
    };
    case.input.tests = vec![test];
    let fitted = fit(&case.input()).unwrap();
    let standing = fitted.standing(&Selection::default()).unwrap();
    for (position, expected) in standing.mean_positions.iter().zip([1.0, 0.5, 0.0]) {
        assert!((position[0] - expected).abs() < 1e-3);
    }
    assert_eq!(fitted.tests()[0].validity().good_over_poor, None);
}
