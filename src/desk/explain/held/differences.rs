//! How two procedures differ in load, speed, duration and geometry, from what is kept of both methods.
//!
//! A line stands only where both sides are known and are not the same. What is kept as words is laid side by side as words.

use crate::catalogue::{LoadRule, Method, MethodContact, PlainNumber, Quantity};
use crate::charts::number_words;
use crate::contact::element::{Element, Surroundings};
use crate::desk::explain::around::plain_path;
use crate::desk::explain::held::duration::duration;
use crate::desk::explain::words::{tidy, unit_word};
use crate::resemblance::{self, Decided};
use crate::units::{Interval, Measure};
use serde::Serialize;

/// One condition in which two procedures differ.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct HeldDifference {
    /// What differs: `speed`, `ball diameter`, `duration per load`.
    pub what: String,
    /// In this test.
    pub here: String,
    /// By the other standard.
    pub there: String,
    /// `6 times`, there over here; empty where no factor says it.
    pub times: String,
}

type Side<'a> = (&'a Method, &'a Quantity);

/// Numbers nearer than this are the same: what rounding of a unit leaves (ours).
const SAME: f64 = 1e-3;

/// Every condition in which two methods differ.
pub(super) fn differences(here: Side<'_>, there: Side<'_>) -> Vec<HeldDifference> {
    let mut lines = Vec::new();
    lines.extend(words(
        "form of lubricant",
        here.0.lubricant.word(),
        there.0.lubricant.word(),
    ));
    match (here.0.contacts.first(), there.0.contacts.first()) {
        (Some(a), Some(b)) => lines.extend(contacts(a, b)),
        (Some(_), None) => lines.extend(words("contact", "a rubbing contact", "nothing rubs")),
        (None, Some(_)) => lines.extend(words("contact", "nothing rubs", "a rubbing contact")),
        (None, None) => {}
    }
    lines.extend(sliding(here, there));
    lines.extend(time(here.0, there.0));
    lines.extend(ladder(here.1, there.1));
    lines.extend(words("a bare number means", said(here.1), said(there.1)));
    lines
}

fn words(what: &str, here: &str, there: &str) -> Option<HeldDifference> {
    (here != there).then(|| HeldDifference {
        what: what.to_string(),
        here: here.to_string(),
        there: there.to_string(),
        times: String::new(),
    })
}

fn is_same(a: f64, b: f64) -> bool {
    (a - b).abs() <= SAME * a.abs().max(b.abs())
}

/// Two numbers of one unit with the factor between them.
fn numbers(what: &str, here: f64, there: f64, words: impl Fn(f64) -> String) -> Option<HeldDifference> {
    (!is_same(here, there)).then(|| HeldDifference {
        what: what.to_string(),
        here: words(here),
        there: words(there),
        times: times(here, there),
    })
}

fn times(here: f64, there: f64) -> String {
    let factor = there / here;
    if factor.is_finite() && factor > 0.0 {
        format!("{} times", tidy(factor))
    } else {
        String::new()
    }
}

fn with_unit(number: f64, unit: &str) -> String {
    match unit {
        "" => number_words(number),
        unit => format!("{} {unit}", number_words(number)),
    }
}

fn contacts(here: &MethodContact, there: &MethodContact) -> Vec<HeldDifference> {
    use MethodContact::{Rig, Stated};
    match (here, there) {
        (
            Rig {
                element: a,
                surroundings: around_a,
                load: load_a,
            },
            Rig {
                element: b,
                surroundings: around_b,
                load: load_b,
            },
        ) => {
            let mut lines = bodies(a, b);
            lines.extend(load(load_a, load_b));
            lines.extend(surroundings(around_a, around_b));
            lines
        }
        (Stated(_), Stated(_)) => Vec::new(),
        (Rig { element, .. }, Stated(_)) => {
            words("geometry", &kind(element), "stated by ranges, without a shape")
                .into_iter()
                .collect()
        }
        (Stated(_), Rig { element, .. }) => {
            words("geometry", "stated by ranges, without a shape", &kind(element))
                .into_iter()
                .collect()
        }
    }
}

fn kind(element: &Element) -> String {
    element.kind().replace('_', " ")
}

/// Bodies of one kind number by number; of two kinds the kinds.
fn bodies(here: &Element, there: &Element) -> Vec<HeldDifference> {
    if here.kind() != there.kind() {
        return words("geometry", &kind(here), &kind(there)).into_iter().collect();
    }
    let fields = |element: &Element| match serde_json::to_value(element) {
        Ok(serde_json::Value::Object(fields)) => fields,
        _ => serde_json::Map::new(),
    };
    let (a, b) = (fields(here), fields(there));
    let line = |(key, value): (&String, &serde_json::Value)| {
        let (x, y) = (value.as_f64()?, b.get(key)?.as_f64()?);
        let measure = Measure::of_key(key);
        let unit = measure.usual_unit();
        let shown = |si: f64| with_unit(measure.from_si(si, unit).unwrap_or(si), unit);
        numbers(&plain_path(key), x, y, shown)
    };
    a.iter().filter_map(line).collect()
}

