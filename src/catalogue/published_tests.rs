//! The method files against the tables from which they were written (`tests/published`, sources per row there).

use crate::catalogue::{
    LoadRule, Method, MethodContact, PrecisionKind, PressureFrom, Quantity, ScaleKind, built_in,
    built_in_method, from_word, later_tests,
};
use crate::contact::element::Load;
use crate::contact::terms::ShapeClass;
use crate::units::Unit;
use std::collections::{BTreeMap, BTreeSet};

pub(super) type Row = BTreeMap<String, String>;

const CONTACTS: &str = include_str!("../../tests/published/method_contacts.csv");
const STAGES: &str = include_str!("../../tests/published/gear_load_stages.csv");
const MODES: &str = include_str!("../../tests/published/method_modes.csv");

const PRECISION: &str = include_str!("../../tests/published/method_precision.csv");

/// Rows of the tables for which there is no file yet.
const ROWS_WITHOUT_FILE: [&str; 0] = [];
/// Files whose quantities the table of modes does not hold: their modes are those of the other four-ball wear tests.
const NOT_IN_TABLE_OF_MODES: [&str; 2] = ["fb_din_wear_grease", "fb_din_wear_oil"];
/// Read every five minutes, yet kept as plain times: nothing fails at a reading, and a gate judges the later end.
const READ_IN_STEPS_KEPT_AS_TIMES: &str = "demul_d1401";
/// The table gives the true load, which two lines of a block share; the files take one line.
const ON_TWO_LINES: [&str; 2] = ["pvb_ep", "pvb_wear"];
/// The table says log10; a repeatability in per cent of the load goes with the natural logarithm.
const PER_CENT_ON_A_LADDER: &str = "lo_grease_ep";

pub(super) fn rows(text: &str) -> Vec<Row> {
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    reader.deserialize().map(Result::unwrap).collect()
}

/// The first number of a report without an upper end; words such as "as D2783" name another method instead.
fn first_number(text: &str) -> Option<f64> {
    let text = if text.starts_with("as ") { "" } else { text };
    let digits = text
        .split(|c: char| !c.is_ascii_digit())
        .find(|d| !d.is_empty())?;
    digits.parse().ok()
}

fn every(from: u32, to: u32, by: usize) -> impl Iterator<Item = f64> {
    (from..=to).step_by(by).map(f64::from)
}

/// The ladder that the words of the table stand for; `None` where the table has no steps of a load.
fn steps_of(text: &str) -> Option<Vec<f64>> {
    let ladder = "6;8;10;13;16;20;24;32;40;50;63;80;100;126;160;200;250;315;400;500;620;800 kgf";
    Some(match text {
        t if t == ladder => t.split([';', ' ']).filter_map(|step| step.parse().ok()).collect(),
        t if t.starts_with("1..12") => every(1, 12, 1).collect(),
        t if t.starts_with("5..10") => every(5, 10, 1).collect(),
        t if t.contains("multiples of 5 lb above 30 lb, 3 lb below") => {
            every(3, 30, 3).chain(every(35, 100, 5)).collect()
        }
        t if t.contains("10 lb up, 5 lb down") => every(5, 80, 5).collect(),
        t if t.contains("200 N steps") || t.starts_with("as DIN 51350-2") => {
            every(1200, 5000, 200).chain(every(5500, 12000, 500)).collect()
        }
        t if t.contains("then +100 every 2 min to 1200") => {
            every(50, 50, 1).chain(every(100, 1200, 100)).collect()
        }
        t if t.starts_with("100 N steps to 2000 N") => every(100, 2000, 100).collect(),
        _ => return None,
    })
}

fn load_of(method: &Method, quantity: &Quantity) -> Option<f64> {
    let MethodContact::Rig { element, load, .. } = method.first_contact()? else {
        return None;
    };
    match load.load(quantity.nominal)? {
        Load::TotalForceN(force) => Some(force),
        torque @ Load::PinionTorqueNm(_) => element.load_per_contact_n(&torque).ok(),
    }
}

fn pressure_at(method: &Method, quantity: &Quantity) -> Option<f64> {
    match method.first_contact()? {
        MethodContact::Stated(stated) => stated.max_pressure_pa.map(|interval| interval.hi()),
        MethodContact::Rig {
            element,
            surroundings,
            load,
        } => {
            let load = load.load(quantity.nominal)?;
            let fresh = element.fresh_contact(&load, surroundings.materials).ok()?;
            Some(fresh.max_pressure_pa())
        }
    }
}

fn near(a: f64, b: f64) -> bool {
    (a - b).abs() <= 0.005 * b.abs()
}

fn first_loaded(method: &Method) -> bool {
    matches!(method.first_contact(), Some(MethodContact::Rig { .. }))
}

