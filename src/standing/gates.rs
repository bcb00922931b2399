//! Requirements that are not weighed but must be met.

use crate::catalogue::{PrecisionKind, Quantity, Use, Value};
use crate::records::{GateOutcome, Limit, Role};
use crate::standing::GateStanding;
use crate::standing::evidence::{Cell, Evidence};
use crate::stats::precision::DIFFERENCE_95;

/// What each gate says of each candidate.
pub(crate) fn judge(evidence: &[Evidence]) -> Vec<GateStanding> {
    let gates = evidence
        .iter()
        .filter(|evidence| evidence.test.used_to == Use::Gate);
    gates.flat_map(of_test).collect()
}

fn of_test(evidence: &Evidence) -> Vec<GateStanding> {
    let limit = Limit::parse(&evidence.test.limit, evidence.quantity).ok();
    let candidates = evidence.cells.iter().filter(|cell| cell.role == Role::Candidate);
    candidates
        .map(|cell| GateStanding {
            key: evidence.key().clone(),
            label: evidence.quantity.label.clone(),
            standard: evidence.method.standard.clone(),
            limit: evidence.test.limit.clone(),
            blend: cell.blend.clone(),
            results: results(cell),
            unit: evidence.quantity.unit,
            on_the_wrong_side: limit.as_ref().is_some_and(|limit| {
                let results = cell.results.iter().map(|result| &result.value);
                limit.mean_fails(results, evidence.quantity)
            }),
            outcome: limit.as_ref().map_or(GateOutcome::NotRun, |limit| {
                outcome(cell, limit, evidence.quantity)
            }),
        })
        .collect()
}

fn outcome(cell: &Cell, limit: &Limit, quantity: &Quantity) -> GateOutcome {
    if !cell.stopped.is_empty() {
        return GateOutcome::Fail;
    }
    let values: Vec<&Value> = cell.results.iter().map(|result| &result.value).collect();
    limit.judge(&values, quantity, scatter_of_mean(&values, quantity))
}

/// Half width within which the mean of the runs cannot be told from the limit, 95 %, in the quantity's unit.
fn scatter_of_mean(values: &[&Value], quantity: &Quantity) -> Option<f64> {
    let precision = quantity.precision.as_ref()?;
    let readings: Vec<f64> = values
        .iter()
        .filter_map(|value| match value {
            Value::Exact(reading) => Some(*reading),
            _ => None,
        })
        .collect();
    let n = readings.len() as f64;
    let mean = readings.iter().sum::<f64>() / n;
    let repeatability = match precision.kind {
        PrecisionKind::Constant => precision.repeatability,
        PrecisionKind::PerCent => precision.repeatability * mean / 100.0,
        PrecisionKind::Steps => return None,
    };
    (n > 0.0).then(|| 1.96 * repeatability / DIFFERENCE_95 / n.sqrt())
}

/// What was measured, in order; neighbours that are alike once.
fn results(cell: &Cell) -> Vec<Value> {
    let mut values: Vec<Value> = cell.results.iter().map(|result| result.value.clone()).collect();
    values.dedup();
    values
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::records::TestKey;
    use crate::support::trials::a_against_b;

    #[test]
    fn the_scatter_of_a_mean_falls_with_the_root_of_the_number_of_runs() {
        let records = a_against_b(&["rolling wear"], &[]).wear_bench().build();
        let (_, quantity) = records.test(&TestKey::parse("bench/wear").unwrap()).unwrap();
        let value = Value::Exact(0.5);
        // r = 0.1 mm: 1.96 r / 2.77 = 0.0707 mm for one run
        for (runs, half_width) in [(1, 0.070_711), (4, 0.035_355), (9, 0.023_570)] {
            let scatter = scatter_of_mean(&vec![&value; runs], quantity).unwrap();
            assert!((scatter - half_width).abs() < 1e-5, "{runs}: {scatter}");
        }
        assert_eq!(scatter_of_mean(&[], quantity), None);
    }
}
