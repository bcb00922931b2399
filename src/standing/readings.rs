//! What single runs of a test read, as a laboratory would say it: a step that was not run is never claimed.

use crate::catalogue::{FailsBy, PlainNumber, Quantity, Value};
use crate::records::{BlendCode, RunResult};
use crate::standing::evidence::Evidence;
use std::collections::BTreeMap;

/// What one run read, in the quantity's unit.
#[derive(Clone, Debug, PartialEq)]
pub enum RunReading {
    /// A number, a bound, a class: as it stands. A cap is a bound.
    Plain(Value),
    /// Failed at a load or stage.
    Failed {
        /// How.
        how: FailsBy,
        /// The load or stage.
        at: f64,
        /// The last one that was run and passed, where something says it.
        held: Option<f64>,
    },
    /// Failed at the first load or stage that was run or looked at.
    FailedFirst {
        /// How.
        how: FailsBy,
        /// The load or stage.
        at: f64,
    },
    /// Passed a load or stage, the last that did.
    Passed {
        /// The load or stage.
        at: f64,
        /// The first one that failed, where something says it.
        failed: Option<f64>,
    },
}

impl RunReading {
    fn of(run: &RunResult, quantity: &Quantity) -> Self {
        let how = quantity.fails_by;
        let says_both = !run.last_passed.trim().is_empty();
        match (&run.value, quantity.plain_number) {
            _ if !quantity.scale.is_stepped() => Self::Plain(run.value.clone()),
            (Value::Between { lo, hi }, PlainNumber::Failure) => Self::Failed {
                how,
                at: *hi,
                held: says_both.then_some(*lo),
            },
            (Value::Between { lo, hi }, PlainNumber::Pass) => Self::Passed {
                at: *lo,
                failed: says_both.then_some(*hi),
            },
            (Value::Below(at), PlainNumber::Failure | PlainNumber::Pass) => {
                Self::FailedFirst { how, at: *at }
            }
            _ => Self::Plain(run.value.clone()),
        }
    }

    /// What lies between the last load that passed and the first that failed, as far as it is said.
    fn bracket(&self) -> Option<(f64, f64)> {
        match *self {
            Self::Failed { at, held, .. } => Some((held?, at)),
            Self::Passed { at, failed } => Some((at, failed?)),
            _ => None,
        }
    }

    /// The same with another bracket.
    fn within(&self, (lo, hi): (f64, f64)) -> Self {
        match self {
            Self::Failed { how, .. } => Self::Failed {
                how: *how,
                at: hi,
                held: Some(lo),
            },
            Self::Passed { .. } => Self::Passed {
                at: lo,
                failed: Some(hi),
            },
            other => other.clone(),
        }
    }
}

/// What several runs of one blend read: the bracket that they share, or each different reading once.
pub fn shared(runs: &[RunReading]) -> Vec<RunReading> {
    let brackets: Option<Vec<(f64, f64)>> = runs.iter().map(RunReading::bracket).collect();
    let common = brackets.and_then(|brackets| {
        brackets
            .into_iter()
            .reduce(|a, b| (a.0.max(b.0), a.1.min(b.1)))
            .filter(|(lo, hi)| lo < hi)
    });
    if let (Some(common), Some(first)) = (common, runs.first()) {
        return vec![first.within(common)];
    }
    let mut different: Vec<RunReading> = Vec::new();
    for run in runs {
        if !different.contains(run) {
            different.push(run.clone());
        }
    }
    different
}

/// What the runs that count read, by blend, by date, rig and number whatever the order of rows.
pub(crate) fn readings(evidence: &Evidence) -> BTreeMap<BlendCode, Vec<RunReading>> {
    let cells = evidence.cells.iter().filter(|cell| !cell.results.is_empty());
    let of_cell = |cell: &super::evidence::Cell| {
        let mut runs = cell.results.clone();
        runs.sort_by_key(|run| (run.date, &run.rig, run.replicate));
        let runs = runs.into_iter();
        runs.map(|run| RunReading::of(run, evidence.quantity)).collect()
    };
    cells.map(|cell| (cell.blend.clone(), of_cell(cell))).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalogue::built_in_method;
    use crate::support::trials::a_against_b;

    fn failed(at: f64, held: Option<f64>) -> RunReading {
        RunReading::Failed {
            how: FailsBy::Welding,
            at,
            held,
        }
    }

    #[test]
    fn runs_share_the_bracket_in_which_all_of_them_lie() {
        let wide = [failed(400.0, Some(250.0)), failed(400.0, Some(315.0))];
        assert_eq!(shared(&wide), [failed(400.0, Some(315.0))]);
        let apart = [failed(315.0, Some(250.0)), failed(400.0, Some(315.0))];
        assert_eq!(shared(&apart), apart);
        // where a run does not say what it held, nothing is claimed
        let silent = [failed(400.0, None), failed(400.0, Some(315.0))];
        assert_eq!(shared(&silent), silent);
        assert_eq!(
            shared(&[failed(400.0, None), failed(400.0, None)]),
            [failed(400.0, None)]
        );
        let capped = [
            RunReading::Plain(Value::Above(12.0)),
            RunReading::Plain(Value::Above(12.0)),
        ];
        assert_eq!(shared(&capped), capped[..1]);
        let passed = |at, failed| RunReading::Passed { at, failed };
        let both = [passed(45.0, Some(55.0)), passed(40.0, Some(50.0))];
        assert_eq!(shared(&both), [passed(45.0, Some(50.0))]);
        assert_eq!(shared(&[]), []);
    }

    #[test]
    fn the_step_below_is_named_only_where_the_log_names_it() {
        let records = a_against_b(&["seizure"], &[])
            .weigh("fb_ep_oil/weld")
            .runs("A", "fb_ep_oil/weld", &["400", ">800", "<126"])
            .build();
        let quantity = built_in_method("fb_ep_oil").unwrap().quantity("weld").unwrap();
        let mut runs = records.results.clone();
        let read: Vec<RunReading> = runs.iter().map(|run| RunReading::of(run, quantity)).collect();
        let first = RunReading::FailedFirst {
            how: FailsBy::Welding,
            at: 126.0,
        };
        assert_eq!(
            read,
            [failed(400.0, None), RunReading::Plain(Value::Above(800.0)), first]
        );
        runs[0].last_passed = "315".to_string();
        assert_eq!(RunReading::of(&runs[0], quantity), failed(400.0, Some(315.0)));
        let scar = built_in_method("fb_wear_oil_B")
            .unwrap()
            .quantity("scar")
            .unwrap();
        assert_eq!(
            RunReading::of(&runs[0], scar),
            RunReading::Plain(runs[0].value.clone())
        );
    }
}
