//! Slower ways to the same numbers, and what is refused. Published fits stand in `tests/evidence/published_weibull.rs`.

use super::*;
use crate::stats::draws::Stream;

fn lives(times: &[f64], stopped: &[usize]) -> Vec<Life> {
    let end = |place| match stopped.contains(&place) {
        true => LifeEnd::Stopped,
        false => LifeEnd::Failed,
    };
    let life = |(place, time): (usize, &f64)| Life {
        time: *time,
        end: end(place),
    };
    times.iter().enumerate().map(life).collect()
}

fn refusal(times: &[f64], stopped: &[usize]) -> WeibullError {
    let fitted = Lives::new(&lives(times, stopped)).and_then(|lives| lives.fit());
    fitted.unwrap_err()
}

#[test]
fn what_has_no_fit_is_refused_with_its_reason() {
    assert_eq!(
        refusal(&[3.0, 4.0], &[1]),
        WeibullError::TooFewFailures { failures: 1 }
    );
    assert_eq!(
        refusal(&[3.0], &[0]),
        WeibullError::TooFewFailures { failures: 0 }
    );
    assert_eq!(refusal(&[5.0, 5.0, 5.0], &[]), WeibullError::NoScatter);
    assert_eq!(refusal(&[5.0, 2.0, 5.0], &[1]), WeibullError::NoScatter);
    for time in [0.0, -1.0, f64::NAN, f64::INFINITY] {
        let refused = refusal(&[1.0, time], &[]);
        assert!(
            matches!(refused, WeibullError::Time { place: 1, .. }),
            "{refused:?}"
        );
    }
    let one = Lives::new(&lives(&[7.0], &[])).unwrap();
    assert_eq!(one.fit_with_shape(0.0), Err(WeibullError::Shape));
    assert_eq!(one.fit_with_shape(f64::NAN), Err(WeibullError::Shape));
    assert_eq!(one.fit_with_shape(1e-9), Err(WeibullError::NotFinite));
}

#[test]
fn equal_failures_below_a_longer_run_have_a_fit() {
    let lives = Lives::new(&lives(&[5.0, 5.0, 9.0], &[2])).unwrap();
    assert!(lives.fit().unwrap().shape.is_finite());
}

#[test]
fn the_unit_of_time_changes_the_scale_alone() {
    let times = [11.0, 14.0, 9.0, 21.0, 30.0];
    let fit = |factor: f64| {
        let scaled: Vec<f64> = times.iter().map(|time| time * factor).collect();
        Lives::new(&lives(&scaled, &[4])).unwrap().fit().unwrap()
    };
    let (plain, huge) = (fit(1.0), fit(1e200));
    assert!((plain.shape / huge.shape - 1.0).abs() < 1e-9);
    assert!((huge.scale / plain.scale / 1e200 - 1.0).abs() < 1e-9);
}

/// The log-likelihood written down term by term.
fn log_likelihood(sample: &[Life], shape: f64, scale: f64) -> f64 {
    let term = |life: &Life| {
        let ratio = life.time / scale;
        let density = match life.end {
            LifeEnd::Failed => (shape / scale).ln() + (shape - 1.0) * ratio.ln(),
            LifeEnd::Stopped => 0.0,
        };
        density - ratio.powf(shape)
    };
    sample.iter().map(term).sum()
}

#[test]
fn the_fit_is_the_highest_point_of_the_likelihood() {
    let sample = lives(&[11.0, 14.0, 9.0, 25.0, 17.0], &[3]);
    let fit = Lives::new(&sample).unwrap().fit().unwrap();
    let best = log_likelihood(&sample, fit.shape, fit.scale);
    assert!((best - fit.log_likelihood).abs() < 1e-9);
    for (shape, scale) in [(1.01, 1.0), (0.99, 1.0), (1.0, 1.01), (1.0, 0.99)] {
        assert!(log_likelihood(&sample, fit.shape * shape, fit.scale * scale) < best);
    }
}

/// Greatest likelihood among fits with a given median, by a fine search over the shape.
fn profile(sample: &[Life], median: f64) -> f64 {
    (1..4000)
        .map(|step| 0.02 * 1.002f64.powi(step))
        .map(|shape| log_likelihood(sample, shape, median / std::f64::consts::LN_2.powf(1.0 / shape)))
        .fold(f64::NEG_INFINITY, f64::max)
}

#[test]
fn the_ends_of_the_interval_are_where_the_profile_likelihood_falls_by_its_share() {
    let wanted = 0.5 * normal_95().powi(2);
    for stopped in [&[][..], &[3], &[0, 3]] {
        let sample = lives(&[11.0, 14.0, 9.0, 25.0, 17.0], stopped);
        let checked = Lives::new(&sample).unwrap();
        let fit = checked.fit().unwrap();
        let ends = QuantileIntervals::around(&checked, &fit)
            .of_quantile(0.5)
            .unwrap();
        assert!(ends[0] < fit.median() && fit.median() < ends[1]);
        for end in ends {
            let fallen = fit.log_likelihood - profile(&sample, end);
            assert!((fallen - wanted).abs() < 2e-3, "{stopped:?} {end}: {fallen}");
        }
    }
}

