//! The words for a contact's parameters, values, notes and faults: closed lists, in one file.

use crate::contact::note::Note;
use crate::contact::wrong::Wrong;
use serde::Deserialize;
use std::collections::BTreeMap;
use std::sync::LazyLock;

/// All of them.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(in crate::contact) struct Words {
    pub(in crate::contact) notes: BTreeMap<Note, String>,
    pub(in crate::contact) wrong: BTreeMap<Wrong, String>,
    values: BTreeMap<String, ValueWords>,
    /// By preset and key; `any` holds those that most presets share.
    parameters: BTreeMap<String, BTreeMap<String, ParameterWords>>,
}

/// What a value is called that is computed for a page, and its unit.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(in crate::contact) struct ValueWords {
    pub(in crate::contact) label: String,
    pub(in crate::contact) unit: String,
}

/// What a parameter is called, and what else there is to know to fill it in; that may be empty.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(in crate::contact) struct ParameterWords {
    pub(in crate::contact) label: String,
    #[serde(default)]
    pub(in crate::contact) note: String,
}

pub(in crate::contact) static WORDS: LazyLock<Words> = LazyLock::new(|| {
    // The file is part of the program, and tests read it.
    toml::from_str(include_str!("words.toml")).unwrap_or_else(|error| panic!("words.toml: {error}"))
});

/// The words for a value by its key.
pub(in crate::contact) fn of_value(key: &str) -> &'static ValueWords {
    &WORDS.values[key]
}

/// The words for a parameter of a preset by its key.
pub(in crate::contact) fn of_parameter(preset: &str, key: &str) -> &'static ParameterWords {
    let own = WORDS.parameters.get(preset).and_then(|own| own.get(key));
    own.unwrap_or_else(|| &WORDS.parameters["any"][key])
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::contact::preset::MachinePreset;
    use std::collections::BTreeSet;

    #[test]
    fn every_parameter_has_its_words_and_no_words_are_without_one() {
        let mut used = BTreeSet::new();
        for preset in MachinePreset::WORDS {
            for field in MachinePreset::form(preset) {
                let own = WORDS.parameters.get(*preset);
                let is_own = own.is_some_and(|own| own.contains_key(field.key));
                assert!(!field.label.is_empty(), "{preset}: {}", field.key);
                used.insert((
                    if is_own { preset } else { "any" }.to_string(),
                    field.key.to_string(),
                ));
            }
        }
        let all = WORDS
            .parameters
            .iter()
            .flat_map(|(preset, keys)| keys.keys().map(|key| (preset.clone(), key.clone())));
        assert_eq!(all.collect::<BTreeSet<_>>(), used);
    }
}