#[test]
fn every_row_of_the_tables_has_its_file_and_every_tabled_file_its_modes() {
    let named = |text, column: &str| -> BTreeSet<String> {
        rows(text).iter().map(|row| row[column].clone()).collect()
    };
    let (contacts, modes) = (named(CONTACTS, "method_id"), named(MODES, "method"));
    let files: BTreeSet<String> = built_in().iter().map(|method| method.id.to_string()).collect();
    let without_file: Vec<_> = contacts.union(&modes).filter(|id| !files.contains(*id)).collect();
    assert_eq!(without_file, ROWS_WITHOUT_FILE);
    // A method of neither table is one of `later_tests`.
    let tabled: BTreeSet<_> = files.intersection(&contacts).cloned().collect();
    let without_modes: Vec<_> = tabled.difference(&modes).collect();
    assert_eq!(without_modes, NOT_IN_TABLE_OF_MODES);
}

#[test]
fn steps_classes_and_cap_are_those_of_the_table() {
    for row in rows(CONTACTS) {
        let id = &row["method_id"];
        let method = built_in_method(id).unwrap();
        let quantity = &method.quantities[0];
        assert!(row["lubricant"].contains(method.lubricant.word()), "{id}");
        if quantity.scale.is_stepped() {
            assert_eq!(
                Some(quantity.scale.steps()),
                steps_of(&row["steps"]).as_deref(),
                "{id}"
            );
            let cap = first_number(&row["open_end_report"]).or(quantity.scale.steps().last().copied());
            assert_eq!(quantity.scale.cap(), cap, "{id}");
            continue;
        }
        let listed = row["steps"].contains(';') && !quantity.scale.classes().is_empty();
        if listed {
            assert_eq!(quantity.scale.classes().join(";"), row["steps"], "{id}");
        } else if id == READ_IN_STEPS_KEPT_AS_TIMES {
            assert_eq!(
                (row["steps"].as_str(), quantity.scale.cap()),
                ("5;10;15;20;25;30", Some(30.0))
            );
        } else {
            assert_eq!(steps_of(&row["steps"]), None, "{id}");
            assert_eq!(
                quantity.scale.cap(),
                first_number(&row["open_end_report"]),
                "{id}"
            );
        }
    }
}

#[test]
fn reference_load_and_nominal_pressure_are_those_of_the_table() {
    let (mut loads, mut pressures) = (0, 0);
    for row in rows(CONTACTS) {
        let id = &row["method_id"];
        let method = built_in_method(id).unwrap();
        let at = |wanted: f64, value: fn(&Method, &Quantity) -> Option<f64>| {
            let found: Vec<f64> = method
                .quantities
                .iter()
                .filter_map(|q| value(method, q))
                .collect();
            assert!(
                found.iter().any(|value| near(*value, wanted)),
                "{id}: {wanted} expected, {found:?} found"
            );
        };
        if let (Ok(newton), true) = (row["reference_load_N"].parse::<f64>(), first_loaded(method)) {
            let lines = if ON_TWO_LINES.contains(&id.as_str()) {
                2.0
            } else {
                1.0
            };
            at(newton / lines, load_of);
            loads += 1;
        }
        if let Ok(megapascal) = row["nominal_max_hertz_MPa_at_reference"].parse::<f64>() {
            at(megapascal * 1e6, pressure_at);
            pressures += 1;
        }
    }
    assert_eq!((loads, pressures), (24, 25));
}

#[test]
fn unit_direction_scale_reading_modes_category_and_use_are_those_of_the_table() {
    for row in rows(MODES) {
        let name = format!("{}/{}", row["method"], row["quantity"]);
        let method = built_in_method(&row["method"]).unwrap();
        let quantity = method.quantity(&row["quantity"]).expect(&name);
        assert_eq!(quantity.unit, row["unit"].parse::<Unit>().unwrap(), "{name}");
        assert_eq!(quantity.better.word(), row["better"], "{name}");
        assert_eq!(method.category.word(), row["category (DIN 50322)"], "{name}");
        assert_eq!(quantity.usual_use.word(), row["use"], "{name}");
        let kind = ScaleKind::from(&quantity.scale);
        if row["method"] == PER_CENT_ON_A_LADDER {
            assert_eq!(row["working_scale"], "log10 ladder");
            assert_eq!(kind, ScaleKind::LnLadder, "{name}");
        } else if row["working_scale"] != "none" {
            assert_eq!(Some(kind), from_word(&row["working_scale"]), "{name}");
        }
        let reading = row["plain_number_is"].split([' ', ';', ',']).next().unwrap();
        assert_eq!(Some(quantity.plain_number), from_word(reading), "{name}");
        assert_eq!(modes_of(quantity), modes_in(&row), "{name}");
    }
}

fn modes_of(quantity: &Quantity) -> BTreeMap<String, f64> {
    let modes = quantity.modes.iter();
    modes
        .map(|(mode, strength)| (mode.word().to_string(), *strength))
        .collect()
}

fn modes_in(row: &Row) -> BTreeMap<String, f64> {
    let column = row.keys().find(|key| key.starts_with("modes")).unwrap();
    let items = row[column].split(';').map(|item| item.split_once('=').unwrap());
    items
        .map(|(mode, strength)| (mode.to_string(), strength.parse().unwrap()))
        .collect()
}

