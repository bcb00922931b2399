//! Where there is little or nothing to compare: defined answers, no missing numbers, and clear refusals.

use std::collections::BTreeSet;

use likewear::facade::catalogue::MethodId;
use likewear::facade::prose::reasons::kernel_fault;
use likewear::facade::standing::kernel::{
    Anchors, BlockId, BlockInput, CellData, KernelError, KernelInput, KnownFits, Missing, Ranking, Selection,
    TestInput, Weighting, Who, WithoutTests, candidate_streams, fit,
};
use likewear::facade::stats::deviation::Deviation;
use likewear::facade::stats::observation::Observation::{self, Above, Below, Between, Exact};
use likewear::facade::stats::severity::BlockShift;

fn cell(observations: &[Observation]) -> CellData {
    CellData::of(observations.iter().map(|&one| (one, BlockId(0))).collect())
}

fn test(key: &str, candidates: Vec<CellData>) -> TestInput {
    TestInput {
        key: key.to_owned(),
        method: MethodId::new(key).unwrap(),
        family: key.to_owned(),
        sign: 1.0,
        deviation: Deviation {
            sd: 0.5,
            freedom: 30.0,
        },
        cap: Some(12.0),
        weight: 0.5,
        anchors: Anchors::Two {
            good: cell(&[Above(12.0)]),
            poor: cell(&[Between { lo: 6.0, hi: 7.0 }]),
        },
        candidates,
        control: None,
        middle: None,
    }
}

fn input(tests: Vec<TestInput>, candidates: usize) -> KernelInput {
    let names: Vec<String> = (0..candidates).map(|i| i.to_string()).collect();
    KernelInput {
        candidate_streams: candidate_streams(&names, &tests),
        tests,
        blocks: vec![BlockInput {
            key: "block".to_owned(),
            shift: BlockShift::NONE,
        }],
        head_room: 0.25,
        concentration: 5.0,
        draws: 1000,
        seed: 3,
    }
}

fn standing(input: &KernelInput) -> Ranking {
    let standing = fit(input, &KnownFits::default())
        .unwrap()
        .weigh(&Selection::default())
        .unwrap()
        .ranking();
    let words = format!("{standing:?}");
    assert!(!words.contains("NaN") && !words.contains("inf"), "{words}");
    standing
}

#[test]
fn no_tests_no_candidates_or_no_weight_leave_nobody_in_front() {
    let empty = standing(&input(Vec::new(), 0));
    assert_eq!((empty.front_runner, empty.total_weight), (None, 0.0));
    let no_tests = standing(&input(Vec::new(), 3));
    assert_eq!(no_tests.front_runner, None);
    assert_eq!(no_tests.p_best, [0.0; 3]);
    let no_candidates = standing(&input(vec![test("a", Vec::new())], 0));
    assert_eq!(no_candidates.front_runner, None);
    assert_eq!(no_candidates.total_weight, 0.5);
    let mut weightless = input(vec![test("a", vec![cell(&[Above(12.0)]), cell(&[])])], 2);
    weightless.tests[0].weight = 0.0;
    let nothing = standing(&weightless);
    assert_eq!((nothing.front_runner, nothing.lead.clone()), (None, None));
    assert_eq!(nothing.p_best, [0.0; 2]);
    assert_eq!(nothing.coverage, [0.0; 2]);
    // nothing weighed, but all methods alike: then it counts
    let fitted = fit(&weightless, &KnownFits::default()).unwrap();
    let equal = fitted
        .weigh(&Selection {
            weighting: Weighting::Equal,
            ..Selection::default()
        })
        .unwrap()
        .ranking();
    assert_eq!(equal.front_runner, Some(0));
}

