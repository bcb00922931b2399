//! From raw readings at the bench to results: the standards' own arithmetic, with what has to be looked at again.
//!
//! Nothing here rounds: a result is kept as it comes out. The run log of the four-ball extreme-pressure test has a home of
//! its own.

mod ageing;
mod gear_stages;
mod load_steps;
mod wear;

pub use ageing::{
    AcidReading, PressureReading, life_to_acid_number_h, minutes_to_pressure_drop, viscosity_increase_percent,
};
pub use gear_stages::{StageInspection, failing_stage};
pub use load_steps::{LoadStep, StepBounds, StepOutcome, ok_load, passed_load};
pub use wear::{BallScar, Specimen, mass_losses_mg, mean_scar_mm};

use crate::catalogue::four_ball_ep::RunProblem;
use serde::Deserialize;

/// What is taken down of a run at the bench, where the result itself is not what is read. A method's data file names it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Readings {
    /// Two scar diameters on each of the three lower balls.
    FourBallWear,
    /// The load of each run with its mean scar, or the weld.
    FourBallRunLog,
    /// Two scar diameters on one ball.
    BallOnDiscScar,
    /// Loads in pounds, passed or failed.
    LoadStepsLb,
    /// Loads in newton, passed or failed.
    LoadStepsN,
    /// The damaged widths of each load stage.
    GearStages,
    /// Rollers and cage of each bearing, weighed before and after.
    BearingMasses,
    /// Rolling elements of each bearing alone, weighed before and after.
    RollerMasses,
    /// Acid numbers over the hours.
    AcidNumbers,
    /// Pressures over the minutes.
    Pressures,
    /// Viscosity before and after.
    Viscosities,
}

/// A reading that cannot stand as it is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ReadingsFault {
    /// Its place among the readings, from 0.
    pub row: usize,
    /// Which number of it.
    pub field: &'static str,
    /// What is wrong.
    pub problem: ReadingsProblem,
}

/// What is wrong with a reading.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum ReadingsProblem {
    /// There is no reading.
    Nothing,
    /// One reading is no course.
    One,
    /// It does not come after the reading before it.
    NotLater,
    /// It lies outside bounds, lower and upper, in a unit.
    OutOfBounds(f64, [f64; 2], &'static str),
    /// The first reading is at the limit already: the reading, the limit.
    AtTheLimit(f64, f64),
    /// No load stage.
    NoStage(f64),
    /// A stage stands twice.
    StageTwice(u32),
    /// Damage that heals: sum in mm and stage, and the same of the stage before.
    Heals([(f64, u32); 2]),
    /// More widths than the pinion has teeth.
    MoreThanTeeth(usize, usize),
    /// No width in mm on a tooth of so many mm.
    NoWidth(f64, f64),
    /// No load.
    NoLoad(f64),
    /// A load that passed above one that failed.
    PassedAbove(f64, f64),
    /// A load after the run had ended.
    AfterTheEnd,
    /// So many mg heavier after the run.
    Heavier(f64),
    /// A run of the four-ball extreme-pressure test that cannot stand.
    Run(RunProblem),
}

fn refused<T>(row: usize, field: &'static str, problem: ReadingsProblem) -> Result<T, ReadingsFault> {
    Err(ReadingsFault { row, field, problem })
}

/// A number within bounds.
fn within(
    row: usize,
    field: &'static str,
    value: f64,
    bounds: [f64; 2],
    unit: &'static str,
) -> Result<(), ReadingsFault> {
    if (bounds[0]..=bounds[1]).contains(&value) {
        Ok(())
    } else {
        refused(row, field, ReadingsProblem::OutOfBounds(value, bounds, unit))
    }
}
