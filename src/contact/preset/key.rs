//! The keys of a preset: how each is read, bounded and shown; its words stand in `words.toml`. Reading,
//! form and pages all follow them.

use crate::contact::Wrong;
use crate::contact::preset::bounds::Bounds;
use crate::contact::preset::parameter::Given;
use crate::contact::preset::read::{Fields, PresetFault};
use crate::units::Interval;
use serde_json::Value;

/// One key of a preset.
#[derive(Clone, Copy, Debug)]
pub(super) struct Key {
    pub(super) name: &'static str,
    pub(super) takes: Takes,
    pub(super) need: Need,
}

/// What a key takes.
#[derive(Clone, Copy, Debug)]
pub(super) enum Takes {
    /// One number.
    Number(Bounds),
    /// One number or a pair of numbers.
    Range(Bounds),
    /// A whole number of things.
    Count,
    /// A word of a closed list; what the list is of, and its words.
    Word(&'static str, &'static [&'static str]),
    /// One number for each of the two bodies.
    TwoBodies(Bounds),
}

/// Whether a key must be given.
#[derive(Clone, Copy, Debug)]
pub(super) enum Need {
    Must,
    /// May be missing, and is unknown then.
    May,
    /// May be missing, and is taken as this number, this range or this word then.
    Number(f64),
    Range(f64, f64),
    Word(&'static str),
}

impl Key {
    const fn new(name: &'static str, takes: Takes) -> Self {
        Self {
            name,
            takes,
            need: Need::Must,
        }
    }

    pub(super) const fn number(name: &'static str, bounds: Bounds) -> Self {
        Self::new(name, Takes::Number(bounds))
    }

    pub(super) const fn range(name: &'static str, bounds: Bounds) -> Self {
        Self::new(name, Takes::Range(bounds))
    }

    pub(super) const fn count(name: &'static str) -> Self {
        Self::new(name, Takes::Count)
    }

    /// `what` the list is of stands in a refusal: "'x' is no `what`".
    pub(super) const fn word(name: &'static str, what: &'static str, words: &'static [&'static str]) -> Self {
        Self::new(name, Takes::Word(what, words))
    }

    pub(super) const fn two_bodies(name: &'static str, bounds: Bounds) -> Self {
        Self::new(name, Takes::TwoBodies(bounds))
    }

    /// The same key, which may be missing and is unknown then.
    pub(super) const fn optional(self) -> Self {
        let need = Need::May;
        Self { need, ..self }
    }

    /// The same key, taken as this number where it is missing.
    pub(super) const fn usually(self, number: f64) -> Self {
        let need = Need::Number(number);
        Self { need, ..self }
    }

    /// The same key, taken as this range where it is missing.
    pub(super) const fn usually_between(self, lo: f64, hi: f64) -> Self {
        let need = Need::Range(lo, hi);
        Self { need, ..self }
    }

    /// The same key, taken as this word where it is missing.
    pub(super) const fn usually_word(self, word: &'static str) -> Self {
        let need = Need::Word(word);
        Self { need, ..self }
    }

    /// What is taken where it is missing.
    pub(super) fn usual(&self) -> Option<Given> {
        match (self.need, self.takes) {
            (Need::Must | Need::May, _) => None,
            (Need::Number(number), Takes::Range(_)) => Interval::point(number).map(Given::Range),
            (Need::Number(number), _) => Some(Given::Number(number)),
            (Need::Range(lo, hi), _) => Interval::new(lo, hi).map(Given::Range),
            (Need::Word(word), _) => Some(Given::Word(word)),
        }
    }

    /// Its value among the keys of an object; `None` where it may be missing and is.
    pub(super) fn read(&self, fields: &Fields) -> Result<Option<Given>, PresetFault> {
        match (fields.get(self.name), self.need) {
            (Some(value), _) => self.given(value).map(Some),
            (None, Need::Must) => Err(self.fault(Wrong::Missing)),
            (None, _) => Ok(self.usual()),
        }
    }

    fn fault(&self, wrong: Wrong) -> PresetFault {
        PresetFault::new(self.name, wrong)
    }

    fn given(&self, value: &Value) -> Result<Given, PresetFault> {
        match self.takes {
            Takes::Number(bounds) => self.one(value, bounds).map(Given::Number),
            Takes::Range(bounds) => self.one_or_two(value, bounds).map(Given::Range),
            Takes::Count => self.whole(value).map(Given::Count),
            Takes::Word(what, words) => self.one_of(value, what, words).map(Given::Word),
            Takes::TwoBodies(bounds) => match value.as_array().map(Vec::as_slice) {
                Some([first, second]) => Ok(Given::TwoBodies([
                    self.one(first, bounds)?,
                    self.one(second, bounds)?,
                ])),
                _ => Err(self.fault(Wrong::NotAPair)),
            },
        }
    }

    fn one(&self, value: &Value, bounds: Bounds) -> Result<f64, PresetFault> {
        let point = value.as_f64().and_then(Interval::point);
        let point = point.ok_or_else(|| self.fault(Wrong::NotANumber))?;
        bounds.check(self.name, point).map(Interval::lo)
    }

    fn one_or_two(&self, value: &Value, bounds: Bounds) -> Result<Interval, PresetFault> {
        let ends = match value.as_array().map(Vec::as_slice) {
            Some([lo, hi]) => lo.as_f64().zip(hi.as_f64()),
            Some(_) => None,
            None => value.as_f64().map(|point| (point, point)),
        };
        let (lo, hi) = ends.ok_or_else(|| self.fault(Wrong::NotARange))?;
        if lo > hi {
            return Err(PresetFault::with(self.name, Wrong::Reversed, &[&lo, &hi]));
        }
        let range = Interval::new(lo, hi).ok_or_else(|| self.fault(Wrong::NotFinite))?;
        bounds.check(self.name, range)
    }

    /// From 1 to 10 000.
    fn whole(&self, value: &Value) -> Result<u32, PresetFault> {
        let whole = value
            .as_f64()
            .filter(|count| count.fract() == 0.0 && (1.0..=10_000.0).contains(count));
        whole
            .map(|count| count as u32)
            .ok_or_else(|| self.fault(Wrong::NotACount))
    }

    fn one_of(
        &self,
        value: &Value,
        what: &'static str,
        words: &'static [&'static str],
    ) -> Result<&'static str, PresetFault> {
        let text = value.as_str().ok_or_else(|| self.fault(Wrong::NotAWord))?.trim();
        let known = words.iter().copied().find(|word| *word == text);
        known.ok_or_else(|| PresetFault::with(self.name, Wrong::Unknown, &[&text, &what, &words.join(", ")]))
    }
}
