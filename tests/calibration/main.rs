//! Whether the standing is right as often as it says, on simulated trials. A small run with every test; the figures of
//! the about page come from a run of 5 000 trials per line, `cargo bench --bench calibration`.

#![expect(
    clippy::unwrap_used,
    reason = "a test fails by panicking, in its helper functions too"
)]

mod simulate;

use std::sync::OnceLock;

use likewear::facade::standing::{Calibration, measured_calibration};

/// Trials per line of the small run. They are the first of the large run: same seeds, same draws.
const SMALL: usize = 100;

fn small() -> &'static Calibration {
    static SMALL_RUN: OnceLock<Calibration> = OnceLock::new();
    SMALL_RUN.get_or_init(|| simulate::calibrate(SMALL, large().draws))
}

fn large() -> &'static Calibration {
    measured_calibration().unwrap()
}

/// Both runs, with the number of standard errors that chance is given in each.
fn both() -> [(&'static Calibration, f64); 2] {
    [(large(), 0.0), (small(), 3.0)]
}

/// Standard error of a part counted over `number`.
fn standard_error(part: f64, number: usize) -> f64 {
    (part * (1.0 - part) / number.max(1) as f64).sqrt()
}

#[test]
fn the_file_was_written_by_this_version_at_full_size() {
    let file = large();
    assert_eq!(
        file.version,
        env!("CARGO_PKG_VERSION"),
        "run cargo bench --bench calibration"
    );
    assert!(file.trials >= 5_000 && file.draws >= 1_000);
    assert_eq!(file.seed, simulate::SEED);
    let shape = |c: &Calibration| {
        let scatter: Vec<f64> = c.claims.iter().map(|c| c.true_scatter).collect();
        let candidates: Vec<usize> = c.equal.iter().map(|e| e.candidates).collect();
        let ahead: Vec<f64> = c.screens.iter().map(|s| s.ahead).collect();
        let freedom: Vec<Option<u32>> = c.leaders.iter().map(|line| line.freedom).collect();
        (scatter, candidates, ahead, freedom)
    };
    assert_eq!(shape(file), shape(small()));
}

#[test]
fn the_engine_still_does_what_the_file_says() {
    let agree = |what: String, small: f64, large: f64, number: usize| {
        let chance = 4.0 * standard_error(large, number) + 2.0 / number as f64;
        assert!(
            (small - large).abs() <= chance,
            "{what}: {small} is not {large} within {chance}"
        );
    };
    for (small, large) in small().claims.iter().zip(&large().claims) {
        for tenth in &small.tenths {
            let same = |other: &&likewear::facade::standing::Tenth| {
                (10.0 * other.said) as usize == (10.0 * tenth.said) as usize
            };
            let of_large = large.tenths.iter().find(same).unwrap();
            let what = format!("said {:.2} at scatter {}", tenth.said, small.true_scatter);
            agree(what, tenth.came_true, of_large.came_true, tenth.candidates);
        }
    }
    for (one, other) in small().leaders.iter().zip(&large().leaders) {
        let what = format!("a leader is right at {:?} degrees of freedom", one.freedom);
        agree(what, one.right, other.right, one.named);
    }
    for (one, other) in small().equal.iter().zip(&large().equal) {
        agree(
            format!("{} equal blends", one.candidates),
            one.named,
            other.named,
            SMALL,
        );
    }
    for (one, other) in small().screens.iter().zip(&large().screens) {
        agree(
            format!("screen at {}", one.ahead),
            one.fired,
            other.fired,
            one.trials,
        );
    }
}

#[test]
fn what_is_said_comes_true_as_often_as_it_is_said() {
    for (calibration, errors) in both() {
        let claims = &calibration.claims[0];
        assert_eq!((claims.true_scatter, claims.tenths.len()), (1.0, 10));
        for tenth in &claims.tenths {
            let error = standard_error(tenth.said, tenth.candidates);
            let bound = f64::max(0.03, 2.0 * error) + errors * error;
            assert!((tenth.said - tenth.came_true).abs() <= bound, "{tenth:?}");
        }
    }
}

#[test]
fn a_leader_is_right_as_often_as_is_said_however_little_is_known_of_the_scatter() {
    for (calibration, errors) in both() {
        for line in &calibration.leaders {
            let bound = 0.03 + errors * standard_error(line.said, line.named);
            assert!((line.said - line.right).abs() <= bound, "{line:?}");
        }
    }
}

#[test]
fn intervals_of_nine_tenths_hold_the_truth_as_often() {
    for (calibration, errors) in both() {
        for line in &calibration.leaders {
            let chance = errors * standard_error(0.9, calibration.trials);
            for held in [line.scores_held, line.positions_held] {
                assert!((0.88 - chance..=0.97 + chance).contains(&held), "{line:?}");
            }
        }
    }
}

#[test]
fn with_all_blends_equal_a_leader_is_seldom_named() {
    for (calibration, errors) in both() {
        for line in &calibration.equal {
            let bound = 0.20;
            let chance = errors * standard_error(bound, calibration.trials);
            assert!(line.named < bound + chance, "{line:?}");
        }
    }
}

#[test]
fn the_stop_caution_catches_a_front_that_trails_without_the_screen_and_lets_one_that_leads_be() {
    for (calibration, errors) in both() {
        for line in &calibration.screens {
            let chance = errors * standard_error(0.05, line.trials);
            match line.ahead {
                ahead if ahead <= -1.0 => assert!(line.fired >= 0.95 - chance, "{line:?}"),
                ahead if ahead >= 1.0 => assert!(line.fired < 0.05 + chance, "{line:?}"),
                _ => {}
            }
            assert!(line.trials > calibration.trials / 2, "{line:?}");
        }
        let shown: Vec<f64> = calibration.screens.iter().map(|line| line.shown).collect();
        assert!(shown.is_sorted_by(|a, b| a > b), "{shown:?}");
    }
}
