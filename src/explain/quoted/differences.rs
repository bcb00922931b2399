//! How two procedures differ in load, speed, duration and geometry, from what is kept of both methods.
//!
//! A line stands only where both sides are known and are not the same. What is kept as words is laid side by side as words.

use crate::catalogue::{LoadRule, Method, MethodContact, PlainNumber, Quantity};
use crate::contact::element::{Element, Surroundings};
use crate::explain::around::plain_path;
use crate::explain::quoted::duration::duration;
use crate::explain::words::tidy;
use crate::resemblance::{self, Decided};
use crate::units::{DisplayPreferences, Interval, Measure};
use serde::Serialize;

/// One condition in which two procedures differ.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct QuotedDifference {
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
pub(super) fn differences(
    here: Side<'_>,
    there: Side<'_>,
    shown: DisplayPreferences,
) -> Vec<QuotedDifference> {
    let say = Say(shown);
    let mut lines = Vec::new();
    lines.extend(words(
        "form of lubricant",
        here.0.lubricant.word(),
        there.0.lubricant.word(),
    ));
    match (here.0.contacts.first(), there.0.contacts.first()) {
        (Some(a), Some(b)) => lines.extend(contacts(say, a, b)),
        (Some(_), None) => lines.extend(words("contact", "a rubbing contact", "nothing rubs")),
        (None, Some(_)) => lines.extend(words("contact", "nothing rubs", "a rubbing contact")),
        (None, None) => {}
    }
    lines.extend(sliding(say, here, there));
    lines.extend(time(say, here.0, there.0));
    lines.extend(ladder(say, here.1, there.1));
    lines.extend(words("a bare number means", said(here.1), said(there.1)));
    lines
}

/// How numbers are written.
#[derive(Clone, Copy)]
struct Say(DisplayPreferences);

impl Say {
    /// A number with its unit.
    fn number(self, number: f64, unit: &'static str) -> String {
        self.0.in_unit_of_word(unit).words(number)
    }

    fn range(self, range: Interval, unit: &'static str) -> String {
        let shown = self.0.in_unit_of_word(unit);
        format!("{} {}", shown.range(range.lo(), range.hi()), shown.word())
    }

    fn times(self, here: f64, there: f64) -> String {
        let factor = there / here;
        if factor.is_finite() && factor > 0.0 {
            format!("{} times", tidy(factor, self.0))
        } else {
            String::new()
        }
    }

    /// Two numbers of one unit with the factor between them; `None` where they are the same.
    fn numbers(self, what: &str, here: f64, there: f64, unit: &'static str) -> Option<QuotedDifference> {
        (!is_same(here, there)).then(|| QuotedDifference {
            what: what.to_string(),
            here: self.number(here, unit),
            there: self.number(there, unit),
            times: self.times(here, there),
        })
    }
}

fn words(what: &str, here: &str, there: &str) -> Option<QuotedDifference> {
    (here != there).then(|| QuotedDifference {
        what: what.to_string(),
        here: here.to_string(),
        there: there.to_string(),
        times: String::new(),
    })
}

fn is_same(a: f64, b: f64) -> bool {
    (a - b).abs() <= SAME * a.abs().max(b.abs())
}

fn contacts(say: Say, here: &MethodContact, there: &MethodContact) -> Vec<QuotedDifference> {
    use MethodContact::{Rig, Stated};
    let stated = "stated by ranges, without a shape";
    let geometry = |here: &str, there: &str| words("geometry", here, there).into_iter().collect();
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
            let mut lines = bodies(say, a, b);
            lines.extend(load(say, load_a, load_b));
            lines.extend(surroundings(say, around_a, around_b));
            lines
        }
        (Stated(_), Stated(_)) => Vec::new(),
        (Rig { element, .. }, Stated(_)) => geometry(&kind(element), stated),
        (Stated(_), Rig { element, .. }) => geometry(stated, &kind(element)),
    }
}

fn kind(element: &Element) -> String {
    element.kind().replace('_', " ")
}

/// Bodies of one kind number by number; of two kinds the kinds.
fn bodies(say: Say, here: &Element, there: &Element) -> Vec<QuotedDifference> {
    if here.kind() != there.kind() {
        return words("geometry", &kind(here), &kind(there)).into_iter().collect();
    }
    let fields = |element: &Element| match serde_json::to_value(element) {
        Ok(serde_json::Value::Object(fields)) => fields,
        _ => serde_json::Map::new(),
    };
    let (a, b) = (fields(here), fields(there));
    let line = |(key, value): (&String, &serde_json::Value)| {
        let measure = Measure::of_key(key);
        let unit = measure.usual_unit();
        let in_unit = |value: &serde_json::Value| measure.from_si(value.as_f64()?, unit);
        say.numbers(&plain_path(key), in_unit(value)?, in_unit(b.get(key)?)?, unit)
    };
    a.iter().filter_map(line).collect()
}

