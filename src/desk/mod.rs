//! Use cases that pages, JSON and command line share.

mod ahead;
mod blend_editor;
mod blends;
pub mod calculate;
mod caution_words;
mod components;
mod corrections;
mod decision;
mod demo;
#[expect(clippy::module_inception, reason = "the room is named after what it holds")]
mod desk;
mod drawing;
mod enter;
mod error;
pub mod explain;
mod facets;
mod folder;
mod import;
mod judged;
mod lineage;
mod list;
mod machine_editor;
mod machines;
mod method_editor;
pub mod next_words;
mod plan;
mod resemblance;
mod resemblance_json;
mod rigs;
mod scuffing;
mod standing_json;
mod trial_editor;
mod views;
pub mod words;

pub use crate::intake::bench::{BenchColumn, BenchTable, CellKind};
pub use crate::intake::{
    BlendDraft, BlendReading, ComponentDraft, MOST_BLENDS, MOST_COMPONENTS, MOST_TESTS, PartDraft, TestDraft,
    TrialDraft, TrialReading, copy_of_trial, draft_of_trial,
};
pub use crate::intake::{
    COLUMNS, CellProblem, ColumnUse, ColumnWords, DateOrder, Decimal, DraftRun, text_of_bytes,
};
pub use crate::intake::{
    Conditions, ContactDraft, ContactFields, DraftFault, FaultKind, MOST_CONTACTS, MachineDraft,
    MachineReading, Making, MethodDraft, MethodReading, QuantityDraft, contact_fields, copy_of, draft_of,
    inputs, read_copy, read_machine,
};
pub use crate::lubricant::Oil;
pub use crate::stats::control::Rule;
pub use crate::stats::trend::{FEWEST_DOSES, FEWEST_POINTS, NoTrend, Trend};
pub use crate::store::{Progress, TrialHead};
pub use blend_editor::BlendChoices;
pub use blends::{BlendLine, BlendView, SUM_TOLERANCE_PCT, Sight, Step, Stop, TRIALS_JUDGED, Trajectory};
pub use components::{COMPONENT_TRIALS, ComponentLine, ComponentPoint, ComponentTest, ComponentView, Holds};
pub use corrections::Correction;
pub use decision::{
    Acknowledged, ChangeKind, DecisionDraft, DecisionRecord, DecisionView, EvidenceChange, EvidenceIs,
    Frozen, FrozenCandidate, FrozenCaution, FrozenGate, FrozenTest, GraveCaution, Signing, Since, ThenAndNow,
    grave_cautions, newest_decision,
};
pub(crate) use desk::now;
pub use desk::{Desk, PAGE_LENGTH, StartWith, preview_first_load};
pub use drawing::{ContactDrawing, drawing_of_contact, drawing_of_preset};
pub use enter::{Entered, EntryFault, TypedRun};
pub use error::DeskError;
pub use facets::{Facet, FacetValue};
pub use import::{ImportCounts, ImportPreview, ImportRow, Verdict};
pub use judged::CandidateScore;
pub(crate) use lineage::changes;
pub use lineage::{Change, Kin, Lineage, Member};
pub use machines::{FilmOil, MachineView, usual_oil};
pub use method_editor::{Original, TermsChange, terms_changes};
pub use plan::{PlanView, TypedCosts, USUAL_RUNS};
pub use resemblance::{
    ResemblanceView, ScaleChange, ScaleLine, departures, finding, scale_lines, scale_words,
};
pub(crate) use resemblance::{refuse_impossible_scales, scale_lines_of};
pub use resemblance_json::resemblance_json;
pub use rigs::{RigQuantity, RigView};
pub use scuffing::BlendScuffing;
pub use standing_json::standing_json;
pub use trial_editor::{SetupChoices, today};
pub use views::{Comparison, Loaded, TrialLine, TrialList, TrialQuery};
