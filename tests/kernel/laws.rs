//! What must not change a standing, and what must.

use std::collections::BTreeSet;

use likewear::facade::catalogue::MethodId;
use likewear::facade::standing::kernel::{
    BlockId, CellData, KnownFits, Selection, Weighting, Who, WithoutTests, fit,
};
use likewear::facade::stats::observation::Observation::Exact;

use crate::generated::{Case, cells_mut};

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
    assert_eq!(straight.effective_tests, turned.effective_tests);
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
    let sets: Vec<WithoutTests> = (0..7).map(|k| BTreeSet::from([k]).into()).collect();
    let run = |threads: usize| {
        let pool = rayon::ThreadPoolBuilder::new()
            .num_threads(threads)
            .build()
            .unwrap();
        pool.install(|| {
            let fitted = fit(&input, &KnownFits::default()).unwrap();
            let standing = fitted.weigh(&Selection::default()).unwrap().ranking();
            let left = fitted
                .weigh(&Selection::default())
                .unwrap()
                .leave_out(&sets)
                .unwrap();
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
    let (up, down) = (
        fit(&case.input(), &KnownFits::default()).unwrap(),
        fit(&mirrored.input(), &KnownFits::default()).unwrap(),
    );
    let (up, down) = (&up.tests()[2], &down.tests()[2]);
    assert_eq!(up.validity(), down.validity());
    let (up, down) = (
        up.summary(Who::Candidate(0)).unwrap(),
        down.summary(Who::Candidate(0)).unwrap(),
    );
    assert_eq!(
        (up.mean, up.interval),
        (-down.mean, (-down.interval.1, -down.interval.0))
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
    capped.method = MethodId::new("capped").unwrap();
    capped.weight = 0.9;
    // far above the cap, so that no draw of any candidate falls below it
    let far = || CellData::of(vec![(Exact(40.0), BlockId(0)), (Exact(40.0), BlockId(0))]);
    capped.candidates = (0..4).map(|_| far()).collect();
    case.input.tests.push(capped);
    let mut input = case.input();
    input.candidate_streams = Case::new(4, 4).input().candidate_streams;
    let after = fit(&input, &KnownFits::default())
        .unwrap()
        .weigh(&Selection::default())
        .unwrap()
        .ranking();
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
    let fitted = fit(&case.input(), &KnownFits::default()).unwrap();
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
    let excluded = fitted.weigh(&excluded).unwrap().ranking();
    assert_eq!(excluded, fitted.weigh(&unweighted).unwrap().ranking());
    let left = &fitted
        .weigh(&Selection::default())
        .unwrap()
        .leave_out(&[method.into()])
        .unwrap()[0];
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
    let (all, fewer) = (
        fit(&all, &KnownFits::default()).unwrap(),
        fit(&fewer, &KnownFits::default()).unwrap(),
    );
    let excluded = Selection {
        excluded_tests: BTreeSet::from([4, 5]),
        ..Selection::default()
    };
    let (with, without) = (
        all.weigh(&excluded).unwrap().ranking(),
        fewer.weigh(&Selection::default()).unwrap().ranking(),
    );
    assert_eq!(with.p_best, without.p_best);
    assert_eq!(with.score_intervals, without.score_intervals);
}

#[test]
fn a_candidate_that_is_out_leaves_the_others_as_they_were() {
    let fitted = fit(&Case::new(4, 6).input(), &KnownFits::default()).unwrap();
    let everybody = fitted.weigh(&Selection::default()).unwrap().ranking();
    let front = everybody.front_runner.unwrap();
    let without = Selection {
        candidates_out: BTreeSet::from([front]),
        ..Selection::default()
    };
    let without = fitted.weigh(&without).unwrap().ranking();
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
fn fitting_again_after_a_change_gives_what_fitting_anew_gives() {
    let case = Case::new(4, 6);
    let known = KnownFits::default();
    let before = fit(&case.input(), &known).unwrap();
    let mut changed = case.input();
    changed.tests[1].candidates[0] = CellData::of(vec![(Exact(0.3), BlockId(0)), (Exact(0.35), BlockId(0))]);
    changed.blocks[0].shift.mean += 0.05;
    let (again, anew) = (
        fit(&changed, &known).unwrap(),
        fit(&changed, &KnownFits::default()).unwrap(),
    );
    let standing = |fitted: &likewear::facade::standing::kernel::Fitted| {
        fitted.weigh(&Selection::default()).unwrap().ranking()
    };
    assert_eq!(standing(&again), standing(&anew));
    assert_ne!(standing(&again), standing(&before));
    // another head-room moves the means alone
    changed.head_room = 0.1;
    let (again, anew) = (
        fit(&changed, &known).unwrap(),
        fit(&changed, &KnownFits::default()).unwrap(),
    );
    assert_eq!(standing(&again), standing(&anew));
    // other draws know nothing of the first ones
    changed.seed += 1;
    let (again, anew) = (
        fit(&changed, &known).unwrap(),
        fit(&changed, &KnownFits::default()).unwrap(),
    );
    assert_eq!(standing(&again), standing(&anew));
}

#[test]
fn making_a_run_better_never_lowers_the_score_of_its_blend() {
    let case = Case::new(4, 6);
    let scores = |input| {
        fit(&input, &KnownFits::default())
            .unwrap()
            .weigh(&Selection::default())
            .unwrap()
            .ranking()
    };
    let before = scores(case.input());
    for test in [0, 1, 2, 3, 4, 5] {
        for candidate in 0..4 {
            let mut better = case.input();
            let cell = &mut better.tests[test].candidates[candidate];
            let Some((observation, _)) = cell.observations.first_mut() else {
                continue;
            };
            // by one step of the ladders and stages, so that it remains a reading
            *observation = observation.shifted(if test % 3 == 2 { 1.0 } else { 0.1 });
            let after = scores(better);
            let (then, now) = (before.scores[candidate], after.scores[candidate]);
            assert!(
                now >= then - 1e-9,
                "test {test}, candidate {candidate}: {then} then {now}"
            );
        }
    }
}

#[test]
fn a_far_worse_candidate_does_not_take_the_lead_away() {
    let case = Case::new(4, 6);
    let before = case.standing();
    let mut with_worse = case.clone();
    with_worse.names.push("far worse".to_owned());
    for test in &mut with_worse.input.tests {
        let poor = test.anchors.poor().unwrap().clone();
        test.candidates.push(poor);
    }
    let after = with_worse.standing();
    let front = before.front_runner.unwrap();
    assert_eq!(after.front_runner, Some(front));
    assert!((after.claim.p_best - before.claim.p_best).abs() < 0.03);
    assert!((after.claim.least_win - before.claim.least_win).abs() < 0.03);
}

#[test]
fn positions_beyond_a_reference_go_on_for_ever_and_equal_results_have_equal_ones() {
    let mut case = Case::new(3, 1);
    for (candidate, number) in [(0, 4.0), (1, 8.0), (2, 8.0)] {
        case.input.tests[0].candidates[candidate] = CellData::of(vec![(Exact(number), BlockId(0))]);
    }
    let standing = case.standing();
    let position = |candidate: usize| standing.mean_positions[candidate][0];
    assert!(position(1) > position(0) + 0.1 && position(0) > 1.5);
    assert_eq!(position(1), position(2));
    assert!((standing.pairwise_wins[1][2] - 0.5).abs() < 0.03);
}