fn load(say: Say, here: &LoadRule, there: &LoadRule) -> Option<QuotedDifference> {
    use LoadRule::{FixedForce, FixedTorque, ForcePerUnit, StageTorques};
    match (here, there) {
        (FixedForce(a), FixedForce(b)) => say.numbers("load", *a, *b, "N"),
        (FixedTorque(a), FixedTorque(b)) => say.numbers("torque on the pinion", *a, *b, "N m"),
        (StageTorques(a), StageTorques(b)) => {
            let same = a.len() == b.len() && a.iter().zip(b).all(|(a, b)| is_same(*a, *b));
            (!same).then(|| QuotedDifference {
                what: "torques of the stages".to_string(),
                here: stages(say, a),
                there: stages(say, b),
                times: String::new(),
            })
        }
        (ForcePerUnit(_), ForcePerUnit(_)) => None,
        (a, b) => words("load", &rule(say, a), &rule(say, b)),
    }
}

fn stages(say: Say, torques: &[f64]) -> String {
    match (torques.first(), torques.last()) {
        (Some(first), Some(last)) => format!(
            "{} stages, {} to {}",
            torques.len(),
            say.0.number(*first),
            say.number(*last, "N m")
        ),
        _ => "no stages".to_string(),
    }
}

fn rule(say: Say, load: &LoadRule) -> String {
    match load {
        LoadRule::FixedForce(force) => format!("{}, kept", say.number(*force, "N")),
        LoadRule::FixedTorque(torque) => format!("{} on the pinion, kept", say.number(*torque, "N m")),
        LoadRule::ForcePerUnit(_) => "raised until it fails".to_string(),
        LoadRule::StageTorques(_) => "raised stage by stage".to_string(),
    }
}

fn surroundings(say: Say, here: &Surroundings, there: &Surroundings) -> Vec<QuotedDifference> {
    let celsius = |range: Interval| say.range(range, "°C");
    let roughness = |both: [Option<f64>; 2]| {
        let [Some(a), Some(b)] = both else { return None };
        Some((a * a + b * b).sqrt() * 1e6)
    };
    let rough = roughness(here.roughness_rq_m).zip(roughness(there.roughness_rq_m));
    [
        words(
            "temperature",
            &celsius(here.bulk_temperature_c),
            &celsius(there.bulk_temperature_c),
        ),
        words("motion", here.motion.word(), there.motion.word()),
        words("materials", here.materials.word(), there.materials.word()),
        words("supply", here.supply.word(), there.supply.word()),
        rough.and_then(|(a, b)| say.numbers("roughness of both together", a, b, "µm")),
    ]
    .into_iter()
    .flatten()
    .collect()
}

/// The sliding speed of the first contact, computed from its bodies and their motion.
fn sliding(say: Say, here: Side<'_>, there: Side<'_>) -> Option<QuotedDifference> {
    let speed = |(method, quantity): Side<'_>| {
        let sides = resemblance::contacts(method, quantity, Decided::default(), None).ok()?;
        sides.first()?.sliding_m_s.filter(|speed| speed.is_point())
    };
    let (a, b) = (speed(here)?, speed(there)?);
    say.numbers("sliding speed, computed", a.lo(), b.lo(), "m/s")
}

/// How long both run: as a factor where both name a time that is counted alike, otherwise in the words of each.
fn time(say: Say, here: &Method, there: &Method) -> Option<QuotedDifference> {
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
            (!is_same(a_s, b_s)).then(|| QuotedDifference {
                what: format!("duration {a_of}").trim_end().to_string(),
                here: a,
                there: b,
                times: say.times(a_s, b_s),
            })
        }
        _ => words("duration", &a, &b),
    }
}

/// The loads or stages at which results can lie.
fn ladder(say: Say, here: &Quantity, there: &Quantity) -> Option<QuotedDifference> {
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
    (!same).then(|| QuotedDifference {
        what: "steps at which results lie".to_string(),
        here: steps(say, here),
        there: steps(say, there),
        times: String::new(),
    })
}

fn steps(say: Say, quantity: &Quantity) -> String {
    let numbers = say.0.in_unit(quantity.unit);
    match (quantity.steps.first(), quantity.steps.last()) {
        (Some(first), Some(last)) => format!(
            "{} from {} to {}",
            quantity.steps.len(),
            numbers.number(*first),
            numbers.words(*last)
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
