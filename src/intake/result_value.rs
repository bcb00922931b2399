//! The value of a result from its two cells, value and unit, wherever these come from.

use crate::catalogue::{Quantity, Reading, Value, Written};
use crate::intake::value::read_cell;
use crate::intake::{CellValue, read_for_quantity};
use crate::prose::faults::unknown_unit;
use crate::records::Purpose;
use crate::units::Unit;

/// Which of the two cells cannot be used, and why.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{column}: {problem}")]
pub struct ResultFault {
    /// `value` or `unit`.
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
    value: &str,
    unit: &str,
    quantity: &Quantity,
    purpose: Purpose,
) -> Result<Option<Reading>, ResultFault> {
    let was_stopped = purpose == Purpose::Stopped;
    let (written, beside) = match read_cell(value.trim(), quantity) {
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
    let in_cell = match unit.trim() {
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
    match read_for_quantity(&written, unit, quantity) {
        Ok(reading) => Ok(Some(reading)),
        Err(problem) => fault(column, problem),
    }
}

fn stopped() -> Reading {
    Reading {
        value: Value::Stopped,
        off_ladder: false,
    }
}
