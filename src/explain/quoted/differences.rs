//! How two procedures differ in load, speed, duration and geometry, from what is kept of both methods.
//!
//! A line stands only where both sides are known and are not the same. What is kept as words is laid side by side as words.

use crate::catalogue::{LoadRule, Method, MethodContact, PlainNumber, Quantity};
use crate::contact::element::{Element, Surroundings};
use crate::explain::around::plain_path;
use crate::explain::quoted::duration::duration;
use crate::explain::words::tidy;
use crate::resemblance::{self, Decided};
use crate::units::{DisplayPreferences, Measure};
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
    let of_there = conditions(say, there);
    let of_both = conditions(say, here).into_iter().filter_map(|one| {
        let other = of_there.iter().find(|other| other.of == one.of)?;
        one.beside(other, shown)
    });
    let bare = |side: Side<'_>| Condition::new("a bare number means", means(side.1));
    of_both
        .chain(ladder(say, here.1, there.1))
        .chain(bare(here).beside(&bare(there), shown))
        .collect()
}

/// One condition of a procedure.
struct Condition {
    /// By which it is found in another procedure.
    of: String,
    words: String,
    /// Where it is a number or some: what is measured, the numbers, and their words.
    measured: Option<(String, Vec<f64>, String)>,
}

impl Condition {
    fn new(of: impl Into<String>, words: impl Into<String>) -> Self {
        Self {
            of: of.into(),
            words: words.into(),
            measured: None,
        }
    }

    fn measured(self, what: impl Into<String>, numbers: &[f64], words: String) -> Self {
        Self {
            measured: Some((what.into(), numbers.to_vec(), words)),
            ..self
        }
    }

    /// The difference of two procedures in it: by numbers where the same is measured in both, otherwise by words.
    fn beside(&self, there: &Self, shown: DisplayPreferences) -> Option<QuotedDifference> {
        let line = |what: &str, here: &str, there: &str, times| QuotedDifference {
            what: what.to_string(),
            here: here.to_string(),
            there: there.to_string(),
            times,
        };
        match (&self.measured, &there.measured) {
            (Some((what, a, here)), Some((of_there, b, there))) if what == of_there => {
                let is_same = a.len() == b.len() && a.iter().zip(b).all(|(a, b)| is_same(*a, *b));
                let factor = match (a.as_slice(), b.as_slice()) {
                    ([a], [b]) => Some(b / a).filter(|factor| factor.is_finite() && *factor > 0.0),
                    _ => None,
                };
                let times = factor.map_or_else(String::new, |by| format!("{} times", tidy(by, shown)));
                (!is_same).then(|| line(what, here, there, times))
            }
            _ => {
                (self.words != there.words).then(|| line(&self.of, &self.words, &there.words, String::new()))
            }
        }
    }
}

fn is_same(a: f64, b: f64) -> bool {
    (a - b).abs() <= SAME * a.abs().max(b.abs())
}

/// How numbers are written.
#[derive(Clone, Copy)]
struct Say(DisplayPreferences);

impl Say {
    /// A number with its unit.
    fn number(self, number: f64, unit: &'static str) -> String {
        self.0.in_unit_of_word(unit).words(number)
    }

    /// A condition that is one number.
    fn one(self, of: impl Into<String>, what: &str, number: f64, unit: &'static str) -> Condition {
        let words = self.number(number, unit);
        Condition::new(of, words.clone()).measured(what, &[number], words)
    }
}

/// The conditions of a procedure, in the order in which they are named.
fn conditions(say: Say, (method, quantity): Side<'_>) -> Vec<Condition> {
    let mut found = vec![Condition::new("form of lubricant", method.lubricant.word())];
    let mut contacts = method.contacts_of(quantity);
    let contact = contacts.next();
    found.push(match contact {
        Some(_) => Condition::new("contact", "a rubbing contact"),
        None => Condition::new("contact", "nothing rubs"),
    });
    match contact {
        Some(MethodContact::Rig {
            element,
            surroundings,
            load,
        }) => {
            found.push(Condition::new("geometry", element.kind().replace('_', " ")));
            found.extend(bodies(say, element));
            found.push(rule(say, load));
            found.extend(around(say, surroundings));
        }
        Some(MethodContact::Stated(_)) => {
            found.push(Condition::new("geometry", "stated by ranges, without a shape"));
        }
        None => {}
    }
    found.extend(sliding(say, method, quantity));
    found.extend(time(method));
    found
}

