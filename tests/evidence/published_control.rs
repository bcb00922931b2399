//! Control charts against published and recomputed numbers. `tests/published/stats_examples.csv` carries source and
//! mark of every number, under g; the data are the two NIST series beside it (NIST/SEMATECH e-Handbook of Statistical Methods,
//! 6.3.2.2 and 6.3.2.4; the weighted-mean values seen as quoted in public test suites).

#![expect(
    clippy::unwrap_used,
    reason = "a row that cannot be read or computed is a failed test"
)]

use crate::example_rows::{data, rows_of};
use likewear::facade::stats::control::{
    EWMA_LAMBDA, Limits, MEAN_RANGE_OF_TWO, Rule, Signal, ewma, ewma_half_width, run_rules,
};

struct Row {
    id: String,
    inputs: String,
    value: String,
    tolerance: f64,
    source: String,
}

fn rows() -> Vec<Row> {
    let row = |row: crate::example_rows::Row| Row {
        id: row["id"].clone(),
        inputs: row["inputs"].clone(),
        value: row["value"].clone(),
        tolerance: tolerance(&row["tolerance"]),
        source: row["source"].clone(),
    };
    rows_of(&['g']).into_iter().map(row).collect()
}

/// The run rules are exact.
fn tolerance(text: &str) -> f64 {
    if text == "exact" {
        0.0
    } else {
        text.parse().unwrap()
    }
}

/// The first column of a data file.
fn series(text: &str) -> Vec<f64> {
    let first = |line: &str| line.split(',').next().unwrap().parse().unwrap();
    text.lines().skip(1).map(first).collect()
}

fn individuals() -> Vec<f64> {
    series(data("data/nist_individuals.csv").unwrap())
}

fn weighted() -> Vec<f64> {
    series(data("data/nist_ewma.csv").unwrap())
}

/// The standard deviation that the handbook's weighted-mean example states.
const HANDBOOK_SD: f64 = 2.0539;
/// Readings after which the limits have reached their end value.
const LONG: u32 = 10_000;

/// The number that the program gives for a row; `None` where the row is no single number.
fn computed(id: &str) -> Option<f64> {
    let limits = Limits::of_individuals(&individuals()).unwrap();
    let mean_range = limits.sd * MEAN_RANGE_OF_TWO;
    let last = |series: Vec<f64>| *series.last().unwrap();
    Some(match id {
        "g1r" => last(ewma(&weighted(), 0.3, 50.0)),
        "g2UCL" | "g2rUCL" => 50.0 + ewma_half_width(HANDBOOK_SD, 0.3, LONG),
        "g2LCL" | "g2rLCL" => 50.0 - ewma_half_width(HANDBOOK_SD, 0.3, LONG),
        "g3mean" | "g3rmean" => limits.centre,
        "g3mean_moving_range" | "g3rmean_moving_range" => mean_range,
        "g3UCL_(3/1.128)" | "g3rUCL_(3/1.128)" => limits.centre + 3.0 * limits.sd,
        "g3LCL_(3/1.128)" | "g3rLCL_(3/1.128)" => limits.centre - 3.0 * limits.sd,
        "g4" => limits.upper(),
        "g5" => limits.moving_range,
        "g6" => last(ewma(&individuals(), EWMA_LAMBDA, individuals()[0])),
        "g7" => ewma_half_width(limits.sd, EWMA_LAMBDA, LONG),
        _ => return None,
    })
}

#[test]
fn limits_and_weighted_means_are_the_published_ones() {
    let mut checked = 0;
    for row in rows() {
        let Some(value) = computed(&row.id) else { continue };
        let expected: f64 = row.value.parse().unwrap();
        assert!(
            (value - expected).abs() <= row.tolerance,
            "{}: {value}, expected {expected} ({})",
            row.id,
            row.source
        );
        checked += 1;
    }
    assert_eq!(checked, 17);
}

#[test]
fn the_weighted_mean_follows_the_published_series() {
    let row = rows().into_iter().find(|row| row.id == "g1").unwrap();
    let expected: Vec<f64> = row
        .value
        .split(' ')
        .map(|number| number.parse().unwrap())
        .collect();
    let found = ewma(&weighted(), 0.3, 50.0);
    assert_eq!(found.len(), expected.len());
    for (found, expected) in found.iter().zip(expected) {
        assert!(
            (found - expected).abs() <= row.tolerance + 1e-9,
            "{found} {expected} ({})",
            row.source
        );
    }
}

#[test]
fn the_run_rules_fire_where_the_worked_sequences_say() {
    let at = |index: usize, rule: Rule| Signal {
        index: index - 1,
        rule,
    };
    let mut checked = 0;
    for row in rows() {
        let expected = match row.value.as_str() {
            "rule1 at 3" => vec![at(3, Rule::BeyondLimits)],
            "rule2 (2 of 3 beyond 2 sd same side) at 3" => vec![at(3, Rule::TwoOfThree)],
            "rule3 (4 of 5 beyond 1 sd same side) at 5" => vec![at(5, Rule::FourOfFive)],
            "rule4 (8 on one side) at 8" => vec![at(8, Rule::EightOnOneSide)],
            "rule2 at 2 and 3; rule1 never: strict inequality" => {
                vec![at(2, Rule::TwoOfThree), at(3, Rule::TwoOfThree)]
            }
            none if none.starts_with("none") => Vec::new(),
            _ => continue,
        };
        let places = row.inputs.strip_prefix("z = ").unwrap();
        let places: Vec<f64> = places.split(' ').map(|number| number.parse().unwrap()).collect();
        assert_eq!(run_rules(&places), expected, "{} ({})", row.id, row.source);
        checked += 1;
    }
    assert_eq!(checked, 7);
}

#[test]
fn every_row_of_the_table_is_used() {
    let used = |row: &Row| row.id == "g1" || row.id.starts_with("g8") || computed(&row.id).is_some();
    assert!(rows().iter().all(used));
    assert_eq!(rows().len(), 25);
}
