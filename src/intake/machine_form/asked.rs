//! What is typed into the fields of a form, each in the unit of its field or in one written beside it.

use crate::intake::form::Faults;
use crate::intake::read_number;
use crate::intake::value::leading_number;
use crate::records::{FieldKind, FieldNeed, FormField};
use crate::units::Measure;
use serde_json::{Map, Value, json};
use std::collections::BTreeMap;

/// The values of a form in SI under the keys of its fields, as far as they can be read; every fault is noted under
/// `prefix` and the name of its input.
pub(crate) fn read_fields(
    form: &[FormField],
    typed: &BTreeMap<String, String>,
    prefix: &str,
    faults: &mut Faults,
) -> Map<String, Value> {
    let mut values = Map::new();
    for field in form {
        let mut asking = Asking {
            typed,
            prefix,
            faults: &mut *faults,
        };
        if let Some(value) = asking.value(field) {
            values.insert(field.key.to_string(), value);
        }
    }
    values
}

/// The inputs by which a field is typed: one, or two for a range and for two bodies.
pub fn inputs(field: &FormField) -> Vec<String> {
    let key = field.key;
    match field.kind {
        FieldKind::Range => vec![format!("{key}.lo"), format!("{key}.hi")],
        FieldKind::TwoBodies => vec![format!("{key}.a"), format!("{key}.b")],
        FieldKind::Number | FieldKind::Count | FieldKind::Words(_) => vec![key.to_string()],
    }
}

/// A typed value.
#[derive(Clone, Debug, PartialEq)]
struct Measured {
    /// In SI.
    si: f64,
    /// The unit word that stands with it; `None` where the field's own is meant.
    unit: Option<String>,
}

/// The value of a text such as `12`, `1,5`, `1 kgf`, `200 °F`, in SI; `usual` is the unit that the field shows.
fn read_measured(text: &str, measure: Measure, usual: &str) -> Result<Measured, String> {
    let text = text.replace(['\u{a0}', '\u{202f}'], " ").replace('\u{2212}', "-");
    let text = text.trim();
    let Some((number, rest)) = leading_number(text) else {
        return Err(format!("'{text}' is not a number"));
    };
    let number = read_number(number).map_err(|problem| problem.to_string())?;
    let unit = rest.trim();
    let meant = if unit.is_empty() { usual } else { unit };
    let si = measure.to_si(number, meant).ok_or_else(|| {
        let units = measure.units();
        let known = if units.is_empty() {
            "a plain number".to_string()
        } else {
            units.join(", ")
        };
        format!("'{unit}' is not a unit of this field; it takes {known}")
    })?;
    Ok(Measured {
        si,
        unit: (!unit.is_empty()).then(|| unit.to_string()),
    })
}

struct Asking<'a> {
    typed: &'a BTreeMap<String, String>,
    prefix: &'a str,
    faults: &'a mut Faults,
}

impl Asking<'_> {
    fn text(&self, input: &str) -> &str {
        self.typed.get(input).map_or("", |text| text.trim())
    }

    fn wrong(&mut self, input: &str, problem: impl Into<String>) {
        let field = format!("{}{input}", self.prefix);
        self.faults.wrong(field, problem);
    }

    fn value(&mut self, field: &FormField) -> Option<Value> {
        let names = inputs(field);
        if names.iter().all(|name| self.text(name).is_empty()) {
            if field.need == FieldNeed::Must {
                let unit = if field.unit.is_empty() {
                    String::new()
                } else {
                    format!(", in {} or with another unit", field.unit)
                };
                let problem = match field.kind {
                    FieldKind::Words(_) => "is not chosen yet".to_string(),
                    _ => format!("is empty; a number belongs here{unit}"),
                };
                let name = format!("{}{}", self.prefix, names[0]);
                self.faults.missing(name, problem);
            }
            return None;
        }
        match field.kind {
            FieldKind::Words(words) => self.word(&names[0], words),
            FieldKind::Number => self.measured(field, &names[0]).map(|found| json!(found.si)),
            FieldKind::Count => self.measured(field, &names[0]).map(|found| count(found.si)),
            FieldKind::Range | FieldKind::TwoBodies => self.pair(field, &names),
        }
    }

    fn word(&mut self, input: &str, words: &[&str]) -> Option<Value> {
        let text = self.text(input).to_string();
        if words.contains(&text.as_str()) {
            return Some(json!(text));
        }
        self.wrong(input, format!("'{text}' is not one of: {}", words.join(", ")));
        None
    }

    fn measured(&mut self, field: &FormField, input: &str) -> Option<Measured> {
        let measure = Measure::of_key(field.key);
        match read_measured(self.text(input), measure, field.unit) {
            Ok(found) => Some(found),
            Err(problem) => {
                self.wrong(input, problem);
                None
            }
        }
    }

    /// Two numbers in one unit. Of a range the second may be left out: then it is one value.
    fn pair(&mut self, field: &FormField, names: &[String]) -> Option<Value> {
        let is_range = field.kind == FieldKind::Range;
        if self.text(&names[0]).is_empty() {
            let problem = if is_range {
                "is empty; for one value type it here and leave the other end empty"
            } else {
                "is empty; both bodies need a value"
            };
            self.wrong(&names[0], problem);
            return None;
        }
        let first = self.measured(field, &names[0]);
        if self.text(&names[1]).is_empty() {
            if !is_range {
                self.wrong(&names[1], "is empty; both bodies need a value");
                return None;
            }
            return first.map(|first| json!(first.si));
        }
        let second = self.measured(field, &names[1]);
        let (first, second) = (first?, second?);
        if first.unit != second.unit {
            let unit = |found: &Measured| found.unit.clone();
            let named = unit(&first).or(unit(&second)).unwrap_or_default();
            let at = usize::from(first.unit.is_some());
            self.wrong(
                &names[at],
                format!("the other one is in {named}; write the unit in both"),
            );
            return None;
        }
        if is_range && first.si > second.si {
            self.wrong(
                &names[1],
                "is below the mild end; the greater number belongs here",
            );
            return None;
        }
        Some(json!([first.si, second.si]))
    }
}

