//! What may be wrong with a value.

use crate::contact::words::WORDS;
use serde::Deserialize;
use std::fmt::Display;

/// One thing that may be wrong; its words stand in `words.toml`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Wrong {
    NotAboveZero,
    BelowZero,
    NotFinite,
    PoissonRatio,
    NotApart,
    NotApartInEveryPlane,
    NearlyALine,
    NoLength,
    NoRadius,
    LineNotAcross,
    LongerThanMeanDiameter,
    NoLastingScar,
    ScarBelowElasticContact,
    TakesTorque,
    TakesForce,
    NoGeometry,
    NoModuli,
    NoseTooGreat,
    HollowFlanks,
    PressureAngle,
    BaseCirclesOverlap,
    TipOffLine,
    LosesContact,
    OffLineOfAction,
    Unknown,
    Refused,
    Unread,
    Foreign,
    GivenTwice,
    Missing,
    NotANumber,
    NotARange,
    NotAPair,
    NotAWord,
    NotACount,
    EndNotFinite,
    Reversed,
    NotBetween,
    NotAbove,
    StandsStill,
    NoCentreDistance,
    ShiftsTooNegative,
    OffShifts,
    FlatCone,
    WiderThanHalfCone,
    AddendumOfTips,
    WithinRollingElement,
    TooManyForCircle,
    RingsNotApart,
    NoBarrel,
    WithinRollerProfile,
    NoTaperLeft,
    ReachesApex,
    AboveBigEnd,
    TouchesTwice,
    TooManyForMeanDiameter,
    WithinBallOrRoller,
    TooManyToSwing,
    BallBesideGroove,
    ClearanceInWrongUnit,
    TipOfRing,
    WithinLand,
    FewTeeth,
    ThinLayer,
    SheaveWithinLayer,
}

impl Wrong {
    /// It in words.
    pub fn words(self) -> String {
        self.words_with(&[])
    }

    /// It in words, with the numbers or names that go with it.
    pub fn words_with(self, values: &[&dyn Display]) -> String {
        // Between the braces stand the places of the values.
        let parts = WORDS.wrong[&self].split(['{', '}']).enumerate();
        let said = parts.map(|(at, part)| match part.parse::<usize>() {
            Ok(place) if at % 2 == 1 => values.get(place).map(ToString::to_string).unwrap_or_default(),
            _ => part.to_string(),
        });
        said.collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn all_that_may_be_wrong_has_its_words() {
        let last = Wrong::SheaveWithinLayer;
        assert_eq!(WORDS.wrong.len(), last as usize + 1);
        assert_eq!(WORDS.wrong.keys().next_back(), Some(&last));
    }

    #[test]
    fn values_stand_in_their_places_whatever_they_hold() {
        let words = Wrong::Unknown.words_with(&[&"{1}", &"motion", &"one way"]);
        assert_eq!(words, "'{1}' is no motion; allowed are: one way");
    }
}
