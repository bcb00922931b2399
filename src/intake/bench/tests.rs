use super::*;
use crate::catalogue::{Bounds, Method};
use crate::intake::{MethodDraft, ValueCells, copy_of, read_copy};
use crate::records::Purpose;

fn cells(rows: &[&[&str]]) -> Vec<Vec<String>> {
    let row = |row: &&[&str]| row.iter().map(ToString::to_string).collect();
    rows.iter().map(row).collect()
}

fn texts(readings: Readings, rows: &[&[&str]]) -> Vec<String> {
    let found = results_of(readings, &cells(rows)).unwrap().unwrap();
    found
        .values
        .iter()
        .map(|one| format!("{} {} {}", one.quantity, one.text, one.unit))
        .collect()
}

#[test]
fn six_scars_give_one_mean_with_a_comma_too_and_name_the_ball_that_is_apart() {
    let rows: &[&[&str]] = &[&["0,61", "0.63"], &["0.63", "0.65"], &["0.70", "0.74"]];
    assert_eq!(texts(Readings::FourBallWear, rows), ["scar 0.66 mm"]);
    let found = results_of(Readings::FourBallWear, &cells(rows)).unwrap().unwrap();
    assert!(found.remarks[0].starts_with("ball 3 reads 0.72 mm"));
}

/// The four-ball wear method for oils accepts 0.04 mm (from memory).
#[test]
fn a_ball_is_apart_beyond_0_04_mm_from_the_mean() {
    for (third, apart) in [("0.659", false), ("0.66", false), ("0.661", true)] {
        // the mean of all stays 0.62 mm
        let first = format!("{}", 1.24 - third.parse::<f64>().unwrap());
        let rows: &[&[&str]] = &[&[&first, &first], &["0.62", "0.62"], &[third, third]];
        let found = results_of(Readings::FourBallWear, &cells(rows)).unwrap().unwrap();
        assert_eq!(found.remarks.len(), if apart { 2 } else { 0 }, "{third}");
    }
}

#[test]
fn loads_and_stages_become_intervals_and_bounds_never_numbers() {
    assert_eq!(
        texts(Readings::LoadStepsLb, &[&["30", "passed"], &["40", "failed"]]),
        ["ok_load pass 30 / fail 40 lb"]
    );
    assert_eq!(
        texts(Readings::LoadStepsLb, &[&["30", "passed"]]),
        ["ok_load >30 lb"]
    );
    assert_eq!(
        texts(Readings::LoadStepsN, &[&["100", "failed"]]),
        ["pass_load <100 N"]
    );
    assert_eq!(
        texts(Readings::GearStages, &[&["9", ""], &["10", "12; 8"]]),
        ["fail_stage 10 stage"]
    );
    assert_eq!(
        texts(Readings::GearStages, &[&["12", "1.5"]]),
        ["fail_stage >12 stage"]
    );
}

#[test]
fn every_bearing_of_a_run_is_kept_and_a_loss_below_the_balance_is_a_bound() {
    let rows: &[&[&str]] = &[
        &["52.0120", "52.0000", "11.0", "10.95"],
        &["52.0000", "52.0000", "11.0", "10.96"],
    ];
    let expected = [
        "roller_wear 12 mg",
        "roller_wear <1 mg",
        "cage_wear 50 mg",
        "cage_wear 40 mg",
    ];
    assert_eq!(texts(Readings::BearingMasses, rows), expected);
}

#[test]
fn a_loss_is_a_number_from_the_milligram_that_the_balance_shows() {
    for (before, expected) in [("52.0009", "<1"), ("52.0010", "1"), ("52.0011", "1.1")] {
        let found = texts(Readings::BearingMasses, &[&[before, "52.0000", "11.0", "10.9"]]);
        assert_eq!(found[0], format!("roller_wear {expected} mg"), "{before}");
    }
}

/// ASTM D2272 ends the test at a pressure drop of 175 kPa; ASTM D943 the life at an acid number of 2 mg KOH/g.
#[test]
fn a_test_of_ageing_ends_on_its_limit() {
    for (pressure, expected) in [("1126", ">10"), ("1125", "10"), ("1124", "9.943")] {
        let found = texts(Readings::Pressures, &[&["0", "1300"], &["10", pressure]]);
        assert!(found[0].starts_with(&format!("time {expected}")), "{found:?}");
    }
    for (acid, expected) in [("1.9", ">100"), ("2.0", "100"), ("3.0", "50")] {
        let found = texts(Readings::AcidNumbers, &[&["0", "1.0"], &["100", acid]]);
        assert!(found[0].starts_with(&format!("life {expected}")), "{found:?}");
    }
}

#[test]
fn ageing_gives_a_life_or_a_bound() {
    assert_eq!(
        texts(Readings::AcidNumbers, &[&["1000", "1.5"], &["1168", "2.5"]]),
        ["life 1084 h"]
    );
    assert_eq!(
        texts(Readings::AcidNumbers, &[&["1000", "1.5"], &["1168", "1.7"]]),
        ["life >1168 h"]
    );
    assert_eq!(
        texts(
            Readings::Pressures,
            &[&["0", "1300"], &["300", "1200"], &["320", "1100"]]
        ),
        ["time 315 min"]
    );
    assert_eq!(
        texts(Readings::Viscosities, &[&["20", "21.2"]]),
        ["kv100_increase 6 %"]
    );
}

