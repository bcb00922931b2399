//! Censored results on a grid, precision, seeded draws. This room stands alone: it knows numbers, not lubricants.
//!
//! * [`normal`]: the normal distribution, exact in both tails.
//! * [`precision`]: standard deviations from published repeatability and from replicates, and critical differences.
//! * [`observation`]: one result: exact, between two limits, above one or below one.
//! * [`severity`]: the shift shared by all results of one block.
//! * [`cell`]: the posterior of one blend in one test, on a grid.
//! * [`control`]: control charts of single readings: limits, run rules, weighted mean.
//! * [`range`]: how far apart several readings of one oil may lie.
//! * [`requirement`]: whether the mean of several results meets a limit.
//! * [`value_of_information`]: what one further result would do to an expected position, and to a choice.
//! * [`dunnett`]: several means, each against one other.
//! * [`difference`]: what is known of the difference of two means.
//! * [`deviation`]: how far one result scatters, with the doubt about that.
//! * [`draws`]: seeded streams that depend on their key alone.
//! * [`power`]: what a planned number of runs could show.
//! * [`trend`]: whether values rise or fall with a dose, within groups.
//! * [`level`]: whether the level of a series has changed, and where.
//! * [`lattice`]: evenly spread points for averages without random numbers.
//! * [`weibull`]: lives with runs that were stopped before failure.

pub mod cell;
pub mod control;
pub mod deviation;
pub mod difference;
pub mod draws;
pub mod dunnett;
pub mod lattice;
pub mod level;
pub mod normal;
pub mod observation;
pub mod power;
pub mod precision;
pub mod range;
pub mod requirement;
pub mod severity;
pub mod trend;
pub mod value_of_information;
pub mod weibull;
