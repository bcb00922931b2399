//! A contact under another duty: more or less load, faster or slower.

use crate::contact::Wrong;
use crate::contact::preset::{MachinePreset, PresetFault};
use crate::contact::terms::ShapeClass;
use serde_json::{Map, Value, json};

/// By how much a duty differs from the one that a contact was given with.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DutyFactors {
    /// On every load and torque.
    pub load: f64,
    /// On every speed.
    pub speed: f64,
}

impl DutyFactors {
    /// The duty as it was given.
    pub const AS_GIVEN: Self = Self {
        load: 1.0,
        speed: 1.0,
    };

    /// Factors from a tenth to ten times (ours): beyond that it is another machine.
    pub const ALLOWED: std::ops::RangeInclusive<f64> = 0.1..=10.0;

    /// Whether nothing is changed.
    pub fn is_as_given(self) -> bool {
        self == Self::AS_GIVEN
    }
}

/// A parameter that a duty has changed.
#[derive(Clone, Debug, PartialEq)]
pub struct DutyChange {
    /// Its label.
    pub label: &'static str,
    /// By which factor.
    pub factor: f64,
    /// What that follows from; `None` where it is the factor that was asked for.
    pub law: Option<PressureLaw>,
}

/// How the pressure of a stated contact goes with its load.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PressureLaw {
    /// A line: with its square root.
    SquareRoot,
    /// A point or an ellipse: with its cube root.
    CubeRoot,
    /// Conforming bodies: with the load itself.
    Proportional,
}

impl MachinePreset {
    /// The same contact under another duty, with what was changed; everything else stays as it was given.
    ///
    /// # Formula
    /// A contact computed from its geometry: every load and torque times the factor on the load, every speed and
    /// frequency times the factor on the speed; pressure, film and flash follow. A stated contact has no load: its
    /// pressures go with the square root of the load on a line, with the cube root on a point or an ellipse (Hertz), with
    /// the load itself where bodies conform (the area stays); its sliding speed with the speed. Film ratio and
    /// temperatures of a stated contact stay as stated.
    ///
    /// # Errors
    /// The first parameter that leaves its range.
    pub fn under(&self, duty: DutyFactors) -> Result<(Self, Vec<DutyChange>), PresetFault> {
        let json = self.parameters_json();
        let fields: Map<String, Value> = serde_json::from_str(&json)
            .map_err(|error| PresetFault::with("parameters", Wrong::Refused, &[&error]))?;
        let mut changes = Vec::new();
        let mut changed = Map::new();
        for field in Self::form(self.word()) {
            let Some(value) = fields.get(field.key) else {
                continue;
            };
            let (factor, law) = self.factor(field.key, duty);
            if factor != 1.0 {
                changes.push(DutyChange {
                    label: field.label,
                    factor,
                    law,
                });
            }
            changed.insert(field.key.to_string(), times(value, factor));
        }
        let preset = Self::parse(self.word(), &Value::Object(changed).to_string())?;
        Ok((preset, changes))
    }

    fn factor(&self, key: &str, duty: DutyFactors) -> (f64, Option<PressureLaw>) {
        let ends_with = |suffixes: &[&str]| suffixes.iter().any(|suffix| key.ends_with(suffix));
        match self.geometry() {
            Err(stated) if key.ends_with("pressure_pa") => by_shape(stated.shape, duty.load),
            _ if ends_with(&["_n", "_nm"]) => (duty.load, None),
            _ if ends_with(&["_rpm", "_hz", "_m_s"]) => (duty.speed, None),
            _ => (1.0, None),
        }
    }
}

fn by_shape(shape: Option<ShapeClass>, load: f64) -> (f64, Option<PressureLaw>) {
    match shape {
        Some(ShapeClass::Line) => (load.sqrt(), Some(PressureLaw::SquareRoot)),
        Some(ShapeClass::Point | ShapeClass::Elliptical) => (load.cbrt(), Some(PressureLaw::CubeRoot)),
        Some(ShapeClass::Conformal) => (load, Some(PressureLaw::Proportional)),
        None => (1.0, None),
    }
}

/// A number or every number of a pair, times a factor.
fn times(value: &Value, factor: f64) -> Value {
    match value {
        _ if factor == 1.0 => value.clone(),
        Value::Array(ends) => ends.iter().map(|end| times(end, factor)).collect(),
        Value::Number(number) => number
            .as_f64()
            .map_or(Value::Null, |number| json!(number * factor)),
        other => other.clone(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::contact::terms::ContactTerms;

    fn terms(preset: &MachinePreset) -> ContactTerms {
        preset.terms(None).unwrap()
    }

    fn stated(shape: &str) -> MachinePreset {
        let json = format!(
            r#"{{"shape":"{shape}","max_pressure_pa":[0.6e9,1.2e9],"sliding_m_s":0.5,"slide_roll":0.2,"film_ratio":0.7}}"#
        );
        MachinePreset::parse("stated", &json).unwrap()
    }

    const HEAVY: DutyFactors = DutyFactors {
        load: 8.0,
        speed: 0.5,
    };

    /// Hertz: maximum pressure goes with the square root of the load on a line and with its cube root on a point.
    #[test]
    fn a_stated_contact_follows_the_law_of_its_shape() {
        for (shape, factor) in [
            ("line", 8f64.sqrt()),
            ("point", 2.0),
            ("elliptical", 2.0),
            ("conformal", 8.0),
        ] {
            let before = stated(shape);
            let (after, changes) = before.under(HEAVY).unwrap();
            let (was, is) = (terms(&before), terms(&after));
            let ratio = is.max_pressure_pa.unwrap().hi() / was.max_pressure_pa.unwrap().hi();
            assert!((ratio - factor).abs() < 1e-9, "{shape}: {ratio}");
            assert!((is.sliding_m_s.unwrap().lo() - 0.25).abs() < 1e-12);
            assert_eq!(is.film_ratio, was.film_ratio);
            let labels: Vec<_> = changes.iter().map(|change| change.label).collect();
            assert_eq!(labels, ["Maximum pressure", "Sliding speed"], "{shape}");
        }
    }

    #[test]
    fn a_stated_contact_of_unknown_shape_keeps_its_pressure() {
        let contact = MachinePreset::parse("stated", r#"{"max_pressure_pa":1e9,"sliding_m_s":1}"#).unwrap();
        let (after, changes) = contact.under(HEAVY).unwrap();
        assert_eq!(terms(&after).max_pressure_pa.unwrap().hi(), 1e9);
        assert_eq!(changes.len(), 1);
    }

    #[test]
    fn the_duty_as_it_was_given_changes_nothing() {
        let contact = stated("line");
        let (after, changes) = contact.under(DutyFactors::AS_GIVEN).unwrap();
        assert_eq!((&after, changes.len()), (&contact, 0));
    }

    #[test]
    fn a_pressure_beyond_its_range_is_refused_by_its_key() {
        let contact =
            MachinePreset::parse("stated", r#"{"shape":"conformal","max_pressure_pa":1e12}"#).unwrap();
        assert_eq!(contact.under(HEAVY).unwrap_err().key, "max_pressure_pa");
    }
}
