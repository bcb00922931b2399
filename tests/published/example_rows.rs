//! The rows of `stats_examples.csv`, the data that they name, and the rows whose quantity the program does not compute.

use std::collections::BTreeMap;

/// A row by its columns: every one carries its source, and whether it was seen or recomputed.
pub type Row = BTreeMap<String, String>;

/// Rows that are left out, with why and how many.
struct Dropped {
    why: &'static str,
    rows: usize,
    holds: fn(id: &str, quantity: &str) -> bool,
}

const DROPPED: [Dropped; 9] = [
    Dropped {
        why: "limits of one side",
        rows: 16,
        holds: |id, _| id.starts_with("b2") && (id.ends_with(",one") || id.ends_with(",ones")),
    },
    Dropped {
        why: "variance between groups, its F and R squared: scatter within groups alone is computed",
        rows: 6,
        holds: |id, quantity| id.starts_with("b7") && ["between SS", "F", "R squared"].contains(&quantity),
    },
    Dropped {
        why: "desirabilities and clipped values, of an earlier design",
        rows: 24,
        holds: |id, _| id.starts_with('c'),
    },
    Dropped {
        why: "first places on stored draws, which are not here",
        rows: 9,
        holds: |id, _| id.starts_with("d1") || id == "d3",
    },
    Dropped {
        why: "rank correlations",
        rows: 2,
        holds: |id, _| id == "e4" || id == "e5",
    },
    Dropped {
        why: "values of information in closed form: the program's stand on a grid, with laws of their own",
        rows: 11,
        holds: |id, _| id.starts_with('f'),
    },
    Dropped {
        why: "tests of a single outlier: runs of a cell are judged by their range",
        rows: 11,
        holds: |id, _| id.starts_with("h1") || id.starts_with("h2"),
    },
    Dropped {
        why: "averages of cells, their scatter, and scatter between laboratories",
        rows: 30,
        holds: |id, quantity| id.starts_with("h3") && quantity != "sr",
    },
    Dropped {
        why: "h and k of laboratories",
        rows: 12,
        holds: |id, _| id.starts_with("h4") || id.starts_with("h5"),
    },
];

/// Every row of the file.
pub fn all_rows() -> Vec<Row> {
    let mut reader = csv::Reader::from_reader(include_str!("stats_examples.csv").as_bytes());
    reader.deserialize().map(Result::unwrap).collect()
}

/// Whether the program does not compute a row's quantity.
pub fn is_dropped(row: &Row) -> bool {
    DROPPED
        .iter()
        .any(|dropped| (dropped.holds)(&row["id"], &row["expected_quantity"]))
}

/// The rows that are computed whose id begins with one of these letters.
pub fn rows_of(letters: &[char]) -> Vec<Row> {
    let mut rows = all_rows();
    rows.retain(|row| row["id"].starts_with(letters) && !is_dropped(row));
    rows
}

/// The text of a data file by its name in a row; `None` where the row names none.
pub fn data(name: &str) -> Option<&'static str> {
    Some(match name {
        "data/dunnett_blood.csv" => include_str!("data/dunnett_blood.csv"),
        "data/dunnett_fabric.csv" => include_str!("data/dunnett_fabric.csv"),
        "data/dunnett_mucociliary.csv" => include_str!("data/dunnett_mucociliary.csv"),
        "data/e691_glucose.csv" => include_str!("data/e691_glucose.csv"),
        "data/interval_normal.csv" => include_str!("data/interval_normal.csv"),
        "data/locomotive_lognormal.csv" => include_str!("data/locomotive_lognormal.csv"),
        "data/nist_ewma.csv" => include_str!("data/nist_ewma.csv"),
        "data/nist_individuals.csv" => include_str!("data/nist_individuals.csv"),
        "data/strd_SiRstv.csv" => include_str!("data/strd_SiRstv.csv"),
        "data/weibull_km20.csv" => include_str!("data/weibull_km20.csv"),
        "data/weibull_lz.csv" => include_str!("data/weibull_lz.csv"),
        "data/weibull_lz100.csv" => include_str!("data/weibull_lz100.csv"),
        _ => return None,
    })
}

/// Each list of rows that are left out holds as many as it says, and no row stands on two.
#[test]
fn the_rows_that_are_left_out_are_these() {
    let rows = all_rows();
    for dropped in &DROPPED {
        let found = rows
            .iter()
            .filter(|row| (dropped.holds)(&row["id"], &row["expected_quantity"]));
        assert_eq!(found.count(), dropped.rows, "{}", dropped.why);
    }
    let left_out: usize = DROPPED.iter().map(|dropped| dropped.rows).sum();
    assert_eq!(
        (rows.len(), rows.iter().filter(|row| is_dropped(row)).count()),
        (315, left_out)
    );
}