#[test]
fn every_cell_that_cannot_be_used_is_named_with_its_row_and_column() {
    let faults = results_of(
        Readings::FourBallWear,
        &cells(&[&["", ""], &["0.6", "wide"], &["", "0.5"]]),
    )
    .unwrap()
    .unwrap_err();
    let named: Vec<(usize, &str)> = faults.iter().map(|fault| (fault.row, fault.column)).collect();
    assert_eq!(named, [(1, "across"), (2, "along")]);
    let fault = results_of(Readings::GearStages, &cells(&[&["4.5", ""]]))
        .unwrap()
        .unwrap_err();
    assert_eq!((fault[0].row, fault[0].column), (0, "stage"));
    let fault = results_of(
        Readings::BearingMasses,
        &cells(&[&[], &["52", "51.9", "11", "11.5"]]),
    )
    .unwrap()
    .unwrap_err();
    assert_eq!((fault[0].row, fault[0].column), (1, "cage_after"));
}

#[test]
fn nothing_filled_says_nothing() {
    assert_eq!(
        results_of(Readings::FourBallWear, &cells(&[&["", " "], &[]])),
        None
    );
}

/// A sound filling of each kind of readings.
fn filled(readings: Readings) -> Vec<Vec<String>> {
    match readings {
        Readings::FourBallWear | Readings::BallOnDiscScar => cells(&[&["0.61", "0.63"]]),
        Readings::FourBallRunLog => cells(&[&["80", "0.40"], &["200", "weld"]]),
        Readings::LoadStepsLb => cells(&[&["30", "passed"]]),
        Readings::LoadStepsN => cells(&[&["100", "passed"]]),
        Readings::GearStages => cells(&[&["9", ""]]),
        Readings::BearingMasses => cells(&[&["52", "51.9", "11", "10.9"]]),
        Readings::RollerMasses => cells(&[&["52", "51.9"]]),
        Readings::AcidNumbers => cells(&[&["1000", "1.5"], &["1168", "2.5"]]),
        Readings::Pressures => cells(&[&["0", "1300"], &["300", "1100"]]),
        Readings::Viscosities => cells(&[&["20", "21"]]),
    }
}

#[test]
fn what_the_readings_of_every_method_give_is_a_value_of_one_of_its_quantities() {
    let mut count = 0;
    for method in crate::catalogue::built_in() {
        let Some(readings) = method.readings else { continue };
        let found = results_of(readings, &filled(readings)).unwrap().unwrap();
        for one in found.values {
            let quantity = method.quantity(one.quantity);
            let quantity = quantity.unwrap_or_else(|| panic!("{} scores no {}", method.id, one.quantity));
            let cells = ValueCells {
                value: &one.text,
                unit: one.unit,
                ..ValueCells::default()
            };
            let read = crate::intake::read_result(&cells, &Bounds::of(method, quantity, ""), Purpose::Test);
            assert!(matches!(read, Ok(Some(_))), "{}: {read:?}", method.id);
        }
        count += 1;
    }
    assert_eq!(count, 21);
}

#[test]
fn a_run_log_gives_its_weld_load_and_says_why_an_index_is_missing() {
    let rows: &[&[&str]] = &[&["80", "0.40"], &["200", "2.4"], &["250", "Weld"]];
    let found = results_of(Readings::FourBallRunLog, &cells(rows))
        .unwrap()
        .unwrap();
    assert!(
        found
            .values
            .iter()
            .any(|one| one.quantity == "weld" && one.text == "250"),
        "{found:?}"
    );
    assert!(found.remarks[0].starts_with("no load-wear index: "), "{found:?}");
    let open = results_of(Readings::FourBallRunLog, &cells(&[&["80", "0.40"]]))
        .unwrap()
        .unwrap();
    assert!(
        open.values
            .iter()
            .any(|one| one.quantity == "weld" && one.text == ">80"),
        "{open:?}"
    );
    let fault = results_of(Readings::FourBallRunLog, &cells(&[&["80", "fused"]]))
        .unwrap()
        .unwrap_err();
    assert_eq!((fault[0].row, fault[0].column), (0, "scar"));
}

#[test]
fn a_copied_method_and_a_copy_of_it_are_read_as_the_first_one_was() {
    for method in crate::catalogue::built_in() {
        let copied = |original: &Method, id: &str| {
            let draft = MethodDraft {
                id: id.to_string(),
                title: format!("Our own, {id}"),
                ..copy_of(original)
            };
            read_copy(&draft, original, method.id.as_str()).method.unwrap()
        };
        let copy = copied(method, "own_copy");
        let again = copied(&copy, "own_copy_2");
        assert_eq!(
            (copy.readings, again.readings),
            (method.readings, method.readings),
            "{}",
            method.id
        );
    }
}
