//! The value of a result from the cells of its row, wherever these come from.

use crate::catalogue::{Bounds, PlainNumber, Quantity, Reading, Value, Written};
use crate::intake::value::read_cell;
use crate::intake::{CellValue, read_for_quantity, read_number};
use crate::prose::faults::unknown_unit;
use crate::records::Purpose;
use crate::units::Unit;

/// The cells from which a value follows.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct ValueCells<'a> {
    /// The value as written.
    pub value: &'a str,
    /// Its unit.
    pub unit: &'a str,
    /// The last load or stage that was run and passed, or `none`; may be empty.
    pub last_passed: &'a str,
}

/// A value with what is known of the loads below it.
#[derive(Clone, Debug, PartialEq)]
pub struct ReadValue {
    /// The value.
    pub reading: Reading,
    /// The last load or stage that was run and passed, as written in the value's unit; empty where nothing says it.
    pub last_passed: String,
}

/// Which of the cells cannot be used, and why.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{column}: {problem}")]
pub struct ResultFault {
    /// `value`, `unit` or `last_passed`.
    pub column: &'static str,
    /// What is wrong with it, with the mend.
    pub problem: String,
}

fn fault<T>(column: &'static str, problem: impl ToString) -> Result<T, ResultFault> {
    Err(ResultFault {
        column,
        problem: problem.to_string(),
    })
}

/// The value as its quantity understands it; `None` says not run. The unit stands in its cell, beside the value, or in
/// both alike. A run that was stopped for cause may have no value: its cell is empty or says `stopped`.
///
/// # Errors
/// Names the cell that cannot be used.
pub fn read_result(
    cells: &ValueCells<'_>,
    bounds: &Bounds<'_>,
    purpose: Purpose,
) -> Result<Option<ReadValue>, ResultFault> {
    let quantity = bounds.quantity();
    let was_stopped = purpose == Purpose::Stopped;
    let stopped = || ReadValue {
        reading: Value::Stopped.into(),
        last_passed: cells.last_passed.trim().to_string(),
    };
    let (written, beside) = match read_cell(cells.value.trim(), quantity) {
        Ok(CellValue::NotRun) if was_stopped => return Ok(Some(stopped())),
        Ok(CellValue::NotRun) => return Ok(None),
        Ok(CellValue::Value { written, .. }) if written == Written::Word("stopped".to_string()) => {
            return if was_stopped {
                Ok(Some(stopped()))
            } else {
                fault("value", "is only for a run whose purpose is 'stopped'")
            };
        }
        Ok(CellValue::Value { written, unit }) => (written, unit),
        Err(problem) => return fault("value", problem),
    };
    let in_cell = match cells.unit.trim() {
        "" => None,
        text => match text.parse::<Unit>() {
            Ok(unit) => Some(unit),
            Err(unknown) => return fault("unit", unknown_unit(&unknown)),
        },
    };
    if let (Some(cell), Some(beside)) = (in_cell, beside)
        && cell != beside
    {
        return fault("unit", format!("differs from the unit in the value, {beside}"));
    }
    let unit = in_cell.or(beside);
    let column = match unit {
        None => "unit",
        Some(unit) if unit.convert(1.0, quantity.unit).is_none() => "unit",
        Some(_) => "value",
    };
    let (written, last_passed) = match with_last_passed(written, cells.last_passed.trim(), quantity) {
        Ok(found) => found,
        Err(problem) => return fault("last_passed", problem),
    };
    match read_for_quantity(&written, unit, bounds) {
        Ok(reading) => Ok(Some(ReadValue { reading, last_passed })),
        Err(problem) => fault(column, problem),
    }
}

