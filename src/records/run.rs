//! Results, revision by revision, and the raw readings behind them.

use crate::catalogue::{MethodId, Value};
use crate::records::table::{Cell, CellProblem, Column, Field, Record, Source, Stands, column, records};
use crate::records::{
    AcceptedAs, Blend, BlendCode, Purpose, ResultSource, ResultStatus, Rig, RigId, TestKey, Trial, TrialSlug,
};
use jiff::civil::Date;

records! {
    /// One run of one blend by one method on one rig.
    RunResult in "results.csv", table "results", key [] {
        /// Its number in the archive; `None` before it is stored.
        id: Option<i64> = column("id").optional(),
        /// The trial it belongs to.
        trial: TrialSlug = column("trial").defined_in(Trial::FILE),
        /// The blend.
        blend: BlendCode = column("blend").defined_in(Blend::FILE),
        /// Method and quantity.
        key: TestKey = [column("method"), column("quantity").trimmed()],
        /// The value in the quantity's unit.
        value: Value = RunResult::VALUE,
        /// The load is not a step of the ladder and keeps its own bounds.
        off_ladder: bool = RunResult::OFF_LADDER,
        /// The value as written.
        value_as_written: String = column("value").stored_as("value_as_written"),
        /// The unit as written.
        unit_as_written: String = column("unit").stored_as("unit_as_written"),
        /// The rig.
        rig: Option<RigId> = column("rig").defined_in(Rig::FILE),
        /// Start of the run.
        date: Option<Date> = column("date").stored_as("run_on"),
        /// Number of the run, from 1.
        replicate: u32 = column("replicate"),
        /// Campaign: with the rig, the block whose severity is judged by the reference oils run in it, where they are too
        /// few to tell whether the rig's level changed.
        campaign: String = column("campaign"),
        /// Conditions where they are stated.
        conditions: String = column("conditions"),
        /// Why it was run.
        purpose: Purpose = column("purpose"),
        /// Whether it counts.
        status: ResultStatus = column("status"),
        /// Why it is suspect or void.
        reason: String = column("reason"),
        /// Measured, or from a data sheet.
        source: ResultSource = column("source"),
        /// Note.
        note: String = column("note"),
        /// The last load or stage that was run and passed, as written in the value's unit; `none`: the first one run failed.
        last_passed: String = column("last_passed").optional().trimmed(),
        /// What somebody said yes to, asked a second time.
        accepted: Vec<AcceptedAs> = column("accepted").optional(),
        /// The result that this one corrects.
        supersedes: Option<i64> = column("supersedes").optional(),
        /// When it was entered, ISO 8601.
        entered_at: String = column("entered_at").optional(),
        /// When it was voided, ISO 8601; empty when not.
        voided_at: String = column("voided_at").null_when_empty().optional(),
        /// Where it came from: file name and row, or form.
        origin: String = column("origin").optional(),
    }

    /// A raw number behind a result.
    RawReading in "readings.csv", table "readings",
        key ["trial", "blend", "method", "rig", "date", "replicate", "position", "kind"] {
        /// Trial.
        trial: TrialSlug = column("trial").defined_in(Trial::FILE),
        /// Blend.
        blend: BlendCode = column("blend").defined_in(Blend::FILE),
        /// Method.
        method: MethodId = column("method"),
        /// Rig.
        rig: Option<RigId> = column("rig").defined_in(Rig::FILE),
        /// Date.
        date: Option<Date> = column("date").stored_as("run_on"),
        /// Replicate.
        replicate: u32 = column("replicate"),
        /// Which ball, tooth or step.
        position: String = column("position"),
        /// What was read.
        kind: String = column("kind"),
        /// The number or word as written.
        value: String = column("value"),
        /// Unit as written.
        unit: String = column("unit"),
    }
}

impl Stands<[Column; 4]> for Value {
    fn push_columns(under: &[Column; 4], columns: &mut Vec<Column>) {
        columns.extend(under);
    }

    fn push_cells(&self, _: &[Column; 4], cells: &mut Vec<Cell>) {
        let (kind, lo, hi, class) = match self {
            Self::Exact(value) => ("exact", Some(*value), Some(*value), None),
            Self::Between { lo, hi } => ("between", Some(*lo), Some(*hi), None),
            Self::Above(lo) => ("above", Some(*lo), None, None),
            Self::Below(hi) => ("below", None, Some(*hi), None),
            Self::Class(class) => ("class", None, None, Some(class.clone())),
            Self::Stopped => ("stopped", None, None, None),
        };
        cells.push(Cell::Text(kind.to_string()));
        cells.extend([lo.to_cell(), hi.to_cell(), class.to_cell()]);
    }

    fn read([kind, lo, hi, class]: &[Column; 4], source: &mut impl Source) -> Option<Self> {
        let word: String = source.field(kind)?;
        let bounds: (Option<f64>, Option<f64>) = (source.field(lo)?, source.field(hi)?);
        let class: Option<String> = source.field(class)?;
        let value = match (word.as_str(), bounds.0, bounds.1, class) {
            ("exact", Some(value), _, None) => Some(Self::Exact(value)),
            ("between", Some(lo), Some(hi), None) => Self::between(lo, hi),
            ("above", Some(lo), None, None) => Some(Self::Above(lo)),
            ("below", None, Some(hi), None) => Some(Self::Below(hi)),
            ("class", None, None, Some(class)) => Some(Self::Class(class)),
            ("stopped", None, None, None) => Some(Self::Stopped),
            _ => None,
        };
        value.or_else(|| source.refuse(kind, CellProblem::OtherBounds))
    }
}

impl RunResult {
    /// What kind of value it is, its bounds in the quantity's unit, and its class; a folder has the value as written.
    pub const VALUE: [Column; 4] = [
        column("value_kind").only_stored(),
        column("value_lo").only_stored(),
        column("value_hi").only_stored(),
        column("value_class").only_stored(),
    ];
    /// Whether the load keeps its own bounds; a folder does not say.
    pub const OFF_LADDER: Column = column("off_ladder").only_stored();

    /// The key by which the same run is recognised.
    pub fn run_key(&self) -> RunKey {
        RunKey {
            trial: self.trial.clone(),
            blend: self.blend.clone(),
            key: self.key.clone(),
            rig: self.rig.clone(),
            date: self.date,
            replicate: self.replicate,
        }
    }

    /// Whether somebody said yes to it.
    pub fn is_accepted(&self, what: AcceptedAs) -> bool {
        self.accepted.contains(&what)
    }

    /// Notes that somebody said yes to it.
    pub fn accept(&mut self, what: AcceptedAs) {
        if !self.is_accepted(what) {
            self.accepted.push(what);
        }
    }
}

/// The key of a run: the same key with another value is a refused row, never an overwrite.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct RunKey {
    /// Trial.
    pub trial: TrialSlug,
    /// Blend.
    pub blend: BlendCode,
    /// Method and quantity.
    pub key: TestKey,
    /// Rig.
    pub rig: Option<RigId>,
    /// Date.
    pub date: Option<Date>,
    /// Replicate.
    pub replicate: u32,
}
