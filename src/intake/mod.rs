//! What laboratories write, read into records or into a list of everything that is wrong with it.
//!
//! **Invariant:** nothing here guesses in silence: what can be read in two ways is refused with the mend.

pub mod bench;
mod blend_form;
mod blends;
mod cells;
mod csv_escape;
mod date;
mod fault;
mod folder;
mod form;
mod long;
mod machine_form;
mod machines;
mod method_form;
mod methods;
mod number;
mod result_value;
mod results;
mod run_rules;
mod scales;
mod sequels;
mod table;
mod trial_form;
mod trials;
mod value;
mod write;

pub use blend_form::{
    BlendDraft, BlendNames, BlendReading, ComponentDraft, MOST_COMPONENTS, child_of, read_blend,
};
pub use date::{DateFault, read_date};
pub use fault::{Fault, FieldFault};
pub use folder::{Accepted, ArchiveFiles, read_folder};
pub use form::{DraftFault, FaultKind};
pub use long::{
    COLUMNS, CellProblem, ColumnUse, ColumnWords, DateOrder, Decimal, DraftRun, Finding, KnownNames,
    LongFile, LongRefusal, LongRow, Question, read_long, read_typed, text_of_bytes,
};
pub use machine_form::{ContactDraft, MOST_CONTACTS, MachineDraft, Making, draft_of, inputs, read_machine};
pub use method_form::{
    Conditions, ContactFields, MethodDraft, MethodReading, QuantityDraft, contact_fields, copy_of, read_copy,
};
pub use number::{NumberFault, read_number, read_within, shown};
pub use result_value::{ReadValue, ValueCells, read_result};
pub use trial_form::{
    MOST_BLENDS, MOST_TESTS, PartDraft, SettingUp, SetupNames, TestDraft, TrialDraft, TrialReading,
    copy_of_trial, draft_of_trial, read_trial,
};
pub use value::{CellValue, read_for_quantity, read_value};
pub use write::{write_folder, write_lines, write_workbook};
