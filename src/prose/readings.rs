//! What single runs read, in words.

use crate::catalogue::{FailsBy, Value};
use crate::standing::{RunReading, shared};
use crate::units::{DisplayPreferences, Unit};

/// `welded at 400, held 315 kgf`; `failed at stage 10, passed 9`; `> 12`; `0.45 mm`.
pub fn reading(read: &RunReading, unit: Unit, shown: DisplayPreferences) -> String {
    let number = |number: f64| shown.in_unit(unit).number(number);
    let stage = if unit == Unit::Stage { "stage " } else { "" };
    let word = word(unit, shown);
    match read {
        RunReading::Plain(value) => plain(value, unit, shown),
        RunReading::Failed { how, at, held } => {
            let (failed, passed) = verbs(*how);
            let held = held.map_or(String::new(), |held| format!(", {passed} {}", number(held)));
            format!("{failed} at {stage}{}{held}{word}", number(*at))
        }
        RunReading::FailedFirst { how, at } => {
            let (failed, _) = verbs(*how);
            format!("{failed} at or below {stage}{}{word}", number(*at))
        }
        RunReading::Passed { at, failed } => {
            let failed = failed.map_or(String::new(), |failed| format!(", failed {}", number(failed)));
            format!("passed {stage}{}{failed}{word}", number(*at))
        }
    }
}

/// What several runs of one blend read: the bracket that they share, or each different reading.
pub fn readings(runs: &[RunReading], unit: Unit, shown: DisplayPreferences) -> String {
    let words: Vec<String> = shared(runs)
        .iter()
        .map(|read| reading(read, unit, shown))
        .collect();
    words.join("; ")
}

/// The loads or stages that several runs name, without a unit: `400`, `315, 400`, `> 12`.
pub fn steps(runs: &[RunReading], unit: Unit, shown: DisplayPreferences) -> String {
    let number = |number: f64| shown.in_unit(unit).number(number);
    let step = |read: &RunReading| match read {
        RunReading::Failed { at, .. } | RunReading::Passed { at, .. } => number(*at),
        RunReading::FailedFirst { at, .. } => format!("\u{2264} {}", number(*at)),
        RunReading::Plain(Value::Above(at)) => format!("> {}", number(*at)),
        RunReading::Plain(value) => plain(value, Unit::One, shown),
    };
    let mut words: Vec<String> = Vec::new();
    for read in shared(runs) {
        let word = step(&read);
        if !words.contains(&word) {
            words.push(word);
        }
    }
    words.join(", ")
}

fn verbs(how: FailsBy) -> (&'static str, &'static str) {
    match how {
        FailsBy::Welding => ("welded", "held"),
        FailsBy::Failing => ("failed", "passed"),
    }
}

/// A value that is no step: a number, a bound, a class.
fn plain(value: &Value, unit: Unit, shown: DisplayPreferences) -> String {
    let number = |number: &f64| shown.in_unit(unit).number(*number);
    let word = word(unit, shown);
    match value {
        Value::Exact(value) => format!("{}{word}", number(value)),
        Value::Between { lo, hi } => format!("{} to {}{word}", number(lo), number(hi)),
        Value::Above(value) => format!("> {}{word}", number(value)),
        Value::Below(value) => format!("< {}{word}", number(value)),
        Value::Class(class) => class.clone(),
        Value::Stopped => "stopped".to_string(),
    }
}

/// The unit behind a number with the space before it; nothing where the number stands alone.
fn word(unit: Unit, shown: DisplayPreferences) -> String {
    let in_unit = shown.in_unit(unit);
    match unit {
        Unit::One | Unit::Class | Unit::Rating | Unit::Stage => String::new(),
        Unit::Micrometre => " µm".to_string(),
        unit if in_unit.is_as_kept() => format!(" {unit}"),
        _ => format!(" {}", in_unit.word()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::ForceUnit;

    fn failed(how: FailsBy, at: f64, held: Option<f64>) -> RunReading {
        RunReading::Failed { how, at, held }
    }

    #[test]
    fn a_run_is_said_as_a_laboratory_says_it() {
        let usual = DisplayPreferences::default();
        let weld = |held| failed(FailsBy::Welding, 400.0, held);
        for (read, unit, words) in [
            (
                weld(Some(315.0)),
                Unit::KilogramForce,
                "welded at 400, held 315 kgf",
            ),
            (weld(None), Unit::KilogramForce, "welded at 400 kgf"),
            (
                failed(FailsBy::Failing, 10.0, Some(9.0)),
                Unit::Stage,
                "failed at stage 10, passed 9",
            ),
            (
                RunReading::FailedFirst {
                    how: FailsBy::Failing,
                    at: 4.0,
                },
                Unit::Stage,
                "failed at or below stage 4",
            ),
            (RunReading::Plain(Value::Above(12.0)), Unit::Stage, "> 12"),
            (
                RunReading::Passed {
                    at: 45.0,
                    failed: None,
                },
                Unit::Pound,
                "passed 45 lb",
            ),
            (RunReading::Plain(Value::Exact(0.45)), Unit::Millimetre, "0.45 mm"),
            (RunReading::Plain(Value::Below(1.0)), Unit::Milligram, "< 1 mg"),
        ] {
            assert_eq!(reading(&read, unit, usual), words);
        }
        let newton = DisplayPreferences {
            force: ForceUnit::Newton,
            ..usual
        };
        let said = reading(&weld(Some(315.0)), Unit::KilogramForce, newton);
        assert_eq!(said, "welded at 3923, held 3089 N");
    }

    #[test]
    fn several_runs_are_one_reading_where_they_share_a_bracket() {
        let usual = DisplayPreferences::default();
        let weld = |at, held| failed(FailsBy::Welding, at, Some(held));
        let same = [weld(400.0, 250.0), weld(400.0, 315.0)];
        assert_eq!(
            readings(&same, Unit::KilogramForce, usual),
            "welded at 400, held 315 kgf"
        );
        assert_eq!(steps(&same, Unit::KilogramForce, usual), "400");
        let apart = [weld(315.0, 250.0), weld(400.0, 315.0)];
        assert_eq!(steps(&apart, Unit::KilogramForce, usual), "315, 400");
        assert_eq!(
            readings(&apart, Unit::KilogramForce, usual),
            "welded at 315, held 250 kgf; welded at 400, held 315 kgf"
        );
    }
}
