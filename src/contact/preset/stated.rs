//! The keys of a stated contact: which one is at fault, and how each is shown.

use crate::contact::preset::parameter::Parameter;
use crate::contact::preset::read::{Fields, PresetFault};
use crate::contact::stated::StatedContact;

pub(super) const KEYS: [&str; 13] = [
    "shape",
    "ellipticity",
    "max_pressure_pa",
    "mean_pressure_pa",
    "sliding_m_s",
    "slide_roll",
    "motion",
    "film_ratio",
    "materials",
    "time_share",
    "temperature_c",
    "contact_temperature_c",
    "supply",
];

/// The contact that JSON states, or the first key that it cannot be read from.
pub(super) fn read(json: &str) -> Result<StatedContact, PresetFault> {
    let fields = Fields::of("stated", json, &KEYS)?;
    for (key, value) in fields.pairs() {
        let alone: serde_json::Map<_, _> = [(key.to_string(), value.clone())].into_iter().collect();
        let read = serde_json::from_value::<StatedContact>(serde_json::Value::Object(alone));
        if let Err(error) = read {
            let problem = error.to_string();
            let named = format!("{key}: ");
            return Err(PresetFault::new(
                key,
                problem.strip_prefix(&named).unwrap_or(&problem),
            ));
        }
    }
    serde_json::from_str(json).map_err(|error| PresetFault::new("parameters", error.to_string()))
}

pub(super) fn parameters(stated: &StatedContact) -> Vec<Parameter> {
    let ranges = [
        ("ellipticity", "Ellipticity", stated.ellipticity),
        ("max_pressure_pa", "Maximum pressure", stated.max_pressure_pa),
        ("mean_pressure_pa", "Mean pressure", stated.mean_pressure_pa),
        ("sliding_m_s", "Sliding speed", stated.sliding_m_s),
        ("slide_roll", "Slide-roll ratio", stated.slide_roll),
        ("film_ratio", "Film ratio", stated.film_ratio),
        ("time_share", "Share of time in contact", stated.time_share),
        ("temperature_c", "Bulk temperature", stated.temperature_c),
        (
            "contact_temperature_c",
            "Contact temperature",
            stated.contact_temperature_c,
        ),
    ];
    let words = [
        ("shape", "Contact shape", stated.shape.map(|word| word.word())),
        ("motion", "Motion", stated.motion.map(|word| word.word())),
        ("materials", "Materials", stated.materials.map(|word| word.word())),
        ("supply", "Supply", stated.supply.map(|word| word.word())),
    ];
    let ranges = ranges
        .into_iter()
        .filter_map(|(key, label, range)| Some(Parameter::range(key, label, range?)));
    let words = words
        .into_iter()
        .filter_map(|(key, label, word)| Some(Parameter::word(key, label, word?)));
    ranges.chain(words).collect()
}