fn load(here: &LoadRule, there: &LoadRule) -> Option<HeldDifference> {
    use LoadRule::{FixedForce, FixedTorque, ForcePerUnit, StageTorques};
    let newton = |force: f64| with_unit(force, "N");
    let torque = |torque: f64| with_unit(torque, "N m");
    match (here, there) {
        (FixedForce(a), FixedForce(b)) => numbers("load", *a, *b, newton),
        (FixedTorque(a), FixedTorque(b)) => numbers("torque on the pinion", *a, *b, torque),
        (StageTorques(a), StageTorques(b)) => {
            let same = a.len() == b.len() && a.iter().zip(b).all(|(a, b)| is_same(*a, *b));
            let words = |all: &[f64]| match (all.first(), all.last()) {
                (Some(first), Some(last)) => {
                    format!(
                        "{} stages, {} to {}",
                        all.len(),
                        number_words(*first),
                        torque(*last)
                    )
                }
                _ => "no stages".to_string(),
            };
            (!same).then(|| HeldDifference {
                what: "torques of the stages".to_string(),
                here: words(a),
                there: words(b),
                times: String::new(),
            })
        }
        (ForcePerUnit(_), ForcePerUnit(_)) => None,
        (a, b) => words("load", &rule(a), &rule(b)),
    }
}

fn rule(load: &LoadRule) -> String {
    match load {
        LoadRule::FixedForce(force) => format!("{}, kept", with_unit(*force, "N")),
        LoadRule::FixedTorque(torque) => format!("{} on the pinion, kept", with_unit(*torque, "N m")),
        LoadRule::ForcePerUnit(_) => "raised until it fails".to_string(),
        LoadRule::StageTorques(_) => "raised stage by stage".to_string(),
    }
}

fn surroundings(here: &Surroundings, there: &Surroundings) -> Vec<HeldDifference> {
    let celsius = |range: Interval| match range.is_point() {
        true => with_unit(range.lo(), "°C"),
        false => format!("{} to {}", number_words(range.lo()), with_unit(range.hi(), "°C")),
    };
    let roughness = |both: [Option<f64>; 2]| {
        let [Some(a), Some(b)] = both else { return None };
        Some((a * a + b * b).sqrt())
    };
    let rough = roughness(here.roughness_rq_m).zip(roughness(there.roughness_rq_m));
    let micrometre = |metres: f64| with_unit(metres * 1e6, "µm");
    [
        words(
            "temperature",
            &celsius(here.bulk_temperature_c),
            &celsius(there.bulk_temperature_c),
        ),
        words("motion", here.motion.word(), there.motion.word()),
        words("materials", here.materials.word(), there.materials.word()),
        words("supply", here.supply.word(), there.supply.word()),
        rough.and_then(|(a, b)| numbers("roughness of both together", a, b, micrometre)),
    ]
    .into_iter()
    .flatten()
    .collect()
}

/// The sliding speed of the first contact, computed from its bodies and their motion.
fn sliding(here: Side<'_>, there: Side<'_>) -> Option<HeldDifference> {
    let speed = |(method, quantity): Side<'_>| {
        let sides = resemblance::contacts(method, quantity, Decided::default(), None).ok()?;
        sides.first()?.sliding_m_s.filter(|speed| speed.is_point())
    };
    let (a, b) = (speed(here)?, speed(there)?);
    numbers("sliding speed, computed", a.lo(), b.lo(), |speed| {
        with_unit(speed, "m/s")
    })
}

/// How long both run: as a factor where both name a time that is counted alike, otherwise in the words of each.
fn time(here: &Method, there: &Method) -> Option<HeldDifference> {
    let of = |method: &Method| {
        let named = method
            .conditions
            .iter()
            .find(|condition| condition.name == "duration");
        named.map(|condition| condition.value.clone())
    };
    let (a, b) = (of(here)?, of(there)?);
    match (duration(&a), duration(&b)) {
        (Some((a_s, a_of)), Some((b_s, b_of))) if a_of == b_of => {
            let what = if a_of.is_empty() {
                "duration".to_string()
            } else {
                format!("duration {a_of}")
            };
            (!is_same(a_s, b_s)).then(|| HeldDifference {
                what,
                here: a,
                there: b,
                times: times(a_s, b_s),
            })
        }
        _ => words("duration", &a, &b),
    }
}

/// The loads or stages at which results can lie.
fn ladder(here: &Quantity, there: &Quantity) -> Option<HeldDifference> {
    let in_unit = |quantity: &Quantity| -> Option<Vec<f64>> {
        quantity
            .steps
            .iter()
            .map(|step| quantity.unit.convert(*step, here.unit))
            .collect()
    };
    let (a, b) = (in_unit(here)?, in_unit(there)?);
    // A ladder in newton is a ladder in kgf to half a per cent of a step, as intake reads it.
    let near = |a: f64, b: f64| (a - b).abs() <= 0.005 * b.abs();
    let same = a.len() == b.len() && a.iter().zip(&b).all(|(a, b)| near(*a, *b));
    (!same).then(|| HeldDifference {
        what: "steps at which results lie".to_string(),
        here: steps(here),
        there: steps(there),
        times: String::new(),
    })
}

fn steps(quantity: &Quantity) -> String {
    match (quantity.steps.first(), quantity.steps.last()) {
        (Some(first), Some(last)) => format!(
            "{} from {} to {}",
            quantity.steps.len(),
            number_words(*first),
            with_unit(*last, unit_word(quantity.unit))
        ),
        _ => "none, it is read off".to_string(),
    }
}

/// What a bare number says.
fn said(quantity: &Quantity) -> &'static str {
    match quantity.plain_number {
        PlainNumber::Exact => "what was measured",
        PlainNumber::Failure => "the step at which it failed",
        PlainNumber::Pass => "the last step that it passed",
    }
}
