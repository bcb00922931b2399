//! Median mass loss of a bearing test, with what few bearings can say about it.

use crate::calculate::{WeibullAnswer, WeibullQuestion, calculate_weibull};
use crate::catalogue::Value;
use crate::explain::Case;
use crate::explain::worn::measured_runs;
use crate::units::Dimension;
use serde::Serialize;

/// Fewest bearings from which the shape is fitted too (the practice of the standard, from memory).
const FEWEST_TO_FIT: usize = 3;
/// Shapes that are shown beside the fit, the first one foremost (ours).
const SHAPES: [f64; 3] = [2.0, 1.5, 3.0];

/// A median with its 90 % interval, in the unit of the quantity.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct BearingMedian {
    /// Shape of the distribution, fitted or given.
    pub shape: f64,
    /// Mass loss that half of the bearings exceed.
    pub median: f64,
    /// Its interval, by profile likelihood.
    pub interval: [f64; 2],
    /// How often such an interval really holds the median; `None` where the shape is given.
    pub real_confidence: Option<f64>,
}

/// The bearings of one blend.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct BearingsOfBlend {
    /// The blend.
    pub blend: String,
    /// Its role.
    pub role: &'static str,
    /// Bearings whose loss was measured.
    pub bearings: usize,
    /// Bearings whose loss is only known to lie below or above something; with any of them nothing is fitted.
    pub bounded: usize,
    /// Shape and median together; `None` with fewer than three bearings or without scatter.
    pub fitted: Option<BearingMedian>,
    /// The median with each given shape.
    pub given: Vec<BearingMedian>,
}

/// The bearings of a test.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Bearings {
    /// Unit of the medians.
    pub unit: &'static str,
    /// Blends with bearings, in the order of the trial.
    pub blends: Vec<BearingsOfBlend>,
}

/// Medians of a bearing test's blends; `None` where the quantity is not the mass loss of several specimens of a run.
pub(crate) fn bearings(case: &Case<'_>) -> Option<Bearings> {
    let is_mass = case.quantity.unit.dimension() == Dimension::Mass;
    if !is_mass || !case.method.several_specimens_per_run {
        return None;
    }
    let parts = case.records.trial.blends.iter();
    let blends: Vec<BearingsOfBlend> = parts
        .filter_map(|part| of_blend(case, part.blend.as_str(), part.role.word()))
        .collect();
    (!blends.is_empty()).then(|| Bearings {
        unit: case.quantity.unit.word(),
        blends,
    })
}

fn of_blend(case: &Case<'_>, blend: &str, role: &'static str) -> Option<BearingsOfBlend> {
    let (mut losses, mut bounded) = (Vec::new(), 0);
    for run in measured_runs(case.test, blend) {
        match run.value {
            Value::Exact(loss) if loss > 0.0 => losses.push(loss),
            _ => bounded += 1,
        }
    }
    if losses.is_empty() && bounded == 0 {
        return None;
    }
    let fitted = (bounded == 0 && losses.len() >= FEWEST_TO_FIT).then(|| median(&losses, None));
    let given = SHAPES.into_iter().filter(|_| bounded == 0);
    Some(BearingsOfBlend {
        blend: blend.to_string(),
        role,
        bearings: losses.len(),
        bounded,
        fitted: fitted.flatten(),
        given: given.filter_map(|shape| median(&losses, Some(shape))).collect(),
    })
}

fn median(losses: &[f64], shape: Option<f64>) -> Option<BearingMedian> {
    let question = WeibullQuestion::new(losses, &[], shape).ok()?;
    let answer: WeibullAnswer = calculate_weibull(&question).ok()?;
    Some(BearingMedian {
        shape: answer.fit.shape,
        median: answer.fit.median(),
        interval: answer.interval,
        real_confidence: answer.real_confidence,
    })
}
