use super::*;

fn cells(rows: &[&[&str]]) -> Vec<Vec<String>> {
    let row = |row: &&[&str]| row.iter().map(ToString::to_string).collect();
    rows.iter().map(row).collect()
}

fn texts(method: &str, rows: &[&[&str]]) -> Vec<String> {
    let found = results_of(method, &cells(rows)).unwrap().unwrap();
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
    let found = results_of("fb_wear_oil_B", &cells(rows)).unwrap().unwrap();
    assert!(found.remarks[0].starts_with("ball 3 reads 0.72 mm"));
}

#[test]
fn loads_and_stages_become_intervals_and_bounds_never_numbers() {
    assert_eq!(
        texts("bor_oil", &[&["30", "passed"], &["40", "failed"]]),
        ["ok_load pass 30 / fail 40 lb"]
    );
    assert_eq!(texts("bor_oil", &[&["30", "passed"]]), ["ok_load >30 lb"]);
    assert_eq!(texts("lo_oil_ep", &[&["100", "failed"]]), ["pass_load <100 N"]);
    assert_eq!(
        texts("gear_A8", &[&["9", ""], &["10", "12; 8"]]),
        ["fail_stage 10 stage"]
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
        "fb_wear_oil_B",
        &cells(&[&["", ""], &["0.6", "wide"], &["", "0.5"]]),
    )
    .unwrap()
    .unwrap_err();
    let named: Vec<(usize, &str)> = faults.iter().map(|fault| (fault.row, fault.column)).collect();
    assert_eq!(named, [(1, "across"), (2, "along")]);
    let fault = results_of("gear_A8", &cells(&[&["4.5", ""]]))
        .unwrap()
        .unwrap_err();
    assert_eq!((fault[0].row, fault[0].column), (0, "stage"));
    let fault = results_of("rb_oil", &cells(&[&[], &["52", "51.9", "11", "11.5"]]))
        .unwrap()
        .unwrap_err();
    assert_eq!((fault[0].row, fault[0].column), (1, "cage_after"));
}

#[test]
fn nothing_filled_says_nothing_and_other_methods_have_no_table() {
    assert_eq!(results_of("fb_wear_oil_B", &cells(&[&["", " "], &[]])), None);
    assert_eq!(results_of("cu_d130", &cells(&[&["1"]])), None);
    assert_eq!(table_of("rust_d665"), None);
}

#[test]
fn every_table_belongs_to_a_method_of_the_catalogue_and_gives_its_quantities() {
    let given = [
        "scar",
        "ok_load",
        "pass_load",
        "fail_stage",
        "roller_wear",
        "life",
        "time",
        "kv100_increase",
        "weld",
    ];
    let with_table = crate::catalogue::built_in()
        .iter()
        .filter(|method| table_of(&method.id).is_some());
    let mut count = 0;
    for method in with_table {
        let known = method
            .quantities
            .iter()
            .any(|quantity| given.contains(&quantity.id.as_str()));
        assert!(known, "{}", method.id);
        count += 1;
    }
    assert_eq!(count, 21);
}

#[test]
fn a_run_log_gives_its_weld_load_and_says_why_an_index_is_missing() {
    let rows: &[&[&str]] = &[&["80", "0.40"], &["200", "2.4"], &["250", "Weld"]];
    let found = results_of("fb_ep_oil", &cells(rows)).unwrap().unwrap();
    assert!(
        found
            .values
            .iter()
            .any(|one| one.quantity == "weld" && one.text == "250"),
        "{found:?}"
    );
    assert!(found.remarks[0].starts_with("no load-wear index: "), "{found:?}");
    let open = results_of("fb_ep_oil", &cells(&[&["80", "0.40"]]))
        .unwrap()
        .unwrap();
    assert!(
        open.values
            .iter()
            .any(|one| one.quantity == "weld" && one.text == ">80"),
        "{open:?}"
    );
    let fault = results_of("fb_ep_oil", &cells(&[&["80", "fused"]]))
        .unwrap()
        .unwrap_err();
    assert_eq!((fault[0].row, fault[0].column), (0, "scar"));
}
