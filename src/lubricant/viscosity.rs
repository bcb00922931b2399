//! Kinematic viscosity against temperature (ASTM D341).

use crate::lubricant::error::within;
use crate::lubricant::{LubricantError, OilLimit};

/// 0 °C on the absolute scale, K (exact by definition).
pub const ZERO_CELSIUS_K: f64 = 273.15;
/// Least viscosity of the equation, mm2/s (ASTM D341, from memory).
pub const LEAST_KV_MM2_S: f64 = 0.21;
/// Greatest viscosity of the equation, mm2/s (ASTM D341, from memory).
pub const GREATEST_KV_MM2_S: f64 = 2.0e7;

/// A straight line of `log10 log10 Z` over `log10 T`.
///
/// # Formula
/// `log10 log10 Z = A - B log10 T`, where T is in kelvin and `Z = kv + 0.7 + C - D + E - F + G - H` (ASTM D341,
/// full form; the terms C to H act below 2 mm2/s only).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ViscosityLine {
    a: f64,
    b: f64,
}

impl ViscosityLine {
    /// The line through the viscosities at 40 and 100 °C, in mm2/s.
    ///
    /// # Errors
    /// Names `kv40_mm2_s` or `kv100_mm2_s` where a value lies outside 0.21 to 2e7 mm2/s, or where the viscosity
    /// at 100 °C is not below that at 40 °C.
    pub fn new(kv40_mm2_s: f64, kv100_mm2_s: f64) -> Result<Self, LubricantError> {
        let range = [LEAST_KV_MM2_S, GREATEST_KV_MM2_S];
        within("kv40_mm2_s", kv40_mm2_s, range, OilLimit::Viscosity)?;
        within("kv100_mm2_s", kv100_mm2_s, range, OilLimit::Viscosity)?;
        if kv100_mm2_s >= kv40_mm2_s {
            return Err(LubricantError {
                field: "kv100_mm2_s",
                limit: OilLimit::Falling,
            });
        }
        Ok(Self::through(
            (ZERO_CELSIUS_K + 40.0, kv40_mm2_s),
            (ZERO_CELSIUS_K + 100.0, kv100_mm2_s),
        ))
    }

    /// The line through two points of absolute temperature (K) and viscosity (mm2/s), cooler one first. Not
    /// checked: for comparison with published lines that use another zero of the Celsius scale.
    pub fn through(cool: (f64, f64), warm: (f64, f64)) -> Self {
        let [y_cool, y_warm] = [cool, warm].map(|(_, kv)| full_z(kv).log10().log10());
        let [x_cool, x_warm] = [cool, warm].map(|(kelvin, _)| kelvin.log10());
        let b = (y_cool - y_warm) / (x_warm - x_cool);
        Self {
            a: y_cool + b * x_cool,
            b,
        }
    }

    /// The slope B.
    pub fn b(&self) -> f64 {
        self.b
    }

    /// Kinematic viscosity in mm2/s at a temperature in °C; at the limits of the equation (0.21 and 2e7 mm2/s)
    /// the limit itself.
    pub fn kv_mm2_s(&self, temperature_c: f64) -> f64 {
        self.kv_at_kelvin_mm2_s(temperature_c + ZERO_CELSIUS_K)
    }

    /// Kinematic viscosity in mm2/s at an absolute temperature in K, held at the limits of the equation.
    pub fn kv_at_kelvin_mm2_s(&self, temperature_k: f64) -> f64 {
        let z = 10f64.powf(10f64.powf(self.a - self.b * temperature_k.log10()));
        kv_of_full_z(z)
    }
}

/// Z of the full low-viscosity form (ASTM D341; terms read in a public process-simulation source, their cut-offs
/// likewise, limits from memory). Viscosity in mm2/s. At 2 mm2/s the cut-off of term C leaves a step of 0.0016, so that
/// viscosities within 0.1 % below 2 mm2/s read back up to 0.1 % too high.
pub fn full_z(kv_mm2_s: f64) -> f64 {
    let v = kv_mm2_s;
    let term = |below: f64, constant: f64, slope: f64| {
        if v < below {
            (constant - slope * v).exp()
        } else {
            0.0
        }
    };
    v + 0.7 + term(2.0, -1.14883, 2.65868) - term(1.65, -0.0038138, 12.5645) + term(0.90, 5.46491, 37.6289)
        - term(0.90, 13.0458, 74.6851)
        + term(0.30, 37.4619, 192.643)
        - term(0.24, 80.4945, 400.468)
}

/// The viscosity (mm2/s) whose full Z is `z`, by bisection, held within the limits of the equation.
fn kv_of_full_z(z: f64) -> f64 {
    if z >= 2.7 {
        return (z - 0.7).min(GREATEST_KV_MM2_S);
    }
    let (mut low, mut high) = (LEAST_KV_MM2_S, 2.0);
    if z <= full_z(low) {
        return low;
    }
    for _ in 0..60 {
        let middle = 0.5 * (low + high);
        if full_z(middle) < z {
            low = middle;
        } else {
            high = middle;
        }
    }
    0.5 * (low + high)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_line_passes_through_the_two_viscosities_it_was_made_from() {
        for (kv40, kv100) in [(220.0, 19.0), (32.0, 5.4), (1.1, 0.62), (0.6, 0.4)] {
            let line = ViscosityLine::new(kv40, kv100).unwrap();
            assert!((line.kv_mm2_s(40.0) / kv40 - 1.0).abs() < 1e-9, "{kv40}");
            assert!((line.kv_mm2_s(100.0) / kv100 - 1.0).abs() < 1e-9, "{kv100}");
        }
    }

    #[test]
    fn a_viscosity_that_rises_with_temperature_is_refused_and_named() {
        assert_eq!(ViscosityLine::new(20.0, 30.0).unwrap_err().field, "kv100_mm2_s");
        assert_eq!(ViscosityLine::new(0.0, 1.0).unwrap_err().field, "kv40_mm2_s");
        assert_eq!(
            ViscosityLine::new(10.0, f64::NAN).unwrap_err().field,
            "kv100_mm2_s"
        );
    }

    /// The standard drops its term C at 2 mm2/s, where that is still 0.0016: the one step that shows.
    #[test]
    fn z_grows_with_viscosity_over_the_whole_low_range() {
        let mut last = 0.0;
        for step in 0..4000 {
            let z = full_z(LEAST_KV_MM2_S + f64::from(step) * 5e-4);
            assert!(z > last - 1.6e-3, "at step {step}: {z} after {last}");
            last = z;
        }
    }

    #[test]
    fn far_in_the_cold_the_viscosity_stays_at_the_limit_of_the_equation() {
        let line = ViscosityLine::new(220.0, 19.0).unwrap();
        assert_eq!(line.kv_mm2_s(-150.0), GREATEST_KV_MM2_S);
    }
}
