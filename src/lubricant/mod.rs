//! Viscosity, density and pressure-viscosity of an oil.

mod error;
pub mod oil;
pub mod viscosity;
pub mod viscosity_index;

pub use error::{LubricantError, OilLimit};
pub use oil::Oil;
pub use viscosity_index::{IndexProcedure, viscosity_index, viscosity_index_by_procedure};
