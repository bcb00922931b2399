//! A test method: its contacts, conditions, quantities, and where each value comes from.

use crate::catalogue::{MethodId, Quantity, Readings, Sourced, Words};
use crate::contact::element::{Element, Load, Surroundings};
use crate::contact::stated::StatedContact;
use crate::units::DisplayPreferences;
use serde::{Deserialize, Serialize};
use std::fmt;

/// Test categories I to VI of DIN 50322, from the field to the model specimen, and tests without a rubbing contact.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Deserialize)]
pub enum Category {
    /// I: field trial.
    #[serde(rename = "I")]
    FieldTrial,
    /// II: full machine on a stand.
    #[serde(rename = "II")]
    MachineOnStand,
    /// III: component or subassembly on a stand.
    #[serde(rename = "III")]
    ComponentOnStand,
    /// IV: scaled-down component.
    #[serde(rename = "IV")]
    ReducedComponent,
    /// V: simplified specimen under representative conditions.
    #[serde(rename = "V")]
    RepresentativeSpecimen,
    /// VI: model specimen.
    #[serde(rename = "VI")]
    ModelSpecimen,
    /// No rubbing contact: a check on the chemical bench.
    #[serde(rename = "chemical bench")]
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

    /// Whether it runs real components (I to IV) rather than specimens.
    pub fn has_components(self) -> bool {
        self <= Self::ReducedComponent
    }
}

/// Form of the lubricant that a method tests.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Deserialize)]
#[serde(rename_all = "lowercase")]
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
}

/// How the value of a quantity, or the method's fixed condition, loads the contact.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub enum LoadRule {
    /// The step is a force in N per unit of the quantity (kgf: 9.80665).
    #[serde(rename = "newton_per_unit")]
    ForcePerUnit(f64),
    /// Stage n has the n-th pinion torque, N m.
    #[serde(rename = "stage_torques_nm")]
    StageTorques(Vec<f64>),
    /// One force, N, whatever the result.
    #[serde(rename = "fixed_force_n")]
    FixedForce(f64),
    /// One pinion torque, N m, whatever the result.
    #[serde(rename = "fixed_torque_nm")]
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

/// One rubbing contact of a method, by its name.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(try_from = "serde_json::Value")]
pub struct NamedContact {
    /// By it a quantity says that it comes from here; may be empty where a method has one contact alone.
    pub name: String,
    /// The contact.
    pub contact: MethodContact,
}

/// How a rubbing contact of a method is given.
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
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Condition {
    /// What it is: speed, duration, specimens.
    pub name: String,
    /// Its value in the method's own unit.
    pub value: String,
}

/// A test method, read from its data file as it stands there.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Method {
    /// Stable id.
    pub id: MethodId,
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
    #[serde(rename = "contact", default)]
    pub contacts: Vec<NamedContact>,
    /// What it is run on and for what; methods of the same tell much the same. Empty: nothing else is like it.
    #[serde(default)]
    pub apparatus: String,
    /// Conditions as a page lists them.
    #[serde(rename = "condition", default)]
    pub conditions: Vec<Condition>,
    /// What it measures.
    #[serde(rename = "quantity")]
    pub quantities: Vec<Quantity>,
    /// The standard's own caution, in our words.
    pub caution: String,
    /// Rig safety, in our words.
    #[serde(default)]
    pub safety: String,
    /// Anything else worth knowing.
    #[serde(default)]
    pub note: String,
    /// What is taken down at the bench; `None` where the result itself is what is read.
    pub readings: Option<Readings>,
    /// Several specimens run at once (the bearings of one run): they share the run, and results count runs.
    #[serde(default)]
    pub several_specimens_per_run: bool,
    /// Order of cost of one result, in the laboratory's currency.
    pub cost: Option<f64>,
    /// Days a result takes.
    pub days: Option<f64>,
    /// Every value with its mark.
    #[serde(skip)]
    pub sources: Vec<Sourced>,
    /// Ships with the program, or belongs to the laboratory.
    #[serde(skip)]
    pub origin: Origin,
    /// Words of the method it was copied from that state conditions it does not have, and that it does without.
    #[serde(skip)]
    pub left_out: Vec<Words>,
}

/// Who a method belongs to.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Origin {
    /// Ships with the program.
    #[default]
    BuiltIn,
    /// The laboratory's own.
    Own,
}

impl Method {
    /// The quantity with an id.
    pub fn quantity(&self, id: &str) -> Option<&Quantity> {
        self.quantities.iter().find(|quantity| quantity.id == id)
    }

    /// What a person calls it: its title with the standard, `Four-ball wear, oil, 40 kgf (ASTM D4172, condition B)`.
    pub fn name(&self) -> String {
        format!("{} ({})", self.title, self.standard)
    }

    /// What a person calls one of its quantities: its label behind the name of the method.
    pub fn name_of(&self, quantity: &str) -> String {
        let label = self.quantity(quantity).map_or(quantity, |it| it.label.as_str());
        format!("{}: {label}", self.name())
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

    /// The contacts that a quantity comes from: those that it names, or all where it names none.
    pub fn contacts_of<'m>(&'m self, quantity: &'m Quantity) -> impl Iterator<Item = &'m MethodContact> {
        self.named_contacts_of(quantity).map(|named| &named.contact)
    }

    /// The names of the contacts that a quantity comes from.
    pub fn names_of(&self, quantity: &Quantity) -> Vec<String> {
        let named = self.named_contacts_of(quantity);
        named.map(|named| named.name.clone()).collect()
    }

    fn named_contacts_of<'m>(&'m self, quantity: &'m Quantity) -> impl Iterator<Item = &'m NamedContact> {
        let counts =
            |named: &&NamedContact| quantity.contacts.is_empty() || quantity.contacts.contains(&named.name);
        self.contacts.iter().filter(counts)
    }

    /// The first contact, whatever quantity.
    pub fn first_contact(&self) -> Option<&MethodContact> {
        self.contacts.first().map(|named| &named.contact)
    }

    /// Its family of apparatus: methods of one family tell much the same. A method without an apparatus is its own.
    pub fn family(&self) -> &str {
        match self.apparatus.as_str() {
            "" => self.id.as_str(),
            apparatus => apparatus,
        }
    }

    /// The first contact that a quantity names and the method has not.
    pub fn missing_contact<'q>(&self, quantity: &'q Quantity) -> Option<&'q str> {
        let is_there = |name: &str| self.contacts.iter().any(|named| named.name == name);
        let mut names = quantity.contacts.iter().map(String::as_str);
        names.find(|name| !is_there(name))
    }
}

impl fmt::Display for Method {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}, {}", self.title, self.standard)
    }
}
