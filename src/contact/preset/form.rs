//! What a form asks for, from the keys by which parameters are read.

use crate::contact::preset::key::{Key, Need, Takes};
use crate::contact::preset::parameter::shown_unit;
use crate::contact::words::of_parameter;

/// One field of a form for a preset's parameters.
#[derive(Clone, Debug, PartialEq)]
pub struct FormField {
    /// Key of the parameter in JSON.
    pub key: &'static str,
    /// Label, without the unit.
    pub label: &'static str,
    /// The unit in which people read and write it; empty where it has none.
    pub unit: &'static str,
    /// That unit's numbers per number of the JSON, which is in SI units: 1000 for a length in mm.
    pub shown_per_si: f64,
    /// What it takes.
    pub kind: FieldKind,
    /// Whether it must be given.
    pub need: FieldNeed,
    /// What is taken where it is missing, in the unit above; `None` where it then stays unknown.
    pub usual: Option<String>,
    /// What else there is to know to fill it in; may be empty.
    pub note: &'static str,
}

/// What a field takes.
#[derive(Clone, Debug, PartialEq)]
pub enum FieldKind {
    /// One number.
    Number,
    /// One number, or a pair of numbers from the mildest to the severest.
    Range,
    /// A whole number, 1 or more.
    Count,
    /// One of these words.
    Words(&'static [&'static str]),
    /// A pair of numbers, one for each of the two bodies.
    TwoBodies,
}

/// Whether a field must be given.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FieldNeed {
    /// A contact without it is refused.
    Must,
    /// It may be left out; its note says where another key must stand in for it.
    May,
}

impl FormField {
    pub(super) fn of(preset: &str, key: &Key) -> Self {
        let words = of_parameter(preset, key.name);
        let (shown_per_si, unit) = shown_unit(key.name);
        Self {
            key: key.name,
            label: &words.label,
            unit,
            shown_per_si,
            kind: match key.takes {
                Takes::Number(_) => FieldKind::Number,
                Takes::Range(_) => FieldKind::Range,
                Takes::Count => FieldKind::Count,
                Takes::Word(_, words) => FieldKind::Words(words),
                Takes::TwoBodies(_) => FieldKind::TwoBodies,
            },
            need: match key.need {
                Need::Must => FieldNeed::Must,
                _ => FieldNeed::May,
            },
            usual: key.usual().map(|given| given.shown(key.name)),
            note: &words.note,
        }
    }
}
