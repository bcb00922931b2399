//! A test method: its contacts, conditions, quantities, and where each value comes from.

use crate::catalogue::{Quantity, Sourced};
use crate::contact::element::{Element, Load, Surroundings};
use crate::contact::stated::StatedContact;
use crate::units::DisplayPreferences;
use std::fmt;

/// Test categories I to VI of DIN 50322, from the field to the model specimen, and tests without a rubbing contact.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Category {
    /// I: field trial.
    FieldTrial,
    /// II: full machine on a stand.
    MachineOnStand,
    /// III: component or subassembly on a stand.
    ComponentOnStand,
    /// IV: scaled-down component.
    ReducedComponent,
    /// V: simplified specimen under representative conditions.
    RepresentativeSpecimen,
    /// VI: model specimen.
    ModelSpecimen,
    /// No rubbing contact: a check on the chemical bench.
    ChemicalBench,
}

impl Category {
    /// All, from the field to the bench.
    pub const ALL: [Category; 7] = [
        Self::FieldTrial,
        Self::MachineOnStand,
        Self::ComponentOnStand,
        Self::ReducedComponent,
        Self::RepresentativeSpecimen,
        Self::ModelSpecimen,
        Self::ChemicalBench,
    ];

    /// The numeral of the standard, or `chemical bench`.
    pub fn word(self) -> &'static str {
        match self {
            Self::FieldTrial => "I",
            Self::MachineOnStand => "II",
            Self::ComponentOnStand => "III",
            Self::ReducedComponent => "IV",
            Self::RepresentativeSpecimen => "V",
            Self::ModelSpecimen => "VI",
            Self::ChemicalBench => "chemical bench",
        }
    }

    /// What the numeral stands for.
    pub fn meaning(self) -> &'static str {
        match self {
            Self::FieldTrial => "field trial",
            Self::MachineOnStand => "full machine on a stand",
            Self::ComponentOnStand => "component or subassembly on a stand",
            Self::ReducedComponent => "scaled-down component",
            Self::RepresentativeSpecimen => "simplified specimen under representative conditions",
            Self::ModelSpecimen => "model specimen",
            Self::ChemicalBench => "check without a rubbing contact",
        }
    }

    /// The category of a numeral.
    pub fn from_word(word: &str) -> Option<Self> {
        Self::ALL
            .into_iter()
            .find(|category| category.word() == word.trim())
    }

    /// Whether it runs real components (I to IV) rather than specimens.
    pub fn has_components(self) -> bool {
        self <= Self::ReducedComponent
    }
}

/// Form of the lubricant that a method tests.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Lubricant {
    /// A liquid.
    Oil,
    /// A grease.
    Grease,
}

impl Lubricant {
    /// The word for it.
    pub fn word(self) -> &'static str {
        match self {
            Self::Oil => "oil",
            Self::Grease => "grease",
        }
    }

    /// The form of a word.
    pub fn from_word(word: &str) -> Option<Self> {
        [Self::Oil, Self::Grease]
            .into_iter()
            .find(|form| form.word() == word.trim())
    }
}

/// How the value of a quantity, or the method's fixed condition, loads the contact.
#[derive(Clone, Debug, PartialEq)]
pub enum LoadRule {
    /// The step is a force in N per unit of the quantity (kgf: 9.80665).
    ForcePerUnit(f64),
    /// Stage n has the n-th pinion torque, N m.
    StageTorques(Vec<f64>),
    /// One force, N, whatever the result.
    FixedForce(f64),
    /// One pinion torque, N m, whatever the result.
    FixedTorque(f64),
}

impl LoadRule {
    /// The load at a step of the quantity, in its unit; a fixed load does not ask for one.
    pub fn load(&self, step: Option<f64>) -> Option<Load> {
        match self {
            Self::FixedForce(force) => Some(Load::TotalForceN(*force)),
            Self::FixedTorque(torque) => Some(Load::PinionTorqueNm(*torque)),
            Self::ForcePerUnit(factor) => step.map(|step| Load::TotalForceN(step * factor)),
            Self::StageTorques(torques) => step
                .and_then(|stage| torque_at(torques, stage))
                .map(Load::PinionTorqueNm),
        }
    }
}

/// The torque of a stage; between two stages (a median of an even number of runs) in proportion.
fn torque_at(torques: &[f64], stage: f64) -> Option<f64> {
    let below = stage.floor();
    let index = |stage: f64| torques.get((stage as usize).checked_sub(1)?).copied();
    let low = index(below)?;
    let high = index(stage.ceil())?;
    Some(low + (high - low) * (stage - below))
}

/// One rubbing contact of a method.
#[derive(Clone, Debug, PartialEq)]
pub enum MethodContact {
    /// Known geometry: everything is computed.
    Rig {
        /// What touches what.
        element: Element,
        /// Temperature, motion, materials, supply, roughness, friction.
        surroundings: Surroundings,
        /// How it is loaded.
        load: LoadRule,
    },
    /// Stated as intervals.
    Stated(StatedContact),
}

/// A condition as a page lists it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Condition {
    /// What it is: speed, duration, specimens.
    pub name: String,
    /// Its value in the method's own unit.
    pub value: String,
}

/// A test method.
#[derive(Clone, Debug, PartialEq)]
pub struct Method {
    /// Stable id.
    pub id: String,
    /// Geometry and quantity in plain words.
    pub title: String,
    /// The standard's number.
    pub standard: String,
    /// The standard's official title.
    pub standard_title: String,
    /// Form of lubricant.
    pub lubricant: Lubricant,
    /// Test category.
    pub category: Category,
    /// Rubbing contacts; empty for a check without one.
    pub contacts: Vec<MethodContact>,
    /// Conditions as a page lists them.
    pub conditions: Vec<Condition>,
    /// What it measures.
    pub quantities: Vec<Quantity>,
    /// The standard's own caution, in our words.
    pub caution: String,
    /// Rig safety, in our words.
    pub safety: String,
    /// Anything else worth knowing.
    pub note: String,
    /// Several specimens run at once (the bearings of one run): they share the run, and results count runs.
    pub several_specimens_per_run: bool,
    /// Order of cost of one result, in the laboratory's currency.
    pub cost: Option<f64>,
    /// Days a result takes.
    pub days: Option<f64>,
    /// Every value with its mark.
    pub sources: Vec<Sourced>,
    /// Ships with the program, or belongs to the laboratory.
    pub origin: Origin,
}

/// Who a method belongs to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Origin {
    /// Ships with the program.
    BuiltIn,
    /// The laboratory's own.
    Own,
}

impl Method {
    /// The quantity with an id.
    pub fn quantity(&self, id: &str) -> Option<&Quantity> {
        self.quantities.iter().find(|quantity| quantity.id == id)
    }

    /// A text of its file with the decimal sign that a reader wants. What a laboratory wrote into its own stays as typed.
    pub fn prose(&self, text: &str, shown: DisplayPreferences) -> String {
        match self.origin {
            Origin::BuiltIn => shown.dress_within(text),
            Origin::Own => text.to_string(),
        }
    }

    /// Whether anything rubs.
    pub fn has_contact(&self) -> bool {
        !self.contacts.is_empty()
    }
}

impl fmt::Display for Method {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}, {}", self.title, self.standard)
    }
}
