//! Positions, ranking, what the ranking rests on, cautions.

mod asked;
mod blocks;
mod calibration;
mod caution;
mod cautions;
mod choice;
mod comparison;
mod conditions;
mod doubted;
mod drawn;
mod evidence;
mod facts;
mod fit_cache;
mod gates;
mod judge;
pub mod kernel;
mod marks;
mod otherwise;
mod out_of_control;
mod per_test;
mod plan;
mod prepare;
mod rests_on;
mod rig_chart;
mod rivals;
mod run_next;
mod sensitivity;
mod single_runs;
mod spread;
mod strip;
mod summary;
mod survey;
mod verdicts;
mod weights;
mod what_if;
mod without_results;

pub use asked::{AskedFault, ContactDuty};
pub use calibration::{
    Calibration, Claims, EqualBlends, Tenth, WithoutScreen, measured as measured_calibration, standard_error,
};
pub use caution::{About, Caution, CautionKind, Evidence, Severity};
pub use cautions::{RESOLVED, RESOLVED_OF_TWO, SORTS};
pub(crate) use comparison::scale_lines_of;
pub use comparison::{Comparison, ResemblanceView, ScaleLine, scale_lines};
pub use drawn::{Anchored, Position, RunMark, Strip};
pub use fit_cache::FitCache;
pub use judge::{judge, judge_knowing};
pub use marks::OTHER_CONDITIONS;
pub use otherwise::{Alternative, LeaveOut, LeftOut};
pub use plan::{MOST_RUNS, ModeCover, Plan, PlannedRow, Power, SPEAKS_ABOVE, Speaker, plan};
pub use prepare::{HEAD_ROOM, MOST_HEAD_ROOM};
pub use rig_chart::{ChartPoint, ChartStretch, OutOfControlSpan, RigChart, rig_chart};
pub use rivals::{CommonChange, Rival};
pub use run_next::{Basis, NextFinding, NextRun, Planned, RunNext, USUAL_STAKE};
pub use sensitivity::{Moved, MovedLine, Sensitivity, sensitivity};
pub use summary::{
    CandidateStanding, ContactLikeness, Doubt, Estimate, GateStanding, Standing, TestStanding, Tip, Validity,
};
pub use survey::{ContactSurvey, SurveyLine, film_oil, survey};
pub use verdicts::{Apart, Difference, Verdict};
pub use what_if::{Anchor, AskedScale, USUAL_DRAWS, USUAL_SEED, WhatIf, Without};
