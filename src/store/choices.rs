//! What the trials of an archive can be filtered by.

use crate::store::{Store, StoreError};

/// Values that occur in trials, each list sorted.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Choices {
    /// Machines: slug and name.
    pub machines: Vec<(String, String)>,
    /// Method ids.
    pub methods: Vec<String>,
    /// Component names.
    pub components: Vec<String>,
    /// Years in which trials were opened, the latest first.
    pub years: Vec<String>,
}

impl Store {
    /// What the trials can be filtered by.
    ///
    /// # Errors
    /// `Db`.
    pub async fn read_choices(&self) -> Result<Choices, StoreError> {
        let mut transaction = self.begin_read().await?;
        let machines = sqlx::query_as::<_, (String, String)>(
            "SELECT DISTINCT m.machine, m.name FROM trials t JOIN machines m ON m.machine = t.machine \
             ORDER BY m.name, m.machine",
        )
        .fetch_all(&mut *transaction)
        .await?;
        let mut lists = Vec::new();
        for list in [
            "SELECT DISTINCT method FROM trial_methods ORDER BY method",
            "SELECT DISTINCT c.component FROM trial_blends x JOIN blend_components c ON c.blend = x.blend \
             ORDER BY c.component",
            "SELECT DISTINCT SUBSTR(opened_on, 1, 4) FROM trials WHERE opened_on IS NOT NULL ORDER BY 1 DESC",
        ] {
            lists.push(
                sqlx::query_scalar::<_, String>(list)
                    .fetch_all(&mut *transaction)
                    .await?,
            );
        }
        let mut lists = lists.into_iter();
        let mut next = || lists.next().unwrap_or_default();
        Ok(Choices {
            machines,
            methods: next(),
            components: next(),
            years: next(),
        })
    }
}
