//! Reads the parameters of a preset: one JSON object whose every key is known, used and checked.

use crate::contact::preset::key::Key;
use crate::contact::preset::parameter::{Given, Parameter};
use crate::contact::{ContactError, Wrong};
use crate::units::Interval;
use serde::de::{Deserialize, DeserializeOwned, Deserializer, MapAccess, Visitor};
use serde_json::{Map, Value};
use std::fmt;

/// Why no preset could be made: the key, and what is wrong with it.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{key}: {problem}")]
pub struct PresetFault {
    /// The key; `preset` for the preset's word, `parameters` for the JSON as a whole.
    pub key: String,
    wrong: Wrong,
    /// What is wrong, in words, with the mend.
    pub problem: String,
}

impl PresetFault {
    /// Whether the key stands nowhere, and nothing else is said of it.
    pub fn is_missing(&self) -> bool {
        self.wrong == Wrong::Missing
    }

    pub(super) fn new(key: &str, wrong: Wrong) -> Self {
        Self::with(key, wrong, &[])
    }

    /// One whose words need some values.
    pub(super) fn with(key: &str, wrong: Wrong, values: &[&dyn fmt::Display]) -> Self {
        Self {
            key: key.to_string(),
            wrong,
            problem: wrong.words_with(values),
        }
    }
}

impl From<ContactError> for PresetFault {
    /// What a formula refuses, under the key that is called as its field.
    fn from(error: ContactError) -> Self {
        match error {
            ContactError::Field { field, wrong, .. } => Self::new(field, wrong),
            other => Self::with("parameters", Wrong::Refused, &[&other]),
        }
    }
}

/// The keys of one JSON object with their values, in the order in which they stand.
pub(super) struct Fields(Vec<(String, Value)>);

impl<'de> Deserialize<'de> for Fields {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct Pairs;
        impl<'de> Visitor<'de> for Pairs {
            type Value = Fields;

            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("a JSON object of keys and values")
            }

            fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<Fields, A::Error> {
                let mut pairs = Vec::new();
                while let Some(pair) = map.next_entry()? {
                    pairs.push(pair);
                }
                Ok(Fields(pairs))
            }
        }
        deserializer.deserialize_map(Pairs)
    }
}

impl Fields {
    /// The object, when it holds no other key than these and none twice.
    fn of(preset: &str, json: &str, keys: &[Key]) -> Result<Self, PresetFault> {
        let fields: Self = serde_json::from_str(json)
            .map_err(|error| PresetFault::with("parameters", Wrong::Unread, &[&error]))?;
        for (place, (name, _)) in fields.0.iter().enumerate() {
            if !keys.iter().any(|key| key.name == name) {
                let list = keys.iter().map(|key| key.name).collect::<Vec<_>>().join(", ");
                return Err(PresetFault::with(name, Wrong::Foreign, &[&preset, &list]));
            }
            if fields.0[..place].iter().any(|(earlier, _)| earlier == name) {
                return Err(PresetFault::new(name, Wrong::GivenTwice));
            }
        }
        Ok(fields)
    }

    /// The value of one key.
    pub(super) fn get(&self, key: &str) -> Option<&Value> {
        self.0
            .iter()
            .find(|(known, _)| known == key)
            .map(|(_, value)| value)
    }
}

/// All values of one contact by its preset's keys, in their order, with the defaults that were taken.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Parameters(Vec<Parameter>);

impl Parameters {
    /// From the JSON of a preset with these keys.
    pub(super) fn read(preset: &str, json: &str, keys: &[Key]) -> Result<Self, PresetFault> {
        let fields = Fields::of(preset, json, keys)?;
        let mut list = Vec::new();
        for key in keys {
            list.extend(key.read(&fields)?.map(|given| Parameter { key: key.name, given }));
        }
        Ok(Self(list))
    }

    /// What is wrong with each key of a preset's JSON by itself, in their order.
    pub(super) fn faults(preset: &str, json: &str, keys: &[Key]) -> Vec<PresetFault> {
        match Fields::of(preset, json, keys) {
            Ok(fields) => keys.iter().filter_map(|key| key.read(&fields).err()).collect(),
            Err(fault) => vec![fault],
        }
    }

    /// Every key with its value.
    pub(super) fn list(&self) -> &[Parameter] {
        &self.0
    }

    /// All of them as one JSON object.
    pub(super) fn object(&self) -> Value {
        let pairs = self.0.iter();
        pairs
            .map(|parameter| (parameter.key.to_string(), parameter.json()))
            .collect::<Map<_, _>>()
            .into()
    }

    /// All of them as the fields of a contact, whose names and types are those of its keys.
    pub(super) fn fields<T: DeserializeOwned>(&self) -> Result<T, PresetFault> {
        serde_json::from_value(self.object())
            .map_err(|error| PresetFault::with("parameters", Wrong::Unread, &[&error]))
    }

    fn take<T>(&self, key: &str, as_type: impl Fn(Given) -> Option<T>) -> Option<T> {
        let parameter = self.0.iter().find(|parameter| parameter.key == key)?;
        as_type(parameter.given)
    }

    /// One number.
    pub(super) fn number(&self, key: &str) -> Result<f64, PresetFault> {
        self.number_if(key).ok_or_else(|| missing(key))
    }

    /// One number, where the key is given.
    pub(super) fn number_if(&self, key: &str) -> Option<f64> {
        self.take(key, |given| match given {
            Given::Number(number) => Some(number),
            _ => None,
        })
    }

    /// One number as a point, or a pair of numbers.
    pub(super) fn range(&self, key: &str) -> Result<Interval, PresetFault> {
        let range = self.take(key, |given| match given {
            Given::Range(range) => Some(range),
            _ => None,
        });
        range.ok_or_else(|| missing(key))
    }

    /// A whole number of things, from 1 to 10 000.
    pub(super) fn count(&self, key: &str) -> Result<u32, PresetFault> {
        let count = self.take(key, |given| match given {
            Given::Count(count) => Some(count),
            _ => None,
        });
        count.ok_or_else(|| missing(key))
    }

    /// A word of a closed list.
    pub(super) fn text(&self, key: &str) -> Result<&'static str, PresetFault> {
        let word = self.take(key, |given| match given {
            Given::Word(word) => Some(word),
            _ => None,
        });
        word.ok_or_else(|| missing(key))
    }
}

fn missing(key: &str) -> PresetFault {
    PresetFault::new(key, Wrong::Missing)
}
