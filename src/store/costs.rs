//! What a run of a method costs in one trial: part of its plan, not of its evidence.

use crate::records::TrialSlug;
use crate::store::insert::count_a_write;
use crate::store::{Store, StoreError};

impl Store {
    /// Sets cost and days of one run of a method for a trial; `None` goes back to the method's own. Returns whether the
    /// trial has the method.
    ///
    /// # Errors
    /// `Db`.
    pub async fn set_costs(
        &self,
        trial: &TrialSlug,
        method: &str,
        cost: Option<f64>,
        days: Option<f64>,
    ) -> Result<bool, StoreError> {
        let mut transaction = self.begin_write().await?;
        let done =
            sqlx::query("UPDATE trial_methods SET cost = $1, days = $2 WHERE trial = $3 AND method = $4")
                .bind(cost)
                .bind(days)
                .bind(trial.as_str())
                .bind(method)
                .execute(&mut *transaction)
                .await?;
        count_a_write(&mut transaction).await?;
        transaction.commit().await?;
        Ok(done.rows_affected() > 0)
    }
}
