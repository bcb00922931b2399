//! What may be wrong with the numbers of an oil.

/// A value that describes no oil, with the field that holds it.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[error("{field} = {value}: {reason}")]
pub struct LubricantError {
    /// The field, with its unit as suffix.
    pub field: &'static str,
    /// The value found there.
    pub value: f64,
    /// What it has to be.
    pub reason: &'static str,
}

/// `value` itself when it lies within `range`, both ends included.
pub(crate) fn within(
    field: &'static str,
    value: f64,
    range: [f64; 2],
    reason: &'static str,
) -> Result<f64, LubricantError> {
    if value >= range[0] && value <= range[1] {
        Ok(value)
    } else {
        Err(LubricantError { field, value, reason })
    }
}
