//! Pressure on the worn area beside the fresh one. All data is invented but the worked numbers, whose source is named.

use crate::support::explained::{about, explained};
use crate::support::{SLOW_ROLLERS, TrialBuilder, trial_on};
use likewear::facade::explain::{Explanation, WornBlend};
use likewear::facade::records::ResultSource;

fn started() -> TrialBuilder {
    trial_on(SLOW_ROLLERS, &["rolling wear"], &[])
        .good("GOOD")
        .poor("POOR")
        .candidate("X")
}

fn of<'a>(explained: &'a Explanation, blend: &str) -> &'a WornBlend {
    let worn = explained.worn.as_ref().unwrap();
    worn.blends.iter().find(|row| row.blend == blend).unwrap()
}

#[track_caller]
fn is_near(found: f64, wanted: f64, within: f64) {
    assert!((found / wanted - 1.0).abs() < within, "{found} is not {wanted}");
}

/// Four 12.7 mm balls, E 206 GPa, 392 N: load per contact P/sqrt 6; fresh 3402 MPa at most and 2268 MPa in the mean, on
/// a scar of 0.67 mm 454 MPa, five times lower (computed beforehand, to the figures given).
#[test]
fn a_four_ball_scar_of_0_67_mm_carries_454_mpa_where_the_fresh_balls_had_2268() {
    let trial = started()
        .weigh("fb_wear_oil_B/scar")
        .runs("GOOD", "fb_wear_oil_B/scar", &["0.40", "0.44", "0.41"])
        .runs("POOR", "fb_wear_oil_B/scar", &["0.80"])
        .runs("X", "fb_wear_oil_B/scar", &["0.67"]);
    let explained = explained(trial, &about("fb_wear_oil_B", "scar"));
    let worn = explained.worn.as_ref().unwrap();
    assert_eq!((worn.area, worn.key.as_str()), ("circle", "fb_wear_oil_B/scar"));
    is_near(worn.load_n, 392.0 / 6f64.sqrt(), 2e-3);
    is_near(worn.fresh_mean_pressure_pa, 2268e6, 2e-3);
    is_near(worn.fresh_max_pressure_pa, 3402e6, 2e-3);
    let x = of(&explained, "X");
    assert_eq!((x.runs, x.scar_m), (1, 0.67e-3));
    is_near(x.worn_mean_pressure_pa, 454e6, 2e-3);
    is_near(x.fresh_over_worn, 5.0, 5e-3);
    // The middle of three scars is 0.41 mm; pressures of single runs go from the largest scar to the smallest.
    let good = of(&explained, "GOOD");
    assert_eq!((good.runs, good.role), (3, "reference"));
    is_near(good.scar_m, 0.41e-3, 1e-12);
    let on = |scar_mm: f64| x.worn_mean_pressure_pa * (0.67 / scar_mm).powi(2);
    is_near(good.worn_mean_pressure_lo_pa, on(0.44), 1e-9);
    is_near(good.worn_mean_pressure_hi_pa, on(0.40), 1e-9);
    assert!(explained.not_worn.is_none());
    assert!(explained.sources.iter().any(|note| note.of == "worn"));
}

/// A block on a ring: the worn area is a band, force over width times length (definition): 1334 N on 0.9 mm times
/// 12.32 mm is 120.3 MPa.
#[test]
fn a_scar_on_a_block_is_a_band() {
    let contact = r#"{"element":{"kind":"block_on_ring","ring_diameter_m":0.04922,"contact_length_m":0.01232,"speed_rpm":800},
        "surroundings":{"bulk_temperature_c":38,"motion":"one way","materials":"hard steel/hard steel",
        "supply":"circulated","roughness_rq_m":[8e-7,8e-7]},"load":{"fixed_force_n":1334}}"#;
    let trial = started()
        .own_bench_with("own_block", "rolling wear", contact, "scar_width")
        .runs("GOOD", "own_block/scar_width", &["0.6"])
        .runs("POOR", "own_block/scar_width", &["1.4"])
        .runs("X", "own_block/scar_width", &["0.9"]);
    let explained = explained(trial, &about("own_block", "scar_width"));
    assert_eq!(explained.worn.as_ref().unwrap().area, "band");
    is_near(
        of(&explained, "X").worn_mean_pressure_pa,
        1334.0 / (0.9e-3 * 12.32e-3),
        1e-9,
    );
}

/// 300 N on a ball's scar of 0.55 mm: 1263 MPa (the mean pressure of the published pairs, `resemblance_examples.csv`).
#[test]
fn the_friction_of_an_oscillating_ball_is_explained_by_the_scar_of_its_runs() {
    let trial = started()
        .weigh("lo_oil_wear/cof")
        .weigh("lo_oil_wear/scar")
        .runs("GOOD", "lo_oil_wear/cof", &["0.11"])
        .runs("POOR", "lo_oil_wear/cof", &["0.16"])
        .runs("X", "lo_oil_wear/cof", &["0.12"])
        .runs("GOOD", "lo_oil_wear/scar", &["0.50"])
        .runs("POOR", "lo_oil_wear/scar", &["0.90"])
        .runs("X", "lo_oil_wear/scar", &["0.55"]);
    let explained = explained(trial, &about("lo_oil_wear", "cof"));
    assert_eq!(explained.worn.as_ref().unwrap().key, "lo_oil_wear/scar");
    is_near(of(&explained, "X").worn_mean_pressure_pa, 1.26272e9, 1e-4);
}

#[test]
fn where_no_scar_was_measured_it_says_so() {
    let weld = started()
        .weigh("fb_ep_oil/weld")
        .runs("GOOD", "fb_ep_oil/weld", &["315"])
        .runs("POOR", "fb_ep_oil/weld", &["160"])
        .runs("X", "fb_ep_oil/weld", &["250"]);
    let weld = explained(weld, &about("fb_ep_oil", "weld"));
    assert!(weld.worn.is_none());
    assert!(
        weld.not_worn
            .unwrap()
            .starts_with("No scar is measured in this test")
    );
    assert!(weld.sources.iter().all(|note| note.of != "worn"));
    let stated = started()
        .own_bench("own", "rolling wear")
        .runs("GOOD", "own/wear", &["1"])
        .runs("X", "own/wear", &["2"]);
    assert!(
        explained(stated, &about("own", "wear"))
            .not_worn
            .unwrap()
            .contains("no geometry")
    );
    // A data sheet's scar is no measured one.
    let sheet = started()
        .weigh("fb_wear_oil_B/scar")
        .runs("X", "fb_wear_oil_B/scar", &["0.5"])
        .each_result(|result| result.source = ResultSource::DataSheet);
    let sheet = explained(sheet, &about("fb_wear_oil_B", "scar"));
    assert!(
        sheet
            .not_worn
            .unwrap()
            .starts_with("No scar was measured in this trial")
    );
}
