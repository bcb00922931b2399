//! What a copy of a method keeps of the words of its original: none that state a condition the copy does not have.

use crate::catalogue::stated_values::{Token, tokens};
use crate::catalogue::{Condition, Method, NamedContact, contact_to_json};
use crate::units::{Dimension, Measure, Unit};
use serde_json::{Map, Value};
use std::collections::BTreeSet;

/// Values that agree within this part are one value, written in two units or rounded (ours: 392 N for 40 kgf).
const SAME_WITHIN: f64 = 0.005;

/// Words of a method.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Words {
    /// A listed condition, by its name.
    Condition(String),
    /// The number of the standard.
    Standard,
    /// The caution.
    Caution,
    /// Rig safety.
    Safety,
    /// The note.
    Note,
    /// What a quantity is called, by its id.
    Label(String),
}

/// What a number is in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum In {
    Measure(Measure),
    Time,
}

/// A number with its unit, in SI (r/min and °C for those that have them).
#[derive(Clone, Copy, Debug, PartialEq)]
struct Number {
    what: In,
    value: f64,
}

impl Number {
    fn is(&self, other: &Self) -> bool {
        let size = self.value.abs().max(other.value.abs());
        self.what == other.what && (self.value - other.value).abs() <= SAME_WITHIN * size
    }
}

/// The conditions of a method that a copy of it does not have.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct OldWords {
    /// Names of the conditions that a contact or the steps of the copy have otherwise.
    respects: BTreeSet<&'static str>,
    /// Conditions of the copy whose words are the original's all the same.
    unchanged: BTreeSet<String>,
    /// Values that the original states and the copy has nowhere.
    gone: Vec<Number>,
    differs: bool,
}

impl OldWords {
    /// What a copy with these contacts and listed conditions has otherwise. `other_steps`: a ladder or its last step is
    /// another one.
    pub fn between(
        original: &Method,
        contacts: &[NamedContact],
        conditions: &[Condition],
        other_steps: bool,
    ) -> Self {
        let (before, after) = (numbers_of(&original.contacts), numbers_of(contacts));
        let mut respects: BTreeSet<&str> = differing_keys(&original.contacts, contacts)
            .iter()
            .map(|key| respect_of(key))
            .collect();
        respects.remove("");
        if other_steps {
            respects.insert("load");
        }
        let is_old = |condition: &&Condition| {
            respects.contains(condition.name.as_str())
                && original.conditions.iter().any(|old| same_words(old, condition))
        };
        let unchanged: BTreeSet<String> = conditions.iter().filter(is_old).map(|c| c.name.clone()).collect();
        let kept = conditions.iter().filter(|c| !unchanged.contains(&c.name));
        let now: Vec<Number> = kept.flat_map(|c| stated(&c.value)).chain(after).collect();
        let is_kept = |old: &&Condition| {
            conditions
                .iter()
                .any(|c| same_words(old, c) && !unchanged.contains(&c.name))
        };
        let dropped = original.conditions.iter().filter(|old| !is_kept(old));
        let was = before
            .into_iter()
            .chain(dropped.clone().flat_map(|old| stated(&old.value)));
        Self {
            gone: was.filter(|old| !now.iter().any(|new| new.is(old))).collect(),
            differs: !respects.is_empty() || dropped.count() > 0,
            respects,
            unchanged,
        }
    }

    /// Whether any condition is another one.
    pub fn differs(&self) -> bool {
        self.differs
    }

    /// Whether a listed condition has the original's words although the copy has it otherwise.
    pub fn is_out_of_date(&self, condition: &Condition) -> bool {
        self.unchanged.contains(&condition.name)
    }

