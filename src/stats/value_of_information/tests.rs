use super::*;
use crate::stats::cell::{Distribution, Mixture};

/// A cell of which nothing is known but its prior.
fn bare_cell(mean: f64, sd: f64) -> Distribution {
    Distribution::Normal { mean, sd }
}

fn prior_cell(sd: f64) -> Distribution {
    bare_cell(0.0, sd)
}

fn second_moment(change: &Change) -> f64 {
    change.0.iter().map(|(by, chance)| chance * by * by).sum()
}

#[test]
fn a_reading_moves_a_normal_cell_as_the_closed_form_says() {
    // Conjugate normal: the variance of the new mean is v^2 / (v + s^2), whatever is read.
    for (prior_sd, sd) in [(1.0, 1.0), (2.0, 0.5), (0.5, 2.0)] {
        let points = Points::of(&prior_cell(prior_sd));
        let positions: Vec<f64> = points.values().to_vec();
        let change = points.change(&Readable::Number, sd, &positions);
        let v: f64 = prior_sd * prior_sd;
        let expected = v * v / (v + sd * sd);
        let got = second_moment(&change);
        assert!(
            (got / expected - 1.0).abs() < 0.05,
            "{prior_sd} {sd}: {got} for {expected}"
        );
    }
}

#[test]
fn a_finer_ladder_tells_more_and_no_step_tells_nothing() {
    let points = Points::of(&prior_cell(1.0));
    let positions: Vec<f64> = points.values().to_vec();
    let told = |steps: Vec<f64>| second_moment(&points.change(&Readable::Steps(steps), 0.3, &positions));
    let coarse = told(vec![0.0]);
    let fine = told(vec![-1.5, -0.75, 0.0, 0.75, 1.5]);
    assert!(coarse < fine && fine < 1.0 / (1.0 + 0.09));
    assert_eq!(told(Vec::new()), 0.0);
    // One step at the mean and no scatter to speak of: the mean of a half-normal, squared, is 2/pi.
    let sharp = second_moment(&points.change(&Readable::Steps(vec![0.0]), 1e-3, &positions));
    assert!(
        (sharp / (2.0 / std::f64::consts::PI) - 1.0).abs() < 0.02,
        "{sharp}"
    );
}

#[test]
fn the_gain_of_two_level_candidates_is_the_closed_form() {
    // E max of two independent N(0, v) is sqrt(v / pi).
    let points = Points::of(&prior_cell(1.0));
    let positions: Vec<f64> = points.values().to_vec();
    let change = points.change(&Readable::Number, 0.5, &positions);
    let v = second_moment(&change);
    let prospect = |score| Prospect {
        score,
        change: change.clone(),
    };
    let gain = expected_gain(&[prospect(0.0), prospect(0.0)]);
    assert!(
        (gain / (v / std::f64::consts::PI).sqrt() - 1.0).abs() < 0.03,
        "{gain}"
    );
    assert!((chance_of_another(&[prospect(0.0), prospect(0.0)]) - 0.5).abs() < 0.03);
}

#[test]
fn nothing_is_gained_where_no_result_can_change_the_front() {
    let change = Change::of(vec![(-0.1, 1.0), (0.1, 1.0)]);
    let still = |score| Prospect {
        score,
        change: Change::none(),
    };
    let moving = Prospect { score: 0.0, change };
    assert_eq!(expected_gain(&[still(1.0), moving.clone()]), 0.0);
    assert_eq!(chance_of_another(&[still(1.0), moving.clone()]), 0.0);
    assert_eq!(chance_of_another(&[]), 0.0);
    // within reach: the rival leads in half of the cases, by 0.05
    assert!((expected_gain(&[still(0.05), moving.clone()]) - 0.025).abs() < 1e-12);
    assert_eq!(chance_of_another(&[still(0.05), moving]), 0.5);
}

#[test]
fn two_results_gain_no_less_than_one() {
    let points = Points::normal(0.5, 1.0);
    let position: Vec<f64> = points.values().iter().map(|u| u.clamp(-0.25, 1.25)).collect();
    let one = points.change(&Readable::Number, 0.3, &position);
    let both = one.and(&one.times(0.5));
    let gain = |change: &Change| {
        expected_gain(&[
            Prospect {
                score: 0.6,
                change: Change::none(),
            },
            Prospect {
                score: 0.5,
                change: change.clone(),
            },
        ])
    };
    assert!(gain(&one) > 0.0 && gain(&both) > gain(&one));
    assert!(both.0.len() <= KEPT + 1);
    let sum: f64 = both.0.iter().map(|(_, chance)| chance).sum();
    assert!((sum - 1.0).abs() < 1e-12);
}

