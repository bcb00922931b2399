//! Correcting and voiding one result. Both add to the history; nothing in it is lost.

use crate::records::{ResultStatus, RunResult};
use crate::store::insert::runs::write_result;
use crate::store::insert::{Connection, count_a_write};
use crate::store::read::{Scope, results_of};
use crate::store::{Store, StoreError};
use sqlx::Row;

impl Store {
    /// Writes a result that corrects another one, which stays as it is, and returns the id of the new one.
    /// `entered_at` is ISO 8601.
    ///
    /// # Errors
    /// `NotFound`; `NotCurrent` where the other one is superseded or void.
    pub async fn correct_result(
        &self,
        earlier: i64,
        correction: &RunResult,
        entered_at: &str,
    ) -> Result<i64, StoreError> {
        let mut transaction = self.begin_write().await?;
        let there = current(&mut transaction, earlier).await?;
        if there.run_key() != correction.run_key() {
            return Err(StoreError::NotCurrent(format!("result {earlier} is another run")));
        }
        let written = RunResult {
            id: None,
            supersedes: Some(earlier),
            ..correction.clone()
        };
        write_result(&mut transaction, &written, entered_at).await?;
        let row = sqlx::query("SELECT id FROM results WHERE supersedes = $1")
            .bind(earlier)
            .fetch_one(&mut *transaction)
            .await?;
        let id = row.try_get("id")?;
        count_a_write(&mut transaction).await?;
        transaction.commit().await?;
        Ok(id)
    }

    /// Voids a result, once. `voided_at` is ISO 8601.
    ///
    /// # Errors
    /// `NotFound`; `NotCurrent` where it is superseded or void.
    pub async fn void_result(&self, id: i64, reason: &str, voided_at: &str) -> Result<(), StoreError> {
        let mut transaction = self.begin_write().await?;
        current(&mut transaction, id).await?;
        sqlx::query("UPDATE results SET status = 'void', voided_at = $1, void_reason = $2 WHERE id = $3")
            .bind(voided_at)
            .bind(reason)
            .bind(id)
            .execute(&mut *transaction)
            .await?;
        count_a_write(&mut transaction).await?;
        transaction.commit().await?;
        Ok(())
    }
}

/// The result of an id, where no other one supersedes it and it is not void.
async fn current(connection: &mut Connection, id: i64) -> Result<RunResult, StoreError> {
    let results = results_of(connection, Scope::All).await?;
    let superseded = results.iter().any(|result| result.supersedes == Some(id));
    let found = results.into_iter().find(|result| result.id == Some(id));
    let found = found.ok_or_else(|| StoreError::NotFound(format!("result {id}")))?;
    if superseded {
        let problem = format!("result {id} is corrected by a later entry already");
        return Err(StoreError::NotCurrent(problem));
    }
    if found.status == ResultStatus::Void {
        return Err(StoreError::NotCurrent(format!("result {id} is void already")));
    }
    Ok(found)
}
