//! What the gear scuffing rig says of a machine's blends, as a table prints it.

use crate::app::BlendScuffing;
use crate::contact::failing_stage::{FailingStage, PermissibleTemperature};
use crate::units::Unit;
use crate::web::figures;
use crate::web::pages::machines::words;
use crate::web::preferences::preferences;
use crate::web::question::encoded_step;

/// One blend's line of the table.
pub(super) struct ScuffingRow {
    pub(super) blend: String,
    pub(super) href: String,
    pub(super) runs: usize,
    pub(super) stage: String,
    pub(super) flash: String,
    pub(super) integral: String,
}

impl ScuffingRow {
    pub(super) fn new(line: &BlendScuffing) -> Self {
        let stage = figures::figure(line.stage.stage());
        Self {
            blend: line.blend.to_string(),
            href: format!("/blends/{}", encoded_step(line.blend.as_str())),
            runs: line.runs,
            stage: match line.stage {
                FailingStage::Failed(_) => stage,
                FailingStage::Passed(_) => format!("> {stage}"),
            },
            flash: permissible(line.flash),
            integral: permissible(line.integral),
        }
    }
}

/// A temperature in °C as a whole number of what the reader wants.
fn whole(temperature_c: f64) -> String {
    let shown = preferences().in_unit(Unit::DegreeCelsius);
    shown.shown().fixed(shown.value(temperature_c), 0)
}

/// `208 (152 to 281)`, `at least 366 (281 and up)`, whole degrees.
fn permissible(temperature: Option<PermissibleTemperature>) -> String {
    let Some(it) = temperature else {
        return words::VISCOSITY_NOT_KNOWN.to_string();
    };
    let at_least = if it.is_at_least { words::AT_LEAST } else { "" };
    let to = match it.high_c {
        Some(high) => words::to(&whole(high)),
        None => words::AND_UP.to_string(),
    };
    format!("{at_least}{} ({} {to})", whole(it.at_stage_c), whole(it.low_c))
}
