//! From raw readings at the bench to results: the standards' own arithmetic, with what has to be looked at again.
//!
//! Nothing here rounds: a result is kept as it comes out. The run log of the four-ball extreme-pressure test has a home of
//! its own.

mod ageing;
mod gear_stages;
mod load_steps;
mod masses;
mod scars;

pub use ageing::{
    AcidReading, PressureReading, life_to_acid_number_h, minutes_to_pressure_drop, viscosity_increase_percent,
};
pub use gear_stages::{StageInspection, failing_stage};
pub use load_steps::{LoadStep, StepOutcome, ok_load, passed_load};
pub use masses::{Specimen, mass_losses_mg};
pub use scars::{BallScar, mean_scar_mm};

use thiserror::Error;

/// A reading that cannot stand as it is.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
#[error("reading {}, {field}: {problem}", row + 1)]
pub struct ReadingsFault {
    /// Its place among the readings, from 0.
    pub row: usize,
    /// Which number of it.
    pub field: &'static str,
    /// What is wrong, with the mend.
    pub problem: String,
}

impl ReadingsFault {
    fn new(row: usize, field: &'static str, problem: impl Into<String>) -> Self {
        Self {
            row,
            field,
            problem: problem.into(),
        }
    }
}

/// A number within bounds.
fn within(
    row: usize,
    field: &'static str,
    value: f64,
    bounds: [f64; 2],
    unit: &str,
) -> Result<f64, ReadingsFault> {
    if (bounds[0]..=bounds[1]).contains(&value) {
        Ok(value)
    } else {
        let problem = format!(
            "{value} {unit} is not between {} and {} {unit}; read it again",
            bounds[0], bounds[1]
        );
        Err(ReadingsFault::new(row, field, problem))
    }
}
