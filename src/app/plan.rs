//! The plan of a trial, and what its runs cost.

use crate::app::judged::apart;
use crate::app::{App, AppError};
use crate::catalogue::MethodId;
use crate::intake::{read_within, shown};
use crate::records::{RunCosts, TrialSlug};
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

    /// Sets what one run of some methods costs and how long it takes in a trial: all of them or none.
    ///
    /// # Errors
    /// `Question` where one is not a method of the trial; `NoSuchTrial`.
    pub async fn set_costs(&self, trial: &TrialSlug, costs: &[(MethodId, RunCosts)]) -> Result<(), AppError> {
        self.records(trial).await?;
        let are_set = self.store().set_costs(trial, costs).await?;
        are_set
            .then_some(())
            .ok_or_else(|| AppError::question("method", "is not one of this trial"))
    }
}

impl TypedCosts {
    /// The numbers, or what is wrong with each field that cannot be used.
    ///
    /// # Errors
    /// Field (`cost` or `days`) and mend, each.
    pub fn read(&self) -> Result<RunCosts, Vec<(&'static str, String)>> {
        match (amount(&self.cost), amount(&self.days)) {
            (Ok(cost), Ok(days)) => Ok(RunCosts { cost, days }),
            (cost, days) => {
                let faults = [("cost", cost.err()), ("days", days.err())];
                let faults = faults.into_iter();
                Err(faults
                    .filter_map(|(field, fault)| Some((field, fault?)))
                    .collect())
            }
        }
    }
}

fn amount(text: &str) -> Result<Option<f64>, String> {
    if text.trim().is_empty() {
        return Ok(None);
    }
    let otherwise = format!(
        "'{}' is not a number from 0 to 1 000 000 000; write digits, or leave it empty",
        shown(text)
    );
    read_within(text, &(0.0..=MOST), otherwise).map(Some)
}
