//! How far an archive has come: what a first user has entered, and what is still to be entered.

use crate::store::{Store, StoreError};
use sqlx::Row;

/// Which kinds of records are there.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Progress {
    /// A machine.
    pub machines: bool,
    /// A blend.
    pub blends: bool,
    /// A trial with a test.
    pub trials: bool,
    /// A result.
    pub results: bool,
    /// Nothing at all is there, of any kind.
    pub is_empty: bool,
}

const SQL: &str = "SELECT EXISTS (SELECT 1 FROM machines) AS machines, EXISTS (SELECT 1 FROM blends) AS blends, \
    EXISTS (SELECT 1 FROM trial_methods) AS trials, EXISTS (SELECT 1 FROM results) AS results, \
    NOT EXISTS (SELECT 1 FROM machines) AND NOT EXISTS (SELECT 1 FROM blends) AND NOT EXISTS (SELECT 1 FROM trials) \
    AND NOT EXISTS (SELECT 1 FROM components) AND NOT EXISTS (SELECT 1 FROM methods) \
    AND NOT EXISTS (SELECT 1 FROM rigs) AS is_empty";

impl Store {
    /// Which kinds of records are there.
    ///
    /// # Errors
    /// `Db`.
    pub async fn progress(&self) -> Result<Progress, StoreError> {
        let mut transaction = self.begin_read().await?;
        let row = sqlx::query(SQL).fetch_one(&mut *transaction).await?;
        let is_set = |column: &str| row.try_get::<i64, _>(column).map(|number| number != 0);
        Ok(Progress {
            machines: is_set("machines")?,
            blends: is_set("blends")?,
            trials: is_set("trials")?,
            results: is_set("results")?,
            is_empty: is_set("is_empty")?,
        })
    }
}