    /// The first sentence of the original that stands unchanged in a text and states a value that the copy has not.
    pub fn still_says<'t>(&self, text: &'t str, of_original: &str) -> Option<&'t str> {
        let old: BTreeSet<&str> = sentences(of_original).collect();
        sentences(text).find(|sentence| old.contains(sentence) && self.states_what_is_gone(sentence))
    }

    /// A text without the sentences of the original that state a value which the copy has not.
    pub fn without(&self, text: &str, of_original: &str) -> String {
        if self.still_says(text, of_original).is_none() {
            return text.to_string();
        }
        let old: BTreeSet<&str> = sentences(of_original).collect();
        let kept = sentences(text).filter(|it| !old.contains(it) || !self.states_what_is_gone(it));
        kept.collect::<Vec<_>>().join(" ")
    }

    /// A label without the values that the copy has not: `Friction coefficient` of `Friction coefficient at 392 N`.
    pub fn label_without(&self, label: &str, of_original: &str) -> String {
        if label.trim() != of_original.trim() || !self.states_what_is_gone(label) {
            return label.to_string();
        }
        let words: Vec<&str> = label.split_whitespace().collect();
        // The shortest beginning behind which everything that is gone stands.
        let stays = (0..words.len()).rev().map(|end| words[..end].join(" "));
        let mut stays = stays.filter(|start| !self.states_what_is_gone(start));
        let start = stays.find(|start| !start.ends_with(|c: char| c.is_ascii_digit()));
        let start = start.unwrap_or_default();
        let trimmed = [" at", " after", " of", ","]
            .iter()
            .fold(start.as_str(), |text, end| text.strip_suffix(end).unwrap_or(text));
        trimmed.to_string()
    }

    fn states_what_is_gone(&self, text: &str) -> bool {
        let numbers = stated(text);
        numbers
            .iter()
            .any(|number| self.gone.iter().any(|old| old.is(number)))
    }
}

/// The number of a standard without the designation of its conditions: `ISO 14635-1; ASTM D5182` of
/// `ISO 14635-1 (A/8,3/90); ASTM D5182`.
pub fn bare_standard(standard: &str) -> String {
    let mut outside = String::new();
    let mut rest = standard;
    while let Some((before, after)) = rest.split_once('(') {
        outside.push_str(before.trim_end());
        rest = after.split_once(')').map_or("", |(_, behind)| behind);
    }
    outside.push_str(rest);
    let part = |part: &str| {
        let number = part.split(", ").next().unwrap_or_default();
        let words = number.split_whitespace().filter(|word| !word.contains('/'));
        words.collect::<Vec<_>>().join(" ")
    };
    let parts: Vec<String> = outside.split(';').map(part).collect();
    let parts = parts.into_iter().filter(|part| !part.is_empty());
    parts.collect::<Vec<_>>().join("; ")
}

fn same_words(one: &Condition, other: &Condition) -> bool {
    one.name == other.name && one.value.trim() == other.value.trim()
}

/// The sentences of a text, each with its full stop.
fn sentences(text: &str) -> impl Iterator<Item = &str> {
    let parts = text.split_inclusive(". ").flat_map(|part| part.split('\n'));
    parts.map(str::trim).filter(|part| !part.is_empty())
}

/// The numbers of a text that carry a unit; in `18 to 35 °C` both, in `1200 +/- 60 r/min` the first.
fn stated(text: &str) -> Vec<Number> {
    let tokens = tokens(text);
    let number_at = |at: usize| match tokens.get(at) {
        Some(Token::Number { value, .. }) => Some(*value),
        _ => None,
    };
    let is_joint = |at: usize| match tokens.get(at) {
        Some(Token::PlusMinus | Token::Dash) => true,
        Some(Token::Word(word)) => matches!(word.as_str(), "to" | "or" | "and"),
        _ => false,
    };
    let mut found = Vec::new();
    for at in 0..tokens.len() {
        let is_tolerance = at > 0 && tokens[at - 1] == Token::PlusMinus;
        let Some(value) = number_at(at).filter(|_| !is_tolerance) else {
            continue;
        };
        let of_next = || {
            let joined = is_joint(at + 1) && number_at(at + 2).is_some();
            joined.then(|| unit_at(&tokens, at + 3, value)).flatten()
        };
        found.extend(unit_at(&tokens, at + 1, value).or_else(of_next));
    }
    found
}

/// A value in the unit that starts at a token.
fn unit_at(tokens: &[Token], at: usize, value: f64) -> Option<Number> {
    let word = |at: usize| match tokens.get(at) {
        Some(Token::Word(word)) => Some(word.as_str()),
        _ => None,
    };
    let first = word(at)?;
    let two = word(at + 1).map(|second| format!("{first} {second}"));
    let torque = two.and_then(|unit| Some((Measure::Torque, Measure::Torque.to_si(value, &unit)?)));
    let measures = [
        Measure::Torque,
        Measure::Rotation,
        Measure::Force,
        Measure::Temperature,
        Measure::Length,
        Measure::Speed,
        Measure::Frequency,
        Measure::Pressure,
    ];
    // "in" is a word before it is a unit, and K is a difference.
    let is_unit = !matches!(first, "in" | "K" | "C" | "F");
    let mut one = measures
        .into_iter()
        .filter_map(|measure| Some((measure, measure.to_si(value, first)?)));
    let found = torque.or_else(|| is_unit.then(|| one.next()).flatten());
    if let Some((measure, value)) = found {
        let what = In::Measure(measure);
        return Some(Number { what, value });
    }
    let unit = first.parse::<Unit>().ok()?;
    let is_time = unit.dimension() == Dimension::Time;
    is_time.then(|| Number {
        what: In::Time,
        value: value * unit.factor(),
    })
}

