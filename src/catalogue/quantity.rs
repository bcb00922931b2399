//! What a method measures: unit, direction, scale, ladder or cap, precision, and the modes it scores.

use crate::catalogue::{Mode, Reading, Value, Written};
use crate::units::{Unit, UnknownUnit};
use serde::de::Error;
use serde::{Deserialize, Deserializer};
use std::collections::BTreeMap;

/// Which way is better.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "lowercase")]
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
        match self {
            Self::Higher => "higher",
            Self::Lower => "lower",
        }
    }
}

/// The scale on which results of a quantity are compared.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Scale {
    /// As measured.
    Identity,
    /// Natural logarithm.
    Ln,
    /// A ladder of loads, compared by log10; precision is in steps.
    #[serde(rename = "log10 ladder", alias = "ladder")]
    Log10Ladder,
    /// A ladder of loads, compared by natural logarithm; precision is in per cent.
    #[serde(rename = "ln ladder")]
    LnLadder,
    /// Numbered load stages.
    Stage,
    /// Named classes in order, best first; gates only.
    Class,
}

impl Scale {
    /// Its word.
    pub fn word(self) -> &'static str {
        match self {
            Self::Identity => "identity",
            Self::Ln => "ln",
            Self::Log10Ladder => "log10 of a ladder",
            Self::LnLadder => "ln of a ladder",
            Self::Stage => "stage",
            Self::Class => "class",
        }
    }

    /// Whether results are bounds between steps rather than readings.
    pub fn is_stepped(self) -> bool {
        matches!(self, Self::Log10Ladder | Self::LnLadder | Self::Stage)
    }

    /// A value in the quantity's unit on the working scale; `None` where it has none (a logarithm of 0 or less).
    pub fn to_working(self, value: f64) -> Option<f64> {
        let working = match self {
            Self::Identity | Self::Stage => value,
            Self::Ln | Self::LnLadder => value.ln(),
            Self::Log10Ladder => value.log10(),
            Self::Class => return None,
        };
        working.is_finite().then_some(working)
    }

    /// A value on the working scale in the quantity's unit.
    #[expect(
        clippy::wrong_self_convention,
        reason = "the scale says which way the value goes"
    )]
    pub fn from_working(self, working: f64) -> f64 {
        match self {
            Self::Identity | Self::Stage | Self::Class => working,
            Self::Ln | Self::LnLadder => working.exp(),
            Self::Log10Ladder => 10f64.powf(working),
        }
    }
}

/// What a bare number in a stepped quantity says.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum PlainNumber {
    /// The measured value.
    Exact,
    /// The step at which it failed.
    Failure,
    /// The last step it passed.
    Pass,
}

/// How a published precision is stated.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "lowercase")]
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

/// What is done with a quantity in a trial.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "lowercase")]
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
        match self {
            Self::Weigh => "weigh",
            Self::Gate => "gate",
            Self::Show => "show",
        }
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
#[serde(deny_unknown_fields)]
pub struct Quantity {
    /// Short id, unique in the method.
    pub id: String,
    /// Words for it.
    pub label: String,
    /// Unit of its values.
    #[serde(deserialize_with = "unit")]
    pub unit: Unit,
    /// Which way is better.
    pub better: Better,
    /// Working scale.
    pub scale: Scale,
    /// Steps of a ladder or stages, ascending; empty when continuous.
    #[serde(default)]
    pub steps: Vec<f64>,
    /// The last step a rig can run.
    pub cap: Option<f64>,
    /// The first step at which specimens are inspected; a failure found there may have happened before.
    pub first_inspected: Option<f64>,
    /// Classes, best first; empty unless the scale is `Class`.
    #[serde(default)]
    pub classes: Vec<String>,
    /// What a bare number says.
    pub plain_number: PlainNumber,
    /// Modes it scores, with strength 1 (main), 0.6 (also) or 0.3 (a little).
    #[serde(deserialize_with = "modes")]
    pub modes: Vec<(Mode, f64)>,
    /// Usual use.
    #[serde(rename = "use")]
    pub usual_use: Use,
    /// Where its pressure is taken.
    #[serde(rename = "pressure", default)]
    pub pressure_from: PressureFrom,
    /// Another quantity of the method whose references' last passed step gives the load (a load-wear index).
    pub load_of: Option<String>,
    /// Another quantity of the method whose scar gives the worn area.
    pub scar_of: Option<String>,
    /// Load, stage or scar to use when no result says more.
    pub nominal: Option<f64>,
    /// Below this a mass cannot be told from nothing.
    pub resolution: Option<f64>,
    /// Published precision.
    pub precision: Option<Precision>,
    /// Why there is none, or what is doubtful about it.
    #[serde(default)]
    pub precision_note: String,
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

