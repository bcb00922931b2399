//! The nouns of an archive: blends and lineage, machines, rigs, trials, results with their kinds, decisions.

mod archive;
mod base_period;
mod entities;
mod field;
mod ids;
mod limit;
mod machine;
mod own_method;
mod run;
mod same_runs;
pub mod table;
mod term_scale;
mod whole;
mod words;

pub use crate::contact::preset::{
    DutyChange, DutyFactors, FieldKind, FieldNeed, FormField, MachinePreset as Preset, PresetFault,
    PressureLaw,
};
pub use crate::contact::term::Term;
pub use archive::{Archive, FileRows, TrialRecords};
pub use base_period::{BasePeriod, PeriodFault};
pub use entities::{
    Asked, Blend, Component, Decision, OfBlend, OfMethod, OfTrial, Outcome, OwnMethod, OwnQuantity, Parent,
    Rig, RunCosts, Trial, TrialBlend, TrialTest,
};
pub use ids::{BlendCode, ComponentName, MachineSlug, RigId, TestKey, TrialSlug};
pub use limit::{GateOutcome, Limit, LimitFault, Place, Span};
pub use machine::{
    Adoption, IMPORTANCE_OF_MINOR, IMPORTANCE_OF_SECONDARY, Machine, MachineContact, OfVersion,
};
pub use own_method::{
    OwnMethodFault, OwnMethodProblem, method_of, modes_of, name_of_two_contacts, old_words,
};
pub use run::{RawReading, RunKey, RunResult};
pub use same_runs::{RunNumber, same_runs};
pub use term_scale::{TermScale, TermScaleFault};
pub use whole::{SUM_TOLERANCE_PCT, is_whole_blend, is_whole_machine};
pub use words::{
    AcceptedAs, Asks, BlendKind, Confidence, DecisionKind, Level, OutcomeSeverity, Purpose, ResultSource,
    ResultStatus, Role, TrialStatus, Word, words_of_surroundings,
};
