//! An oil as the contact formulas see it.

use crate::lubricant::error::within;
use crate::lubricant::viscosity::ViscosityLine;
use crate::lubricant::{LubricantError, OilLimit};

/// Density at 15 °C that is taken where none is given, kg/m3 (ours: a middling mineral gear oil).
const DEFAULT_DENSITY15_KG_M3: f64 = 880.0;

/// Relative fall of density per kelvin; mineral oils lie at 6.5e-4 to 7e-4 (from memory).
const EXPANSION_PER_K: f64 = 7.0e-4;

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
            OilLimit::Density,
        )?;
        let pressure_viscosity = match alpha_per_pa {
            None => PressureViscosity::Estimated,
            Some(alpha) => PressureViscosity::Measured(within(
                "alpha_per_pa",
                alpha,
                [1e-9, 1e-7],
                OilLimit::PressureViscosity,
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
            PressureViscosity::Estimated => wooster_per_pa(self.dynamic_viscosity_pa_s(temperature_c)),
        }
    }

    /// Whether the pressure-viscosity coefficient is an estimate.
    pub fn alpha_is_estimated(&self) -> bool {
        self.pressure_viscosity == PressureViscosity::Estimated
    }
}

/// Density in kg/m3 at `temperature_c`, from the density at 15 °C.
///
/// # Formula
/// `rho(T) = rho15 (1 - c (T - 15))`, where c = 7e-4 per K (from memory). The linear law is for mineral oils
/// between about 0 and 150 °C; other base stocks depart from it by one or two per cent.
fn density_kg_m3(density15_kg_m3: f64, temperature_c: f64) -> f64 {
    density15_kg_m3 * (1.0 - EXPANSION_PER_K * (temperature_c - 15.0))
}

/// Pressure-viscosity coefficient after Wooster, 1/Pa, for paraffinic mineral oils; viscosity at the contact's
/// temperature in Pa s. It enters a film thickness with an exponent near one half.
///
/// # Formula
/// `alpha = (0.6 + 0.965 log10 eta) 1e-8 / Pa`, where eta is in mPa s (from memory). Within 17 % of measured values
/// of high-index mineral oils, up to 27 % low for naphthenic ones. Below 1 mPa s the value at 1 mPa s (ours).
pub fn wooster_per_pa(dynamic_viscosity_pa_s: f64) -> f64 {
    let eta_mpa_s = (dynamic_viscosity_pa_s * 1e3).max(1.0);
    (0.6 + 0.965 * eta_mpa_s.log10()) * 1e-8
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_estimate_rises_with_viscosity_and_stays_in_the_range_of_oils() {
        let [thin, thick] = [0.005, 0.5].map(wooster_per_pa);
        assert!(thin < thick && thin > 5e-9 && thick < 5e-8);
        assert!(wooster_per_pa(1e-5) > 0.0);
    }

    #[test]
    fn density_at_fifteen_degrees_is_the_stated_one_and_falls_with_temperature() {
        assert_eq!(density_kg_m3(880.0, 15.0), 880.0);
        assert!((density_kg_m3(880.0, 100.0) - 827.64).abs() < 1e-9);
    }

    #[test]
    fn an_oil_without_a_measured_coefficient_says_that_it_is_estimated() {
        let oil = Oil::new(220.0, 19.0, None, None).unwrap();
        assert!(oil.alpha_is_estimated());
        let measured = Oil::new(220.0, 19.0, Some(890.0), Some(2.2e-8)).unwrap();
        assert!(!measured.alpha_is_estimated());
        assert_eq!(measured.alpha_per_pa(80.0), 2.2e-8);
    }

    #[test]
    fn a_density_in_the_wrong_unit_is_refused_and_named() {
        assert_eq!(
            Oil::new(220.0, 19.0, Some(0.88), None).unwrap_err().field,
            "density15_kg_m3"
        );
    }
}
