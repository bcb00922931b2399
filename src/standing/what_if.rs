//! What a reader may change about a standing without changing a record.

use crate::catalogue::MethodId;
use crate::contact::preset::PresetFault;
use crate::records::{BlendCode, DutyChange, DutyFactors, Level, Role, TermScale, TestKey, TrialRecords};
use crate::resemblance::{Scale, Scales, Term};
use crate::standing::{HEAD_ROOM, MOST_HEAD_ROOM};
use std::collections::BTreeMap;
use std::ops::RangeInclusive;

/// Leaves out a method with all its quantities, or one quantity.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Without {
    /// All quantities of a method.
    Method(MethodId),
    /// One quantity.
    Quantity(TestKey),
}

impl Without {
    /// `method` or `method/quantity`; `None` when empty.
    pub fn parse(text: &str) -> Option<Self> {
        let text = text.trim();
        if text.contains('/') {
            return TestKey::parse(text).map(Self::Quantity);
        }
        MethodId::new(text).map(Self::Method)
    }

    /// Whether it leaves a test out.
    pub fn covers(&self, key: &TestKey) -> bool {
        match self {
            Self::Method(method) => &key.method == method,
            Self::Quantity(quantity) => key == quantity,
        }
    }
}

impl std::fmt::Display for Without {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Method(method) => method.fmt(f),
            Self::Quantity(key) => write!(f, "{key}"),
        }
    }
}

/// What is asked of a term's scale; `None` leaves it as it is in the trial.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct AskedScale {
    /// Weight of the term among the eleven, 0 to 10.
    pub importance: Option<f64>,
    /// Where similarity is one half, in the term's own measure.
    pub halving: Option<f64>,
}

/// What stands in the place of a reference oil.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Anchor {
    /// This reference oil of the trial.
    Oil(BlendCode),
    /// None: it is left out.
    LeftOut,
}

impl std::fmt::Display for Anchor {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Oil(blend) => write!(f, "{blend}"),
            Self::LeftOut => f.write_str(Self::NONE),
        }
    }
}

impl Anchor {
    /// The word for a reference oil that is left out.
    pub const NONE: &'static str = "none";
}

/// Number of draws unless told otherwise.
pub const USUAL_DRAWS: usize = 20_000;
/// Seed of the draws unless told otherwise.
pub const USUAL_SEED: u64 = 20_261_124;

/// A question of the form: what if.
#[derive(Clone, Debug, PartialEq)]
pub struct WhatIf {
    /// What is left out.
    pub without: Vec<Without>,
    /// Weights set by hand, 0 to 1, in place of the computed ones.
    pub weights: BTreeMap<TestKey, f64>,
    /// Other scales of the resemblance than the trial's.
    pub scales: BTreeMap<Term, AskedScale>,
    /// By how much the machine's duty differs from the recorded one.
    pub duty: DutyFactors,
    /// How far beyond the references a position counts, 0 to 0.5.
    pub head_room: f64,
    /// What is taken as the known good; `None` leaves it as it is in the trial.
    pub known_good: Option<Anchor>,
    /// What is taken as the known poor.
    pub known_poor: Option<Anchor>,
    /// Candidates that failed a gate stay in.
    pub lets_in_gated: bool,
    /// Tests that do not sort keep their weight.
    pub lets_in_not_sorting: bool,
    /// Number of draws, 200 to 200 000.
    pub draws: usize,
    /// Seed of the draws.
    pub seed: u64,
}

impl Default for WhatIf {
    fn default() -> Self {
        Self {
            without: Vec::new(),
            weights: BTreeMap::new(),
            scales: BTreeMap::new(),
            duty: DutyFactors::AS_GIVEN,
            head_room: HEAD_ROOM,
            known_good: None,
            known_poor: None,
            lets_in_gated: false,
            lets_in_not_sorting: false,
            draws: USUAL_DRAWS,
            seed: USUAL_SEED,
        }
    }
}

impl WhatIf {
    /// Weights that may be set by hand.
    pub const WEIGHTS: RangeInclusive<f64> = 0.0..=1.0;
    /// How far beyond the references a position may count.
    pub const HEAD_ROOMS: RangeInclusive<f64> = 0.0..=MOST_HEAD_ROOM;
    /// Numbers of draws that may be asked for.
    pub const DRAWS: RangeInclusive<f64> = 200.0..=200_000.0;

    /// Whether it changes who stands where, apart from the random draws.
    pub fn changes_the_question(&self) -> bool {
        !self.without.is_empty()
            || !self.weights.is_empty()
            || !self.scales.is_empty()
            || self.changes_the_records()
            || self.head_room != HEAD_ROOM
            || self.lets_in_gated
            || self.lets_in_not_sorting
    }

    /// Whether it asks about another machine or other reference oils than the trial has.
    pub fn changes_the_records(&self) -> bool {
        !self.duty.is_as_given() || self.known_good.is_some() || self.known_poor.is_some()
    }