/// The keys of a contact with their values, wherever in its JSON they stand.
fn flat(named: &NamedContact) -> Map<String, Value> {
    let Ok(Value::Object(mut json)) = contact_to_json(named) else {
        return Map::new();
    };
    json.remove("name");
    for part in ["element", "surroundings", "load"] {
        if let Some(Value::Object(inner)) = json.remove(part) {
            json.extend(inner);
        }
    }
    json
}

/// Every number of the contacts that has a unit.
fn numbers_of(contacts: &[NamedContact]) -> Vec<Number> {
    let mut numbers = Vec::new();
    for (key, value) in contacts.iter().flat_map(flat) {
        let measure = Measure::of_key(&key);
        if measure == Measure::Ratio {
            continue;
        }
        let list = match &value {
            Value::Array(list) => list.clone(),
            one => vec![one.clone()],
        };
        let what = In::Measure(measure);
        numbers.extend(
            list.iter()
                .filter_map(Value::as_f64)
                .map(|value| Number { what, value }),
        );
    }
    numbers
}

/// The keys that a contact of the copy has otherwise than the original's of its name, or of its place.
fn differing_keys(before: &[NamedContact], after: &[NamedContact]) -> BTreeSet<String> {
    let mut keys = BTreeSet::new();
    for (place, copied) in after.iter().enumerate() {
        let of_name = before
            .iter()
            .find(|it| !it.name.is_empty() && it.name == copied.name);
        let old = of_name
            .or_else(|| before.get(place))
            .map(flat)
            .unwrap_or_default();
        let new = flat(copied);
        let all = old.keys().chain(new.keys());
        let differs = |key: &&String| match (old.get(*key), new.get(*key)) {
            (Some(old), Some(new)) => !alike(old, new),
            _ => true,
        };
        keys.extend(all.filter(differs).cloned());
    }
    keys
}

/// The name of the listed condition that states what a key holds; empty where none does.
fn respect_of(key: &str) -> &'static str {
    match key {
        "motion" | "stroke_m" | "slide_roll" => "speed",
        "supply" => "supply",
        "roughness_rq_m" => "roughness",
        "newton_per_unit" => "load",
        "film_ratio" | "time_share" | "friction_coefficient" => "",
        _ => match Measure::of_key(key) {
            Measure::Rotation | Measure::Speed | Measure::Frequency => "speed",
            Measure::Temperature => "temperature",
            Measure::Force | Measure::Torque => "load",
            Measure::Pressure if key != "hardness_pa" => "load",
            _ => "specimens",
        },
    }
}

