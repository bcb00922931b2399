//! Single questions that need no archive: one contact, one gear pair, one oil, one run log, one set of lives. Pages and JSON
//! show the same answers.

mod contact;
mod four_ball_ep;
mod gear;
mod viscosity;
mod weibull;

pub use crate::catalogue::four_ball_ep::{Level, Missing, ScarFrom};
pub use crate::intake::read_number;
pub use crate::lubricant::IndexProcedure;
pub use crate::stats::weibull::CONFIDENCE;
pub use contact::{ContactAnswer, ContactBody, ContactQuestion, calculate_contact};
pub(crate) use four_ball_ep::missing_words;
pub use four_ball_ep::{FourBallAnswer, FourBallRun, calculate_four_ball_ep};
pub use gear::{GearAnswer, GearPoint, GearQuestion, calculate_gear};
pub use viscosity::{ViscosityAnswer, ViscosityQuestion, calculate_viscosity};
pub use weibull::{WeibullAnswer, WeibullQuestion, calculate_weibull};

use crate::contact::ContactError;
use crate::lubricant::{LubricantError, OilLimit};

/// A value that cannot be used.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Refusal {
    /// Its place in the question, as the JSON names it: `load_n`, `bodies[0].rx_m`, `runs[3].scar_mm`.
    pub field: String,
    /// What is wrong with it, with the mend.
    pub problem: String,
}

/// An answer, or everything that stands against the question.
pub type Answered<T> = Result<T, Vec<Refusal>>;

/// What is said where numbers leave the range of the computer's.
const TOO_FAR: &str = "with this value the result leaves the numbers that can be computed";

fn refusal(field: impl Into<String>, problem: impl Into<String>) -> Refusal {
    Refusal {
        field: field.into(),
        problem: problem.into(),
    }
}

/// A refusal of the engine's, its field renamed to that of the question.
fn refused_contact(
    error: ContactError,
    named: impl Fn(&str) -> Option<String>,
    otherwise: &str,
) -> Vec<Refusal> {
    match error {
        ContactError::Field { field, wrong, .. } => match named(field) {
            Some(name) => vec![refusal(name, wrong.words())],
            None => vec![refusal(
                otherwise,
                format!("{TOO_FAR} ({field}: {})", wrong.words()),
            )],
        },
        other => vec![refusal(otherwise, other.to_string())],
    }
}

fn refused_oil(error: &LubricantError) -> Vec<Refusal> {
    vec![refusal(error.field, oil_problem(error.limit))]
}

fn oil_problem(limit: OilLimit) -> &'static str {
    match limit {
        OilLimit::Density => "must lie between 500 and 2500 kg/m3",
        OilLimit::PressureViscosity => "must lie between 1e-9 and 1e-7 per pascal",
        OilLimit::Viscosity => "must lie between 0.21 and 2e7 mm2/s (ASTM D341)",
        OilLimit::Falling => "must be below the viscosity at 40 °C",
        OilLimit::IndexDefined => "the viscosity index is defined from 2 mm2/s at 100 °C upward (ASTM D2270)",
        OilLimit::NotRising => "must not be below the viscosity at 100 °C",
    }
}

/// Nothing but numbers: every one of them finite.
fn all_finite(values: impl IntoIterator<Item = f64>) -> bool {
    values.into_iter().all(f64::is_finite)
}
