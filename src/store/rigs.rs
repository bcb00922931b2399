//! What rigs are watched by.

use crate::records::{BasePeriod, BlendCode, RigId, TrialSlug};
use crate::store::write::finish;
use crate::store::{Store, StoreError};

impl Store {
    /// The reference oils of every trial.
    ///
    /// # Errors
    /// `Db`.
    pub async fn read_reference_oils(&self) -> Result<Vec<(TrialSlug, BlendCode)>, StoreError> {
        let mut transaction = self.begin_read().await?;
        let rows: Vec<(String, String)> = sqlx::query_as(
            "SELECT trial, blend FROM trial_blends WHERE role = 'reference' ORDER BY trial, blend",
        )
        .fetch_all(&mut *transaction)
        .await?;
        let named = rows
            .into_iter()
            .filter_map(|(trial, blend)| Some((TrialSlug::new(&trial)?, BlendCode::new(&blend)?)));
        Ok(named.collect())
    }

    /// Sets the days in which a rig is known to be in order; `None` where nothing is stated. Returns whether there is such a
    /// rig.
    ///
    /// # Errors
    /// `Db`.
    pub async fn set_base_period(&self, rig: &RigId, base: Option<BasePeriod>) -> Result<bool, StoreError> {
        let mut transaction = self.begin_write().await?;
        let done = sqlx::query("UPDATE rigs SET base_from = $1, base_to = $2 WHERE rig = $3")
            .bind(base.map(|base| base.from().to_string()))
            .bind(base.map(|base| base.to().to_string()))
            .bind(rig.as_str())
            .execute(&mut *transaction)
            .await?;
        finish(transaction).await?;
        Ok(done.rows_affected() > 0)
    }
}
