//! Density of an oil at a temperature.

/// Density at 15 °C that is taken where none is given, kg/m3 (ours: a middling mineral gear oil).
pub const DEFAULT_DENSITY15_KG_M3: f64 = 880.0;

/// Relative fall of density per kelvin; mineral oils lie at 6.5e-4 to 7e-4 (from memory).
const EXPANSION_PER_K: f64 = 7.0e-4;

/// Density in kg/m3 at `temperature_c`, from the density at 15 °C.
///
/// # Formula
/// `rho(T) = rho15 (1 - c (T - 15))`, where c = 7e-4 per K (from memory). The linear law is for mineral oils
/// between about 0 and 150 °C; other base stocks depart from it by one or two per cent.
pub fn density_kg_m3(density15_kg_m3: f64, temperature_c: f64) -> f64 {
    density15_kg_m3 * (1.0 - EXPANSION_PER_K * (temperature_c - 15.0))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn density_at_fifteen_degrees_is_the_stated_one_and_falls_with_temperature() {
        assert_eq!(density_kg_m3(880.0, 15.0), 880.0);
        assert!((density_kg_m3(880.0, 100.0) - 827.64).abs() < 1e-9);
    }
}
