//! Recording a decision: rows are only added.

use crate::records::Decision;
use crate::store::insert::count_a_write;
use crate::store::insert::runs::write_decision;
use crate::store::{Store, StoreError};

impl Store {
    /// Writes a decision that was made on what the file held after a number of writes ([`Store::writes`]).
    ///
    /// # Errors
    /// `NotCurrent` where something was written since.
    pub async fn insert_decision(&self, decision: &Decision, writes: i64) -> Result<(), StoreError> {
        let mut transaction = self.begin_write().await?;
        let now: i64 = sqlx::query_scalar("SELECT writes FROM archive_state WHERE id = 1")
            .fetch_one(&mut *transaction)
            .await?;
        if now != writes {
            let problem = "something was written since the decision was made";
            return Err(StoreError::NotCurrent(problem.to_string()));
        }
        write_decision(&mut transaction, decision).await?;
        count_a_write(&mut transaction).await?;
        transaction.commit().await?;
        Ok(())
    }
}