    /// The scales of the resemblance: the trial's, with what is asked in place of them.
    pub fn scales_over(&self, of_trial: &[TermScale]) -> Scales {
        let of_trial = Scales::of_trial(of_trial);
        self.scales.iter().fold(of_trial, |scales, (term, asked)| {
            let there = scales.of(*term);
            let scale = Scale {
                importance: asked.importance.unwrap_or(there.importance),
                halving: asked.halving.or(there.halving),
            };
            scales.with(*term, scale)
        })
    }

    /// Whether a test is left out.
    pub fn leaves_out(&self, key: &TestKey) -> bool {
        self.without.iter().any(|without| without.covers(key))
    }
}

/// What a duty has changed in one contact of the machine.
#[derive(Clone, Debug, PartialEq)]
pub struct ContactDuty {
    /// The contact's name.
    pub contact: String,
    /// What was changed; empty where nothing of it depends on load or speed.
    pub changes: Vec<DutyChange>,
}

/// The records as a question has them.
#[derive(Clone, Debug, PartialEq)]
pub struct Asked {
    /// The records.
    pub records: TrialRecords,
    /// What another duty has changed, by contact; empty under the recorded duty.
    pub duty: Vec<ContactDuty>,
}

/// Why the records cannot be changed as a question asks.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum AskedFault {
    /// A contact cannot have the duty.
    Duty {
        /// The contact.
        contact: String,
        /// Why.
        fault: PresetFault,
    },
    /// One oil is asked for at both ends.
    OneOilForBoth(BlendCode),
    /// An oil is no reference oil of the trial.
    NoReference {
        /// The end at which it is asked for.
        level: Level,
        /// The oil.
        oil: BlendCode,
        /// Those of the trial.
        references: Vec<BlendCode>,
    },
}

impl AskedFault {
    /// The field of the question that is at fault.
    pub fn field(&self) -> &'static str {
        match self {
            Self::Duty { .. } => "duty",
            Self::NoReference {
                level: Level::KnownGood,
                ..
            } => "known_good",
            Self::OneOilForBoth(_) | Self::NoReference { .. } => "known_poor",
        }
    }
}

impl WhatIf {
    /// The records under the question. To be taken once, of the records as they are: a duty multiplies.
    ///
    /// A test that names a reference oil of its own keeps it.
    ///
    /// # Errors
    /// A duty that takes a parameter out of its range; an oil that is no reference oil of the trial; the same oil as
    /// both ends.
    pub fn records(&self, records: &TrialRecords) -> Result<Asked, AskedFault> {
        let mut asked = records.clone();
        let duty = if self.duty.is_as_given() {
            Vec::new()
        } else {
            under(&mut asked, self.duty)?
        };
        self.refuse_one_oil_for_both()?;
        let ends = [
            (Level::KnownGood, &self.known_good),
            (Level::KnownPoor, &self.known_poor),
        ];
        for (level, _) in ends.iter().filter(|(_, anchor)| anchor.is_some()) {
            clear(&mut asked, *level);
        }
        for (level, anchor) in ends {
            if let Some(Anchor::Oil(oil)) = anchor {
                set(&mut asked, level, oil)?;
            }
        }
        Ok(Asked { records: asked, duty })
    }

    fn refuse_one_oil_for_both(&self) -> Result<(), AskedFault> {
        match (&self.known_good, &self.known_poor) {
            (Some(Anchor::Oil(good)), Some(Anchor::Oil(poor))) if good == poor => {
                Err(AskedFault::OneOilForBoth(poor.clone()))
            }
            _ => Ok(()),
        }
    }
}

fn under(records: &mut TrialRecords, duty: DutyFactors) -> Result<Vec<ContactDuty>, AskedFault> {
    let mut told = Vec::new();
    for contact in &mut records.machine.contacts {
        let (preset, changes) = contact.preset.under(duty).map_err(|fault| AskedFault::Duty {
            contact: contact.name.clone(),
            fault,
        })?;
        contact.parameters_json = preset.parameters_json();
        contact.preset = preset;
        told.push(ContactDuty {
            contact: contact.name.clone(),
            changes,
        });
    }
    Ok(told)
}

fn clear(records: &mut TrialRecords, level: Level) {
    for part in &mut records.trial.blends {
        if part.level == Some(level) {
            part.level = None;
        }
    }
}

fn set(records: &mut TrialRecords, level: Level, oil: &BlendCode) -> Result<(), AskedFault> {
    let place =
        (records.trial.blends.iter()).position(|part| part.role == Role::Reference && &part.blend == oil);
    let Some(place) = place else {
        return Err(AskedFault::NoReference {
            level,
            oil: oil.clone(),
            references: records.with_role(Role::Reference).cloned().collect(),
        });
    };
    records.trial.blends[place].level = Some(level);
    // the oil cannot stand at the other end of a test as well
    for test in &mut records.trial.tests {
        let other = match level {
            Level::KnownGood => &mut test.known_poor,
            Level::KnownPoor | Level::KnownMiddle => &mut test.known_good,
        };
        if other.as_ref() == Some(oil) {
            *other = None;
        }
    }
    Ok(())
}
