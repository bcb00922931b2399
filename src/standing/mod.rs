//! Positions, ranking, what the ranking rests on, cautions.

mod caution;
mod cautions;
mod evidence;
mod gates;
mod spread;
mod summary;
mod weights;
mod what_if;

pub use caution::{Caution, CautionKind, Evidence, Severity};
pub use summary::{
    Alternative, Anchored, CandidateStanding, ContactLikeness, Doubt, Estimate, GateStanding, LeaveOut,
    LeftOut, Position, RunMark, Standing, Strip, TestStanding, Tip, Validity,
};
pub use what_if::{USUAL_DRAWS, USUAL_SEED, WhatIf, Without};
