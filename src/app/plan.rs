//! The plan of a trial, and what its runs cost.

use crate::app::judged::apart;
use crate::app::{App, AppError};
use crate::catalogue::MethodId;
use crate::intake::{read_within, shown};
use crate::records::TrialSlug;
use crate::standing::Comparison;
use crate::standing::{Plan, WhatIf, plan};
use std::sync::Arc;

/// Runs of each blend on each test of which a plan speaks unless told otherwise.
pub const USUAL_RUNS: usize = 1;
/// Greatest cost and greatest number of days of one run.
const MOST: f64 = 1e9;

/// The plan of a trial beside its standing.
#[derive(Clone, Debug, PartialEq)]
pub struct PlanView {
    /// The trial, judged as it is.
    pub comparison: Comparison,
    /// The plan.
    pub plan: Arc<Plan>,
}

/// Cost and days of one run as a form gives them; empty: the method's own.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct TypedCosts {
    /// Cost, in the laboratory's currency.
    pub cost: String,
    /// Days.
    pub days: String,
}

impl App {
    /// The plan of a trial at a number of runs of each blend on each test.
    ///
    /// # Errors
    /// `NoSuchTrial`.
    pub async fn plan(&self, trial: &TrialSlug, runs: usize) -> Result<PlanView, AppError> {
        let comparison = self.compare(trial, &WhatIf::default()).await?;
        let writes = self.store().writes().await?;
        let (records, methods) = (comparison.records.clone(), Arc::new(self.methods().await?));
        let inputs = (records.clone(), methods.clone());
        let standing = comparison.standing.clone();
        let planned = apart(move || Arc::new(plan(&records, &standing, &methods, runs)));
        let key = (trial.clone(), runs);
        let plan = self.plans.get_or(writes, key, inputs, planned).await?;
        Ok(PlanView { comparison, plan })
    }

    /// Sets what one run of a method costs and how long it takes in a trial; the method's id as it was typed.
    ///
    /// # Errors
    /// `Question` with every field that cannot be used, the first of them; `NoSuchTrial`.
    pub async fn set_costs(
        &self,
        trial: &TrialSlug,
        method: &str,
        typed: &TypedCosts,
    ) -> Result<(), AppError> {
        let cost = amount("cost", &typed.cost)?;
        let days = amount("days", &typed.days)?;
        self.records(trial).await?;
        let is_set = match MethodId::new(method) {
            Some(method) => self.store().set_costs(trial, &method, cost, days).await?,
            None => false,
        };
        is_set
            .then_some(())
            .ok_or_else(|| AppError::question("method", "is not one of this trial"))
    }
}

fn amount(field: &str, text: &str) -> Result<Option<f64>, AppError> {
    if text.trim().is_empty() {
        return Ok(None);
    }
    let otherwise = format!(
        "'{}' is not a number from 0 to 1 000 000 000; write digits, or leave it empty",
        shown(text)
    );
    match read_within(text, &(0.0..=MOST), otherwise) {
        Ok(number) => Ok(Some(number)),
        Err(problem) => Err(AppError::question(field, problem)),
    }
}