fn normal_95() -> f64 {
    crate::stats::normal::quantile(0.95)
}

#[test]
fn a_given_shape_narrows_the_interval_and_its_ends_lie_on_the_likelihood() {
    let sample = lives(&[11.0, 14.0, 9.0, 25.0], &[3]);
    let checked = Lives::new(&sample).unwrap();
    let fit = checked.fit_with_shape(2.0).unwrap();
    let ends = QuantileIntervals::with_shape_given(&checked, &fit)
        .of_quantile(0.5)
        .unwrap();
    for end in ends {
        let scale = end / std::f64::consts::LN_2.sqrt();
        let fallen = fit.log_likelihood - log_likelihood(&sample, 2.0, scale);
        assert!((fallen - 0.5 * normal_95().powi(2)).abs() < 1e-9, "{fallen}");
    }
    let free = checked.fit().unwrap();
    let wide = QuantileIntervals::around(&checked, &free)
        .of_quantile(0.5)
        .unwrap();
    assert!(wide[1] / wide[0] > ends[1] / ends[0]);
}

/// 400 invented samples of 20 lives, shape 2, true median 1, stopped at 1.5: the 90 % interval holds the median in 360,
/// give or take 12 for two standard errors, a little less often for so few failures.
#[test]
fn the_interval_holds_the_truth_about_as_often_as_it_says() {
    let mut stream = Stream::new(11, 5);
    let held = (0..400).filter(|_| {
        let draw = |_| {
            let time = (stream.exponential() / std::f64::consts::LN_2).sqrt();
            let end = if time > 1.5 {
                LifeEnd::Stopped
            } else {
                LifeEnd::Failed
            };
            Life {
                time: time.min(1.5),
                end,
            }
        };
        let checked = Lives::new(&(0..20).map(draw).collect::<Vec<_>>()).unwrap();
        let fit = checked.fit().unwrap();
        let ends = QuantileIntervals::around(&checked, &fit)
            .of_quantile(0.5)
            .unwrap();
        ends[0] <= 1.0 && 1.0 <= ends[1]
    });
    let held = held.count();
    assert!((336..=376).contains(&held), "{held} of 400");
}

/// 2 000 invented samples of each size: as often as the table says within three standard errors, 0.03; from 2 failures
/// on, and for a number between two of the table by the lesser one.
#[test]
fn with_few_failures_the_interval_holds_the_truth_as_seldom_as_is_said() {
    let mut stream = Stream::new(13, 5);
    for failures in [2, 3, 4, 6, 10] {
        let held = (0..2_000).filter(|_| {
            let times: Vec<f64> = (0..failures).map(|_| stream.exponential().sqrt()).collect();
            let checked = Lives::new(&lives(&times, &[])).unwrap();
            let fit = checked.fit().unwrap();
            let ends = QuantileIntervals::around(&checked, &fit)
                .of_quantile(0.5)
                .unwrap();
            let median = std::f64::consts::LN_2.sqrt();
            ends[0] <= median && median <= ends[1]
        });
        let found = held.count() as f64 / 2_000.0;
        let said = real_confidence(failures).unwrap();
        assert!((found - said).abs() < 0.03, "{failures}: {found} against {said}");
    }
    assert_eq!(real_confidence(1), None);
    assert_eq!(real_confidence(7), real_confidence(6));
    assert_eq!(real_confidence(1_000), real_confidence(30));
}

/// Median ranks of five failures from the definition; with the second run stopped, Johnson's ranks by hand:
/// 1, then steps of (6 - 1)/(1 + 3) = 1.25.
#[test]
fn plotting_positions_are_median_ranks_and_stopped_runs_push_later_failures_up() {
    let shares = |stopped: &[usize]| -> Vec<f64> {
        plotting_positions(&lives(&[1.0, 2.0, 3.0, 4.0, 5.0], stopped))
            .into_iter()
            .map(|(_, share)| share * 5.4 + 0.3)
            .collect()
    };
    for (found, wanted) in [
        (shares(&[]), vec![1.0, 2.0, 3.0, 4.0, 5.0]),
        (shares(&[1]), vec![1.0, 2.25, 3.5, 4.75]),
    ] {
        assert_eq!(found.len(), wanted.len());
        assert!(
            found.iter().zip(&wanted).all(|(a, b)| (a - b).abs() < 1e-12),
            "{found:?}"
        );
    }
}