#[test]
fn shape_and_the_load_that_gives_the_pressure_are_those_of_the_table() {
    for row in rows(MODES) {
        let name = format!("{}/{}", row["method"], row["quantity"]);
        let method = built_in_method(&row["method"]).unwrap();
        let quantity = method.quantity(&row["quantity"]).unwrap();
        let shape = match method.first_contact() {
            None => "none",
            Some(MethodContact::Stated(stated)) => stated.shape.map(ShapeClass::word).unwrap(),
            Some(MethodContact::Rig {
                element,
                surroundings,
                load,
            }) => {
                let load = load.load(Some(quantity.nominal.unwrap_or(10.0))).unwrap();
                let fresh = element.fresh_contact(&load, surroundings.materials).unwrap();
                fresh.shape().word()
            }
        };
        assert_eq!(shape, row["shape_class"], "{name}");
        let wanted = match row["pressure_from"].as_str() {
            _ if !first_loaded(method) => PressureFrom::None,
            words if words.contains("deciding") || words.contains("last non-seizure") => {
                PressureFrom::DecidingLoad
            }
            words if words.starts_with("interval where scar width is known") => PressureFrom::DecidingLoad,
            _ if quantity.worn_pressure_pa.is_some() => PressureFrom::FixedLoad,
            _ if quantity.pressure_from == PressureFrom::None => PressureFrom::None,
            words if words.starts_with("interval") || words == "as scar" => PressureFrom::WornToFresh,
            _ => PressureFrom::FixedLoad,
        };
        assert_eq!(quantity.pressure_from, wanted, "{name}");
        let is_index = row["pressure_from"].contains("last non-seizure step");
        assert_eq!(quantity.load_of.as_deref(), is_index.then_some("lnsl"), "{name}");
        let is_friction = row["pressure_from"] == "as scar";
        assert_eq!(
            quantity.scar_of.as_deref(),
            is_friction.then_some("scar"),
            "{name}"
        );
    }
}

#[test]
fn the_torque_of_every_stage_is_that_of_the_table() {
    let mut checked = 0;
    let table = rows(STAGES);
    for method in built_in() {
        for named in &method.contacts {
            let MethodContact::Rig {
                load: LoadRule::StageTorques(torques),
                ..
            } = &named.contact
            else {
                continue;
            };
            let arm = if method.id.as_str() == "gear_micropit" {
                "0_35m"
            } else {
                "0_50m"
            };
            let column = format!("pinion_torque_Nm_arm_{arm}");
            // the stages beyond the method's last are extensions that laboratories run
            assert_eq!(torques.len(), table.len(), "{}", method.id);
            for (torque, row) in torques.iter().zip(&table) {
                assert_eq!(*torque, row[&column].parse::<f64>().unwrap(), "{}", method.id);
                checked += 1;
            }
        }
    }
    assert_eq!(checked, 6 * 14);
}

/// The quantity that the table of precision means; `None` for a row that no file takes over.
fn quantity_meant(row: &Row) -> Option<&'static str> {
    Some(match row["quantity"].as_str() {
        "load-wear index" => "lwi",
        "weld point" => "weld",
        "scar diameter" => "scar",
        "OK load" => "ok_load",
        "pass load at 50 C" => "pass_load",
        "failure load stage (ASTM D5182)" => "fail_stage",
        "failure load stage" => "fail_stage",
        "total mass change" => "mass_loss",
        "failure load, method A" => "fail_load",
        "minutes" => "time",
        "hours" => "life",
        _ => return None,
    })
}

#[test]
fn precision_is_that_of_the_table_and_of_nothing_else() {
    let mut matched = 0;
    for row in rows(PRECISION) {
        let kind = match row["kind"].as_str() {
            "percent_of_mean" | "formula" => PrecisionKind::PerCent,
            "load_steps" | "load_stages" => PrecisionKind::Steps,
            "constant" => PrecisionKind::Constant,
            _ => continue,
        };
        let Some(quantity) = quantity_meant(&row) else {
            continue;
        };
        let name = format!("{}/{quantity}", row["method_id"]);
        let method = built_in_method(&row["method_id"]).unwrap();
        let precision = method
            .quantity(quantity)
            .unwrap()
            .precision
            .as_ref()
            .expect(&name);
        let repeatability = match row["repeatability_r"].as_str() {
            "0.7*X" => 70.0,
            number => number.parse().unwrap(),
        };
        assert_eq!(
            (precision.kind, precision.repeatability),
            (kind, repeatability),
            "{name}"
        );
        assert_eq!(
            precision.reproducibility,
            row["reproducibility_R"].parse().ok(),
            "{name}"
        );
        assert_eq!(precision.level, row["level"].parse().ok(), "{name}");
        matched += 1;
    }
    let stated = built_in().iter().flat_map(|method| &method.quantities);
    assert_eq!(
        matched + later_tests::stated_precisions(),
        stated.filter(|quantity| quantity.precision.is_some()).count()
    );
}