/// A whole number without a decimal point; the preset refuses another one.
fn count(number: f64) -> Value {
    if number.fract() == 0.0 && (0.0..1e9).contains(&number) {
        json!(number as u64)
    } else {
        json!(number)
    }
}

/// What would be typed, in the units of the fields, to get values as they are.
pub(crate) fn typed_fields(form: &[FormField], parameters: &Map<String, Value>) -> BTreeMap<String, String> {
    let mut values = BTreeMap::new();
    for field in form {
        let Some(value) = parameters.get(field.key) else {
            continue;
        };
        let measure = Measure::of_key(field.key);
        let text = |value: &Value| match value.as_f64() {
            Some(number) => measure.from_si(number, field.unit).unwrap_or(number).to_string(),
            None => value.as_str().unwrap_or_default().to_string(),
        };
        let names = inputs(field);
        match value.as_array().map(Vec::as_slice) {
            Some([first, second]) if names.len() == 2 => {
                values.insert(names[0].clone(), text(first));
                // Both ends alike are one value.
                if field.kind == FieldKind::TwoBodies || first != second {
                    values.insert(names[1].clone(), text(second));
                }
            }
            _ => {
                values.insert(names[0].clone(), text(value));
            }
        }
    }
    values
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::records::Preset;

    #[test]
    fn the_unit_that_a_field_shows_is_one_that_it_takes_and_means_the_same() {
        for word in Preset::WORDS {
            for field in Preset::form(word) {
                if matches!(field.kind, FieldKind::Words(_)) {
                    continue;
                }
                let si = Measure::of_key(field.key).to_si(field.shown_per_si, field.unit);
                let si = si.unwrap_or_else(|| panic!("{word}, {}: {}", field.key, field.unit));
                assert!((si - 1.0).abs() < 1e-9, "{word}, {}: {si}", field.key);
            }
        }
    }

    #[test]
    fn what_was_given_comes_back_in_the_units_of_the_fields_and_is_read_as_the_same() {
        let json = r#"{"length_m":0.4,"width_m":0.05,"load_n":[980.665,1961.33],"speed_m_s":0.5,
            "temperature_c":[20,40],"supply":"bath","materials":"hard steel/cast iron"}"#;
        let given: Map<String, Value> = serde_json::from_str(json).unwrap();
        let form = Preset::form("slideway");
        let typed = typed_fields(&form, &given);
        assert_eq!(typed["length_m"], "400");
        assert_eq!(
            (typed["load_n.lo"].as_str(), typed["speed_m_s.lo"].as_str()),
            ("980.665", "0.5")
        );
        assert!(!typed.contains_key("speed_m_s.hi"));
        let mut faults = Faults::default();
        let read = read_fields(&form, &typed, "", &mut faults);
        assert_eq!(faults.0, []);
        let preset =
            |map: &Map<String, Value>| Preset::parse("slideway", &Value::Object(map.clone()).to_string());
        assert_eq!(preset(&read).unwrap(), preset(&given).unwrap());
    }
    #[test]
    fn a_bare_number_is_in_the_unit_of_the_field_and_another_unit_is_converted() {
        let si = |text: &str, measure, usual| read_measured(text, measure, usual).map(|found| found.si);
        assert_eq!(si("4,5", Measure::Length, "mm"), Ok(0.0045));
        assert_eq!(si(" 1 kgf", Measure::Force, "N"), Ok(9.806_65));
        assert_eq!(si("1kgf", Measure::Force, "N"), Ok(9.806_65));
        assert_eq!(si("\u{2212}5", Measure::Temperature, "°C"), Ok(-5.0));
        let boiling = si("212 °F", Measure::Temperature, "°C");
        assert_eq!(boiling, Ok(100.0));
        assert_eq!(si("5 %", Measure::Ratio, ""), Ok(0.05));
    }

    #[test]
    fn what_cannot_be_a_value_says_the_mend() {
        let fault = |text: &str, measure, usual| read_measured(text, measure, usual).unwrap_err();
        assert!(fault("fast", Measure::Speed, "m/s").contains("not a number"));
        assert!(fault("1,234", Measure::Force, "N").contains("1.234 and as 1234"));
        assert!(fault("3 kg", Measure::Force, "N").contains("N, kN, kgf"));
        assert!(fault("3 mm", Measure::Ratio, "").contains("%"));
    }
}
