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

/// Stages by which two runs of one oil may differ, in one laboratory or in two (ASTM D5182, seen).
pub const STAGES_BETWEEN_RUNS: f64 = 2.0;

/// Permissible temperature of an oil that fails before the first stage, °C: both methods start from it.
const WITHOUT_LOAD_C: f64 = 80.0;

/// The load stage at which an oil failed, or the last one it passed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum FailingStage {
    /// It failed at this stage.
    Failed(f64),
    /// It passed this stage, the last one run.
    Passed(f64),
}

impl FailingStage {
    /// The stage.
    pub fn stage(self) -> f64 {
        match self {
            Self::Failed(stage) | Self::Passed(stage) => stage,
        }
    }

    /// Whether it failed at no stage that was run.
    pub fn is_at_least(self) -> bool {
        matches!(self, Self::Passed(_))
    }

    /// The middle one of several runs; of two middle ones the lower, and a failure before a pass of the same stage.
    /// `None` of none.
    pub fn middle(runs: &[Self]) -> Option<Self> {
        let mut sorted = runs.to_vec();
        sorted.sort_by(|a, b| {
            let rank = |stage: &Self| u8::from(stage.is_at_least());
            a.stage().total_cmp(&b.stage()).then(rank(a).cmp(&rank(b)))
        });
        sorted.get(sorted.len().checked_sub(1)? / 2).copied()
    }
}

/// A permissible temperature as far as a failing stage tells it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PermissibleTemperature {
    /// At the stage, °C; where that was passed, the oil is permitted at least this.
    pub at_stage_c: f64,
    /// Whether the stage was passed, so that the temperature is a lower bound.
    pub is_at_least: bool,
    /// Two stages below, °C.
    pub low_c: f64,
    /// Two stages above, °C; `None` where the stage was passed and no upper end is known.
    pub high_c: Option<f64>,
}

fn permissible(
    stage: FailingStage,
    temperature_c: impl Fn(f64) -> Result<f64, ContactError>,
) -> Result<PermissibleTemperature, ContactError> {
    let below = stage.stage() - STAGES_BETWEEN_RUNS;
    let above = stage.stage() + STAGES_BETWEEN_RUNS;
    Ok(PermissibleTemperature {
        at_stage_c: temperature_c(stage.stage())?,
        is_at_least: stage.is_at_least(),
        low_c: if below > 0.0 {
            temperature_c(below)?
        } else {
            WITHOUT_LOAD_C
        },
        high_c: if stage.is_at_least() {
            None
        } else {
            Some(temperature_c(above)?)
        },
    })
}

/// Permissible contact temperature of the flash temperature method, from [`flash_scuffing_temperature_c`].
///
/// Not to be set against that of the integral method: the two lie apart by chance.
///
/// # Errors
/// Names the argument that is not above zero.
pub fn flash_permissible_temperature(
    stage: FailingStage,
    oil_viscosity_pa_s: f64,
    structure_factor: f64,
) -> Result<PermissibleTemperature, ContactError> {
    permissible(stage, |stage| {
        flash_scuffing_temperature_c(stage, oil_viscosity_pa_s, structure_factor)
    })
}

/// Permissible integral temperature of the integral temperature method, from [`integral_scuffing_temperature_c`].
///
/// # Errors
/// Names the argument that is not above zero.
pub fn integral_permissible_temperature(
    stage: FailingStage,
    kv40_mm2_s: f64,
    lubricant_factor: f64,
    relative_structure_factor: f64,
) -> Result<PermissibleTemperature, ContactError> {
    permissible(stage, |stage| {
        integral_scuffing_temperature_c(stage, kv40_mm2_s, lubricant_factor, relative_structure_factor)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Two stages around 10 move the flash method's temperature by about -70 and +85 K (computed from its formula,
    /// whose 280.5 °C at stage 10 follows the coded standard).
    #[test]
    fn a_failing_stage_of_ten_leaves_a_span_of_two_stages_each_way() {
        let ten = flash_permissible_temperature(FailingStage::Failed(10.0), 0.010, 1.0).unwrap();
        assert!((ten.at_stage_c - 280.5).abs() < 0.1);
        assert!((ten.low_c - ten.at_stage_c + 72.2).abs() < 0.1, "{ten:?}");
        assert!(
            (ten.high_c.unwrap() - ten.at_stage_c - 88.2).abs() < 0.1,
            "{ten:?}"
        );
        assert!(!ten.is_at_least);
    }

    #[test]
    fn a_stage_that_was_passed_gives_a_lower_bound_without_an_upper_end() {
        let capped = integral_permissible_temperature(FailingStage::Passed(12.0), 100.0, 1.0, 1.0).unwrap();
        assert!((capped.at_stage_c - 364.37).abs() < 0.05);
        assert!(capped.is_at_least);
        assert_eq!(capped.high_c, None);
        assert!(capped.low_c < capped.at_stage_c);
    }

    #[test]
    fn below_the_first_stages_the_lower_end_is_that_of_no_load() {
        let one = integral_permissible_temperature(FailingStage::Failed(1.0), 100.0, 1.0, 1.0).unwrap();
        assert_eq!(one.low_c, 80.0);
    }

    #[test]
    fn the_middle_run_is_the_lower_of_two_and_a_failure_before_a_pass() {
        use FailingStage::{Failed, Passed};
        assert_eq!(FailingStage::middle(&[]), None);
        assert_eq!(
            FailingStage::middle(&[Passed(12.0), Failed(12.0)]),
            Some(Failed(12.0))
        );
        assert_eq!(
            FailingStage::middle(&[Failed(8.0), Failed(7.0), Passed(12.0)]),
            Some(Failed(8.0))
        );
    }
}
