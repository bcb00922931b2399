//! The methods that the older tables do not hold, against `tests/published/later_methods.csv`: a row for each number that was
//! read in a source or is remembered of the standard, and none for a number that is ours.

use crate::catalogue::published_tests::{Row, rows};
use crate::catalogue::{LoadRule, Mark, Method, MethodContact, Mode, Use, built_in, built_in_method};
use crate::contact::element::Element;
use crate::units::Dimension;
use std::collections::BTreeSet;

const LATER: &str = include_str!("../../tests/published/later_methods.csv");
const TABLED: &str = include_str!("../../tests/published/method_contacts.csv");

/// Methods that run the gears of one of the older tables, which says where each number of those was seen.
const SAME_GEARS: [(&str, &str); 4] = [
    ("gear_A10_90", "gear_A10"),
    ("gear_shock_A10", "gear_A10"),
    ("gear_slow_c005", "gear_micropit"),
    ("gear_micropit_short", "gear_micropit"),
];

/// Modes of which no method of the catalogue speaks.
const NOBODYS: [Mode; 4] = [
    Mode::BronzeWear,
    Mode::Smearing,
    Mode::WhiteEtchingCracks,
    Mode::ElectricalErosion,
];

/// What a method says at the place that a row names.
fn said(method: &Method, place: &str) -> String {
    if place == "standard" {
        return method.standard.clone();
    }
    if let Some(name) = place.strip_prefix("condition ") {
        let condition = method.conditions.iter().find(|condition| condition.name == name);
        return condition.unwrap().value.clone();
    }
    let value = method.sources.iter().find(|value| value.path == place);
    value
        .unwrap_or_else(|| panic!("{}: {place} has no marked value", method.id))
        .value
        .clone()
}

fn is_number(place: &str) -> bool {
    place.contains('.')
}

/// The rows that state an r, and so a precision.
pub(super) fn stated_precisions() -> usize {
    let rows = rows(LATER);
    rows.iter()
        .filter(|row| row["place"].ends_with("precision.r"))
        .count()
}

#[test]
fn every_attested_number_is_that_of_its_method() {
    for row in rows(LATER) {
        let method = built_in_method(&row["method"]).unwrap();
        let (found, wanted) = (said(method, &row["place"]), &row["value"]);
        let agrees = if is_number(&row["place"]) {
            &found == wanted
        } else {
            found.contains(wanted.as_str())
        };
        assert!(agrees, "{} {}: {found}, not {wanted}", method.id, row["place"]);
        assert!(
            ["seen", "from memory"].contains(&row["attested"].as_str()),
            "{row:?}"
        );
        assert!(!row["source"].is_empty(), "{row:?}");
    }
}

fn gears(id: &str) -> Element {
    match built_in_method(id).unwrap().first_contact() {
        Some(MethodContact::Rig { element, .. }) => element.clone(),
        _ => panic!("{id} is no rig"),
    }
}

#[test]
fn gears_of_later_methods_are_those_of_the_tabled_ones() {
    for (later, tabled) in SAME_GEARS {
        let (Element::GearRig(mut later_gears), Element::GearRig(tabled_gears)) =
            (gears(later), gears(tabled))
        else {
            panic!("{later} and {tabled} are no gear rigs");
        };
        later_gears.pinion_rpm = tabled_gears.pinion_rpm;
        assert_eq!(later_gears, tabled_gears, "{later}");
        let torques = |id: &str| match built_in_method(id).unwrap().first_contact() {
            Some(MethodContact::Rig {
                load: LoadRule::StageTorques(torques),
                ..
            }) => Some(torques.clone()),
            _ => None,
        };
        if let Some(of_stages) = torques(later) {
            assert_eq!(Some(of_stages), torques(tabled), "{later}");
        }
    }
}

/// Greatest pressure of fresh specimens, GPa, worked out apart from this program: Hertz with E 206 GPa and nu 0.3, for a ball
/// of diameter d on a flat (6 F E*^2 / (pi^3 (d/2)^2))^(1/3), between two balls with d/4 and total load over root 6, for a
/// block on a ring of diameter d (w E* / (pi d/2))^(1/2); the gears from `gear_load_stages.csv`, type C, 0.35 m arm.
const PRESSURES_GPA: [(&str, f64); 5] = [
    ("thin_d6079", 0.8145),
    ("recip_g133", 2.7961),
    ("fb_friction_d5183", 3.4015),
    ("bor_osc_d3704", 0.8320),
    ("gear_slow_c005", 1.853),
];

