//! Runs whose stated conditions depart from the method's are another variant of it, and are not pooled with the others.
//!
//! A result's conditions are compared by what they state: numbers in r/min, N, °C and s (and the units that convert
//! into them). The method's list allows a value by its range or its `+/-` tolerance; a value that the method does not
//! state in that respect is passed over, and so is a respect that the result does not state. A condition that is from
//! memory counts like any other.

use crate::catalogue::stated_values::{Respect, Stated, stated};
use crate::catalogue::{Condition, Method, Quantity};
use crate::records::RunResult;
use crate::units::Dimension;
use std::collections::{BTreeMap, BTreeSet};
use std::fmt;

/// The conditions of a run that depart from the method's: `60 °C, 24 h`. Empty: the method's own.
#[derive(Clone, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub struct Variant {
    written: String,
    departs_in: BTreeSet<Respect>,
}

impl Variant {
    /// Whether it is the method's own conditions.
    pub fn is_empty(&self) -> bool {
        self.departs_in.is_empty()
    }
}

impl fmt::Display for Variant {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.written)
    }
}

/// The variant of each result, in order.
pub(crate) fn variants(method: &Method, quantity: &Quantity, results: &[&RunResult]) -> Vec<Variant> {
    let allowed = allowed(method, quantity);
    let departing: Vec<Vec<Stated>> = results
        .iter()
        .map(|result| departures(&result.conditions, &allowed))
        .collect();
    let names = names(&departing, &allowed);
    let variant = |values: &Vec<Stated>| {
        let mut written: Vec<&str> = values.iter().map(|value| names[&key(value)].as_str()).collect();
        written.dedup();
        Variant {
            written: written.join(", "),
            departs_in: values.iter().map(|value| value.respect).collect(),
        }
    };
    departing.iter().map(variant).collect()
}

/// What the method's list says of speed, load, temperature and time in the respects in which variants depart: `121 °C`.
pub(crate) fn of_the_method<'v>(
    method: &Method,
    quantity: &Quantity,
    variants: impl Iterator<Item = &'v Variant>,
) -> String {
    let departs: BTreeSet<Respect> = variants.flat_map(|one| one.departs_in.iter().copied()).collect();
    let own = allowed(method, quantity);
    let of_respect = own.iter().filter(|value| departs.contains(&value.respect));
    let mut words: Vec<String> = of_respect.map(Stated::words).collect();
    words.dedup();
    words.join(", ")
}

/// The values that a method allows.
fn allowed(method: &Method, quantity: &Quantity) -> Vec<Stated> {
    let compared = |condition: &&Condition| {
        let name = condition.name.to_lowercase();
        ["speed", "load", "temperature", "duration", "time"]
            .iter()
            .any(|known| name.contains(known))
    };
    // Where the result itself is a load or a stage, the load is no condition.
    let load_is_result = quantity.scale.is_stepped() || quantity.unit.dimension() == Dimension::Force;
    let conditions = method.conditions.iter().filter(compared);
    conditions
        .flat_map(|condition| stated(&usual_part(&condition.value)))
        .filter(|value| !(load_is_result && value.respect == Respect::Load))
        .map(|value| Stated {
            tolerance: value.tolerance.max(least_tolerance(value.respect)),
            ..value
        })
        .collect()
}

/// A bath whose tolerance is not stated is held to 1 K (ours); anything else to what is written.
fn least_tolerance(respect: Respect) -> f64 {
    if respect == Respect::Temperature { 1.0 } else { 0.0 }
}

/// The part of a condition that holds unless something else is stated: other variants and procedures that the list
/// also names are variants of their own.
fn usual_part(text: &str) -> String {
    let outside = without_brackets_about("variant", text);
    let names_others = ["unless stated otherwise", "variant", "procedure"]
        .iter()
        .any(|word| text.contains(word));
    if names_others {
        outside.split(';').next().unwrap_or_default().to_string()
    } else {
        outside
    }
}

/// A text without the bracketed parts that hold a word.
fn without_brackets_about(word: &str, text: &str) -> String {
    let mut kept = String::new();
    let mut rest = text;
    while let Some((before, after)) = rest.split_once('(') {
        kept.push_str(before);
        let (inside, behind) = after.split_once(')').unwrap_or((after, ""));
        if !inside.contains(word) {
            kept.push_str(inside);
        }
        rest = behind;
    }
    kept + rest
}

/// The values of a text that lie outside what is allowed in their respect.
fn departures(conditions: &str, allowed: &[Stated]) -> Vec<Stated> {
    let mut found: Vec<Stated> = stated(conditions)
        .into_iter()
        .filter(|value| {
            let mut same = allowed.iter().filter(|known| known.respect == value.respect);
            let states_it = same.clone().next().is_some();
            states_it && !same.any(|known| value.meets(known))
        })
        .collect();
    found.sort_by_key(key);
    found
}

/// Respect and value as something that can be ordered; values are far coarser than a millionth of their unit.
fn key(value: &Stated) -> (Respect, i64, i64) {
    let millionths = |number: f64| (number * 1e6).round() as i64;
    (value.respect, millionths(value.lo), millionths(value.hi))
}

