//! What a list of trials can be narrowed by, in words a reader knows, with how many trials each choice would leave.

use crate::app::{App, AppError, TrialQuery};
use crate::store::TrialFilter;
use serde::Serialize;
use std::collections::BTreeMap;
use std::sync::Arc;

/// A value of a facet.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct FacetValue {
    /// What the query says.
    pub value: String,
    /// What the reader sees.
    pub words: String,
    /// How many trials it would leave, with all other conditions kept.
    pub trials: usize,
}

/// A part of the query that can be set to one of some values.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Facet {
    /// The field of the query.
    pub field: &'static str,
    /// What the reader sees.
    pub label: &'static str,
    /// Its values.
    pub values: Vec<FacetValue>,
}

impl App {
    /// What the trials that a query leaves can be narrowed by, remembered until something is written. Each facet counts
    /// under all conditions but its own.
    ///
    /// # Errors
    /// `Store` where the file cannot be read.
    pub async fn facets(&self, query: &TrialQuery) -> Result<Arc<Vec<Facet>>, AppError> {
        let writes = self.store().writes().await?;
        let counted = async { Ok(Arc::new(self.count_facets(&query.filter).await?)) };
        self.counted
            .get_or(writes, query.filter.clone(), writes, counted)
            .await
    }

    async fn count_facets(&self, filter: &TrialFilter) -> Result<Vec<Facet>, AppError> {
        let found = self.store().count_facets(filter).await?;
        let methods = self.methods().await?;
        let names: BTreeMap<&str, String> = methods
            .iter()
            .map(|method| (method.id.as_str(), method.to_string()))
            .collect();
        let facet = |field, label, values: Vec<(String, usize)>| Facet {
            field,
            label,
            values: values
                .into_iter()
                .map(|(value, trials)| FacetValue {
                    words: match names.get(value.as_str()) {
                        Some(name) if field == "method" => name.clone(),
                        _ => value.clone(),
                    },
                    value,
                    trials,
                })
                .collect(),
        };
        Ok(vec![
            facet("kind", "Machine kind", found.kinds),
            facet("method", "Method", found.methods),
            facet("component", "Component", found.components),
            facet("status", "Status", found.statuses),
            facet("year", "Year", found.years),
            facet("outcome", "Decision", found.outcomes),
        ])
    }
}
