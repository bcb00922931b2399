//! Positions, ranking, what it rests on, cautions.

pub mod kernel;