#[test]
fn pressures_of_later_methods_are_those_worked_out_apart() {
    for (id, wanted) in PRESSURES_GPA {
        let Some(MethodContact::Rig {
            element,
            surroundings,
            load,
        }) = built_in_method(id).unwrap().first_contact()
        else {
            panic!("{id} is no rig");
        };
        let load = load.load(None).unwrap();
        let fresh = element.fresh_contact(&load, surroundings.materials).unwrap();
        let found = fresh.max_pressure_pa() / 1e9;
        assert!(
            (found - wanted).abs() < 0.003 * wanted,
            "{id}: {found}, not {wanted}"
        );
    }
}

/// Methods that no older table holds.
fn later() -> impl Iterator<Item = &'static Method> {
    let tabled: BTreeSet<String> = rows(TABLED).iter().map(|row| row["method_id"].clone()).collect();
    built_in()
        .iter()
        .filter(move |method| !tabled.contains(method.id.as_str()))
}

#[test]
fn no_number_of_a_later_method_is_marked_seen_without_a_row_or_the_gears_of_a_table() {
    let is_attested = |id: &str, path: &str| {
        let named = |row: &Row| row["method"] == id && row["place"] == path;
        let is_of_gears = path.contains("element.") || path.ends_with("stage_torques_nm");
        rows(LATER).iter().any(named) || (is_of_gears && SAME_GEARS.iter().any(|(later, _)| *later == id))
    };
    for method in later() {
        let seen = method.sources.iter().filter(|value| value.mark == Mark::Seen);
        for value in seen {
            assert!(
                is_attested(method.id.as_str(), &value.path),
                "{}: {}",
                method.id,
                value.path
            );
        }
    }
}

#[test]
fn every_mode_is_scored_by_a_method_or_covered_by_a_requirement_or_nobodys() {
    for mode in Mode::ALL {
        let of_mode = |usual_use: Use| {
            let quantities = built_in().iter().flat_map(|method| &method.quantities);
            let scoring =
                quantities.filter(|quantity| quantity.usual_use == usual_use && quantity.scores(*mode));
            scoring.count()
        };
        let kept = if mode.needs_contact() {
            of_mode(Use::Weigh)
        } else {
            of_mode(Use::Gate)
        };
        assert_eq!(kept == 0, NOBODYS.contains(mode), "{mode}: {kept}");
    }
}

#[test]
fn what_is_seen_names_a_source_in_words_and_no_key_of_its_file_is_left() {
    for method in built_in() {
        for value in &method.sources {
            let place = format!("{}: {}", method.id, value.path);
            if value.mark == Mark::Seen {
                assert!(value.source.contains(' '), "{place}: {:?}", value.source);
            }
            assert!(!value.source.contains('_'), "{place}: {:?}", value.source);
        }
    }
}

#[test]
fn the_catalogue_has_sixty_methods_and_none_without_a_use() {
    assert!(built_in().len() >= 60, "{}", built_in().len());
    for method in built_in() {
        for quantity in &method.quantities {
            let is_told = quantity.usual_use != Use::Show || method.note.contains("Shown");
            assert!(is_told, "{}/{}: why it is shown", method.id, quantity.id);
        }
    }
}

/// Common practice, no source: a year of running is about 8000 hours, and good turbine oils reach 10 000 to 15 000 hours of the
/// long oxidation test, which nobody should read as one year or two.
#[test]
fn a_method_that_times_oxidation_says_that_its_hours_are_not_those_of_service() {
    let mut timed = 0;
    for method in built_in() {
        for quantity in &method.quantities {
            if quantity.scores(Mode::Oxidation) && quantity.unit.dimension() == Dimension::Time {
                assert_eq!(quantity.usual_use, Use::Gate, "{}/{}", method.id, quantity.id);
                assert!(method.caution.contains("not of service"), "{}", method.id);
                timed += 1;
            }
        }
    }
    assert_eq!(timed, 2);
}
