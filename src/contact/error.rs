//! What may be wrong with a contact.

/// Why no contact could be computed.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum ContactError {
    /// A field holds a value that describes no contact.
    #[error("{field} = {value}: {reason}")]
    Field {
        /// The field, with its unit as suffix.
        field: &'static str,
        /// The value found there.
        value: f64,
        /// What it has to be.
        reason: &'static str,
    },
    /// An interval of a stated contact is not one.
    #[error("{field}: {reason}")]
    Interval {
        /// The key.
        field: &'static str,
        /// What is wrong with it.
        reason: String,
    },
    /// A word outside a closed list.
    #[error(transparent)]
    Word(#[from] UnknownWord),
    /// The load is of a kind that this element does not carry.
    #[error("{element} takes {wanted}")]
    WrongLoad {
        /// The element.
        element: &'static str,
        /// The load it takes.
        wanted: &'static str,
    },
    /// The contact is stated by its terms; nothing can be computed from a geometry.
    #[error("a stated contact has no geometry to compute {wanted} from")]
    NoGeometry {
        /// What was asked for.
        wanted: &'static str,
    },
    /// No moduli are kept for this pairing.
    #[error("no elastic constants are kept for {materials}: state the pressure instead")]
    NoModuli {
        /// The pairing.
        materials: &'static str,
    },
    /// The scar is smaller than the elastic contact under the same load.
    #[error(
        "worn_scar_m = {scar_m}: smaller than the elastic contact under this load ({elastic_m:.3e} m across), so not a worn scar"
    )]
    ScarBelowElasticContact {
        /// Size of the scar, m.
        scar_m: f64,
        /// Full size of the elastic contact in the same direction, m.
        elastic_m: f64,
    },
}

/// A word that is not on a closed list, with the list.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("'{word}' is no {what}; allowed are: {allowed}")]
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
        Err(ContactError::Field {
            field,
            value,
            reason: "must be above zero and finite",
        })
    }
}

/// `value` itself when it is finite and not below zero.
pub(crate) fn not_negative(field: &'static str, value: f64) -> Result<f64, ContactError> {
    if value.is_finite() && value >= 0.0 {
        Ok(value)
    } else {
        Err(ContactError::Field {
            field,
            value,
            reason: "must not be below zero, and finite",
        })
    }
}
