//! What a method measures: unit, direction, scale, precision, and the modes it scores.

use crate::catalogue::{Mode, Reading, Scale, ScaleKind, ScaleParts, Value, Written};
use crate::units::{Dimension, Interval, Unit, UnknownUnit};
use serde::de::Error;
use serde::{Deserialize, Deserializer};
use std::collections::BTreeMap;

/// Which way is better.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize, strum::IntoStaticStr)]
#[serde(rename_all = "lowercase")]
#[strum(serialize_all = "lowercase")]
pub enum Better {
    /// A greater number is better.
    Higher,
    /// A smaller number is better.
    Lower,
}

impl Better {
    /// +1 where higher is better, -1 where lower is.
    pub fn sign(self) -> f64 {
        match self {
            Self::Higher => 1.0,
            Self::Lower => -1.0,
        }
    }

    /// The word for it.
    pub fn word(self) -> &'static str {
        self.into()
    }
}

/// What a bare number in a stepped quantity says.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize, strum::Display)]
#[serde(rename_all = "lowercase")]
#[strum(serialize_all = "lowercase")]
pub enum PlainNumber {
    /// The measured value.
    Exact,
    /// The step at which it failed.
    Failure,
    /// The last step it passed.
    Pass,
}

/// What a failure of a stepped quantity is.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum FailsBy {
    /// It reaches the method's limit of damage.
    #[default]
    Failing,
    /// The specimens weld.
    Welding,
}

/// How a published precision is stated.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize, strum::Display, strum::IntoStaticStr)]
#[serde(rename_all = "lowercase")]
#[strum(serialize_all = "lowercase")]
pub enum PrecisionKind {
    /// In the quantity's unit.
    Constant,
    /// In per cent of the mean.
    PerCent,
    /// In steps of the ladder or stages.
    Steps,
}

/// Repeatability and reproducibility: 95 % limits for the difference of two results.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Precision {
    /// How it is stated.
    pub kind: PrecisionKind,
    /// r: same laboratory and rig.
    #[serde(rename = "r")]
    pub repeatability: f64,
    /// R: other laboratory; `None` when not published.
    #[serde(rename = "R")]
    pub reproducibility: Option<f64>,
    /// The level near which a constant precision was found, in the quantity's unit.
    pub level: Option<f64>,
}

impl Precision {
    /// R, or twice r where it is not published (ours); never below r.
    pub fn reproducibility_or_twice(&self) -> f64 {
        let r = self.repeatability;
        self.reproducibility.unwrap_or(2.0 * r).max(r)
    }
}

/// What is done with a quantity in a trial.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize, strum::IntoStaticStr)]
#[serde(rename_all = "lowercase")]
#[strum(serialize_all = "lowercase")]
pub enum Use {
    /// It enters the standing by its weight.
    Weigh,
    /// A requirement that must be met.
    Gate,
    /// Plotted, never weighed.
    Show,
}

impl Use {
    /// The word for it.
    pub fn word(self) -> &'static str {
        self.into()
    }
}

/// From which load and area the contact pressure of a quantity is taken.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Deserialize)]
pub enum PressureFrom {
    /// Elastic contact of fresh specimens at the load that decides the result.
    #[serde(rename = "deciding load")]
    DecidingLoad,
    /// Elastic contact at the method's fixed load.
    #[serde(rename = "fixed load")]
    FixedLoad,
    /// Interval from the mean pressure on the references' median worn area to the fresh elastic contact.
    #[serde(rename = "worn to fresh")]
    WornToFresh,
    /// No contact.
    #[default]
    #[serde(rename = "")]
    None,
}

/// One measured quantity of a method.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(try_from = "QuantityFile")]
pub struct Quantity {
    /// Short id, unique in the method.
    pub id: String,
    /// Words for it.
    pub label: String,
    /// Unit of its values.
    pub unit: Unit,
    /// Which way is better.
    pub better: Better,
    /// Working scale, with its steps and cap or its classes.
    pub scale: Scale,
    /// The first step at which specimens are inspected; a failure found there may have happened before.
    pub first_inspected: Option<f64>,
    /// What a bare number says.
    pub plain_number: PlainNumber,
    /// What a failure is.
    pub fails_by: FailsBy,
    /// Modes it scores, with strength 1 (main), 0.6 (also) or 0.3 (a little).
    pub modes: Vec<(Mode, f64)>,
    /// Usual use.
    pub usual_use: Use,
    /// Names of the contacts of the method that it comes from; empty: all of them.
    pub contacts: Vec<String>,
    /// Where its pressure is taken.
    pub pressure_from: PressureFrom,
    /// Mean pressure on the worn area, Pa, where no result gives that area: the pressure reaches down to it.
    pub worn_pressure_pa: Option<f64>,
    /// Another quantity of the method whose references' last passed step gives the load (a load-wear index).
    pub load_of: Option<String>,
    /// Another quantity of the method whose scar gives the worn area.
    pub scar_of: Option<String>,
    /// Load, stage or scar to use when no result says more.
    pub nominal: Option<f64>,
    /// Below this a mass cannot be told from nothing.
    pub resolution: Option<f64>,
    /// Numbers that can be results at all, in its unit; `None`: no more is known than its steps.
    pub possible: Option<Interval>,
    /// Numbers that results usually are, in its unit.
    pub usual: Option<Interval>,
    /// Published precision.
    pub precision: Option<Precision>,
    /// Why there is none, or what is doubtful about it.
    pub precision_note: String,
}

