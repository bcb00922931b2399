//! Correcting and voiding one result on purpose.

use crate::app::{App, AppError, now};
use crate::catalogue::{Bounds, Quantity};
use crate::intake::{ReadValue, ValueCells, read_result};
use crate::prose::faults::unusual;
use crate::records::{AcceptedAs, ResultStatus, RunResult, TrialSlug};

/// The most characters of a reason.
const LONGEST_REASON: usize = 1000;

/// What a correction says.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Correction {
    /// The value as written.
    pub value: String,
    /// Its unit as written.
    pub unit: String,
    /// Why.
    pub reason: String,
    /// Whether somebody says that the value is right although it is not usual.
    pub accepted: bool,
}

impl App {
    /// A result of a trial by its id, with its quantity, and whether anything stands against correcting it.
    ///
    /// # Errors
    /// `NoSuchTrial`, `NoSuchResult`.
    pub async fn result(
        &self,
        trial: &TrialSlug,
        id: i64,
    ) -> Result<(RunResult, Quantity, Option<String>), AppError> {
        let records = self.records(trial).await?;
        let found = records.results.iter().find(|result| result.id == Some(id));
        let found = found.ok_or(AppError::NoSuchResult(id))?.clone();
        let methods = self.methods().await?;
        let method = methods.iter().find(|method| method.id == found.key.method);
        let quantity = method.and_then(|method| method.quantity(&found.key.quantity));
        let test = || found.key.clone();
        let quantity = quantity.ok_or_else(|| AppError::UnknownTest {
            result: id,
            test: test(),
        })?;
        let later = records.results.iter().any(|result| result.supersedes == Some(id));
        let against = if later {
            Some(format!("result {id} is corrected by a later entry already"))
        } else if found.status == ResultStatus::Void {
            Some(format!("result {id} is void already"))
        } else {
            None
        };
        Ok((found, quantity.clone(), against))
    }

    /// Enters a result in place of another one, which stays visible; returns its id.
    ///
    /// # Errors
    /// `Question` with the field that cannot be used; `NotCurrent` where the result is superseded or void;
    /// `NoSuchTrial`, `NoSuchResult`.
    pub async fn correct_result(
        &self,
        trial: &TrialSlug,
        id: i64,
        correction: &Correction,
    ) -> Result<i64, AppError> {
        let (there, quantity, against) = self.result(trial, id).await?;
        if let Some(problem) = against {
            return Err(AppError::NotCurrent(problem));
        }
        let cells = ValueCells {
            value: &correction.value,
            unit: &correction.unit,
            last_passed: "",
        };
        let methods = self.methods().await?;
        let method = methods.iter().find(|method| method.id == there.key.method);
        let bounds = match method {
            Some(method) => Bounds::of(method, &quantity, &there.conditions),
            None => Bounds::of_quantity(&quantity),
        };
        let ReadValue { reading, last_passed } = match read_result(&cells, &bounds, there.purpose) {
            Ok(Some(read)) => read,
            Ok(None) => {
                let problem = "says not run; void the result instead";
                return Err(AppError::question("value", problem));
            }
            Err(fault) => return Err(AppError::question(fault.column, fault.problem)),
        };
        if reading.value.is_same(&there.value) {
            return Err(AppError::question("value", "is the value that is there already"));
        }
        let reason = reason(&correction.reason)?;
        let mut accepted = there.accepted.clone();
        accepted.retain(|what| *what != AcceptedAs::Unusual);
        if let Some(why) = &reading.unusual {
            if !correction.accepted {
                return Err(AppError::question("accepted", unusual(why, quantity.unit)));
            }
            accepted.push(AcceptedAs::Unusual);
        }
        let corrected = RunResult {
            last_passed,
            accepted,
            value: reading.value,
            off_ladder: reading.off_ladder,
            value_as_written: correction.value.trim().to_string(),
            unit_as_written: correction.unit.trim().to_string(),
            reason: match (there.status, there.reason.trim()) {
                (ResultStatus::Suspect, earlier) if !earlier.is_empty() => {
                    format!("{earlier}; corrected: {reason}")
                }
                _ => format!("corrected: {reason}"),
            },
            entered_at: String::new(),
            origin: "form".to_string(),
            ..there
        };
        Ok(self.store().correct_result(id, &corrected, &now()).await?)
    }

    /// Voids a result: it stays visible and counts no more.
    ///
    /// # Errors
    /// `Question` where the reason cannot be used; `NotCurrent` where the result is superseded or void;
    /// `NoSuchTrial`, `NoSuchResult`.
    pub async fn void_result(&self, trial: &TrialSlug, id: i64, why: &str) -> Result<(), AppError> {
        let (_, _, against) = self.result(trial, id).await?;
        if let Some(problem) = against {
            return Err(AppError::NotCurrent(problem));
        }
        let reason = reason(why)?;
        Ok(self.store().void_result(id, &reason, &now()).await?)
    }
}

/// A reason that stays beside what it explains.
///
/// # Errors
/// `Question` on the field `reason`.
pub(crate) fn reason(text: &str) -> Result<String, AppError> {
    let text = kept_text(text, LONGEST_REASON).map_err(|problem| AppError::question("reason", problem))?;
    if text.is_empty() {
        return Err(AppError::question("reason", "is empty; say why"));
    }
    Ok(text)
}

/// A text as it is kept: without surrounding space, with plain line ends; or what is wrong with it.
pub(crate) fn kept_text(text: &str, longest: usize) -> Result<String, String> {
    let text = text.trim();
    if text.chars().count() > longest {
        return Err(format!("is longer than {longest} characters"));
    }
    if text.contains('\0') {
        return Err("holds a NUL character".to_string());
    }
    Ok(text.replace("\r\n", "\n"))
}
