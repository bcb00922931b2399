//! Weibull fits against published and recomputed numbers: every row of `tests/published/stats_examples.csv` under i, its source
//! and whether it was seen or recomputed in the row, its data beside it.
#![expect(
    clippy::unwrap_used,
    reason = "a row that cannot be read or computed is a failed test"
)]

use crate::example_rows::{Row, data, rows_of};
use likewear::facade::stats::weibull::{Life, LifeEnd, Lives, WeibullFit};

fn life(time: &str, event: &str) -> Life {
    let end = match event {
        "1" => LifeEnd::Failed,
        "0" => LifeEnd::Stopped,
        other => panic!("event '{other}'"),
    };
    Life {
        time: time.parse().unwrap(),
        end,
    }
}

/// The sample of a row: a file, or lists as `t=[11.0, 14.0] event=[1, 0]`; without events all are failures.
fn sample(inputs: &str) -> Vec<Life> {
    if let Some(file) = data(inputs) {
        let mut reader = csv::Reader::from_reader(file.as_bytes());
        let rows: Vec<Row> = reader.deserialize().map(Result::unwrap).collect();
        return rows.iter().map(|row| life(&row["time"], &row["event"])).collect();
    }
    let list = |name: &str| -> Vec<String> {
        let found = inputs.split_once(&format!("{name}=["));
        let inside = found.map_or("", |(_, rest)| rest.split(']').next().unwrap());
        let cells = inside.split(',').map(|cell| cell.trim().to_string());
        cells.filter(|cell| !cell.is_empty()).collect()
    };
    let (times, events) = (list("t"), list("event"));
    let event = |place: usize| events.get(place).map_or("1", String::as_str);
    let lives = times.iter().enumerate();
    lives.map(|(place, time)| life(time, event(place))).collect()
}

fn value(fit: &WeibullFit, quantity: &str) -> f64 {
    match quantity.trim() {
        "shape" => fit.shape,
        "scale" => fit.scale,
        "1/scale" => 1.0 / fit.scale,
        "log-likelihood" => fit.log_likelihood,
        "median" => fit.median(),
        "10 % life" => fit.quantile(0.1),
        other => panic!("no quantity '{other}'"),
    }
}

#[test]
fn every_published_fit_is_reproduced() {
    let mut checked = 0;
    for row in rows_of(&['i']) {
        let lives = Lives::new(&sample(&row["inputs"])).unwrap();
        let fit = if row["method"].contains("shape fixed 2") {
            lives.fit_with_shape(2.0).unwrap()
        } else {
            lives.fit().unwrap()
        };
        let tolerance: f64 = row["tolerance"].trim_end_matches(" rel").parse().unwrap();
        // Some rows give two numbers, parted by a slash between blanks.
        let quantities = row["expected_quantity"].split(" / ");
        for (quantity, wanted) in quantities.zip(row["value"].split(" / ")) {
            let (found, wanted) = (value(&fit, quantity), wanted.trim().parse::<f64>().unwrap());
            let off = (found / wanted - 1.0).abs();
            assert!(
                off <= tolerance,
                "{} {quantity}: {found}, not {wanted}",
                row["id"]
            );
            checked += 1;
        }
    }
    assert_eq!(checked, 26);
}