#[test]
fn leaving_everything_out_leaves_nothing() {
    let input = input(
        vec![test("a", vec![cell(&[Above(12.0)]), cell(&[Below(6.0)])])],
        2,
    );
    let fitted = fit(&input, &KnownFits::default()).unwrap();
    let left = fitted
        .weigh(&Selection::default())
        .unwrap()
        .leave_out(&[BTreeSet::from([0]).into(), WithoutTests::default()])
        .unwrap();
    assert_eq!((left[0].front_runner, left[0].total_weight), (None, 0.0));
    assert_eq!(left[0].p_best, [0.0; 2]);
    assert_eq!(left[1].front_runner, Some(0));
    assert_eq!(
        left[1].p_best,
        fitted.weigh(&Selection::default()).unwrap().ranking().p_best
    );
    let nobody = Selection {
        candidates_out: BTreeSet::from([0, 1]),
        ..Selection::default()
    };
    assert_eq!(fitted.weigh(&nobody).unwrap().ranking().front_runner, None);
    assert_eq!(
        fitted
            .weigh(&nobody)
            .unwrap()
            .leave_out(&[WithoutTests::default()])
            .unwrap()[0]
            .front_runner,
        None
    );
}

#[test]
fn one_candidate_is_first_in_every_draw() {
    let one = standing(&input(
        vec![test("a", vec![cell(&[Between { lo: 10.0, hi: 11.0 }])])],
        1,
    ));
    assert_eq!(
        (one.front_runner, one.p_best[0], one.monte_carlo_error),
        (Some(0), 1.0, 0.0)
    );
    assert_eq!(one.lead, None);
    assert!(one.claim.holds_when_filled);
    assert_eq!(one.rank_probabilities, [[1.0]]);
}

#[test]
fn blends_that_are_all_capped_share_the_first_place() {
    let far = || cell(&[Exact(20.0), Exact(20.0)]);
    let all = standing(&input(vec![test("a", vec![far(), far(), far()])], 3));
    assert!(all.p_best.iter().all(|p| (p - 1.0 / 3.0).abs() < 1e-9));
    assert!(all.scores.iter().all(|score| *score == all.scores[0]));
    assert_eq!(all.lead.unwrap().shares, None);
    assert!(
        all.rank_probabilities
            .iter()
            .flatten()
            .all(|p| (p - 1.0 / 3.0).abs() < 1e-9)
    );
    // the references too: no way from poor to good, so the smallest gap stands in, and nothing divides by 0
    let mut level = test("a", vec![far(), cell(&[Between { lo: 6.0, hi: 7.0 }])]);
    level.anchors = Anchors::Two {
        good: far(),
        poor: far(),
    };
    let level = standing(&input(vec![level], 2));
    assert_eq!(level.front_runner, Some(0));
}

#[test]
fn references_the_wrong_way_round_are_reported_and_scaled_by_the_smallest_gap() {
    let mut reversed = test("a", vec![cell(&[Exact(9.0)]), cell(&[Exact(8.0)])]);
    reversed.cap = None;
    reversed.anchors = Anchors::Two {
        good: cell(&[Exact(5.0)]),
        poor: cell(&[Exact(9.0)]),
    };
    reversed.control = Some(cell(&[Exact(10.0)]));
    reversed.middle = Some(cell(&[Exact(7.0)]));
    let fitted = fit(&input(vec![reversed], 2), &KnownFits::default()).unwrap();
    let validity = fitted.tests()[0].validity();
    assert_eq!(validity.good_over_poor, Some(0.0));
    assert_eq!(validity.good_over_control, Some(0.0));
    assert_eq!(validity.middle_between, Some(0.0));
    let standing = fitted.weigh(&Selection::default()).unwrap().ranking();
    assert_eq!(standing.front_runner, Some(0));
}

