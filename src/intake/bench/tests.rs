use super::*;
use crate::catalogue::{Bounds, Method, built_in_method};
use crate::intake::{MethodDraft, ValueCells, copy_of, read_copy};
use crate::records::Purpose;

fn cells(rows: &[&[&str]]) -> Vec<Vec<String>> {
    let row = |row: &&[&str]| row.iter().map(ToString::to_string).collect();
    rows.iter().map(row).collect()
}

fn of(method: &str, rows: &[&[&str]]) -> Result<FromBench, Vec<BenchFault>> {
    results_of(built_in_method(method).unwrap(), &cells(rows)).unwrap()
}

fn texts(method: &str, rows: &[&[&str]]) -> Vec<String> {
    let found = of(method, rows).unwrap();
    found
        .values
        .iter()
        .map(|one| format!("{} {} {}", one.quantity, one.text, one.unit))
        .collect()
}

#[test]
fn six_scars_give_one_mean_with_a_comma_too_and_name_the_ball_that_is_apart() {
    let rows: &[&[&str]] = &[&["0,61", "0.63"], &["0.63", "0.65"], &["0.70", "0.74"]];
    assert_eq!(texts("fb_wear_oil_B", rows), ["scar 0.66 mm"]);
    let found = results_of(built_in_method("fb_wear_oil_B").unwrap(), &cells(rows))
        .unwrap()
        .unwrap();
    assert!(found.remarks[0].starts_with("ball 3 reads 0.72 mm"));
}

/// The four-ball wear method for oils accepts 0.04 mm (from memory).
#[test]
fn a_ball_is_apart_beyond_0_04_mm_from_the_mean() {
    for (third, apart) in [("0.659", false), ("0.66", false), ("0.661", true)] {
        // the mean of all stays 0.62 mm
        let first = format!("{}", 1.24 - third.parse::<f64>().unwrap());
        let rows: &[&[&str]] = &[&[&first, &first], &["0.62", "0.62"], &[third, third]];
        let found = results_of(built_in_method("fb_wear_oil_B").unwrap(), &cells(rows))
            .unwrap()
            .unwrap();
        assert_eq!(found.remarks.len(), if apart { 2 } else { 0 }, "{third}");
    }
}

#[test]
fn loads_and_stages_become_intervals_and_bounds_never_numbers() {
    assert_eq!(
        texts("bor_oil", &[&["30", "passed"], &["40", "failed"]]),
        ["ok_load pass 30 / fail 40 lb"]
    );
    assert_eq!(texts("bor_oil", &[&["30", "passed"]]), ["ok_load >30 lb"]);
    assert_eq!(texts("lo_grease_ep", &[&["100", "failed"]]), ["pass_load <100 N"]);
    assert_eq!(
        texts("gear_A8", &[&["9", ""], &["10", "12; 8"]]),
        ["fail_stage pass 9 / fail 10 stage"]
    );
    assert_eq!(texts("gear_A8", &[&["12", "1.5"]]), ["fail_stage >12 stage"]);
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
    assert_eq!(texts("rb_oil", rows), expected);
}

#[test]
fn a_loss_is_a_number_from_the_milligram_that_the_balance_shows() {
    for (before, expected) in [("52.0009", "<1"), ("52.0010", "1"), ("52.0011", "1.1")] {
        let found = texts("rb_oil", &[&[before, "52.0000", "11.0", "10.9"]]);
        assert_eq!(found[0], format!("roller_wear {expected} mg"), "{before}");
    }
}

/// ASTM D2272 ends the test at a pressure drop of 175 kPa; ASTM D943 the life at an acid number of 2 mg KOH/g.
#[test]
fn a_test_of_ageing_ends_on_its_limit() {
    for (pressure, expected) in [("1126", ">10"), ("1125", "10"), ("1124", "9.943")] {
        let found = texts("ox_d2272", &[&["0", "1300"], &["10", pressure]]);
        assert!(found[0].starts_with(&format!("time {expected}")), "{found:?}");
    }
    for (acid, expected) in [("1.9", ">100"), ("2.0", "100"), ("3.0", "50")] {
        let found = texts("ox_d943", &[&["0", "1.0"], &["100", acid]]);
        assert!(found[0].starts_with(&format!("life {expected}")), "{found:?}");
    }
}

#[test]
fn ageing_gives_a_life_or_a_bound() {
    assert_eq!(
        texts("ox_d943", &[&["1000", "1.5"], &["1168", "2.5"]]),
        ["life 1084 h"]
    );
    assert_eq!(
        texts("ox_d943", &[&["1000", "1.5"], &["1168", "1.7"]]),
        ["life >1168 h"]
    );
    assert_eq!(
        texts("ox_d2272", &[&["0", "1300"], &["300", "1200"], &["320", "1100"]]),
        ["time 315 min"]
    );
    assert_eq!(texts("ox_d2893", &[&["20", "21.2"]]), ["kv100_increase 6 %"]);
}

#[test]
fn every_cell_that_cannot_be_used_is_named_with_its_row_and_column() {
    let faults = results_of(
        built_in_method("fb_wear_oil_B").unwrap(),
        &cells(&[&["", ""], &["0.6", "wide"], &["", "0.5"]]),
    )
    .unwrap()
    .unwrap_err();
    let named: Vec<(usize, &str)> = faults.iter().map(|fault| (fault.row, fault.column)).collect();
    assert_eq!(named, [(1, "across"), (2, "along")]);
    let fault = results_of(built_in_method("gear_A8").unwrap(), &cells(&[&["4.5", ""]]))
        .unwrap()
        .unwrap_err();
    assert_eq!((fault[0].row, fault[0].column), (0, "stage"));
    let fault = results_of(
        built_in_method("rb_oil").unwrap(),
        &cells(&[&[], &["52", "51.9", "11", "11.5"]]),
    )
    .unwrap()
    .unwrap_err();
    assert_eq!((fault[0].row, fault[0].column), (1, "cage_after"));
}

