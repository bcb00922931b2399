//! What the trade expects of a test beside a machine. Common practice, no source; the machines are invented, their ranges
//! plausible ones.

#![expect(
    clippy::unwrap_used,
    reason = "a machine or a method that cannot be had is a failed test"
)]

use crate::preset_kinds::{kinds, parse, whole};
use crate::support::{BRONZE_BUSH, FAST_MESH, SLOW_ROLLERS};
use likewear::facade::catalogue::{
    LoadRule, Method, MethodContact, Mode, Quantity, Use, built_in, built_in_method,
};
use likewear::facade::contact::element::Element;
use likewear::facade::contact::preset::MachinePreset;
use likewear::facade::contact::terms::{ContactTerms, ShapeClass};
use likewear::facade::lubricant::Oil;
use likewear::facade::resemblance::{Decided, Scales, Scores, compare, contacts};
use likewear::facade::units::Interval;

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
/// A deep groove ball bearing at some 900 000 mm/min of speed times pitch diameter, greased, its balls slipping a little.
const FAST_BALLS: &str = r#"{"ball_diameter_m":0.0127,"balls":9,"pitch_diameter_m":0.065,"inner_conformity":0.515,
    "outer_conformity":0.525,"load_factor":5,"radial_load_n":[500,3000],"inner_rpm":[12000,15000],"slip":[0.005,0.02],
    "temperature_c":[60,90],"supply":"packed grease","materials":"hard steel/hard steel","roughness_rq_m":[1e-7,3e-8]}"#;
const SLOW_GEAR: &str = r#"{"shape":"line","ellipticity":[50,100],"max_pressure_pa":[0.9e9,1.9e9],"sliding_m_s":[0.005,0.1],
    "slide_roll":[0.1,0.9],"motion":"one way","film_ratio":[0.02,0.3],"materials":"hard steel/hard steel",
    "time_share":[0.004,0.02],"temperature_c":[50,90],"contact_temperature_c":[50,100],"supply":"bath"}"#;
const JOURNAL: &str = r#"{"shape":"conformal","max_pressure_pa":[2e6,15e6],"mean_pressure_pa":[1e6,6e6],
    "sliding_m_s":[10,60],"slide_roll":[2,2],"motion":"one way","film_ratio":[5,30],"materials":"hard steel/babbitt",
    "time_share":[0.3,1],"temperature_c":[45,90],"contact_temperature_c":[50,110],"supply":"circulated"}"#;

/// A cam on a flat tappet.
const CAM: &str = r#"{"shape":"line","ellipticity":[50,100],"max_pressure_pa":[0.4e9,1.2e9],"sliding_m_s":[1,6],
    "entrainment_m_s":[0.5,4],"slide_roll":[1,2],"motion":"one way","film_ratio":[0.2,0.6],
    "materials":"hard steel/cast iron","time_share":[0.05,0.3],"temperature_c":[80,120],"contact_temperature_c":[100,200],
    "supply":"splash"}"#;
const SLIDEWAY: &str = r#"{"shape":"conformal","max_pressure_pa":[0.1e6,2e6],"mean_pressure_pa":[0.05e6,1e6],
    "sliding_m_s":[0.0005,0.3],"slide_roll":[2,2],"motion":"reversing","film_ratio":[0.1,1],
    "materials":"hard steel/cast iron","time_share":[0.5,1],"temperature_c":[15,40],"contact_temperature_c":[15,45],
    "supply":"thin dab"}"#;
const HYPOID: &str = r#"{"shape":"elliptical","ellipticity":[5,20],"max_pressure_pa":[1.2e9,2.5e9],"sliding_m_s":[2,12],
    "slide_roll":[0.4,1.6],"motion":"one way","film_ratio":[0.2,1],"materials":"hard steel/hard steel",
    "time_share":[0.004,0.02],"temperature_c":[60,120],"contact_temperature_c":[120,350],"supply":"splash"}"#;
const ROPE: &str = r#"{"shape":"elliptical","ellipticity":[1,10],"max_pressure_pa":[0.5e9,1.5e9],"sliding_m_s":[0,0.02],
    "slide_roll":[2,2],"motion":"fretting","film_ratio":[0.01,0.2],"materials":"hard steel/hard steel","time_share":[1,1],
    "temperature_c":[0,40],"contact_temperature_c":[0,45],"supply":"thin dab"}"#;

/// The machines that are stated as ranges.
const STATED: [&str; 12] = [
    VANE_PUMP,
    OSCILLATING_BEARING,
    WORM,
    SLOW_GEAR,
    JOURNAL,
    CAM,
    SLIDEWAY,
    HYPOID,
    ROPE,
    FAST_MESH,
    SLOW_ROLLERS,
    BRONZE_BUSH,
];

fn oil() -> Oil {
    Oil::new(220.0, 19.0, Some(880.0), None).unwrap()
}

fn fast_balls() -> ContactTerms {
    let preset = MachinePreset::parse("deep groove ball bearing", FAST_BALLS);
    let preset = preset.unwrap_or_else(|fault| panic!("{fault}"));
    preset.terms(Some(&oil())).unwrap()
}

fn machine(json: &str) -> ContactTerms {
    let preset = MachinePreset::parse("stated", json).unwrap_or_else(|fault| panic!("{fault}"));
    preset.terms(None).unwrap()
}