#[test]
fn who_leads_by_more_than_any_result_can_move_gains_nothing_to_the_last_digit() {
    let points = Points::of(&prior_cell(0.02));
    let positions: Vec<f64> = points.values().to_vec();
    let change = points.change(&Readable::Number, 0.036, &positions);
    let prospect = |score| Prospect {
        score,
        change: change.clone(),
    };
    let gain = expected_gain(&[prospect(0.98), prospect(0.1)]);
    assert!(gain < 1e-12, "{gain}");
    assert!(chance_of_another(&[prospect(0.98), prospect(0.1)]) < 1e-12);
}

/// Closed forms of normal cells, recomputed with numpy 2.4.6 and scipy 1.17.1; ours stands on a few points, to 2 %.
#[test]
fn the_gain_of_normal_cells_is_the_published_value_of_sample_information() {
    let moving = |mean: f64, sd: f64, reading_sd: f64| {
        let points = Points::normal(mean, sd);
        let positions: Vec<f64> = points.values().to_vec();
        Prospect {
            score: mean,
            change: points.change(&Readable::Number, reading_sd, &positions),
        }
    };
    // two blends, N(0.55, 0.08) and N(0.50, 0.10), one new result each with standard deviation 0.06
    let both = expected_gain(&[moving(0.55, 0.08, 0.06), moving(0.50, 0.10, 0.06)]);
    assert!((both / 0.022_264_276_488 - 1.0).abs() < 0.02, "{both}");
    // p1 ~ N(1, 1) and p2 ~ N(0, 2), four observations of p2 with standard deviation 3: their mean has 1.5
    let still = Prospect {
        score: 1.0,
        change: Change::none(),
    };
    let four = expected_gain(&[still, moving(0.0, 2.0, 1.5)]);
    assert!((four / 0.259_072_020_632 - 1.0).abs() < 0.02, "{four}");
}

/// A normal change kept with so many values that only the choice among them is tested.
fn normal_change(sd: f64) -> Change {
    const VALUES: usize = 2000;
    let place = |i: usize| 17.0 * ((i as f64 + 0.5) / VALUES as f64 - 0.5);
    let chances: Vec<f64> = (0..VALUES).map(|i| normal::log_density(place(i)).exp()).collect();
    let sum: f64 = chances.iter().sum();
    let values = chances
        .iter()
        .enumerate()
        .map(|(i, chance)| (sd * place(i), chance / sum));
    Change(values.collect())
}

/// Closed forms of the value of perfect, partly perfect and sample information for two options, 0 and p1 - p2 with
/// p1 ~ N(1, 1) and p2 ~ N(0, 2), and of two blends; and of the unit normal loss, recomputed with mpmath 1.4.1.
#[test]
fn the_gain_of_choosing_later_is_the_closed_form() {
    let prospect = |score: f64, change: Change| Prospect { score, change };
    let between = |sd: f64| expected_gain(&[prospect(0.0, Change::none()), prospect(1.0, normal_change(sd))]);
    let loss = |u: f64| expected_gain(&[prospect(0.0, Change::none()), prospect(-u, normal_change(1.0))]);
    let blends = expected_gain(&[
        prospect(0.55, normal_change(0.08 * 0.08 / f64::hypot(0.08, 0.06))),
        prospect(0.50, normal_change(0.10 * 0.10 / f64::hypot(0.10, 0.06))),
    ]);
    for (name, got, expected) in [
        ("both known", between(5f64.sqrt()), 0.479_810_706_348_392_4),
        ("p1 known", between(1.0), 0.083_315_470_587_686_3),
        ("p2 known", between(2.0), 0.395_593_114_802_612_1),
        ("four observations of p2", between(1.6), 0.259_072_020_631_899_5),
        ("one new result of each blend", blends, 0.022_264_276_488_113_532),
        ("loss at 0", loss(0.0), 0.398_942_280_401_432_7),
        ("loss at 0.5", loss(0.5), 0.197_796_557_401_306),
        ("loss at 1", loss(1.0), 0.083_315_470_587_686_3),
        ("loss at 1.5", loss(1.5), 0.029_306_793_762_604_63),
        ("loss at 2", loss(2.0), 0.008_490_702_616_829_638),
    ] {
        assert!((got - expected).abs() < 1e-5, "{name}: {got} is not {expected}");
    }
}

/// Recomputed with numpy 2.4.6 and scipy 1.17.1.
#[test]
fn the_chance_of_a_wrong_choice_between_normal_cells_is_the_closed_form() {
    let of = |mean, sd| Mixture::new(vec![bare_cell(mean, sd)]).unwrap();
    let chance = of(0.50, 0.10).part_above_other(0, (&of(0.55, 0.08), 0), f64::INFINITY, 0.0, 0.0);
    assert!((chance - 0.348_107_675_621_869_84).abs() < 2e-6, "{chance}");
}
