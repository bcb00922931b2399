//! What a list of trials can be narrowed by, in words a reader knows, with how many trials each choice would leave.

use crate::app::list::filter;
use crate::app::{App, AppError, TrialQuery};
use std::collections::BTreeMap;
use std::sync::Arc;

/// A value of a facet.
#[derive(Clone, Debug, PartialEq, Eq)]
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
    /// `Inside` where the file cannot be read.
    pub async fn facets(&self, query: &TrialQuery) -> Result<Arc<Vec<Facet>>, AppError> {
        let writes = self.store().writes().await?;
        let asked = TrialQuery {
            page: 1,
            ..query.clone()
        };
        if let Some(facets) = self.counted.unless_written(writes, &asked) {
            return Ok(facets);
        }
        let facets = Arc::new(self.count_facets(&asked).await?);
        self.counted.put(writes, asked, (), facets.clone());
        Ok(facets)
    }

    async fn count_facets(&self, query: &TrialQuery) -> Result<Vec<Facet>, AppError> {
        let found = self.store().count_facets(&filter(query)).await?;
        let names: BTreeMap<String, String> = self
            .methods()
            .await?
            .into_iter()
            .map(|method| (method.id.clone(), method.to_string()))
            .collect();
        let plain = |(value, trials): (String, usize)| FacetValue {
            words: value.clone(),
            value,
            trials,
        };
        let method = |(value, trials): (String, usize)| FacetValue {
            words: names.get(&value).cloned().unwrap_or_else(|| value.clone()),
            value,
            trials,
        };
        let facet = |field, label, values| Facet { field, label, values };
        Ok(vec![
            facet(
                "kind",
                "Machine kind",
                found.kinds.into_iter().map(plain).collect(),
            ),
            facet(
                "method",
                "Method",
                found.methods.into_iter().map(method).collect(),
            ),
            facet(
                "component",
                "Component",
                found.components.into_iter().map(plain).collect(),
            ),
            facet(
                "status",
                "Status",
                found.statuses.into_iter().map(plain).collect(),
            ),
            facet("year", "Year", found.years.into_iter().map(plain).collect()),
        ])
    }
}
