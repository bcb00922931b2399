//! What a list of trials can be filtered by, in words a reader knows.

use crate::desk::{Desk, DeskError};
use std::collections::BTreeMap;

/// Filters that leave something: the value to ask for, and where it differs the words for it.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Choices {
    /// Machine slug and name.
    pub machines: Vec<(String, String)>,
    /// Method id, and title with standard.
    pub methods: Vec<(String, String)>,
    /// Component names.
    pub components: Vec<String>,
    /// Years, the latest first.
    pub years: Vec<String>,
}

impl Desk {
    /// What the trials of this archive can be filtered by.
    ///
    /// # Errors
    /// `Inside` where the file cannot be read.
    pub async fn choices(&self) -> Result<Choices, DeskError> {
        let found = self.store().read_choices().await?;
        let known: BTreeMap<String, String> = self
            .methods()
            .await?
            .into_iter()
            .map(|method| (method.id.clone(), method.to_string()))
            .collect();
        let methods = found.methods.into_iter().map(|id| {
            let words = known.get(&id).cloned().unwrap_or_else(|| id.clone());
            (id, words)
        });
        let mut methods: Vec<(String, String)> = methods.collect();
        methods.sort_by(|a, b| a.1.cmp(&b.1));
        Ok(Choices {
            machines: found.machines,
            methods,
            components: found.components,
            years: found.years,
        })
    }
}