/// Terms of a quantity's contacts at its nominal load, fresh or on its nominal scar, in an oil of ISO VG 220.
fn test_terms(method: &Method, quantity: &Quantity) -> Vec<ContactTerms> {
    let decided = Decided {
        step: quantity.nominal,
        scar_m: None,
    };
    contacts(method, quantity, decided, Some(&oil())).unwrap_or_default()
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
    let loss = built_in_method("pump_vane_d7043")
        .unwrap()
        .quantity("mass_loss")
        .unwrap();
    assert!(loss.precision.is_some() && loss.usual_use == Use::Weigh);
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
    let bearing = fast_balls();
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
fn no_preset_of_a_machine_gives_the_circle_of_two_balls() {
    for (word, _, _) in kinds() {
        let preset = parse(word, &whole(word)).unwrap_or_else(|fault| panic!("{word}: {fault}"));
        assert_ne!(
            preset.terms(None).unwrap().shape,
            Some(ShapeClass::Point),
            "{word}"
        );
    }
}

#[test]
fn the_weld_test_lies_beyond_gears_rollers_worms_and_plain_bearings() {
    let method = built_in_method("fb_ep_oil").unwrap();
    let weld = method.quantity("weld").unwrap();
    let balls = [fast_balls()].into_iter();
    let stated = [SLOW_GEAR, FAST_MESH, SLOW_ROLLERS, WORM, JOURNAL, BRONZE_BUSH];
    for machine in stated.into_iter().map(machine).chain(balls) {
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
        assert!(found.is_beyond(), "{machine:?}: {:?}", found.beyond);
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

/// A guide that slides to and fro: slower, cooler and less loaded than the linear oscillation test.
const GUIDE: &str = r#"{"shape":"elliptical","ellipticity":[1,4],"max_pressure_pa":[0.4e9,0.9e9],"sliding_m_s":[0.01,0.04],
    "slide_roll":[2,2],"motion":"reversing","film_ratio":[0.05,0.3],"materials":"hard steel/hard steel",
    "time_share":[0.5,1],"temperature_c":[30,50],"contact_temperature_c":[30,60],"supply":"bath"}"#;

#[test]
fn the_nearer_the_settings_of_an_oscillation_test_come_to_the_machine_the_more_it_resembles_it() {
    let guide = machine(GUIDE);
    let mut method = built_in_method("lo_oil_wear").unwrap().clone();
    let scar = method.quantity("scar").unwrap().clone();
    let mut last = resemblance(&method, &scar, &guide).unwrap();
    let first = last;
    for nearer in ["frequency", "temperature", "load"] {
        let MethodContact::Rig {
            element,
            surroundings,
            load,
        } = &mut method.contacts[0].contact
        else {
            panic!("the oscillation test has a rig");
        };
        match (nearer, element) {
            ("frequency", Element::BallOnDiscStroke(ball)) => ball.frequency_hz = 10.0,
            ("temperature", _) => surroundings.bulk_temperature_c = Interval::new(40.0, 40.0).unwrap(),
            _ => *load = LoadRule::FixedForce(20.0),
        }
        let now = resemblance(&method, &scar, &guide).unwrap();
        assert!(now >= last, "{nearer}: {now}, was {last}");
        last = now;
    }
    assert!(last > first + 0.05, "{last}, was {first}");
}

#[test]
fn a_weld_load_is_like_no_machine_but_a_hypoid_gear_and_there_a_gear_test_leads_too() {
    let weld = |json: &str| {
        let machine = machine(json);
        [
            "fb_ep_oil",
            "fb_ep_grease",
            "fb_din_weld_oil",
            "fb_din_weld_grease",
        ]
        .into_iter()
        .map(|id| {
            let method = built_in_method(id).unwrap();
            resemblance(method, method.quantity("weld").unwrap(), &machine).unwrap()
        })
        .fold(0.0, f64::max)
    };
    for json in STATED.into_iter().filter(|json| *json != HYPOID) {
        assert!(weld(json) < 0.25, "{json}: {}", weld(json));
    }
    let (on_hypoid, gear) = (weld(HYPOID), of("gear_A8", &machine(HYPOID)));
    assert!(on_hypoid > 0.3 && gear > on_hypoid + 0.3, "{on_hypoid}, {gear}");
}

#[test]
fn nothing_of_the_catalogue_is_like_a_slideway() {
    let slideway = machine(SLIDEWAY);
    for method in built_in() {
        for quantity in &method.quantities {
            let value = resemblance(method, quantity, &slideway).unwrap_or(0.0);
            assert!(value < 0.1, "{}/{}: {value}", method.id, quantity.id);
        }
    }
}

#[test]
fn wires_of_a_rope_are_like_a_test_that_goes_to_and_fro() {
    let rope = machine(ROPE);
    let to_and_fro = of("lo_grease_wear", &rope);
    assert!(to_and_fro > 0.4, "{to_and_fro}");
    for method in built_in()
        .iter()
        .filter(|method| method.id.as_str().starts_with("fb_"))
    {
        for quantity in &method.quantities {
            let ball = resemblance(method, quantity, &rope).unwrap_or(0.0);
            assert!(ball < to_and_fro, "{}/{}: {ball}", method.id, quantity.id);
        }
    }
}
