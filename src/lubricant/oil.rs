//! An oil as the contact formulas see it.

use crate::lubricant::error::within;
use crate::lubricant::pressure_viscosity::{Estimate, wooster};
use crate::lubricant::viscosity::ViscosityLine;
use crate::lubricant::{DEFAULT_DENSITY15_KG_M3, LubricantError, density_kg_m3};

/// Where the pressure-viscosity coefficient comes from.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum PressureViscosity {
    /// Measured, 1/Pa; taken at every temperature.
    Measured(f64),
    /// Estimated from the viscosity at the contact's temperature (correlation after Wooster, from memory).
    Estimated,
}

/// Viscosity, density and pressure-viscosity of one oil.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Oil {
    /// Kinematic viscosity against temperature.
    pub viscosity: ViscosityLine,
    /// Density at 15 °C, kg/m3.
    pub density15_kg_m3: f64,
    /// Pressure-viscosity coefficient.
    pub pressure_viscosity: PressureViscosity,
}

impl Oil {
    /// An oil from its viscosities at 40 and 100 °C (mm2/s), its density at 15 °C (kg/m3; 880 where none is
    /// given, ours) and its measured pressure-viscosity coefficient (1/Pa; estimated where none is given).
    ///
    /// # Errors
    /// Names the field whose value describes no oil.
    pub fn new(
        kv40_mm2_s: f64,
        kv100_mm2_s: f64,
        density15_kg_m3: Option<f64>,
        alpha_per_pa: Option<f64>,
    ) -> Result<Self, LubricantError> {
        let density15_kg_m3 = within(
            "density15_kg_m3",
            density15_kg_m3.unwrap_or(DEFAULT_DENSITY15_KG_M3),
            [500.0, 2500.0],
            "must lie between 500 and 2500 kg/m3",
        )?;
        let pressure_viscosity = match alpha_per_pa {
            None => PressureViscosity::Estimated,
            Some(alpha) => PressureViscosity::Measured(within(
                "alpha_per_pa",
                alpha,
                [1e-9, 1e-7],
                "must lie between 1e-9 and 1e-7 per pascal",
            )?),
        };
        Ok(Self {
            viscosity: ViscosityLine::new(kv40_mm2_s, kv100_mm2_s)?,
            density15_kg_m3,
            pressure_viscosity,
        })
    }

    /// Dynamic viscosity at ambient pressure, Pa s.
    pub fn dynamic_viscosity_pa_s(&self, temperature_c: f64) -> f64 {
        let density = density_kg_m3(self.density15_kg_m3, temperature_c);
        self.viscosity.kv_mm2_s(temperature_c) * 1e-6 * density
    }

    /// Pressure-viscosity coefficient, 1/Pa.
    pub fn alpha_per_pa(&self, temperature_c: f64) -> f64 {
        match self.pressure_viscosity {
            PressureViscosity::Measured(alpha) => alpha,
            PressureViscosity::Estimated => self.estimate(temperature_c).alpha_per_pa,
        }
    }

    /// The pressure-viscosity coefficient as estimated, with the name and the uncertainty of its correlation; `None`
    /// where it was measured.
    pub fn alpha_estimate(&self, temperature_c: f64) -> Option<Estimate> {
        self.alpha_is_estimated().then(|| self.estimate(temperature_c))
    }

    fn estimate(&self, temperature_c: f64) -> Estimate {
        wooster(self.dynamic_viscosity_pa_s(temperature_c))
    }

    /// Whether the pressure-viscosity coefficient is an estimate.
    pub fn alpha_is_estimated(&self) -> bool {
        self.pressure_viscosity == PressureViscosity::Estimated
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_oil_without_a_measured_coefficient_says_that_it_is_estimated() {
        let oil = Oil::new(220.0, 19.0, None, None).unwrap();
        assert!(oil.alpha_is_estimated());
        let measured = Oil::new(220.0, 19.0, Some(890.0), Some(2.2e-8)).unwrap();
        assert!(!measured.alpha_is_estimated());
        assert_eq!(measured.alpha_per_pa(80.0), 2.2e-8);
        assert_eq!(measured.alpha_estimate(80.0), None);
        let estimate = oil.alpha_estimate(80.0).unwrap();
        assert_eq!(estimate.alpha_per_pa, oil.alpha_per_pa(80.0));
        assert!(estimate.correlation.contains("from memory") && estimate.relative_uncertainty > 0.0);
    }

    #[test]
    fn a_density_in_the_wrong_unit_is_refused_and_named() {
        assert_eq!(
            Oil::new(220.0, 19.0, Some(0.88), None).unwrap_err().field,
            "density15_kg_m3"
        );
    }
}