/// What was written, with the last load or stage that was run and passed; a pair says it by itself.
fn with_last_passed(written: Written, said: &str, quantity: &Quantity) -> Result<(Written, String), String> {
    let is_load = quantity.scale.is_stepped() && quantity.plain_number != PlainNumber::Exact;
    if said.is_empty() {
        let passed = match written {
            Written::Range(passed, _) if is_load => passed.to_string(),
            _ => String::new(),
        };
        return Ok((written, passed));
    }
    if !is_load {
        return Err("is only for loads and stages; leave it empty".to_string());
    }
    let fails = quantity.plain_number == PlainNumber::Failure;
    if said.eq_ignore_ascii_case("none") {
        return match written {
            Written::Number(failed) if fails => Ok((Written::Below(failed), "none".to_string())),
            Written::Below(_) => Ok((written, "none".to_string())),
            _ => Err("says that nothing passed, and the value that something did".to_string()),
        };
    }
    let last = read_number(said).map_err(|problem| format!("{problem}; write a load or stage, or 'none'"))?;
    let is_it = |passed: f64| (passed - last).abs() <= 1e-9 * last.abs();
    let written = match written {
        Written::Number(failed) if fails && last < failed => Written::Range(last, failed),
        Written::Number(_) if fails => {
            return Err("does not lie below the load or stage that failed".to_string());
        }
        Written::Number(passed) | Written::Above(passed) | Written::Range(passed, _) if is_it(passed) => {
            written
        }
        Written::Word(_) => written,
        _ => return Err("is not what the value says was passed".to_string()),
    };
    Ok((written, last.to_string()))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalogue::built_in_method;

    fn read(key: &str, value: &str, last_passed: &str) -> Result<(Value, String), ResultFault> {
        let (method, quantity) = key.split_once('/').unwrap();
        let method = built_in_method(method).unwrap();
        let quantity = method.quantity(quantity).unwrap();
        let cells = ValueCells {
            value,
            unit: quantity.unit.word(),
            last_passed,
        };
        let bounds = Bounds::of(method, quantity, "");
        let read = read_result(&cells, &bounds, Purpose::Test)?.unwrap();
        Ok((read.reading.value, read.last_passed))
    }

    fn between(lo: f64, hi: f64) -> Value {
        Value::Between { lo, hi }
    }

    #[test]
    fn a_failure_reaches_down_to_the_last_load_that_was_run_and_to_the_step_below_where_nothing_says_it() {
        for (value, last_passed, read_as, kept) in [
            ("400", "", between(315.0, 400.0), ""),
            ("400", "250", between(250.0, 400.0), "250"),
            ("400", "none", Value::Below(400.0), "none"),
            ("pass 250 / fail 400", "", between(250.0, 400.0), "250"),
            ("pass 250 / fail 400", "250", between(250.0, 400.0), "250"),
            ("<400", "", Value::Below(400.0), ""),
            (">800", "800", Value::Above(800.0), "800"),
        ] {
            let found = read("fb_ep_oil/weld", value, last_passed);
            assert_eq!(found, Ok((read_as, kept.to_string())), "{value}, {last_passed}");
        }
        let (passed, kept) = read("fb_ep_oil/lnsl", "80", "80").unwrap();
        assert_eq!((passed, kept.as_str()), (between(80.0, 100.0), "80"));
    }

    #[test]
    fn a_last_load_that_contradicts_the_value_names_its_column() {
        for (key, value, last_passed) in [
            ("fb_ep_oil/weld", "400", "400"),
            ("fb_ep_oil/weld", "400", "500"),
            ("fb_ep_oil/weld", "400", "all"),
            ("fb_ep_oil/weld", ">800", "620"),
            ("fb_ep_oil/weld", ">800", "none"),
            ("fb_ep_oil/weld", "pass 250 / fail 400", "315"),
            ("fb_ep_oil/lnsl", "80", "63"),
            ("fb_wear_oil_B/scar", "0.4", "0.3"),
        ] {
            let fault = read(key, value, last_passed).unwrap_err();
            assert_eq!(
                fault.column, "last_passed",
                "{key} {value}, {last_passed}: {fault}"
            );
        }
    }

    /// ASTM D5182: the pinion is looked at from stage 4 on.
    #[test]
    fn a_stage_that_nobody_inspected_is_no_pass() {
        for (value, last_passed, read_as) in [
            ("3", "", Value::Below(3.0)),
            ("4", "", Value::Below(4.0)),
            ("5", "", between(4.0, 5.0)),
            ("4", "3", Value::Below(4.0)),
            ("pass 3 / fail 6", "", Value::Below(6.0)),
            ("pass 4 / fail 6", "", between(4.0, 6.0)),
        ] {
            let found = read("gear_A8/fail_stage", value, last_passed);
            assert_eq!(found.map(|found| found.0), Ok(read_as), "{value}, {last_passed}");
        }
    }
}
