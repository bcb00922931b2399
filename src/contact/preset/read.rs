//! Reads the parameters of a preset: one JSON object whose every key is known, used and checked.

use crate::contact::UnknownWord;
use crate::units::Interval;
use serde::de::{Deserialize, Deserializer, MapAccess, Visitor};
use serde_json::Value;
use std::fmt;
use std::str::FromStr;

/// Why no preset could be made: the key, and what is wrong with it.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{key}: {problem}")]
pub struct PresetFault {
    /// The key; `preset` for the preset's word, `parameters` for the JSON as a whole.
    pub key: String,
    /// What is wrong, with the mend.
    pub problem: String,
}

impl PresetFault {
    pub(super) fn new(key: &str, problem: impl Into<String>) -> Self {
        Self {
            key: key.to_string(),
            problem: problem.into(),
        }
    }
}

/// What a number may be.
#[derive(Clone, Copy)]
pub(super) struct Bounds {
    least: Least,
    most: f64,
}

#[derive(Clone, Copy)]
enum Least {
    /// The number itself may be the least.
    From(f64),
    /// The number must be greater.
    Above(f64),
    /// From 0, but not 0 throughout: a duty may begin at standstill.
    Standstill,
}

impl Bounds {
    pub(super) const fn from(least: f64, most: f64) -> Self {
        let least = Least::From(least);
        Self { least, most }
    }

    pub(super) const fn above(least: f64, most: f64) -> Self {
        let least = Least::Above(least);
        Self { least, most }
    }

    pub(super) const fn from_standstill(most: f64) -> Self {
        let least = Least::Standstill;
        Self { least, most }
    }

    fn check(self, key: &str, range: Interval) -> Result<Interval, PresetFault> {
        let most = self.most;
        let (holds, wanted) = match self.least {
            Least::From(least) => (
                range.lo() >= least,
                format!("must lie between {least} and {most}"),
            ),
            Least::Above(least) => (
                range.lo() > least,
                format!("must be above {least} and at most {most}"),
            ),
            Least::Standstill => (
                range.lo() >= 0.0 && range.hi() > 0.0,
                format!("must lie between 0 and {most}, and not be 0 throughout"),
            ),
        };
        if holds && range.hi() <= most {
            Ok(range)
        } else {
            Err(PresetFault::new(key, wanted))
        }
    }
}

