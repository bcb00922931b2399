//! How often the standing is right, measured on simulated trials whose truth is known. The figures are written by
//! `cargo bench --bench calibration`; nobody types them.

use std::sync::OnceLock;

use serde::{Deserialize, Serialize};

/// What the simulation of trials with known truth found.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Calibration {
    /// Version of the program that was measured.
    pub version: String,
    /// Simulated trials per line of each table.
    pub trials: usize,
    /// Draws per trial.
    pub draws: usize,
    /// Seed of the simulation.
    pub seed: u64,
    /// How often a probability of ranking first came true, once per true scatter.
    pub claims: Vec<Claims>,
    /// How often a leader that was named was the best, once per degrees of freedom of every deviation.
    pub leaders: Vec<Leaders>,
    /// How often a leader was named among equal blends, once per number of candidates.
    pub equal: Vec<EqualBlends>,
    /// How often the front changed without an extreme-condition screen, once per true lead without it.
    pub screens: Vec<WithoutScreen>,
}

/// Probabilities of ranking first against what was true.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Claims {
    /// True standard deviation of a result, in those that the engine was told.
    pub true_scatter: f64,
    /// One line per tenth of the probability; tenths in which nothing was said are left out.
    pub tenths: Vec<Tenth>,
}

/// One tenth of the range of a probability.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Tenth {
    /// How many candidates had a probability in this tenth.
    pub candidates: usize,
    /// Mean probability of ranking first that they were given.
    pub said: f64,
    /// Part of them that was truly best.
    pub came_true: f64,
}

/// Leaders that were named, against what was true, and intervals that held the truth.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Leaders {
    /// Degrees of freedom from which every deviation was known; `None` where the true one was told.
    pub freedom: Option<u32>,
    /// In how many trials a leader was named.
    pub named: usize,
    /// Mean probability of ranking first that it was given.
    pub said: f64,
    /// Part of them that was truly best.
    pub right: f64,
    /// Part of the 90 % intervals of a score that held the true one.
    pub scores_held: f64,
    /// Part of the 90 % intervals of a position that held the true one.
    pub positions_held: f64,
}

/// Leaders named where no blend was better than another.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct EqualBlends {
    /// Number of candidates.
    pub candidates: usize,
    /// Part of the trials in which a leader was named.
    pub named: f64,
}

/// Trials whose front-runner leads through an extreme-condition screen.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct WithoutScreen {
    /// How far the front-runner was truly ahead without the screen, in critical differences of the remaining standing.
    pub ahead: f64,
    /// Trials in which it was in front with everything.
    pub trials: usize,
    /// Part of them in which another blend was in front without the screen, so that the caution fired.
    pub fired: f64,
    /// Mean of the probability, shown with the caution, that another blend ranks first without the screen.
    pub shown: f64,
}

/// The measured figures.
///
/// # Errors
/// The text of the file cannot be read; a test keeps that from being released.
pub fn measured() -> Result<&'static Calibration, &'static str> {
    static READ: OnceLock<Result<Calibration, String>> = OnceLock::new();
    READ.get_or_init(|| {
        serde_json::from_str(include_str!("calibration.json")).map_err(|error| error.to_string())
    })
    .as_ref()
    .map_err(String::as_str)
}
