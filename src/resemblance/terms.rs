//! The ten terms of one test contact beside one machine contact, and what they come to.

use crate::units::Interval;
use std::fmt;

/// One of the ten things in which two contacts are compared.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Term {
    /// Maximum contact pressure.
    Pressure,
    /// Sliding speed.
    Sliding,
    /// Slide-roll ratio.
    SlideRoll,
    /// Shape of the footprint.
    Shape,
    /// Kind of motion.
    Motion,
    /// Contact temperature.
    ContactTemperature,
    /// Film ratio.
    FilmRatio,
    /// Materials.
    Materials,
    /// Share of its time that a spot is in contact.
    TimeInContact,
    /// How the lubricant gets there.
    Supply,
}

impl Term {
    /// All ten, in the order in which they are shown.
    pub const ALL: [Term; 10] = [
        Self::Pressure,
        Self::Sliding,
        Self::SlideRoll,
        Self::Shape,
        Self::Motion,
        Self::ContactTemperature,
        Self::FilmRatio,
        Self::Materials,
        Self::TimeInContact,
        Self::Supply,
    ];

    /// Its word in JSON.
    pub fn word(self) -> &'static str {
        match self {
            Self::Pressure => "pressure",
            Self::Sliding => "sliding",
            Self::SlideRoll => "slide_roll",
            Self::Shape => "shape",
            Self::Motion => "motion",
            Self::ContactTemperature => "contact_temperature",
            Self::FilmRatio => "film_ratio",
            Self::Materials => "materials",
            Self::TimeInContact => "time_in_contact",
            Self::Supply => "supply",
        }
    }

    /// Its name on a page.
    pub fn label(self) -> &'static str {
        match self {
            Self::Pressure => "Maximum pressure",
            Self::Sliding => "Sliding speed",
            Self::SlideRoll => "Slide-roll ratio",
            Self::Shape => "Contact shape",
            Self::Motion => "Motion",
            Self::ContactTemperature => "Contact temperature",
            Self::FilmRatio => "Film ratio",
            Self::Materials => "Materials",
            Self::TimeInContact => "Time in contact",
            Self::Supply => "Supply",
        }
    }

    /// Whether a mismatch here is not made good by likeness elsewhere.
    pub fn is_first_order(self) -> bool {
        matches!(
            self,
            Self::Pressure | Self::Sliding | Self::SlideRoll | Self::Materials
        )
    }
}

impl fmt::Display for Term {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.word())
    }
}

/// What stands on one side of a comparison.
#[derive(Clone, Debug, PartialEq)]
pub enum TermValue {
    /// A range in SI units (°C for temperatures, 1 to 100 for ellipticity).
    Range(Interval),
    /// A word of a closed list.
    Word(&'static str),
    /// Not known.
    Unknown,
}

/// One term of a comparison.
#[derive(Clone, Debug, PartialEq)]
pub struct TermLikeness {
    /// Which term.
    pub term: Term,
    /// The test's side.
    pub test: TermValue,
    /// The machine's side.
    pub machine: TermValue,
    /// Distance on the term's scale; `None` for words and where a side is unknown.
    pub distance: Option<f64>,
    /// 0.02 to 1; `None` where the term is left out.
    pub similarity: Option<f64>,
    /// Its weight among the ten.
    pub importance: f64,
    /// Why the term is left out or marked, empty when neither.
    pub remark: &'static str,
}

/// A property in which a test can lie beyond the machine's severe end.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Beyond {
    /// Maximum pressure, by more than a factor 2.
    Pressure,
    /// Sliding speed, by more than a factor 5.
    Sliding,
    /// Slide-roll ratio, by more than 0.8.
    SlideRoll,
    /// Contact temperature, by more than 60 K.
    ContactTemperature,
    /// Friction power density, by more than a factor 10.
    FrictionPower,
}

impl Beyond {
    /// Its word.
    pub fn word(self) -> &'static str {
        match self {
            Self::Pressure => "pressure",
            Self::Sliding => "sliding speed",
            Self::SlideRoll => "slide-roll ratio",
            Self::ContactTemperature => "contact temperature",
            Self::FrictionPower => "friction power",
        }
    }
}

/// How closely one test contact resembles one machine contact.
#[derive(Clone, Debug, PartialEq)]
pub struct Resemblance {
    /// The ten terms.
    pub terms: Vec<TermLikeness>,
    /// 0 to 1; `None` where pressure, sliding or slide-roll ratio is unknown on either side: shown, not weighed.
    pub value: Option<f64>,
    /// Where the test lies beyond the machine's severe end.
    pub beyond: Vec<Beyond>,
}

impl Resemblance {
    /// Whether this makes the test an extreme-condition screen for this contact.
    pub fn is_extreme(&self) -> bool {
        self.beyond.len() >= 2
    }
}
