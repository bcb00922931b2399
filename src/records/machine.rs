//! The target machine and its contacts.

use crate::catalogue::Mode;
use crate::contact::stated::StatedContact;
use crate::records::MachineSlug;

/// Where the blend must work.
#[derive(Clone, Debug, PartialEq)]
pub struct Machine {
    /// Its slug.
    pub slug: MachineSlug,
    /// Its name.
    pub name: String,
    /// Its kind.
    pub kind: String,
    /// A note.
    pub note: String,
    /// The caution that goes with it.
    pub caution: String,
    /// Its contacts.
    pub contacts: Vec<MachineContact>,
}

/// How a machine contact is given.
#[derive(Clone, Debug, PartialEq)]
pub enum Preset {
    /// As intervals.
    Stated(StatedContact),
}

impl Preset {
    /// The word for it.
    pub fn word(&self) -> &'static str {
        match self {
            Self::Stated(_) => "stated",
        }
    }

    /// The words that may stand in the column `preset`.
    pub const WORDS: &'static [&'static str] = &["stated"];

    /// The contact of a preset word and its parameters, JSON in SI units.
    pub fn read(word: &str, parameters_json: &str) -> Result<Self, PresetFault> {
        match word.trim() {
            "stated" => serde_json::from_str(parameters_json)
                .map(Self::Stated)
                .map_err(|error| PresetFault::Parameters(error.to_string())),
            _ => Err(PresetFault::Word),
        }
    }
}

/// Why a contact cannot be read.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum PresetFault {
    /// The preset's word is not one of the list.
    #[error("use one of: {}", Preset::WORDS.join(", "))]
    Word,
    /// The parameters are not what the preset needs.
    #[error("the parameters cannot be read: {0}")]
    Parameters(String),
}

/// One contact of a machine.
#[derive(Clone, Debug, PartialEq)]
pub struct MachineContact {
    /// Its name in the machine.
    pub name: String,
    /// Geometry, or intervals.
    pub preset: Preset,
    /// The parameters as they came, for export.
    pub parameters_json: String,
    /// Its share of what matters, 0 to 1.
    pub share: f64,
    /// Failure modes that matter most.
    pub main_modes: Vec<Mode>,
    /// Failure modes that matter too.
    pub secondary_modes: Vec<Mode>,
    /// Failure modes that matter a little.
    pub minor_modes: Vec<Mode>,
}

impl MachineContact {
    /// How much a mode matters here: main 1, secondary 0.6, minor 0.3, else 0 (ours).
    pub fn importance(&self, mode: Mode) -> f64 {
        let ranked = [
            (&self.main_modes, 1.0),
            (&self.secondary_modes, 0.6),
            (&self.minor_modes, 0.3),
        ];
        ranked
            .into_iter()
            .find(|(modes, _)| modes.contains(&mode))
            .map_or(0.0, |(_, importance)| importance)
    }
}
