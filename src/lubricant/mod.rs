//! Viscosity, density and pressure-viscosity of an oil.
