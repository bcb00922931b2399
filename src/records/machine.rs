//! The target machine and its contacts.

use crate::catalogue::Mode;
use crate::records::table::{Cell, CellProblem, Column, Range, Source, Stands, column, records};
use crate::records::{MachineSlug, OfTrial, Parent, Preset};
use serde::Serialize;

records! {
    /// Where the blend must work, in one version of what is known of it.
    Machine in "machines.csv", table "machine_versions", key ["machine", "version"] {
        /// Its slug.
        slug: MachineSlug = column("machine"),
        /// Its name.
        name: String = column("name"),
        /// Its kind.
        kind: String = column("kind"),
        /// A note.
        note: String = column("note"),
        /// The caution that goes with it.
        caution: String = column("caution"),
        /// Which version this is, from 1.
        version: u32 = column("version").optional(),
        /// What this version changes and why, in its author's words; empty for the first.
        change: String = column("change").stored_as("change_note").optional(),
        /// When it was entered, ISO 8601; empty where that is not known.
        entered_at: String = column("entered_at").optional(),
    } + {
        /// Its contacts.
        contacts: Vec<MachineContact>,
    }

    /// To which version of which machine a contact belongs.
    #[derive(Eq, PartialOrd, Ord)]
    OfVersion {
        /// The machine.
        machine: MachineSlug = column("machine").defined_in("machines.csv"),
        /// Its version.
        version: u32 = column("version").optional(),
    }

    /// One contact of a machine.
    MachineContact of OfVersion in "contacts.csv", table "machine_contacts", key ["machine", "version", "contact"] {
        /// Its name in the machine.
        name: String = column("contact").trimmed(),
        /// Geometry, or intervals.
        preset: Preset = [column("preset").trimmed(), column("parameters")],
        /// The parameters as they came, for export.
        parameters_json: String = column("parameters"),
        /// Its share of what matters, 0 to 1.
        share: f64 = column("share").within(Range::From0To1),
        /// Failure modes that matter most.
        main_modes: Vec<Mode> = column("main_modes"),
        /// Failure modes that matter too.
        secondary_modes: Vec<Mode> = column("secondary_modes"),
        /// Failure modes that matter a little.
        minor_modes: Vec<Mode> = column("minor_modes"),
    }

    /// That a trial is judged with another version of its machine from now on.
    #[derive(Eq, Serialize)]
    Adoption of OfTrial in "machine_adoptions.csv", table "machine_adoptions", key [] {
        /// The version it was judged with until then.
        from_version: u32 = column("from_version"),
        /// The version it is judged with since.
        to_version: u32 = column("to_version"),
        /// When, ISO 8601.
        adopted_at: String = column("adopted_at"),
        /// Why.
        reason: String = column("reason"),
    }
}

impl Parent for Machine {
    type Name = OfVersion;

    fn name_in_parts(&self) -> OfVersion {
        OfVersion {
            machine: self.slug.clone(),
            version: self.version,
        }
    }
}

/// A preset is written with its word alone; its parameters, which are kept as they came, are read with it.
impl Stands<[Column; 2]> for Preset {
    fn push_columns([word, _]: &[Column; 2], columns: &mut Vec<Column>) {
        columns.push(*word);
    }

    fn push_cells(&self, _: &[Column; 2], cells: &mut Vec<Cell>) {
        cells.push(Cell::Text(self.word().to_string()));
    }

    fn read([word, parameters]: &[Column; 2], source: &mut impl Source) -> Option<Self> {
        let given: (Option<String>, Option<String>) = (source.field(word), source.field(parameters));
        match Preset::parse(&given.0?, &given.1?) {
            Ok(preset) => Some(preset),
            Err(fault) if fault.key == word.heading => source.refuse(word, CellProblem::Preset(fault)),
            Err(fault) => source.refuse(parameters, CellProblem::Preset(fault)),
        }
    }
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
