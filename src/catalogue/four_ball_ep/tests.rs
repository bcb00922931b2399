//! Run logs with invented scars; the table is held to `tests/published/astm_d2783_table_1.csv` (from memory, source per row).

use super::*;

fn log(scars: &[(f64, f64)], weld: Option<f64>) -> Vec<Run> {
    let scar = |(load_kgf, scar): &(f64, f64)| Run {
        load_kgf: *load_kgf,
        outcome: Outcome::Scar(*scar),
    };
    let mut runs: Vec<Run> = scars.iter().map(scar).collect();
    runs.extend(weld.map(|load_kgf| Run {
        load_kgf,
        outcome: Outcome::Weld,
    }));
    runs
}

/// Invented scars, not a real oil; corrected loads and index computed by hand from the definition.
const WORKED: [(f64, f64); 10] = [
    (20.0, 0.27),
    (24.0, 0.28),
    (32.0, 0.31),
    (40.0, 0.33),
    (50.0, 0.36),
    (63.0, 0.39),
    (80.0, 1.50),
    (100.0, 1.80),
    (126.0, 2.10),
    (160.0, 2.40),
];

#[test]
fn a_whole_log_gives_all_three_results() {
    let result = evaluate(&log(&WORKED, Some(200.0))).unwrap();
    assert_eq!(result.last_non_seizure_kgf, Ok(63.0));
    assert_eq!(result.weld_kgf, Ok(200.0));
    let corrected = [
        17.55, 21.58, 28.61, 36.19, 44.67, 56.11, 20.06, 22.51, 26.26, 31.60,
    ];
    for (level, wanted) in result.levels.iter().zip(corrected) {
        assert!((level.corrected_kgf - wanted).abs() < 0.006, "{level:?}");
    }
    assert!((result.load_wear_index_kgf.unwrap() - 30.51).abs() < 0.01);
}

#[test]
fn the_table_is_that_of_the_published_rows() {
    let text = include_str!("../../../tests/published/astm_d2783_table_1.csv");
    let mut loads = Vec::new();
    for row in csv::Reader::from_reader(text.as_bytes()).records() {
        let row = row.unwrap();
        let number = |column: usize| row[column].parse::<f64>().ok();
        let load = number(1).unwrap();
        let remembered = number(3).unwrap();
        assert!(
            (load * hertz_scar_mm(load) / remembered - 1.0).abs() < 0.003,
            "{load}"
        );
        let (scar, from) = compensation_scar_mm(load);
        match number(8) {
            Some(wanted) => assert_eq!((scar, from), (wanted, ScarFrom::CompensationLine)),
            None => assert_eq!(from, ScarFrom::StandIn),
        }
        loads.push(load);
    }
    assert_eq!(loads, ladder_kgf().collect::<Vec<_>>());
}

#[test]
fn the_stand_in_stays_within_a_hundredth_of_the_remembered_scars() {
    for load in ladder_kgf() {
        let (scar, from) = compensation_scar_mm(load);
        if from == ScarFrom::CompensationLine {
            assert!((0.0951 * load.powf(0.344) - scar).abs() < 0.01, "{load}");
        }
    }
}

#[test]
fn steps_not_run_below_the_last_non_seizure_load_take_the_compensation_line() {
    let short = evaluate(&log(&WORKED[5..], Some(200.0))).unwrap();
    let whole = evaluate(&log(&WORKED, Some(200.0))).unwrap();
    let index = short.load_wear_index_kgf.unwrap();
    assert!((index - whole.load_wear_index_kgf.unwrap()).abs() < 1e-9);
    let assumed = short
        .levels
        .iter()
        .filter(|level| level.scar_from == ScarFrom::CompensationLine);
    assert_eq!(assumed.count(), 5);
}

#[test]
fn a_step_not_run_above_the_last_non_seizure_load_leaves_no_index() {
    let mut scars = WORKED.to_vec();
    scars.remove(7);
    let result = evaluate(&log(&scars, Some(200.0))).unwrap();
    assert_eq!(result.load_wear_index_kgf, Err(Missing::NotRun(vec![100.0])));
    assert!(result.levels.iter().all(|level| level.in_index.is_none()));
    let seized = evaluate(&log(&[(126.0, 2.1), (160.0, 2.4)], Some(200.0))).unwrap();
    assert_eq!(
        seized.last_non_seizure_kgf,
        Err(Missing::SeizedFromTheStart(126.0))
    );
    assert!(matches!(seized.load_wear_index_kgf, Err(Missing::NotRun(steps)) if steps.len() == 8));
}

