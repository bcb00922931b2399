//! Viscosity ratio of rolling bearings (ISO 281).

use crate::contact::ContactError;
use crate::contact::error::positive;

/// Reference viscosity nu1 in mm2/s at a speed and a pitch diameter.
///
/// # Formula
/// `45000 n^-0.83 D^-0.5` below 1000 r/min, `4500 n^-0.5 D^-0.5` from there on, where n is in r/min, D the pitch
/// diameter in mm, for which half the sum of bore and outside diameter may stand (ISO 281; formula seen in a public
/// source). The step of -2.3 % at 1000 r/min is the standard's own.
///
/// # Errors
/// Names the argument that is not above zero.
pub fn reference_viscosity_mm2_s(speed_rpm: f64, pitch_diameter_m: f64) -> Result<f64, ContactError> {
    let n = positive("speed_rpm", speed_rpm)?;
    let d_mm = positive("pitch_diameter_m", pitch_diameter_m)? * 1e3;
    let by_speed = if n < 1000.0 {
        45_000.0 * n.powf(-0.83)
    } else {
        4_500.0 * n.powf(-0.5)
    };
    Ok(by_speed / d_mm.sqrt())
}

/// Viscosity ratio kappa: the oil's viscosity at operating temperature over the reference viscosity.
///
/// # Errors
/// Names the argument that is not above zero.
pub fn viscosity_ratio(
    kv_at_operating_temperature_mm2_s: f64,
    speed_rpm: f64,
    pitch_diameter_m: f64,
) -> Result<f64, ContactError> {
    let kv = positive(
        "kv_at_operating_temperature_mm2_s",
        kv_at_operating_temperature_mm2_s,
    )?;
    Ok(kv / reference_viscosity_mm2_s(speed_rpm, pitch_diameter_m)?)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_oil_at_the_reference_viscosity_has_a_ratio_of_one() {
        let reference = reference_viscosity_mm2_s(1480.0, 0.11).unwrap();
        assert!((viscosity_ratio(reference, 1480.0, 0.11).unwrap() - 1.0).abs() < 1e-15);
    }

    #[test]
    fn a_bearing_at_rest_has_no_reference_viscosity() {
        assert!(reference_viscosity_mm2_s(0.0, 0.1).is_err());
    }
}
