//! Query strings: their fields, the query of the list of trials, and how they are written.

use crate::app::question::fields;
use crate::app::{Sort, TrialOrder, TrialQuery, shown};
use crate::catalogue::MethodId;
use crate::standing::WhatIf;
use crate::web::error::{FieldFault, HttpError};
use axum::extract::{FromRequestParts, Query};
use axum::http::request::Parts;
use percent_encoding::{AsciiSet, NON_ALPHANUMERIC, utf8_percent_encode};

/// The fields of a query string, in their order.
pub(crate) struct Pairs(pub(crate) Vec<(String, String)>);

impl Pairs {
    /// The first value of a field, without surrounding space.
    pub(crate) fn field(&self, name: &str) -> Option<&str> {
        let found = self.0.iter().find(|(field, _)| field == name);
        found.map(|(_, value)| value.trim())
    }

    /// Whether a field was sent without a value.
    pub(crate) fn has_empty_field(&self) -> bool {
        self.0.iter().any(|(_, value)| value.trim().is_empty())
    }
}

impl<S: Send + Sync> FromRequestParts<S> for Pairs {
    type Rejection = HttpError;

    async fn from_request_parts(parts: &mut Parts, state: &S) -> Result<Self, HttpError> {
        let read = Query::<Vec<(String, String)>>::from_request_parts(parts, state).await;
        read.map(|Query(pairs)| Self(pairs))
            .map_err(|rejection| HttpError::unusable(vec![FieldFault::new("query", rejection.body_text())]))
    }
}

/// The orders of the list of trials, with what the address calls them.
pub(crate) const SORTS: [(Sort, &str); 5] = [
    (Sort::Kept(TrialOrder::Question), "question"),
    (Sort::Verdict, "verdict"),
    (Sort::Caution, "caution"),
    (Sort::Kept(TrialOrder::Decision), "decision"),
    (Sort::Kept(TrialOrder::Latest), "date"),
];

/// The query of the list of trials; `unasked` holds where it says nothing.
pub(crate) fn trial_query(pairs: &[(String, String)], unasked: TrialQuery) -> Result<TrialQuery, HttpError> {
    let mut query = TrialQuery { page: 1, ..unasked };
    for (field, text) in pairs {
        let text = text.trim().to_string();
        match field.as_str() {
            "q" => query.filter.words = text,
            "machine" => query.filter.machine = text,
            "kind" => query.filter.kind = text,
            "method" if !text.is_empty() => query.filter.method = Some(method(&text)?),
            "component" => query.filter.component = text,
            "status" => query.filter.status = text,
            "year" => query.filter.year = text,
            "outcome" => query.filter.outcome = text,
            "page" if !text.is_empty() => query.page = page(&text)?,
            "sort" if !text.is_empty() => (query.sort, query.is_reversed) = sort(&text)?,
            _ => {}
        }
    }
    Ok(query)
}

fn method(text: &str) -> Result<MethodId, HttpError> {
    MethodId::new(text).ok_or_else(|| {
        let problem = format!("'{}' is longer than the id of a method", shown(text));
        HttpError::unusable(vec![FieldFault::new("method", problem)])
    })
}

/// `question`, or `-question` the other way round.
fn sort(text: &str) -> Result<(Sort, bool), HttpError> {
    let (is_reversed, name) = text.strip_prefix('-').map_or((false, text), |name| (true, name));
    let found = SORTS.iter().find(|(_, known)| *known == name);
    found.map(|(sort, _)| (*sort, is_reversed)).ok_or_else(|| {
        let names: Vec<&str> = SORTS.iter().map(|(_, name)| *name).collect();
        let problem = format!(
            "'{}' is no order of the list; use one of: {}",
            shown(text),
            names.join(", ")
        );
        HttpError::unusable(vec![FieldFault::new("sort", problem)])
    })
}

fn page(text: &str) -> Result<usize, HttpError> {
    let page = text.parse::<usize>().ok().filter(|page| *page >= 1);
    page.ok_or_else(|| {
        let problem = format!("'{}' is not the number of a page", shown(text));
        HttpError::unusable(vec![FieldFault::new("page", problem)])
    })
}

/// The query string of a what-if, empty for the evidence as it is.
pub(crate) fn query_string(asked: &WhatIf) -> String {
    joined(&fields(asked))
}

/// Fields as a query string.
fn joined(pairs: &[(String, String)]) -> String {
    pairs
        .iter()
        .map(|(field, value)| format!("{}={}", encoded(field), encoded(value)))
        .collect::<Vec<_>>()
        .join("&")
}

/// A path with fields as its query, where there are any.
pub(crate) fn with_query(path: &str, pairs: &[(String, String)]) -> String {
    match joined(pairs) {
        query if query.is_empty() => path.to_string(),
        query => format!("{path}?{query}"),
    }
}

/// Percent-encoded as one step of a path.
pub(crate) fn encoded_step(text: &str) -> String {
    encoded(text).replace('/', "%2F")
}

/// What stands as it is in a query string (RFC 3986, section 2.3), and `/`.
const AS_IT_IS: AsciiSet = NON_ALPHANUMERIC
    .remove(b'-')
    .remove(b'.')
    .remove(b'_')
    .remove(b'~')
    .remove(b'/');

/// Percent-encoded for a query string.
pub(crate) fn encoded(text: &str) -> String {
    utf8_percent_encode(text, &AS_IT_IS).to_string()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_query_string_and_a_step_of_a_path_carry_any_text() {
        let pair = |field: &str, value: &str| (field.to_string(), value.to_string());
        let pairs = [pair("without", "gear_A8"), pair("weight.fb_ep_oil/weld", "0.25")];
        assert_eq!(joined(&pairs), "without=gear_A8&weight.fb_ep_oil/weld=0.25");
        assert_eq!(query_string(&WhatIf::default()), "");
        assert_eq!(encoded("a b&c=é"), "a%20b%26c%3D%C3%A9");
        assert_eq!(encoded_step("K-14/2"), "K-14%2F2");
    }
}
