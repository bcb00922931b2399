//! The keys of a stated contact: which one is at fault, and how each is shown.

use crate::contact::preset::bounds::Bounds;
use crate::contact::preset::key::Key;
use crate::contact::preset::read::PresetFault;
use crate::contact::stated::StatedContact;
use crate::contact::terms::{Materials, Motion, ShapeClass, Supply};
use serde_json::{Map, Value};

const PRESSURE_PA: Bounds = Bounds::from(0.0, 1e12);
const TEMPERATURE_C: Bounds = Bounds::from(-273.15, 5000.0);

/// Every one may be missing.
pub(super) const KEYS: &[Key] = &[
    Key::word("shape", ShapeClass::WHAT, ShapeClass::WORDS).optional(),
    Key::range("ellipticity", Bounds::from(1.0, 100.0)).optional(),
    Key::range("max_pressure_pa", PRESSURE_PA).optional(),
    Key::range("mean_pressure_pa", PRESSURE_PA).optional(),
    Key::range("sliding_m_s", Bounds::from(0.0, 1e4)).optional(),
    Key::range("slide_roll", Bounds::from(0.0, 1e6)).optional(),
    Key::word("motion", Motion::WHAT, Motion::WORDS).optional(),
    Key::range("film_ratio", Bounds::from(0.0, 1e6)).optional(),
    Key::word("materials", Materials::WHAT, Materials::WORDS).optional(),
    Key::range("time_share", Bounds::from(0.0, 1.0)).optional(),
    Key::range("temperature_c", TEMPERATURE_C).optional(),
    Key::range("contact_temperature_c", TEMPERATURE_C).optional(),
    Key::word("supply", Supply::WHAT, Supply::WORDS).optional(),
];

/// The contact that JSON states, every key of which was read.
pub(super) fn contact(json: &str) -> Result<StatedContact, PresetFault> {
    let fields: Map<String, Value> =
        serde_json::from_str(json).map_err(|error| PresetFault::new("parameters", error.to_string()))?;
    for (key, value) in &fields {
        let alone: Map<_, _> = [(key.clone(), value.clone())].into_iter().collect();
        if let Err(error) = serde_json::from_value::<StatedContact>(Value::Object(alone)) {
            let problem = error.to_string();
            let named = format!("{key}: ");
            return Err(PresetFault::new(
                key,
                problem.strip_prefix(&named).unwrap_or(&problem),
            ));
        }
    }
    serde_json::from_value(Value::Object(fields))
        .map_err(|error| PresetFault::new("parameters", error.to_string()))
}