    /// The cap on the working scale.
    pub fn working_cap(&self) -> Option<f64> {
        self.cap.and_then(|cap| self.scale.to_working(cap))
    }

    /// Whether a value on the working scale is better than the cap.
    pub fn is_beyond_cap(&self, working: f64) -> bool {
        self.working_cap()
            .is_some_and(|cap| self.better.sign() * (working - cap) > 0.0)
    }

    /// A value on the working scale, brought back to the cap where it is better.
    pub fn held_at_cap(&self, working: f64) -> f64 {
        let cap = self.working_cap().filter(|_| self.is_beyond_cap(working));
        cap.unwrap_or(working)
    }

    /// The steps of the ladder on the working scale.
    pub fn working_steps(&self) -> Vec<f64> {
        let working = self.steps.iter().filter_map(|step| self.scale.to_working(*step));
        working.collect()
    }

    /// A written value as the interval or cap that it is.
    pub fn read(&self, written: &Written) -> Result<Reading, ReadingFault> {
        if self.scale == Scale::Class {
            return self.read_class(written);
        }
        let value = match *written {
            Written::Number(number) => return self.read_number(number),
            Written::Above(number) => Value::Above(self.finite(number)?),
            Written::Below(number) => Value::Below(self.finite(number)?),
            Written::Range(lo, hi) => {
                Value::between(self.finite(lo)?, self.finite(hi)?).ok_or(ReadingFault::Falling)?
            }
            Written::Word(ref word) => return Err(ReadingFault::NotANumber(word.clone())),
        };
        Ok(Reading {
            value,
            off_ladder: false,
        })
    }

    fn read_class(&self, written: &Written) -> Result<Reading, ReadingFault> {
        let word = match written {
            Written::Word(word) => word.trim().to_string(),
            Written::Number(number) => number.to_string(),
            _ => return Err(ReadingFault::NoClass),
        };
        let mut classes = self.classes.iter();
        let known = classes.find(|class| class.eq_ignore_ascii_case(&word));
        let class = known.ok_or(ReadingFault::UnknownClass(word))?;
        Ok(Reading {
            value: Value::Class(class.clone()),
            off_ladder: false,
        })
    }

    fn read_number(&self, number: f64) -> Result<Reading, ReadingFault> {
        let number = self.finite(number)?;
        if !self.scale.is_stepped() || self.plain_number == PlainNumber::Exact {
            return self.read_exact(number);
        }
        let on_step = self
            .steps
            .iter()
            .position(|step| (step - number).abs() <= 0.005 * step.abs());
        let at = on_step.map_or(number, |i| self.steps[i]);
        let value = match self.plain_number {
            PlainNumber::Failure => self.failed_at(at),
            _ => self.passed_at(at),
        };
        Ok(Reading {
            value,
            off_ladder: on_step.is_none(),
        })
    }

    fn read_exact(&self, number: f64) -> Result<Reading, ReadingFault> {
        if let Some(resolution) = self.resolution
            && number < resolution
        {
            return Ok(Reading {
                value: Value::Below(resolution),
                off_ladder: false,
            });
        }
        if self.scale.to_working(number).is_none() {
            return Err(ReadingFault::NoLogarithm(number));
        }
        Ok(Reading {
            value: Value::Exact(number),
            off_ladder: false,
        })
    }

    /// Failed at a step: between the last step below and it; before the first inspected step nobody looked.
    fn failed_at(&self, at: f64) -> Value {
        if self.first_inspected.is_some_and(|first| at <= first) {
            return Value::Below(at);
        }
        match self.steps.iter().rev().find(|step| **step < at) {
            Some(below) => Value::Between { lo: *below, hi: at },
            None => Value::Below(at),
        }
    }

    /// Passed a step: between it and the next one; above it when it is the last.
    fn passed_at(&self, at: f64) -> Value {
        let reached_cap = self.cap.is_some_and(|cap| at >= cap);
        match self.steps.iter().find(|step| **step > at) {
            Some(next) if !reached_cap => Value::Between { lo: at, hi: *next },
            _ => Value::Above(at),
        }
    }

    fn finite(&self, number: f64) -> Result<f64, ReadingFault> {
        let usable = number.is_finite() && number.abs() < 1e12;
        usable.then_some(number).ok_or(ReadingFault::NotUsable)
    }
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
