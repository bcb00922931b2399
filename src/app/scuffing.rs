//! What the gear scuffing rig says of the blends of a machine that has gears: information, never a rating.

use crate::app::{App, AppError};
use crate::catalogue::Mode;
use crate::contact::scuffing::{
    FailingStage, PermissibleTemperature, flash_permissible_temperature, integral_permissible_temperature,
};
use crate::records::{BlendCode, Machine, ResultSource, ResultStatus, RunResult, TrialRecords};
use crate::standing::film_oil;
use crate::store::TrialHead;
use std::collections::BTreeMap;

/// The ladder whose stages both methods mean: A profile, 8.3 m/s, 90 °C. Other profiles, widths and speeds load their
/// stages otherwise.
const METHOD: &str = "gear_A8";
const QUANTITY: &str = "fail_stage";
/// Oil temperature at the start of a stage, °C (ASTM D5182, procedure, seen).
const START_C: f64 = 90.0;
/// Structure factor of case-hardened gears, and the same relative to the rig's gears.
const CASE_HARDENED: f64 = 1.0;
/// Lubricant factor of mineral oil in the integral method.
const MINERAL: f64 = 1.0;
/// Trials looked at, the latest first.
const LOOKED_AT: usize = 20;

/// What the gear scuffing rig says of one blend.
#[derive(Clone, Debug, PartialEq)]
pub struct BlendScuffing {
    /// The blend.
    pub blend: BlendCode,
    /// Runs at the method's own conditions.
    pub runs: usize,
    /// The middle one of their stages, of two the lower.
    pub stage: FailingStage,
    /// Permissible contact temperature of the flash temperature method, taken as a mineral oil and case-hardened gears;
    /// `None` where the viscosity at 90 °C is not known.
    pub flash: Option<PermissibleTemperature>,
    /// Permissible integral temperature of the integral temperature method, likewise; `None` where the viscosity at
    /// 40 °C is not known.
    pub integral: Option<PermissibleTemperature>,
}

/// Whether a machine has gears whose scuffing matters: a gear pair, or a stated contact that names scuffing.
fn has_gears(machine: &Machine) -> bool {
    machine.contacts.iter().any(|contact| {
        contact.preset.gears().is_some()
            || (contact.preset.word() == "stated" && contact.importance(Mode::Scuffing) > 0.0)
    })
}

/// The stage of a run that counts: measured, not void, at the method's own conditions.
fn stage_of(run: &RunResult) -> Option<FailingStage> {
    let counts = run.key.method.as_str() == METHOD
        && run.key.quantity == QUANTITY
        && run.status != ResultStatus::Void
        && run.source == ResultSource::Measured
        && run.conditions.is_empty();
    let stage = run.value.failing_step().filter(|_| counts)?;
    Some(if run.value.is_capped() {
        FailingStage::Passed(stage)
    } else {
        FailingStage::Failed(stage)
    })
}

/// The blends of some trials that were run on the rig, in the order of their codes.
fn scuffing_of(trial_records: &[TrialRecords]) -> Vec<BlendScuffing> {
    let mut stages: BTreeMap<&BlendCode, Vec<FailingStage>> = BTreeMap::new();
    for run in trial_records.iter().flat_map(TrialRecords::current_results) {
        if let Some(stage) = stage_of(run) {
            stages.entry(&run.blend).or_default().push(stage);
        }
    }
    let of_blend = |(code, stages): (&BlendCode, Vec<FailingStage>)| {
        let stage = FailingStage::middle(&stages)?;
        let blend = trial_records.iter().find_map(|records| records.blend(code));
        let oil = blend.and_then(film_oil);
        let viscosity = oil.map(|oil| oil.dynamic_viscosity_pa_s(START_C));
        let flash = viscosity.map(|eta| flash_permissible_temperature(stage, eta, CASE_HARDENED));
        let integral = blend
            .and_then(|blend| blend.kv40_mm2_s)
            .map(|kv40| integral_permissible_temperature(stage, kv40, MINERAL, CASE_HARDENED));
        Some(BlendScuffing {
            blend: code.clone(),
            runs: stages.len(),
            stage,
            flash: flash.and_then(Result::ok),
            integral: integral.and_then(Result::ok),
        })
    };
    stages.into_iter().filter_map(of_blend).collect()
}

impl App {
    /// What the gear scuffing rig says of the blends of a machine's latest trials; nothing for a machine without gears.
    ///
    /// # Errors
    /// `Damaged` where a stored value cannot be read.
    pub(in crate::app) async fn scuffing(
        &self,
        machine: &Machine,
        trials: &[TrialHead],
    ) -> Result<Vec<BlendScuffing>, AppError> {
        let mut trial_records = Vec::new();
        if has_gears(machine) {
            for head in trials.iter().take(LOOKED_AT) {
                trial_records.extend(self.store().read_trial_records(&head.trial).await?);
            }
        }
        Ok(scuffing_of(&trial_records))
    }
}
