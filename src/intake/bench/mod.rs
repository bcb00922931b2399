//! Readings as a technician takes them down, to results as an import gives them.
//!
//! A method that is read in some other way than by its result itself has a table here: what stands in its columns, how
//! many rows it may have, and which results come out. Rows left empty say nothing.

mod compute;
mod problems;
mod run_log;
mod tables;
#[cfg(test)]
mod tests;

pub use compute::results_of;
pub(crate) use problems::run_problem;
pub use tables::table_of;

/// What a cell holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CellKind {
    /// A number.
    Number,
    /// A number, or this word in its place.
    NumberOr(&'static str),
    /// Numbers with `;` between them, or none.
    Numbers,
    /// One of these words.
    Word(&'static [&'static str]),
}

/// A column of readings.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct BenchColumn {
    /// Short id, as in the kind of a stored reading.
    pub name: &'static str,
    /// What stands above it.
    pub label: &'static str,
    /// Its unit.
    pub unit: &'static str,
    /// What its cells hold.
    pub kind: CellKind,
}

/// What a technician takes down of one run.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct BenchTable {
    /// What one row is: `ball`, `load`, `stage`.
    pub row: &'static str,
    /// Its columns.
    pub columns: &'static [BenchColumn],
    /// Most rows.
    pub rows: usize,
    /// What is done with the readings, in a sentence.
    pub rule: &'static str,
}

/// A result that comes out of readings.
#[derive(Clone, Debug, PartialEq)]
pub struct BenchValue {
    /// Quantity id.
    pub quantity: &'static str,
    /// As an import would have it: `0.66`, `> 45`, `pass 45 / fail 50`.
    pub text: String,
    /// Its unit.
    pub unit: &'static str,
    /// Which specimen of the run, from 0; each is a replicate of its own.
    pub specimen: u32,
}

/// What readings come to.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct FromBench {
    /// The results.
    pub values: Vec<BenchValue>,
    /// What should be looked at again.
    pub remarks: Vec<String>,
}

/// A cell that cannot be used.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BenchFault {
    /// Its row, from 0.
    pub row: usize,
    /// Its column.
    pub column: &'static str,
    /// What is wrong, with the mend.
    pub problem: String,
}
