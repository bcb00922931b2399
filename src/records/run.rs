//! Results, revision by revision, and the raw readings behind them.

use crate::catalogue::Value;
use crate::records::{BlendCode, Purpose, ResultSource, ResultStatus, RigId, TestKey, TrialSlug};
use jiff::civil::Date;

/// One run of one blend by one method on one rig.
#[derive(Clone, Debug, PartialEq)]
pub struct RunResult {
    /// Its number in the archive; `None` before it is stored.
    pub id: Option<i64>,
    /// The trial it belongs to.
    pub trial: TrialSlug,
    /// The blend.
    pub blend: BlendCode,
    /// Method and quantity.
    pub key: TestKey,
    /// The value in the quantity's unit.
    pub value: Value,
    /// The load is not a step of the ladder and keeps its own bounds.
    pub off_ladder: bool,
    /// The value as written.
    pub value_as_written: String,
    /// The unit as written.
    pub unit_as_written: String,
    /// The rig.
    pub rig: Option<RigId>,
    /// Start of the run.
    pub date: Option<Date>,
    /// Number of the run, from 1.
    pub replicate: u32,
    /// Campaign: with the rig, the block whose severity is judged by the reference oils run in it.
    pub campaign: String,
    /// Conditions where they are stated.
    pub conditions: String,
    /// Why it was run.
    pub purpose: Purpose,
    /// Whether it counts.
    pub status: ResultStatus,
    /// Why it is suspect or void.
    pub reason: String,
    /// Measured, or from a data sheet.
    pub source: ResultSource,
    /// Note.
    pub note: String,
    /// The result that this one corrects.
    pub supersedes: Option<i64>,
    /// When it was entered, ISO 8601.
    pub entered_at: String,
    /// When it was voided, ISO 8601; empty when not.
    pub voided_at: String,
    /// Where it came from: file name and row, or form.
    pub origin: String,
}

impl RunResult {
    /// The key by which the same run is recognised.
    pub fn run_key(&self) -> RunKey {
        RunKey {
            trial: self.trial.clone(),
            blend: self.blend.clone(),
            key: self.key.clone(),
            rig: self.rig.clone(),
            date: self.date,
            replicate: self.replicate,
        }
    }

    /// The block it was run in: rig and campaign.
    pub fn block(&self) -> (String, String) {
        (
            self.rig.as_ref().map(ToString::to_string).unwrap_or_default(),
            self.campaign.clone(),
        )
    }
}

/// The key of a run: the same key with another value is a refused row, never an overwrite.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct RunKey {
    /// Trial.
    pub trial: TrialSlug,
    /// Blend.
    pub blend: BlendCode,
    /// Method and quantity.
    pub key: TestKey,
    /// Rig.
    pub rig: Option<RigId>,
    /// Date.
    pub date: Option<Date>,
    /// Replicate.
    pub replicate: u32,
}

/// A raw number behind a result.
#[derive(Clone, Debug, PartialEq)]
pub struct RawReading {
    /// Trial.
    pub trial: TrialSlug,
    /// Blend.
    pub blend: BlendCode,
    /// Method.
    pub method: String,
    /// Rig.
    pub rig: Option<RigId>,
    /// Date.
    pub date: Option<Date>,
    /// Replicate.
    pub replicate: u32,
    /// Which ball, tooth or step.
    pub position: String,
    /// What was read.
    pub kind: String,
    /// The number or word as written.
    pub value: String,
    /// Unit as written.
    pub unit: String,
}
