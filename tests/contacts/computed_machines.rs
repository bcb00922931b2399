//! Trials on machines whose contacts are computed from geometry. All results are invented.

use crate::support::{FAST_MESH, TrialBuilder, trial_on};
use likewear::facade::contact::preset::MachinePreset;
use likewear::facade::prose::reasons::not_weighed;
use likewear::facade::records::TrialRecords;
use likewear::facade::standing::{FitCache, Standing, WhatIf, judge};

/// The scuffing rig's own gears (ISO 14635-1, profile A; geometry partly from memory) over load stages 5 to 12, as warm as
/// the test gets.
const RIG_GEARS: &str = r#"{"pinion_teeth":16,"wheel_teeth":24,"normal_module_m":4.5e-3,"pressure_angle_deg":20,
    "centre_distance_m":91.5e-3,"face_width_m":20e-3,"pinion_tip_diameter_m":88.77e-3,"wheel_tip_diameter_m":112.5e-3,
    "pinion_torque_nm":[94.1,534.5],"pinion_rpm":2175,"temperature_c":[60,203],"supply":"bath",
    "materials":"hard steel/hard steel","roughness_rq_m":[0.44e-6,0.44e-6]}"#;

fn gear_and_ball_tests() -> TrialBuilder {
    trial_on(FAST_MESH, &["scuffing"], &["adhesive wear"])
        .good("GOOD")
        .poor("POOR")
        .candidate("A")
        .candidate("B")
        .weigh("gear_A8/fail_stage")
        .runs("GOOD", "gear_A8/fail_stage", &["12", "12"])
        .runs("POOR", "gear_A8/fail_stage", &["6", "7"])
        .runs("A", "gear_A8/fail_stage", &["11"])
        .runs("B", "gear_A8/fail_stage", &["9"])
        .weigh("fb_wear_oil_B/scar")
        .runs("GOOD", "fb_wear_oil_B/scar", &["0.38", "0.40"])
        .runs("POOR", "fb_wear_oil_B/scar", &["0.70", "0.72"])
        .runs("A", "fb_wear_oil_B/scar", &["0.55"])
        .runs("B", "fb_wear_oil_B/scar", &["0.45"])
}

fn on(word: &str, json: &str) -> TrialRecords {
    let mut records = gear_and_ball_tests().build();
    let contact = &mut records.machine.contacts[0];
    contact.preset = MachinePreset::parse(word, json).unwrap_or_else(|fault| panic!("{fault}"));
    contact.parameters_json = json.to_string();
    records
}

fn standing(records: &TrialRecords) -> Standing {
    let what_if = WhatIf {
        draws: 2_000,
        ..WhatIf::default()
    };
    judge(records, &what_if, &FitCache::default())
}

#[test]
fn a_gear_test_resembles_a_machine_with_its_own_gears_and_a_ball_test_far_less() {
    let standing = standing(&on("gear pair", RIG_GEARS));
    let resemblance = |method: &str| {
        let test = standing
            .tests
            .iter()
            .find(|test| test.key.method.as_str() == method);
        test.and_then(|test| test.resemblance).unwrap_or(0.0)
    };
    assert!(resemblance("gear_A8") > 0.97, "{}", resemblance("gear_A8"));
    assert!(
        resemblance("fb_wear_oil_B") < 0.6,
        "{}",
        resemblance("fb_wear_oil_B")
    );
    assert_eq!(
        standing
            .front_runner
            .as_ref()
            .map(|code| code.to_string())
            .as_deref(),
        Some("A")
    );
}

#[test]
fn a_contact_that_states_what_another_computes_gives_the_same_weights() {
    let computed = on("gear pair", RIG_GEARS);
    let oil = likewear::facade::lubricant::Oil::new(220.0, 19.0, Some(880.0), None).unwrap();
    let terms = computed.machine.contacts[0].preset.terms(Some(&oil)).unwrap();
    let pair = |range: Option<likewear::facade::units::Interval>| range.map(|range| [range.lo(), range.hi()]);
    let json = serde_json::json!({
        "shape": "line", "ellipticity": 100,
        "max_pressure_pa": pair(terms.max_pressure_pa), "sliding_m_s": pair(terms.sliding_m_s),
        "entrainment_m_s": pair(terms.entrainment_m_s),
        "slide_roll": pair(terms.slide_roll), "film_ratio": pair(terms.film_ratio),
        "time_share": pair(terms.time_share), "temperature_c": pair(terms.bulk_temperature_c),
        "contact_temperature_c": pair(terms.contact_temperature_c), "motion": "one way", "supply": "bath",
        "materials": "hard steel/hard steel",
    });
    let stated = on("stated", &json.to_string());
    let weights = |records: &TrialRecords| {
        let tests = standing(records).tests;
        tests.iter().map(|test| test.weight).collect::<Vec<_>>()
    };
    let (computed, stated) = (weights(&computed), weights(&stated));
    assert!(computed.iter().sum::<f64>() > 0.5);
    for (a, b) in computed.iter().zip(&stated) {
        assert!((a - b).abs() < 1e-9, "{computed:?} {stated:?}");
    }
}

#[test]
fn a_machine_contact_that_cannot_be_computed_shows_every_test_unweighed_with_the_reason() {
    let polymer = RIG_GEARS.replace("hard steel/hard steel", "hard steel/polymer");
    let standing = standing(&on("gear pair", &polymer));
    assert_eq!(standing.tests.len(), 2);
    for test in &standing.tests {
        assert_eq!(test.weight, 0.0);
        let reason = test
            .excluded
            .as_ref()
            .map(|why| not_weighed(why, Default::default()))
            .unwrap_or_default();
        assert_eq!(
            reason,
            "the machine's contact 'contact' cannot be computed: no elastic constants are kept for hard steel/polymer: \
             state the pressure instead"
        );
    }
    assert_eq!(standing.front_runner, None);
}