/// Lengths and diameters, m. The upper ends of all these bounds only catch a wrong unit (ours).
pub(super) const LENGTH_M: Bounds = Bounds::above(0.0, 100.0);
/// Forces, N.
pub(super) const FORCE_N: Bounds = Bounds::above(0.0, 1e9);
/// Torques, N m.
pub(super) const TORQUE_NM: Bounds = Bounds::above(0.0, 1e9);
/// Speeds, r/min.
pub(super) const SPEED_RPM: Bounds = Bounds::from_standstill(1e6);
/// Bulk temperatures, °C.
pub(super) const TEMPERATURE_C: Bounds = Bounds::from(-100.0, 1000.0);
/// Roughness Rq, m.
pub(super) const ROUGHNESS_M: Bounds = Bounds::from(0.0, 1e-4);

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
    pub(super) fn of(preset: &str, json: &str, keys: &[&str]) -> Result<Self, PresetFault> {
        let fields: Self = serde_json::from_str(json)
            .map_err(|error| PresetFault::new("parameters", format!("cannot be read: {error}")))?;
        for (place, (key, _)) in fields.0.iter().enumerate() {
            if !keys.contains(&key.as_str()) {
                let list = keys.join(", ");
                let problem = format!("is no parameter of a contact given as {preset}; those are: {list}");
                return Err(PresetFault::new(key, problem));
            }
            if fields.0[..place].iter().any(|(earlier, _)| earlier == key) {
                return Err(PresetFault::new(key, "is given twice"));
            }
        }
        Ok(fields)
    }

    /// Every key with its value.
    pub(super) fn pairs(&self) -> impl Iterator<Item = (&str, &Value)> {
        self.0.iter().map(|(key, value)| (key.as_str(), value))
    }

    fn get(&self, key: &str) -> Option<&Value> {
        self.pairs()
            .find(|(known, _)| *known == key)
            .map(|(_, value)| value)
    }

    fn required(&self, key: &str) -> Result<&Value, PresetFault> {
        self.get(key).ok_or_else(|| PresetFault::new(key, "is missing"))
    }

    /// One number.
    pub(super) fn number(&self, key: &str, bounds: Bounds) -> Result<f64, PresetFault> {
        number(key, self.required(key)?, bounds)
    }

    /// One number, or `default` where the key is missing.
    pub(super) fn number_or(&self, key: &str, bounds: Bounds, default: f64) -> Result<f64, PresetFault> {
        self.get(key)
            .map_or(Ok(default), |value| number(key, value, bounds))
    }

    /// One number or a pair of numbers.
    pub(super) fn range(&self, key: &str, bounds: Bounds) -> Result<Interval, PresetFault> {
        range(key, self.required(key)?, bounds)
    }

    /// One number or a pair of numbers, or `default` where the key is missing.
    pub(super) fn range_or(
        &self,
        key: &str,
        bounds: Bounds,
        default: [f64; 2],
    ) -> Result<Interval, PresetFault> {
        match self.get(key) {
            Some(value) => range(key, value, bounds),
            None => between(key, default),
        }
    }

    /// One number for each of the two bodies.
    pub(super) fn two_bodies(&self, key: &str, bounds: Bounds) -> Result<Option<[f64; 2]>, PresetFault> {
        let Some(value) = self.get(key) else {
            return Ok(None);
        };
        match value.as_array().map(Vec::as_slice) {
            Some([first, second]) => Ok(Some([number(key, first, bounds)?, number(key, second, bounds)?])),
            _ => Err(PresetFault::new(
                key,
                "must be a pair of numbers, one for each body",
            )),
        }
    }

    /// A whole number of things, from 1 to 10 000.
    pub(super) fn count(&self, key: &str) -> Result<u32, PresetFault> {
        let count = self.required(key)?.as_f64();
        let whole = count.filter(|count| count.fract() == 0.0 && (1.0..=10_000.0).contains(count));
        whole
            .map(|count| count as u32)
            .ok_or_else(|| PresetFault::new(key, "must be a whole number from 1 to 10000"))
    }

    /// A word of a closed list.
    pub(super) fn word<T: FromStr<Err = UnknownWord>>(&self, key: &str) -> Result<T, PresetFault> {
        word(key, self.required(key)?)
    }

    /// A word of a closed list, or `default` where the key is missing.
    pub(super) fn word_or<T: FromStr<Err = UnknownWord>>(
        &self,
        key: &str,
        default: T,
    ) -> Result<T, PresetFault> {
        self.get(key).map_or(Ok(default), |value| word(key, value))
    }
}

fn number(key: &str, value: &Value, bounds: Bounds) -> Result<f64, PresetFault> {
    let point = value.as_f64().and_then(Interval::point);
    let point = point.ok_or_else(|| PresetFault::new(key, "must be a number"))?;
    bounds.check(key, point).map(Interval::lo)
}

fn range(key: &str, value: &Value, bounds: Bounds) -> Result<Interval, PresetFault> {
    let ends = match value.as_array().map(Vec::as_slice) {
        Some([lo, hi]) => lo.as_f64().zip(hi.as_f64()),
        Some(_) => None,
        None => value.as_f64().map(|point| (point, point)),
    };
    let Some((lo, hi)) = ends else {
        return Err(PresetFault::new(key, "must be a number or a pair of numbers"));
    };
    if lo > hi {
        return Err(PresetFault::new(key, format!("reversed: {lo} is above {hi}")));
    }
    bounds.check(key, between(key, [lo, hi])?)
}

fn between(key: &str, [lo, hi]: [f64; 2]) -> Result<Interval, PresetFault> {
    Interval::new(lo, hi).ok_or_else(|| PresetFault::new(key, "must be finite"))
}

fn word<T: FromStr<Err = UnknownWord>>(key: &str, value: &Value) -> Result<T, PresetFault> {
    let text = value
        .as_str()
        .ok_or_else(|| PresetFault::new(key, "must be a word"))?;
    text.parse()
        .map_err(|unknown: UnknownWord| PresetFault::new(key, unknown.to_string()))
}