#[test]
fn nothing_filled_says_nothing() {
    assert_eq!(
        results_of(
            built_in_method("fb_wear_oil_B").unwrap(),
            &cells(&[&["", " "], &[]])
        ),
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
        let found = results_of(method, &filled(readings)).unwrap().unwrap();
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
    let found = results_of(built_in_method("fb_ep_oil").unwrap(), &cells(rows))
        .unwrap()
        .unwrap();
    assert!(
        found
            .values
            .iter()
            .any(|one| one.quantity == "weld" && one.text == "pass 200 / fail 250"),
        "{found:?}"
    );
    assert!(found.remarks[0].starts_with("no load-wear index: "), "{found:?}");
    let open = results_of(built_in_method("fb_ep_oil").unwrap(), &cells(&[&["80", "0.40"]]))
        .unwrap()
        .unwrap();
    assert!(
        open.values
            .iter()
            .any(|one| one.quantity == "weld" && one.text == ">80"),
        "{open:?}"
    );
    let fault = results_of(built_in_method("fb_ep_oil").unwrap(), &cells(&[&["80", "fused"]]))
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

/// The values of a log of loads with their scars, or the weld.
fn run_log(rows: &[&[&str]]) -> Vec<String> {
    let mut found = texts("fb_ep_oil", rows);
    found.retain(|text| !text.starts_with("lwi"));
    found
}

#[test]
fn a_log_claims_no_load_that_was_not_run() {
    let rows: &[&[&str]] = &[&["80", "0.40"], &["200", "2.4"], &["400", "weld"]];
    assert_eq!(
        run_log(rows),
        ["weld pass 200 / fail 400 kgf", "lnsl pass 80 / fail 200 kgf"]
    );
    // the first load that was run failed
    assert_eq!(run_log(&[&["400", "weld"]]), ["weld <400 kgf"]);
    assert_eq!(
        run_log(&[&["100", "2.0"], &["400", "weld"]]),
        ["weld pass 100 / fail 400 kgf", "lnsl <100 kgf"]
    );
    assert_eq!(run_log(&[&["80", "0.40"]]), ["weld >80 kgf", "lnsl >80 kgf"]);
    assert_eq!(
        texts("gear_A8", &[&["8", ""], &["10", "12; 8"]]),
        ["fail_stage pass 8 / fail 10 stage"]
    );
    assert_eq!(texts("gear_A8", &[&["10", "12; 8"]]), ["fail_stage <10 stage"]);
}

#[test]
fn a_log_whose_runs_disagree_at_one_load_reaches_to_the_loads_next_to_it() {
    let twice: &[&[&str]] = &[&["200", "0.8"], &["250", "1.2"], &["250", "weld"]];
    assert_eq!(run_log(twice)[0], "weld pass 200 / fail 315 kgf");
    let found = of("fb_ep_oil", twice).unwrap();
    assert!(
        found.remarks[0].contains("disagree at 250 kgf"),
        "{:?}",
        found.remarks
    );
    let above: &[&[&str]] = &[
        &["200", "0.8"],
        &["250", "1.2"],
        &["250", "weld"],
        &["400", "weld"],
    ];
    assert_eq!(run_log(above)[0], "weld pass 200 / fail 400 kgf");
    let both: &[&[&str]] = &[&["30", "passed"], &["40", "passed"], &["40", "failed"]];
    assert_eq!(texts("bor_oil", both), ["ok_load pass 30 / fail 45 lb"]);
    // a scar above a load that welded is a misreading
    let fault = of("fb_ep_oil", &[&["250", "weld"], &["315", "1.2"]]).unwrap_err();
    assert_eq!((fault[0].row, fault[0].column), (1, "scar"));
}

/// ASTM D2783, from memory: where balls do not weld, a mean scar of 4 mm is the weld point.
#[test]
fn a_scar_of_4_mm_counts_as_the_weld_point() {
    for (scar, weld) in [
        ("3.99", "weld >400 kgf"),
        ("4.00", "weld pass 315 / fail 400 kgf"),
        ("4.01", "weld pass 315 / fail 400 kgf"),
    ] {
        let rows: &[&[&str]] = &[&["315", "2.4"], &["400", scar]];
        assert_eq!(run_log(rows)[0], weld, "{scar}");
        let remarks = of("fb_ep_oil", rows).unwrap().remarks.concat();
        assert_eq!(
            remarks.contains("counts as the weld point"),
            scar != "3.99",
            "{remarks}"
        );
    }
    let fault = of("fb_ep_oil", &[&["315", "4.2"], &["400", "2.4"]]).unwrap_err();
    assert_eq!((fault[0].row, fault[0].column), (1, "scar"));
}

#[test]
fn a_pressure_in_bar_is_refused_with_the_slip() {
    let fault = of("ox_d2272", &[&["0", "6.2"], &["30", "13"]]).unwrap_err();
    assert!(
        fault[0].problem.contains("read in bar it would be 620 kPa"),
        "{fault:?}"
    );
    for (pressure, is_sound) in [("99", false), ("100", true), ("3000", true), ("3001", false)] {
        assert_eq!(
            of("ox_d2272", &[&["0", pressure], &["30", "1300"]]).is_ok(),
            is_sound,
            "{pressure}"
        );
    }
}