#[test]
fn a_middle_reference_at_the_cap_with_the_good_one_counts_as_between() {
    let mut capped = test("a", vec![cell(&[])]);
    capped.anchors = Anchors::Two {
        good: cell(&[Exact(30.0)]),
        poor: cell(&[Exact(5.0)]),
    };
    capped.middle = Some(cell(&[Exact(25.0)]));
    capped.control = Some(cell(&[Exact(28.0)]));
    let validity = fit(&input(vec![capped], 1), &KnownFits::default())
        .unwrap()
        .tests()[0]
        .validity();
    assert_eq!(validity.middle_between, Some(1.0));
    // a control fluid at the cap is as good as the good one there: the test did not sort it
    assert_eq!(validity.good_over_control, Some(0.0));
}

#[test]
fn comparing_two_blends_in_one_test_needs_no_random_numbers() {
    let mut plain = test("a", vec![cell(&[Exact(9.0)]), cell(&[Exact(8.0)])]);
    plain.cap = None;
    let fitted = fit(&input(vec![plain.clone()], 2), &KnownFits::default()).unwrap();
    let better = |one, other| fitted.probability_better(0, one, other).unwrap();
    let (first, second) = (Who::Candidate(0), Who::Candidate(1));
    assert!((better(first, second) + better(second, first) - 1.0).abs() < 1e-4);
    assert!(better(first, second) > 0.9 && better(Who::Good, Who::Poor) > 0.999);
    assert_eq!(fitted.probability_better(0, Who::Control, Who::Good), None);
    assert_eq!(fitted.probability_better(1, Who::Good, Who::Poor), None);
    // a shift that both share changes nothing; one that only the first has makes the answer less sure
    let with_shift = |first_block: usize| {
        let mut shifted = input(vec![plain.clone()], 2);
        let shift = BlockShift {
            mean: 0.0,
            variance: 1.0,
        };
        shifted.blocks.push(BlockInput {
            key: "other".to_owned(),
            shift,
        });
        shifted.blocks[0].shift = shift;
        shifted.tests[0].candidates[0].observations[0].1 = BlockId(first_block);
        fit(&shifted, &KnownFits::default())
            .unwrap()
            .probability_better(0, first, second)
            .unwrap()
    };
    assert!((with_shift(0) - better(first, second)).abs() < 0.01);
    assert!(with_shift(1) < better(first, second) - 0.05);
}

#[test]
fn what_cannot_be_used_is_refused_by_name() {
    let good = || input(vec![test("a", vec![cell(&[Above(12.0)])])], 1);
    let refused = |change: &dyn Fn(&mut KernelInput)| {
        let mut bad = good();
        change(&mut bad);
        fit(&bad, &KnownFits::default())
            .map(|_| ())
            .map_err(|fault| kernel_fault(&fault))
            .unwrap_err()
    };
    assert_eq!(refused(&|i| i.draws = 0), "number of draws is out of range");
    assert_eq!(refused(&|i| i.head_room = -0.1), "head-room is out of range");
    assert_eq!(
        refused(&|i| i.concentration = f64::NAN),
        "concentration is out of range"
    );
    assert_eq!(
        refused(&|i| i.blocks[0].shift.variance = -1.0),
        "shift of a block is out of range"
    );
    assert_eq!(
        refused(&|i| i.tests[0].deviation.sd = 0.0),
        "test a: standard deviation is out of range"
    );
    assert_eq!(
        refused(&|i| i.tests[0].sign = 0.5),
        "test a: sign is out of range"
    );
    assert_eq!(
        refused(&|i| i.tests[0].cap = Some(f64::NAN)),
        "test a: cap is out of range"
    );
    assert_eq!(
        refused(&|i| i.tests[0].weight = 1.5),
        "test a: weight is out of range"
    );
    assert_eq!(
        refused(&|i| i.tests[0].candidates.clear()),
        "test a: number of candidates is out of range"
    );
    assert_eq!(
        refused(&|i| i.blocks.clear()),
        "test a: block of a result is out of range"
    );
    assert_eq!(
        refused(&|i| i.tests[0].candidates[0] = cell(&[Exact(f64::INFINITY)])),
        "test a: a result must be a finite number"
    );
    assert_eq!(
        refused(&|i| i.tests[0].anchors = Anchors::Two {
            good: cell(&[]),
            poor: cell(&[Exact(1.0)])
        }),
        "test a: number of reference results is out of range"
    );
    assert_eq!(
        refused(&|i| {
            i.tests[0].anchors = Anchors::Good {
                good: cell(&[Exact(1.0)]),
                reproducibility: 0.0,
            };
        }),
        "test a: reproducibility is out of range"
    );
    assert_eq!(
        refused(&|i| i.tests.push(i.tests[0].clone())),
        "test a occurs twice"
    );
    assert_eq!(
        refused(&|i| i.blocks.push(i.blocks[0].clone())),
        "block block occurs twice"
    );
    assert_eq!(
        refused(&|i| {
            let mut second = i.tests[0].clone();
            second.key = "b".to_owned();
            second.weight = 0.6;
            i.tests.push(second);
        }),
        "the weights of method a add up to more than 1"
    );
}