/// One name for departing values that lie within the method's tolerance of the smallest of them: a bath at 60.2 °C and
/// one at 60 °C ran the same variant.
fn names(departing: &[Vec<Stated>], allowed: &[Stated]) -> BTreeMap<(Respect, i64, i64), String> {
    let sorted: BTreeMap<_, Stated> = departing
        .iter()
        .flatten()
        .map(|value| (key(value), *value))
        .collect();
    let mut names = BTreeMap::new();
    let mut first: Option<Stated> = None;
    for (key, value) in sorted {
        let width = usual_tolerance(value.respect, allowed);
        let near = first.filter(|first| {
            let like_first = Stated {
                tolerance: width,
                ..*first
            };
            first.respect == value.respect && value.meets(&like_first)
        });
        let name_of = near.unwrap_or(value);
        first = Some(name_of);
        names.insert(key, name_of.words());
    }
    names
}

/// The greatest tolerance of a method in a respect.
fn usual_tolerance(respect: Respect, allowed: &[Stated]) -> f64 {
    let of_respect = allowed.iter().filter(|value| value.respect == respect);
    of_respect.map(|value| value.tolerance).fold(0.0, f64::max)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalogue::built_in_method;

    fn departs(method: &str, quantity: &str, conditions: &str) -> String {
        let method = built_in_method(method).unwrap();
        let allowed = allowed(method, method.quantity(quantity).unwrap());
        let words: Vec<String> = departures(conditions, &allowed)
            .iter()
            .map(Stated::words)
            .collect();
        words.join(", ")
    }

    #[test]
    fn the_usual_conditions_of_a_method_do_not_depart() {
        for (method, quantity, conditions) in [
            ("fb_wear_oil_B", "scar", "392 N; 1200 rpm; 75 C; 60 min"),
            ("fb_wear_oil_B", "scar", "40 kgf; 1 h; 74 C"),
            ("fb_ep_oil", "weld", "1760 rpm; 10 s per load; 24 C start"),
            ("lo_oil_wear", "scar", "300 N; 50 Hz; 1.0 mm; 50 C; 120 min"),
            ("rb_oil", "roller_wear", "7.5 rpm; 80 kN; 80 C; 80 h"),
            (
                "rb_grease",
                "roller_wear",
                "7.5 rpm; 50 kN; 60 C; 500 h; 5 % juice added",
            ),
            (
                "gear_A8",
                "fail_stage",
                "type A gears; 8.3 m/s; 90 C; 15 min per stage",
            ),
            ("bor_oil", "ok_load", "800 rpm; 38 C start; 10 min per load"),
            ("gear_lowspeed_wear", "mass_loss", "100 rpm; stage 10; 20 h"),
            ("washout", "loss", "79 C; 1 h"),
            ("fretting", "mass_loss", "22 h; 30 Hz"),
            ("gear_lowspeed_wear", "mass_loss", "120 C"),
            ("fb_ep_oil", "weld", ""),
        ] {
            assert_eq!(
                departs(method, quantity, conditions),
                "",
                "{method}: {conditions}"
            );
        }
    }

    #[test]
    fn another_temperature_time_speed_or_load_departs() {
        for (method, quantity, conditions, expected) in [
            (
                "gear_lowspeed_wear",
                "mass_loss",
                "100 rpm; stage 10; 60 C; 20 h",
                "60 °C",
            ),
            ("fb_ep_oil", "weld", "1760 rpm; 60 s per load", "60 s"),
            ("fb_wear_oil_B", "scar", "392 N; 1800 rpm; 75 C", "1800 r/min"),
            ("fb_wear_oil_B", "scar", "147 N; 1200 rpm; 75 C", "147 N"),
            ("cu_d130", "class", "100 C; 24 h", "24 h"),
            // the list names 80 °C as stated otherwise, and 60 °C as another variant
            ("lo_oil_wear", "scar", "300 N; 80 C", "80 °C"),
            ("gear_micropit", "fail_stage", "60 C", "60 °C"),
        ] {
            assert_eq!(
                departs(method, quantity, conditions),
                expected,
                "{method}: {conditions}"
            );
        }
    }

    #[test]
    fn a_bath_without_a_stated_tolerance_is_held_to_1_k() {
        for (conditions, departing) in [
            ("119.90 C", "119.9 °C"),
            ("120.00 C", ""),
            ("121.00 C", ""),
            ("122.00 C", ""),
            ("122.10 C", "122.1 °C"),
        ] {
            let found = departs("gear_lowspeed_wear", "mass_loss", conditions);
            assert_eq!(found, departing, "{conditions}");
        }
    }

    #[test]
    fn a_load_is_no_condition_where_the_result_is_a_load() {
        assert_eq!(departs("lo_grease_ep", "pass_load", "700 N"), "");
    }

    #[test]
    fn what_the_method_says_instead_is_named() {
        let method = built_in_method("gear_lowspeed_wear").unwrap();
        let quantity = method.quantity("mass_loss").unwrap();
        let warm = Variant {
            written: "60 °C".to_string(),
            departs_in: BTreeSet::from([Respect::Temperature]),
        };
        assert_eq!(of_the_method(method, quantity, [&warm].into_iter()), "121 °C");
    }

    proptest::proptest! {
        #[test]
        fn any_text_is_read_without_fault(
            text in "[-+/±.,;()0-9 °CNhrpmins\u{2212}\u{2013}\u{a0}a-z]{0,60}"
        ) {
            let method = built_in_method("fb_wear_oil_B").unwrap();
            let allowed = allowed(method, method.quantity("scar").unwrap());
            proptest::prop_assert!(departures(&text, &allowed).iter().all(|value| value.lo <= value.hi));
        }
    }
}
