//! What was said of trials when they were judged last. Triggers forget it as soon as something it rests on is written.

use crate::records::TrialSlug;
use crate::store::{Store, StoreError};
use sqlx::{QueryBuilder, Sqlite};
use std::collections::BTreeMap;

impl Store {
    /// What an edition of the program kept of some trials.
    ///
    /// # Errors
    /// `Db`.
    pub async fn kept_summaries(
        &self,
        trials: &[&TrialSlug],
        edition: &str,
    ) -> Result<BTreeMap<String, String>, StoreError> {
        if trials.is_empty() {
            return Ok(BTreeMap::new());
        }
        let mut query =
            QueryBuilder::<Sqlite>::new("SELECT trial, summary FROM trial_summaries WHERE edition = ");
        query.push_bind(edition.to_string()).push(" AND trial IN (");
        let mut list = query.separated(", ");
        for trial in trials {
            list.push_bind(trial.to_string());
        }
        query.push(")");
        let mut transaction = self.begin_read().await?;
        let rows: Vec<(String, String)> = query.build_query_as().fetch_all(&mut *transaction).await?;
        Ok(rows.into_iter().collect())
    }

    /// Keeps summaries that were judged when the file had been written to so many times; where it has been written to
    /// since, they may be stale and are left.
    ///
    /// # Errors
    /// `Db`.
    pub async fn keep_summaries(
        &self,
        summaries: &[(TrialSlug, String)],
        edition: &str,
        writes: i64,
    ) -> Result<(), StoreError> {
        let mut transaction = self.begin_write().await?;
        let now: i64 = sqlx::query_scalar("SELECT writes FROM archive_state WHERE id = 1")
            .fetch_one(&mut *transaction)
            .await?;
        if now != writes {
            return Ok(());
        }
        for (trial, summary) in summaries {
            sqlx::query(
                "INSERT INTO trial_summaries (trial, edition, summary) VALUES ($1, $2, $3) \
                 ON CONFLICT (trial) DO UPDATE SET edition = excluded.edition, summary = excluded.summary",
            )
            .bind(trial.as_str())
            .bind(edition)
            .bind(summary.as_str())
            .execute(&mut *transaction)
            .await?;
        }
        transaction.commit().await?;
        Ok(())
    }
}