#[test]
fn a_selection_of_what_is_not_there_is_refused() {
    let fitted = fit(
        &input(vec![test("a", vec![cell(&[Above(12.0)])])], 1),
        &KnownFits::default(),
    )
    .unwrap();
    let refused = |selection: Selection| fitted.weigh(&selection).is_err();
    assert!(refused(Selection {
        excluded_tests: BTreeSet::from([1]),
        ..Selection::default()
    }));
    assert!(refused(Selection {
        candidates_out: BTreeSet::from([1]),
        ..Selection::default()
    }));
    assert!(refused(Selection {
        head_room: Some(f64::NAN),
        ..Selection::default()
    }));
    assert!(refused(Selection {
        weighting: Weighting::Instead(vec![]),
        ..Selection::default()
    }));
    assert!(refused(Selection {
        weighting: Weighting::Instead(vec![2.0]),
        ..Selection::default()
    }));
    let set = BTreeSet::from([7]).into();
    let beyond = fitted
        .weigh(&Selection::default())
        .unwrap()
        .leave_out(&[set])
        .unwrap_err();
    assert_eq!(beyond, KernelError::NotThere(Missing::LeftOutTest(7)));
}

#[test]
fn a_wild_result_among_sound_ones_still_gives_numbers() {
    let mut wild = test("a", vec![cell(&[Exact(9.0)]), cell(&[Exact(1e9)]), cell(&[])]);
    wild.cap = None;
    let fitted = fit(&input(vec![wild], 3), &KnownFits::default()).unwrap();
    let summary = fitted.tests()[0].summary(Who::Candidate(0)).unwrap();
    assert!((summary.mean - 9.0).abs() < 0.5, "{}", summary.mean);
    assert_eq!(
        fitted
            .weigh(&Selection::default())
            .unwrap()
            .ranking()
            .front_runner,
        Some(1)
    );
}

#[test]
fn up_to_200_000_draws_are_taken() {
    for (draws, taken) in [
        (0, false),
        (1, true),
        (2, true),
        (199_999, true),
        (200_000, true),
        (200_001, false),
    ] {
        let mut asked = input(vec![test("a", vec![cell(&[Above(12.0)])])], 1);
        asked.draws = draws;
        assert_eq!(fit(&asked, &KnownFits::default()).is_ok(), taken, "{draws}");
    }
}

/// The slack is for the rounding of a sum of decimals.
#[test]
fn the_quantities_of_one_method_weigh_1_together_at_most() {
    for (by, taken) in [
        (-1e-3, true),
        (0.0, true),
        (0.5e-9, true),
        (2e-9, false),
        (1e-3, false),
    ] {
        let mut both = input(vec![test("a", Vec::new()), test("b", Vec::new())], 0);
        both.tests[1].method = both.tests[0].method.clone();
        (both.tests[0].weight, both.tests[1].weight) = (0.5, 0.5 + by);
        assert_eq!(fit(&both, &KnownFits::default()).is_ok(), taken, "{by}");
    }
}
