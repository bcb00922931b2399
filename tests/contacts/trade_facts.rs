//! What the trade expects of a test beside a machine. Common practice, no source; the machines are invented, their ranges
//! plausible ones.

use crate::support::{BRONZE_BUSH, FAST_MESH, SLOW_ROLLERS};
use likewear::facade::catalogue::{Method, Mode, Quantity, Use, built_in, built_in_method};
use likewear::facade::contact::preset::MachinePreset;
use likewear::facade::contact::terms::{ContactTerms, ShapeClass};
use likewear::facade::resemblance::{Decided, Scales, Scores, compare, contacts};

const VANE_PUMP: &str = r#"{"shape":"line","ellipticity":[50,100],"max_pressure_pa":[0.3e9,0.9e9],"sliding_m_s":[3,9],
    "slide_roll":[2,2],"motion":"one way","film_ratio":[0.1,1],"materials":"hard steel/hard steel","time_share":[0.9,1],
    "temperature_c":[50,80],"contact_temperature_c":[60,160],"supply":"circulated"}"#;
const OSCILLATING_BEARING: &str = r#"{"shape":"elliptical","ellipticity":[5,12],"max_pressure_pa":[1.2e9,2.2e9],
    "sliding_m_s":[0,0.006],"entrainment_m_s":[0.01,0.08],"slide_roll":[0,0.1],"motion":"reversing","film_ratio":[0.01,0.3],
    "materials":"hard steel/hard steel","time_share":[0.1,0.4],"temperature_c":[5,35],"contact_temperature_c":[5,45],
    "supply":"packed grease"}"#;
const WORM: &str = r#"{"shape":"elliptical","ellipticity":[8,30],"max_pressure_pa":[0.25e9,0.65e9],"sliding_m_s":[1,6],
    "slide_roll":[1.4,2],"motion":"one way","film_ratio":[0.2,1],"materials":"hard steel/bronze","time_share":[0.02,0.1],
    "temperature_c":[50,100],"contact_temperature_c":[60,150],"supply":"bath"}"#;
const FAST_BALLS: &str = r#"{"shape":"elliptical","ellipticity":[6,12],"max_pressure_pa":[1.0e9,2.0e9],
    "sliding_m_s":[0.1,0.6],"entrainment_m_s":[8,20],"slide_roll":[0.005,0.05],"motion":"one way","film_ratio":[1,4],
    "materials":"hard steel/hard steel","time_share":[0.001,0.01],"temperature_c":[60,100],
    "contact_temperature_c":[65,130],"supply":"packed grease"}"#;
const SLOW_GEAR: &str = r#"{"shape":"line","ellipticity":[50,100],"max_pressure_pa":[0.9e9,1.9e9],"sliding_m_s":[0.005,0.1],
    "slide_roll":[0.1,0.9],"motion":"one way","film_ratio":[0.02,0.3],"materials":"hard steel/hard steel",
    "time_share":[0.004,0.02],"temperature_c":[50,90],"contact_temperature_c":[50,100],"supply":"bath"}"#;
const JOURNAL: &str = r#"{"shape":"conformal","max_pressure_pa":[2e6,15e6],"mean_pressure_pa":[1e6,6e6],
    "sliding_m_s":[10,60],"slide_roll":[2,2],"motion":"one way","film_ratio":[5,30],"materials":"hard steel/babbitt",
    "time_share":[0.3,1],"temperature_c":[45,90],"contact_temperature_c":[50,110],"supply":"circulated"}"#;

fn machine(json: &str) -> ContactTerms {
    let preset = MachinePreset::parse("stated", json).unwrap_or_else(|fault| panic!("{fault}"));
    preset.terms(None).unwrap()
}

/// Terms of a quantity's contacts at its nominal load, fresh or on its nominal scar.
fn test_terms(method: &Method, quantity: &Quantity) -> Vec<ContactTerms> {
    let decided = Decided {
        step: quantity.nominal,
        scar_m: None,
    };
    contacts(method, quantity, decided, None).unwrap_or_default()
}

fn resemblance(method: &Method, quantity: &Quantity, machine: &ContactTerms) -> Option<f64> {
    let alike =
        |terms: &ContactTerms| compare(terms, machine, Scores::of(quantity), &Scales::default()).value;
    let found = test_terms(method, quantity);
    found.iter().filter_map(alike).reduce(f64::max)
}

fn of(id: &str, machine: &ContactTerms) -> f64 {
    let method = built_in_method(id).unwrap();
    let weighed = method
        .quantities
        .iter()
        .filter(|quantity| quantity.usual_use == Use::Weigh);
    weighed
        .filter_map(|quantity| resemblance(method, quantity, machine))
        .reduce(f64::max)
        .unwrap_or_else(|| panic!("{id} cannot be weighed"))
}

/// Methods that weigh in a contact that fails by these modes, the weightiest first.
fn ranked(machine: &ContactTerms, modes: &[Mode]) -> Vec<(&'static str, f64)> {
    let mut found = Vec::new();
    for method in built_in() {
        for quantity in method
            .quantities
            .iter()
            .filter(|quantity| quantity.usual_use == Use::Weigh)
        {
            let strengths = quantity.modes.iter().filter(|(mode, _)| modes.contains(mode));
            let relevance = strengths.map(|(_, strength)| *strength).fold(0.0, f64::max);
            let value = resemblance(method, quantity, machine).unwrap_or(0.0) * relevance;
            found.push((method.id.as_str(), value));
        }
    }
    found.sort_by(|a, b| b.1.total_cmp(&a.1));
    found
}