/// Whether two values are the same but for what a change of unit leaves in the last digits; a pair of two equal numbers
/// is that number.
pub(crate) fn alike(before: &Value, after: &Value) -> bool {
    match (before, after) {
        (Value::Array(a), Value::Array(b)) => a.len() == b.len() && a.iter().zip(b).all(|(a, b)| alike(a, b)),
        (Value::Array(pair), one) | (one, Value::Array(pair)) => pair.iter().all(|end| alike(end, one)),
        (Value::Object(a), Value::Object(b)) => {
            a.len() == b.len()
                && a.iter()
                    .all(|(key, value)| b.get(key).is_some_and(|other| alike(value, other)))
        }
        _ => match (before.as_f64(), after.as_f64()) {
            (Some(a), Some(b)) => (a - b).abs() <= 1e-9 * a.abs().max(b.abs()),
            _ => before == after,
        },
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalogue::{built_in, built_in_method};

    /// The copy of a method with one number of its first contact's JSON changed.
    fn changed(id: &str, part: &str, key: &str, value: Value) -> (&'static Method, OldWords) {
        let method = built_in_method(id).unwrap();
        let mut contacts = method.contacts.clone();
        let mut json = contact_to_json(&contacts[0]).unwrap();
        json[part][key] = value;
        contacts[0] = crate::catalogue::contact_from_json(json).unwrap();
        let old = OldWords::between(method, &contacts, &method.conditions, false);
        (method, old)
    }

    fn out_of_date<'m>(method: &'m Method, old: &OldWords) -> Vec<&'m str> {
        let listed = method.conditions.iter();
        let old = listed.filter(|condition| old.is_out_of_date(condition));
        old.map(|condition| condition.name.as_str()).collect()
    }

    #[test]
    fn a_copy_that_changes_nothing_keeps_every_word_of_every_method() {
        for method in built_in() {
            let old = OldWords::between(method, &method.contacts, &method.conditions, false);
            assert_eq!(old, OldWords::default(), "{}", method.id);
            assert_eq!(
                old.without(&method.note, &method.note),
                method.note,
                "{}",
                method.id
            );
        }
    }

    #[test]
    fn what_a_contact_has_otherwise_names_the_condition_whose_words_are_old() {
        for (part, key, value, named) in [
            ("element", "speed_rpm", 600.into(), "speed"),
            ("element", "ball_diameter_m", 0.01.into(), "specimens"),
            ("surroundings", "bulk_temperature_c", 80.into(), "temperature"),
            (
                "surroundings",
                "materials",
                "hard steel/bronze".into(),
                "specimens",
            ),
            ("surroundings", "supply", "circulated".into(), "supply"),
            ("load", "fixed_force_n", 196.into(), "load"),
        ] {
            let (method, old) = changed("fb_wear_oil_B", part, key, value);
            assert_eq!(out_of_date(method, &old), [named], "{key}");
            assert!(old.differs(), "{key}");
        }
        let (method, same) = changed("fb_wear_oil_B", "load", "fixed_force_n", 392.into());
        assert!(out_of_date(method, &same).is_empty() && !same.differs());
        let (method, other) = changed(
            "fb_wear_oil_B",
            "surroundings",
            "friction_coefficient",
            0.12.into(),
        );
        assert!(out_of_date(method, &other).is_empty());
    }

    #[test]
    fn a_condition_in_words_of_its_own_is_the_copys_and_what_it_leaves_is_old() {
        let method = built_in_method("fb_wear_oil_B").unwrap();
        let mut conditions = method.conditions.clone();
        let duration = conditions.iter_mut().find(|c| c.name == "duration").unwrap();
        duration.value = "120 min".into();
        let old = OldWords::between(method, &method.contacts, &conditions, false);
        assert!(out_of_date(method, &old).is_empty());
        assert_eq!(old.still_says("Runs 1 h.", "Runs 1 h."), Some("Runs 1 h."));
        assert_eq!(old.still_says("Runs 2 h, not 1 h.", "Runs 1 h."), None);
        assert_eq!(old.still_says("Runs at 75 °C.", "Runs at 75 °C."), None);
    }

    #[test]
    fn only_sentences_of_the_original_with_a_value_that_is_gone_are_left_out() {
        let (method, old) = changed("gear_A8", "surroundings", "bulk_temperature_c", 60.into());
        let said = old.still_says(&method.safety, &method.safety).unwrap();
        assert!(said.starts_with("Oil at 90 °C"), "{said}");
        let kept = old.without(&method.safety, &method.safety);
        assert!(
            kept.contains("lock and unload the clutch") && !kept.contains("90 °C"),
            "{kept}"
        );
        let own = "Starts at 60 instead of 90 °C.";
        assert_eq!(old.without(own, &method.safety), own);
    }

    #[test]
    fn values_within_a_rounding_are_one() {
        let number = |value: f64| Number {
            what: In::Measure(Measure::Force),
            value,
        };
        for (other, same) in [(199.01, true), (199.0, true), (198.99, false), (201.1, false)] {
            assert_eq!(number(200.0).is(&number(other)), same, "{other}");
        }
        assert_eq!(
            stated("18 to 35 °C, 1200 +/- 60 r/min, 40 kgf, 2 of 3 in 5 min").len(),
            5
        );
    }

    #[test]
    fn a_label_loses_the_value_that_is_gone_and_a_standard_its_designation() {
        let (method, old) = changed("fb_friction_d5183", "load", "fixed_force_n", 196.into());
        let label = &method.quantities[0].label;
        assert_eq!(old.label_without(label, label), "Friction coefficient");
        assert_eq!(
            old.label_without("Friction at 392 N here", label),
            "Friction at 392 N here"
        );
        for (full, bare) in [
            ("ASTM D4172, condition B", "ASTM D4172"),
            (
                "ISO 14635-1 (A/8,3/90); ASTM D5182; CEC L-07",
                "ISO 14635-1; ASTM D5182; CEC L-07",
            ),
            ("A10/16,6R/90", ""),
            ("ASTM D2783", "ASTM D2783"),
        ] {
            assert_eq!(bare_standard(full), bare);
        }
    }
}
