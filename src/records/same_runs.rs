//! Rows that may be one run, written down twice: alike in all but a rig, a date or a number that one of them lacks.

use crate::catalogue::Value;
use crate::records::{RigId, RunResult};
use jiff::civil::Date;
use std::collections::BTreeMap;

/// Whether a row gives the number of its run; the first is meant where it does not.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum RunNumber {
    /// It does.
    Given,
    /// It does not.
    Missing,
}

/// What a row says of when and where it was run; `None`: whatever it is.
type Pattern<'r> = (
    Option<Option<u32>>,
    Option<Option<&'r RigId>>,
    Option<Option<Date>>,
);

/// For each row the first earlier row that may be the same run. Rows under one key are one run for sure, and no matter of
/// doubt.
pub fn same_runs(rows: &[(&RunResult, RunNumber)]) -> Vec<Option<usize>> {
    let mut groups: BTreeMap<_, Vec<usize>> = BTreeMap::new();
    for (at, (run, _)) in rows.iter().enumerate() {
        let alike = (
            &run.trial,
            &run.blend,
            &run.key,
            value_words(&run.value),
            &run.conditions,
            run.purpose.word(),
            run.source.word(),
        );
        groups.entry(alike).or_default().push(at);
    }
    let mut found = vec![None; rows.len()];
    let lacks = |at: &usize| {
        let (run, number) = rows[*at];
        number == RunNumber::Missing || run.rig.is_none() || run.date.is_none()
    };
    let doubtful = groups.values().filter(|group| group.iter().any(lacks));
    for group in doubtful {
        in_group(rows, group, &mut found);
    }
    found
}

fn in_group<'r>(rows: &[(&'r RunResult, RunNumber)], group: &[usize], found: &mut [Option<usize>]) {
    let mut seen: BTreeMap<Pattern<'r>, Vec<usize>> = BTreeMap::new();
    for &at in group {
        let (run, number) = rows[at];
        let mut earlier: Vec<usize> = asked_for(run, number)
            .iter()
            .flat_map(|pattern| seen.get(pattern).into_iter().flatten().copied())
            .filter(|other| rows[*other].0.run_key() != run.run_key())
            .collect();
        earlier.sort_unstable();
        found[at] = earlier.first().copied();
        for pattern in known_by(run, number) {
            let under = seen.entry(pattern).or_default();
            let is_new = |other: &usize| rows[*other].0.run_key() != run.run_key();
            // of two runs under other keys one is not that of a third
            if under.len() < 2 && under.iter().all(is_new) {
                under.push(at);
            }
        }
    }
}

/// The patterns under which a row is looked for: what it gives, or nothing in its place; what it lacks is anything.
fn asked_for(run: &RunResult, number: RunNumber) -> Vec<Pattern<'_>> {
    fn given_or_lacking<T: Copy>(given: Option<T>) -> Vec<Option<Option<T>>> {
        match given {
            Some(given) => vec![Some(Some(given)), Some(None)],
            None => vec![None],
        }
    }
    let number = (number == RunNumber::Given).then_some(run.replicate);
    let mut patterns = Vec::new();
    for number in given_or_lacking(number) {
        for rig in given_or_lacking(run.rig.as_ref()) {
            patterns.extend(
                given_or_lacking(run.date)
                    .into_iter()
                    .map(|date| (number, rig, date)),
            );
        }
    }
    patterns
}

/// The patterns that a row answers to.
fn known_by(run: &RunResult, number: RunNumber) -> Vec<Pattern<'_>> {
    let number = (number == RunNumber::Given).then_some(run.replicate);
    let mut patterns = Vec::new();
    for number in [Some(number), None] {
        for rig in [Some(run.rig.as_ref()), None] {
            patterns.extend([Some(run.date), None].map(|date| (number, rig, date)));
        }
    }
    patterns
}

/// A value in words that are the same for values which differ by the rounding of a conversion alone.
fn value_words(value: &Value) -> String {
    match value {
        Value::Exact(number) => format!("{number:.8e}"),
        Value::Between { lo, hi } => format!("{lo:.8e} to {hi:.8e}"),
        Value::Above(number) => format!(">{number:.8e}"),
        Value::Below(number) => format!("<{number:.8e}"),
        Value::Class(class) => class.clone(),
        Value::Stopped => "stopped".to_string(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::support::trials::a_against_b;

    /// Rig, date and number of runs of one blend that read alike.
    fn found(runs: &[(Option<&str>, Option<i8>, Option<u32>)]) -> Vec<Option<usize>> {
        let records = a_against_b(&["rolling wear"], &[])
            .wear_bench()
            .runs("A", "bench/wear", &["0.5"])
            .build();
        let one = records.results.last().unwrap();
        let rows: Vec<(RunResult, RunNumber)> = runs
            .iter()
            .map(|(rig, day, number)| {
                let run = RunResult {
                    rig: rig.and_then(RigId::new),
                    date: day.map(|day| jiff::civil::date(2026, 5, day)),
                    replicate: number.unwrap_or(1),
                    ..one.clone()
                };
                let number = number.map_or(RunNumber::Missing, |_| RunNumber::Given);
                (run, number)
            })
            .collect();
        same_runs(
            &rows
                .iter()
                .map(|(run, number)| (run, *number))
                .collect::<Vec<_>>(),
        )
    }

    #[test]
    fn a_run_that_lacks_a_rig_a_date_or_its_number_may_be_an_earlier_one() {
        let whole = (Some("R"), Some(1), Some(2));
        for lacking in [
            (None, Some(1), Some(2)),
            (Some("R"), None, Some(2)),
            (None, None, Some(2)),
            (Some("R"), Some(1), None),
            (None, None, None),
        ] {
            assert_eq!(found(&[whole, lacking]), [None, Some(0)], "{lacking:?}");
            assert_eq!(found(&[lacking, whole]), [None, Some(0)], "{lacking:?}");
        }
    }

    #[test]
    fn runs_that_differ_in_what_both_give_are_two() {
        let lacking = (None, None, Some(2));
        assert_eq!(found(&[lacking, (Some("R"), Some(1), Some(3))]), [None, None]);
        let dated = (None, Some(1), None);
        assert_eq!(found(&[dated, (Some("R"), Some(2), None)]), [None, None]);
        let whole = [(Some("R"), Some(1), Some(1)), (Some("R"), Some(1), Some(2))];
        assert_eq!(found(&whole), [None, None]);
        // one key twice is said elsewhere
        assert_eq!(
            found(&[(None, None, Some(1)), (None, None, Some(1))]),
            [None, None]
        );
    }

    #[test]
    fn another_value_is_another_run() {
        let records = a_against_b(&["rolling wear"], &[])
            .wear_bench()
            .runs("A", "bench/wear", &["0.5", "0.6"])
            .build();
        let rows: Vec<_> = records
            .results
            .iter()
            .map(|run| (run, RunNumber::Missing))
            .collect();
        assert!(same_runs(&rows).iter().all(Option::is_none));
    }
}