#[test]
fn without_a_weld_or_with_too_few_steps_there_is_no_index() {
    let open = evaluate(&log(&WORKED, None)).unwrap();
    assert_eq!(open.weld_kgf, Err(Missing::NoWeld(160.0)));
    assert_eq!(open.load_wear_index_kgf, Err(Missing::NoWeld(160.0)));
    let low = evaluate(&log(&WORKED[..2], Some(50.0))).unwrap();
    assert_eq!(low.load_wear_index_kgf, Err(Missing::FewSteps(9)));
    let only_weld = evaluate(&log(&[], Some(200.0))).unwrap();
    assert_eq!(only_weld.last_non_seizure_kgf, Err(Missing::NoScar));
}

#[test]
fn five_per_cent_over_the_line_is_the_limit_of_no_seizure() {
    let lnsl = |scar| {
        evaluate(&log(&[(63.0, 0.39), (80.0, scar)], None))
            .unwrap()
            .last_non_seizure_kgf
    };
    assert_eq!(lnsl(0.441), Ok(80.0));
    assert_eq!(lnsl(0.442), Ok(63.0));
}

#[test]
fn a_run_that_cannot_stand_is_named_with_what_is_wrong() {
    let fault = |runs: &[Run]| {
        let faults = evaluate(runs).unwrap_err();
        assert_eq!(faults.len(), 1, "{faults:?}");
        (faults[0].row, faults[0].problem)
    };
    assert_eq!(
        fault(&log(&[(40.0, 0.33), (0.0, 0.3)], None)),
        (1, RunProblem::Load)
    );
    assert_eq!(fault(&log(&[(f64::NAN, 0.3)], None)), (0, RunProblem::Load));
    assert_eq!(fault(&log(&[(40.0, 0.0)], None)), (0, RunProblem::Scar));
    assert_eq!(fault(&log(&[(40.0, f64::INFINITY)], None)), (0, RunProblem::Scar));
    let too_small = fault(&log(&[(100.0, 0.39)], None));
    assert!(matches!(too_small, (0, RunProblem::BelowUnworn(unworn)) if unworn > 0.4));
    // half of a reading of 0.01 mm below the unworn contact may be rounding
    let least = hertz_scar_mm(100.0) - 0.005;
    assert!(evaluate(&log(&[(100.0, least)], None)).is_ok());
    assert!(evaluate(&log(&[(100.0, least + 1e-9)], None)).is_ok());
    let below = fault(&log(&[(100.0, least - 1e-9)], None));
    assert!(matches!(below, (0, RunProblem::BelowUnworn(_))));
    let twice = log(&[(40.0, 0.33), (40.0, 0.34)], None);
    assert_eq!(fault(&twice), (1, RunProblem::SameLoad(0)));
    assert_eq!(
        fault(&log(&[(40.0, 0.33), (63.0, 0.39)], Some(50.0))),
        (1, RunProblem::Welded)
    );
}

#[test]
fn a_weld_may_be_confirmed_by_a_second_one_and_rows_may_stand_in_any_order() {
    let mut runs = log(&WORKED, Some(200.0));
    runs.push(runs[10]);
    runs.reverse();
    let result = evaluate(&runs).unwrap();
    assert_eq!(
        (result.weld_kgf, result.last_non_seizure_kgf),
        (Ok(200.0), Ok(63.0))
    );
    assert!((result.load_wear_index_kgf.unwrap() - 30.51).abs() < 0.01);
}

#[test]
fn a_load_within_half_a_per_cent_of_a_step_stands_for_it() {
    for (load_kgf, step) in [
        (198.99, None),
        (199.0, Some(200.0)),
        (200.0, Some(200.0)),
        (201.0, Some(200.0)),
        (201.01, None),
    ] {
        assert_eq!(step_kgf(load_kgf), step, "{load_kgf}");
    }
}