/// A quantity as a data file writes it: the parts of its scale stand beside its other keys.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct QuantityFile {
    id: String,
    label: String,
    #[serde(deserialize_with = "unit")]
    unit: Unit,
    better: Better,
    scale: ScaleKind,
    #[serde(default)]
    steps: Vec<f64>,
    cap: Option<f64>,
    #[serde(default)]
    classes: Vec<String>,
    first_inspected: Option<f64>,
    plain_number: PlainNumber,
    #[serde(default)]
    fails_by: FailsBy,
    #[serde(deserialize_with = "modes")]
    modes: Vec<(Mode, f64)>,
    #[serde(rename = "use")]
    usual_use: Use,
    #[serde(default)]
    contacts: Vec<String>,
    #[serde(rename = "pressure", default)]
    pressure_from: PressureFrom,
    worn_pressure_pa: Option<f64>,
    load_of: Option<String>,
    scar_of: Option<String>,
    nominal: Option<f64>,
    resolution: Option<f64>,
    possible: Option<Interval>,
    usual: Option<Interval>,
    precision: Option<Precision>,
    #[serde(default)]
    precision_note: String,
}

impl TryFrom<QuantityFile> for Quantity {
    type Error = String;

    /// For the files that are part of the program: what is wrong in one of them is shown by tests alone.
    fn try_from(file: QuantityFile) -> Result<Self, String> {
        let parts = ScaleParts {
            kind: file.scale,
            steps: file.steps,
            cap: file.cap,
            classes: file.classes,
        };
        let scale = Scale::try_from(parts).map_err(|fault| format!("{}: {fault:?}", file.id))?;
        Ok(Self {
            id: file.id,
            label: file.label,
            unit: file.unit,
            better: file.better,
            scale,
            first_inspected: file.first_inspected,
            plain_number: file.plain_number,
            fails_by: file.fails_by,
            modes: file.modes,
            usual_use: file.usual_use,
            contacts: file.contacts,
            pressure_from: file.pressure_from,
            worn_pressure_pa: file.worn_pressure_pa,
            load_of: file.load_of,
            scar_of: file.scar_of,
            nominal: file.nominal,
            resolution: file.resolution,
            possible: file.possible,
            usual: file.usual,
            precision: file.precision,
            precision_note: file.precision_note,
        })
    }
}

fn unit<'de, D: Deserializer<'de>>(file: D) -> Result<Unit, D::Error> {
    String::deserialize(file)?
        .parse()
        .map_err(|unknown: UnknownUnit| D::Error::custom(unknown.0))
}

fn modes<'de, D: Deserializer<'de>>(file: D) -> Result<Vec<(Mode, f64)>, D::Error> {
    let words = BTreeMap::<String, f64>::deserialize(file)?;
    let mode = |(word, strength): (String, f64)| {
        Ok((
            Mode::from_word(&word).ok_or_else(|| D::Error::custom(word))?,
            strength,
        ))
    };
    words.into_iter().map(mode).collect()
}

impl Quantity {
    /// Whether the mode list holds a mode at all.
    pub fn scores(&self, mode: Mode) -> bool {
        self.modes
            .iter()
            .any(|(scored, strength)| *scored == mode && *strength > 0.0)
    }

    /// Whether what it measures wears the contact flat: its pressure reaches down to that on the worn area, or it is a mass
    /// that a rubbing part lost.
    pub fn wears_its_contact(&self) -> bool {
        self.pressure_from == PressureFrom::WornToFresh
            || self.worn_pressure_pa.is_some()
            || self.unit.dimension() == Dimension::Mass && self.better == Better::Lower
    }

    /// The steps of the ladder on the working scale.
    pub fn working_steps(&self) -> Vec<f64> {
        let steps = self.scale.steps().iter();
        steps.filter_map(|step| self.scale.to_working(*step)).collect()
    }

