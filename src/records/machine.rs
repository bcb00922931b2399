//! The target machine and its contacts.

use crate::catalogue::Mode;
use crate::records::{MachineSlug, Preset};

/// Where the blend must work, in one version of what is known of it.
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
    /// Which version this is, from 1.
    pub version: u32,
    /// What this version changes and why, in its author's words; empty for the first.
    pub change: String,
    /// When it was entered, ISO 8601; empty where that is not known.
    pub entered_at: String,
}

/// That a trial is judged with another version of its machine from now on.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Adoption {
    /// The version it was judged with until then.
    pub from_version: u32,
    /// The version it is judged with since.
    pub to_version: u32,
    /// When, ISO 8601.
    pub adopted_at: String,
    /// Why.
    pub reason: String,
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

/// How much a secondary failure mode of a contact matters, beside 1 of a main one (ours).
pub const IMPORTANCE_OF_SECONDARY: f64 = 0.6;
/// How much a minor failure mode of a contact matters (ours).
pub const IMPORTANCE_OF_MINOR: f64 = 0.3;

impl MachineContact {
    /// How much a mode matters here: main 1, secondary 0.6, minor 0.3, else 0 (ours).
    pub fn importance(&self, mode: Mode) -> f64 {
        let ranked = [
            (&self.main_modes, 1.0),
            (&self.secondary_modes, IMPORTANCE_OF_SECONDARY),
            (&self.minor_modes, IMPORTANCE_OF_MINOR),
        ];
        ranked
            .into_iter()
            .find(|(modes, _)| modes.contains(&mode))
            .map_or(0.0, |(_, importance)| importance)
    }
}
