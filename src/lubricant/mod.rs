//! Viscosity, density and pressure-viscosity of an oil.

mod density;
mod error;
mod oil;
pub mod pressure_viscosity;
pub mod viscosity;
mod viscosity_index;

pub use density::{DEFAULT_DENSITY15_KG_M3, density_kg_m3};
pub use error::LubricantError;
pub use oil::Oil;
pub use viscosity_index::{
    IndexProcedure, reference_viscosities, viscosity_index, viscosity_index_by_procedure,
};
