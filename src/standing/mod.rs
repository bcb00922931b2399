//! Positions, ranking, what the ranking rests on, cautions.

mod calibration;
mod caution;
mod cautions;
mod conditions;
mod cover;
mod doubted;
mod equivalence;
mod evidence;
mod facts;
mod fit_cache;
mod gates;
mod head_to_head;
mod judge;
pub mod kernel;
mod leader;
mod levels;
mod likeness;
mod out_of_control;
mod per_test;
mod plan;
mod prepare;
mod readings;
mod reference_runs;
mod rests_on;
mod rig_chart;
mod rivals;
mod run_next;
mod sensitivity;
mod shifts;
mod spread;
mod strip;
mod summary;
mod survey;
mod verdicts;
mod weights;
mod what_if;
mod without_results;

pub use crate::stats::control::Rule;
pub use calibration::{Calibration, Claims, Tenth, measured as measured_calibration};
#[cfg(feature = "facade")]
pub use calibration::{EqualBlends, Leaders, WithoutScreen};
pub use caution::{
    About, Caution, CautionKind, Departing, DepartingRuns, Finding, Hinge, MeasuredBy, Severity, UnmetGate,
};
pub use cautions::SORTS;
pub use conditions::Variant;
pub use cover::{ModeCover, SPEAKS_ABOVE, Speaker};
pub use doubted::DoubtedBecause;
pub use equivalence::{Answer, ComparedTest, Equivalence, NoWorse, NotTold, Told, Within};
pub use fit_cache::FitCache;
pub use head_to_head::head_to_head;
pub use judge::judge;
pub use kernel::Validity;
pub use leader::ALIKE;
pub use leader::PAIRWISE;
#[cfg(feature = "facade")]
pub use leader::RESOLVED;
pub use levels::{Block, OutOfControlSpan, RigTime};
pub use likeness::BeyondMachine;
pub use plan::{MOST_RUNS, Plan, PlannedRow, plan};
pub use prepare::{HEAD_ROOM, MOST_HEAD_ROOM};
pub use readings::{RunReading, shared};
pub use rests_on::{Alternative, Assumption, LeaveOut, LeftOut, LeftOutKind, NamedRun};
pub use rig_chart::{ChartPoint, ChartStretch, RigChart, Watch, rig_chart};
pub use rivals::{CommonChange, Rival};
pub use run_next::{Basis, DoubtSplit, NextFinding, NextRun, Planned, RunNext, USUAL_STAKE};
pub use sensitivity::{Moved, MovedLine, Sensitivity, Tried, sensitivity};
pub use spread::{PrecisionSource, StatedPrecision};
pub use strip::{Anchored, Position, RunFlag, RunMark, Strip};
pub(crate) use summary::scale_lines_of;
pub use summary::{
    CandidateStanding, Comparison, ContactLikeness, Doubt, Estimate, GateCount, GateRun, GateStanding,
    ResemblanceView, ScaleLine, Standing, TestStanding, Tip, scale_lines,
};
pub use survey::{ContactSurvey, SurveyLine, film_oil, survey};
pub use verdicts::{Apart, Difference, Simultaneous, TOLD_APART, Verdict};
pub use weights::{NotSorting, NotWeighed};
#[cfg(feature = "facade")]
pub use what_if::AskedScale;
pub use what_if::{Anchor, AskedFault, ContactDuty, USUAL_DRAWS, USUAL_SEED, WhatIf, Without};
pub use without_results::MovedRun;
