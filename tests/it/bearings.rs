//! Medians of a bearing test beside its explanation. All data is invented but the worked numbers, whose source is named.

use crate::pages::Pages;
use crate::support::explained::{about, explained};
use crate::support::{SLOW_ROLLERS, TrialBuilder, trial_on};
use likewear::facade::app::StartWith;
use likewear::facade::explain::BearingsOfBlend;

fn with_losses(candidate: &[&str]) -> TrialBuilder {
    trial_on(SLOW_ROLLERS, &["rolling wear"], &[])
        .good("GOOD")
        .poor("POOR")
        .candidate("X")
        .weigh("rb_oil/roller_wear")
        .runs("GOOD", "rb_oil/roller_wear", &["5", "6"])
        .runs("POOR", "rb_oil/roller_wear", &["40", "52", "61", "47"])
        .runs("X", "rb_oil/roller_wear", candidate)
}

fn of_x(candidate: &[&str]) -> BearingsOfBlend {
    let bearings = explained(with_losses(candidate), &about("rb_oil", "roller_wear"))
        .bearings
        .unwrap();
    assert_eq!(bearings.unit, "mg");
    let found = bearings.blends.into_iter().find(|row| row.blend == "X");
    found.unwrap()
}

/// Losses and medians of invented data, recomputed with numpy 2.4.6 and scipy 1.17.1 (`stats_examples.csv`, i2 and i3).
#[test]
fn four_bearings_have_a_fitted_median_and_those_with_given_shapes_beside_it() {
    let x = of_x(&["11", "14", "9", "21"]);
    let fitted = x.fitted.unwrap();
    assert!((fitted.shape / 3.244_098_178_842_114 - 1.0).abs() < 1e-6);
    assert!((fitted.median / 13.733_497_629_661_263 - 1.0).abs() < 1e-6);
    assert!(fitted.interval[0] < fitted.median && fitted.median < fitted.interval[1]);
    let shapes: Vec<f64> = x.given.iter().map(|given| given.shape).collect();
    assert_eq!((x.bearings, x.bounded, shapes), (4, 0, vec![2.0, 1.5, 3.0]));
    assert!((x.given[0].median / 12.057_678_927_656_37 - 1.0).abs() < 1e-9);
}

#[test]
fn two_bearings_have_no_fit_but_a_median_with_each_given_shape() {
    let x = of_x(&["11", "14"]);
    assert!(x.fitted.is_none());
    assert_eq!(x.given.len(), 3);
}

#[test]
fn a_loss_that_is_only_bounded_is_no_number() {
    let x = of_x(&["11", "14", "9", "<1"]);
    assert_eq!((x.bearings, x.bounded), (3, 1));
    assert!(x.fitted.is_none() && x.given.is_empty());
}

#[test]
fn a_test_without_bearings_has_no_median_of_them() {
    let trial = with_losses(&["11"])
        .weigh("fb_ep_oil/weld")
        .runs("GOOD", "fb_ep_oil/weld", &["315"])
        .runs("POOR", "fb_ep_oil/weld", &["160"])
        .runs("X", "fb_ep_oil/weld", &["250"]);
    assert!(explained(trial, &about("fb_ep_oil", "weld")).bearings.is_none());
}

#[tokio::test]
async fn the_page_of_a_bearing_test_shows_the_medians_and_no_other_does() {
    let bench = Pages::with(StartWith::Demo).await;
    let page = bench
        .get("/trials/pitch-drive-full/tests/rb_oil?quantity=roller_wear")
        .await;
    assert!(page.texts("[data-bearings] tbody tr").len() >= 5);
    assert_eq!(page.texts("[data-bearings] thead th").len(), 7);
    let other = bench.get("/trials/pitch-drive-full/tests/gear_A8").await;
    assert!(other.texts("[data-bearings]").is_empty());
}
