//! Block shifts, head-room, other weights and one reference.

use likewear::facade::catalogue::MethodId;
use likewear::facade::standing::kernel::{
    Anchors, BlockId, CellData, KnownFits, Ranking, Selection, TestInput, Weighting, fit,
};
use likewear::facade::stats::deviation::Deviation;
use likewear::facade::stats::observation::Observation::Exact;

use crate::generated::{Case, cells_mut};

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
    let width = |standing: &Ranking| standing.score_intervals.iter().map(|(l, h)| h - l).sum::<f64>();
    let plain = one_block.standing();
    let mut shifted = one_block.clone();
    shifted
        .input
        .blocks
        .iter_mut()
        .for_each(|b| b.shift.variance = 0.2);
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
    let fitted = fit(&case.input(), &KnownFits::default()).unwrap();
    let standing = |s: Selection| fitted.weigh(&s).unwrap().ranking();
    for head_room in [0.0, 0.25, 0.5] {
        let other = standing(Selection {
            head_room: Some(head_room),
            ..Selection::default()
        });
        let mut input = case.input();
        input.head_room = head_room;
        assert_eq!(
            other,
            fit(&input, &KnownFits::default())
                .unwrap()
                .weigh(&Selection::default())
                .unwrap()
                .ranking()
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
    let cell = |truth: f64| CellData::of(vec![(Exact(truth), BlockId(0))]);
    TestInput {
        key: key.to_owned(),
        method: MethodId::new(key).unwrap(),
        family: key.to_owned(),
        sign: 1.0,
        deviation: Deviation {
            sd: 1e-4,
            freedom: f64::INFINITY,
        },
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
    let standing = fit(&case.input(), &KnownFits::default())
        .unwrap()
        .weigh(&flat)
        .unwrap()
        .ranking();
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
    let standing = fit(&case.input(), &KnownFits::default())
        .unwrap()
        .weigh(&flat)
        .unwrap()
        .ranking();
    for p in &standing.p_best {
        assert!((p - 0.25).abs() < 0.012, "{p} is not a quarter");
    }
}

#[test]
fn one_reference_places_a_blend_by_the_reproducibility() {
    let mut case = Case::new(3, 1);
    let mut test = sharp_test("one", &[1.0, 0.6, 0.2]);
    test.anchors = Anchors::Good {
        good: CellData::of(vec![(Exact(1.0), BlockId(0))]),
        reproducibility: 0.4,
    };
    case.input.tests = vec![test];
    let fitted = fit(&case.input(), &KnownFits::default()).unwrap();
    let standing = fitted.weigh(&Selection::default()).unwrap().ranking();
    for (position, expected) in standing.mean_positions.iter().zip([1.0, 0.5, 0.0]) {
        assert!((position[0] - expected).abs() < 1e-3);
    }
    assert_eq!(fitted.tests()[0].validity().good_over_poor, None);
}