/// The numbers of the bodies, which are found among bodies of the same kind alone.
fn bodies(say: Say, element: &Element) -> Vec<Condition> {
    let Ok(serde_json::Value::Object(fields)) = serde_json::to_value(element) else {
        return Vec::new();
    };
    let of_field = |(key, value): (&String, &serde_json::Value)| {
        let measure = Measure::of_key(key);
        let unit = measure.usual_unit();
        let number = measure.from_si(value.as_f64()?, unit)?;
        Some(say.one(
            format!("{} {key}", element.kind()),
            &plain_path(key),
            number,
            unit,
        ))
    };
    fields.iter().filter_map(of_field).collect()
}

fn rule(say: Say, load: &LoadRule) -> Condition {
    match load {
        LoadRule::FixedForce(force) => {
            let words = say.number(*force, "N");
            Condition::new("load", format!("{words}, kept")).measured("load", &[*force], words)
        }
        LoadRule::FixedTorque(torque) => {
            let words = say.number(*torque, "N m");
            let kept = format!("{words} on the pinion, kept");
            Condition::new("load", kept).measured("torque on the pinion", &[*torque], words)
        }
        LoadRule::ForcePerUnit(_) => Condition::new("load", "raised until it fails"),
        LoadRule::StageTorques(torques) => {
            let words = match (torques.first(), torques.last()) {
                (Some(first), Some(last)) => format!(
                    "{} stages, {} to {}",
                    torques.len(),
                    say.0.number(*first),
                    say.number(*last, "N m")
                ),
                _ => "no stages".to_string(),
            };
            Condition::new("load", "raised stage by stage").measured("torques of the stages", torques, words)
        }
    }
}

fn around(say: Say, around: &Surroundings) -> Vec<Condition> {
    let (celsius, bulk) = (say.0.in_unit_of_word("°C"), around.bulk_temperature_c);
    let bulk = format!("{} {}", celsius.range(bulk.lo(), bulk.hi()), celsius.word());
    let mut found = vec![
        Condition::new("temperature", bulk),
        Condition::new("motion", around.motion.word()),
        Condition::new("materials", around.materials.word()),
        Condition::new("supply", around.supply.word()),
    ];
    if let [Some(a), Some(b)] = around.roughness_rq_m {
        let (both, what) = ((a * a + b * b).sqrt() * 1e6, "roughness of both together");
        found.push(say.one(what, what, both, "µm"));
    }
    found
}

/// The sliding speed of the first contact, computed from its bodies and their motion.
fn sliding(say: Say, method: &Method, quantity: &Quantity) -> Option<Condition> {
    let sides = resemblance::contacts(method, quantity, Decided::default(), None).ok()?;
    let speed = sides.first()?.sliding_m_s.filter(|speed| speed.is_point())?;
    let what = "sliding speed, computed";
    Some(say.one(what, what, speed.lo(), "m/s"))
}

/// How long it runs: a number where it names a time, compared with one that is counted alike; otherwise in its words.
fn time(method: &Method) -> Option<Condition> {
    let mut conditions = method.conditions.iter();
    let words = &conditions.find(|condition| condition.name == "duration")?.value;
    let condition = Condition::new("duration", words);
    Some(match duration(words) {
        Some((seconds, counted)) => {
            let what = format!("duration {counted}");
            condition.measured(what.trim_end(), &[seconds], words.clone())
        }
        None => condition,
    })
}

/// The loads or stages at which results can lie.
fn ladder(say: Say, here: &Quantity, there: &Quantity) -> Option<QuotedDifference> {
    let in_unit = |quantity: &Quantity| -> Option<Vec<f64>> {
        quantity
            .scale
            .steps()
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
    let steps = quantity.scale.steps();
    match (steps.first(), steps.last()) {
        (Some(first), Some(last)) => format!(
            "{} from {} to {}",
            steps.len(),
            numbers.number(*first),
            numbers.words(*last)
        ),
        _ => "none, it is read off".to_string(),
    }
}

/// What a bare number says.
fn means(quantity: &Quantity) -> &'static str {
    match quantity.plain_number {
        PlainNumber::Exact => "what was measured",
        PlainNumber::Failure => "the step at which it failed",
        PlainNumber::Pass => "the last step that it passed",
    }
}
