//! What may be wrong with the numbers of an oil.

/// A value that describes no oil, with the field that holds it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LubricantError {
    /// The field, with its unit as suffix.
    pub field: &'static str,
    /// What its value does not keep.
    pub limit: OilLimit,
}

/// What the numbers of an oil have to keep.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum OilLimit {
    /// A density from 500 to 2500 kg/m3.
    Density,
    /// A pressure-viscosity coefficient from 1e-9 to 1e-7 per pascal.
    PressureViscosity,
    /// A viscosity from 0.21 to 2e7 mm2/s (ASTM D341).
    Viscosity,
    /// A viscosity at 100 °C below that at 40 °C.
    Falling,
    /// A viscosity of 2 mm2/s or more at 100 °C, from which on a viscosity index is defined (ASTM D2270).
    IndexDefined,
    /// A viscosity at 40 °C not below that at 100 °C.
    NotRising,
}

/// `value` itself when it lies within `range`, both ends included.
pub(crate) fn within(
    field: &'static str,
    value: f64,
    range: [f64; 2],
    limit: OilLimit,
) -> Result<f64, LubricantError> {
    if value >= range[0] && value <= range[1] {
        Ok(value)
    } else {
        Err(LubricantError { field, limit })
    }
}