#[test]
fn for_a_vane_pump_a_pump_test_comes_first() {
    let found = ranked(&machine(VANE_PUMP), &[Mode::AdhesiveWear]);
    assert!(found[0].0.starts_with("pump_vane"), "{:?}", &found[..6]);
    assert!(found[0].1 > 0.4, "{:?}", found[0]);
}

#[test]
fn for_an_oscillating_greased_bearing_the_false_brinelling_test_comes_first() {
    let found = ranked(
        &machine(OSCILLATING_BEARING),
        &[Mode::FalseBrinelling, Mode::Fretting],
    );
    assert_eq!(found[0].0, "fretting", "{:?}", &found[..6]);
}

#[test]
fn for_a_worm_steel_on_steel_stays_low() {
    for (id, value) in ranked(
        &machine(WORM),
        &[Mode::BronzeWear, Mode::Scuffing, Mode::AdhesiveWear],
    ) {
        assert!(value < 0.31, "{id}: {value}");
    }
}

#[test]
fn for_a_fast_ball_bearing_nothing_slow_resembles() {
    let bearing = machine(FAST_BALLS);
    for id in [
        "rb_oil",
        "rb_grease",
        "gear_slow_c005",
        "gear_lowspeed_wear",
        "fretting",
        "bor_osc_d3704",
    ] {
        assert!(of(id, &bearing) < 0.4, "{id}: {}", of(id, &bearing));
    }
}

#[test]
fn for_a_slow_gear_and_a_slow_roller_slow_tests_lead() {
    let gear = ranked(&machine(SLOW_GEAR), &[Mode::SlowSpeedWear]);
    assert!(
        ["gear_slow_c005", "gear_lowspeed_wear"].contains(&gear[0].0),
        "{:?}",
        &gear[..6]
    );
    let roller = ranked(&machine(SLOW_ROLLERS), &[Mode::RollingWear]);
    assert!(roller[0].0.starts_with("rb_"), "{:?}", &roller[..6]);
}

#[test]
fn for_a_journal_bearing_no_test_resembles() {
    let journal = machine(JOURNAL);
    for method in built_in() {
        for quantity in method
            .quantities
            .iter()
            .filter(|quantity| quantity.usual_use == Use::Weigh)
        {
            let value = resemblance(method, quantity, &journal).unwrap_or(0.0);
            assert!(value < 0.1, "{}/{}: {value}", method.id, quantity.id);
        }
    }
}

#[test]
fn no_machine_is_a_sphere_on_a_sphere_and_the_weld_test_lies_beyond_them_all() {
    let method = built_in_method("fb_ep_oil").unwrap();
    let weld = method.quantity("weld").unwrap();
    for json in [SLOW_GEAR, FAST_MESH, SLOW_ROLLERS, WORM, JOURNAL, BRONZE_BUSH] {
        let machine = machine(json);
        assert_ne!(machine.shape, Some(ShapeClass::Point), "{json}");
        let terms = contacts(
            method,
            weld,
            Decided {
                step: Some(250.0),
                scar_m: None,
            },
            None,
        );
        let found = compare(&terms.unwrap()[0], &machine, Scores::of(weld), &Scales::default());
        assert!(found.is_beyond(), "{json}: {:?}", found.beyond);
    }
}

#[test]
fn a_gear_test_for_gears_and_a_bearing_test_for_rollers_resemble_more_than_any_four_ball_test() {
    for (json, id) in [
        (FAST_MESH, "gear_A8"),
        (SLOW_GEAR, "gear_slow_c005"),
        (SLOW_ROLLERS, "rb_oil"),
    ] {
        let machine = machine(json);
        let own = of(id, &machine);
        for method in built_in()
            .iter()
            .filter(|method| method.id.as_str().starts_with("fb_"))
        {
            for quantity in &method.quantities {
                let ball = resemblance(method, quantity, &machine).unwrap_or(0.0);
                assert!(ball < own, "{}/{}: {ball}, {id}: {own}", method.id, quantity.id);
            }
        }
    }
}

#[test]
fn stage_fifteen_is_no_stage_and_the_usual_speeds_are_those_of_the_designations() {
    for id in ["gear_A8", "gear_A10", "gear_A10_90", "gear_shock_A10"] {
        let method = built_in_method(id).unwrap();
        let possible = method.quantities[0].possible.unwrap();
        assert_eq!(possible.hi(), 14.0, "{id}");
    }
    for (id, speed, temperature) in [("gear_A8", "8.3 m/s", "90"), ("gear_A10_90", "16.6 m/s", "90")] {
        let method = built_in_method(id).unwrap();
        let words = |name: &str| {
            let condition = method.conditions.iter().find(|condition| condition.name == name);
            condition.unwrap().value.as_str()
        };
        assert!(words("speed").contains(speed), "{id}: {}", words("speed"));
        assert!(words("temperature").contains(temperature), "{id}");
    }
}

#[test]
fn the_bearing_rig_is_scored_by_rolling_elements_and_by_cage_and_no_hours_of_an_oxidation_test_are_weighed() {
    let rig = built_in_method("rb_oil").unwrap();
    assert!(rig.quantity("roller_wear").unwrap().scores(Mode::RollingWear));
    assert!(rig.quantity("cage_wear").unwrap().scores(Mode::CageWear));
    for id in ["ox_d943", "ox_d2272"] {
        assert_eq!(
            built_in_method(id).unwrap().quantities[0].usual_use,
            Use::Gate,
            "{id}"
        );
    }
}
