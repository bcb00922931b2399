//! The numbers behind a standing: cells, positions between two reference oils, weighted ranking, and what it rests on.
//! Inputs are numbers and small ids; blends, methods and machines are known to the rest of the room.
//!
//! [`fit()`] computes every cell and draws every position once. [`Fitted::weigh`] then answers
//! any number of what-ifs on the same draws, so that differences between them are differences. It takes over what was
//! fitted for another question.
//!
//! Laws: the order of results, tests, candidates and blocks changes no bit of any answer; neither do the names of
//! blends, nor the number of threads. Turning a scale round (sign and all its data) changes no position.
//! Random numbers: each cell, reference, block and method has a stream of its own, keyed by what it is
//! (see [`candidate_streams`]), never by where it stands.

mod cells;
mod fit;
mod influence;
mod input;
mod leave_out;
mod positions;
mod ranking;
mod references;
mod selection;
mod tally;
mod weights;

pub use crate::stats::observation::ObservationError;
pub use cells::CellSummary;
pub use fit::{Fitted, KnownFits, TestFit, Who, fit};
#[cfg(feature = "facade")]
pub use influence::{FAMILY_CORRELATION, effective_number, lead_shares};
pub use influence::{Tipping, common_factor, tipping_factors};
pub use input::{
    Anchors, BlockId, BlockInput, CellData, Checked, KernelError, KernelInput, Keyed, Missing, TestInput,
    candidate_streams,
};
pub use leave_out::{ShortRanking, WithoutTests};
pub use positions::PositionSummary;
pub use ranking::{Claim, Ranking};
pub use references::Validity;
pub use selection::{Selection, Weighed, Weighting};
