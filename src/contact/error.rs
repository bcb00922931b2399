//! Why no contact could be computed.

use crate::contact::wrong::Wrong;

/// Why no contact could be computed.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum ContactError {
    /// A field holds a value that describes no contact.
    #[error("{field} = {value}: {}", .wrong.words())]
    Field {
        /// The field, with its unit as suffix.
        field: &'static str,
        /// The value found there.
        value: f64,
        /// What is wrong with it.
        wrong: Wrong,
    },
    /// An interval of a stated contact is not one.
    #[error("{field}: {problem}")]
    Interval {
        /// The key.
        field: &'static str,
        /// What is wrong with it, in words.
        problem: String,
    },
    /// A word outside a closed list.
    #[error(transparent)]
    Word(#[from] UnknownWord),
    /// The load is of a kind that this element does not carry.
    #[error("{}", .takes.words_with(&[.element]))]
    WrongLoad {
        /// The element.
        element: &'static str,
        /// The load it takes.
        takes: Wrong,
    },
    /// The contact is stated by its terms; nothing can be computed from a geometry.
    #[error("{}", Wrong::NoGeometry.words())]
    NoGeometry,
    /// No moduli are kept for this pairing.
    #[error("{}", Wrong::NoModuli.words_with(&[.materials]))]
    NoModuli {
        /// The pairing.
        materials: &'static str,
    },
    /// The scar is smaller than the elastic contact under the same load.
    #[error("worn_scar_m = {scar_m}: {}", Wrong::ScarBelowElasticContact.words_with(&[&format!("{:.3e}", .elastic_m)]))]
    ScarBelowElasticContact {
        /// Size of the scar, m.
        scar_m: f64,
        /// Full size of the elastic contact in the same direction, m.
        elastic_m: f64,
    },
}

impl ContactError {
    /// What is wrong with the value of a field.
    pub(crate) fn field(field: &'static str, value: f64, wrong: Wrong) -> Self {
        Self::Field { field, value, wrong }
    }
}

/// A word that is not on a closed list, with the list.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{}", Wrong::Unknown.words_with(&[.word, .what, .allowed]))]
pub struct UnknownWord {
    /// What the word should name.
    pub what: &'static str,
    /// The word found.
    pub word: String,
    /// The allowed words, comma-separated.
    pub allowed: String,
}

/// `value` itself when it is finite and above zero.
pub(crate) fn positive(field: &'static str, value: f64) -> Result<f64, ContactError> {
    if value.is_finite() && value > 0.0 {
        Ok(value)
    } else {
        Err(ContactError::field(field, value, Wrong::NotAboveZero))
    }
}

/// `value` itself when it is finite and not below zero.
pub(crate) fn not_negative(field: &'static str, value: f64) -> Result<f64, ContactError> {
    if value.is_finite() && value >= 0.0 {
        Ok(value)
    } else {
        Err(ContactError::field(field, value, Wrong::BelowZero))
    }
}
