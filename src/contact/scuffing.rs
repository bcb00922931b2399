//! Permissible scuffing temperature from the failing load stage of the gear rig (ISO/TS 6336-20 and -21; formerly
//! ISO/TR 13989-1 and -2): information about the test oil, never a rating.
//!
//! Formulas as carried by an open gear program that names their equation numbers; the standards themselves were not
//! seen. A stage reported as above 12 gives a lower bound. Repeatability and reproducibility are two stages each.

use crate::contact::ContactError;
use crate::contact::error::positive;

/// Pinion torque of a failing load stage, N m: `3.726 stage^2` (ISO/TR 13989-2, eq. 97).
pub fn torque_of_stage_nm(stage: f64) -> f64 {
    3.726 * stage * stage
}

/// Scuffing temperature of the flash method, °C.
///
/// # Formula
/// `80 + (0.85 + 1.4 X_W) X_L stage^2` with `X_L = c eta^-0.05` (ISO/TR 13989-1, eq. 99 and 27), where eta is the
/// dynamic viscosity at oil temperature in mPa s, c the factor of the base stock, 1 for the mineral oil assumed, X_W the structure factor (1.0
/// case-hardened, 1.25 phosphated, 1.5 nitrided or copper-plated).
///
/// # Errors
/// Names the argument that is not above zero.
pub fn flash_scuffing_temperature_c(
    failing_stage: f64,
    oil_viscosity_pa_s: f64,
    structure_factor: f64,
) -> Result<f64, ContactError> {
    let stage = positive("failing_stage", failing_stage)?;
    let eta_mpa_s = positive("oil_viscosity_pa_s", oil_viscosity_pa_s)? * 1e3;
    let structure = positive("structure_factor", structure_factor)?;
    let lubricant = eta_mpa_s.powf(-0.05);
    Ok(80.0 + (0.85 + 1.4 * structure) * lubricant * stage * stage)
}

/// Permissible temperature of the integral method, °C.
///
/// # Formula
/// `theta_M + 1.5 X_WrelT theta_fla`, with T the torque of the stage, `theta_M = 80 + 0.23 T X_L`,
/// `theta_fla = 0.2 T (100 / kv40)^0.02 X_L` (ISO/TR 13989-2, eq. 94 to 97), where X_L is the lubricant factor, X_WrelT
/// the relative structure factor.
///
/// # Errors
/// Names the argument that is not above zero.
pub fn integral_scuffing_temperature_c(
    failing_stage: f64,
    kv40_mm2_s: f64,
    lubricant_factor: f64,
    relative_structure_factor: f64,
) -> Result<f64, ContactError> {
    let torque = torque_of_stage_nm(positive("failing_stage", failing_stage)?);
    let kv40 = positive("kv40_mm2_s", kv40_mm2_s)?;
    let lubricant = positive("lubricant_factor", lubricant_factor)?;
    let structure = positive("relative_structure_factor", relative_structure_factor)?;
    let bulk = 80.0 + 0.23 * torque * lubricant;
    let flash = 0.2 * torque * (100.0 / kv40).powf(0.02) * lubricant;
    Ok(bulk + 1.5 * structure * flash)
}
