//! The records of an archive, one struct per table.

use crate::catalogue::{Mode, Use};
use crate::records::{
    Adoption, BlendCode, BlendKind, ComponentName, Confidence, Level, MachineSlug, OutcomeSeverity, RigId,
    Role, TestKey, TrialSlug, TrialStatus,
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
    /// Its conditions as a JSON list of names and values, as they came; empty: those of the method it was copied from.
    pub conditions_json: String,
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
    /// The version of the machine with which it is judged.
    pub machine_version: u32,
    /// How it came to that version, the first adoption first; empty where it never had another.
    pub adoptions: Vec<Adoption>,
}

impl Trial {
    /// The version of the machine with which it was opened.
    pub fn first_machine_version(&self) -> u32 {
        self.adoptions
            .first()
            .map_or(self.machine_version, |adoption| adoption.from_version)
    }
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

impl Decision {
    /// What `chosen` says where no blend was chosen.
    pub const NONE: &'static str = "none";

    /// Whether it was signed on a standing that was frozen with it.
    pub fn is_signed(&self) -> bool {
        !self.snapshot.is_empty()
    }

    /// The chosen blend's code; `None` where none was chosen.
    pub fn chosen_blend(&self) -> Option<&str> {
        (self.chosen != Self::NONE).then_some(self.chosen.as_str())
    }
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
