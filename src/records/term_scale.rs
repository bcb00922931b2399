//! What a term of the resemblance counts in a trial, changed on purpose and with a reason.

use crate::contact::term::{Term, TermMeasure};
use crate::records::table::{Record, column, records};
use crate::records::{Trial, TrialSlug};

/// Greatest importance that a term can be given.
pub const MOST_IMPORTANCE: f64 = 10.0;
/// Least factor at which a similarity can halve; at 1 nothing would be alike but the same.
const LEAST_FACTOR: f64 = 1.01;
/// Greatest number that a halving distance can be: beyond it a term says nothing.
const MOST_HALVING: f64 = 1e6;

records! {
    /// What one term counts in a trial from a moment on. The newest one of a term counts; none is ever changed.
    TermScale in "trial_scales.csv", table "trial_scales", key ["trial", "term", "entered_at"] {
        /// Trial.
        trial: TrialSlug = column("trial").defined_in(Trial::FILE),
        /// Term.
        term: Term = column("term"),
        /// Weight of the term among the eleven, 0 to 10.
        importance: f64 = column("importance"),
        /// Where similarity is one half, in the term's own measure; `None` for terms that compare words.
        halving: Option<f64> = column("halving"),
        /// Why.
        reason: String = column("reason"),
        /// When, as [`TermScale::moment`] writes it.
        entered_at: String = column("entered_at"),
    }
}

/// Why a term cannot be given a scale.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TermScaleFault {
    /// The importance is out of its range.
    Importance,
    /// The term compares words by a table.
    IsTable,
    /// A factor of 1 or less, or beyond all bounds.
    Factor,
    /// Not above 0, or beyond all bounds.
    Distance,
}

impl TermScaleFault {
    /// The field that is at fault.
    pub fn field(self) -> &'static str {
        match self {
            Self::Importance => "importance",
            Self::IsTable | Self::Factor | Self::Distance => "halving",
        }
    }
}

impl TermScale {
    /// An importance that can be used.
    ///
    /// # Errors
    /// `Importance` outside 0 to 10.
    pub fn checked_importance(importance: f64) -> Result<f64, TermScaleFault> {
        let fits = (0.0..=MOST_IMPORTANCE).contains(&importance);
        fits.then_some(importance).ok_or(TermScaleFault::Importance)
    }

    /// A halving distance that a term can have, in its own measure.
    ///
    /// # Errors
    /// `IsTable`, `Factor`, `Distance`.
    pub fn checked_halving(term: Term, halving: f64) -> Result<f64, TermScaleFault> {
        let (fits, fault) = match term.measure() {
            TermMeasure::Table => (false, TermScaleFault::IsTable),
            TermMeasure::Factor => (
                (LEAST_FACTOR..=MOST_HALVING).contains(&halving),
                TermScaleFault::Factor,
            ),
            TermMeasure::Difference | TermMeasure::Kelvin | TermMeasure::Decades => {
                (halving > 0.0 && halving <= MOST_HALVING, TermScaleFault::Distance)
            }
        };
        fits.then_some(halving).ok_or(fault)
    }

    /// The newest change of a term, whatever the order of the rows.
    pub fn newest(changes: &[Self], term: Term) -> Option<&Self> {
        let of_term = changes.iter().filter(|change| change.term == term);
        of_term.max_by(|a, b| a.entered_at.cmp(&b.entered_at))
    }

    /// A moment as it is stored: UTC to the millisecond, so that texts sort as times do; `None` where the text is no
    /// moment.
    pub fn moment(text: &str) -> Option<String> {
        let moment: jiff::Timestamp = text.trim().parse().ok()?;
        Some(moment.strftime("%Y-%m-%dT%H:%M:%S.%3fZ").to_string())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_factor_lies_above_1_and_a_difference_above_0() {
        let halving = TermScale::checked_halving;
        assert_eq!(halving(Term::Pressure, 3.0), Ok(3.0));
        assert_eq!(halving(Term::Pressure, 1.0), Err(TermScaleFault::Factor));
        assert_eq!(halving(Term::SlideRoll, 0.4), Ok(0.4));
        assert_eq!(halving(Term::SlideRoll, 0.0), Err(TermScaleFault::Distance));
        assert_eq!(halving(Term::SlideRoll, f64::NAN), Err(TermScaleFault::Distance));
        assert_eq!(
            halving(Term::ContactTemperature, f64::INFINITY),
            Err(TermScaleFault::Distance)
        );
        assert_eq!(halving(Term::Motion, 2.0), Err(TermScaleFault::IsTable));
    }

    #[test]
    fn a_factor_lies_between_1_01_and_a_million_and_a_difference_below_that() {
        for (factor, fits) in [
            (1.009, false),
            (1.01, true),
            (1.011, true),
            (999_999.0, true),
            (1e6, true),
            (1_000_001.0, false),
        ] {
            let checked = TermScale::checked_halving(Term::Pressure, factor);
            assert_eq!(checked.is_ok(), fits, "{factor}");
        }
        for (distance, fits) in [
            (-1e-9, false),
            (0.0, false),
            (1e-9, true),
            (999_999.0, true),
            (1e6, true),
            (1_000_001.0, false),
        ] {
            let checked = TermScale::checked_halving(Term::SlideRoll, distance);
            assert_eq!(checked.is_ok(), fits, "{distance}");
        }
    }

    #[test]
    fn an_importance_lies_between_0_and_10() {
        assert_eq!(TermScale::checked_importance(0.0), Ok(0.0));
        assert_eq!(TermScale::checked_importance(10.0), Ok(10.0));
        for wrong in [-0.1, 10.1, f64::NAN] {
            assert_eq!(
                TermScale::checked_importance(wrong),
                Err(TermScaleFault::Importance)
            );
        }
    }

    #[test]
    fn moments_are_written_so_that_they_sort() {
        let moment = |text| TermScale::moment(text).unwrap();
        assert_eq!(moment("2026-11-24T09:30:00Z"), "2026-11-24T09:30:00.000Z");
        assert_eq!(moment("2026-11-24T10:30:00.25+01:00"), "2026-11-24T09:30:00.250Z");
        assert_eq!(TermScale::moment("yesterday"), None);
    }
}