    /// A written value as the interval or cap that it is.
    pub fn read(&self, written: &Written) -> Result<Reading, ReadingFault> {
        if let Scale::Class(classes) = &self.scale {
            return read_class(classes, written);
        }
        let (value, ends) = match *written {
            Written::Number(number) => return self.read_number(number),
            Written::Above(number) => (Value::Above(self.finite(number)?), [number, number]),
            Written::Below(number) => (Value::Below(self.finite(number)?), [number, number]),
            Written::Range(lo, hi) => {
                let range = Value::between(self.finite(lo)?, self.finite(hi)?);
                let range = range.ok_or(ReadingFault::Falling)?;
                // what was passed before anybody looked says nothing
                let seen = self.first_inspected.is_none_or(|first| lo >= first);
                (if seen { range } else { Value::Below(hi) }, [lo, hi])
            }
            Written::Word(ref word) => return Err(ReadingFault::NotANumber(word.clone())),
        };
        let off_step = |number: f64| self.scale.step_near(number).is_none();
        Ok(Reading {
            off_ladder: self.scale.is_stepped() && ends.into_iter().any(off_step),
            ..value.into()
        })
    }

    fn read_number(&self, number: f64) -> Result<Reading, ReadingFault> {
        let number = self.finite(number)?;
        if !self.scale.is_stepped() || self.plain_number == PlainNumber::Exact {
            return self.read_exact(number);
        }
        let on_step = self.scale.step_near(number);
        let at = on_step.unwrap_or(number);
        let value = match self.plain_number {
            PlainNumber::Failure => self.failed_at(at),
            _ => self.passed_at(at),
        };
        Ok(Reading {
            off_ladder: on_step.is_none(),
            ..value.into()
        })
    }

    fn read_exact(&self, number: f64) -> Result<Reading, ReadingFault> {
        if let Some(resolution) = self.resolution
            && number < resolution
        {
            return Ok(Value::Below(resolution).into());
        }
        if self.scale.to_working(number).is_none() {
            return Err(ReadingFault::NoLogarithm(number));
        }
        Ok(Value::Exact(number).into())
    }

    /// Failed at a step: between the last step below and it; before the first inspected step nobody looked.
    fn failed_at(&self, at: f64) -> Value {
        if self.first_inspected.is_some_and(|first| at <= first) {
            return Value::Below(at);
        }
        match self.scale.steps().iter().rev().find(|step| **step < at) {
            Some(below) => Value::Between { lo: *below, hi: at },
            None => Value::Below(at),
        }
    }

    /// Passed a step: between it and the next one; above it when it is the last.
    fn passed_at(&self, at: f64) -> Value {
        let reached_cap = self.scale.cap().is_some_and(|cap| at >= cap);
        match self.scale.steps().iter().find(|step| **step > at) {
            Some(next) if !reached_cap => Value::Between { lo: at, hi: *next },
            _ => Value::Above(at),
        }
    }

    fn finite(&self, number: f64) -> Result<f64, ReadingFault> {
        let usable = number.is_finite() && number.abs() < 1e12;
        usable.then_some(number).ok_or(ReadingFault::NotUsable)
    }
}

fn read_class(classes: &[String], written: &Written) -> Result<Reading, ReadingFault> {
    let word = match written {
        Written::Word(word) => word.trim().to_string(),
        Written::Number(number) => number.to_string(),
        _ => return Err(ReadingFault::NoClass),
    };
    let mut classes = classes.iter();
    let known = classes.find(|class| class.eq_ignore_ascii_case(&word));
    let class = known.ok_or(ReadingFault::UnknownClass(word))?;
    Ok(Value::Class(class.clone()).into())
}

/// Why a written value cannot be a result of a quantity.
#[derive(Clone, Debug, PartialEq)]
pub enum ReadingFault {
    /// The lower end of a range lies above its upper end.
    Falling,
    /// A word where a number stands.
    NotANumber(String),
    /// A bound or a range where one of the classes stands.
    NoClass,
    /// A word that is none of the classes.
    UnknownClass(String),
    /// A number without a place on the logarithmic scale.
    NoLogarithm(f64),
    /// A number that is not finite or far beyond any measurement.
    NotUsable,
}

#[cfg(test)]
mod tests {
    use crate::catalogue::{FileFault, built_in_text, method_from_toml};

    #[test]
    fn an_unknown_key_and_a_scale_that_cannot_be_are_refused() {
        let sound = built_in_text("fb_ep_oil").unwrap();
        assert!(method_from_toml(sound).is_ok());
        for (key, fault) in [
            ("width = 'wide'", "unknown field `width`"),
            ("classes = ['1a']", "weld: Bare"),
        ] {
            let file = sound.replacen("[[quantity]]", &format!("[[quantity]]\n{key}"), 1);
            let refused = method_from_toml(&file);
            assert!(
                matches!(&refused, Err(FileFault::Unread(said)) if said.contains(fault)),
                "{key}: {refused:?}"
            );
        }
    }
}
