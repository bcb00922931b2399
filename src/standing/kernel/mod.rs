//! The numbers behind a standing: cells, positions between two reference oils, weighted ranking, and what it rests on.
//! Inputs are numbers and small ids; blends, methods and machines are known to the rest of the room.
//!
//! [`fit()`] computes every cell and draws every position once. [`Fitted::standing`] and [`Fitted::leave_out`] then answer
//! any number of what-ifs on the same draws, so that differences between them are differences. [`fit_knowing`] takes over
//! what was fitted for another question.
//!
//! Laws: the order of results, tests, candidates and blocks changes no bit of any answer; neither do the names of
//! blends, nor the number of threads. Turning a scale round (sign and all its data) changes no position.
//! Random numbers: each cell, reference, block and method has a stream of its own, keyed by what it is
//! (see [`candidate_streams`]), never by where it stands.

mod cells;
mod compare;
mod doubt;
mod fit;
mod frame;
mod influence;
mod input;
mod known;
mod leave_out;
mod moved;
mod positions;
mod references;
mod selection;
mod standing;
mod streams;
mod tally;
mod weights;

pub use cells::CellSummary;
pub use compare::Who;
pub use fit::{Fitted, TestFit, fit, fit_knowing};
pub use influence::{
    RIG_CORRELATION, Tipping, common_factor, effective_number, lead_shares, tipping_factors,
};
pub use input::{Anchors, BlockId, BlockInput, CellData, KernelError, KernelInput, TestInput};
pub use known::KnownFits;
pub use leave_out::LeftOut;
pub use selection::{Selection, Weighting};
pub use standing::Standing;
pub use streams::candidate_streams;
