//! The eleven terms in which two contacts are compared, and how a distance is said in each.

use std::fmt;

/// One of the eleven things in which two contacts are compared.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Term {
    /// Maximum contact pressure.
    Pressure,
    /// Sliding speed.
    Sliding,
    /// Rolling speed: the mean of both surface speeds, by which lubricant is drawn in.
    Entrainment,
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
    /// All eleven, in the order in which they are shown.
    pub const ALL: [Term; 11] = [
        Self::Pressure,
        Self::Sliding,
        Self::Entrainment,
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
            Self::Entrainment => "entrainment_speed",
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

    /// The term of a word; `None` where there is none such.
    pub fn from_word(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|term| term.word() == word.trim())
    }

    /// The words of all eleven, for a message.
    pub fn allowed() -> String {
        Self::ALL.map(Self::word).join(", ")
    }

    /// How a distance between two contacts is said in this term.
    pub fn measure(self) -> TermMeasure {
        match self {
            Self::Pressure | Self::Sliding | Self::Entrainment | Self::FilmRatio | Self::TimeInContact => {
                TermMeasure::Factor
            }
            Self::SlideRoll => TermMeasure::Difference,
            Self::ContactTemperature => TermMeasure::Kelvin,
            Self::Shape => TermMeasure::Decades,
            Self::Motion | Self::Materials | Self::Supply => TermMeasure::Table,
        }
    }

    /// Its name on a page.
    pub fn label(self) -> &'static str {
        match self {
            Self::Pressure => "Maximum pressure",
            Self::Sliding => "Sliding speed",
            Self::Entrainment => "Rolling speed",
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

    /// Whether a mismatch here is not made good by likeness elsewhere, whatever the two contacts are; motion joins them
    /// where one side frets.
    pub fn is_first_order(self) -> bool {
        matches!(
            self,
            Self::Pressure | Self::Sliding | Self::SlideRoll | Self::FilmRatio | Self::Materials
        )
    }
}

impl fmt::Display for Term {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.word())
    }
}

/// How a distance on a term's scale is said.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TermMeasure {
    /// As a factor; the scale is the natural logarithm.
    Factor,
    /// As a difference without a unit.
    Difference,
    /// As a difference of temperature, K.
    Kelvin,
    /// In decades of the axis ratio; the scale is log10.
    Decades,
    /// Not at all: pairs of words stand in a table.
    Table,
}

impl TermMeasure {
    /// The distance on the term's scale that is said so.
    pub fn distance(self, said: f64) -> f64 {
        match self {
            Self::Factor => said.ln(),
            Self::Difference | Self::Kelvin | Self::Decades | Self::Table => said,
        }
    }

    /// A number of this measure when the distance on the term's scale is taken `times`.
    pub fn times(self, said: f64, times: f64) -> f64 {
        match self {
            Self::Factor => said.powf(times),
            Self::Difference | Self::Kelvin | Self::Decades | Self::Table => said * times,
        }
    }

    /// Its word in JSON; `None` for a table.
    pub fn word(self) -> Option<&'static str> {
        match self {
            Self::Factor => Some("factor"),
            Self::Difference => Some("difference"),
            Self::Kelvin => Some("K"),
            Self::Decades => Some("decades"),
            Self::Table => None,
        }
    }

    /// A number of this measure in words, from the number as written: `factor 2`, `60 K`.
    pub fn words(self, number: &str) -> String {
        match self {
            Self::Factor => format!("factor {number}"),
            Self::Difference => number.to_string(),
            Self::Kelvin => format!("{number} K"),
            Self::Decades if number == "1" => "1 decade".to_string(),
            Self::Decades => format!("{number} decades"),
            Self::Table => String::new(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_word_leads_back_to_its_term() {
        for term in Term::ALL {
            assert_eq!(Term::from_word(term.word()), Some(term));
        }
        assert_eq!(Term::from_word("colour"), None);
    }

    #[test]
    fn twice_the_distance_of_a_factor_is_its_square() {
        assert_eq!(TermMeasure::Factor.times(3.0, 2.0), 9.0);
        assert_eq!(TermMeasure::Factor.times(9.0, 0.5), 3.0);
        assert_eq!(TermMeasure::Kelvin.times(60.0, 0.5), 30.0);
        let doubled = TermMeasure::Factor.distance(TermMeasure::Factor.times(2.0, 2.0));
        assert!((doubled - 2.0 * TermMeasure::Factor.distance(2.0)).abs() < 1e-12);
    }

    #[test]
    fn a_distance_is_said_in_the_words_of_its_term() {
        let said = |term: Term, number: &str| term.measure().words(number);
        assert_eq!(said(Term::Pressure, "2"), "factor 2");
        assert_eq!(said(Term::ContactTemperature, "60"), "60 K");
        assert_eq!(said(Term::Shape, "1"), "1 decade");
        assert_eq!(said(Term::Shape, "0.5"), "0.5 decades");
        assert_eq!(said(Term::Motion, "1"), "");
    }
}
