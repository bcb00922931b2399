//! A laboratory's own methods: changed copies of other ones, and what a change does to the contact.

use crate::app::{App, AppError, usual_oil};
use crate::catalogue::{Method, MethodId, Origin, built_in_method};
use crate::contact::terms::ContactTerms;
use crate::records::OwnMethod;
use crate::resemblance::{Decided, contacts};
use crate::store::StoreError;

/// A method to copy.
#[derive(Clone, Debug, PartialEq)]
pub struct Original {
    /// The method.
    pub method: Method,
    /// The built-in method from which it comes: itself, what it was copied from, or empty.
    pub based_on: String,
}

/// The terms of one contact, as the original has them and as the copy has them.
#[derive(Clone, Debug, PartialEq)]
pub struct TermsChange {
    /// Which contact of the method, from 0.
    pub contact: usize,
    /// The quantities at whose nominal load they are taken.
    pub quantities: Vec<String>,
    /// As the original.
    pub before: ContactTerms,
    /// As changed.
    pub after: ContactTerms,
}

impl App {
    /// A method that can be copied; `None` where there is none of this id.
    ///
    /// # Errors
    /// `Damaged` where a stored method cannot be read.
    pub async fn original(&self, id: &MethodId) -> Result<Option<Original>, AppError> {
        let methods = self.methods().await?;
        let Some(method) = methods.into_iter().find(|method| &method.id == id) else {
            return Ok(None);
        };
        let based_on = match method.origin {
            Origin::BuiltIn => method.id.to_string(),
            Origin::Own => {
                let own = self.store().read_own_methods().await?;
                own.into_iter()
                    .find(|rows| &rows.id == id)
                    .map(|rows| rows.based_on)
                    .unwrap_or_default()
            }
        };
        Ok(Some(Original { method, based_on }))
    }

    /// Keeps a laboratory's own method.
    ///
    /// # Errors
    /// `Question` where its id is taken.
    pub async fn save_own_method(&self, rows: &OwnMethod) -> Result<(), AppError> {
        let taken = || {
            let problem = format!("'{}' is the id of another method; take another one", rows.id);
            AppError::question("id", problem)
        };
        if built_in_method(rows.id.as_str()).is_some() {
            return Err(taken());
        }
        match self.store().insert_own_method(rows).await {
            Err(StoreError::AlreadyThere(_)) => Err(taken()),
            other => Ok(other?),
        }
    }
}

/// What a change does to every contact, for each quantity at its nominal load with the usual oil; quantities whose terms
/// agree stand together.
///
/// # Errors
/// The contact from which no terms can be computed, in words.
pub fn terms_changes(original: &Method, changed: &Method) -> Result<Vec<TermsChange>, String> {
    let oil = usual_oil();
    let mut list: Vec<TermsChange> = Vec::new();
    for (before, after) in original.quantities.iter().zip(&changed.quantities) {
        let terms = |method: &Method, quantity| {
            contacts(method, quantity, Decided::default(), oil.as_ref()).map_err(|error| error.to_string())
        };
        let sides = terms(original, before)?.into_iter().zip(terms(changed, after)?);
        for (contact, (before_terms, after_terms)) in sides.enumerate() {
            let same = |known: &&mut TermsChange| {
                known.contact == contact && known.before == before_terms && known.after == after_terms
            };
            match list.iter_mut().find(same) {
                Some(known) => known.quantities.push(before.label.clone()),
                None => list.push(TermsChange {
                    contact,
                    quantities: vec![before.label.clone()],
                    before: before_terms,
                    after: after_terms,
                }),
            }
        }
    }
    list.sort_by_key(|change| change.contact);
    Ok(list)
}
