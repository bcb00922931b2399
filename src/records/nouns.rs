//! The records of an archive, one struct per table.

use crate::catalogue::{Mode, Use, Value};
use crate::records::{
    BlendCode, BlendKind, ComponentName, Confidence, Level, MachineSlug, OutcomeSeverity, Purpose,
    ResultSource, ResultStatus, RigId, Role, TestKey, TrialSlug, TrialStatus,
};
use jiff::civil::Date;

/// A component that blends are made of.
#[derive(Clone, Debug, PartialEq)]
pub struct Component {
    /// Its name.
    pub name: ComponentName,
    /// Its class: base stock group IV, antiwear, antioxidant.
    pub class: String,
    /// A note.
    pub note: String,
}

/// One batch of one formulation.
#[derive(Clone, Debug, PartialEq)]
pub struct Blend {
    /// Its code.
    pub code: BlendCode,
    /// A name in words.
    pub name: String,
    /// Oil, grease or other.
    pub kind: BlendKind,
    /// When it was made.
    pub made_on: Option<Date>,
    /// The blend it was changed from.
    pub parent: Option<BlendCode>,
    /// What was changed.
    pub change: String,
    /// Kinematic viscosity at 40 °C, mm2/s.
    pub kv40_mm2_s: Option<f64>,
    /// Kinematic viscosity at 100 °C, mm2/s.
    pub kv100_mm2_s: Option<f64>,
    /// Density at 15 °C, kg/m3.
    pub density15_kg_m3: Option<f64>,
    /// Kinematic viscosity at 40 °C of a grease's base oil, mm2/s.
    pub base_oil_kv40_mm2_s: Option<f64>,
    /// Consistency number of a grease.
    pub nlgi: String,
    /// A note.
    pub note: String,
    /// Components with weight per cent.
    pub composition: Vec<(ComponentName, f64)>,
}

/// One physical machine in one laboratory that runs methods.
#[derive(Clone, Debug, PartialEq)]
pub struct Rig {
    /// Its id.
    pub id: RigId,
    /// Its name.
    pub name: String,
    /// Its laboratory.
    pub lab: String,
    /// The methods it runs.
    pub methods: Vec<String>,
    /// The reference oil that checks it.
    pub reference_blend: Option<BlendCode>,
}

/// A laboratory's own method, as written in its archive.
#[derive(Clone, Debug, PartialEq)]
pub struct OwnMethod {
    /// Its id.
    pub id: String,
    /// Title.
    pub title: String,
    /// Standard, or in-house.
    pub standard: String,
    /// The built-in method it was copied from, or empty.
    pub based_on: String,
    /// Lubricant word.
    pub lubricant: String,
    /// Category word.
    pub category: String,
    /// Contacts as JSON, as they came.
    pub contacts_json: String,
    /// Cost of a result.
    pub cost: Option<f64>,
    /// Days of a result.
    pub days: Option<f64>,
    /// Caution.
    pub caution: String,
    /// Note.
    pub note: String,
    /// Its quantities, as written.
    pub quantities: Vec<OwnQuantity>,
}

/// A quantity of a laboratory's own method, as written in its archive.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct OwnQuantity {
    /// Id.
    pub quantity: String,
    /// Label.
    pub label: String,
    /// Unit word.
    pub unit: String,
    /// `higher` or `lower`.
    pub better: String,
    /// `identity`, `ln`, `ladder`, `stage` or `class`.
    pub scale: String,
    /// Steps or classes, `;` between.
    pub steps: String,
    /// Cap.
    pub cap: Option<f64>,
    /// `exact`, `failure` or `pass`.
    pub plain_number_is: String,
    /// `mode=strength;…`.
    pub modes: String,
    /// r.
    pub repeatability: Option<f64>,
    /// R.
    pub reproducibility: Option<f64>,
    /// `constant`, `percent` or `steps`.
    pub precision_kind: String,
    /// Level of a constant precision.
    pub level: Option<f64>,
    /// Where the values come from.
    pub mark: String,
}

/// One comparison.
#[derive(Clone, Debug, PartialEq)]
pub struct Trial {
    /// Its slug.
    pub slug: TrialSlug,
    /// Title.
    pub title: String,
    /// The question it answers.
    pub question: String,
    /// The target machine.
    pub machine: MachineSlug,
    /// Where it stands.
    pub status: TrialStatus,
    /// Opened.
    pub opened_on: Option<Date>,
    /// Closed.
    pub closed_on: Option<Date>,
    /// How well the machine is known.
    pub machine_confidence: Confidence,
    /// Whether the data is invented; every page that shows it says so.
    pub invented: bool,
    /// The blends in it.
    pub blends: Vec<TrialBlend>,
    /// The tests in it.
    pub tests: Vec<TrialTest>,
}

/// A blend's part in a trial.
#[derive(Clone, Debug, PartialEq)]
pub struct TrialBlend {
    /// The blend.
    pub blend: BlendCode,
    /// Its role.
    pub role: Role,
    /// Its level, for a reference oil.
    pub level: Option<Level>,
}

/// A test of a trial.
#[derive(Clone, Debug, PartialEq)]
pub struct TrialTest {
    /// Method and quantity.
    pub key: TestKey,
    /// What is done with it.
    pub used_to: Use,
    /// The limit of a gate, `<= 1b`; empty otherwise.
    pub limit: String,
    /// The known-good reference of this quantity, where it differs from the trial's.
    pub known_good: Option<BlendCode>,
    /// The known-poor reference of this quantity, where it differs from the trial's.
    pub known_poor: Option<BlendCode>,
    /// Cost of a result, where it differs from the method's.
    pub cost: Option<f64>,
    /// Days of a result, where they differ from the method's.
    pub days: Option<f64>,
    /// Why it is in the trial.
    pub reason: String,
}

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

/// What a meeting decided.
#[derive(Clone, Debug, PartialEq)]
pub struct Decision {
    /// Trial.
    pub trial: TrialSlug,
    /// Date.
    pub date: Option<Date>,
    /// The chosen blend's code, or `none`.
    pub chosen: String,
    /// Why.
    pub reason: String,
    /// Who disagreed, and why.
    pub dissent: String,
    /// Cautions acknowledged, as JSON or words.
    pub acknowledged: String,
    /// The frozen standing as JSON, empty when none was frozen.
    pub snapshot: String,
}

/// What a machine did later.
#[derive(Clone, Debug, PartialEq)]
pub struct Outcome {
    /// Blend.
    pub blend: BlendCode,
    /// Machine.
    pub machine: MachineSlug,
    /// Date.
    pub date: Option<Date>,
    /// Running hours.
    pub hours: Option<f64>,
    /// Failure mode seen.
    pub mode: Option<Mode>,
    /// How bad.
    pub severity: OutcomeSeverity,
    /// Who says so.
    pub source: String,
    /// Note.
    pub note: String,
}
