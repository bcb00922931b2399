//! Use cases that pages, JSON and command line share.

#[expect(clippy::module_inception, reason = "the room is named after what it holds")]
mod app;
mod blend_editor;
mod blends;
mod components;
mod corrections;
mod decision;
mod demo;
mod enter;
mod error;
mod facets;
mod folder;
mod head_to_head;
mod import;
mod judged;
mod lineage;
mod list;
mod machine_editor;
mod machines;
mod method_editor;
mod plan;
mod prewarm;
pub(crate) mod question;
mod resemblance;
mod rigs;
mod scuffing;
mod trial_editor;
mod views;

pub use crate::intake::bench::{BenchTable, CellKind};
pub use crate::intake::{
    BlendDraft, BlendReading, ComponentDraft, MOST_BLENDS, MOST_COMPONENTS, MOST_TESTS, PartDraft, TestDraft,
    TrialDraft, copy_of_trial, draft_of_trial,
};
pub use crate::intake::{
    COLUMNS, CellProblem, ColumnUse, ColumnWords, DateOrder, Decimal, DraftRun, text_of_bytes,
};
pub use crate::intake::{
    Conditions, ContactDraft, ContactFields, DraftFault, FaultKind, MOST_CONTACTS, MachineDraft, Making,
    MethodDraft, MethodReading, QuantityDraft, contact_fields, copy_of, draft_of, inputs, read_copy,
    read_machine,
};
pub use crate::intake::{FieldFault, read_within, shown};
pub use crate::lubricant::Oil;
pub use crate::stats::control::Rule;
pub use crate::stats::trend::{FEWEST_DOSES, FEWEST_POINTS, NoTrend};
pub use crate::store::{Hit, HitPlace, Progress, TrialFilter, TrialHead, TrialOrder};
pub(crate) use app::now;
pub use app::{App, PAGE_LENGTH, StartWith, as_table, as_workbook, preview_first_load, today};
pub use blend_editor::BlendChoices;
pub use blends::{BlendLine, BlendView, Place, Placing, Sight, Step, Stop, TRIALS_JUDGED, Trajectory};
pub use components::{COMPONENT_TRIALS, ComponentLine, ComponentPoint, ComponentTest, ComponentView, Holds};
pub use corrections::Correction;
pub use decision::{
    Acknowledged, DecisionDraft, DecisionRecord, DecisionView, EvidenceChange, EvidenceIs, Frozen,
    FrozenCandidate, FrozenCaution, FrozenGate, FrozenStanding, GraveCaution, Signing, Since, ThenAndNow,
    newest_decision,
};
pub use enter::{Entered, TypedRun, bench_table};
pub use error::AppError;
pub use facets::{Facet, FacetValue};
pub use head_to_head::HeadToHead;
pub use import::{ImportCounts, ImportPreview, ImportRow, Verdict};
pub use judged::{CandidateScore, DecisionInShort, NoWorseInShort, Summary};
pub(crate) use lineage::changes;
pub use lineage::{Change, Kin, Lineage, Member};
pub use machines::{FilmOil, MachineView, usual_oil};
pub use method_editor::{Original, TermsChange, terms_changes};
pub use plan::{PlanView, TypedCosts, USUAL_RUNS};
pub use resemblance::ScaleChange;
pub use rigs::{RigQuantity, RigView, TypedPeriod};
pub use scuffing::BlendScuffing;
pub use trial_editor::SetupChoices;
pub use views::{Loaded, Sort, TrialLine, TrialList, TrialQuery};
